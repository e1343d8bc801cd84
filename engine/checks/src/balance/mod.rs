//! Whether the whole stays on its feet, reckoned as one rigid piece on level ground, and how far it racks.

mod feet_slide;
mod gives_way;
mod sways;
mod tips_back;
mod tips_forward;
mod tips_sideways;

use crate::framing::{Seating, Timbers, soles};
use crate::statics::swing::STANDARD_GRAVITY;
use crate::{Case, Check, Limit, Measure, Unit, Verdict, Way, Working};
use slatwork_base::Severity;
use slatwork_base::formula::{Equation, NamedNumber, sum};
use slatwork_catalog::Status;
use slatwork_solid::DVec3;

pub(crate) const ALL: [&Check; 6] = [
    &gives_way::CHECK,
    &tips_back::CHECK,
    &tips_forward::CHECK,
    &tips_sideways::CHECK,
    &feet_slide::CHECK,
    &sways::CHECK,
];

/// A piece that stands, empty.
struct Stand<'a> {
    /// N.
    weight: f64,
    /// Loads of people as a share of those of the tests.
    loads: f64,
    /// Centre of gravity, world mm.
    centre: DVec3,
    /// Points that touch the ground, world mm.
    soles: Vec<DVec3>,
    seating: Seating<'a>,
}

impl<'a> Stand<'a> {
    /// Of a piece; nothing when it hangs, `Err` with why it cannot be told.
    fn of(case: &Case<'a>) -> Result<Option<Stand<'a>>, String> {
        if case.model.hanging.is_some() {
            return Ok(None);
        }
        let seating =
            Seating::of(case.model).ok_or("no seat is declared: nobody knows what carries people")?;
        let timbers = Timbers::of_all(case)?;
        let (mut weight, mut moment) = (0.0, DVec3::ZERO);
        for part in &case.model.parts {
            let own = part.solid.volume() / 1e9 * timbers.of(part.id).density * STANDARD_GRAVITY;
            weight += own;
            moment += part.pose.transform_point3(part.solid.centroid()) * own;
        }
        let soles = soles(case.model).into_iter().flat_map(|(_, sole)| sole).collect();
        Ok(Some(Stand { weight, loads: case.loads, centre: moment / weight, soles, seating }))
    }

    /// The outermost point on the ground in a direction, mm.
    fn outermost(&self, direction: DVec3) -> f64 {
        self.soles.iter().map(|point| point.dot(direction)).fold(f64::NEG_INFINITY, f64::max)
    }

    /// Height over the ground, mm.
    fn height(&self, z: f64) -> f64 {
        z - self.soles.iter().map(|point| point.z).fold(f64::INFINITY, f64::min)
    }

    /// What holds it down and what tips it about the outermost feet in a direction: loads downward at places, and one push in that
    /// direction at a height.
    fn tipping(&self, direction: DVec3, down: &[(f64, DVec3)], push: (f64, f64)) -> Tipping {
        let edge = self.outermost(direction);
        let arm = |at: DVec3| edge - at.dot(direction);
        Tipping {
            people: down.iter().map(|(force, at)| (*force, arm(*at))).collect(),
            weight: self.weight,
            loads: self.loads,
            arm: arm(self.centre),
            push: (push.0, self.height(push.1)),
            by: None,
        }
    }
}

/// Moments about the line of the feet; heavier people bring more of what holds and of what tips, so that the own weight counts for
/// less beside them.
struct Tipping {
    /// Loads of people, N, each with its arm inside the feet, mm.
    people: Vec<(f64, f64)>,
    /// N.
    weight: f64,
    /// Loads of people as a share of those of the tests.
    loads: f64,
    /// Of the weight, inside the feet, mm.
    arm: f64,
    /// N, and how high over the ground, mm.
    push: (f64, f64),
    /// How the push came about, under the sign H, where that is reckoned.
    by: Option<Equation>,
}

impl Tipping {
    /// What holds it down over what tips it.
    fn margin(&self) -> f64 {
        let people: f64 = self.people.iter().map(|(force, arm)| force * arm).sum();
        (people + self.weight / self.loads * self.arm) / (self.push.0 * self.push.1)
    }

    fn working(&self, measure: &Measure) -> Working {
        let force = |symbol: String, meaning: &'static str, value| {
            NamedNumber::new(symbol, meaning, value, Unit::Force)
        };
        let length = |symbol: String, meaning: &'static str, value| {
            NamedNumber::new(symbol, meaning, value, Unit::Length)
        };
        let people = self.people.iter().zip(1..).map(|((load, arm), at)| {
            let load = force(format!("F{at}"), "load of a person downward", *load);
            let arm =
                length(format!("a{at}"), "how far inside the feet that acts, measured on the piece", *arm);
            Equation::reckoned(format!("M{at}"), "what that holds down", Unit::Moment, load * arm)
        });
        let mut steps: Vec<Equation> = people.collect();
        let weight = force(String::from("G"), "own weight", self.weight);
        let arm =
            length(String::from("aG"), "how far inside the feet that acts, measured on the piece", self.arm);
        let own = if self.loads == 1.0 {
            weight * arm
        } else {
            let loads = "loads of people as a share of those of the tests";
            weight / NamedNumber::new("λ", loads, self.loads, Unit::Plain) * arm
        };
        steps.push(Equation::reckoned("MG", "what that holds down", Unit::Moment, own));
        let push = force(String::from("H"), "push outward", self.push.0);
        let height = length(
            String::from("h"),
            "height of the push over the ground, measured on the piece",
            self.push.1,
        );
        let tips = Equation::reckoned("MH", "what that tips", Unit::Moment, push * height);
        let figure =
            NamedNumber::new("k", "what holds it down over what tips it", measure.found, Unit::Plain);
        let figure = Equation::of(figure, sum(steps.iter().map(Into::into)) / &tips);
        Working::new(figure).by(steps).by(self.by.clone()).by([tips])
    }
}

/// A margin to strive for (project choice); 1 is what test loads ask.
const STRIVE: f64 = 1.5;

/// A verdict on a margin against tipping.
fn judged(
    case: &Case,
    fault: &'static str,
    way: &str,
    governing: &str,
    tipping: impl Fn(&Stand) -> Option<Tipping>,
) -> Vec<Verdict> {
    let stand = match Stand::of(case) {
        Ok(Some(stand)) => stand,
        Ok(None) => return Vec::new(),
        Err(why) => return vec![Verdict::not_judged(fault, why)],
    };
    let Some(tipping) = tipping(&stand) else { return Vec::new() };
    let found = tipping.margin();
    let measure = Measure::new("margin against tipping", found, Limit::AtLeast(1.0), Unit::Plain);
    let short = if found < STRIVE { ", which is little" } else { "" };
    let weight = stand.weight / STANDARD_GRAVITY;
    let told =
        format!("what holds it down is {found:.2} times what tips it {way}{short}; it weighs {weight:.0} kg");
    let working = tipping.working(&measure);
    let verdict = Verdict::measured(fault, measure, Severity::Failure)
        .worked(working)
        .about(case.model.seat.iter().flat_map(|seat| seat.on.first()).map(|part| case.model.part(*part)))
        .told(told)
        .governed_by(governing)
        .assuming("level, firm ground; one place taken; feet that do not slide")
        .remedy("Set the feet farther out on that side, or the seat farther in.", [Way::Place, Way::Shape]);
    vec![verdict]
}

/// The load of a person on the seat in tipping tests, N (EN 1022, read second-hand).
const PERSON: f64 = 600.0;
/// Push outward while a person sits at an edge, N (EN 1022, read second-hand).
const OUTWARD: f64 = 20.0;
/// That edge load acts so far inside the edge, mm (EN 1022, read second-hand).
const INSIDE: f64 = 60.0;

/// Says what a tipping check rests on.
fn after_the_standard(verdicts: Vec<Verdict>, status: Status) -> Vec<Verdict> {
    verdicts.into_iter().map(|verdict| verdict.after("loads of EN 1022", status)).collect()
}

#[cfg(test)]
pub(crate) mod tests {
    use slatwork_base::{Length, Origin};
    use slatwork_catalog::Catalogue;
    use slatwork_model::bench::{BoardOrder, SeatOrder, WHOLE};
    use slatwork_model::{Bench, Model, People, Site};

    /// A block of wood 600 mm long on the ground, sat on.
    pub(crate) fn stool() -> Model {
        let mut bench =
            Bench::new(Catalogue::shared().clone(), "trial", "white oak", Site::default(), People::default());
        let order = BoardOrder {
            stock: String::from("2x12"),
            length: Some(Length::mm(600.0)),
            ..BoardOrder::default()
        };
        let board = bench.board(WHOLE, "plank", &order, Origin::NOWHERE).expect("the section exists");
        bench.lie(board, "right", "up", Origin::NOWHERE).expect("it can lie so");
        bench.seat(SeatOrder { on: vec![board], places: 1, ..SeatOrder::default() });
        let outcome = bench.finish();
        outcome.value.unwrap_or_else(|| panic!("{:?}", outcome.diagnostics))
    }
}
