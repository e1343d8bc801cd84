//! Ends that lean through the board, developed: the four sides beside one another, to be wrapped round it, with the saw's
//! line over each.

use super::Template;
use super::pattern::{PatternOf, lettered};
use super::stroke::{Stroke, Window};
use crate::drawing::{Plane, TaggedCorner};
use crate::sheet::{Corner, Item, LineClass};
use slatwork_solid::{Across, DVec2, DVec3, HalfSpace, Solid};

/// A normal that leans less than this through the board, as a sine, is square: a thousandth of a millimetre.
const SQUARE: f64 = 1e-5;
/// How much of the board is shown beside the cut, mm: enough to hold on by.
const SHOWN: f64 = 45.0;
/// Between two wraps, mm.
const BETWEEN: f64 = 20.0;
/// Two lines nearer than this are one, mm.
const SAME_LINE: f64 = 2e-3;

/// Planes of ends that lean through the thickness and leave a face.
pub(crate) fn leaning_ends(solid: &Solid) -> Vec<HalfSpace> {
    let is_end = |cut: &&HalfSpace| cut.normal.x.abs() > cut.normal.y.abs().max(cut.normal.z.abs());
    let leans = |cut: &&HalfSpace| cut.normal.z.abs() > SQUARE;
    let is_left = |cut: &&HalfSpace| solid.faces().iter().any(|face| face.tag == cut.tag);
    solid.shape().cuts.iter().filter(is_end).filter(leans).filter(is_left).copied().collect()
}

/// Draws the wraps of a part side by side, from a height up.
pub(crate) fn ends(template: &mut Template, of: &PatternOf<'_>, bottom: f64) {
    let bounds = of.solid.bounds();
    let size = bounds.max - bounds.min;
    let mut left = 0.0;
    for cut in leaning_ends(of.solid) {
        let window = shown(&cut, bounds.min, size);
        let shift = DVec2::new(left, bottom) - window.low;
        let mut drawn: Vec<Stroke> = Vec::new();
        for (stroke, class) in developed(of.solid, size) {
            if drawn.iter().any(|own| stroke.lies_on(*own, SAME_LINE)) {
                continue;
            }
            drawn.push(stroke);
            let parts = stroke.within(window).into_iter();
            template.items.extend(parts.map(|part| Item { class, figure: part.moved(shift).figure() }));
        }
        let end = if cut.normal.x > 0.0 { "far end" } else { "datum end" };
        words(template, end, window, shift, size);
        let wrap = Window::new(window.low + shift, window.high + shift);
        template.clear.push((wrap, 1.0));
        left += window.size().x + BETWEEN;
    }
}

/// The stretch of the board that a cut runs through, on all four sides.
fn shown(cut: &HalfSpace, low: DVec3, size: DVec3) -> Window {
    let at = |y: f64, z: f64| {
        let (y, z) = (low.y + y, low.z + z);
        (cut.offset - cut.normal.y * y - cut.normal.z * z) / cut.normal.x - low.x
    };
    let marks = [at(0.0, 0.0), at(size.y, 0.0), at(0.0, size.z), at(size.y, size.z)];
    let first = marks.into_iter().fold(f64::INFINITY, f64::min);
    let last = marks.into_iter().fold(f64::NEG_INFINITY, f64::max);
    let (from, to) = if cut.normal.x > 0.0 { (first - SHOWN, last) } else { (first, last + SHOWN) };
    Window::new(DVec2::new(from, 0.0), DVec2::new(to, 2.0 * (size.y + size.z)))
}

/// The lines of the four sides: marked face, far edge, back face, datum edge, from below. Folds are `Centre`.
fn developed(solid: &Solid, size: DVec3) -> Vec<(Stroke, LineClass)> {
    let (width, thick) = (size.y, size.z);
    // Where a side's second coordinate v lies on the strip: at + v, or at - v.
    let sides = [
        (Across::Thickness, DVec3::Z, 0.0, 1.0),
        (Across::Width, DVec3::Y, width + thick, -1.0),
        (Across::Thickness, DVec3::NEG_Z, 2.0 * width + thick, -1.0),
        (Across::Width, DVec3::NEG_Y, 2.0 * width + thick, 1.0),
    ];
    let folds = [0.0, width, width + thick, 2.0 * width + thick, 2.0 * (width + thick)];
    let mut lines = Vec::new();
    for (across, way, at, turn) in sides {
        let plane = Plane::seen(solid, across);
        for outline in plane.outlines(solid, way) {
            let mapped: Vec<Corner> = outline.iter().map(|corner| unfolded(corner, at, turn)).collect();
            for i in 0..mapped.len() {
                let stroke = Stroke::of_edge(mapped[i], mapped[(i + 1) % mapped.len()].point);
                let on = |share: f64, fold: f64| (stroke.point(share).y - fold).abs() < SAME_LINE;
                let is_fold = folds.iter().any(|fold| [0.0, 0.5, 1.0].iter().all(|share| on(*share, *fold)));
                lines.push((stroke, if is_fold { LineClass::Centre } else { LineClass::Cut }));
            }
        }
    }
    lines
}

fn unfolded((corner, _): &TaggedCorner, at: f64, turn: f64) -> Corner {
    Corner { point: DVec2::new(corner.point.x, at + turn * corner.point.y), bulge: corner.bulge * turn }
}

/// What the strip is, and which side is which.
fn words(template: &mut Template, end: &str, window: Window, shift: DVec2, size: DVec3) {
    let (width, thick) = (size.y, size.z);
    let middles = [
        ("marked face", width / 2.0),
        ("far edge", width + thick / 2.0),
        ("back face", 1.5 * width + thick),
        ("datum edge", 2.0 * width + 1.5 * thick),
    ];
    let inner = if end == "far end" { window.low.x + 4.0 } else { window.high.x - 24.0 };
    for (side, middle) in middles {
        let at = DVec2::new(inner, middle - 1.0) + shift;
        template.items.push(lettered(LineClass::Mark, at, 2.0, side.to_string()));
    }
    let above = DVec2::new(window.low.x, window.high.y + 3.0) + shift;
    template.items.push(lettered(
        LineClass::Mark,
        above + DVec2::new(0.0, 4.0),
        2.5,
        format!("{end}: wrap round"),
    ));
    let folds = String::from("fold on the board's corners");
    template.items.push(lettered(LineClass::Mark, above, 2.5, folds));
}
