//! The drawing of one set of parts: face and edge (and end, if bevelled) with all that is needed to make it.
//!
//! Lengths run from a datum: the board's left end and lower edge, marked 0, so that the tape is hooked once.

use crate::dimension::{Axis, Dimension, LETTER_HEIGHT, Leader};
use crate::drawing::facts::{self, CutFact, HoleFact, Place};
use crate::drawing::layout::{Flank, Station, Wanted, running, stack};
use crate::drawing::picture::{HiddenLines, Picture};
use crate::drawing::shorten::{Shortening, shorten};
use crate::drawing::title::{Room, framed_sheet, is_inch, label, units};
use crate::drawing::view::Camera;
use crate::drawing::wire::Body;
use crate::lettering;
use crate::sheet::{Anchor, Corner, Figure, LineClass, Paper, Scale, Sheet};
use slatwork_base::Tape;
use slatwork_solid::{Across, Bounds, DAffine3, DVec2, DVec3, Solid, Tag};

/// What the drawing of a part shows. Sizes, holes, cuts and curves are read off the solid itself.
pub struct PartSheet<'a> {
    /// The piece it belongs to.
    pub piece: &'a str,
    /// The part's mark.
    pub mark: &'a str,
    /// The part's name.
    pub name: &'a str,
    /// What it is sawn from, as the yard sells it.
    pub stock: &'a str,
    /// Species.
    pub species: &'a str,
    /// How many to make.
    pub quantity: usize,
    /// Its hand: "2 as drawn, 2 mirrored"; empty when it has none.
    pub hand: &'a str,
    /// Its solid; a hand is drawn as this one is.
    pub solid: &'a Solid,
    /// What made a surface, in words: "notch for the rear leg". Where it lies is read off the solid.
    pub features: &'a [(Tag, String)],
    /// Anything else to know at the bench.
    pub notes: &'a [String],
    /// The tape on which lengths are read.
    pub tape: Tape,
    /// The sheet.
    pub paper: Paper,
}

/// So many holes in a face are dimensioned on the view; more go into a table.
const HOLES_ON_VIEW: usize = 4;
/// Room round the views for what stands beside them, mm on paper.
const LEFT: f64 = 24.0;
const RIGHT: f64 = 22.0;
const ABOVE: f64 = 27.0;
const BELOW: f64 = 16.0;
/// Between face and edge view: cut notes and the grain stand there, mm.
const BETWEEN: f64 = 13.0;
/// Between face and end view, mm: the width stands there.
const TO_END: f64 = 20.0;
/// A part is not drawn higher than this on paper unless it is short, mm.
const TALLEST: f64 = 48.0;

/// Draws the sheet.
pub fn part_sheet(what: &PartSheet<'_>) -> Sheet {
    let subject = Subject::of(what);
    let blank = framed_sheet(what.paper, what.name, &[]).1;
    let columns = subject.columns(blank.high.x - blank.low.x);
    let foot = columns.iter().map(Column::height).fold(0.0, f64::max) + 4.0;
    let room = Room { low: blank.low + DVec2::new(0.0, foot), high: blank.high };
    let plan = subject.plan(room);
    let cells = [
        ("part", format!("{}   {}", what.mark, what.name)),
        ("piece", what.piece.to_string()),
        ("make", what.quantity.to_string()),
        ("scale", plan.scale.to_string()),
        ("lengths in", units(what.tape).to_string()),
    ];
    let (mut sheet, room) = framed_sheet(what.paper, what.name, &cells);
    sheet.description = subject.describe();
    plan.draw(&mut sheet, &subject);
    draw_columns(&mut sheet, &columns, room);
    sheet
}

/// The part with all that was read off it.
struct Subject<'a> {
    what: &'a PartSheet<'a>,
    bounds: Bounds,
    holes: Vec<HoleFact>,
    cuts: Vec<CutFact>,
    arcs: Vec<facts::ArcFact>,
    curves: Vec<facts::CurveFact>,
    /// Whether a hole table is needed.
    tabled: bool,
}

impl<'a> Subject<'a> {
    fn of(what: &'a PartSheet<'a>) -> Self {
        let shape = what.solid.shape();
        let bounds = what.solid.bounds();
        let holes = facts::holes(shape, &bounds, what.tape);
        let (arcs, curves) = facts::arcs_and_curves(shape);
        let tabled = holes.len() > HOLES_ON_VIEW || holes.iter().any(|hole| !hole.in_face());
        Subject { what, bounds, holes, cuts: facts::cuts(what.solid), arcs, curves, tabled }
    }

    fn text(&self, mm: f64) -> String {
        label(self.what.tape, mm)
    }

    fn size(&self) -> DVec3 {
        self.bounds.max - self.bounds.min
    }

    fn has_edge_bevel(&self) -> bool {
        self.cuts
            .iter()
            .any(|cut| matches!(cut.place, Place::LowEdge | Place::HighEdge) && cut.bevel.is_some())
    }

    fn describe(&self) -> String {
        let size = self.size();
        format!(
            "Part {}, {}: {} long, {} wide, {} thick; {} holes, {} sawn planes. Make {}.",
            self.what.mark,
            self.what.name,
            self.text(size.x),
            self.text(size.y),
            self.text(size.z),
            self.holes.len(),
            self.cuts.len(),
            self.what.quantity
        )
    }

    fn body(&self) -> Body<'a> {
        Body { name: self.what.name, solid: self.what.solid, pose: DAffine3::IDENTITY }
    }
}

/// Which view and where, on paper.
struct Plan {
    scale: Scale,
    shortening: Option<Shortening>,
    /// Lower left corners of the views on paper.
    face_at: DVec2,
    edge_at: DVec2,
    end_at: Option<DVec2>,
    face: Picture,
    edge: Picture,
    end: Picture,
}

impl Subject<'_> {
    fn plan(&self, room: Room) -> Plan {
        let size = self.size();
        let free = room.high - room.low - DVec2::new(LEFT + RIGHT, ABOVE + BELOW + BETWEEN);
        let end = if self.has_edge_bevel() { TO_END } else { 0.0 };
        let end_mm = if end > 0.0 { size.z } else { 0.0 };
        let high = (size.y + size.z) / free.y.max(10.0);
        let whole = high.max((size.x + end_mm) / (free.x - end).max(10.0));
        let inch = is_inch(self.what.tape);
        let scale = Scale::that_fits(whole, inch);
        // A long board is drawn shortened when that makes it larger.
        let larger = Scale::that_fits(high.max((size.y + size.z) / TALLEST), inch);
        let excess = size.x + end_mm - (free.x - end) * larger.denominator;
        let shortening = (larger.denominator < scale.denominator)
            .then(|| Shortening::of(&self.stations_of_interest(), excess, larger.denominator))
            .flatten();
        let scale = if shortening.is_some() { larger } else { scale };
        self.place(scale, shortening, room)
    }

    fn place(&self, scale: Scale, shortening: Option<Shortening>, room: Room) -> Plan {
        let body = [self.body()];
        let picture = |camera| Picture::of(&body, camera, HiddenLines::Dashed, scale);
        let size = self.size() / scale.denominator;
        let length = shortening.map_or(self.size().x, |s| s.place(self.size().x, scale.denominator));
        let length = length / scale.denominator;
        let end = if self.has_edge_bevel() { TO_END + size.z } else { 0.0 };
        let used = DVec2::new(LEFT + length + end + RIGHT, ABOVE + size.y + BETWEEN + size.z + BELOW);
        let spare = (room.high - room.low - used).max(DVec2::ZERO) / 2.0;
        let edge_at = room.low + DVec2::new(LEFT, BELOW) + spare;
        let face_at = edge_at + DVec2::new(0.0, size.z + BETWEEN);
        let end_at = (end > 0.0).then(|| face_at + DVec2::new(length + TO_END, 0.0));
        Plan {
            scale,
            shortening,
            face_at,
            edge_at,
            end_at,
            face: picture(Camera::BOARD_FACE),
            edge: picture(Camera::BOARD_EDGE),
            end: picture(Camera::BOARD_END),
        }
    }

    /// Positions along the board, from its left end, between which nothing may be left out.
    fn stations_of_interest(&self) -> Vec<f64> {
        let body = [self.body()];
        let corners = |camera| Picture::of(&body, camera, HiddenLines::Dashed, Scale::FULL).corners();
        let mut stations: Vec<f64> =
            [Camera::BOARD_FACE, Camera::BOARD_EDGE].into_iter().flat_map(corners).map(|p| p.x).collect();
        for hole in &self.holes {
            stations.extend([hole.at.x - hole.radius, hole.at.x + hole.radius]);
        }
        let shape = self.what.solid.shape();
        let round = shape.profile.vertices.iter().enumerate().filter(|(_, v)| v.bulge != 0.0);
        for (index, vertex) in round {
            // Along an arc nothing may go: stations so close that no gap is left.
            let next = shape.profile.vertices[(index + 1) % shape.profile.vertices.len()].point;
            stations.extend((0..=64).map(|i| vertex.point.lerp(next, f64::from(i) / 64.0).x));
        }
        stations.iter().map(|x| x - self.bounds.min.x).collect()
    }
}

impl Plan {
    /// Along the board, from its left end to the paper.
    fn along(&self, mm: f64) -> f64 {
        let place = self.shortening.map_or(mm, |s| s.place(mm, self.scale.denominator));
        self.scale.paper(place)
    }

    /// A point of the board on the face view.
    fn on_face(&self, subject: &Subject<'_>, point: DVec3) -> DVec2 {
        let off = point - subject.bounds.min;
        self.face_at + DVec2::new(self.along(off.x), self.scale.paper(off.y))
    }

    /// A point of the board on the edge view.
    fn on_edge(&self, subject: &Subject<'_>, point: DVec3) -> DVec2 {
        let off = point - subject.bounds.min;
        self.edge_at + DVec2::new(self.along(off.x), self.scale.paper(off.z))
    }

    fn draw(&self, sheet: &mut Sheet, subject: &Subject<'_>) {
        let size = subject.size() / self.scale.denominator;
        self.draw_view(sheet, &self.face, self.face_at, size.y);
        self.draw_view(sheet, &self.edge, self.edge_at, size.z);
        if let Some(at) = self.end_at {
            sheet.items.extend(self.end.draw(at, self.scale));
        }
        self.draw_lengths(sheet, subject);
        self.draw_sizes(sheet, subject);
        self.draw_holes(sheet, subject);
        self.draw_cut_notes(sheet, subject);
        self.draw_radii(sheet, subject);
        self.draw_signs(sheet, subject);
    }

    fn draw_view(&self, sheet: &mut Sheet, picture: &Picture, at: DVec2, height: f64) {
        let items = picture.draw(at, self.scale);
        match self.shortening {
            None => sheet.items.extend(items),
            Some(shortening) => {
                let borders = (at.y, at.y + height);
                sheet.items.extend(shorten(items, shortening, at.x, self.scale.denominator, borders));
            }
        }
    }

    /// Running lengths over the face view and left of it, and the length of the whole outside them.
    fn draw_lengths(&self, sheet: &mut Sheet, subject: &Subject<'_>) {
        let low = subject.bounds.min;
        let high = self.on_face(subject, subject.bounds.max);
        let on_curve =
            |p: &DVec2| subject.curves.iter().any(|curve| curve.joints.iter().any(|j| j.distance(*p) < 0.1));
        let corners = self.face.corners().into_iter().filter(|p| !on_curve(p));
        let mut corners: Vec<DVec3> = corners.map(|p| DVec3::new(p.x, p.y, low.z)).collect();
        corners.extend([low, subject.bounds.max]);
        if !subject.tabled {
            corners.extend(subject.holes.iter().map(|hole| hole.at));
        }
        let station = |at: DVec3, mm: f64| Station { at: self.on_face(subject, at), label: subject.text(mm) };
        let along = corners.iter().map(|p| station(*p, p.x - low.x)).collect();
        let across = corners.iter().map(|p| station(*p, p.y - low.y)).collect();
        let (items, past) = running(along, Flank::Above, high.y);
        sheet.items.extend(items);
        sheet.items.extend(running(across, Flank::Left, self.face_at.x).0);
        self.draw_depths(sheet, subject);
        let whole = Dimension {
            from: DVec2::new(self.face_at.x, past - 1.0),
            to: DVec2::new(high.x, past - 1.0),
            axis: Axis::Level,
            line: past + 3.5,
            label: subject.text(subject.size().x),
        };
        sheet.draw(LineClass::Dimension, Figure::Dimension(whole));
    }

    /// Running lengths left of the edge view, when something starts or ends within the thickness.
    fn draw_depths(&self, sheet: &mut Sheet, subject: &Subject<'_>) {
        let low = subject.bounds.min;
        let corners = self.edge.corners();
        let inside = |p: &DVec2| p.y > low.z + 0.5 && p.y < subject.bounds.max.z - 0.5;
        if !corners.iter().any(inside) {
            return;
        }
        let station = |p: &DVec2| {
            let at = self.on_edge(subject, DVec3::new(p.x, low.y, p.y));
            Station { at, label: subject.text(p.y - low.z) }
        };
        sheet.items.extend(running(corners.iter().map(station).collect(), Flank::Left, self.edge_at.x).0);
    }

    /// Width beside the face view, thickness beside the edge view.
    fn draw_sizes(&self, sheet: &mut Sheet, subject: &Subject<'_>) {
        let corner = |point: DVec3| DVec3::new(subject.bounds.max.x, point.y, point.z);
        let (low, high) = (corner(subject.bounds.min), corner(subject.bounds.max));
        let size = subject.size();
        let pairs = [
            (self.on_face(subject, low), self.on_face(subject, high), size.y),
            (self.on_edge(subject, low), self.on_edge(subject, high), size.z),
        ];
        for (from, to, mm) in pairs {
            let wanted = vec![Wanted { from, to, label: subject.text(mm) }];
            for dimension in stack(wanted, Flank::Right, from.x).0 {
                sheet.draw(LineClass::Dimension, Figure::Dimension(dimension));
            }
        }
    }

    /// Centre crosses; then either what to bore, once for equal holes, or the number in the table.
    fn draw_holes(&self, sheet: &mut Sheet, subject: &Subject<'_>) {
        for (index, hole) in subject.holes.iter().enumerate() {
            let at =
                if hole.in_face() { self.on_face(subject, hole.at) } else { self.on_edge(subject, hole.at) };
            let arm = self.scale.paper(hole.radius) + 1.2;
            for way in [DVec2::X, DVec2::Y] {
                if hole.in_face() {
                    sheet.line(LineClass::Dimension, at - way * arm, at + way * arm);
                }
            }
            if subject.tabled && hole.in_face() {
                let off = DVec2::splat(self.scale.paper(hole.radius) * 0.8 + 0.5);
                sheet.text(LineClass::Mark, at + off, 1.8, Anchor::Left, (index + 1).to_string());
            }
        }
        if !subject.tabled {
            self.draw_bores(sheet, subject);
        }
    }

    /// One note for each kind of bore, from its first hole down to the space under the face view.
    fn draw_bores(&self, sheet: &mut Sheet, subject: &Subject<'_>) {
        let mut kinds: Vec<(&str, Vec<&HoleFact>)> = Vec::new();
        for hole in &subject.holes {
            match kinds.iter_mut().find(|(bore, _)| *bore == hole.bore) {
                Some((_, holes)) => holes.push(hole),
                None => kinds.push((&hole.bore, vec![hole])),
            }
        }
        for (index, (bore, holes)) in kinds.iter().enumerate() {
            let count = if holes.len() > 1 { format!("{} × ", holes.len()) } else { String::new() };
            let (hole, from) = (holes[0], if holes[0].side == "back" { " from the back" } else { "" });
            let at = self.on_face(subject, hole.at);
            // Toward the middle of the sheet, where there is room.
            let middle = self.face_at.x + self.along(subject.size().x) / 2.0;
            let side = if at.x > middle { -5.0 } else { 5.0 };
            let to = DVec2::new(at.x + side, self.face_at.y - 4.0 - 4.0 * index as f64);
            let label = format!("{count}{bore}{from}");
            sheet.draw(LineClass::Dimension, Figure::Leader(Leader { at, to, balloon: None, label }));
        }
    }

    /// Saw settings of the ends: mitres by the face view, bevels by the edge view. Rips stand among the notes.
    fn draw_cut_notes(&self, sheet: &mut Sheet, subject: &Subject<'_>) {
        for cut in &subject.cuts {
            let left = matches!(cut.place, Place::LeftEnd);
            let end = if left { subject.bounds.min } else { subject.bounds.max };
            let mut note = |at: DVec2, text: String| {
                let shift = if left { 1.0 } else { -1.0 };
                let anchor = if left { Anchor::Left } else { Anchor::Right };
                let at = at + DVec2::new(shift, -LETTER_HEIGHT - 2.6);
                sheet.text(LineClass::Dimension, at, LETTER_HEIGHT, anchor, text);
            };
            let foot = |point: DVec2, y: f64| DVec2::new(point.x, y);
            match (cut.place, cut.mitre, cut.bevel) {
                (Place::LeftEnd | Place::RightEnd, mitre, bevel) => {
                    if let Some(angle) = mitre {
                        let at = foot(self.on_face(subject, end), self.face_at.y);
                        note(at, format!("mitre {}", facts::tenths(angle)));
                    }
                    if let Some(angle) = bevel {
                        let at = foot(self.on_edge(subject, end), self.edge_at.y);
                        note(at, format!("bevel {}", facts::tenths(angle)));
                    }
                }
                (Place::LowEdge | Place::HighEdge, ..) => {}
            }
        }
    }

    fn draw_radii(&self, sheet: &mut Sheet, subject: &Subject<'_>) {
        let shape = subject.what.solid.shape();
        for arc in &subject.arcs {
            let way = (arc.centre - arc.middle).normalize_or_zero();
            // Into the wood, where nothing else is written: toward the centre of a round, away from that of a hollow.
            let inward = if arc.convex { way } else { -way };
            let board = |p: DVec2| facts::in_board(shape, p);
            let place = |p: DVec2| match shape.across {
                Across::Thickness => self.on_face(subject, board(p)),
                Across::Width => self.on_edge(subject, board(p)),
            };
            let at = place(arc.middle);
            let reach = self.scale.paper(arc.radius * 0.5).clamp(3.0, 9.0);
            let to = at + inward * reach;
            let label = format!("R {}", subject.text(arc.radius));
            sheet.draw(LineClass::Dimension, Figure::Leader(Leader { at, to, balloon: None, label }));
        }
    }

    /// Grain arrow and datum mark.
    fn draw_signs(&self, sheet: &mut Sheet, subject: &Subject<'_>) {
        let size = subject.size();
        let middle = DVec2::new(
            self.face_at.x + self.along(size.x) / 2.0,
            self.face_at.y - BETWEEN / 2.0 - LETTER_HEIGHT / 2.0,
        );
        let bores = !subject.tabled && !subject.holes.is_empty();
        let middle = if bores { DVec2::new(middle.x, self.edge_at.y - 5.0) } else { middle };
        grain(sheet, middle);
        datum(sheet, self.face_at);
    }
}

/// What to set for a ripped edge; nothing for the ends, and for an edge that is square.
fn rip_note(cut: &CutFact) -> Option<String> {
    let edge = match cut.place {
        Place::LowEdge => "low edge",
        Place::HighEdge => "high edge",
        Place::LeftEnd | Place::RightEnd => return None,
    };
    let told: Vec<String> = [("bevel", cut.bevel), ("taper", cut.mitre)]
        .iter()
        .filter_map(|(word, angle)| Some(format!("{word} {}", facts::tenths((*angle)?))))
        .collect();
    (!told.is_empty()).then(|| format!("{edge}: {}", told.join(", ")))
}

/// A double arrow with the word.
fn grain(sheet: &mut Sheet, middle: DVec2) {
    let half = lettering::width("grain", LETTER_HEIGHT) / 2.0 + 1.5;
    sheet.text(LineClass::Mark, middle, LETTER_HEIGHT, Anchor::Middle, "grain");
    let y = middle.y + LETTER_HEIGHT / 2.0;
    for side in [-1.0, 1.0] {
        let at = |x: f64, dy: f64| DVec2::new(middle.x + side * x, y + dy);
        sheet.line(LineClass::Mark, at(half, 0.0), at(half + 9.0, 0.0));
        sheet.line(LineClass::Mark, at(half + 9.0, 0.0), at(half + 7.4, 0.6));
        sheet.line(LineClass::Mark, at(half + 9.0, 0.0), at(half + 7.4, -0.6));
    }
}

/// A bracket outside the corner from which lengths run.
fn datum(sheet: &mut Sheet, corner: DVec2) {
    let (at, arm) = (corner - 1.3, 6.0);
    let point = |x: f64, y: f64| Corner { point: at + DVec2::new(x, y), bulge: 0.0 };
    let corners = vec![point(0.0, arm), point(0.0, 0.0), point(arm, 0.0)];
    sheet.draw(LineClass::Outline, Figure::Polyline { corners, closed: false });
}

/// A block of rows under the views.
struct Column {
    heading: &'static str,
    /// Cells of each row; the first row may be headings of its own.
    rows: Vec<Vec<String>>,
}

/// Height of a row, of a heading and of the capitals in them, mm.
const ROW: f64 = 4.1;
const SMALL: f64 = 1.9;
const CELL_GAP: f64 = 3.0;
/// Between blocks, and what the notes get at least, mm.
const COLUMN_GAP: f64 = 7.0;
const LEAST_NOTES: f64 = 45.0;

impl Column {
    fn height(&self) -> f64 {
        ROW * (self.rows.len() + 1) as f64 + 2.0
    }

    /// Rows of one cell broken into lines of at most `width` mm; further lines start a little to the right.
    fn wrapped(self, width: f64) -> Column {
        let rows = self.rows.iter().filter_map(|row| row.first()).flat_map(|text| lines(text, width));
        Column { heading: self.heading, rows: rows.map(|line| vec![line]).collect() }
    }

    fn widths(&self) -> Vec<f64> {
        let columns = self.rows.iter().map(Vec::len).max().unwrap_or(0);
        let width = |i: usize| {
            let cells = self.rows.iter().filter_map(|row| row.get(i));
            cells.map(|cell| lettering::width(cell, SMALL)).fold(0.0, f64::max) + CELL_GAP
        };
        (0..columns).map(width).collect()
    }
}

/// A text in lines of at most `width` mm, broken at blanks.
fn lines(text: &str, width: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if lettering::width(&format!("{line} {word}"), SMALL) <= width => {
                line.push(' ');
                line.push_str(word);
            }
            Some(_) => lines.push(format!("   {word}")),
            None => lines.push(word.to_string()),
        }
    }
    lines
}

impl Subject<'_> {
    /// The blocks under the views, the notes wrapped to what the others leave of `width` mm.
    fn columns(&self, width: f64) -> Vec<Column> {
        let mut columns = vec![self.making()];
        if self.tabled {
            columns.push(self.hole_table());
        }
        columns.extend(self.curves.iter().map(|curve| self.curve_table(curve)));
        let used: f64 = columns.iter().map(|column| column.widths().iter().sum::<f64>() + COLUMN_GAP).sum();
        let notes = self.notes();
        if !notes.rows.is_empty() {
            columns.push(notes.wrapped((width - used - 2.0 * COLUMN_GAP).max(LEAST_NOTES)));
        }
        columns
    }

    fn making(&self) -> Column {
        let size = self.size();
        let row = |name: &str, value: String| vec![name.to_string(), value];
        let mut rows = vec![
            row("make", self.what.quantity.to_string()),
            row("from", self.what.stock.to_string()),
            row("wood", self.what.species.to_string()),
            row("finished", [size.x, size.y, size.z].map(|mm| self.text(mm)).join(" × ")),
            row("0 is", String::from("the bracketed corner: left end, lower edge")),
        ];
        if !self.what.hand.is_empty() {
            rows.insert(1, row("hand", self.what.hand.to_string()));
        }
        Column { heading: "Making", rows }
    }

    fn hole_table(&self) -> Column {
        let head = ["no.", "from end", "from edge", "bore", "into"].map(String::from).to_vec();
        let low = self.bounds.min;
        let row = |(index, hole): (usize, &HoleFact)| {
            let across = if hole.side.ends_with("edge") { hole.at.z - low.z } else { hole.at.y - low.y };
            vec![
                (index + 1).to_string(),
                self.text(hole.at.x - low.x),
                self.text(across),
                hole.bore.clone(),
                hole.side.to_string(),
            ]
        };
        let rows = core::iter::once(head).chain(self.holes.iter().enumerate().map(row)).collect();
        Column { heading: "Holes", rows }
    }

    fn curve_table(&self, curve: &facts::CurveFact) -> Column {
        let head = ["from end", "up"].map(String::from).to_vec();
        let (low, across) = (self.bounds.min, self.what.solid.shape().across);
        let base = if across == Across::Thickness { low.y } else { low.z };
        let row = |p: &DVec2| vec![self.text(p.x - low.x), self.text(p.y - base)];
        Column {
            heading: "Curve",
            rows: core::iter::once(head).chain(curve.points.iter().map(row)).collect(),
        }
    }

    /// Named features with where they lie, then the caller's notes.
    fn notes(&self) -> Column {
        let features = self.what.features.iter().filter_map(|(tag, words)| self.feature(*tag, words));
        let rips = self.cuts.iter().filter_map(rip_note);
        let rows =
            rips.chain(features).chain(self.what.notes.iter().cloned()).map(|text| vec![text]).collect();
        Column { heading: "Notes", rows }
    }

    fn feature(&self, tag: Tag, words: &str) -> Option<String> {
        let faces = self.what.solid.faces().iter().filter(|face| face.tag == tag);
        let points: Vec<DVec3> =
            faces.flat_map(|face| &face.loops).flat_map(|l| &l.points).copied().collect();
        let low = points.iter().copied().reduce(DVec3::min)? - self.bounds.min;
        let high = points.iter().copied().reduce(DVec3::max)? - self.bounds.min;
        let span = |a: f64, b: f64| format!("{} to {}", self.text(a), self.text(b));
        Some(format!("{words}: {} from the end, {} from the edge", span(low.x, high.x), span(low.y, high.y)))
    }
}

fn draw_columns(sheet: &mut Sheet, columns: &[Column], room: Room) {
    let mut x = room.low.x + 4.0;
    let top = room.low.y + columns.iter().map(Column::height).fold(0.0, f64::max);
    for column in columns {
        sheet.heading(DVec2::new(x, top - SMALL - 0.5), SMALL, Anchor::Left, column.heading);
        let widths = column.widths();
        let total: f64 = widths.iter().sum();
        let rule = top - SMALL - 1.6;
        sheet.line(LineClass::Dimension, DVec2::new(x, rule), DVec2::new(x + total - CELL_GAP, rule));
        for (number, row) in column.rows.iter().enumerate() {
            let y = top - ROW * (number + 1) as f64 - SMALL - 0.8;
            let mut at = x;
            for (cell, width) in row.iter().zip(&widths) {
                sheet.text(LineClass::Mark, DVec2::new(at, y), SMALL, Anchor::Left, cell.clone());
                at += width;
            }
        }
        x += total + COLUMN_GAP;
    }
}
