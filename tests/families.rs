//! Every shipped family over its whole parameter range: each parameter's ends, all pairs of ends, and 200 random points. No
//! part overlaps another, every declared contact touches or is seated, no sliver is ripped, no part is longer than the
//! longest board that is sold, every part is held by joints whose fasteners can be set with not even a note, and what
//! cannot be built is refused with a reason, for at most a fifth of the points.

mod variants;

use slatwork::base::{Diagnostic, Length};
use slatwork::checks::{Case, making};
use slatwork::model::{Blank, Model, Part};
use slatwork::script::{Inputs, Library, Parameters, Script, ScriptKind, Value};
use slatwork::{Memory, Request, Workshop};
use variants::{Dice, Point};

/// Narrowest strip a family may ask for, less the rounding of a nanometre.
const LEAST_RIP: Length = Length::nm(25_399_000);
const RANDOM_POINTS: usize = 200;

struct Range<'a> {
    library: &'a Library,
    script: &'a Script,
    inputs: Inputs,
}

enum Trial {
    Sound,
    Refused,
    Faulty(String),
}

impl Range<'_> {
    /// Both ends of each range, or every choice.
    fn ends(&self) -> Vec<(String, Vec<Value>)> {
        let ranged = |name: &str| self.script.declared.parameters[name].range.is_some();
        variants::values(self.script)
            .into_iter()
            .map(|(name, values)| {
                let ends = match (ranged(&name), values.first(), values.last()) {
                    (true, Some(least), Some(most)) => vec![least.clone(), most.clone()],
                    _ => values,
                };
                (name, ends)
            })
            .collect()
    }

    fn try_point(&self, point: &Point) -> Trial {
        let chosen = self.script.declared.choose(None, point);
        let Some(parameters) = chosen.value else {
            let refused =
                chosen.diagnostics.iter().all(|diagnostic| diagnostic.code == "refused-combination");
            return if refused { Trial::Refused } else { Trial::Faulty(told(point, &chosen.diagnostics)) };
        };
        self.try_parameters(point, &parameters)
    }

    fn try_parameters(&self, point: &Point, parameters: &Parameters) -> Trial {
        let outcome = slatwork::script::build(self.library, self.script, parameters, &self.inputs);
        let mut faults: Vec<Diagnostic> = outcome.diagnostics;
        if let Some(model) = &outcome.value {
            faults.extend(model.findings.iter().cloned());
            faults.extend(model.parts.iter().filter_map(|part| self.unmakeable(part)));
            faults.extend(uncontacted(model));
            faults.extend(making(&Case::new(model, &self.inputs.catalogue)));
        }
        if faults.is_empty() { Trial::Sound } else { Trial::Faulty(told(point, &faults)) }
    }

    /// Slivers, and parts longer or wider than any board.
    fn unmakeable(&self, part: &Part) -> Option<Diagnostic> {
        let section = self.inputs.catalogue.section(&part.section).ok()?;
        let longest = section.longest()?;
        if part.rough_length > longest {
            return Some(Diagnostic::error(
                "part-longer-than-stock",
                format!("{} is {}", part.name, part.rough_length),
            ));
        }
        if matches!(part.blank, Blank::Solid) && part.rough_width > section.width {
            let message = format!("{} is ripped to {} of {}", part.name, part.rough_width, section.width);
            return Some(Diagnostic::error("part-wider-than-stock", message));
        }
        (part.rough_width < LEAST_RIP)
            .then(|| Diagnostic::error("sliver", format!("{} is ripped to {}", part.name, part.rough_width)))
    }
}

/// A piece whose parts declare no contact at all has not been placed by relations.
fn uncontacted(model: &Model) -> Option<Diagnostic> {
    let touched =
        |part: &Part| model.contacts.iter().any(|contact| contact.a == part.id || contact.b == part.id);
    let alone = model.parts.iter().find(|part| !touched(part))?;
    Some(Diagnostic::error("part-touches-nothing", format!("{} has no declared contact", alone.name)))
}

fn told(point: &Point, faults: &[Diagnostic]) -> String {
    let faults: Vec<String> = faults.iter().take(3).map(ToString::to_string).collect();
    format!("{}: {}", variants::words(point), faults.join(" / "))
}

fn singles_and_pairs(ends: &[(String, Vec<Value>)]) -> Vec<Point> {
    let mut points: Vec<Point> = vec![Vec::new()];
    for (index, (name, values)) in ends.iter().enumerate() {
        for value in values {
            points.push(vec![(name.clone(), value.clone())]);
            for (other, others) in &ends[index + 1..] {
                points.extend(
                    others
                        .iter()
                        .map(|second| vec![(name.clone(), value.clone()), (other.clone(), second.clone())]),
                );
            }
        }
    }
    points
}

fn over_its_range(family: &str) {
    let outcome = slatwork::with_stack(|| {
        let opened = Workshop::open(&Memory::default(), &Request::new(family));
        let workshop = opened.value.expect("the family is shipped and compiles");
        let library = workshop.library();
        let script = library.script(ScriptKind::Family, family).expect("the family is shipped");
        let range = Range { library, script, inputs: variants::inputs() };
        let corners = singles_and_pairs(&range.ends());
        let (mut dice, values) = (Dice(20_261_125), variants::values(script));
        let random: Vec<Point> = (0..RANDOM_POINTS).map(|_| dice.point(&values)).collect();
        let mut faults = Vec::new();
        let mut count = |points: &[Point]| -> usize {
            let mut refused = 0;
            for point in points {
                match range.try_point(point) {
                    Trial::Sound => {}
                    Trial::Refused => refused += 1,
                    Trial::Faulty(told) => faults.push(told),
                }
            }
            refused
        };
        count(&corners);
        let refused = count(&random);
        (corners.len(), refused, faults)
    });
    let (corners, refused, faults) = outcome.expect("a thread with a deep stack");
    assert!(corners > 50, "{family} has hardly any parameters");
    assert!(
        faults.is_empty(),
        "{} of {family}'s points are faulty, such as\n{}",
        faults.len(),
        faults[..faults.len().min(8)].join("\n")
    );
    assert!(refused * 5 <= RANDOM_POINTS, "{family} refuses {refused} of {RANDOM_POINTS} random points");
}

#[test]
fn porch_swing_over_its_range() {
    over_its_range("porch_swing");
}

#[test]
fn garden_bench_over_its_range() {
    over_its_range("garden_bench");
}

#[test]
fn adirondack_chair_over_its_range() {
    over_its_range("adirondack_chair");
}

#[test]
fn presets_of_the_bench_seat_as_many_as_they_say() {
    let places = |preset: &str| {
        let request = Request { preset: Some(preset.to_string()), ..Request::new("garden_bench") };
        let workshop = Workshop::open(&Memory::default(), &request).value.expect("it compiles");
        let made = workshop.make(&[]).value.expect("it is built");
        made.model.seat.as_ref().expect("a seat").places
    };
    let found = slatwork::with_stack(|| ["for one", "for two", "for three", "for four"].map(places));
    assert_eq!(found.expect("a deep stack"), [1, 2, 3, 4]);
}
