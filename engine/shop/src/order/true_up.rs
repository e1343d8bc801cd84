//! Checks for true: which diagonals to measure and what they must read.

use super::words::to_where;
use crate::words::Reading;
use slatwork_base::Length;
use slatwork_model::{FeatureKind, Model, Part, When};
use slatwork_solid::{DVec2, DVec3};

/// A board lies in a plane when its grain leaves it by less than this (as a sine).
const FLAT: f64 = 0.3;

/// Parts tie a side of a frame when together they run along so much of it, and stand off it by no more than this share of the
/// other way: rails stand inside the ends of what they join, a back's lower rail over the feet of its stiles (project choice).
const TIED: f64 = 0.7;
const BESIDE: f64 = 0.35;

/// Corners that differ by less than this lie equally far out, mm: facets of rounded corners.
const EQUALLY_FAR: f64 = 0.1;

/// Corners between which a tape is drawn lie in one plane within this, mm: boards laid on each other (project choice).
const ONE_PLANE: f64 = 50.0;

/// The two diagonals of what stands, in one of the planes of its group: flat on the ground first, then upright. `None` where no
/// four boards tie each other round, the two differ, or their corners lie in no one plane. Parts not `sawn` yet have their rough
/// length.
pub(crate) fn diagonals(
    model: &Model,
    group: usize,
    (parts, sawn): (&[usize], &[usize]),
    reading: Reading,
) -> Option<String> {
    let axes = model.groups.get(group)?.pose.matrix3;
    let (x, y, z) = (axes.x_axis, axes.y_axis, axes.z_axis);
    let laid_late = |part: usize| {
        model.seat.as_ref().is_some_and(|seat| seat.on.iter().chain(&seat.arms).any(|own| own.0 == part))
    };
    let parts: Vec<usize> = parts.iter().copied().filter(|part| !laid_late(*part)).collect();
    [(x, y, z), (x, z, y), (y, z, x)]
        .into_iter()
        .find_map(|axes| Plane::of(model, (&parts, sawn), axes)?.words(reading))
}

/// Corners of a part, in board axes, as it is before a line is sawn over it in place: `None` where its rough shape is no plain
/// length of board.
fn rough_corners(part: &Part) -> Option<Vec<DVec3>> {
    let sawn_later = part.features.iter().find_map(|feature| match (&feature.kind, &feature.when) {
        (FeatureKind::Outline { line, .. }, When::InPlace { .. }) => Some(line),
        _ => None,
    });
    let corners = part.solid.pieces().iter().flat_map(|piece| piece.vertices()).copied();
    let Some(line) = sawn_later else { return Some(corners.collect()) };
    let (length, width) = (part.length.as_mm(), part.width.as_mm());
    let at_far_end = line.point_at(line.length() / 2.0).x * 2.0 > length;
    let (end, out) = if at_far_end { (0.0, DVec3::X) } else { (length, DVec3::NEG_X) };
    let kept: Vec<DVec3> = corners.filter(|corner| (corner.x - end).abs() < EQUALLY_FAR).collect();
    let across = |at: f64| kept.iter().any(|corner| (corner.y - at).abs() < EQUALLY_FAR);
    let sawn = kept.iter().map(|corner| *corner + out * part.rough_length.as_mm());
    (part.rough_length > part.length && across(0.0) && across(width))
        .then(|| kept.iter().copied().chain(sawn).collect())
}

/// How much of a line these stretches of it cover together.
fn covered(mut stretches: Vec<(f64, f64)>) -> f64 {
    stretches.sort_by(|one, other| one.0.total_cmp(&other.0));
    let mut end = f64::NEG_INFINITY;
    let mut sum = 0.0;
    for (from, to) in stretches {
        sum += (to - from.max(end)).max(0.0);
        end = end.max(to);
    }
    sum
}

/// The boards that lie in one plane, with their corners in it and off it.
struct Plane<'a> {
    model: &'a Model,
    boards: Vec<(usize, Vec<DVec3>)>,
    low: DVec2,
    high: DVec2,
    normal: DVec3,
}

impl<'a> Plane<'a> {
    fn of(
        model: &'a Model,
        (parts, sawn): (&[usize], &[usize]),
        (one, other, normal): (DVec3, DVec3, DVec3),
    ) -> Option<Self> {
        let is_flat = |part: &&usize| model.parts[**part].pose.matrix3.x_axis.dot(normal).abs() < FLAT;
        let corners = |&part: &usize| {
            let own = &model.parts[part];
            let local = if sawn.contains(&part) {
                own.solid.pieces().iter().flat_map(|piece| piece.vertices()).copied().collect()
            } else {
                rough_corners(own)?
            };
            let flat = |corner: DVec3| {
                let corner = own.pose.transform_point3(corner);
                DVec3::new(corner.dot(one), corner.dot(other), corner.dot(normal))
            };
            Some((part, local.into_iter().map(flat).collect()))
        };
        let boards: Vec<(usize, Vec<DVec3>)> = parts.iter().filter(is_flat).filter_map(corners).collect();
        let all = || boards.iter().flat_map(|(_, corners)| corners.iter().map(|corner| corner.truncate()));
        let (low, high) = (all().reduce(DVec2::min)?, all().reduce(DVec2::max)?);
        (boards.len() >= 4).then_some(Plane { model, boards, low, high, normal })
    }

    /// Whether boards run along the four sides: on each one, or several in line.
    fn is_closed(&self) -> bool {
        let size = self.high - self.low;
        let tied = |along: usize, value: f64| {
            let across = 1 - along;
            let own = self.boards.iter().filter_map(|(_, corners)| {
                let low = corners.iter().copied().reduce(DVec3::min)?;
                let high = corners.iter().copied().reduce(DVec3::max)?;
                let long = high - low;
                let off = (low[across] - value).abs().min((high[across] - value).abs());
                (long[along] > long[across] && off < BESIDE * size[across])
                    .then_some((low[along], high[along]))
            });
            covered(own.collect()) > TIED * size[along]
        };
        tied(0, self.low.y) && tied(0, self.high.y) && tied(1, self.low.x) && tied(1, self.high.x)
    }

    /// The board whose corner lies farthest out toward a corner of the plane, and that corner: of both faces the one on the
    /// asked side.
    fn farthest(&self, toward: DVec2, side: f64) -> Option<(usize, DVec3)> {
        let size = self.high - self.low;
        let far = |corner: &DVec3| (corner.truncate() / size).dot(toward) * size.min_element();
        let mut found: Option<(usize, DVec3)> = None;
        for (part, corners) in &self.boards {
            for corner in corners {
                let is_better = |(own, best): (usize, DVec3)| {
                    let ahead = far(corner) - far(&best);
                    ahead > EQUALLY_FAR
                        || (own == *part && ahead > -EQUALLY_FAR && (corner.z - best.z) * side > 0.0)
                };
                if found.is_none_or(is_better) {
                    found = Some((*part, *corner));
                }
            }
        }
        found
    }

    /// The four outer corners on one side of the boards, in a turn, and how far they lie off one plane.
    fn corners(&self, side: f64) -> Option<([(usize, DVec3); 4], f64)> {
        let corner = |x: f64, y: f64| self.farthest(DVec2::new(x, y), side);
        let corners = [corner(-1.0, -1.0)?, corner(1.0, -1.0)?, corner(1.0, 1.0)?, corner(-1.0, 1.0)?];
        let heights = || corners.iter().map(|corner| corner.1.z);
        let off = heights().reduce(f64::max)? - heights().reduce(f64::min)?;
        Some((corners, off))
    }

    fn words(&self, reading: Reading) -> Option<String> {
        if !self.is_closed() {
            return None;
        }
        let both = [self.corners(1.0)?, self.corners(-1.0)?];
        let text =
            |one: (usize, DVec3), other: (usize, DVec3)| reading.text(Length::mm(one.1.distance(other.1)));
        let reads = |[a, b, c, d]: [(usize, DVec3); 4]| (text(a, c), text(b, d));
        let nearest = usize::from(both[1].1 < both[0].1);
        let ([a, b, c, d], off) = both[nearest];
        let (first, second) = reads([a, b, c, d]);
        // What is not alike to either side is not trued by its diagonals.
        if off > ONE_PLANE || first != second || a.0 == c.0 || b.0 == d.0 {
            return None;
        }
        let name = |corner: (usize, DVec3)| format!("`{}`", self.model.parts[corner.0].name);
        let between = if (a.0, c.0) == (b.0, d.0) {
            format!("from {} to {}, both ways", name(a), name(c))
        } else {
            format!("from {} to {} and from {} to {}", name(a), name(c), name(b), name(d))
        };
        let looks = if nearest == 0 { self.normal } else { -self.normal };
        let which = if reads(both[0].0) == reads(both[1].0) {
            String::new()
        } else {
            format!(" that look {}", to_where(looks))
        };
        Some(format!(
            "Measure both diagonals over the outer corners{which}, {between}: each must read {first}."
        ))
    }
}
