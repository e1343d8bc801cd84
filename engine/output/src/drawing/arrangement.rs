//! The general arrangement: front, side, top and isometric of a whole piece on one sheet, in third-angle projection.

use crate::dimension::{Axis, Leader};
use crate::drawing::balloons;
use crate::drawing::layout::{ANYWHERE, Flank, Station, Wanted, running, stack};
use crate::drawing::picture::{HiddenLines, Picture};
use crate::drawing::placed::Placed;
use crate::drawing::title::{Room, framed_sheet, label, units};
use crate::drawing::view::{Camera, View};
use crate::drawing::wire::Wire;
use crate::sheet::{Anchor, Figure, LineClass, Paper, Scale, Sheet};
use slatwork_base::Tape;
use slatwork_solid::{DVec2, DVec3};

/// A length that is to stand on the arrangement.
#[derive(Clone, Debug, PartialEq)]
pub struct Measure {
    /// The view it stands by; in [`View::Isometric`] lengths cannot be read, and none is drawn.
    pub view: View,
    /// Which way it is measured on that view.
    pub axis: Axis,
    /// First point measured, mm in the world.
    pub from: DVec3,
    /// Second point measured.
    pub to: DVec3,
    /// What it reads; without one, the distance on the sheet's tape.
    pub label: Option<String>,
}

/// A place that is to be read from the left, the front or the bottom of a view.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// The view it stands by; none is drawn by [`View::Isometric`].
    pub view: View,
    /// Which way it is measured on that view.
    pub axis: Axis,
    /// The place, mm in the world.
    pub at: DVec3,
    /// What is there, written before the reading; may be empty.
    pub name: String,
}

/// A part's mark, and the bodies that carry it.
#[derive(Clone, Debug, PartialEq)]
pub struct Balloon {
    /// The mark.
    pub mark: String,
    /// Numbers of the bodies; one that can be seen gets the leader.
    pub bodies: Vec<usize>,
}

/// What a general arrangement shows.
pub struct Arrangement<'a> {
    /// The piece, as the builder calls it.
    pub title: &'a str,
    /// The family it is of.
    pub family: &'a str,
    /// Everything that is built, in its place.
    pub piece: &'a Placed<'a>,
    /// Lengths to write.
    pub measures: &'a [Measure],
    /// Places to write.
    pub marks: &'a [Mark],
    /// What is to be said of a view, after its name.
    pub remarks: &'a [(View, String)],
    /// Marks to write.
    pub balloons: &'a [Balloon],
    /// The tape on which lengths are read.
    pub tape: Tape,
    /// The sheet.
    pub paper: Paper,
}

/// Overall width and height by the front view, overall depth by the side view.
pub fn overall(piece: &Placed<'_>) -> Vec<Measure> {
    let Some([low, high]) = piece.bounds() else { return Vec::new() };
    let measure = |view, axis| Measure { view, axis, from: low, to: high, label: None };
    vec![
        measure(View::Front, Axis::Level),
        measure(View::Front, Axis::Upright),
        measure(View::Side, Axis::Level),
    ]
}

/// Draws the sheet.
pub fn arrangement(what: &Arrangement<'_>) -> Sheet {
    let wire = what.piece.whole();
    let blank = framed_sheet(what.paper, what.title, &[]).1;
    let plan = Plan::that_fits(what, &wire, blank);
    let cells = [
        ("piece", what.title.to_string()),
        ("family", what.family.to_string()),
        ("sheet", String::from("General arrangement")),
        ("scale", plan.scale.to_string()),
        ("lengths in", units(what.tape).to_string()),
    ];
    let (mut sheet, room) = framed_sheet(what.paper, what.title, &cells);
    sheet.description = format!(
        "Front, side, top and isometric views of {} ({} parts) at scale {}, hidden lines taken away, with part marks.",
        what.title,
        what.piece.bodies().len(),
        plan.scale
    );
    for view in [View::Front, View::Side, View::Top] {
        plan.draw(&mut sheet, what, &wire, view, room);
    }
    draw_isometric(&mut sheet, what, &wire, plan.free_corner(room));
    sheet
}

/// Between views, and from a view to its name, mm.
const BETWEEN: f64 = 15.0;
const NAME_GAP: f64 = 5.0;
/// Height of capitals of a view's name, mm.
const NAME_HEIGHT: f64 = 2.5;
/// Width that the isometric view gets at least, mm.
const LEAST_ISOMETRIC: f64 = 110.0;

/// The three flat views and where they go.
struct Plan {
    scale: Scale,
    front: Extent,
    side: Extent,
    top: Extent,
    /// Widths of what stands beside the views, mm on paper.
    margins: Margins,
}

/// What a view takes up, mm of the piece.
#[derive(Clone, Copy)]
struct Extent {
    camera: Camera,
    low: DVec2,
    size: DVec2,
}

impl Extent {
    fn of(wire: &Wire, camera: Camera) -> Extent {
        let points = || wire.points().map(|p| camera.flat(p));
        let low = points().fold(DVec2::INFINITY, DVec2::min);
        let high = points().fold(DVec2::NEG_INFINITY, DVec2::max);
        if wire.triangles.is_empty() {
            return Extent { camera, low: DVec2::ZERO, size: DVec2::ZERO };
        }
        Extent { camera, low, size: high - low }
    }
}

/// Room for dimensions round the views, mm on paper.
#[derive(Clone, Copy, Default)]
struct Margins {
    left: f64,
    right: f64,
    below: f64,
    above: f64,
}

impl Plan {
    fn that_fits(what: &Arrangement<'_>, wire: &Wire, room: Room) -> Plan {
        let views = [View::Front, View::Side, View::Top].map(|view| Extent::of(wire, view.camera()));
        let of_scale = |scale: Scale| {
            let [front, side, top] = views;
            let mut plan = Plan { scale, front, side, top, margins: Margins::default() };
            plan.margins = plan.margins_for(what);
            plan
        };
        // The margins hardly depend on the scale: those of one guess choose the next, and a scale once chosen stands.
        let guess = of_scale(Scale { denominator: 10.0 });
        let free = room.high - room.low - guess.taken();
        let size = DVec2::new(guess.front.size.x + guess.side.size.x, guess.front.size.y + guess.top.size.y);
        let narrow = room.high.x - room.low.x - guess.taken().x - LEAST_ISOMETRIC;
        let needed = (size / free.max(DVec2::ONE)).max_element().max(guess.front.size.x / narrow.max(1.0));
        of_scale(Scale::that_fits(needed, what.tape.is_inch()))
    }

    /// What is not picture, mm on paper.
    fn taken(&self) -> DVec2 {
        let m = self.margins;
        DVec2::new(m.left + BETWEEN + m.right + 4.0, m.below + 2.0 * BETWEEN + m.above)
    }

    fn extent(&self, view: View) -> &Extent {
        match view {
            View::Side => &self.side,
            View::Top => &self.top,
            View::Front | View::Isometric => &self.front,
        }
    }

    /// Sizes of front, side and top on paper.
    fn paper_size(&self, view: View) -> DVec2 {
        self.extent(view).size / self.scale.denominator
    }

    fn margins_for(&self, what: &Arrangement<'_>) -> Margins {
        let depth = |view: View, flank: Flank| {
            let origin = DVec2::ZERO;
            let edge = self.edge(view, flank, origin);
            let past = stack(self.wanted(what, view, flank, origin), flank, edge).1;
            let (_, past) = running(self.stations(what, view, flank, origin), flank, past, ANYWHERE);
            (past - edge).abs()
        };
        Margins {
            left: depth(View::Front, Flank::Left).max(depth(View::Top, Flank::Left)),
            right: depth(View::Side, Flank::Right),
            below: depth(View::Front, Flank::Below).max(depth(View::Side, Flank::Below))
                + NAME_GAP
                + NAME_HEIGHT,
            above: depth(View::Top, Flank::Above),
        }
    }

    /// Where the lower left corner of a view goes.
    fn place(&self, view: View, room: Room) -> DVec2 {
        let (front, side, top) =
            (self.paper_size(View::Front), self.paper_size(View::Side), self.paper_size(View::Top));
        let used = DVec2::new(front.x + side.x, front.y + top.y) + self.taken();
        let spare = (room.high - room.low - used).max(DVec2::ZERO);
        // Spare room goes before, between and after the views alike.
        let corner = room.low
            + DVec2::new(self.margins.left + 2.0, self.margins.below + 2.0)
            + spare * DVec2::new(0.2, 0.33);
        let between = DVec2::splat(BETWEEN) + spare * DVec2::new(0.4, 0.33);
        match view {
            View::Front | View::Isometric => corner,
            View::Side => corner + DVec2::new(front.x + between.x, 0.0),
            View::Top => corner + DVec2::new(0.0, front.y + between.y),
        }
    }

    fn draw(&self, sheet: &mut Sheet, what: &Arrangement<'_>, wire: &Wire, view: View, room: Room) {
        let at = self.place(view, room);
        let picture = Picture::of_wire(wire, view.camera(), HiddenLines::Removed, self.scale);
        sheet.items.extend(picture.draw(at, self.scale));
        let mut foot = at.y;
        for flank in flanks(view) {
            let edge = self.edge(view, flank, at);
            let (dimensions, past) = stack(self.wanted(what, view, flank, at), flank, edge);
            for dimension in dimensions {
                sheet.draw(LineClass::Dimension, Figure::Dimension(dimension));
            }
            let (items, past) = running(
                self.stations(what, view, flank, at),
                flank,
                past,
                self.bounds(view, flank, at, room),
            );
            sheet.items.extend(items);
            if flank == Flank::Below {
                foot = past;
            }
        }
        let middle = at.x + self.paper_size(view).x / 2.0;
        let name = DVec2::new(middle, foot - NAME_GAP - NAME_HEIGHT / 2.0);
        let remarks = what.remarks.iter().filter(|(own, _)| *own == view).map(|(_, remark)| remark.as_str());
        let words: Vec<&str> = core::iter::once(view.name()).chain(remarks).collect();
        sheet.text(LineClass::Mark, name, NAME_HEIGHT, Anchor::Middle, words.join("; "));
    }

    /// The places that are read along a flank of a view, each moved to the view's border: no line runs over the picture.
    fn stations(&self, what: &Arrangement<'_>, view: View, flank: Flank, at: DVec2) -> Vec<Station> {
        let extent = self.extent(view);
        let edge = self.edge(view, flank, at);
        let here = what.marks.iter().filter(|m| m.view == view && flank_of(m.view, m.axis) == Some(flank));
        here.map(|m| {
            let off = extent.camera.flat(m.at) - extent.low;
            let paper = at + off / self.scale.denominator;
            let level = m.axis == Axis::Level;
            let read = label(what.tape, if level { off.x } else { off.y });
            Station {
                at: if level { DVec2::new(paper.x, edge) } else { DVec2::new(edge, paper.y) },
                label: if m.name.is_empty() { read } else { format!("{} {read}", m.name) },
            }
        })
        .collect()
    }

    /// How far the places read along a flank of a view may spread: not into what belongs to its neighbours.
    fn bounds(&self, view: View, flank: Flank, at: DVec2, room: Room) -> (f64, f64) {
        let (low, high) = (at - BETWEEN / 2.0, at + self.paper_size(view) + BETWEEN / 2.0);
        match (view, flank) {
            (View::Side, Flank::Below | Flank::Above) => (low.x, room.high.x),
            (_, Flank::Below | Flank::Above) => (room.low.x, high.x),
            (View::Top, _) => (low.y, room.high.y),
            (_, Flank::Left | Flank::Right) => (room.low.y, high.y),
        }
    }

    /// The coordinate of a view's border on a flank.
    fn edge(&self, view: View, flank: Flank, at: DVec2) -> f64 {
        let high = at + self.paper_size(view);
        match flank {
            Flank::Below => at.y,
            Flank::Above => high.y,
            Flank::Left => at.x,
            Flank::Right => high.x,
        }
    }

    /// The lengths that stand on a flank of a view.
    fn wanted(&self, what: &Arrangement<'_>, view: View, flank: Flank, at: DVec2) -> Vec<Wanted> {
        let extent = self.extent(view);
        let paper = |p: DVec3| at + (extent.camera.flat(p) - extent.low) / self.scale.denominator;
        let here = what.measures.iter().filter(|m| m.view == view && flank_of(m.view, m.axis) == Some(flank));
        here.map(|m| {
            let way = extent.camera.flat(m.to - m.from).abs();
            let mm = if m.axis == Axis::Level { way.x } else { way.y };
            let text = m.label.clone().unwrap_or_else(|| label(what.tape, mm));
            Wanted { from: paper(m.from), to: paper(m.to), label: text }
        })
        .collect()
    }

    /// The room above the side view and right of the top view.
    fn free_corner(&self, room: Room) -> Room {
        let side = self.place(View::Side, room);
        let top = self.place(View::Top, room);
        let low = DVec2::new(top.x + self.paper_size(View::Top).x, side.y + self.paper_size(View::Side).y);
        Room { low: low + DVec2::new(8.0, 6.0), high: room.high - DVec2::new(3.0, 4.0) }
    }
}

/// Where each view's lengths stand: away from its neighbours.
fn flanks(view: View) -> [Flank; 2] {
    match view {
        View::Front => [Flank::Below, Flank::Left],
        View::Side => [Flank::Below, Flank::Right],
        View::Top | View::Isometric => [Flank::Above, Flank::Left],
    }
}

fn flank_of(view: View, axis: Axis) -> Option<Flank> {
    let [level, upright] = flanks(view);
    match (view, axis) {
        (View::Isometric, _) => None,
        (_, Axis::Level) => Some(level),
        (_, Axis::Upright) => Some(upright),
    }
}

fn draw_isometric(sheet: &mut Sheet, what: &Arrangement<'_>, wire: &Wire, room: Room) {
    let camera = View::Isometric.camera();
    let extent = Extent::of(wire, camera);
    let margin = DVec2::new(balloons::column_width(what.balloons) * 2.0, NAME_GAP + 2.0 * NAME_HEIGHT);
    let free = (room.high - room.low - margin).max(DVec2::splat(20.0));
    let scale = Scale { denominator: (extent.size / free).max_element().max(1.0) };
    let seen = what.piece.isometric(scale);
    let size = extent.size / scale.denominator;
    let middle = (room.low + room.high + DVec2::new(0.0, margin.y)) / 2.0;
    let at = middle - size / 2.0;
    sheet.items.extend(seen.draw(at, scale));
    let paper = |p: DVec3| at + (camera.flat(p) - extent.low) / scale.denominator;
    let anchors = balloons::anchors(what.balloons, wire, seen.covers(), camera);
    let pointed: Vec<(String, DVec2)> =
        anchors.iter().filter_map(|(mark, point)| Some((mark.clone(), paper((*point)?)))).collect();
    let leaders: Vec<Leader> = balloons::place(pointed, (at, at + size), (room.low.y, room.high.y));
    for leader in leaders {
        sheet.draw(LineClass::Dimension, Figure::Leader(leader));
    }
    let unseen: Vec<&str> =
        anchors.iter().filter(|(_, p)| p.is_none()).map(|(mark, _)| mark.as_str()).collect();
    let mut name = format!("{}, not to scale", View::Isometric.name());
    if !unseen.is_empty() {
        name.push_str(&format!("; out of sight: {}", unseen.join(", ")));
    }
    let foot = DVec2::new(middle.x, at.y - NAME_GAP - NAME_HEIGHT / 2.0);
    sheet.text(LineClass::Mark, foot, NAME_HEIGHT, Anchor::Middle, name);
}
