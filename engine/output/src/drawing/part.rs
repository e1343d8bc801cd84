//! The drawing of one set of parts: face and edge (and end, if bevelled) with all that is needed to make it.
//!
//! Lengths run from a datum: the board's left end and lower edge, marked 0, so that the tape is hooked once.

use crate::dimension::{Axis, Dimension};
use crate::drawing::blocks::{Block, Foot, Stack, draw_stacks, foot_height, lines};
use crate::drawing::facts::{self, CutFact, HoleFact, HoleMark, Place, Setting};
use crate::drawing::labels::{self, NOTE, TO_NOTES, Ways};
use crate::drawing::layout::{Flank, Station, Wanted, running, stack};
use crate::drawing::picture::{HiddenLines, Picture};
use crate::drawing::shorten::Shortening;
use crate::drawing::taken::{Area, CLEAR, Taken};
use crate::drawing::title::{Room, framed_sheet, label, units};
use crate::drawing::view::Camera;
use crate::drawing::wire::{Body, Wire};
use crate::sheet::{Corner, Figure, Item, LineClass, Paper, Scale, Sheet, line_item};
use slatwork_base::Tape;
use slatwork_shop::{Along, BoardSide};
use slatwork_solid::{Across, Bounds, DAffine3, DVec2, DVec3, Solid};

/// What the drawing of a part shows. Sizes, cuts and curves are read off the solid itself.
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
    /// The finished box, from whose corner everything is measured, mm; a notch may take an end of it.
    pub size: DVec3,
    /// Its holes, as the hole list marks them.
    pub holes: &'a [HoleMark],
    /// Anything else to know at the bench.
    pub notes: &'a [String],
    /// The tape on which lengths are read.
    pub tape: Tape,
    /// Sheets that may be taken, the smallest first.
    pub papers: &'a [Paper],
}

/// So many holes in a face are dimensioned on the view; more go into a table.
const HOLES_ON_VIEW: usize = 4;
/// Corners of the facets of a hole lie so far out at most, in radii (eight sides of the circle's area; and the reach of a
/// slanting mouth past the wall's end).
const RIM: f64 = 1.1;
/// Room round the views for what stands beside them, mm on paper.
const LEFT: f64 = 24.0;
const RIGHT: f64 = 22.0;
const ABOVE: f64 = 27.0;
const BELOW: f64 = 16.0;
/// Between face and edge view at least: notes and the grain stand there, mm.
const BETWEEN: f64 = 13.0;
/// Between face and end view, mm: the width stands there.
const TO_END: f64 = 20.0;
/// And right of the end view.
const END_RIGHT: f64 = 6.0;
/// How far lengths that run along one side of a view may stand past its corners, where those of the next side begin, mm.
const OVER_CORNER: f64 = 4.0;
/// A part is not drawn higher than this on paper unless it is short, mm.
const TALLEST: f64 = 48.0;
/// Holes this far apart on paper have room for their numbers, mm.
const APART: f64 = 3.5;
/// From the room of the views to the blocks under it, mm.
const TO_FOOT: f64 = 4.0;

/// Least height of the views on paper, mm: with less, a larger sheet is taken.
const LEAST_VIEWS: f64 = 30.0;

/// Draws the sheet, on the first of its papers that holds all.
pub fn part_sheet(what: &PartSheet<'_>) -> Sheet {
    let subject = Subject::of(what);
    let foot = subject.foot();
    let on = |paper: &Paper| {
        let room = framed_sheet(*paper, what.name, &[]).1;
        let free = room.high - room.low - DVec2::Y * (subject.white() + LEAST_VIEWS + TO_FOOT);
        Some((*paper, foot.stacks(free.x, free.y)?))
    };
    let held = what.papers.iter().find_map(on);
    let (paper, stacks) = held.unwrap_or_else(|| {
        let largest = what.papers.last().copied().unwrap_or(Paper::A4);
        (largest, vec![foot.pile(largest.width)])
    });
    subject.draw(paper, &stacks)
}

/// Breaks the thin level and upright lines that run through lettering.
fn clear_lettering(sheet: &mut Sheet) {
    let of_text = |item: Item| match item.figure {
        Figure::Text(text) => Some(Area::of(&text).grown(CLEAR)),
        _ => None,
    };
    let boxes: Vec<Area> = sheet.plain_items().into_iter().filter_map(of_text).collect();
    let items = core::mem::take(&mut sheet.items);
    sheet.items = items.into_iter().flat_map(|item| broken(item, &boxes)).collect();
}

/// A thin line without what lies in the boxes; anything else as it is.
fn broken(item: Item, boxes: &[Area]) -> Vec<Item> {
    let (LineClass::Dimension, Figure::Line { from, to }) = (item.class, &item.figure) else {
        return vec![item];
    };
    let (from, to) = (*from, *to);
    let along = usize::from((to.x - from.x).abs() < (to.y - from.y).abs());
    let (start, end) = (from[along].min(to[along]), from[along].max(to[along]));
    let slants = (to[1 - along] - from[1 - along]).abs() > 1e-6;
    let mut inside: Vec<(f64, f64)> = boxes
        .iter()
        .filter(|own| own.low[1 - along] < from[1 - along] && from[1 - along] < own.high[1 - along])
        .map(|own| (own.low[along], own.high[along]))
        // The lettering at a line's own end stands off it already.
        .filter(|(low, high)| start < *low && *high < end)
        .collect();
    if slants || inside.is_empty() {
        return vec![item];
    }
    inside.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut at = start;
    let mut pieces = Vec::new();
    for (low, high) in inside.into_iter().chain([(end, end)]) {
        if low > at {
            let point =
                |place: f64| if along == 0 { DVec2::new(place, from.y) } else { DVec2::new(from.x, place) };
            pieces.push(line_item(LineClass::Dimension, point(at), point(low)));
        }
        at = at.max(high);
    }
    pieces
}

/// The part with all that was read off it.
struct Subject<'a> {
    what: &'a PartSheet<'a>,
    wire: Wire,
    bounds: Bounds,
    holes: Vec<HoleFact>,
    cuts: Vec<CutFact>,
    arcs: Vec<facts::ArcFact>,
    curves: Vec<facts::CurveFact>,
    /// Whether a hole table is needed.
    tabled: bool,
    /// Whether the holes bear their numbers.
    numbered: bool,
}

impl<'a> Subject<'a> {
    fn of(what: &'a PartSheet<'a>) -> Self {
        let shape = what.solid.shape();
        let bounds = Bounds { min: DVec3::ZERO, max: what.size };
        let holes = facts::holes(what.holes, bounds.min, what.tape);
        let (arcs, curves) = facts::arcs_and_curves(shape);
        let tabled = holes.len() > HOLES_ON_VIEW || holes.iter().any(|hole| !hole.in_face());
        let numbered = tabled || holes.iter().any(|hole| hole.purpose != holes[0].purpose);
        let body = Body { name: what.name, solid: what.solid, pose: DAffine3::IDENTITY };
        let (wire, cuts) = (Wire::of(&[body]), facts::cuts(what.solid));
        Subject { what, wire, bounds, holes, cuts, arcs, curves, tabled, numbered }
    }

    fn text(&self, mm: f64) -> String {
        label(self.what.tape, mm)
    }

    /// An angle to set a saw by, and as run over rise for a bevel and a rule: `14°, 3 over 12`.
    fn setting(&self, setting: Setting) -> String {
        let rise = if self.what.tape.is_inch() { RISE_INCH } else { RISE_MM };
        format!("{}, {} over {}", setting.angle, self.rule_text(setting.slope * rise), self.text(rise))
    }

    /// What to set for a ripped edge; nothing for the ends, and for an edge that is square.
    fn rip_note(&self, cut: &CutFact) -> Option<String> {
        let edge = match cut.place {
            Place::LowEdge => "datum edge",
            Place::HighEdge => "far edge",
            Place::LeftEnd | Place::RightEnd => return None,
        };
        let settings = [("bevel", cut.bevel), ("taper", cut.mitre)];
        let told = settings
            .into_iter()
            .filter_map(|(word, setting)| Some(format!("{word} {}", self.setting(setting?))));
        let told: Vec<String> = told.collect();
        (!told.is_empty()).then(|| format!("{edge}: {}", told.join(", ")))
    }

    /// A place of a hole, as the rule reads it.
    fn rule_text(&self, mm: f64) -> String {
        label(facts::rule(self.what.tape), mm)
    }

    /// Whether a corner that a camera sees belongs to the mouths of a hole, which are marked by their middle.
    fn is_of_hole(&self, corner: DVec2, camera: Camera) -> bool {
        self.what.solid.walls().iter().any(|wall| {
            let (from, to) = (camera.flat(wall.start), camera.flat(wall.end));
            let way = to - from;
            let share = if way.length_squared() > 0.0 {
                (corner - from).dot(way) / way.length_squared()
            } else {
                0.0
            };
            from.lerp(to, share.clamp(0.0, 1.0)).distance(corner) <= wall.radius * RIM
        })
    }

    fn size(&self) -> DVec3 {
        self.bounds.max - self.bounds.min
    }

    fn has_edge_bevel(&self) -> bool {
        self.cuts
            .iter()
            .any(|cut| matches!(cut.place, Place::LowEdge | Place::HighEdge) && cut.bevel.is_some())
    }

    /// Bores and the sides they go into, each with its holes.
    fn kinds_of_bore(&self) -> Vec<(&str, BoardSide, Vec<&HoleFact>)> {
        let mut kinds: Vec<(&str, BoardSide, Vec<&HoleFact>)> = Vec::new();
        for hole in &self.holes {
            match kinds.iter_mut().find(|(bore, side, _)| *bore == hole.bore && *side == hole.side) {
                Some((.., holes)) => holes.push(hole),
                None => kinds.push((&hole.bore, hole.side, vec![hole])),
            }
        }
        kinds
    }

    /// Room between the views, mm on paper: a line for the settings of the ends, one for each kind of bore.
    fn between(&self) -> f64 {
        let ends = self
            .cuts
            .iter()
            .any(|cut| matches!(cut.place, Place::LeftEnd | Place::RightEnd) && cut.mitre.is_some());
        let bores = if self.tabled { 0 } else { self.kinds_of_bore().len() };
        BETWEEN.max(2.0 * TO_NOTES + NOTE * (usize::from(ends) + bores) as f64)
    }

    /// Height round and between the views for what stands beside them, mm on paper.
    fn white(&self) -> f64 {
        ABOVE + self.between() + BELOW
    }

    fn draw(&self, paper: Paper, stacks: &[Stack]) -> Sheet {
        let what = self.what;
        let blank = framed_sheet(paper, what.name, &[]).1;
        let room = Room { low: blank.low + DVec2::Y * (foot_height(stacks) + TO_FOOT), high: blank.high };
        let plan = self.plan(room);
        let cells = [
            ("part", format!("{}   {}", what.mark, what.name)),
            ("piece", what.piece.to_string()),
            ("make", what.quantity.to_string()),
            ("scale", plan.scale.to_string()),
            ("lengths in", units(what.tape).to_string()),
        ];
        let (mut sheet, framed) = framed_sheet(paper, what.name, &cells);
        sheet.description = self.describe();
        plan.draw(&mut sheet, self, room);
        draw_stacks(&mut sheet, stacks, framed);
        clear_lettering(&mut sheet);
        sheet
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
}

/// Which view and where, on paper.
struct Plan {
    scale: Scale,
    shortening: Shortening,
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
        let (end, end_mm) = if self.has_edge_bevel() { (TO_END + END_RIGHT, size.z) } else { (RIGHT, 0.0) };
        let free = room.high - room.low - DVec2::new(LEFT + end, self.white());
        let length = size.x + end_mm;
        let high = (size.y + size.z) / free.y.max(10.0);
        let inch = self.what.tape.is_inch();
        let whole = Scale::that_fits(high.max(length / free.x.max(10.0)), inch);
        let largest = Scale::that_fits(high.max((size.y + size.z) / TALLEST), inch);
        let between = largest.denominator..whole.denominator;
        let larger: Vec<f64> =
            Scale::usual(inch).iter().copied().filter(|own| between.contains(own)).collect();
        let shortening = self.shortened(&larger, whole, |denominator| length - free.x * denominator);
        self.place(shortening.unwrap_or_else(|| Shortening::none(whole.denominator)), room)
    }

    /// A long board is drawn shortened when that makes it larger: by one break, or where its holes would crowd by as many as give
    /// them room. `excess` is what is too long at a scale, mm of the piece.
    fn shortened(&self, larger: &[f64], whole: Scale, excess: impl Fn(f64) -> f64) -> Option<Shortening> {
        if larger.is_empty() {
            return None;
        }
        let stations = self.stations_of_interest();
        let crowds = |denominator: f64| self.between_holes() < APART * denominator;
        let once = larger.iter().find_map(|own| Shortening::of_widest(&stations, excess(*own), *own));
        once.or_else(|| {
            let mut clear = larger.iter().rev().filter(|own| crowds(whole.denominator) && !crowds(**own));
            clear.find_map(|own| Shortening::of_all(&stations, excess(*own), *own))
        })
    }

    /// The least distance between two numbered holes of the face, mm.
    fn between_holes(&self) -> f64 {
        let places = || self.holes.iter().filter(|hole| self.numbered && hole.in_face()).map(|hole| hole.at);
        let from =
            |(index, at): (usize, DVec3)| places().skip(index + 1).map(move |other| at.distance(other));
        places().enumerate().flat_map(from).fold(f64::INFINITY, f64::min)
    }

    fn place(&self, shortening: Shortening, room: Room) -> Plan {
        let scale = Scale { denominator: shortening.denominator() };
        let picture = |camera| Picture::of_wire(&self.wire, camera, HiddenLines::Dashed, scale);
        let size = self.size() / scale.denominator;
        let length = scale.paper(shortening.place(self.size().x));
        let end = if self.has_edge_bevel() { TO_END + size.z + END_RIGHT } else { RIGHT };
        let used = DVec2::new(LEFT + length + end, self.white() + size.y + size.z);
        let spare = (room.high - room.low - used).max(DVec2::ZERO) / 2.0;
        let edge_at = room.low + DVec2::new(LEFT, BELOW) + spare;
        let face_at = edge_at + DVec2::new(0.0, size.z + self.between());
        let end_at = self.has_edge_bevel().then(|| face_at + DVec2::new(length + TO_END, 0.0));
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

    /// Positions along the board, from its datum end, between which nothing may be left out.
    fn stations_of_interest(&self) -> Vec<f64> {
        let corners =
            |camera| Picture::of_wire(&self.wire, camera, HiddenLines::Dashed, Scale::FULL).corners();
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
        self.scale.paper(self.shortening.place(mm))
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

    fn draw(&self, sheet: &mut Sheet, subject: &Subject<'_>, room: Room) {
        let size = subject.size() / self.scale.denominator;
        let off = |picture: &Picture, camera: Camera| {
            let corner = camera.flat(subject.bounds.min).min(camera.flat(subject.bounds.max));
            (picture.low() - corner) / self.scale.denominator
        };
        let face = (self.face_at, off(&self.face, Camera::BOARD_FACE));
        self.draw_view(sheet, &self.face, face, size.y);
        let edge = (self.edge_at, off(&self.edge, Camera::BOARD_EDGE));
        self.draw_view(sheet, &self.edge, edge, size.z);
        if let Some(at) = self.end_at {
            sheet.items.extend(self.end.draw(at + off(&self.end, Camera::BOARD_END), self.scale));
        }
        self.draw_lengths(sheet, subject, room);
        self.draw_sizes(sheet, subject);
        self.draw_crosses(sheet, subject);
        datum(sheet, self.face_at);
        let mut taken = Taken::of(sheet, Area { low: room.low, high: room.high });
        for ways in self.labels(subject) {
            taken.place(sheet, ways);
        }
    }

    /// A view whose wood begins `off` the corner of its box at `at`.
    fn draw_view(&self, sheet: &mut Sheet, picture: &Picture, (at, off): (DVec2, DVec2), height: f64) {
        let items = picture.draw(at + off, self.scale);
        sheet.items.extend(self.shortening.shorten(items, at.x, (at.y, at.y + height)));
    }

    /// Running lengths over the face view and left of it, and the length of the whole outside them.
    fn draw_lengths(&self, sheet: &mut Sheet, subject: &Subject<'_>, room: Room) {
        let low = subject.bounds.min;
        let high = self.on_face(subject, subject.bounds.max);
        let on_curve =
            |p: &DVec2| subject.curves.iter().any(|curve| curve.joints.iter().any(|j| j.distance(*p) < 0.1));
        let of_hole = |p: &DVec2| subject.is_of_hole(*p, Camera::BOARD_FACE);
        let corners = self.face.corners().into_iter().filter(|p| !on_curve(p) && !of_hole(p));
        let mut corners: Vec<DVec3> = corners.map(|p| DVec3::new(p.x, p.y, low.z)).collect();
        corners.extend([low, subject.bounds.max]);
        let station = |at: DVec3, label: String| Station { at: self.on_face(subject, at), label };
        let mut along: Vec<Station> =
            corners.iter().map(|p| station(*p, subject.text(p.x - low.x))).collect();
        let mut across: Vec<Station> =
            corners.iter().map(|p| station(*p, subject.text(p.y - low.y))).collect();
        if !subject.tabled {
            along.extend(subject.holes.iter().map(|h| station(h.at, subject.rule_text(h.at.x - low.x))));
            across.extend(subject.holes.iter().map(|h| station(h.at, subject.rule_text(h.at.y - low.y))));
        }
        let (from, to) = (self.face_at, high);
        let (items, past) =
            running(along, Flank::Above, to.y, (from.x - OVER_CORNER, room.high.x - OVER_CORNER));
        sheet.items.extend(items);
        sheet
            .items
            .extend(running(across, Flank::Left, from.x, (from.y - OVER_CORNER, to.y + OVER_CORNER)).0);
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
        let mut corners = self.edge.corners();
        corners.retain(|p| !subject.is_of_hole(*p, Camera::BOARD_EDGE));
        let inside = |p: &DVec2| p.y > low.z + 0.5 && p.y < subject.bounds.max.z - 0.5;
        if !corners.iter().any(inside) {
            return;
        }
        let room = (f64::NEG_INFINITY, self.on_edge(subject, subject.bounds.max).y + OVER_CORNER);
        let station = |p: &DVec2| {
            let at = self.on_edge(subject, DVec3::new(p.x, low.y, p.y));
            Station { at, label: subject.text(p.y - low.z) }
        };
        sheet
            .items
            .extend(running(corners.iter().map(station).collect(), Flank::Left, self.edge_at.x, room).0);
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

    /// A hole's mouth on the view that shows it as a circle; what goes into an end on the face view, where it is seen from the side.
    fn mouth(&self, subject: &Subject<'_>, hole: &HoleFact) -> DVec2 {
        match hole.side.along {
            Along::Width => self.on_edge(subject, hole.at),
            Along::Length | Along::Thickness => self.on_face(subject, hole.at),
        }
    }

    /// A cross at the middle of each hole that is a circle on a view.
    fn draw_crosses(&self, sheet: &mut Sheet, subject: &Subject<'_>) {
        for hole in subject.holes.iter().filter(|hole| hole.side.along != Along::Length) {
            let at = self.mouth(subject, hole);
            let arm = self.scale.paper(hole.radius) + 1.2;
            for way in [DVec2::X, DVec2::Y] {
                sheet.line(LineClass::Dimension, at - way * arm, at + way * arm);
            }
        }
    }

    /// Lettering that has a choice of places, the least free first.
    fn labels(&self, subject: &Subject<'_>) -> Vec<Ways> {
        let mut labels = self.end_notes(subject);
        if !subject.tabled {
            labels.extend(self.bore_notes(subject));
        }
        labels.extend(self.radius_notes(subject));
        if subject.numbered {
            labels.extend(subject.holes.iter().map(|hole| {
                let at = self.mouth(subject, hole);
                labels::hole_number(at, self.scale.paper(hole.radius), hole.number)
            }));
        }
        labels.push(self.grain(subject));
        labels
    }

    /// One note for each kind of bore, from its first hole, toward the middle of the sheet, where there is room.
    fn bore_notes(&self, subject: &Subject<'_>) -> Vec<Ways> {
        let middle = self.face_at.x + self.along(subject.size().x) / 2.0;
        let note = |(bore, side, holes): (&str, BoardSide, Vec<&HoleFact>)| {
            let count = if holes.len() > 1 { format!("{} × ", holes.len()) } else { String::new() };
            let (hole, from) = (holes[0], if side.high { "" } else { " from the back face" });
            let at = self.on_face(subject, hole.at);
            labels::bore_note(at, self.face_at.y, at.x <= middle, &format!("{count}{bore}{from}"))
        };
        subject.kinds_of_bore().into_iter().map(note).collect()
    }

    /// Saw settings of the ends: mitres by the face view, bevels by the edge view. Rips stand among the notes.
    fn end_notes(&self, subject: &Subject<'_>) -> Vec<Ways> {
        let mut notes = Vec::new();
        for cut in &subject.cuts {
            let left = match cut.place {
                Place::LeftEnd => true,
                Place::RightEnd => false,
                Place::LowEdge | Place::HighEdge => continue,
            };
            let x = self.on_face(subject, if left { subject.bounds.min } else { subject.bounds.max }).x;
            let settings = [("mitre", cut.mitre, self.face_at.y), ("bevel", cut.bevel, self.edge_at.y)];
            notes.extend(settings.into_iter().filter_map(|(word, setting, y)| {
                let text = format!("{word} {}", subject.setting(setting?));
                Some(labels::end_note(DVec2::new(x, y), left, &text))
            }));
        }
        notes
    }

    fn radius_notes(&self, subject: &Subject<'_>) -> Vec<Ways> {
        let shape = subject.what.solid.shape();
        let place = |p: DVec2| match shape.across {
            Across::Thickness => self.on_face(subject, facts::in_board(shape, p)),
            Across::Width => self.on_edge(subject, facts::in_board(shape, p)),
        };
        let note = |arc: &facts::ArcFact| {
            let way = (arc.centre - arc.middle).normalize_or_zero();
            // Into the wood, where little else is written: toward the centre of a round, away from that of a hollow.
            let inward = if arc.convex { way } else { -way };
            let reach = self.scale.paper(arc.radius * 0.5).clamp(3.0, 9.0);
            labels::radius_note(place(arc.middle), inward * reach, &format!("R {}", subject.text(arc.radius)))
        };
        subject.arcs.iter().map(note).collect()
    }

    /// Under the face view, or under the edge view where notes on bores stand there.
    fn grain(&self, subject: &Subject<'_>) -> Ways {
        let middle = self.face_at.x + self.along(subject.size().x) / 2.0;
        let [face, edge] = [self.face_at, self.edge_at].map(|at| DVec2::new(middle, at.y));
        let bores = !subject.tabled && !subject.holes.is_empty();
        labels::grain(if bores { [edge, face] } else { [face, edge] })
    }
}

/// Numbers in rising order, neighbours as a span: "1 to 4, 7".
fn spans(numbers: &[usize]) -> String {
    let mut spans: Vec<(usize, usize)> = Vec::new();
    for number in numbers {
        match spans.last_mut() {
            Some((_, last)) if *last + 1 == *number => *last = *number,
            _ => spans.push((*number, *number)),
        }
    }
    let text = |(first, last): &(usize, usize)| match last - first {
        0 => first.to_string(),
        1 => format!("{first}, {last}"),
        _ => format!("{first} to {last}"),
    };
    spans.iter().map(text).collect::<Vec<_>>().join(", ")
}

/// A bracket outside the corner from which lengths run.
fn datum(sheet: &mut Sheet, corner: DVec2) {
    let (at, arm) = (corner - 1.3, 6.0);
    let point = |x: f64, y: f64| Corner { point: at + DVec2::new(x, y), bulge: 0.0 };
    let corners = vec![point(0.0, arm), point(0.0, 0.0), point(arm, 0.0)];
    sheet.draw(LineClass::Outline, Figure::Polyline { corners, closed: false });
}

/// A slope is told over so much, mm: a foot, on which a mark of the rule is a seventh of a degree.
const RISE_INCH: f64 = 304.8;
/// And in a metric shop.
const RISE_MM: f64 = 300.0;

/// What the values of making get at most, mm.
const MAKING: f64 = 40.0;

impl Subject<'_> {
    /// What is written under the views.
    fn foot(&self) -> Foot {
        let holes = if self.tabled { self.hole_tables() } else { Vec::new() };
        let curves = self.curves.iter().map(|curve| self.curve_table(curve));
        Foot { making: self.making(), tables: holes.into_iter().chain(curves).collect(), notes: self.notes() }
    }

    fn making(&self) -> Block {
        let size = self.size();
        let row = |name: &str, value: String| vec![name.to_string(), value];
        let mut rows = vec![
            row("make", self.what.quantity.to_string()),
            row("from", self.what.stock.to_string()),
            row("wood", self.what.species.to_string()),
            row("finished", [size.x, size.y, size.z].map(|mm| self.text(mm)).join(" × ")),
            row("0 is", String::from("the bracketed corner: datum end, datum edge")),
            row("seen", String::from("on the marked face, below it on the datum edge")),
        ];
        if !self.what.hand.is_empty() {
            rows.insert(1, row("hand", self.what.hand.to_string()));
        }
        let wrapped = rows.into_iter().flat_map(|row| {
            let value = lines(&row[1], MAKING);
            let name = core::iter::once(row[0].clone()).chain(core::iter::repeat(String::new()));
            value.into_iter().zip(name).map(|(value, name)| vec![name, value.trim_start().to_string()])
        });
        Block { heading: String::from("Making"), head: Vec::new(), rows: wrapped.collect(), splits: false }
    }

    /// A table for each bit and side of the board, as the holes are bored.
    fn hole_tables(&self) -> Vec<Block> {
        let kinds = self.kinds_of_bore().into_iter();
        kinds.map(|(bore, side, holes)| self.hole_table(bore, side, &holes)).collect()
    }

    fn hole_table(&self, bore: &str, side: BoardSide, holes: &[&HoleFact]) -> Block {
        let row = |hole: &&HoleFact| {
            let off = hole.at - self.bounds.min;
            let places = within(side).map(|along| self.rule_text(off[along.index()]));
            core::iter::once(hole.number.to_string()).chain(places).collect()
        };
        let from = within(side).map(|along| String::from(FROM[along.index()]));
        Block {
            heading: format!("Holes {bore}, into the {}", side.word()),
            head: core::iter::once(String::from("no.")).chain(from).collect(),
            rows: holes.iter().map(row).collect(),
            splits: true,
        }
    }

    fn curve_table(&self, curve: &facts::CurveFact) -> Block {
        let (low, across) = (self.bounds.min, self.what.solid.shape().across);
        let base = if across == Across::Thickness { low.y } else { low.z };
        let row = |p: &DVec2| vec![self.text(p.x - low.x), self.text(p.y - base)];
        Block {
            heading: String::from("Curve"),
            head: ["from end", "up"].map(String::from).to_vec(),
            rows: curve.points.iter().map(row).collect(),
            splits: false,
        }
    }

    /// Rips, what the holes are for, then the caller's notes.
    fn notes(&self) -> Block {
        let rips = self.cuts.iter().filter_map(|cut| self.rip_note(cut));
        Block::of_lines("Notes", rips.chain(self.hole_notes()).chain(self.what.notes.iter().cloned()))
    }

    /// What the holes are for: their numbers, where the sheet shows them.
    fn hole_notes(&self) -> Vec<String> {
        let mut purposes: Vec<(String, Vec<usize>)> = Vec::new();
        for hole in &self.holes {
            let purpose = match &hole.countersink {
                Some(size) if hole.turned.is_empty() => format!("{}; countersunk {size}", hole.purpose),
                Some(size) => format!(
                    "{}; countersunk {size}, in {} from the other side",
                    hole.purpose,
                    hole.turned.join(", ")
                ),
                None => hole.purpose.clone(),
            };
            match purposes.iter_mut().find(|(own, _)| *own == purpose) {
                Some((_, numbers)) => numbers.push(hole.number),
                None => purposes.push((purpose, vec![hole.number])),
            }
        }
        let all = purposes.len() == 1;
        let note = |(purpose, numbers): &(String, Vec<usize>)| match (all, numbers.len()) {
            (true, 1) => format!("hole: {purpose}"),
            (true, _) => format!("holes: {purpose}"),
            (false, 1) => format!("hole {}: {purpose}", numbers[0]),
            (false, _) => format!("holes {}: {purpose}", spans(numbers)),
        };
        purposes.iter().map(note).collect()
    }
}

/// The two directions in which a hole is placed on a side.
fn within(side: BoardSide) -> impl Iterator<Item = Along> {
    Along::ALL.into_iter().filter(move |along| *along != side.along)
}

/// What the places of a hole are measured from, along the board, across it and through it.
const FROM: [&str; 3] = ["from end", "from edge", "from back"];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn neighbouring_numbers_are_told_as_spans() {
        assert_eq!(spans(&[1, 2, 3, 4, 7, 9, 10]), "1 to 4, 7, 9, 10");
        assert_eq!(spans(&[]), "");
    }
}
