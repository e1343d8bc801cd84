//! What a hung piece hands to what it hangs from, and whether a beam that the user describes is ruled out.

use super::hung::{Hung, Pulls};
use super::motion::AMPLITUDE;
use super::weigh::MM;
use crate::framing::{figures, grading};
use crate::statics::beam::{End, Section, bending_stress, shear_capacity, shear_capacity_equation};
use crate::statics::swing::Posture;
use crate::statics::wood::{Adjusted, Conditions as Used, Nominal, Service, adjust};
use crate::{Case, Caution, Exposure, Unit, WHY_WITHHELD, Working};
use slatwork_base::formula::{Equation, Expression, NamedNumber};
use slatwork_base::{Angle, both_tapes_whole};
use slatwork_model::{Overhead, Runs};
use slatwork_solid::DVec3;

/// What one hook is pulled with, N, at its worst.
#[derive(Clone, Debug, PartialEq)]
pub struct HookPull {
    /// Which: "left hook".
    pub name: String,
    /// As the chains name it.
    id: String,
    /// Where, in the frame of the piece, mm.
    pub at: DVec3,
    /// To a side of the middle of the seat, mm.
    pub aside: f64,
    /// Behind the front edge of the seat, mm.
    pub behind: f64,
    /// Over the eyes, mm.
    pub over: f64,
    /// At rest with all places taken.
    pub at_rest: f64,
    /// Straight down, swung or with one who drops into the seat.
    pub down: f64,
    /// To the front and to the rear while it is swung.
    pub along: f64,
    /// To a side.
    pub across: f64,
    /// Working load that the hook and what holds it must have: twice the greatest pull.
    pub rated: f64,
}

/// What a piece hands to what it hangs from.
#[derive(Clone, Debug, PartialEq)]
pub struct Handed {
    /// Each hook, from the left.
    pub hooks: Vec<HookPull>,
    /// People at so many places.
    pub places: usize,
    /// Of so much each, kg.
    pub each: f64,
    /// Swung so far from rest.
    pub swung: Angle,
}

/// The working load of a hook over its pull: the rule of half (project choice).
const RATED: f64 = 2.0;

/// What the piece of a case hands to what it hangs from. Somebody must have accepted the caution.
///
/// # Errors
/// Why nothing is told, in words.
pub fn handed_over(case: &Case) -> Result<Handed, String> {
    if !case.accepted.contains(&Caution::Hanging) {
        return Err(format!("loads and places of the hooks are withheld: {WHY_WITHHELD}"));
    }
    match case.hung() {
        None => Err(String::from("it does not hang")),
        Some(Err(why)) => Err(why.clone()),
        Some(Ok(hung)) => handed(hung),
    }
}

/// The same, whether or not the caution is accepted.
pub(super) fn handed(hung: &Hung) -> Result<Handed, String> {
    let Some((_, rest)) = hung.full().next() else { return Err(String::from("a full seat does not hang")) };
    let pulls = hung.pulls();
    let level = hung.most_level().map_or(0.0, |motion| motion.horizontal);
    let whole: f64 = rest.hooks.iter().map(|hook| -hook.force.z).sum();
    let eyes = hung.chains.iter().map(|chain| chain.eye).sum::<DVec3>() / hung.chains.len() as f64 / MM;
    let front = hung.sitters.edges.iter().map(|edge| edge.y).fold(f64::INFINITY, f64::min) / MM;
    let mut hooks: Vec<HookPull> = rest
        .hooks
        .iter()
        .map(|hook| {
            let share = -hook.force.z / whole;
            let forces: Vec<DVec3> =
                pulls.iter().map(|own| on_hook(hung, own.posture, &own.borne, &hook.hook)).collect();
            let most = |of: &dyn Fn(&DVec3) -> f64| forces.iter().map(of).fold(0.0, f64::max);
            let chain = hung.chains.iter().find(|chain| chain.hook_id == hook.hook);
            let at = chain.map_or(DVec3::ZERO, |chain| chain.hook / MM);
            HookPull {
                name: String::new(),
                id: hook.hook.clone(),
                at,
                aside: (at.x - eyes.x).abs(),
                behind: at.y - front,
                over: at.z - eyes.z,
                at_rest: hook.force.length(),
                down: most(&|force| force.z.abs()),
                along: (level * share).max(most(&|force| force.y.abs())),
                across: most(&|force| force.x.abs()),
                rated: RATED * most(&|force| force.length()),
            }
        })
        .collect();
    hooks.sort_by(|one, other| one.at.x.total_cmp(&other.at.x).then(one.at.y.total_cmp(&other.at.y)));
    name(&mut hooks);
    Ok(Handed { hooks, places: hung.sitters.count(), each: hung.sitters.each, swung: AMPLITUDE })
}

/// Force of the chains on a hook, N.
fn on_hook(hung: &Hung, posture: &Posture, pulls: &[f64], hook: &str) -> DVec3 {
    let own = (0..hung.chains.len()).filter(|index| hung.chains[*index].hook_id == hook);
    own.map(|index| -posture.chains[index].up * pulls[index]).sum()
}

/// By side, and by end where a side has more than one.
fn name(hooks: &mut [HookPull]) {
    let middle = hooks.iter().map(|own| own.at).sum::<DVec3>() / hooks.len() as f64;
    let is_left = |own: &HookPull| own.at.x < middle.x;
    if let [only] = hooks {
        only.name = String::from("hook");
        return;
    }
    let a_side = hooks.iter().filter(|own| is_left(own)).count();
    for own in hooks.iter_mut() {
        let side = if is_left(own) { "left" } else { "right" };
        let end = if own.at.y < middle.y { "front " } else { "rear " };
        own.name = format!("{side} {}hook", if a_side > 1 { end } else { "" });
    }
}

/// What a beam that the user describes comes to.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Beam {
    /// It cannot carry it: what gives way, demand, capacity, both N or MPa, and how these came about.
    RuledOut { word: &'static str, demand: f64, capacity: f64, working: Box<Working> },
    /// Nothing that is reckoned here rules it out: the greatest share of what it may carry.
    NotRuledOut { word: &'static str, share: f64 },
}

/// Bends and shears a beam under the hooks that it carries, as if it carried nothing else and could not tip sideways: what fails
/// so fails all the more as it is.
pub(super) fn beam(case: &Case, hung: &Hung, beam: &Overhead) -> Result<Beam, String> {
    let section = case.catalogue.section(&beam.section).map_err(|fault| fault.message)?;
    let whole = Section { breadth: section.thickness.as_mm(), depth: section.width.as_mm() };
    let (bending, shear) = strength(case, beam)?;
    let span = beam.span.as_mm();
    let capacity =
        shear_capacity(&whole, End::Whole, shear.value()).value.ok_or("its section has no size")?;
    let loads = loads(hung, beam)?;
    let (moment, force) = loads
        .iter()
        .map(|own| simple_span(own, span))
        .fold((0.0f64, 0.0f64), |all, own| (all.0.max(own.0), all.1.max(own.1)));
    let (bends, bears) = (bending_stress(moment, &whole), bending.value());
    Ok(if bends / bears >= force / capacity && bends > bears {
        let working = Box::new(bent(&whole, moment, bends, &bending));
        Beam::RuledOut { word: BENDING, demand: bends, capacity: bears, working }
    } else if force > capacity {
        let strength = shear.equation(["Fv'", "Fv"], "shear along the grain");
        let limit = shear_capacity_equation(&whole, End::Whole, &strength, (capacity, 1.0));
        let figure = NamedNumber::new("V", "shear of the simple span under the hooks", force, Unit::Force);
        let working = Box::new(Working::new(Equation::measured(figure)).by([strength]).held_to(limit));
        Beam::RuledOut { word: SHEAR, demand: force, capacity, working }
    } else {
        let (bending, shear) = (bends / bears, force / capacity);
        let word = if bending >= shear { BENDING } else { SHEAR };
        Beam::NotRuledOut { word, share: bending.max(shear) }
    })
}

/// What gives way in a beam, with its unit.
const BENDING: &str = "bending, MPa";
const SHEAR: &str = "shear, N";

fn bent(section: &Section, moment: f64, stress: f64, strength: &Adjusted) -> Working {
    let length = |symbol, meaning, value| NamedNumber::new(symbol, meaning, value, Unit::Length);
    let breadth = length("b", "thickness of the beam", section.breadth);
    let depth = length("d", "depth of the beam", section.depth);
    let by = &breadth * Expression::from(&depth).to_the(2.0) / 6.0;
    let modulus = NamedNumber::new("S", "section modulus of the beam", section.modulus(), Unit::Volume);
    let modulus = Equation::of(modulus, by);
    let moment = NamedNumber::new("M", "moment of the simple span under the hooks", moment, Unit::Moment);
    let figure = NamedNumber::new("fb", "bending stress", stress, Unit::Stress);
    let figure = Equation::of(figure, moment / &modulus);
    Working::new(figure).by([modulus]).held_to(strength.equation(["Fb'", "Fb"], "bending"))
}

/// Fb' and Fv', MPa: published values, ten years, dry under a roof.
fn strength(case: &Case, beam: &Overhead) -> Result<(Adjusted, Adjusted), String> {
    let section = case.catalogue.section(&beam.section).map_err(|fault| fault.message)?;
    let species = case.catalogue.species(&beam.species).map_err(|fault| fault.message)?;
    let size = section.table_size();
    let row = case.catalogue.design_values(species, &beam.grade, size).map_err(|fault| fault.message)?;
    let row = row.ok_or_else(|| format!("no strength is published for {} of this size", species.name))?;
    let used = Used {
        grading: grading(row.size_rule),
        service: if case.conditions.exposure == Exposure::Covered { Service::Dry } else { Service::Wet },
        ..Used::plain(Nominal { thickness: size.0.as_mm(), width: size.1.as_mm() })
    };
    let values = adjust(&figures(row), &used).value.ok_or("its strength cannot be worked out")?;
    Ok((values.bending, values.shear))
}

/// Loads with their places on the beam, mm, in each moment that pulls on the hooks. A joist across the seat carries one side. All
/// hooks of a beam together bear what hangs, once: as at equilibrium.
fn loads(hung: &Hung, beam: &Overhead) -> Result<Vec<Vec<(f64, f64)>>, String> {
    let hooks = handed(hung)?.hooks;
    let first = hooks[0].at;
    let from_first = |hook: &HookPull| match beam.runs {
        Runs::AlongSeat => hook.at.x - first.x,
        Runs::AcrossSeat => (hook.at.y - first.y).abs(),
    };
    let place = |hook: &HookPull| beam.hook_from.as_mm() + from_first(hook);
    let (farthest, span) = (hooks.iter().map(place).fold(0.0, f64::max), beam.span.as_mm());
    if farthest > span {
        return Err(format!(
            "a hook would hang {} along a beam that spans {}",
            both_tapes_whole(farthest),
            both_tapes_whole(span)
        ));
    }
    let carried: Vec<Vec<&HookPull>> = match beam.runs {
        Runs::AlongSeat => vec![hooks.iter().collect()],
        Runs::AcrossSeat => {
            let (left, right) = hooks.iter().partition(|hook| hook.name.starts_with("left"));
            vec![left, right]
        }
    };
    let pulls = hung.pulls();
    let of = |hooks: &Vec<&HookPull>, pulls: &Pulls<'_>| {
        let down = |hook: &HookPull| on_hook(hung, pulls.posture, &pulls.of, &hook.id).z.abs();
        hooks.iter().map(|hook| (down(hook), place(hook))).collect()
    };
    Ok(carried.iter().flat_map(|hooks| pulls.iter().map(move |pulls| of(hooks, pulls))).collect())
}

/// Greatest moment, N mm, and shear, N, of a simple span under loads at places.
fn simple_span(loads: &[(f64, f64)], span: f64) -> (f64, f64) {
    let left: f64 = loads.iter().map(|(force, at)| force * (span - at) / span).sum();
    let right: f64 = loads.iter().map(|(force, _)| force).sum::<f64>() - left;
    let moment = |place: f64| {
        let before =
            loads.iter().filter(|(_, at)| *at < place).map(|(force, at)| force * (place - at)).sum::<f64>();
        left * place - before
    };
    (loads.iter().map(|(_, at)| moment(*at)).fold(0.0, f64::max), left.max(right))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: 330 lbf in the middle of 12 ft: 330 x 144 / 4 = 11 880 in lbf, shear 165. Two of 100 N at a quarter and at three
    /// of 4 m: 100 N x 1 m, shear 100.
    #[test]
    fn a_simple_span_bends_as_by_hand() {
        let (moment, shear) = simple_span(&[(330.0, 72.0)], 144.0);
        assert!((moment - 11_880.0).abs() < 1e-9 && (shear - 165.0).abs() < 1e-9);
        let (moment, shear) = simple_span(&[(100.0, 1_000.0), (100.0, 3_000.0)], 4_000.0);
        assert!((moment - 1e5).abs() < 1e-6 && (shear - 100.0).abs() < 1e-9);
    }
}
