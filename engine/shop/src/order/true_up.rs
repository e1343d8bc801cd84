//! Checks for true: which diagonals to measure and what they must read.

use super::words::{side_word, to_where};
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

/// A plane stands when one of its axes rises by more than this (as a sine).
const STANDS: f64 = 0.5;

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

/// Corners of a part, given in board axes, in a plane and off it.
fn in_plane(part: &Part, corners: Vec<DVec3>, [one, other, normal]: [DVec3; 3]) -> Vec<Corner> {
    // The two sides of a board are those that look most nearly as the plane does.
    let looks = part.pose.matrix3.transpose() * normal;
    let axis = looks.abs().max_position();
    let all = || corners.iter().map(|corner| corner[axis]);
    let (low, high) = (all().fold(f64::INFINITY, f64::min), all().fold(f64::NEG_INFINITY, f64::max));
    let corner = |local: &DVec3| {
        let world = part.pose.transform_point3(*local);
        let side = (local[axis] * 2.0 - low - high).signum();
        let at = DVec3::new(world.dot(one), world.dot(other), world.dot(normal));
        Corner { at, side: side * looks[axis].signum() }
    };
    corners.iter().map(corner).collect()
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

/// A corner of a board in the plane and off it, and on which side of the board it lies: 1 where that looks as the plane does, -1
/// where it looks the other way. The low corners of a bevelled edge belong to the side that the edge is bevelled from.
#[derive(Clone, Copy)]
struct Corner {
    at: DVec3,
    side: f64,
}

/// A board at an outer corner of a plane, and its farthest corners there on the two sides, the one that looks as the plane does
/// first, with how far out they lie.
struct Outer {
    part: usize,
    on: [(DVec3, f64); 2],
}

/// The sides of four boards in a turn that a tape is held on, where it is held on the same of them all.
const ONE_SIDE: [[usize; 4]; 2] = [[0; 4], [1; 4]];

/// The boards that lie in one plane, with their corners.
struct Plane<'a> {
    model: &'a Model,
    boards: Vec<(usize, Vec<Corner>)>,
    low: DVec2,
    high: DVec2,
    /// Directions of its two axes.
    axes: [DVec3; 2],
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
            let local: Vec<DVec3> = if sawn.contains(&part) {
                own.solid.pieces().iter().flat_map(|piece| piece.vertices()).copied().collect()
            } else {
                rough_corners(own)?
            };
            Some((part, in_plane(own, local, [one, other, normal])))
        };
        let boards: Vec<(usize, Vec<Corner>)> = parts.iter().filter(is_flat).filter_map(corners).collect();
        let all = || boards.iter().flat_map(|(_, corners)| corners.iter().map(|corner| corner.at.truncate()));
        let (low, high) = (all().reduce(DVec2::min)?, all().reduce(DVec2::max)?);
        (boards.len() >= 4).then_some(Plane { model, boards, low, high, axes: [one, other], normal })
    }

    /// Where a corner is, the first to the last of the turn, in a plane that stands: `upper left`. In one that lies only where its
    /// board has more than one of the corners.
    fn corner_words(&self, corner: usize, is_only: bool) -> Vec<&'static str> {
        let [one, other] = self.axes;
        let at = [if [0, 3].contains(&corner) { -one } else { one }, if corner < 2 { -other } else { other }];
        let stands = at.into_iter().any(|axis| axis.z.abs() > STANDS);
        let mut words: Vec<&str> = at.into_iter().filter(|_| stands || !is_only).map(side_word).collect();
        // Up and down first.
        words.sort_by_key(|word| !["upper", "lower"].contains(word));
        words
    }

    /// Whether boards run along the four sides: on each one, or several in line.
    fn is_closed(&self) -> bool {
        let size = self.high - self.low;
        let tied = |along: usize, value: f64| {
            let across = 1 - along;
            let own = self.boards.iter().filter_map(|(_, corners)| {
                let low = corners.iter().map(|corner| corner.at).reduce(DVec3::min)?;
                let high = corners.iter().map(|corner| corner.at).reduce(DVec3::max)?;
                let long = high - low;
                let off = (low[across] - value).abs().min((high[across] - value).abs());
                (long[along] > long[across] && off < BESIDE * size[across])
                    .then_some((low[along], high[along]))
            });
            covered(own.collect()) > TIED * size[along]
        };
        tied(0, self.low.y) && tied(0, self.high.y) && tied(1, self.low.x) && tied(1, self.high.x)
    }

    /// The board whose corner lies farthest out toward a corner of the plane, and its own farthest corners: on the side that looks
    /// as the plane does, and on the other.
    fn farthest(&self, toward: DVec2) -> Option<Outer> {
        let size = self.high - self.low;
        let far = |corner: &Corner| (corner.at.truncate() / size).dot(toward) * size.min_element();
        // What lies no farther out than another leaves it the place.
        let farther = |best: Option<(usize, Corner)>, one: (usize, Corner)| match best {
            Some(best) if far(&one.1) - far(&best.1) < EQUALLY_FAR => Some(best),
            _ => Some(one),
        };
        let all =
            || self.boards.iter().flat_map(|(part, own)| own.iter().map(move |corner| (*part, *corner)));
        let (part, _) = all().fold(None, farther)?;
        let on = |side: f64| {
            let own = all().filter(|(other, corner)| *other == part && corner.side * side > 0.0);
            own.fold(None, farther).map(|(_, corner)| (corner.at, far(&corner)))
        };
        Some(Outer { part, on: [on(1.0)?, on(-1.0)?] })
    }

    /// On which side of each of the four boards the tape is held: where a board goes farther out on one side there, else on the
    /// one on which all corners lie most nearly in a plane.
    fn sides(outer: &[Outer; 4]) -> Option<[usize; 4]> {
        let off = |sides: &[usize; 4]| {
            let heights = || outer.iter().zip(sides).map(|(own, side)| own.on[*side].0.z);
            heights().fold(f64::NEG_INFINITY, f64::max) - heights().fold(f64::INFINITY, f64::min)
        };
        let farther = |own: &Outer, side: usize| {
            let ahead = own.on[1 - side].1 - own.on[side].1;
            if ahead > EQUALLY_FAR { 1 - side } else { side }
        };
        let [one, other] = [0, 1].map(|side| [0, 1, 2, 3].map(|index: usize| farther(&outer[index], side)));
        let flattest = if off(&other) < off(&one) { other } else { one };
        (off(&flattest) <= ONE_PLANE).then_some(flattest)
    }

    fn words(&self, reading: Reading) -> Option<String> {
        if !self.is_closed() {
            return None;
        }
        let outer = |x: f64, y: f64| self.farthest(DVec2::new(x, y));
        let outer = [outer(-1.0, -1.0)?, outer(1.0, -1.0)?, outer(1.0, 1.0)?, outer(-1.0, 1.0)?];
        let [a, b, c, d] = [0, 1, 2, 3].map(|index: usize| outer[index].part);
        let sides = Self::sides(&outer)?;
        let reads = |sides: [usize; 4]| {
            let at = |index: usize| outer[index].on[sides[index]].0;
            [(0, 2), (1, 3)].map(|(one, other)| reading.text(Length::mm(at(one).distance(at(other)))))
        };
        let [first, second] = reads(sides);
        // What is not alike to either side is not trued by its diagonals.
        if first != second || a == c || b == d {
            return None;
        }
        let looks = |index: usize| if sides[index] == 0 { self.normal } else { -self.normal };
        let is_one = ONE_SIDE.contains(&sides);
        let name = |index: usize| {
            let name = &self.model.parts[outer[index].part].name;
            let is_only = outer.iter().filter(|own| own.part == outer[index].part).count() == 1;
            let mut words = self.corner_words(index, is_only);
            words.extend((!is_one).then(|| side_word(looks(index))));
            if words.is_empty() {
                format!("`{name}`")
            } else {
                format!("the {} corner of `{name}`", words.join(" "))
            }
        };
        let between = if (a, c) == (b, d) {
            format!("from {} to {}, both ways", name(0), name(2))
        } else {
            format!("from {} to {} and from {} to {}", name(0), name(2), name(1), name(3))
        };
        let which = match is_one && ONE_SIDE.map(reads)[0] != ONE_SIDE.map(reads)[1] {
            true => format!(" that look {}", to_where(looks(0))),
            false => String::new(),
        };
        Some(format!(
            "Measure both diagonals over the outer corners{which}, {between}: each must read {first}."
        ))
    }
}
