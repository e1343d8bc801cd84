//! Checks for true of frames that stay open: two like boards that stand out from a third, as stringers from a stretcher.

use super::drawn::Drawn;
use super::steps::Drafter;
use super::words::side_word;
use slatwork_base::Length;
use slatwork_model::Model;
use slatwork_solid::DVec3;

/// Corners that differ by less than this along the grain lie at one end, mm: facets of rounded corners.
const ONE_END: f64 = 0.1;

/// An end sawn askew or rounded takes up so much of the board's width along its grain (as far as 27 degrees take it).
const ASKEW: f64 = 0.51;

/// Boards nearer than this to parallel (as a cosine) are measured once: 8 degrees.
const PARALLEL: f64 = 0.99;

/// One of two like boards: its corners on the face that looks at the other.
struct Side {
    part: usize,
    /// World corners, with how far along the grain each lies from the tied end.
    corners: Vec<(DVec3, f64)>,
    /// Out of the tied end.
    tied: DVec3,
    long: f64,
    width: f64,
}

/// What is read across a frame.
pub(super) struct OpenFrame {
    /// Along the two boards.
    grain: DVec3,
    pub(super) words: String,
}

impl OpenFrame {
    /// Whether another was measured the same way.
    pub(super) fn is_like(&self, other: &OpenFrame) -> bool {
        self.grain.dot(other.grain).abs() > PARALLEL
    }
}

/// Where a part's weight is at, in the world.
fn middle(model: &Model, part: usize) -> DVec3 {
    let own = &model.parts[part];
    own.pose.transform_point3(own.solid.centroid())
}

impl Side {
    fn new(model: &Model, part: usize, other: usize, tie: usize) -> Option<Self> {
        let own = &model.parts[part];
        let from_it = |other: usize| middle(model, other) - middle(model, part);
        let (grain, toward) = (own.pose.matrix3.x_axis, from_it(other));
        let tied = if grain.dot(from_it(tie)) < 0.0 { -grain } else { grain };
        let faces = [own.pose.matrix3.y_axis, own.pose.matrix3.z_axis];
        let face = faces.into_iter().max_by(|a, b| a.dot(toward).abs().total_cmp(&b.dot(toward).abs()))?;
        let inward = face * face.dot(toward).signum();
        let vertices = own.solid.pieces().iter().flat_map(|piece| piece.vertices());
        let all: Vec<DVec3> = vertices.map(|corner| own.pose.transform_point3(*corner)).collect();
        let most = |of: &[DVec3], way: DVec3| {
            of.iter().map(|corner| corner.dot(way)).fold(f64::NEG_INFINITY, f64::max)
        };
        let level = most(&all, inward);
        let inner: Vec<DVec3> =
            all.into_iter().filter(|corner| level - corner.dot(inward) < ONE_END).collect();
        let start = most(&inner, tied);
        let long = start + most(&inner, -tied);
        let corners = inner.into_iter().map(|corner| (corner, start - corner.dot(tied))).collect();
        Some(Side { part, corners, tied, long, width: own.width.as_mm() })
    }

    /// The corner at the tied end that a tape is hooked on.
    fn near(&self) -> Option<DVec3> {
        let at_end = self.corners.iter().filter(|corner| corner.1 < ONE_END);
        at_end.map(|corner| corner.0).min_by(|a, b| a.y.total_cmp(&b.y).then(b.z.total_cmp(&a.z)))
    }

    /// The corner at the free end over which a tape from a point of the other board is read, and whether the end is square: then
    /// it is that on the same edge, else where the tape reads most.
    fn far(&self, from: DVec3) -> Option<(DVec3, bool)> {
        let own = self.near()?;
        let ends = |depth: f64| self.corners.iter().filter(move |corner| self.long - corner.1 < depth);
        let off = |corner: &DVec3| (*corner - own).reject_from_normalized(self.tied).length();
        let square: Vec<DVec3> = ends(ONE_END).map(|corner| corner.0).collect();
        let (low, high) = square
            .iter()
            .map(off)
            .fold((f64::INFINITY, 0.0), |(low, high): (f64, f64), own| (low.min(own), high.max(own)));
        if low < ONE_END && high > self.width - 1.0 {
            return square.into_iter().min_by(|a, b| off(a).total_cmp(&off(b))).map(|corner| (corner, true));
        }
        let skew = ends(ASKEW * self.width).map(|corner| corner.0);
        let farthest = skew.max_by(|a, b| a.distance(from).total_cmp(&b.distance(from)))?;
        Some((farthest, false))
    }

    /// "the upper corner".
    fn corner_word(&self, corner: DVec3) -> String {
        let all = self.corners.iter().filter(|own| own.1 < ASKEW * self.width).map(|own| own.0);
        let middle = all.clone().sum::<DVec3>() / all.count() as f64;
        let out = (corner - middle).reject_from_normalized(self.tied).normalize_or_zero();
        format!("the {} corner", side_word(out))
    }
}

impl Drafter<'_> {
    /// What must be read across two like boards that a third holds, once both stand; `None` where there is no such pair among
    /// these parts, or it is not alike to either side.
    pub(super) fn open_frame(&self, coming: &[usize], standing: &[usize]) -> Option<OpenFrame> {
        let stands = |part: &usize| coming.contains(part) || standing.contains(part);
        let pairs = coming.iter().filter_map(|&part| Some([part, self.mate(part).filter(&stands)?]));
        pairs.into_iter().find_map(|[one, other]| {
            let tie = self.ties([one, other]).into_iter().find(&stands)?;
            let sides = [Side::new(self.model, one, other, tie)?, Side::new(self.model, other, one, tie)?];
            Some(OpenFrame { grain: sides[0].tied, words: self.open_words(&sides)? })
        })
    }

    /// The only other part of its kind; none of seat or arms, which come when the frame is closed.
    fn mate(&self, part: usize) -> Option<usize> {
        let seat = self.model.seat.as_ref();
        let is_late = seat.is_some_and(|seat| seat.on.iter().chain(&seat.arms).any(|own| own.0 == part));
        let mut alike =
            (0..self.kinds.len()).filter(|other| *other != part && self.kinds[*other] == self.kinds[part]);
        let mate = alike.next().filter(|_| !is_late)?;
        alike.next().is_none().then_some(mate)
    }

    /// Parts that are joined to both; after them those that hold a like part outside of either, as a stretcher between legs does
    /// which the stringers are bolted to. What stands between the two would be in the tape's way.
    fn ties(&self, [one, other]: [usize; 2]) -> Vec<usize> {
        let is_outside = |near: &usize| {
            let [own, other, near] = [one, other, *near].map(|part| middle(self.model, part));
            (near - own).dot(other - own) < 0.0
        };
        let both = |one: usize, other: usize| {
            self.held_to(one).filter(move |part| self.held_to(other).any(|own| own == *part))
        };
        let between = self.held_to(one).filter(is_outside).flat_map(|near| {
            let far =
                self.held_to(other).filter(move |far| *far != near && self.kinds[*far] == self.kinds[near]);
            far.flat_map(move |far| both(near, far)).collect::<Vec<_>>()
        });
        both(one, other).chain(between.filter(|part| *part != one && *part != other)).collect()
    }

    /// Parts that a joint holds to this one.
    fn held_to(&self, part: usize) -> impl Iterator<Item = usize> {
        let joints = self.model.joints.iter().filter(|joint| joint.patch.is_some());
        let own = joints.filter(move |joint| joint.parts.iter().any(|other| other.0 == part));
        own.flat_map(|joint| joint.parts.iter().map(|part| part.0)).filter(move |other| *other != part)
    }

    fn open_words(&self, sides: &[Side; 2]) -> Option<String> {
        let text = |a: DVec3, b: DVec3| self.reading.text(Length::mm(a.distance(b)));
        let [one, other] = sides;
        let near = [one.near()?, other.near()?];
        let (far, is_square) = other.far(near[0])?;
        let (back, _) = one.far(near[1])?;
        let reads = text(near[0], far);
        if reads != text(near[1], back) {
            return None;
        }
        let named = |side: &Side| format!("`{}`", self.model.parts[side.part].name);
        let end =
            |side: &Side, way: DVec3| Drawn::new(self.model, side.part).map(|drawn| drawn.side(way).word());
        let [from, to] = [end(one, one.tied)?, end(other, -other.tied)?];
        let (from, corner) = (format!("{} at its {from}", named(one)), one.corner_word(near[0]));
        let to = match is_square {
            true => format!("that of {} at its {to}", named(other)),
            false => format!("the {to} of {}, where the tape reads most,", named(other)),
        };
        Some(format!(
            "Measure inside from {corner} of {from} to {to} and the other way: each must read {reads}. Between the two the tape \
             must read {} at those corners, and {} at the other ends.",
            text(near[0], near[1]),
            text(back, far)
        ))
    }
}
