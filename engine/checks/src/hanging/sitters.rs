//! Who sits where in a hung seat: every number of people at every place beside each other, upright and leaning.

use super::weigh::{Body, MM};
use crate::Case;
use crate::body::Sitting;
use crate::statics::swing::Mass;
use core::ops::Range;
use slatwork_solid::DVec3;

/// The weight of who sits acts so high over the seat, mm: some 10 in (common practice, no source).
const OVER_SEAT: f64 = 250.0;
/// Leaning moves it so far to the rear or the front, mm (project choice).
const LEANING: f64 = 110.0;
/// Radius of gyration of who sits about the hips' axis, m (from memory).
const GYRATION: f64 = 0.3;

/// How people hold themselves.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Lean {
    Upright,
    Back,
    Forward,
}

impl Lean {
    pub(super) const ALL: [Lean; 3] = [Lean::Upright, Lean::Back, Lean::Forward];

    fn words(self) -> &'static str {
        match self {
            Lean::Upright => "upright",
            Lean::Back => "leaning back",
            Lean::Forward => "leaning forward",
        }
    }

    /// To the rear, m.
    fn shift(self) -> f64 {
        match self {
            Lean::Upright => 0.0,
            Lean::Back => LEANING * MM,
            Lean::Forward => -LEANING * MM,
        }
    }
}

/// Some people beside each other.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Seating {
    /// Places taken, from the left.
    pub(super) taken: Range<usize>,
    pub(super) lean: Lean,
    /// Who sits down all at once, and so weighs double.
    pub(super) drops: Option<usize>,
}

/// Where people sit and what each weighs.
#[derive(Clone, Debug)]
pub(super) struct Sitters {
    /// Where the weight of who sits upright acts, seat frame, m.
    places: Vec<DVec3>,
    /// kg each.
    pub(super) each: f64,
    /// Fall of the seat as drawn, degrees, the steepest and the least place.
    pub(super) falls: (f64, f64),
    /// Front edges, seat frame, m.
    pub(super) edges: Vec<DVec3>,
}

impl Sitters {
    /// # Errors
    /// Why nobody can be told to sit.
    pub(super) fn of(case: &Case) -> Result<Sitters, String> {
        let sittings = case.sittings();
        if sittings.is_empty() {
            return Err(String::from("the piece declares no seat, so that nobody is known to sit in it"));
        }
        let felt: Option<Vec<&Sitting>> = sittings.iter().map(Option::as_ref).collect();
        let felt = felt.ok_or("nothing to sit on lies under the middle of a place")?;
        let falls = felt.iter().map(|own| own.fall);
        Ok(Sitters {
            places: felt.iter().map(|own| weight_of(own)).collect(),
            each: mass_each(case),
            falls: (falls.clone().fold(f64::INFINITY, f64::min), falls.fold(f64::NEG_INFINITY, f64::max)),
            edges: felt.iter().map(|own| own.edge * MM).collect(),
        })
    }

    pub(super) fn count(&self) -> usize {
        self.places.len()
    }

    /// Each number of people, shifted to every place that they find, in every lean; nobody first.
    pub(super) fn seatings(&self) -> Vec<Seating> {
        let count = self.count();
        let mut all = vec![Seating { taken: 0..0, lean: Lean::Upright, drops: None }];
        for people in 1..=count {
            for first in 0..=count - people {
                let taken = first..first + people;
                all.extend(Lean::ALL.map(|lean| Seating { taken: taken.clone(), lean, drops: None }));
            }
        }
        all
    }

    /// Every place taken, one of them by somebody who drops into it in each lean, beside others who sit upright.
    pub(super) fn drops(&self) -> Vec<Seating> {
        let count = self.count();
        let of = |place| Lean::ALL.map(|lean| Seating { taken: 0..count, lean, drops: Some(place) });
        (0..count).flat_map(of).collect()
    }

    /// Their bodies. Who drops into the seat weighs double, and does not swing.
    pub(super) fn bodies(&self, seating: &Seating) -> Vec<Body> {
        let body = |place: usize| {
            let mass = if seating.drops == Some(place) { 2.0 * self.each } else { self.each };
            let sits_still = seating.drops.is_some_and(|drops| drops != place);
            let lean = if sits_still { Lean::Upright } else { seating.lean };
            let at = self.places[place] + DVec3::Y * lean.shift();
            Body { mass: Mass { mass, at }, inertia: mass * GYRATION * GYRATION }
        };
        seating.taken.clone().map(body).collect()
    }

    /// "2 people at places 1 to 2 of 3 from the left, leaning back".
    pub(super) fn words(&self, seating: &Seating) -> String {
        let (people, count, lean) = (seating.taken.len(), self.count(), seating.lean.words());
        let first = seating.taken.start + 1;
        match (seating.drops, people) {
            (_, 0) => String::from("nobody in it"),
            (Some(_), 1) => format!("one person dropping into it, {lean}"),
            (Some(place), _) => {
                format!(
                    "all {count} places taken, one person dropping into place {} from the left, {lean}",
                    place + 1
                )
            }
            (None, 1) if count == 1 => format!("one person, {lean}"),
            (None, 1) => format!("one person at place {first} of {count} from the left, {lean}"),
            (None, _) if people == count => format!("all {count} places taken, {lean}"),
            (None, _) => {
                let last = seating.taken.end;
                format!("{people} people at places {first} to {last} of {count} from the left, {lean}")
            }
        }
    }
}

/// The mass of the use level, or of the heaviest person named if that is more: whoever is named, others sit down as well.
fn mass_each(case: &Case) -> f64 {
    case.usual_level().mass.max(case.heaviest_named()) * case.loads
}

fn weight_of(sitting: &Sitting) -> DVec3 {
    (sitting.loaded + DVec3::Z * OVER_SEAT) * MM
}
