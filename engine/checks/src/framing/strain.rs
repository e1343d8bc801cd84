//! How hard the wood of a part is worked: bending, load along and shear, section by section.

use super::analysis::{Analysis, STIFFNESSES, Solved};
use super::chains::METRE;
use super::slice::{Bored, Slice};
use super::{Chain, Timber};
use crate::statics::beam::{
    Limits, Section, Stresses, any_effective_length, beam_stability, column_stability,
    compression_and_bending, tension_and_bending,
};
use crate::statics::frame::SectionForces;
use slatwork_model::PartId;
use slatwork_solid::{DVec2, DVec3};

/// The worst of a part.
#[derive(Clone, Debug)]
pub struct Strain {
    /// Share of its capacity that is used.
    pub share: f64,
    /// What is found, MPa: the greatest stress of the kind.
    pub stress: f64,
    /// The load case, by index.
    pub situation: usize,
    /// Where along the part, mm.
    pub x: f64,
    /// Least and greatest share over the three joint stiffnesses.
    pub spread: [f64; 2],
}

/// Bars that are leaned on sideways by nothing: a member may buckle over the longest stretch between its ties.
fn unbraced(chain: &Chain, analysis: &Analysis) -> f64 {
    let part = analysis.model.part(chain.part);
    let back = part.pose.inverse();
    let ends = [chain.stations[0].x, chain.stations[chain.stations.len() - 1].x];
    let tied = analysis.ties().iter().filter(|tie| tie.parts.contains(&chain.part));
    let mut places: Vec<f64> = tied.map(|tie| back.transform_point3(tie.at).x).chain(ends).collect();
    places.sort_by(f64::total_cmp);
    places.windows(2).map(|pair| pair[1] - pair[0]).fold(0.0, f64::max)
}

/// A section that is looked at: its moduli and limits.
struct Look {
    /// mm2.
    area: f64,
    /// Flat, edge; holes taken out.
    moduli: [f64; 2],
    limits: Limits,
}

impl Look {
    fn new(slice: Slice, holes: &[Bored], timber: &Timber, free: f64) -> Look {
        Look { area: slice.area, moduli: slice.moduli(holes), limits: limits(&slice, timber, free) }
    }

    /// A section weaker in everything than both.
    fn weaker(&self, other: &Look) -> Look {
        let (a, b) = (&self.limits, &other.limits);
        Look {
            area: self.area.min(other.area),
            moduli: [0, 1].map(|at| self.moduli[at].min(other.moduli[at])),
            limits: Limits {
                compression: a.compression.min(b.compression),
                tension: a.tension.min(b.tension),
                edge: a.edge.min(b.edge),
                edge_held: a.edge_held.min(b.edge_held),
                flat: a.flat.min(b.flat),
                critical_edge: a.critical_edge.min(b.critical_edge),
                critical_flat: a.critical_flat.min(b.critical_flat),
                critical_beam: a.critical_beam.min(b.critical_beam),
            },
        }
    }
}

/// What a section may take, with both stabilities over its free length.
fn limits(slice: &Slice, timber: &Timber, free: f64) -> Limits {
    let size = slice.size();
    let (depth, breadth) = (size.x, size.y);
    let (edge, flat) = (timber.edge.bending.value(), timber.flat.bending.value());
    let stability = timber.edge.stability_elasticity.value();
    let length = any_effective_length(free, depth);
    let beam = beam_stability(&Section { breadth, depth }, length, edge, stability).value;
    let compression = timber.edge.compression.value();
    let column = |depth: f64| column_stability(depth, free, compression, stability).value;
    let [along, across] = [column(depth), column(breadth)];
    let factor = [along, across].iter().map(|one| one.map_or(0.0, |one| one.factor)).fold(1.0, f64::min);
    Limits {
        compression: compression * factor.max(LEAST),
        tension: timber.edge.tension.value(),
        edge: edge * beam.map_or(LEAST, |beam| beam.factor),
        edge_held: edge,
        flat,
        critical_edge: along.map_or(LEAST, |one| one.critical),
        critical_flat: across.map_or(LEAST, |one| one.critical),
        critical_beam: beam.map_or(LEAST, |beam| beam.critical),
    }
}

/// What is too slender for any rule carries next to nothing, as a share or MPa.
const LEAST: f64 = 1e-6;

/// Bending with load along of a part over the load cases that `counts` picks.
pub fn bending(analysis: &Analysis, part: PartId, counts: impl Fn(usize) -> bool) -> Option<Strain> {
    worst(analysis, part, counts, |look, forces| {
        let stress = Stresses {
            compression: (-forces.force.x).max(0.0) / look.area,
            tension: forces.force.x.max(0.0) / look.area,
            flat: forces.moment.y.abs() * METRE / look.moduli[0],
            edge: forces.moment.z.abs() * METRE / look.moduli[1],
        };
        let share = if stress.compression > 0.0 {
            compression_and_bending(&stress, &look.limits).value
        } else {
            tension_and_bending(&stress, &look.limits).value
        };
        (share.map_or(f64::INFINITY, |found| found.share), stress.flat + stress.edge)
    })
}

/// Shear of a part over the load cases that `counts` picks: 3 V / 2 A of both directions together (NDS 3.4.2, read).
pub fn shear(analysis: &Analysis, part: PartId, counts: impl Fn(usize) -> bool) -> Option<Strain> {
    let allowed = analysis.models[0].framing.timbers.of(part).edge.shear.value();
    worst(analysis, part, counts, |look, forces| {
        let stress = 1.5 * DVec2::new(forces.force.y, forces.force.z).length() / look.area;
        (stress / allowed, stress)
    })
}

/// Shares nearer than this are one: of mirror images the first is told, whatever rounding says.
const ALIKE: f64 = 1e-6;

/// Whether a share is worse than the worst so far, by more than rounding.
pub(crate) fn is_worse(share: f64, worst: f64) -> bool {
    share > worst * (1.0 + ALIKE)
}

type Judge<'a> = &'a dyn Fn(&Look, &SectionForces) -> (f64, f64);

fn worst(
    analysis: &Analysis,
    part: PartId,
    counts: impl Fn(usize) -> bool,
    judge: impl Fn(&Look, &SectionForces) -> (f64, f64),
) -> Option<Strain> {
    let looks = looks(analysis, part)?;
    let mut found: Option<Strain> = None;
    let mut by_model = Vec::new();
    for model in &analysis.models {
        let mut most = f64::NEG_INFINITY;
        for situation in (0..analysis.situations.len()).filter(|at| counts(*at)) {
            let duration = analysis.situations[situation].about.duration();
            let floor = most * duration;
            let Some(mut own) = of_situation(model, part, situation, (&looks, floor), &judge) else {
                continue;
            };
            own.share /= duration;
            most = most.max(own.share);
            if found.as_ref().is_none_or(|best| is_worse(own.share, best.share)) {
                found = Some(own);
            }
        }
        by_model.push(most.max(0.0));
    }
    debug_assert_eq!(by_model.len(), STIFFNESSES.len());
    let least = by_model.iter().copied().fold(f64::INFINITY, f64::min);
    let most = by_model.iter().copied().fold(0.0, f64::max);
    found.map(|found| Strain { spread: [least, most], ..found })
}

/// For each bar: its start, its middle, its end.
fn looks(analysis: &Analysis, part: PartId) -> Option<Vec<Looks>> {
    let framing = &analysis.models[0].framing;
    let chain = framing.chain(part)?;
    let (timber, free) = (framing.timbers.of(part), unbraced(chain, analysis));
    let solid = &analysis.model.part(part).solid;
    let station = |at: usize| {
        let station = &chain.stations[at];
        Look::new(station.slice, &Bored::at(solid, station.x), timber, free)
    };
    let middle = |at: usize| {
        let x = f64::midpoint(chain.stations[at].x, chain.stations[at + 1].x);
        let slice = Slice::of(solid, x).unwrap_or(chain.stations[at].slice);
        Look::new(slice, &[], timber, free)
    };
    Some((0..chain.bars.len()).map(|at| Looks::new([station(at), middle(at), station(at + 1)])).collect())
}

/// The sections of a bar that are looked at, and one that is weaker than all of them.
struct Looks {
    sections: [Look; 3],
    weakest: Look,
}

impl Looks {
    fn new(sections: [Look; 3]) -> Looks {
        let weakest = sections[0].weaker(&sections[1]).weaker(&sections[2]);
        Looks { sections, weakest }
    }

    /// A share that none in the bar exceeds.
    fn bound(&self, bounds: &SectionForces, judge: Judge) -> f64 {
        let pressed = SectionForces { force: DVec3 { x: -bounds.force.x, ..bounds.force }, ..*bounds };
        judge(&self.weakest, bounds).0.max(judge(&self.weakest, &pressed).0)
    }
}

/// The worst of a part under a situation, if it goes beyond a floor.
fn of_situation(
    model: &Solved,
    part: PartId,
    situation: usize,
    (looks, floor): (&[Looks], f64),
    judge: Judge,
) -> Option<Strain> {
    let chain = model.framing.chain(part)?;
    let mut worst: Option<Strain> = None;
    for (at, bar) in chain.bars.clone().enumerate() {
        let least = worst.as_ref().map_or(floor, |worst| worst.share.max(floor));
        if looks[at].bound(&model.bounds(bar, situation)?, judge) <= least {
            continue;
        }
        let along = model.along(bar, situation)?;
        let length = along.length();
        for place in along.stations() {
            let look = if place <= 0.0 {
                0
            } else if place >= length {
                2
            } else {
                1
            };
            let (share, stress) = judge(&looks[at].sections[look], &along.at(place));
            if share > floor && worst.as_ref().is_none_or(|best| share > best.share) {
                let x = chain.stations[at].x + place * METRE;
                worst = Some(Strain { share, stress, situation, x, spread: [share; 2] });
            }
        }
    }
    worst
}

/// Greatest sag of a part between two neighbouring stations, mm, over the load cases that `counts` picks, with the span.
pub fn sag(analysis: &Analysis, part: PartId, counts: impl Fn(usize) -> bool) -> Option<Sag> {
    let mut worst: Option<Sag> = None;
    for model in &analysis.models {
        let chain = model.framing.chain(part)?;
        for situation in (0..analysis.situations.len()).filter(|at| counts(*at)) {
            for bar in chain.bars.clone() {
                let Some(along) = model.along(bar, situation) else { continue };
                let span = along.length() * METRE;
                let most = along.stations().into_iter().map(|x| along.deflection(x).length() * METRE);
                let sag = most.fold(0.0, f64::max);
                if worst.as_ref().is_none_or(|best| sag / span > best.sag / best.span) {
                    worst = Some(Sag { sag, span, situation });
                }
            }
        }
    }
    worst
}

/// A sag.
#[derive(Clone, Copy, Debug)]
pub struct Sag {
    /// mm.
    pub sag: f64,
    /// Between the two places that it is measured from, mm.
    pub span: f64,
    /// The load case, by index.
    pub situation: usize,
}
