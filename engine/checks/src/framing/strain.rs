//! How hard the wood of a part is worked: bending, load along and shear, section by section.

use super::analysis::{Analysis, Solved};
use super::chains::METRE;
use super::looks::{Judge, Look, Looks};
use super::stiffnesses::STIFFNESSES;
use crate::statics::beam::{
    Interaction, Stresses, compression_and_bending, critical_share, tension_and_bending,
};
use crate::statics::frame::SectionForces;
use slatwork_model::PartId;
use slatwork_solid::DVec2;

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
    /// The section that is worked so, with what acts in it; nothing where what is looked at is no section of its own.
    pub at: Option<Cut>,
}

/// What is as much as it may be counts as holding; a member at its critical stress does not, and is told a little over.
const LEAST_OVER: f64 = 1e-8;

impl Strain {
    /// Share of its capacity that is used, and whether it buckles; then it is the share of its critical stress.
    pub(crate) fn used(&self) -> (f64, bool) {
        match &self.at {
            Some(Cut { look, forces }) if self.share >= BUCKLED => {
                let critical = buckling(look, &stresses(look, forces));
                // At its critical stress it buckles, and holds no longer.
                critical.map_or((self.share, false), |critical| (critical.max(1.0 + LEAST_OVER), true))
            }
            _ => (self.share, false),
        }
    }
}

/// A section of a part with what acts in it.
#[derive(Clone, Debug)]
pub struct Cut {
    pub(super) look: Look,
    pub(super) forces: SectionForces,
}

/// Bending with load along of the hardest bent of some parts over the load cases that `counts` picks; of equals the first.
pub fn bending(
    analysis: &Analysis,
    parts: impl IntoIterator<Item = PartId>,
    counts: impl Fn(usize) -> bool,
) -> Option<(PartId, Strain)> {
    hardest(analysis, parts, counts, |_| bent)
}

fn bent(look: &Look, forces: &SectionForces) -> (f64, f64) {
    let stress = stresses(look, forces);
    let share = match (interaction(look, &stress), buckling(look, &stress)) {
        (Some(found), _) => found.share,
        (None, Some(critical)) => BUCKLED * critical,
        (None, None) => f64::INFINITY,
    };
    (share, stress.flat + stress.edge)
}

/// What buckles is worse than all that does not: the interaction grows beyond all bounds as a member comes near to it, though
/// never so far by the digits of its figures.
const BUCKLED: f64 = 1e12;

/// A share under a load duration factor, which raises strengths and no critical stress.
fn by_duration(share: f64, duration: f64) -> f64 {
    if share >= BUCKLED { share } else { share / duration }
}

/// Share of its critical stress that is used in a section that buckles.
fn buckling(look: &Look, stress: &Stresses) -> Option<f64> {
    let critical = critical_share(stress, &look.limits);
    (stress.compression > 0.0 && critical >= 1.0 && critical.is_finite()).then_some(critical)
}

/// A force along a bar that uses less than this share of its strength is rounding, or as good as none: it decides nothing, and is
/// not told.
const NO_FORCE: f64 = 1e-6;

/// Force along a section, N, tension positive; none where it is next to none.
pub(super) fn force_along(look: &Look, forces: &SectionForces) -> f64 {
    let along = forces.force.x;
    let strength = if along < 0.0 { look.limits.compression } else { look.limits.tension };
    if along.abs() < NO_FORCE * strength * look.area { 0.0 } else { along }
}

/// Of a section, MPa.
pub(super) fn stresses(look: &Look, forces: &SectionForces) -> Stresses {
    let along = force_along(look, forces);
    Stresses {
        compression: (-along).max(0.0) / look.area,
        tension: along.max(0.0) / look.area,
        flat: forces.moment.y.abs() * METRE / look.moduli[0],
        edge: forces.moment.z.abs() * METRE / look.moduli[1],
    }
}

/// All stresses of a section together; nothing where it buckles.
pub(super) fn interaction(look: &Look, stress: &Stresses) -> Option<Interaction> {
    if stress.compression > 0.0 {
        compression_and_bending(stress, &look.limits).value
    } else {
        tension_and_bending(stress, &look.limits).value
    }
}

/// Shear of the hardest sheared of some parts over the load cases that `counts` picks: 3 V / 2 A of both directions together
/// (NDS 3.4.2, read); of equals the first.
pub fn shear(
    analysis: &Analysis,
    parts: impl IntoIterator<Item = PartId>,
    counts: impl Fn(usize) -> bool,
) -> Option<(PartId, Strain)> {
    hardest(analysis, parts, counts, |part| {
        let allowed = analysis.models[0].framing.timbers.of(part).edge.shear.value();
        move |look: &Look, forces: &SectionForces| {
            let stress = 1.5 * DVec2::new(forces.force.y, forces.force.z).length() / look.area;
            (stress / allowed, stress)
        }
    })
}

/// Shares nearer than this are one: of mirror images the first is told, whatever rounding says.
const ALIKE: f64 = 1e-6;

/// Whether a share is worse than the worst so far, by more than rounding.
pub(crate) fn is_worse(share: f64, worst: f64) -> bool {
    share > worst * (1.0 + ALIKE)
}

/// The hardest worked of some parts. What cannot be worse than the worst so far is passed over.
fn hardest<J: Fn(&Look, &SectionForces) -> (f64, f64)>(
    analysis: &Analysis,
    parts: impl IntoIterator<Item = PartId>,
    counts: impl Fn(usize) -> bool,
    judge: impl Fn(PartId) -> J,
) -> Option<(PartId, Strain)> {
    let mut found: Option<(PartId, Strain)> = None;
    for part in parts {
        let worst = found.as_ref().map_or(f64::NEG_INFINITY, |found| found.1.share);
        if let Some(own) = of_part(analysis, part, &counts, worst, &judge(part))
            && is_worse(own.share, worst)
        {
            found = Some((part, own));
        }
    }
    found
}

/// The worst of a part, if it may be worse than a share.
fn of_part(
    analysis: &Analysis,
    part: PartId,
    counts: &dyn Fn(usize) -> bool,
    than: f64,
    judge: Judge,
) -> Option<Strain> {
    let looks = analysis.looks(part)?;
    let bounds: Vec<Vec<f64>> =
        analysis.models.iter().map(|model| bounds(model, part, looks, judge)).collect::<Option<_>>()?;
    if !bounds.iter().flatten().any(|bound| is_worse(*bound, than)) {
        return None;
    }
    let mut found: Option<Strain> = None;
    let mut by_model = Vec::new();
    for (model, bounds) in analysis.models.iter().zip(&bounds) {
        let mut most = f64::NEG_INFINITY;
        for situation in (0..analysis.situations.len()).filter(|at| counts(*at)) {
            let duration = analysis.situations[situation].about.duration();
            let bars = Bars { model, part, looks, bounds, duration };
            let Some(own) = bars.worst(situation, most, judge) else { continue };
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

/// For each bar of a part, a share that none in it exceeds under any situation.
fn bounds(model: &Solved, part: PartId, looks: &[Looks], judge: Judge) -> Option<Vec<f64>> {
    let of_bar = |(bar, looks): (usize, &Looks)| {
        let shares =
            model.envelopes().iter().map(|own| by_duration(looks.bound(&own.bars[bar], judge), own.duration));
        shares.fold(0.0, f64::max)
    };
    Some(model.framing.chain(part)?.bars.clone().zip(looks).map(of_bar).collect())
}

/// The bars of a part that are looked through.
struct Bars<'a> {
    model: &'a Solved,
    part: PartId,
    looks: &'a [Looks],
    /// Shares that none in each bar exceeds.
    bounds: &'a [f64],
    /// Load duration factor of the situation.
    duration: f64,
}

impl Bars<'_> {
    /// The worst under a situation, if it goes beyond a floor.
    fn worst(&self, situation: usize, floor: f64, judge: Judge) -> Option<Strain> {
        let chain = self.model.framing.chain(self.part)?;
        let mut worst: Option<Strain> = None;
        for (at, bar) in chain.bars.clone().enumerate() {
            let least = worst.as_ref().map_or(floor, |worst| worst.share);
            if self.bounds[at] <= least {
                continue;
            }
            let bounds = self.model.bounds(bar, situation)?;
            if by_duration(self.looks[at].bound(&bounds, judge), self.duration) <= least {
                continue;
            }
            let along = self.model.along(bar, situation)?;
            for (place, look) in self.looks[at].places(&along) {
                let forces = along.at(place);
                let (share, stress) = judge(look, &forces);
                let share = by_duration(share, self.duration);
                if share > floor && worst.as_ref().is_none_or(|best| share > best.share) {
                    let x = chain.stations[at].x + place * METRE;
                    let at = Some(Cut { look: *look, forces });
                    worst = Some(Strain { share, stress, situation, x, spread: [share; 2], at });
                }
            }
        }
        worst
    }
}

/// Greatest sag of a part between two neighbouring stations, mm, over the load cases that `counts` picks, with the span.
pub fn sag(analysis: &Analysis, part: PartId, counts: impl Fn(usize) -> bool) -> Option<Sag> {
    let mut worst: Option<Sag> = None;
    for model in &analysis.models {
        let chain = model.framing.chain(part)?;
        for situation in (0..analysis.situations.len()).filter(|at| counts(*at)) {
            for bar in chain.bars.clone() {
                let least = worst.as_ref().map_or(f64::NEG_INFINITY, |best| best.sag / best.span);
                if sag_bound(model, bar, situation)? <= least {
                    continue;
                }
                let Some(along) = model.along(bar, situation) else { continue };
                let span = along.length() * METRE;
                let most = along.stations().into_iter().map(|x| along.deflection(x).length() * METRE);
                let sag = most.fold(0.0, f64::max);
                if sag / span > least {
                    worst = Some(Sag { sag, span, situation });
                }
            }
        }
    }
    worst
}

/// What the sag of a bar as a share of its length stays within: the curvature of its greatest moment all along is an arc of
/// M L / 8 E I, and its greatest shear, one way up to the middle and the other way beyond, V / 2 G A.
fn sag_bound(model: &Solved, bar: usize, situation: usize) -> Option<f64> {
    let bounds = model.bounds(bar, situation)?;
    let section = &model.framing.frame.members[bar].section;
    let length = model.length(bar);
    let bent = |moment: f64, inertia: f64| moment * length / (8.0 * section.elastic * inertia);
    let slid = |force: f64, area: Option<f64>| area.map_or(0.0, |area| force / (2.0 * section.shear * area));
    let [y, z] = [
        bent(bounds.moment.z, section.inertia_z) + slid(bounds.force.y, section.shear_area_y),
        bent(bounds.moment.y, section.inertia_y) + slid(bounds.force.z, section.shear_area_z),
    ];
    Some(DVec2::new(y, z).length())
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::statics::beam::Limits;
    use slatwork_solid::DVec3;

    const LIMITS: Limits = Limits {
        compression: 10.0,
        tension: 8.0,
        edge: 12.0,
        edge_held: 12.0,
        flat: 12.0,
        critical_edge: 5.0,
        critical_flat: 4.0,
        critical_beam: 40.0,
    };

    /// A section of 1000 mm2 with such moduli under a force along in N and a moment flat in N m: what `bent` says, and what is told.
    fn told(moduli: [f64; 2], force: f64, moment: f64) -> (f64, (f64, bool)) {
        let look = Look::with(1_000.0, moduli, LIMITS);
        let forces = SectionForces { force: DVec3::X * force, moment: DVec3::Y * moment };
        let (share, stress) = bent(&look, &forces);
        let at = Some(Cut { look, forces });
        let strain = Strain { share, stress, situation: 0, x: 0.0, spread: [share; 2], at };
        (share, strain.used())
    }

    /// 3000 N on 1000 mm2 are 3 MPa of 4 that it buckles at; 6000 N one and a half times as much.
    #[test]
    fn what_buckles_is_told_by_its_critical_stress_and_worse_than_all_else() {
        let sound = told([10_000.0; 2], -3_000.0, 1.0);
        assert!(sound.0 < 1.0 && sound.1 == (sound.0, false), "{sound:?}");
        let near = told([10_000.0; 2], -3_999.999_999, 50.0);
        let [little, much] = [-6_000.0, -9_000.0].map(|force| told([10_000.0; 2], force, 1.0));
        assert_eq!((little.1, much.1), ((1.5, true), (2.25, true)));
        assert!(near.0 <= little.0 && little.0 < much.0, "{near:?} {little:?} {much:?}");
        // No load is so short that it would raise a critical stress.
        assert_eq!([1.0, 1.6].map(|duration| by_duration(little.0, duration)), [little.0; 2]);
        assert_eq!(by_duration(sound.0, 1.6), sound.0 / 1.6);
        // At the critical stress itself nothing holds.
        let just = told([10_000.0; 2], -4_000.0, 0.0).1;
        assert!(just.1 && just.0 > 1.0, "{just:?}");
    }

    /// Where holes leave no modulus a section fails, pressed or pulled: it does not buckle, and is not passed by its load along.
    #[test]
    fn a_section_without_a_modulus_fails() {
        for force in [-10.0, 0.0, 10.0] {
            for moment in [0.0, 1.0] {
                let (share, used) = told([0.0, 10_000.0], force, moment);
                assert!(share.is_infinite() && used == (f64::INFINITY, false), "{force} {moment}: {used:?}");
            }
        }
    }
}
