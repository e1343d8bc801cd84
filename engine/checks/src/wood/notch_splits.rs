//! # What it checks
//! That no end that is notched, halved or cut to a tenon splits from its inner corner.
//! # Why
//! Load on what is left of an end pries it off the rest: the crack starts in the corner of the notch and runs along the grain.
//! # Method and source
//! Shear at the shoulder in the frame of the whole piece, where it opens the corner, against (2/3 Fv' b dn) (dn/d)^2 (NDS-2018 3.4.3.2,
//! from memory), dn what is left of the depth d; a tenon has a corner on either side. Notches deeper than d/4 are told (4.4.3, from
//! memory). Bending of what is left: see the checks of each board.
//! # Example
//! A rail halved over its post from below, with people on it.
//! # Remedy
//! Notch it less, from the upper side, or take a deeper board.

use super::{founded, standing};
use crate::framing::{Analysis, Strain, Tongue, is_worse};
use crate::statics::beam::{End, Notch, NotchPlace, Section, notch, shear_capacity, shear_capacity_equation};
use crate::{Case, Check, Limit, Look, Measure, Unit, Verdict, Way, Working};
use slatwork_base::{Severity, both_tapes_whole};
use slatwork_catalog::Status;
use slatwork_model::PartId;
use slatwork_solid::DVec3;

const FAULT: &str = "notch-splits";
pub(super) const CHECK: Check =
    Check { fault: FAULT, about: "notched ends do not split", rates: true, look: Look::Judges(look) };

/// The hardest worked notched end.
struct Worked {
    part: PartId,
    tongue: Tongue,
    strain: Strain,
    /// N.
    shear: f64,
}

fn look(case: &Case) -> Vec<Verdict> {
    let analysis = match standing(case, FAULT) {
        Ok(analysis) => analysis,
        Err(unjudged) => return unjudged,
    };
    let tongues = case.kept.tongues(case.model).iter();
    let worked = tongues.filter_map(|(part, tongue)| of(analysis, *part, *tongue));
    let worst = worked.reduce(|a, b| if is_worse(b.strain.share, a.strain.share) { b } else { a });
    worst.map(|worst| judged(case, analysis, &worst)).into_iter().collect()
}

impl Tongue {
    /// The whole board behind it, in the direction of its notch.
    fn section(&self) -> Section {
        Section { breadth: self.breadth, depth: self.whole }
    }
}

/// The worst of an end over all load cases and stiffnesses.
fn of(analysis: &Analysis, part: PartId, tongue: Tongue) -> Option<Worked> {
    let framing = &analysis.models[0].framing;
    let (bar, along) = framing.chain(part)?.bar(tongue.x);
    let section = tongue.section();
    let strength = framing.timbers.of(part).edge.shear.value();
    let capacity = shear_capacity(&section, End::Notched { left: tongue.left }, strength).value?;
    let mut worst: Option<(f64, f64, usize)> = None;
    let mut by_model = Vec::new();
    for model in &analysis.models {
        let mut most = 0.0_f64;
        for (situation, own) in analysis.situations.iter().enumerate() {
            let across = |force: DVec3| if tongue.of_width { force.y } else { force.z };
            let capacity = capacity * own.about.duration();
            let Some(bounds) = model.bounds(bar, situation) else { continue };
            if worst.is_some() && across(bounds.force) / capacity <= most {
                continue;
            }
            let Some(forces) = model.along(bar, situation) else { continue };
            let shear = opening(&tongue, across(forces.at(along * forces.length()).force));
            let share = shear / capacity;
            most = most.max(share);
            if worst.is_none_or(|worst| is_worse(share, worst.0)) {
                worst = Some((share, shear, situation));
            }
        }
        by_model.push(most);
    }
    let spread = by_model.iter().fold([f64::INFINITY, 0.0], |[low, high], own| [own.min(low), own.max(high)]);
    let (share, shear, situation) = worst?;
    let stress = 1.5 * shear / (tongue.breadth * tongue.left);
    Some(Worked {
        part,
        tongue,
        shear,
        strain: Strain { share, stress, situation, x: tongue.x, spread, at: None },
    })
}

/// What of a shear force opens a corner: what loads the tongue away from the missing wood. The force is that of what lies beyond
/// the shoulder on what lies before it.
fn opening(tongue: &Tongue, force: f64) -> f64 {
    let on_tongue = if tongue.first { -force } else { force };
    let [low, high] = tongue.missing;
    (if low { on_tongue } else { 0.0 }).max(if high { -on_tongue } else { 0.0 })
}

fn judged(case: &Case, analysis: &Analysis, worst: &Worked) -> Verdict {
    let (part, tongue) = (case.model.part(worst.part), &worst.tongue);
    let allowed = worst.shear / worst.strain.share.max(f64::MIN_POSITIVE);
    let measure = Measure::new("shear at the notch", worst.shear, Limit::AtMost(allowed), Unit::Force);
    let told = format!(
        "`{}` is notched to {} of {} at its end and carries {:.0} N there",
        part.name,
        both_tapes_whole(tongue.left),
        both_tapes_whole(tongue.whole),
        worst.shear
    );
    let duration = analysis.situations[worst.strain.situation].about.duration();
    let strength = analysis.models[0].framing.timbers.of(part.id).shear();
    let end = End::Notched { left: tongue.left };
    let working = Working::measured("V", "shear that opens the corner, from the frame", &measure)
        .held_to(shear_capacity_equation(&tongue.section(), end, &strength, (allowed, duration)))
        .by([strength]);
    let verdict =
        Verdict::measured(FAULT, measure, Severity::Failure).about([part]).told(told).worked(working);
    let verdict = founded(verdict, case, analysis, &worst.strain)
        .after("NDS-2018 3.4.3.2", Status::FromMemory)
        .remedy("Notch it less, from the upper side, or take a deeper board.", [Way::Section, Way::Wood]);
    if is_deep(tongue) {
        verdict
            .assuming("the notch is deeper than a quarter: NDS-2018 4.4.3 allows no such notch in a joist")
            .after("NDS-2018 4.4.3", Status::FromMemory)
    } else {
        verdict
    }
}

/// Whether a notch is deeper than NDS 4.4.3 allows at an end.
fn is_deep(tongue: &Tongue) -> bool {
    let section = tongue.section();
    let depth = tongue.whole - tongue.left;
    !notch(&section, &Notch { place: NotchPlace::End, depth, length: depth, tension: true }).is_empty()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The left end rests on its upper half: the post pushes it up, which opens the corner below.
    #[test]
    fn a_notch_opens_where_the_load_leaves_the_missing_wood() {
        let tongue = Tongue {
            x: 50.0,
            first: true,
            of_width: true,
            whole: 90.0,
            left: 45.0,
            breadth: 38.0,
            missing: [true, false],
        };
        // The rest bears down on the tongue by 800 N, as beyond acts on before: -800 N, and the post pushes up as much.
        assert!((opening(&tongue, -800.0) - 800.0).abs() < 1e-9);
        assert!(opening(&tongue, 800.0).abs() < 1e-9, "it closes");
        let other = Tongue { first: false, ..tongue };
        assert!((opening(&other, 800.0) - 800.0).abs() < 1e-9);
        let tenon = Tongue { missing: [true, true], ..tongue };
        assert!([800.0, -800.0].iter().all(|force| (opening(&tenon, *force) - 800.0).abs() < 1e-9));
        assert!(is_deep(&tongue) && !is_deep(&Tongue { left: 68.0, ..tongue }));
    }
}
