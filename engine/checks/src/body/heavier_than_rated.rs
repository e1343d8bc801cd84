//! # What it checks
//! That nobody who is named is heavier than what the piece is rated for at each place.
//! # Why
//! Loads and rating are those of the use level, whoever is named: the very people who will sit on it may be heavier.
//! # Method and source
//! Mass of the heaviest person named, over the mass of the use level (115, 125 or 182 kg, after BIFMA X5.1, X5.4 and X5.11; which
//! level takes which is this project's choice); who is heavier than that, over the rating a place: the most, by steps of 5 kg, at
//! which no check that grows with load fails. Where the piece is not rated nobody can tell.
//! # Example
//! Somebody of 200 kg on a bench that is rated at 125 kg a place.
//! # Remedy
//! What governs the rating made stronger; or the use level set to heavy, and what then fails made stronger.

use crate::verdict::Way;
use crate::{Case, Check, Limit, Look, Measure, NotRated, Rating, Unit, Verdict};
use slatwork_base::Severity;
use slatwork_catalog::Status;
use slatwork_model::Person;

const FAULT: &str = "heavier-than-rated";
pub(super) const CHECK: Check = Check {
    fault: FAULT,
    about: "nobody who is named is heavier than the rating",
    rates: false,
    look: Look::Judges(look),
};

fn look(case: &Case) -> Vec<Verdict> {
    let named = case.model.people.named.iter();
    let heaviest = named.reduce(|one, other| if other.mass > one.mass { other } else { one });
    heaviest.map(|person| judged(case, person)).into_iter().collect()
}

fn judged(case: &Case, person: &Person) -> Verdict {
    let usual = case.usual_level().mass;
    let verdict = if person.mass <= usual {
        held_to(person, usual, "the loads of its use are those of")
    } else {
        match case.rating() {
            Ok(rating) => against(case, person, rating),
            Err(why) => unknown(person, why),
        }
    };
    verdict
        .governed_by(person.label.clone())
        .after("mass of a person by use level, after BIFMA X5.1, X5.4 and X5.11", Status::ProjectChoice)
}

fn held_to(person: &Person, most: f64, words: &str) -> Verdict {
    let measure = Measure::new("mass of who is named", person.mass, Limit::AtMost(most), Unit::Mass);
    let told = format!("{} weighs {:.0} kg; {words} {most:.0} kg at each place", person.label, person.mass);
    Verdict::measured(FAULT, measure, Severity::Failure)
        .measured_as("m", "mass of who is named, as stated")
        .told(told)
}

fn against(case: &Case, person: &Person, rating: &Rating) -> Verdict {
    let verdict = held_to(person, rating.per_place, "it is rated at");
    let (told, help) = (verdict.told.clone(), "make what governs the rating stronger, or state a harder use");
    let ways = [Way::Section, Way::Fasteners, Way::Hardware];
    match &rating.governs {
        Some(governs) => verdict
            .told(format!("{told}: above that {}", governs.told))
            .about(governs.parts.iter().map(|part| case.model.part(*part)))
            .remedy(help, ways),
        None => verdict.remedy(help, ways),
    }
}

fn unknown(person: &Person, why: &NotRated) -> Verdict {
    let told = format!("{} weighs {:.0} kg, and the piece is not rated: {why}", person.label, person.mass);
    Verdict::not_judged(FAULT, told)
}
