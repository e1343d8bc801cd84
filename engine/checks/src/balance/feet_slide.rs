//! # What it checks
//! That the feet do not slide when people push the piece sideways or lean back in it.
//! # Why
//! A seat that slips away under who sits down, or rises from its arms, throws them.
//! # Method and source
//! Every load case of use: what people push level, together, against the friction of what stands on the feet (Coulomb). Friction
//! by the ground that the site tells (common practice, no source). What hangs has no feet.
//! # Example
//! A bench on wet tiles, leaned back in.
//! # Remedy
//! Pads of rubber under the feet, or a rougher ground.

use super::Stand;
use crate::framing::{Situation, situations};
use crate::{Case, Check, Limit, Look, Measure, Unit, Verdict, Way, Working};
use slatwork_base::Severity;
use slatwork_base::formula::{Equation, NamedNumber};
use slatwork_base::maths::hypot;
use slatwork_catalog::Status;
use slatwork_solid::DVec3;

const FAULT: &str = "feet-slide";
pub(super) const CHECK: Check =
    Check { fault: FAULT, about: "the feet do not slide", rates: false, look: Look::Judges(look) };

/// Friction of wood at rest by words for the ground, the slippery first (common practice, no source).
const GROUNDS: [(f64, &[&str]); 3] = [
    (0.2, &["ice", "icy", "wet", "tile", "tiles", "tiled", "polished", "glazed", "marble", "steel"]),
    (0.3, &["deck", "decking", "boards", "planks", "porch", "wood", "wooden", "composite"]),
    (0.4, &["lawn", "grass", "soil", "earth", "gravel", "sand"]),
];
/// On stone, brick, concrete and what the site does not tell (common practice, no source).
const HARD_FLOOR: f64 = 0.4;

/// Friction on a ground, by the first of its words that is known.
fn friction(ground: &str) -> f64 {
    let said = ground.to_lowercase();
    let names =
        |words: &[&str]| said.split(|letter: char| !letter.is_alphanumeric()).any(|own| words.contains(&own));
    GROUNDS.iter().find(|(_, words)| names(words)).map_or(HARD_FLOOR, |(friction, _)| *friction)
}

/// What pushes level and what presses down under a load case, N.
fn pushed(stand: &Stand, situation: &Situation) -> (f64, f64) {
    let whole: DVec3 = situation.pushes.iter().map(|push| push.force).sum();
    (hypot(whole.x, whole.y), stand.weight - whole.z)
}

fn look(case: &Case) -> Vec<Verdict> {
    let stand = match Stand::of(case) {
        Ok(Some(stand)) => stand,
        Ok(None) => return Vec::new(),
        Err(why) => return vec![Verdict::not_judged(FAULT, why)],
    };
    let all = situations(&stand.seating, case.level());
    let pushed = all.iter().map(|own| (own, pushed(&stand, own))).filter(|(_, (level, _))| *level > 0.0);
    let worst = pushed.max_by(|a, b| (a.1.0 / a.1.1).total_cmp(&(b.1.0 / b.1.1)));
    worst.map(|(situation, pushed)| judged(case, situation, pushed)).into_iter().collect()
}

fn judged(case: &Case, situation: &Situation, (level, down): (f64, f64)) -> Verdict {
    let said = case.model.site.ground.as_deref();
    let friction = friction(said.unwrap_or_default());
    let holds = friction * down;
    let measure = Measure::new("push", level, Limit::AtMost(holds), Unit::Force);
    let ground = said.unwrap_or("a hard floor");
    let named = |symbol, meaning, value, unit| NamedNumber::new(symbol, meaning, value, unit);
    let rough = named("μ", "friction of wood on the ground", friction, Unit::Plain);
    let down = named("N", "own weight and what people press down", down, Unit::Force);
    let limit = Equation::of(named("R", "what the feet hold", holds, Unit::Force), rough * down);
    let working = Working::measured("H", "what people push level, all together", &measure).held_to(limit);
    let verdict = Verdict::measured(FAULT, measure, Severity::Warning)
        .worked(working)
        .about(case.model.seat.iter().flat_map(|seat| seat.on.first()).map(|part| case.model.part(*part)))
        .told(format!("people push it by {level:.0} N, and on {ground} its feet hold {holds:.0} N"))
        .governed_by(situation.name.clone())
        .assuming(format!("level ground, friction {friction:.1}; feet that nothing holds but friction"))
        .after("friction of wood on the ground", Status::CommonPractice)
        .under_loads(case, [situation])
        .remedy("Set pads of rubber under the feet, or choose a rougher ground.", [Way::Treatment]);
    if said.is_some() { verdict } else { verdict.assuming("a hard floor: the site does not tell the ground") }
}

#[cfg(test)]
mod tests {
    use super::super::tests::stool;
    use super::*;
    use slatwork_catalog::Catalogue;
    use slatwork_model::PartId;

    /// 400 N to the rear and 300 N to the side are 500 N level; 1000 N down on a plank that weighs G.
    #[test]
    fn level_pushes_of_a_case_are_added_as_vectors() {
        let model = stool();
        let case = Case::new(&model, Catalogue::shared());
        let stand = Stand::of(&case).expect("it can be told").expect("it stands");
        let push =
            |x, y, z| crate::framing::Push { part: PartId(0), at: DVec3::ZERO, force: DVec3::new(x, y, z) };
        let pushes = vec![push(300.0, 0.0, -600.0), push(0.0, 400.0, -400.0)];
        let about = crate::framing::About::Leaning;
        let (level, down) = super::pushed(&stand, &Situation::new("", about, pushes));
        assert!((level - 500.0).abs() < 1e-9 && (down - stand.weight - 1000.0).abs() < 1e-9);
    }

    #[test]
    fn grounds_are_told_by_whole_words_and_the_slippery_ones_first() {
        let grounds = ["Tiles by the pool", "a porch of wet boards", "Deck", "sandstone terrace", "lawn", ""];
        assert_eq!(grounds.map(friction), [0.2, 0.2, 0.3, 0.4, 0.4, 0.4]);
    }
}
