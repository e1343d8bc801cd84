//! Fasteners pulled along their axis, alone and together with a load across it.

use super::dowel::{Penetration, look_at_gravity};
use super::given::Given;
use super::units::{INCH, POUND_PER_INCH, PSI};
use super::wood::{Adjusted, Factor, Service};
use super::{dowel, wood};
use slatwork_base::formula::{Equation, Expression, NamedNumber, Unit, root, sum};
use slatwork_base::{Angle, Diagnostic, Outcome, maths};

/// What holds in the wood.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Puller {
    /// Thread of a lag screw.
    LagScrew,
    /// Thread of a wood screw.
    WoodScrew,
    /// Smooth nail, bright or galvanised.
    SmoothNail,
    /// Smooth nail of stainless steel.
    StainlessNail,
    /// Ring-shank nail to the standard (RSRS).
    RingNail,
}

/// Every puller with its word.
pub const PULLERS: [(Puller, &str); 5] = [
    (Puller::LagScrew, "lag screw"),
    (Puller::WoodScrew, "wood screw"),
    (Puller::SmoothNail, "smooth nail"),
    (Puller::StainlessNail, "stainless smooth nail"),
    (Puller::RingNail, "ring-shank nail"),
];

/// What of it may hold in end grain.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Grain {
    /// Side grain.
    Side,
    /// End grain: lags at three quarters, screws and nails not at all (NDS 12.2, read).
    End,
}

/// W of a length = `pounds` lb/in x G to the `of_gravity` x D in inches to the `of_diameter`.
struct Withdrawal {
    pounds: f64,
    of_gravity: f64,
    of_diameter: f64,
    /// Which equation of NDS 12.2.
    equation: &'static str,
}

impl Puller {
    /// What its length holds in the main member's side grain (NDS 12.2, read).
    fn withdrawal(self) -> Withdrawal {
        let (pounds, of_gravity, of_diameter, equation) = match self {
            Puller::LagScrew => (1_800.0, 1.5, 0.75, "12.2-1"),
            Puller::WoodScrew => (2_850.0, 2.0, 1.0, "12.2-2"),
            Puller::SmoothNail => (1_380.0, 2.5, 1.0, "12.2-3"),
            Puller::StainlessNail => (465.0, 1.5, 1.0, "12.2-4"),
            Puller::RingNail => (1_800.0, 2.0, 1.0, "12.2-5"),
        };
        Withdrawal { pounds, of_gravity, of_diameter, equation }
    }

    /// W, N per mm of thread or nail, of a nominal diameter in mm.
    fn per_length(self, diameter: f64, gravity: f64) -> f64 {
        let Withdrawal { pounds, of_gravity, of_diameter, .. } = self.withdrawal();
        let powers = maths::powf(gravity, of_gravity) * maths::powf(diameter / INCH, of_diameter);
        POUND_PER_INCH * pounds * powers
    }

    /// Diameters in inches that the tables cover (NDS Tables 12.2A to 12.2E, read; the ring-shank nail's from memory).
    fn tried(self) -> (f64, f64) {
        match self {
            Puller::LagScrew => (0.25, 1.25),
            Puller::WoodScrew => (0.138, 0.372),
            Puller::SmoothNail | Puller::StainlessNail => (0.092, 0.375),
            Puller::RingNail => (0.120, 0.207),
        }
    }

    /// Mean load at which it comes out, N per mm: research figures, no design values (Wood Handbook Eq 8-1 to 8-13 in SI,
    /// read). The stainless nail has none.
    fn ultimate_per_length(self, diameter: f64, gravity: f64) -> Option<f64> {
        let to = maths::powf;
        Some(match self {
            Puller::LagScrew => 125.4 * to(gravity, 1.5) * to(diameter, 0.75),
            Puller::WoodScrew => 108.25 * gravity * gravity * diameter,
            Puller::SmoothNail => 54.12 * to(gravity, 2.5) * diameter,
            Puller::RingNail => 77.57 * gravity * gravity * diameter,
            Puller::StainlessNail => return None,
        })
    }
}

/// W as an equation: what [`per_length`] comes to.
pub fn per_length_equation(puller: Puller, diameter: f64, gravity: f64) -> Equation {
    let Withdrawal { pounds, of_gravity, of_diameter, equation } = puller.withdrawal();
    let meaning = format!("{pounds} lb/in of NDS Eq {equation}");
    let factor = NamedNumber::new("KW", meaning, pounds * POUND_PER_INCH, Unit::ForcePerLength);
    let gravity_of = Expression::from(specific_gravity("G", gravity)).to_the(of_gravity);
    let inches = NamedNumber::new("D", "nominal diameter", diameter, Unit::Length)
        / Expression::Number(INCH, Unit::Length);
    let inches = if of_diameter == 1.0 { inches } else { inches.to_the(of_diameter) };
    let left = NamedNumber::new(
        "W",
        "reference withdrawal value of a length",
        puller.per_length(diameter, gravity),
        Unit::ForcePerLength,
    );
    Equation::of(left, factor * gravity_of * inches)
}

fn specific_gravity(symbol: &'static str, gravity: f64) -> NamedNumber {
    NamedNumber::new(symbol, "specific gravity of the wood", gravity, Unit::Plain)
}

/// WH as an equation: what [`head_pull_through`] comes to.
pub fn head_pull_through_equation(head: f64, gravity: f64, thickness: f64, value: f64) -> Equation {
    let length = |symbol, meaning, value| NamedNumber::new(symbol, meaning, value, Unit::Length);
    let factor = NamedNumber::new("KH", "690 psi of NDS Eq 12.2-6", 690.0 * PSI, Unit::Stress);
    let diameter = length("DH", "diameter of the head", head);
    let bears = length("tns", "thickness under the head, of which 2.5 DH count", thickness.min(2.5 * head));
    let gravity = Expression::from(specific_gravity("Gs", gravity)).to_the(2.0);
    let left = NamedNumber::new("WH", "reference value of the head pulled through", value, Unit::Force);
    Equation::of(left, factor * maths::PI * diameter * gravity * bears)
}

/// What the wood under a washer bears, under its strength across the grain, of the diameters of washer and bolt in mm and Cb.
pub fn washer_equation(
    left: NamedNumber,
    strength: &Equation,
    (washer, bolt): (f64, f64),
    bearing: Factor,
) -> Equation {
    let squared = |symbol, meaning, value| {
        Expression::from(NamedNumber::new(symbol, meaning, value, Unit::Length)).to_the(2.0)
    };
    let ring = squared("Dw", "diameter of the head or washer that presses", washer)
        - squared("D", "nominal diameter", bolt);
    let pressed = strength * (maths::PI / 4.0) * ring;
    let by = if bearing.value == 1.0 {
        pressed
    } else {
        pressed * wood::factor(bearing.symbol, "Fc⊥", bearing.value)
    };
    Equation::of(left, by)
}

/// A slack in inches for diameters that came from mm.
const SLACK: f64 = 1e-6;

/// W: reference withdrawal design value, N per mm of thread or nail in side grain.
pub fn per_length(puller: Puller, diameter: f64, gravity: f64) -> Outcome<f64> {
    let mut given = Given::new();
    given.positive("diameter", diameter);
    let (least, most) = puller.tried();
    given.tried_within("diameter in inches", diameter / INCH, least - SLACK, most + SLACK);
    look_at_gravity(&mut given, gravity);
    given.settle(|| puller.per_length(diameter, gravity))
}

/// W p: reference withdrawal design value of a length of thread or nail in the main member, N, with Ceg of its grain. For a lag the
/// tip does not count (NDS 12.2.1, read), for a wood screw it does (from memory).
pub fn pull_out(puller: Puller, diameter: f64, gravity: f64, length: f64, grain: Grain) -> Outcome<Adjusted> {
    let mut given = Given::new();
    given.positive("length of thread in the wood", length);
    if grain == Grain::End && puller != Puller::LagScrew {
        let message = "screws and nails in end grain hold no load along their axis";
        let help = "bolt it, let it in, or turn the joint so that the fastener is loaded across its axis";
        given.add(Diagnostic::error("end-grain-carries-load", message).help(help), "grain");
    }
    let per_length = given.take(per_length(puller, diameter, gravity));
    given.settle(|| Adjusted::new(per_length.unwrap_or(0.0) * length, vec![end_grain(grain)]))
}

/// Ceg of a lag screw pulled from end grain (NDS 12.5.2.1, read).
const LAG_END_GRAIN: f64 = 0.75;

fn end_grain(grain: Grain) -> Factor {
    Factor::new("Ceg", if grain == Grain::End { LAG_END_GRAIN } else { 1.0 }, "NDS 12.5.2.1, read")
}

/// Mean load at which a length in side grain comes out, N. No design value.
pub fn ultimate(puller: Puller, diameter: f64, gravity: f64, length: f64) -> Outcome<Option<f64>> {
    let mut given = Given::new();
    given.positive("diameter", diameter).positive("length of thread in the wood", length);
    look_at_gravity(&mut given, gravity);
    given.settle(|| Some(puller.ultimate_per_length(diameter, gravity)? * length))
}

/// Length of thread of a wood screw of a length and diameter in mm: the larger of 4D and two thirds (NDS Appendix Table L3,
/// read).
pub fn wood_screw_thread(length: f64, diameter: f64) -> f64 {
    (4.0 * diameter).max(2.0 * length / 3.0).min(length)
}

/// Length of thread of a lag screw with its tip: the lesser of 6 in and L/2 + 1/2 in (NDS Appendix Table L2, read).
pub fn lag_thread(length: f64) -> f64 {
    (6.0 * INCH).min(length / 2.0 + 0.5 * INCH).min(length)
}

/// Thread that holds in a member: no more than is threaded and no more than is in it; of a lag, without the tip.
pub fn thread_in(puller: Puller, thread: f64, penetration: Penetration) -> f64 {
    let tip = if puller == Puller::LagScrew { penetration.tip } else { 0.0 };
    ((thread - penetration.beyond).min(penetration.total) - tip).max(0.0)
}

/// WH: reference value of a round head with a flat bottom pulled through a side member, N, of a head diameter and a net
/// thickness under the head in mm (NDS Eq 12.2-6a and b, read). Under a countersunk head less is left.
pub fn head_pull_through(head: f64, gravity: f64, thickness: f64) -> Outcome<f64> {
    let mut given = Given::new();
    given.positive("diameter of the head", head).positive("thickness under the head", thickness);
    let tabled = (5.0 / 16.0 - SLACK, 1.5 + SLACK);
    given.tried_within("thickness under the head in inches", thickness / INCH, tabled.0, tabled.1);
    look_at_gravity(&mut given, gravity);
    given.settle(|| {
        let bears = thickness.min(2.5 * head);
        690.0 * PSI * maths::PI * head * gravity * gravity * bears
    })
}

/// Half the angle of a flat head, degrees: 82 from side to side (ASME B18.6.1, read on reference pages).
const FLAT_HEAD_HALF: f64 = 41.0;

/// Height of the flat head of a wood screw, mm: so much less of the side member is left under it when it is sunk flush.
pub fn flat_head_height(head: f64, diameter: f64) -> f64 {
    (head - diameter).max(0.0) / 2.0 / Angle::deg(FLAT_HEAD_HALF).tan()
}

/// Tension of the steel at the root, N, at an allowable stress in MPa that the caller answers for.
pub fn steel_tension(root_diameter: f64, allowable: f64) -> Outcome<f64> {
    Given::new()
        .positive("root diameter", root_diameter)
        .positive("allowable stress of the steel", allowable)
        .settle(|| maths::PI / 4.0 * root_diameter * root_diameter * allowable)
}

/// What gives way when a fastener is pulled.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Way {
    /// The thread or shank comes out of the main member.
    PullOut,
    /// The head goes through the side member.
    HeadThrough,
    /// The steel tears.
    Steel,
}

impl Way {
    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Way::PullOut => "pulls out",
            Way::HeadThrough => "head pulls through",
            Way::Steel => "steel tears",
        }
    }
}

/// The least of the ways, or nothing for no way.
pub fn weakest(ways: &[(Way, f64)]) -> Option<(Way, f64)> {
    ways.iter().copied().reduce(|least, own| if own.1 < least.1 { own } else { least })
}

/// CM of a pull along the axis (NDS Table 11.3.3, read).
pub fn wet_service(puller: Puller, wetness: dowel::Wetness) -> Factor {
    let smooth = matches!(puller, Puller::SmoothNail | Puller::StainlessNail);
    let value = match (wetness.made, wetness.used) {
        (Service::Dry, Service::Dry) => 1.0,
        (Service::Wet, Service::Wet) if smooth => 1.0,
        _ if smooth => 0.25,
        _ if puller == Puller::RingNail => 1.0,
        (_, Service::Wet) => 0.7,
        (Service::Wet, Service::Dry) => 1.0,
    };
    Factor::new("CM", value, "NDS Table 11.3.3, read")
}

/// CM of a head pulled through (NDS Table 11.3.3, from memory).
pub fn head_wet_service(wetness: dowel::Wetness) -> Factor {
    let value = if wetness.used == Service::Wet { 0.7 } else { 1.0 };
    Factor::new("CM", value, "NDS Table 11.3.3, from memory")
}

/// Ctn of a toe-nail that is pulled; its CM is 1 then (NDS 12.5.4.1, read).
pub const TOE_NAIL_PULLED: f64 = 0.67;

/// How pull and shear go together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Together {
    /// Lag and wood screws (NDS Eq 12.4-1, read).
    Screw,
    /// Nails (NDS Eq 12.4-2, read).
    Nail,
}

impl Together {
    /// How a kind of fastener takes both. A bolt is not pulled out of wood: its washers bear.
    pub fn of(puller: Puller) -> Self {
        match puller {
            Puller::LagScrew | Puller::WoodScrew => Together::Screw,
            Puller::SmoothNail | Puller::StainlessNail | Puller::RingNail => Together::Nail,
        }
    }
}

/// Z at an angle between load and wood surface (0 lateral, 90 degrees a straight pull), N, from the two adjusted values.
pub fn combined(together: Together, lateral: f64, pull: f64, angle: Angle) -> Outcome<f64> {
    let mut given = Given::new();
    given.positive("lateral design value", lateral).positive("withdrawal design value", pull);
    given.within("angle of the load to the wood surface in degrees", angle.as_deg(), 0.0, 90.0);
    given.settle(|| match together {
        // Hankinson's formula, with the surface in the place of the grain.
        Together::Screw => wood::hankinson(lateral, pull, angle),
        Together::Nail => pull * lateral / (pull * angle.cos() + lateral * angle.sin()),
    })
}

/// Share of its capacity that a fastener uses under a shear and a pull in N at once.
pub fn utilisation(
    together: Together,
    (shear, pull): (f64, f64),
    (lateral, withdrawal): (f64, f64),
) -> Outcome<f64> {
    let mut given = Given::new();
    given.positive("lateral design value", lateral).positive("withdrawal design value", withdrawal);
    given.not_negative("shear", shear).not_negative("pull", pull);
    given.settle(|| match together {
        Together::Nail => shear / lateral + pull / withdrawal,
        Together::Screw => {
            let load = maths::hypot(shear, pull);
            if load == 0.0 {
                0.0
            } else {
                shear * shear / (lateral * load) + pull * pull / (withdrawal * load)
            }
        }
    })
}

/// [`utilisation`] as an expression. What is nothing is left out.
pub fn utilisation_expression(
    together: Together,
    [shear, pull]: [&NamedNumber; 2],
    [lateral, withdrawal]: [&NamedNumber; 2],
) -> Expression {
    let both = [(shear, lateral), (pull, withdrawal)];
    let both = both.into_iter().filter(|(load, _)| load.value > 0.0);
    if together == Together::Nail || shear.value == 0.0 || pull.value == 0.0 {
        return sum(both.map(|(load, value)| load / value));
    }
    let squared = |load: &NamedNumber| Expression::from(load).to_the(2.0);
    let all = || root(squared(shear) + squared(pull));
    sum(both.map(|(load, value)| squared(load) / (value * all())))
}
