//! When two parts are the same, when one mirrors the other.

use super::outline::{Outline, SAME};
use super::words::is_hand;
use crate::{Blank, FeatureKind, Part, When};
use slatwork_base::Length;
use slatwork_solid::{DAffine3, DMat3, DVec3, HalfSpace, Hole, HoleStep, Notch, Shape, Vertex};
use std::cell::OnceCell;

/// Lengths that follow from computed geometry count as equal within this: a hundredth of a millimetre, as for solids.
const SAME_LENGTH: Length = Length::nm(10_000);

/// Everything but the solid that must be the same. Words that name a hand are left out, so that mirror images match;
/// parts named by a feature's time are left out too: the second slat waits for other parts than the first.
#[derive(Debug)]
struct Likeness<'a> {
    part: &'a Part,
    softened: Vec<(String, Length, Length)>,
    made: Vec<(u8, u8)>,
}

impl<'a> Likeness<'a> {
    fn of(part: &'a Part) -> Self {
        let mut softened: Vec<(String, Length, Length)> =
            part.softened.iter().map(|soft| (without_hand(&soft.edges), soft.radius, soft.length)).collect();
        softened.sort();
        let mut made: Vec<(u8, u8)> = part
            .features
            .iter()
            .filter(|feature| is_made(&feature.kind))
            .map(|f| (f.kind.rank(), time(&f.when)))
            .collect();
        made.sort_unstable();
        Likeness { part, softened, made }
    }

    fn is(&self, other: &Likeness) -> bool {
        let (a, b) = (self.part, other.part);
        a.section == b.section
            && a.species == b.species
            && a.from_wider == b.from_wider
            && a.alone == b.alone
            && a.defects == b.defects
            && near(a.rough_length, b.rough_length)
            && near(a.rough_width, b.rough_width)
            && same_blank(&a.blank, &b.blank)
            && same_fit(a, b)
            && self.made == other.made
            && self.softened.len() == other.softened.len()
            && self
                .softened
                .iter()
                .zip(&other.softened)
                .all(|(x, y)| x.0 == y.0 && x.1 == y.1 && near(x.2, y.2))
    }
}

/// Whether a feature counts beside the solid: rounding over is compared by its data.
fn is_made(kind: &FeatureKind) -> bool {
    !matches!(kind, FeatureKind::Soften { .. })
}

fn time(when: &When) -> u8 {
    match when {
        When::AtBench => 0,
        When::InPlace { .. } => 1,
        When::MarkedFrom { .. } => 2,
        When::Through { .. } => 3,
    }
}

fn without_hand(words: &str) -> String {
    words.split_whitespace().filter(|word| !is_hand(word) && !is_face(word)).collect::<Vec<_>>().join(" ")
}

/// Whether a word names one of the two wide faces of a board, as in "upper long edges".
fn is_face(word: &str) -> bool {
    matches!(word, "upper" | "lower")
}

/// Whether the edges rounded over at the marked face of one are those that a turn brings there from the other: a part
/// rounded on one face only is no longer the same when it is flipped.
fn same_faces(a: &Part, b: &Part, turn: DMat3) -> bool {
    let one_faced = |part: &Part| part.softened.iter().any(|soft| soft.edges.split(' ').any(is_face));
    if !one_faced(a) && !one_faced(b) {
        return true;
    }
    // A quarter turn of a square section brings a face to an edge.
    if turn.z_axis.z.abs() < 0.5 {
        return false;
    }
    let seen = |part: &Part, flipped: bool| -> Vec<(String, Length)> {
        let mut seen: Vec<_> = part.softened.iter().map(|soft| (soft.seen(flipped), soft.radius)).collect();
        seen.sort();
        seen
    };
    seen(a, turn.z_axis.z < 0.0) == seen(b, false)
}

fn near(a: Length, b: Length) -> bool {
    (a - b).abs() <= SAME_LENGTH
}

/// Glued blanks are alike when their strips are, from either edge.
fn same_blank(a: &Blank, b: &Blank) -> bool {
    let (Blank::GluedUp { strips: a, how }, Blank::GluedUp { strips: b, how: other }) = (a, b) else {
        return matches!((a, b), (Blank::Solid, Blank::Solid));
    };
    let same = |x: &crate::Strip, y: &crate::Strip| {
        x.section == y.section && near(x.width, y.width) && near(x.length, y.length)
    };
    how == other
        && a.len() == b.len()
        && (a.iter().zip(b).all(|(x, y)| same(x, y)) || a.iter().zip(b.iter().rev()).all(|(x, y)| same(x, y)))
}

fn same_fit(a: &Part, b: &Part) -> bool {
    match (&a.fit, &b.fit) {
        (None, None) => true,
        (Some(a), Some(b)) => a.allowance == b.allowance && without_hand(&a.trim) == without_hand(&b.trim),
        _ => false,
    }
}

/// A part with what its likeness hangs on; the outline is worked out only when the shapes' data do not settle it.
#[derive(Debug)]
pub(super) struct Subject<'a> {
    likeness: Likeness<'a>,
    outline: OnceCell<Outline>,
}

impl<'a> Subject<'a> {
    pub(super) fn of(part: &'a Part) -> Self {
        Subject { likeness: Likeness::of(part), outline: OnceCell::new() }
    }

    fn outline(&self) -> &Outline {
        self.outline.get_or_init(|| Outline::of(self.likeness.part))
    }

    /// The turn to another in board axes when they are the same part.
    pub(super) fn turn_to(&self, other: &Subject) -> Option<DAffine3> {
        if !self.may_be(other) {
            return None;
        }
        let (part, others_part) = (self.likeness.part, other.likeness.part);
        if same_shape(&part.shape, &others_part.shape) && same_faces(part, others_part, DMat3::IDENTITY) {
            return Some(DAffine3::IDENTITY);
        }
        let (own, others) = (self.outline(), other.outline());
        if !own.may_match(others) {
            return None;
        }
        let fits = |turn: &DMat3| same_faces(part, others_part, *turn) && own.is_other_turned(others, *turn);
        let turn = turns(own).into_iter().find(fits)?;
        Some(DAffine3::from_mat3_translation(turn, others.middle - turn * own.middle))
    }

    /// Whether another is the mirror image.
    pub(super) fn mirrors(&self, other: &Subject) -> bool {
        self.may_be(other) && self.outline().may_match(other.outline()) && self.is_mirrored(other)
    }

    /// Whether a part is its own mirror image, turned round.
    pub(super) fn is_neutral(&self) -> bool {
        self.is_mirrored(self)
    }

    fn is_mirrored(&self, other: &Subject) -> bool {
        let (own, others) = (self.outline(), other.outline());
        let (part, others_part) = (self.likeness.part, other.likeness.part);
        mirrors(own)
            .into_iter()
            .any(|mirror| same_faces(part, others_part, mirror) && own.is_other_turned(others, mirror))
    }

    /// What can be said without the faces of the solids.
    fn may_be(&self, other: &Subject) -> bool {
        let size = |subject: &Subject| subject.likeness.part.solid.bounds().size();
        (size(self).x - size(other).x).abs() <= SAME && self.likeness.is(&other.likeness)
    }
}

/// Shapes whose data agree within this are the same to any measure of a solid, mm.
const SAME_DATA: f64 = 1e-6;

/// Whether two boards were made alike and lie alike, as copies do: then there is nothing to compare.
fn same_shape(a: &Shape, b: &Shape) -> bool {
    let near = |x: f64, y: f64| x == y || (x - y).abs() <= SAME_DATA;
    let same_plane =
        |x: &HalfSpace, y: &HalfSpace| near(x.offset, y.offset) && x.normal.distance(y.normal) <= SAME_NORMAL;
    let same_notch = |x: &Notch, y: &Notch| all_same(&x.planes, &y.planes, same_plane);
    let same_step = |x: &HoleStep, y: &HoleStep| near(x.radius, y.radius) && near(x.depth, y.depth);
    let same_hole = |x: &Hole, y: &Hole| {
        x.start.distance(y.start) <= SAME_DATA
            && x.direction.distance(y.direction) <= SAME_NORMAL
            && all_same(&x.steps, &y.steps, same_step)
    };
    let same_corner = |x: &Vertex, y: &Vertex| {
        x.point.distance(y.point) <= SAME_DATA && (x.bulge - y.bulge).abs() <= SAME_NORMAL
    };
    a.across == b.across
        && near(a.low, b.low)
        && near(a.high, b.high)
        && all_same(&a.profile.vertices, &b.profile.vertices, same_corner)
        && all_same(&a.cuts, &b.cuts, same_plane)
        && all_same(&a.notches, &b.notches, same_notch)
        && all_same(&a.holes, &b.holes, same_hole)
}

/// Directions and bulges that differ by less than this part by less than [`SAME_DATA`] over 1 m.
const SAME_NORMAL: f64 = 1e-9;

fn all_same<T>(a: &[T], b: &[T], same: impl Fn(&T, &T) -> bool) -> bool {
    a.len() == b.len() && a.iter().zip(b).all(|(x, y)| same(x, y))
}

/// The turns that bring a box back onto itself with its grain along x.
fn turns(outline: &Outline) -> Vec<DMat3> {
    signed(outline, 1.0)
}

/// The mirror images of a box that do so.
fn mirrors(outline: &Outline) -> Vec<DMat3> {
    signed(outline, -1.0)
}

/// Every way to send x to +-x and y, z to +-y, +-z (or, in a square section, to +-z, +-y) with the given determinant.
fn signed(outline: &Outline, determinant: f64) -> Vec<DMat3> {
    let swaps: &[bool] = if outline.is_square() { &[false, true] } else { &[false] };
    let mut found = Vec::with_capacity(8);
    for &swap in swaps {
        for (x, y) in [(1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0)] {
            let z = if swap { -determinant * x * y } else { determinant * x * y };
            let (to_y, to_z) = if swap { (DVec3::Z * y, DVec3::Y * z) } else { (DVec3::Y * y, DVec3::Z * z) };
            found.push(DMat3::from_cols(DVec3::X * x, to_y, to_z));
        }
    }
    found
}
