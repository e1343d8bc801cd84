//! The sections of a part that its wood is looked at in.

use super::chains::METRE;
use super::sections::Sections;
use super::slice::{Bored, Slice};
use super::{Chain, Framing, Timber};
use crate::statics::beam::{
    BeamStability, ColumnStability, Limits, Section, any_effective_length, beam_stability, column_stability,
};
use crate::statics::frame::{Along, SectionForces};
use slatwork_model::{Model, PartId};
use slatwork_solid::{DVec3, Solid};

/// Bars that are leaned on sideways by nothing: a member may buckle over the longest stretch between its ties.
fn unbraced(chain: &Chain, model: &Model, framing: &Framing) -> f64 {
    let part = model.part(chain.part);
    let back = part.pose.inverse();
    let ends = [chain.stations[0].x, chain.stations[chain.stations.len() - 1].x];
    let tied = framing.ties.iter().filter(|tie| tie.parts.contains(&chain.part));
    let mut places: Vec<f64> = tied.map(|tie| back.transform_point3(tie.at).x).chain(ends).collect();
    places.sort_by(f64::total_cmp);
    places.windows(2).map(|pair| pair[1] - pair[0]).fold(0.0, f64::max)
}

/// A section that is looked at: its moduli and limits.
#[derive(Clone, Copy, Debug)]
pub(super) struct Look {
    /// mm2.
    pub(super) area: f64,
    /// Flat, edge; holes taken out.
    pub(super) moduli: [f64; 2],
    pub(super) limits: Limits,
    /// Depth and breadth of the rectangle round it, and how long the part is free to buckle, mm.
    size: [f64; 2],
    free: f64,
}

impl Look {
    fn new(slice: Slice, holes: &[Bored], timber: &Timber, free: f64) -> Look {
        let size = slice.size().to_array();
        let limits = limits(&Stability::of(size, timber, free), timber);
        Look { area: slice.area, moduli: slice.moduli(holes), limits, size, free }
    }

    /// One with such moduli and limits, for tests.
    #[cfg(test)]
    pub(super) fn with(area: f64, moduli: [f64; 2], limits: Limits) -> Look {
        Look { area, moduli, limits, size: [0.0; 2], free: 0.0 }
    }

    /// How it came by its limits.
    pub(super) fn stability(&self, timber: &Timber) -> Stability {
        Stability::of(self.size, timber, self.free)
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
            ..*self
        }
    }
}

/// What keeps a section of a member from buckling over its free length.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stability {
    /// mm; the depth is the width of the board.
    pub(super) section: Section,
    /// mm.
    pub(super) free: f64,
    /// Effective length of the beam, mm.
    pub(super) length: f64,
    /// As a beam on edge; nothing where it is too slender.
    pub(super) beam: Option<BeamStability>,
    /// As a column that bends over its depth, and over its breadth; the same.
    pub(super) columns: [Option<ColumnStability>; 2],
}

impl Stability {
    fn of([depth, breadth]: [f64; 2], timber: &Timber, free: f64) -> Stability {
        let (section, length) = (Section { breadth, depth }, any_effective_length(free, depth));
        let elasticity = timber.edge.stability_elasticity.value();
        let compression = timber.edge.compression.value();
        Stability {
            section,
            free,
            length,
            beam: beam_stability(&section, length, timber.edge.bending.value(), elasticity).value,
            columns: [depth, breadth].map(|own| column_stability(own, free, compression, elasticity).value),
        }
    }

    /// CP: the lesser of both axes; next to nothing where it is too slender.
    pub(super) fn column_factor(&self) -> f64 {
        let factors = self.columns.iter().map(|one| one.map_or(0.0, |one| one.factor));
        factors.fold(1.0, f64::min).max(LEAST)
    }
}

/// What a section may take, with both stabilities over its free length.
fn limits(stability: &Stability, timber: &Timber) -> Limits {
    let (edge, flat) = (timber.edge.bending.value(), timber.flat.bending.value());
    let [along, across] = stability.columns;
    Limits {
        compression: timber.edge.compression.value() * stability.column_factor(),
        tension: timber.edge.tension.value(),
        edge: edge * stability.beam.map_or(LEAST, |beam| beam.factor),
        edge_held: edge,
        flat,
        critical_edge: along.map_or(LEAST, |one| one.critical),
        critical_flat: across.map_or(LEAST, |one| one.critical),
        critical_beam: stability.beam.map_or(LEAST, |beam| beam.critical),
    }
}

/// What is too slender for any rule carries next to nothing, as a share or MPa.
pub(super) const LEAST: f64 = 1e-6;

/// For each bar: its start, its middle, its end, and where it is cut weaker between them.
pub(super) fn looks(
    model: &Model,
    framing: &Framing,
    part: PartId,
    sections: &Sections,
) -> Option<Vec<Looks>> {
    let chain = framing.chain(part)?;
    let (timber, free) = (framing.timbers.of(part), unbraced(chain, model, framing));
    let solid = &model.part(part).solid;
    let look = |slice: Slice, x: f64| Look::new(slice, &Bored::at(solid, x), timber, free);
    let middle = |at: usize| {
        let x = f64::midpoint(chain.stations[at].x, chain.stations[at + 1].x);
        look(sections.at(x).unwrap_or(chain.stations[at].slice), x)
    };
    let ends: Vec<Look> = chain.stations.iter().map(|own| look(own.slice, own.x)).collect();
    let cut: Vec<(f64, Look)> = cuts(solid).filter_map(|x| Some((x, look(sections.at(x)?, x)))).collect();
    let bar = |at: usize| {
        let [from, to] = [chain.stations[at].x, chain.stations[at + 1].x];
        let within = cut.iter().filter(|(x, _)| from < *x && *x < to);
        Looks::new([ends[at], middle(at), ends[at + 1]], weak(within.copied().collect()), from)
    };
    Some((0..chain.bars.len()).map(bar).collect())
}

/// How far beside a corner of the solid a section is taken, mm: a notch may begin there.
const BESIDE: f64 = 0.05;

/// Places along a board, in order, where its section may be least: beside every corner of the solid, and at holes. Between two
/// corners it changes evenly.
fn cuts(solid: &Solid) -> impl Iterator<Item = f64> {
    let corners = solid.pieces().iter().flat_map(|piece| piece.vertices()).map(|corner| corner.x);
    let beside = corners.flat_map(|x| [x - BESIDE, x + BESIDE]);
    let holes = solid.shape().holes.iter().map(|hole| hole.start.x);
    let mut places: Vec<f64> = beside.chain(holes).collect();
    places.sort_by(f64::total_cmp);
    places.dedup_by(|a, b| *a - *b < BESIDE);
    places.into_iter()
}

/// Of sections in order along a bar those that are weaker in something than one beside them and stronger than neither.
fn weak(cut: Vec<(f64, Look)>) -> Vec<(f64, Look)> {
    let is_least = |at: usize, figure: fn(&Look) -> f64| {
        let own = figure(&cut[at].1);
        let beside = [at.checked_sub(1), Some(at + 1)].into_iter().flatten().filter_map(|at| cut.get(at));
        let beside: Vec<f64> = beside.map(|(_, other)| figure(other)).collect();
        beside.iter().all(|other| own <= *other * (1.0 + ROUNDING))
            && beside.iter().any(|other| own < *other * (1.0 - ROUNDING))
    };
    let figures: [fn(&Look) -> f64; 3] = [|own| own.area, |own| own.moduli[0], |own| own.moduli[1]];
    let kept = (0..cut.len()).filter(|at| figures.iter().any(|figure| is_least(*at, *figure)));
    kept.map(|at| cut[at]).collect()
}

/// Sections that differ by less are one.
const ROUNDING: f64 = 1e-3;

/// Share of its capacity that a section uses, and its greatest stress in MPa.
pub(super) type Judge<'a> = &'a dyn Fn(&Look, &SectionForces) -> (f64, f64);

/// The sections of a bar that are looked at, and one that is weaker than all of them.
#[derive(Debug)]
pub(super) struct Looks {
    /// At its start, in its middle, at its end.
    sections: [Look; 3],
    /// Where it is cut weaker between them, m from its start.
    cut: Vec<(f64, Look)>,
    weakest: Look,
}

impl Looks {
    /// `cut` along the board, mm, as `from`, where the bar starts.
    fn new(sections: [Look; 3], cut: Vec<(f64, Look)>, from: f64) -> Looks {
        let all = sections.iter().chain(cut.iter().map(|(_, own)| own)).copied();
        let weakest = all.reduce(|a, b| a.weaker(&b)).unwrap_or(sections[0]);
        let cut = cut.into_iter().map(|(x, own)| ((x - from) / METRE, own)).collect();
        Looks { sections, cut, weakest }
    }

    /// Each place of a bar that is looked at, m from its start, with the section there.
    pub(super) fn places<'a>(&'a self, along: &Along) -> impl Iterator<Item = (f64, &'a Look)> {
        let length = along.length();
        let at = move |place: f64| match place {
            place if place <= 0.0 => 0,
            place if place >= length => 2,
            _ => 1,
        };
        let stations = along.stations().into_iter().map(move |place| (place, &self.sections[at(place)]));
        stations.chain(self.cut.iter().map(|(place, own)| (*place, own)))
    }

    /// A share that none in the bar exceeds.
    pub(super) fn bound(&self, bounds: &SectionForces, judge: Judge) -> f64 {
        let pressed = SectionForces { force: DVec3 { x: -bounds.force.x, ..bounds.force }, ..*bounds };
        judge(&self.weakest, bounds).0.max(judge(&self.weakest, &pressed).0)
    }
}
