//! The sections of a part that its wood is looked at in.

use super::analysis::Analysis;
use super::slice::{Bored, Slice};
use super::{Chain, Timber};
use crate::statics::beam::{Limits, Section, any_effective_length, beam_stability, column_stability};
use crate::statics::frame::SectionForces;
use slatwork_model::PartId;
use slatwork_solid::DVec3;

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
#[derive(Debug)]
pub(super) struct Look {
    /// mm2.
    pub(super) area: f64,
    /// Flat, edge; holes taken out.
    pub(super) moduli: [f64; 2],
    pub(super) limits: Limits,
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

/// For each bar: its start, its middle, its end.
pub(super) fn looks(analysis: &Analysis, part: PartId) -> Option<Vec<Looks>> {
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

/// Share of its capacity that a section uses, and its greatest stress in MPa.
pub(super) type Judge<'a> = &'a dyn Fn(&Look, &SectionForces) -> (f64, f64);

/// The sections of a bar that are looked at, and one that is weaker than all of them.
#[derive(Debug)]
pub(super) struct Looks {
    pub(super) sections: [Look; 3],
    weakest: Look,
}

impl Looks {
    fn new(sections: [Look; 3]) -> Looks {
        let weakest = sections[0].weaker(&sections[1]).weaker(&sections[2]);
        Looks { sections, weakest }
    }

    /// A share that none in the bar exceeds.
    pub(super) fn bound(&self, bounds: &SectionForces, judge: Judge) -> f64 {
        let pressed = SectionForces { force: DVec3 { x: -bounds.force.x, ..bounds.force }, ..*bounds };
        judge(&self.weakest, bounds).0.max(judge(&self.weakest, &pressed).0)
    }
}
