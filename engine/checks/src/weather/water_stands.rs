//! # What it checks
//! That water runs off: no wide level board, no pocket that faces up, and room behind the seat's last slat.
//! # Why
//! Standing water soaks end grain and fasteners, lifts finish and rots wood.
//! # Method and source
//! Wood wider than 150 mm that is touched slopes by 1 in 50 at least; counterbores that face up are plugged; between the seat and
//! the back 3 mm stay clear as built (project choice; gaps of 6 to 10 mm there are common practice).
//! # Example
//! An open counterbore in the top of an arm.
//! # Remedy
//! Let it slope, plug it, or leave room.

use super::{touched, worst};
use crate::{Case, Check, Limit, Look, Measure, Unit, Verdict, Way, Working};
use core::f64::consts::FRAC_1_SQRT_2;
use slatwork_base::formula::{Equation, Expression, NamedNumber, root};
use slatwork_base::{Severity, both_tapes};
use slatwork_catalog::Status;
use slatwork_model::Part;
use slatwork_model::joints::HeadSeat;
use slatwork_solid::{DVec3, clearance};

const FAULT: &str = "water-stands";
pub(super) const CHECK: Check =
    Check { fault: FAULT, about: "water runs off everywhere", rates: false, look: Look::Judges(look) };

/// Narrower boards shed water over their edges, mm.
const WIDE: f64 = 150.0;
/// Least slope, as a tangent.
const SLOPE: f64 = 1.0 / 50.0;
/// A bore counts as facing up when so much of its axis does (cosine of 45 degrees).
const FACES_UP: f64 = FRAC_1_SQRT_2;
/// Least room behind the seat, mm.
const BEHIND: f64 = 3.0;

fn look(case: &Case) -> Vec<Verdict> {
    let wide = worst(touched(case).filter_map(level));
    let verdicts: Vec<Verdict> = wide.into_iter().chain(pockets(case)).chain(behind(case)).collect();
    if verdicts.is_empty() {
        return vec![
            Verdict::yes_or_no(FAULT, true, Severity::Warning)
                .told("nothing lies wide and level, and no pocket faces up")
                .after("what holds water", Status::ProjectChoice),
        ];
    }
    verdicts
}

/// A wide board by the slope of its face.
fn level(part: &Part) -> Option<Verdict> {
    let face = part.pose.transform_vector3(DVec3::Z);
    if part.width.as_mm() <= WIDE || face.z.abs() < FACES_UP {
        return None;
    }
    let slope = face.truncate().length() / face.z.abs();
    let measure = Measure::new("slope", 100.0 * slope, Limit::AtLeast(100.0 * SLOPE), Unit::Percent);
    Some(
        Verdict::measured(FAULT, measure, Severity::Warning)
            .worked(slopes(face, slope))
            .about([part])
            .told(format!(
                "`{}` is {} wide and slopes by {:.1} %",
                part.name,
                both_tapes(part.width.as_mm()),
                100.0 * slope
            ))
            .after("slope of what is wide", Status::ProjectChoice)
            .remedy("let it slope to a free edge, or make it of narrower boards", [Way::Shape, Way::Section]),
    )
}

/// The slope of a face by the way it looks.
fn slopes(face: DVec3, slope: f64) -> Working {
    let share = |symbol, way, value: f64| {
        NamedNumber::new(symbol, format!("how much the face looks {way}, as a cosine"), value, Unit::Plain)
    };
    let squared = |symbol, way, value| Expression::from(share(symbol, way, value)).to_the(2.0);
    let level = root(squared("nx", "to a side", face.x) + squared("ny", "to front or rear", face.y));
    let up = share("nz", "up or down", face.z.abs());
    let left = NamedNumber::new("i", "slope of its face", 100.0 * slope, Unit::Percent);
    Working::new(Equation::of(left, Expression::Number(100.0, Unit::Percent) * level / up))
}

/// Open counterbores that face up: the first, with their number.
fn pockets(case: &Case) -> Option<Verdict> {
    let open =
        case.model.joints.iter().flat_map(|joint| joint.fastenings.iter().map(move |one| (joint, one)));
    let mut open = open.filter(|(_, one)| {
        matches!(one.seat, HeadSeat::Counterbored { plugged: false, .. }) && one.direction.z < -FACES_UP
    });
    let (joint, one) = open.next()?;
    let part = case.model.part(one.layers.first()?.part);
    let told = match open.count() {
        0 => format!("a counterbore in `{}` faces up and is left open", part.name),
        more => format!("{} counterbores face up and are left open, the first in `{}`", more + 1, part.name),
    };
    Some(
        Verdict::yes_or_no(FAULT, false, Severity::Warning)
            .about([part])
            .at(joint.origin)
            .told(told)
            .after("no pocket that faces up", Status::CommonPractice)
            .remedy("plug them, or leave the heads in countersinks", [Way::Treatment]),
    )
}

/// Room between the seat's slats and the back's.
fn behind(case: &Case) -> Option<Verdict> {
    let seat = case.model.seat.as_ref()?;
    let part = |id: &slatwork_model::PartId| case.model.part(*id);
    let last = seat.on.iter().map(part).max_by(|a, b| rear(a).total_cmp(&rear(b)))?;
    let to_back = seat.back.iter().map(part).map(|slat| clearance(&last.placed(), &slat.placed()));
    let room = to_back.reduce(f64::min)?;
    let measure = Measure::new("room behind the seat", room, Limit::AtLeast(BEHIND), Unit::Length);
    Some(
        Verdict::measured(FAULT, measure, Severity::Warning)
            .measured_as("r", "room between the last slat and the back, measured on the piece")
            .about([last])
            .told(format!("between `{}` and the back {} stay clear", last.name, both_tapes(room)))
            .governed_by("as built")
            .after("drain at the rear of a seat", Status::ProjectChoice)
            .remedy("end the seat farther from the back", [Way::Gap]),
    )
}

fn rear(part: &Part) -> f64 {
    part.placed().bounds().centre().y
}
