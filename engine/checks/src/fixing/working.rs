//! How what a fastener carries, and what it may, came about.

use super::capacity::{Capacity, HEAD_THROUGH, Held, washers};
use super::{By, Worked};
use crate::framing::{Tie, Timbers};
use crate::statics::withdrawal::{
    head_pull_through_equation, per_length_equation, utilisation_expression, washer_equation,
};
use crate::statics::wood::{Factor, factor};
use crate::{Case, Measure, Working};
use slatwork_base::formula::{Equation, Expression, NamedNumber, Unit, root};

/// The load on one fastener that is looked at, and what it may carry.
pub(super) fn working(
    case: &Case,
    timbers: &Timbers,
    tie: &Tie,
    (by, worked): (By, &Worked),
    measure: &Measure,
) -> Option<Working> {
    let held = Held::of(case, timbers, tie, worked.at).ok()?;
    let looked = Looked { case, timbers, tie, worked, held };
    Some(match by {
        By::Shear => looked.sheared(measure),
        By::Pull => looked.pulled(measure),
        By::Both => looked.both(measure),
    })
}

struct Looked<'a, 'c> {
    case: &'a Case<'c>,
    timbers: &'a Timbers,
    tie: &'a Tie,
    worked: &'a Worked,
    held: Held<'a>,
}

impl Looked<'_, '_> {
    fn capacity(&self) -> &Capacity {
        &self.worked.capacity
    }

    /// Along and across the patch together.
    fn shear(&self) -> Equation {
        let [along, across] = self.worked.pull.lateral;
        let squared = |symbol, way: &str, value: f64| {
            let meaning = format!("share of the joint's load {way} its patch, from the frame");
            Expression::from(NamedNumber::new(symbol, meaning, value, Unit::Force)).to_the(2.0)
        };
        let left = NamedNumber::new("V", "load across its axis", self.worked.pull.shear(), Unit::Force);
        Equation::of(left, root(squared("V1", "along", along) + squared("V2", "across", across)))
    }

    fn pull(&self) -> NamedNumber {
        let meaning = "pull along its axis, its share of the joint's load from the frame";
        NamedNumber::new("P", meaning, self.worked.pull.axial, Unit::Force)
    }

    /// A value with its factors but those of 1, and with the duration of its load.
    fn adjusted(&self, left: NamedNumber, value: Expression, of: &str, factors: &[Factor]) -> Equation {
        let duration = Factor::new("CD", self.worked.duration, "NDS Table 2.3.2, read");
        let counted = factors.iter().chain([&duration]).filter(|own| own.value != 1.0);
        Equation::of(left, counted.fold(value, |value, own| value * factor(own.symbol, of, own.value)))
    }

    /// Z' and what leads to it.
    fn lateral(&self) -> (Vec<Equation>, Equation) {
        let value = self.capacity().lateral * self.worked.duration;
        let left = NamedNumber::new("Z'", "design value across its axis", value, Unit::Force);
        let force = self.held.force(self.tie, &self.worked.pull);
        let yielding = self.held.crossed.yielding(force).or_else(|_| self.held.crossed.yielding(None));
        let Ok(yielding) = yielding else { return (Vec::new(), Equation::measured(left)) };
        let steps = yielding.joint.mode_equations(yielding.mode);
        let reference = steps.last().map_or_else(|| yielding.value.into(), Expression::from);
        let part = NamedNumber::new(
            "kp",
            "part of the penetration that the tables assume, which is there",
            yielding.part,
            Unit::Plain,
        );
        let reference = if yielding.part == 1.0 { reference } else { reference * part };
        let design = self.adjusted(left, reference, "Z", &yielding.factors);
        (steps, design)
    }

    /// W' and what leads to it: of a bolt under its washer, else of the weaker of thread and head.
    fn axial(&self) -> (Vec<Equation>, Equation) {
        let value = self.capacity().axial * self.worked.duration;
        let left = NamedNumber::new("W'", "design value along its axis", value, Unit::Force);
        let crossed = &self.held.crossed;
        if crossed.is_bolt() {
            return self.washer(left);
        }
        let threaded = crossed.threaded();
        let thread = per_length_equation(threaded.puller, threaded.diameter, threaded.gravity);
        let length = NamedNumber::new("p", "thread in the wood that holds it", threaded.length, Unit::Length);
        let by_thread = self.adjusted(left.clone(), &thread * length, "W", &threaded.factors);
        match crossed.headed() {
            Ok(headed) if self.capacity().way == HEAD_THROUGH => {
                let head =
                    head_pull_through_equation(headed.head, headed.gravity, headed.net, headed.through);
                let by_head = self.adjusted(left, (&head).into(), "WH", &[headed.wet]);
                (vec![head], by_head)
            }
            _ => (vec![thread], by_thread),
        }
    }

    fn washer(&self, left: NamedNumber) -> (Vec<Equation>, Equation) {
        let joint = &self.case.model.joints[self.tie.joint];
        let fastening = &joint.fastenings[self.tie.fasteners[self.worked.at]];
        let Some(washer) = washers(self.case, joint, fastening, self.timbers) else {
            return (Vec::new(), Equation::measured(left));
        };
        let strength = washer.timber.across();
        let bearing = Factor::new("Cb", washer.factor, "NDS 3.10.4, read");
        let diameters = (washer.ring, washer.bolt);
        let reference = washer_equation(left.clone(), &strength, diameters, bearing);
        let Some(by) = reference.right else { return (Vec::new(), Equation::measured(left)) };
        let design = self.adjusted(left, by, "Fc⊥", &[]);
        (vec![strength], design)
    }

    fn sheared(&self, measure: &Measure) -> Working {
        let (steps, limit) = self.lateral();
        let shear = self.shear();
        let left = NamedNumber { value: measure.found, ..shear.left };
        Working::new(Equation { left, ..shear }).by(steps).held_to(limit).pruned()
    }

    fn pulled(&self, measure: &Measure) -> Working {
        let (steps, limit) = self.axial();
        Working::new(Equation::measured(NamedNumber { value: measure.found, ..self.pull() }))
            .by(steps)
            .held_to(limit)
    }

    fn both(&self, measure: &Measure) -> Working {
        let (shear, pull) = (self.shear(), self.pull());
        let (by_lateral, lateral) = self.lateral();
        let (by_axial, axial) = self.axial();
        let by = utilisation_expression(
            self.capacity().together,
            [&shear.left, &pull],
            [&lateral.left, &axial.left],
        );
        let share =
            NamedNumber::new("u", "share of what it may carry that is used", measure.found, Unit::Plain);
        let steps = [shear].into_iter().chain(by_lateral).chain([lateral]).chain(by_axial).chain([axial]);
        Working::new(Equation::of(share, by)).by(steps).pruned()
    }
}
