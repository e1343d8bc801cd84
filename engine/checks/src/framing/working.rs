//! How the stresses of a section, and what it may take of them, came about.

use super::chains::METRE;
use super::looks::{LEAST, Look};
use super::strain::{Cut, force_along, interaction, stresses};
use super::{Strain, Timber};
use crate::Working;
use crate::statics::beam::{
    ColumnStability, NamedLimits, beam_stability_equations, column_equation, critical_expression,
};
use crate::statics::wood::{COLUMN_ROUNDING, factor, stability_equation};
use slatwork_base::formula::{Equation, Expression, NamedNumber, Unit, root};

/// A share, and what a load duration factor lessens it to.
fn under_duration(share: Equation, duration: f64) -> (Option<Equation>, Equation) {
    if duration == 1.0 {
        return (None, share);
    }
    let by = &share / factor("CD", "the design values", duration);
    let lessened =
        Equation::reckoned("uD", "share that is used, by the duration of its load", Unit::Plain, by);
    (Some(share), lessened)
}

impl Working {
    /// Held to a design value under a load duration factor, which raises it; `symbols` of what that gives and of the value.
    pub(crate) fn held_for(self, value: Equation, [symbol, of]: [&'static str; 2], duration: f64) -> Working {
        if duration == 1.0 {
            return self.held_to(value);
        }
        let meaning = format!("{}, by the duration of its load", value.left.meaning);
        let raised =
            Equation::reckoned(symbol, meaning, value.left.unit, &value * factor("CD", of, duration));
        self.by([value]).held_to(raised)
    }
}

impl Strain {
    /// Bending with load along, of the hardest bent section of a part.
    pub(crate) fn bending(&self, timber: &Timber, duration: f64) -> Option<Working> {
        let Cut { look, forces } = self.at.as_ref()?;
        let stress = stresses(look, forces);
        let bent = |[m, s, f]: [&'static str; 3], way: &str, moment: f64, modulus: f64, stress: f64| {
            let meaning = format!("moment {way}, from the frame");
            let moment = NamedNumber::new(m, meaning, moment.abs() * METRE, Unit::Moment);
            let meaning = format!("section modulus {way}, measured on the piece without its holes");
            let modulus = NamedNumber::new(s, meaning, modulus, Unit::Volume);
            let left = NamedNumber::new(f, format!("bending stress {way}"), stress, Unit::Stress);
            Equation::of(left, moment / modulus)
        };
        let edge = bent(["M1", "S1", "fb1"], "on edge", forces.moment.z, look.moduli[1], stress.edge);
        let flat = bent(["M2", "S2", "fb2"], "flat", forces.moment.y, look.moduli[0], stress.flat);
        let pressed = stress.compression > 0.0;
        let [symbol, word] = if pressed { ["fc", "compression"] } else { ["ft", "tension"] };
        let force = NamedNumber::new(
            "N",
            format!("{word}, from the frame"),
            force_along(look, forces).abs(),
            Unit::Force,
        );
        let area = NamedNumber::new("A", "area of the section, measured on the piece", look.area, Unit::Area);
        let along = NamedNumber::new(
            symbol,
            format!("{word} along the grain"),
            if pressed { stress.compression } else { stress.tension },
            Unit::Stress,
        );
        let along = Equation::of(along, force / area);
        let (limits, mut steps) = limits(look, timber);
        let used = |meaning, share, by| Equation::of(NamedNumber::new("u", meaning, share, Unit::Plain), by);
        let (longer, share) = match interaction(look, &stress) {
            Some(found) => {
                let by = found.expression([&along, &edge, &flat], &limits);
                let meaning = format!("share that is used, NDS Eq {}", found.equation);
                under_duration(used(meaning, found.share, by), duration)
            }
            // A critical stress is one of stiffness, which no short load raises.
            None if self.used().1 => {
                let meaning = String::from("share of its critical stress that is used, NDS 3.9.2");
                let by = critical_expression([&along, &edge], &limits);
                (None, used(meaning, self.used().0, by))
            }
            None => {
                let why = "share that is used: hardly any section is left";
                (None, Equation::measured(NamedNumber::new("u", why, f64::INFINITY, Unit::Plain)))
            }
        };
        steps.extend([along, edge, flat]);
        steps.extend(longer);
        Some(Working::new(share).by(steps).pruned())
    }

    /// Shear of the hardest sheared section of a part.
    pub(crate) fn shear(&self, timber: &Timber, duration: f64) -> Option<Working> {
        let Cut { look, forces } = self.at.as_ref()?;
        let squared = |symbol: &'static str, way: &str, value: f64| {
            let meaning = format!("shear through the {way}, from the frame");
            Expression::from(NamedNumber::new(symbol, meaning, value.abs(), Unit::Force)).to_the(2.0)
        };
        let whole = squared("V1", "width", forces.force.y) + squared("V2", "thickness", forces.force.z);
        let area = NamedNumber::new("A", "area of the section, measured on the piece", look.area, Unit::Area);
        let left = NamedNumber::new("fv", "shear stress", self.stress, Unit::Stress);
        let figure = Equation::of(left, 1.5 * root(whole) / area);
        let strength = timber.shear();
        Some(Working::new(figure).held_for(strength, ["FvD'", "Fv"], duration))
    }
}

impl Timber {
    /// Fv'.
    pub(crate) fn shear(&self) -> Equation {
        self.edge.shear.equation(["Fv'", "Fv"], "shear along the grain")
    }

    /// Fc*, along the grain and without CP.
    pub(crate) fn compression(&self) -> Equation {
        self.edge.compression.equation(["Fc*", "Fc"], "compression along the grain, no buckling")
    }

    /// Fc across the grain.
    pub(crate) fn across(&self) -> Equation {
        self.edge.across.equation(["Fc⊥'", "Fc⊥"], "compression across the grain")
    }

    /// Ft'.
    pub(crate) fn tension(&self) -> Equation {
        self.edge.tension.equation(["Ft'", "Ft"], "tension along the grain")
    }
}

/// What a section may take, and how that comes about.
fn limits(look: &Look, timber: &Timber) -> (NamedLimits, Vec<Equation>) {
    let (found, limits) = (look.stability(timber), &look.limits);
    let held = timber.edge.bending.equation(["Fb1*", "Fb"], "bending on edge, no tipping sideways");
    let flat = timber.flat.bending.equation(["Fb2'", "Fb"], "bending flat");
    let (compression, tension) = (timber.compression(), timber.tension());
    let elasticity = timber.edge.stability_elasticity.equation(["Emin'", "Emin"], "elasticity for stability");
    let mut steps =
        vec![elasticity.clone(), held.clone(), flat.clone(), compression.clone(), tension.clone()];
    let slender = |symbol: &'static str, meaning: &str, value: f64, unit: Unit| {
        let meaning = format!("{meaning}: too slender for any rule, next to nothing");
        Equation::measured(NamedNumber::new(symbol, meaning, value, unit))
    };

    // On edge a beam may tip sideways: CL and FbE.
    match &found.beam {
        Some(beam) => {
            let strengths = (&held, &elasticity);
            steps.extend(beam_stability_equations(beam, &found.section, found.length, strengths));
        }
        None => steps.extend([
            slender("CL", "beam stability factor", LEAST, Unit::Plain),
            slender("FbE", "critical stress of the beam", LEAST, Unit::Stress),
        ]),
    }
    let of = |steps: &[Equation], symbol: &str| steps.iter().find(|own| own.left.symbol == symbol).cloned();
    let left = NamedNumber::new("Fb1'", "design value, bending on edge", limits.edge, Unit::Stress);
    let edge = match of(&steps, "CL") {
        Some(factor) => Equation::of(left, &held * &factor),
        None => Equation::of(left, &held),
    };

    // Pressed along it may buckle both ways: CP by the lesser, and FcE.
    let free = NamedNumber::new(
        "lf",
        "longest stretch between joints, measured on the piece",
        found.free,
        Unit::Length,
    );
    let side = |symbol, meaning, value| NamedNumber::new(symbol, meaning, value, Unit::Length);
    let sides = [
        side("d", "depth of the section", found.section.depth),
        side("b", "breadth of the section", found.section.breadth),
    ];
    let critical = |axis: usize, symbol: &'static str| match &found.columns[axis] {
        Some(column) => column_equation(symbol, (&sides[axis], &free), column.critical, &elasticity),
        None => slender(symbol, "critical stress of the column", LEAST, Unit::Stress),
    };
    let (along, across) = (critical(0, "FcE1"), critical(1, "FcE2"));
    steps.extend([along.clone(), across.clone()]);
    match found.columns {
        [Some(one), Some(other)] => {
            let is_first = one.factor < other.factor;
            let (axis, ColumnStability { factor, .. }) =
                if is_first { (&along, one) } else { (&across, other) };
            steps.extend(stability_equation("CP", "Fc", (axis, &compression), (factor, COLUMN_ROUNDING)));
        }
        _ => steps.push(slender("CP", "column stability factor", LEAST, Unit::Plain)),
    }
    let factor = of(&steps, "CP").map_or(1.0.into(), |factor| Expression::from(&factor));
    let left = NamedNumber::new(
        "Fc'",
        "design value, compression along the grain",
        limits.compression,
        Unit::Stress,
    );
    let pressed = Equation::of(left, &compression * factor);

    let named = NamedLimits {
        compression: pressed.left.clone(),
        tension: tension.left,
        edge: edge.left.clone(),
        edge_held: held.left,
        flat: flat.left,
        critical_edge: along.left,
        critical_flat: across.left,
        critical_beam: of(&steps, "FbE").map(|own| own.left),
    };
    steps.extend([edge, pressed]);
    (named, steps)
}
