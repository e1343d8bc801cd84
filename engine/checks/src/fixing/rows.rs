//! Fasteners in rows: what is lost as the outer ones of a row take more than the inner ones, Cg.

use crate::Case;
use crate::framing::{Tie, Timbers};
use crate::statics::dowel::is_thick;
use crate::statics::group::{Row, SideMember, group_action};
use slatwork_model::PartId;
use slatwork_model::joints::Fastening;
use slatwork_solid::DVec3;

/// Fasteners nearer across the line than this many diameters stand in one row (project choice, as for rows that tear out).
const ONE_ROW: f64 = 1.0;
/// Grain within 45 degrees of a row runs along it (cosine; project choice: half way).
const ALONG: f64 = core::f64::consts::FRAC_1_SQRT_2;
/// A single row takes this many diameters of a member that it crosses: the least distance in a row along the grain (NDS 11.3.6,
/// from memory; the least of Table 12.5.1B, read).
const ALONE: f64 = 3.0;

/// Cg of a fastener in the longer of its rows, those along the grain of the first part and of the second, whichever way it is loaded
/// (NDS Eq 11.3-1, read; that it does not ask for the way is a project choice, and safe).
pub(super) fn group_factor(case: &Case, timbers: &Timbers, tie: &Tie, at: usize) -> f64 {
    let diameter = fastening(case, tie, at).diameter.as_mm();
    if !is_thick(diameter) || tie.places.len() < 2 {
        return 1.0;
    }
    let factors = tie.parts.map(|part| along(case, timbers, (tie, at), part, diameter));
    factors.into_iter().fold(1.0, f64::min)
}

fn fastening<'a>(case: &'a Case, tie: &Tie, at: usize) -> &'a Fastening {
    &case.model.joints[tie.joint].fastenings[tie.fasteners[at]]
}

/// Cg of its row along the grain of a part.
fn along(case: &Case, timbers: &Timbers, (tie, at): (&Tie, usize), part: PartId, diameter: f64) -> f64 {
    let grain = case.model.part(part).pose.matrix3.x_axis;
    let row = [tie.axes[1].dot(grain), tie.axes[2].dot(grain)];
    let long = (row[0] * row[0] + row[1] * row[1]).sqrt();
    if long < ALONG {
        return 1.0;
    }
    let row = row.map(|own| own / long);
    let along = |place: &[f64; 2]| place[0] * row[0] + place[1] * row[1];
    let beside = |place: &[f64; 2]| place[1] * row[0] - place[0] * row[1];
    let own = beside(&tie.places[at]);
    let in_row = tie.places.iter().filter(|place| (beside(place) - own).abs() < ONE_ROW * diameter);
    let mut places: Vec<f64> = in_row.map(along).collect();
    places.sort_by(f64::total_cmp);
    // The farther apart, the less they act together.
    let Some(spacing) = places.windows(2).map(|pair| pair[1] - pair[0]).reduce(f64::max) else { return 1.0 };
    let sides = tie.places.iter().map(beside);
    let (low, high) =
        sides.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), own| (low.min(own), high.max(own)));
    let across = (high - low).max(ALONE * diameter);
    let way = tie.axes[1] * row[0] + tie.axes[2] * row[1];
    let stiff = tie.parts.map(|part| stiffness(case, timbers, (tie, at), part, (way, across)));
    let [Some(sides), Some(main)] = stiff else { return 1.0 };
    let count = places.len() as u32;
    let row = Row { count, spacing, diameter, main, sides, side: SideMember::Wood };
    group_action(&row).value.unwrap_or(1.0)
}

/// E A of a part, N: its section where its grain runs along the row, else its thickness by the width of the group (NDS 11.3.6,
/// from memory).
fn stiffness(
    case: &Case,
    timbers: &Timbers,
    (tie, at): (&Tie, usize),
    part: PartId,
    (way, across): (DVec3, f64),
) -> Option<f64> {
    let own = case.model.part(part);
    let one = fastening(case, tie, at);
    let layer = one.layers.iter().find(|layer| layer.part == part)?;
    let (from, to) = (layer.from.max(0.0), layer.to.min(one.length.as_mm()));
    let area = if own.pose.matrix3.x_axis.dot(way).abs() < ALONG {
        (to - from) * across
    } else {
        let middle = one.head + one.direction * f64::midpoint(from, to);
        case.kept.sections(case.model, part).at(own.pose.inverse().transform_point3(middle).x)?.area
    };
    Some(timbers.of(part).elasticity() * area)
}
