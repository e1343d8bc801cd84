//! Joints as springs: what ties one part to another, worked out from the fasteners and the glue that a joint has.
//!
//! A fastener resists sliding by its slip modulus and opening by the hold of its thread; a group resists turning in its plane by
//! its levers round the elastic centre, and gaping by its levers from the edge that stays closed: a lower bound, as wood on wood
//! is stiffer than the screws. Glue along the grain is a block of wood.

use super::Timbers;
use crate::Case;
use crate::statics::group::{Bore, Fastener, slip_modulus, stiffness};
use slatwork_base::maths::PI;
use slatwork_catalog::FastenerKind;
use slatwork_model::joints::{Fastening, JointPatch};
use slatwork_model::{Joint, PartId};
use slatwork_solid::DVec3;

/// Fasteners farther apart than this tie two boards one by one: between them the boards bend, mm (project choice: three widths
/// of a slat).
const FAR_APART: f64 = 200.0;

/// In a longer row, those no farther apart than this along it are one tie, mm (project choice: two abreast, and staggered).
const ABREAST: f64 = 30.0;

/// A screw opens a gap over this far beyond it at the most, mm (project choice: half the width of a bearer or slat).
const REACH: f64 = 45.0;

/// Axial slip modulus of a thread, N/mm for each mm of diameter and mm of thread: 25 in softwood (ETA-11/0030, 2025, read
/// second-hand).
const THREAD_HOLD: f64 = 25.0;

/// Modulus of elasticity of steel, MPa.
const STEEL: f64 = 200_000.0;

/// Modulus across the grain as a share of that along it (usual ratio, from memory).
const ACROSS_TO_ALONG: f64 = 1.0 / 20.0;
/// Shear modulus as a share of the modulus of elasticity (EN 338, from memory).
pub(super) const SHEAR_TO_ELASTIC: f64 = 1.0 / 16.0;

/// Depth of wood beside a glue line that gives, mm (project choice: half of each of two thin boards).
const GLUE_DEPTH: f64 = 20.0;

/// Least share of the turning stiffness that a tie keeps about each axis, so that no part is said to spin on a single screw: its
/// head clamps over its own radius (project choice).
fn clamped(one: &Fastening) -> f64 {
    one.head_diameter.as_mm().max(one.diameter.as_mm()) / 2.0
}

/// One spring tie between two parts. Its axes are those of the patch: x out of the first part into the second, then along and
/// across it.
#[derive(Clone, Debug)]
pub struct Tie {
    /// Index of the joint in the model.
    pub joint: usize,
    /// Fasteners of the joint that make it, by index.
    pub fasteners: Vec<usize>,
    /// Where each of them crosses from part to part, along and across from `at`, mm.
    pub places: Vec<[f64; 2]>,
    /// The two parts.
    pub parts: [PartId; 2],
    /// Elastic centre, world mm.
    pub at: DVec3,
    /// Normal, along, across: unit, world.
    pub axes: [DVec3; 3],
    /// How far wood meets wood from `at`: least and greatest along, least and greatest across, mm.
    pub extent: [[f64; 2]; 2],
    /// Along the three axes N/mm, about them N mm a radian.
    pub springs: [f64; 6],
    /// Slip modulus of each fastener, N/mm.
    pub slip: Vec<f64>,
    /// Whether glue holds it.
    pub glued: bool,
}

/// Every tie of a piece, in the order of its joints.
pub(super) fn ties(case: &Case, timbers: &Timbers) -> Vec<Tie> {
    let joints = case.model.joints.iter().enumerate();
    joints.flat_map(|(index, joint)| ties_of(case, index, joint, timbers)).collect()
}

fn ties_of(case: &Case, index: usize, joint: &Joint, timbers: &Timbers) -> Vec<Tie> {
    let Some(patch) = &joint.patch else { return Vec::new() };
    let crossings = crossings(joint);
    if crossings.is_empty() {
        return glued_only(index, joint, patch, timbers).into_iter().collect();
    }
    let mut pairs: Vec<[PartId; 2]> = crossings.iter().map(|one| one.parts).collect();
    pairs.sort_unstable();
    pairs.dedup();
    let of_pair = |pair: &[PartId; 2]| crossings.iter().filter(|one| one.parts == *pair).copied().collect();
    let tie = |cluster: &Vec<Crossing>| tie(index, joint, patch, cluster, timbers);
    let of_pair =
        |pair: &[PartId; 2]| -> Vec<Tie> { clusters(of_pair(pair), patch).iter().map(tie).collect() };
    pairs.iter().flat_map(|pair| slipping(of_pair(pair), pair.map(|part| grain(case, part)))).collect()
}

fn grain(case: &Case, part: PartId) -> DVec3 {
    case.model.part(part).pose.matrix3.x_axis
}

/// Boards laid along each other bend each for itself: all ties between them but the middle one slip along the grain. Screws that
/// would make one beam of two are not counted on, and take no load from it that balance does not ask of them (lower bound theorem).
fn slipping(mut ties: Vec<Tie>, grains: [DVec3; 2]) -> Vec<Tie> {
    if grains[0].dot(grains[1]).abs() < ALONG {
        return ties;
    }
    let middle = ties.len() / 2;
    for tie in ties.iter_mut().enumerate().filter(|(at, _)| *at != middle).map(|(_, tie)| tie) {
        let along = if tie.axes[1].dot(grains[0]).abs() > tie.axes[2].dot(grains[0]).abs() { 1 } else { 2 };
        tie.springs[along] = 0.0;
    }
    ties
}

/// Cosine from which on two grains run along each other: within 15 degrees (project choice).
const ALONG: f64 = 0.966;

/// A fastener on its way from one part into the next.
#[derive(Clone, Copy)]
struct Crossing {
    fastener: usize,
    parts: [PartId; 2],
    at: DVec3,
}

fn crossings(joint: &Joint) -> Vec<Crossing> {
    let fasteners = joint.fastenings.iter().enumerate();
    fasteners
        .flat_map(|(fastener, one)| {
            one.layers.windows(2).filter(|pair| pair[0].part != pair[1].part).map(move |pair| {
                let at = one.head + one.direction * pair[0].to;
                Crossing { fastener, parts: [pair[0].part, pair[1].part], at }
            })
        })
        .collect()
}

/// Crossings in groups that act together, in order along the longer side of the patch.
fn clusters(crossings: Vec<Crossing>, patch: &JointPatch) -> Vec<Vec<Crossing>> {
    let axis = if patch.extent.0 >= patch.extent.1 { patch.along } else { patch.across };
    let mut placed: Vec<(f64, Crossing)> = crossings.into_iter().map(|one| (one.at.dot(axis), one)).collect();
    placed.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.fastener.cmp(&b.1.fastener)));
    let chains = parted(&placed, FAR_APART);
    // A long row of screws is no single tie, however close they stand: the boards bend between them.
    let groups = chains.flat_map(|chain| {
        let reach = chain[chain.len() - 1].0 - chain[0].0;
        parted(chain, if reach > FAR_APART { ABREAST } else { FAR_APART })
    });
    groups.map(|group| group.iter().map(|(_, one)| *one).collect()).collect()
}

/// Parted wherever the next lies farther off.
fn parted(placed: &[(f64, Crossing)], apart: f64) -> impl Iterator<Item = &[(f64, Crossing)]> {
    placed.chunk_by(move |a, b| b.0 - a.0 <= apart)
}

fn tie(index: usize, joint: &Joint, patch: &JointPatch, cluster: &[Crossing], timbers: &Timbers) -> Tie {
    let fastening = |one: &Crossing| &joint.fastenings[one.fastener];
    let parts = cluster[0].parts;
    let axes = axes(patch, fastening(&cluster[0]).direction);
    let flat = |point: DVec3| [point.dot(axes[1]), point.dot(axes[2])];
    let slip: Vec<f64> = cluster.iter().map(|one| lateral(fastening(one), parts, timbers)).collect();
    let group: Vec<Fastener> = cluster
        .iter()
        .zip(&slip)
        .map(|(one, slip)| Fastener { at: flat(one.at), stiffness: *slip })
        .collect();
    let level = cluster.iter().map(|one| one.at.dot(axes[0])).sum::<f64>() / cluster.len() as f64;
    let group_stiffness = stiffness(&group).value;
    let centre = group_stiffness.map_or(flat(cluster[0].at), |stiff| stiff.centre);
    let places: Vec<[f64; 2]> =
        group.iter().map(|one| [one.at[0] - centre[0], one.at[1] - centre[1]]).collect();
    let extent = extent(patch, &places, centre, flat);
    let hold: Vec<f64> = cluster.iter().map(|one| axial(fastening(one), timbers)).collect();
    let gaping = |axis: usize| gaping(&places, &hold, extent[axis], axis);
    let clamp: f64 =
        cluster.iter().zip(&slip).map(|(one, slip)| slip * clamped(fastening(one)).powi(2)).sum();
    let turning = group_stiffness.map_or(0.0, |stiff| stiff.turning) + clamp;
    let sliding: f64 = slip.iter().sum();
    let mut springs = [hold.iter().sum(), sliding, sliding, turning, gaping(1), gaping(0)];
    let glued = joint.glue.is_some() && !patch.on_end.iter().any(|end| *end);
    if glued {
        let glue = glue(patch, parts, timbers);
        springs.iter_mut().zip(glue).for_each(|(own, more)| *own += more);
    }
    Tie {
        joint: index,
        fasteners: cluster.iter().map(|one| one.fastener).collect(),
        places,
        parts,
        at: axes[0] * level + axes[1] * centre[0] + axes[2] * centre[1],
        axes,
        extent,
        springs,
        slip,
        glued,
    }
}

/// Axes of a tie: the patch's, its normal turned the way the fasteners go.
fn axes(patch: &JointPatch, direction: DVec3) -> [DVec3; 3] {
    let normal = if patch.normal.dot(direction) < 0.0 { -patch.normal } else { patch.normal };
    [normal, patch.along, normal.cross(patch.along)]
}

/// Where wood meets wood, from the centre: the patch, but not far beyond the outermost fasteners.
fn extent(
    patch: &JointPatch,
    places: &[[f64; 2]],
    centre: [f64; 2],
    flat: impl Fn(DVec3) -> [f64; 2],
) -> [[f64; 2]; 2] {
    [0, 1].map(|axis| {
        let corners = || patch.corners.iter().map(|corner| flat(*corner)[axis] - centre[axis]);
        let own = || places.iter().map(|place| place[axis]);
        let least = corners().fold(f64::INFINITY, f64::min).max(own().fold(f64::INFINITY, f64::min) - REACH);
        let most =
            corners().fold(f64::NEG_INFINITY, f64::max).min(own().fold(f64::NEG_INFINITY, f64::max) + REACH);
        [least, most]
    })
}

/// Resistance to gaping along an axis: levers from whichever edge gives the less.
fn gaping(places: &[[f64; 2]], hold: &[f64], edges: [f64; 2], axis: usize) -> f64 {
    let from = |edge: f64| -> f64 {
        places.iter().zip(hold).map(|(place, hold)| hold * (place[axis] - edge).powi(2)).sum()
    };
    from(edges[0]).min(from(edges[1]))
}

fn lateral(one: &Fastening, parts: [PartId; 2], timbers: &Timbers) -> f64 {
    let densities = parts.map(|part| timbers.of(part).density);
    let driven = matches!(one.kind, FastenerKind::Nail | FastenerKind::FinishNail);
    let bore = if driven { Bore::Driven } else { Bore::Drilled };
    slip_modulus((densities[0], densities[1]), one.diameter.as_mm(), bore).value.unwrap_or(0.0)
}

/// A thread in the part that holds it; a bolt between its washers, in series with the wood that they press.
fn axial(one: &Fastening, timbers: &Timbers) -> f64 {
    let diameter = one.diameter.as_mm();
    let Some(last) = one.layers.last() else { return 0.0 };
    if !one.takes_nut() && !matches!(one.kind, FastenerKind::HexBolt | FastenerKind::CarriageBolt) {
        return THREAD_HOLD * diameter * one.thread_in(last);
    }
    let length = last.to.min(one.length.as_mm());
    let area = |diameter: f64| PI / 4.0 * diameter * diameter;
    let pressed = (area(one.head_diameter.as_mm()) - area(diameter)).max(area(diameter));
    let wood = timbers.of(last.part).elasticity() * ACROSS_TO_ALONG * pressed / length;
    1.0 / (length / (STEEL * area(diameter)) + 1.0 / wood)
}

/// Wood that a glue line joins along the grain: a block of the patch's size.
fn glue(patch: &JointPatch, parts: [PartId; 2], timbers: &Timbers) -> [f64; 6] {
    let elastic = parts.map(|part| timbers.of(part).elasticity()).into_iter().fold(f64::INFINITY, f64::min);
    let [press, slide] = [ACROSS_TO_ALONG, SHEAR_TO_ELASTIC].map(|share| elastic * share / GLUE_DEPTH);
    let (long, wide) = patch.extent;
    let second = [wide * wide, long * long].map(|square| patch.area * square / 12.0);
    let sliding = slide * patch.area;
    [
        press * patch.area,
        sliding,
        sliding,
        slide * (second[0] + second[1]),
        press * second[0],
        press * second[1],
    ]
}

/// Glue and nothing else; on end grain it is a hinge.
fn glued_only(index: usize, joint: &Joint, patch: &JointPatch, timbers: &Timbers) -> Option<Tie> {
    joint.glue?;
    let parts = [*joint.parts.first()?, *joint.parts.get(1)?];
    let mut springs = glue(patch, parts, timbers);
    if patch.on_end.iter().any(|end| *end) {
        springs[3..].fill(0.0);
    }
    let half = [patch.extent.0 / 2.0, patch.extent.1 / 2.0];
    Some(Tie {
        joint: index,
        fasteners: Vec::new(),
        places: Vec::new(),
        parts,
        at: patch.centre,
        axes: axes(patch, patch.normal),
        extent: half.map(|half| [-half, half]),
        springs,
        slip: Vec::new(),
        glued: true,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tie() -> Tie {
        Tie {
            joint: 0,
            fasteners: vec![0],
            places: vec![[0.0, 0.0]],
            parts: [PartId(0), PartId(1)],
            at: DVec3::ZERO,
            axes: [DVec3::Z, DVec3::X, DVec3::Y],
            extent: [[-10.0, 10.0]; 2],
            springs: [1.0; 6],
            slip: vec![1.0],
            glued: false,
        }
    }

    fn row(places: &[f64]) -> Vec<Vec<Crossing>> {
        let crossing = |(fastener, x): (usize, &f64)| Crossing {
            fastener,
            parts: [PartId(0), PartId(1)],
            at: DVec3::new(*x, 0.0, 0.0),
        };
        let corners = vec![DVec3::ZERO; 4];
        let patch = JointPatch {
            centre: DVec3::ZERO,
            normal: DVec3::Z,
            along: DVec3::X,
            across: DVec3::Y,
            extent: (1000.0, 50.0),
            area: 50_000.0,
            corners,
            gap: 0.0,
            on_end: [false; 2],
        };
        clusters(places.iter().enumerate().map(crossing).collect(), &patch)
    }

    #[test]
    fn a_long_row_of_screws_is_not_one_tie() {
        let sizes = |places: &[f64]| row(places).iter().map(Vec::len).collect::<Vec<_>>();
        assert_eq!(sizes(&[0.0, 150.0]), [2], "a lap");
        assert_eq!(sizes(&[0.0, 300.0]), [1, 1], "far apart");
        assert_eq!(sizes(&[0.0, 150.0, 300.0, 450.0]), [1, 1, 1, 1], "a row");
        assert_eq!(sizes(&[0.0, 20.0, 170.0, 190.0, 340.0, 360.0]), [2, 2, 2], "a row of pairs");
    }

    #[test]
    fn boards_along_each_other_slip_but_in_the_middle() {
        let ties = slipping(vec![tie(), tie(), tie()], [DVec3::X, -DVec3::X]);
        assert_eq!(ties.iter().map(|own| own.springs[1]).collect::<Vec<_>>(), [0.0, 1.0, 0.0]);
        assert!(ties.iter().all(|own| own.springs[2] == 1.0 && own.springs[0] == 1.0));
        let alone = slipping(vec![tie()], [DVec3::X; 2]);
        assert_eq!(alone[0].springs, [1.0; 6]);
        let crossed = slipping(vec![tie(), tie()], [DVec3::X, DVec3::Y]);
        assert!(crossed.iter().all(|own| own.springs == [1.0; 6]));
    }
}
