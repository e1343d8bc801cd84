//! # What it checks
//! The height of the seat's front edge against the lower legs of those who sit.
//! # Why
//! Too high, and the edge presses under the thighs of short people, whose feet hang; too low, and the weight rests on the seat
//! bones alone and getting up is hard.
//! # Method and source
//! Height over popliteal height with shoes (30 mm, project choice). Upright: comfortable 0.87 to 1.00, after the mismatch limits
//! cos 30 and cos 5 degrees for school seats (Gouvali and Boudolos 2006, from memory), tolerable 0.80 to 1.12 (project choice).
//! Lounge: 0.75 to 0.95, 0.65 to 1.03 (project choice). Shares by a normal distribution for each sex. A swing, as it hangs
//! with people in it: 410 to 455 mm, tolerable 380 to 480 (17 in as a start read in an article on porch swings; range project choice).
//! # Example
//! 432 mm upright: comfortable for 55 %, bearable for 96 % of men and women half and half.
//! # Remedy
//! Another seat height; a swing is hung by another link.

use super::people::size_bound;
use super::{Style, Suited, shape, worst_as_it_rests};
use crate::{Case, Check, Limit, Look, Measure, Unit, Verdict};
use slatwork_base::formula::NamedNumber;
use slatwork_base::{Severity, both_tapes_whole};
use slatwork_catalog::{BodyMeasure, Status};

const FAULT: &str = "seat-height-misfits";
pub(super) const CHECK: Check = Check {
    fault: FAULT,
    about: "the seat is as high as lower legs are long",
    rates: false,
    look: Look::Judges(look),
};

/// Shoes, mm: 25 men's, 45 women's (from memory); one figure for all (project choice).
const SHOES: f64 = 30.0;
/// Height over popliteal height with shoes: comfortable and tolerable.
const UPRIGHT: [(f64, f64); 2] = [(0.87, 1.00), (0.80, 1.12)];
const LOUNGE: [(f64, f64); 2] = [(0.75, 0.95), (0.65, 1.03)];
/// Of a swing with people in it, mm: their feet reach the floor to push off.
const SWING: [(f64, f64); 2] = [(410.0, 455.0), (380.0, 480.0)];

fn look(case: &Case) -> Vec<Verdict> {
    worst_as_it_rests(case, FAULT, |sitting| {
        let Some(height) = sitting.height else {
            return Some(Verdict::not_judged(
                FAULT,
                "how high the seat hangs is not known: the site does not give the height of the hooks",
            ));
        };
        Some(match sitting.style {
            Style::Swing => hung(height),
            style => standing(case, style, height),
        })
    })
}

pub(super) fn standing(case: &Case, style: Style, height: f64) -> Verdict {
    let [comfortable, tolerable] = if style == Style::Lounge { LOUNGE } else { UPRIGHT };
    let legs = |(low, high): (f64, f64)| (height / high - SHOES, height / low - SHOES);
    let own = NamedNumber::new("h", "height of the front edge, measured on the piece", height, Unit::Length);
    let shoes = NamedNumber::new("s", "shoes", SHOES, Unit::Length);
    let bearable = legs(tolerable);
    let bounds = [("b1", tolerable.1, bearable.0), ("b2", tolerable.0, bearable.1)]
        .into_iter()
        .filter_map(|(symbol, ratio, value)| size_bound(symbol, (&own, ratio), Some(&shoes), value));
    let suited = Suited {
        fault: FAULT,
        told: format!("the front of the seat is {} high", both_tapes_whole(height)),
        measure: BodyMeasure::PoplitealHeight,
        comfortable: legs(comfortable),
        tolerable: bearable,
        bounds: bounds.collect(),
        tails: ("too high", "too low"),
    };
    let verdict = suited
        .judged(case)
        .assuming("shoes of 1 3/16\" (30 mm); the slats' sag under the sitter is left out")
        .after("mismatch limits for school seats, Gouvali and Boudolos 2006", Status::FromMemory);
    shape(verdict, "set the seat higher or lower")
}

fn hung(height: f64) -> Verdict {
    let [comfortable, (low, high)] = SWING;
    let grade = if (comfortable.0..=comfortable.1).contains(&height) {
        "comfortable"
    } else {
        "off the comfortable range"
    };
    let told = format!(
        "the front of the seat is {} high, {grade}: comfortable from {} to {}, bearable from {} to {}",
        both_tapes_whole(height),
        both_tapes_whole(comfortable.0),
        both_tapes_whole(comfortable.1),
        both_tapes_whole(low),
        both_tapes_whole(high)
    );
    let measure =
        Measure::new("height in front, with people in it", height, Limit::Within(low, high), Unit::Length);
    let verdict = Verdict::measured(FAULT, measure, Severity::Warning)
        .measured_as("h", "height of the front edge, from the posture with people in it")
        .told(told)
        .after("heights of porch swings, an article of a home magazine", Status::Read)
        .after("range of a swing's height", Status::ProjectChoice);
    shape(verdict, "hang it by another link of the chain")
}
