//! Parameters that bear on what fails, and their values by steps outward from the present one.

use super::Concerned;
use crate::workshop::exact_text;
use slatwork_catalog::{Catalogue, Section};
use slatwork_script::{Parameter, ParameterKind, Parameters, Value};
use std::collections::BTreeSet;

/// Most values of one parameter: the search stops long before.
const MOST_VALUES: usize = 10_000;

/// One parameter set to another value.
#[derive(Clone, Debug, PartialEq)]
pub struct Change {
    /// The parameter.
    pub parameter: String,
    /// Its value now.
    pub now: Value,
    /// Its value then.
    pub then: Value,
    /// Declared steps between them.
    pub steps: usize,
}

impl Change {
    /// As a setting of the variant.
    pub fn setting(&self) -> (String, String) {
        (self.parameter.clone(), exact_text(&self.then))
    }
}

/// A parameter that may be turned.
#[derive(Clone, Debug, PartialEq)]
pub struct Candidate {
    /// Its name.
    pub parameter: String,
    /// Its value now.
    pub now: Value,
    /// Its other values: those one declared step away, those two steps away, and so on. Of what has an order these are the
    /// neighbours either way; words without one are all a step away.
    pub rings: Vec<Vec<Value>>,
}

impl Candidate {
    /// The changes so many steps away, from 1.
    pub fn changes(&self, steps: usize) -> impl Iterator<Item = Change> + '_ {
        let ring = steps.checked_sub(1).and_then(|index| self.rings.get(index));
        ring.into_iter().flatten().map(move |then| Change {
            parameter: self.parameter.clone(),
            now: self.now.clone(),
            then: then.clone(),
            steps,
        })
    }
}

/// The parameters that bear on some parts, in the order of declaration: woods and sections that any of them is cut from,
/// and what the family declares to govern any of them.
pub fn candidates(
    values: &Parameters,
    catalogue: &Catalogue,
    concerned: &BTreeSet<Concerned>,
) -> Vec<Candidate> {
    let turned = values.iter().filter_map(|(name, now)| {
        let parameter = values.declared().parameters.get(name)?;
        let bears = concerned.iter().any(|part| bears_on(parameter, now, part, catalogue));
        let rings = if bears { rings(parameter, now, catalogue) } else { Vec::new() };
        let candidate = Candidate { parameter: name.to_string(), now: now.clone(), rings };
        (!candidate.rings.is_empty()).then_some(candidate)
    });
    turned.collect()
}

fn bears_on(parameter: &Parameter, now: &Value, part: &Concerned, catalogue: &Catalogue) -> bool {
    let cut_from = match (parameter.kind, now) {
        (ParameterKind::Section, Value::Text(name)) => {
            catalogue.section(name).is_ok_and(|own| own.name == part.section)
        }
        (ParameterKind::Wood, Value::Text(name)) => {
            catalogue.species(name).is_ok_and(|own| own.id == part.species)
        }
        _ => false,
    };
    cut_from || parameter.governs.iter().any(|own| goes_by(without_number(&part.name), own))
}

/// A `front rail` is a front rail and a rail.
fn goes_by(name: &str, called: &str) -> bool {
    name.strip_suffix(called).is_some_and(|rest| rest.is_empty() || rest.ends_with(' '))
}

/// "seat slat 3" is a `seat slat`, "arm" an `arm`.
fn without_number(name: &str) -> &str {
    match name.rsplit_once(' ') {
        Some((stem, number)) if number.bytes().all(|byte| byte.is_ascii_digit()) => stem,
        _ => name,
    }
}

/// The other values of a parameter by declared steps from the present one.
fn rings(parameter: &Parameter, now: &Value, catalogue: &Catalogue) -> Vec<Vec<Value>> {
    match parameter.kind {
        ParameterKind::YesNo | ParameterKind::Choice => unordered(parameter.values(MOST_VALUES), now),
        ParameterKind::Wood => unordered(woods(parameter, now, catalogue), now),
        ParameterKind::Section => sections(parameter, now, catalogue),
        ParameterKind::Text => Vec::new(),
        _ => {
            let values = parameter.values(MOST_VALUES);
            let off =
                |value: &Value| value.scale().zip(now.scale()).map_or(f64::INFINITY, |(a, b)| (a - b).abs());
            let nearest = (0..values.len()).min_by(|a, b| off(&values[*a]).total_cmp(&off(&values[*b])));
            nearest.map_or_else(Vec::new, |at| outward(&values, at))
        }
    }
}

/// The values either side of a place, nearest first.
fn outward(values: &[Value], at: usize) -> Vec<Vec<Value>> {
    let ring = |steps: usize| {
        let places = [at.checked_sub(steps), at.checked_add(steps)];
        places.into_iter().flatten().filter_map(|place| values.get(place).cloned()).collect::<Vec<Value>>()
    };
    (1..values.len()).map(ring).take_while(|ring| !ring.is_empty()).collect()
}

/// Words without an order are all one step away.
fn unordered(values: Vec<Value>, now: &Value) -> Vec<Vec<Value>> {
    let others: Vec<Value> = values.into_iter().filter(|value| value != now).collect();
    if others.is_empty() { Vec::new() } else { vec![others] }
}

/// The words that are allowed: those declared, in their own spelling, else those of the catalogue.
fn allowed(parameter: &Parameter, known: impl Iterator<Item = String>) -> Vec<String> {
    if parameter.among.is_empty() { known.collect() } else { parameter.among.clone() }
}

/// The woods that are allowed, each once, without the present one under another name.
fn woods(parameter: &Parameter, now: &Value, catalogue: &Catalogue) -> Vec<Value> {
    let id = |name: &str| catalogue.species(name).ok().map(|own| own.id.clone());
    let mut seen = BTreeSet::new();
    if let Value::Text(name) = now {
        seen.extend(id(name));
    }
    let all = allowed(parameter, catalogue.species_list().map(|own| own.name.clone()));
    all.into_iter().filter(|name| id(name).is_some_and(|own| seen.insert(own))).map(Value::Text).collect()
}

/// The sections that are allowed, by thickness and then by width; without a list, those of the class of the present one.
fn sections(parameter: &Parameter, now: &Value, catalogue: &Catalogue) -> Vec<Vec<Value>> {
    let Value::Text(name) = now else { return Vec::new() };
    let Ok(present) = catalogue.section(name) else { return Vec::new() };
    let alike = catalogue.sections().filter(|own| own.class == present.class);
    let all = allowed(parameter, alike.map(|own| own.name.clone()));
    let mut ordered: Vec<(&Section, String)> =
        all.into_iter().filter_map(|name| Some((catalogue.section(&name).ok()?, name))).collect();
    ordered.sort_by_key(|(own, _)| (own.thickness, own.width, own.name.clone()));
    ordered.dedup_by_key(|(own, _)| own.name.clone());
    let at = ordered.iter().position(|(own, _)| own.name == present.name);
    let values: Vec<Value> = ordered.into_iter().map(|(_, name)| Value::Text(name)).collect();
    at.map_or_else(Vec::new, |at| outward(&values, at))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn counts(values: &[i64]) -> Vec<Value> {
        values.iter().copied().map(Value::Count).collect()
    }

    #[test]
    fn values_are_tried_outward_either_way() {
        let rings = outward(&counts(&[1, 2, 3, 4, 5]), 1);
        assert_eq!(rings, [counts(&[1, 3]), counts(&[4]), counts(&[5])]);
        assert_eq!(outward(&counts(&[7]), 0), Vec::<Vec<Value>>::new());
    }

    #[test]
    fn words_are_all_a_step_away() {
        let words = |all: &[&str]| all.iter().map(|word| Value::Text(word.to_string())).collect::<Vec<_>>();
        assert_eq!(unordered(words(&["a", "b", "c"]), &words(&["b"])[0]), [words(&["a", "c"])]);
        assert!(unordered(words(&["a"]), &words(&["a"])[0]).is_empty());
    }

    #[test]
    fn a_part_goes_by_its_name_without_its_number() {
        assert_eq!(
            ["seat slat 12", "arm", "2", "rail a2"].map(without_number),
            ["seat slat", "arm", "2", "rail a2"]
        );
    }

    #[test]
    fn a_part_goes_by_the_end_of_its_name() {
        assert!(goes_by("front rail", "rail") && goes_by("rail", "rail"));
        assert!(!goes_by("handrail", "rail") && !goes_by("rail stop", "rail"));
    }

    #[test]
    fn sections_rise_by_thickness_then_width() {
        let catalogue = Catalogue::shared();
        let usual = Value::Text("1x4".into());
        let origin = slatwork_base::Origin::NOWHERE;
        let mut slats = Parameter::new("slats", ParameterKind::Section, usual.clone(), origin);
        slats.among = ["5/4x4", "1x4", "5/4x3", "19x89"].map(String::from).to_vec();
        let names: Vec<String> =
            rings(&slats, &usual, catalogue).into_iter().flatten().map(|own| own.to_string()).collect();
        assert_eq!(names, ["19x89", "5/4x3", "5/4x4"]);
    }
    #[test]
    fn woods_keep_the_name_they_are_declared_by() {
        let origin = slatwork_base::Origin::NOWHERE;
        let now = Value::Text("white oak".into());
        let mut wood = Parameter::new("wood", ParameterKind::Wood, now.clone(), origin);
        let all = rings(&wood, &now, Catalogue::shared());
        assert_eq!(all[0].len() + 1, Catalogue::shared().species_list().count());
        wood.among = ["white_oak", "southern pine", "black locust"].map(String::from).to_vec();
        let names: Vec<String> = rings(&wood, &now, Catalogue::shared())
            .into_iter()
            .flatten()
            .map(|own| own.to_string())
            .collect();
        assert_eq!(names, ["southern pine", "black locust"]);
    }
}
