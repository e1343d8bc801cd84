//! Beams and columns of rectangular section: bending, shear, notches, deflection, bearing, stability, both together.

use super::given::Given;
use super::units::INCH;
use super::wood::{self, BEAM_ROUNDING, COLUMN_ROUNDING, DesignValues, Service};
use slatwork_base::formula::{Equation, Expression, NamedNumber, Unit, greatest, root, sum};
use slatwork_base::{Angle, Diagnostic, Outcome, Severity, maths};

/// A rectangular section, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Section {
    /// b, across the direction of bending.
    pub breadth: f64,
    /// d, in the direction of bending.
    pub depth: f64,
}

impl Section {
    /// Area, mm2.
    pub fn area(&self) -> f64 {
        self.breadth * self.depth
    }

    /// S, mm3.
    pub fn modulus(&self) -> f64 {
        self.breadth * self.depth * self.depth / 6.0
    }

    /// I, mm4.
    pub fn inertia(&self) -> f64 {
        self.modulus() * self.depth / 2.0
    }

    /// The same section bent the other way.
    #[must_use]
    pub fn turned(&self) -> Section {
        Section { breadth: self.depth, depth: self.breadth }
    }

    fn look(&self, given: &mut Given) {
        given.positive("breadth", self.breadth).positive("depth", self.depth);
    }
}

/// How a member is held and loaded: the cases that furniture is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Case {
    /// On two supports, load all along.
    Uniform,
    /// On two supports, load in the middle.
    Centre,
    /// On two supports, load at both third points: each half of the whole.
    ThirdPoints,
    /// Held at one end, load all along.
    CantileverUniform,
    /// Held at one end, load at the other.
    CantileverEnd,
}

/// Every case with its word.
pub const CASES: [(Case, &str); 5] = [
    (Case::Uniform, "uniform"),
    (Case::Centre, "centre"),
    (Case::ThirdPoints, "third points"),
    (Case::CantileverUniform, "cantilever uniform"),
    (Case::CantileverEnd, "cantilever end"),
];

impl Case {
    /// Greatest moment over W L, greatest shear over W, greatest deflection from bending over W L3/(E I), and the moment per W L
    /// that goes with shear deflection, W being the whole load (standard beam tables, from memory; tested against integration).
    fn figures(self) -> [f64; 4] {
        match self {
            Case::Uniform => [1.0 / 8.0, 0.5, 5.0 / 384.0, 1.0 / 8.0],
            Case::Centre => [1.0 / 4.0, 0.5, 1.0 / 48.0, 1.0 / 4.0],
            Case::ThirdPoints => [1.0 / 6.0, 0.5, 23.0 / 1_296.0, 1.0 / 6.0],
            Case::CantileverUniform => [1.0 / 2.0, 1.0, 1.0 / 8.0, 1.0 / 2.0],
            Case::CantileverEnd => [1.0, 1.0, 1.0 / 3.0, 1.0],
        }
    }

    /// Greatest moment, N mm, of a whole load in N on a span in mm.
    pub fn moment(self, load: f64, span: f64) -> f64 {
        self.figures()[0] * load * span
    }

    /// Greatest shear, N.
    pub fn shear(self, load: f64) -> f64 {
        self.figures()[1] * load
    }

    /// Greatest deflection, mm: from bending, and from shear with the shear area of a rectangle, 5/6 of the area.
    pub fn deflection(self, load: f64, span: f64, section: &Section, moduli: Moduli) -> (f64, f64) {
        let [_, _, bending, shear] = self.figures();
        let bends = bending * load * span * span * span / (moduli.elasticity * section.inertia());
        let shears = shear * load * span / (moduli.shear * section.area() * 5.0 / 6.0);
        (bends, shears)
    }

    /// Shear that counts where loads within the depth of a support go straight into it, N (NDS 3.4.3.1, from memory).
    pub fn reduced_shear(self, load: f64, span: f64, depth: f64) -> f64 {
        match self {
            Case::Uniform => self.shear(load) * (1.0 - 2.0 * depth / span).max(0.0),
            Case::CantileverUniform => self.shear(load) * (1.0 - depth / span).max(0.0),
            Case::Centre | Case::ThirdPoints | Case::CantileverEnd => self.shear(load),
        }
    }

    /// le of a compression edge that is free over lu (NDS Table 3.3.3, read). Loads at third points whose edge is not held there
    /// count as any other load.
    pub fn effective_length(self, unbraced: f64, depth: f64) -> f64 {
        let slender = unbraced / depth >= 7.0;
        match self {
            Case::Uniform if slender => 1.63 * unbraced + 3.0 * depth,
            Case::Uniform => 2.06 * unbraced,
            Case::Centre if slender => 1.37 * unbraced + 3.0 * depth,
            Case::Centre => 1.80 * unbraced,
            Case::CantileverUniform if slender => 0.90 * unbraced + 3.0 * depth,
            Case::CantileverUniform => 1.33 * unbraced,
            Case::CantileverEnd if slender => 1.44 * unbraced + 3.0 * depth,
            Case::CantileverEnd => 1.87 * unbraced,
            Case::ThirdPoints => any_effective_length(unbraced, depth),
        }
    }
}

/// le of a load of any kind (NDS Table 3.3.3 note, read).
pub fn any_effective_length(unbraced: f64, depth: f64) -> f64 {
    match unbraced / depth {
        ratio if ratio < 7.0 => 2.06 * unbraced,
        ratio if ratio <= 14.3 => 1.63 * unbraced + 3.0 * depth,
        _ => 1.84 * unbraced,
    }
}

/// Moduli, MPa.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Moduli {
    /// E.
    pub elasticity: f64,
    /// G.
    pub shear: f64,
}

/// G is about E/16 (Wood Handbook, from memory).
const ELASTICITY_OVER_SHEAR: f64 = 16.0;

impl Moduli {
    /// With the usual shear modulus.
    pub fn usual(elasticity: f64) -> Self {
        Moduli { elasticity, shear: elasticity / ELASTICITY_OVER_SHEAR }
    }

    /// Without shear, as tabulated E holds some for spans of 21 depths and more.
    pub fn rigid_in_shear(elasticity: f64) -> Self {
        Moduli { elasticity, shear: f64::INFINITY }
    }
}

/// Kcr of the part of a load that stays: 1.5 for seasoned wood that stays dry, else 2 (NDS 3.5.2, read in answers to it).
pub fn creep(made: Service, used: Service) -> f64 {
    if made == Service::Dry && used == Service::Dry { 1.5 } else { 2.0 }
}

/// RB may not be more (NDS 3.3.3.7, read).
const MOST_SLENDERNESS: f64 = 50.0;
/// le/d may not be more (NDS 3.7.1.4, read).
const MOST_COLUMN_SLENDERNESS: f64 = 50.0;

/// Stability of a beam.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BeamStability {
    /// RB.
    pub slenderness: f64,
    /// FbE, MPa; infinite where the edge cannot buckle.
    pub critical: f64,
    /// CL.
    pub factor: f64,
}

impl BeamStability {
    /// Of a beam whose compression edge is held, or which is no deeper than broad (NDS 3.3.3, read).
    pub const HELD: BeamStability = BeamStability { slenderness: 0.0, critical: f64::INFINITY, factor: 1.0 };
}

/// CL of a beam of effective length le in mm; `stress` is Fb* and `elasticity` Emin' in MPa (NDS 3.3.3, read).
pub fn beam_stability(
    section: &Section,
    length: f64,
    stress: f64,
    elasticity: f64,
) -> Outcome<BeamStability> {
    let mut given = Given::new();
    section.look(&mut given);
    given.not_negative("effective length", length);
    given.positive("bending strength", stress).positive("elasticity for stability", elasticity);
    let slenderness = (length * section.depth).sqrt() / section.breadth;
    if slenderness.is_finite() && section.depth > section.breadth {
        look_at_slenderness(&mut given, "slenderness of the beam", slenderness, MOST_SLENDERNESS);
    }
    given.settle(|| {
        if section.depth <= section.breadth || length == 0.0 {
            return BeamStability::HELD;
        }
        let critical = 1.20 * elasticity / (slenderness * slenderness);
        BeamStability { slenderness, critical, factor: wood::stability(critical / stress, BEAM_ROUNDING) }
    })
}

/// CL as equations, under the design values Fb* and Emin' that it was reckoned with; none where the edge is held.
pub fn beam_stability_equations(
    found: &BeamStability,
    section: &Section,
    length: f64,
    (stress, elasticity): (&Equation, &Equation),
) -> Vec<Equation> {
    if found.critical.is_infinite() {
        return Vec::new();
    }
    let [length, depth, breadth] = [
        ("le", "effective length of the beam", length),
        ("d", "depth of the section", section.depth),
        ("b", "breadth of the section", section.breadth),
    ]
    .map(|(symbol, meaning, value)| NamedNumber::new(symbol, meaning, value, Unit::Length));
    let slender = NamedNumber::new("RB", "slenderness of the beam", found.slenderness, Unit::Plain);
    let slender = Equation::of(slender, root(&length * &depth) / &breadth);
    let critical = NamedNumber::new("FbE", "critical stress of the beam", found.critical, Unit::Stress);
    let critical = Equation::of(critical, 1.2 * elasticity / Expression::from(&slender).to_the(2.0));
    let factor = wood::stability_equation("CL", "Fb", (&critical, stress), (found.factor, BEAM_ROUNDING));
    [slender, critical].into_iter().chain(factor).collect()
}

/// FcE of a column as an equation, under the symbol of its axis.
pub fn column_equation(
    symbol: &'static str,
    (depth, length): (&NamedNumber, &NamedNumber),
    critical: f64,
    elasticity: &Equation,
) -> Equation {
    let meaning = format!("critical stress of the column, bent over {}", depth.symbol);
    let left = NamedNumber::new(symbol, meaning, critical, Unit::Stress);
    Equation::of(left, 0.822 * elasticity / (length / depth).to_the(2.0))
}

fn look_at_slenderness(given: &mut Given, what: &'static str, slenderness: f64, most: f64) {
    if slenderness > most {
        let message = format!("the {what} is {slenderness:.1} and may not be over {most}");
        let help = "hold it between its ends, or take a thicker one";
        given.add(Diagnostic::error("too-slender", message).help(help), what);
    }
}

/// How the ends of a column are held.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ends {
    /// Both fixed.
    Fixed,
    /// One fixed, one pinned.
    FixedPinned,
    /// Both pinned.
    Pinned,
    /// One fixed, the other held from turning but free to sway.
    FixedSway,
    /// One fixed, the other free.
    Free,
}

impl Ends {
    /// Ke (NDS Appendix G, from memory).
    pub fn factor(self) -> f64 {
        match self {
            Ends::Fixed => 0.65,
            Ends::FixedPinned => 0.80,
            Ends::Pinned => 1.0,
            Ends::FixedSway => 1.2,
            Ends::Free => 2.1,
        }
    }
}

/// Stability of a column about one axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ColumnStability {
    /// le/d.
    pub slenderness: f64,
    /// FcE, MPa.
    pub critical: f64,
    /// CP.
    pub factor: f64,
}

/// CP of a sawn column of effective length le in mm and a depth in the direction it would bend; `stress` is Fc* and `elasticity`
/// Emin' in MPa (NDS 3.7.1, read). Look at both axes.
pub fn column_stability(depth: f64, length: f64, stress: f64, elasticity: f64) -> Outcome<ColumnStability> {
    let mut given = Given::new();
    given.positive("depth", depth).positive("effective length", length);
    given.positive("compression strength", stress).positive("elasticity for stability", elasticity);
    let slenderness = length / depth;
    look_at_slenderness(&mut given, "slenderness of the column", slenderness, MOST_COLUMN_SLENDERNESS);
    given.settle(|| {
        let critical = 0.822 * elasticity / (slenderness * slenderness);
        ColumnStability { slenderness, critical, factor: wood::stability(critical / stress, COLUMN_ROUNDING) }
    })
}

/// Bending stress, MPa, of a moment in N mm.
pub fn bending_stress(moment: f64, section: &Section) -> f64 {
    moment.abs() / section.modulus()
}

/// Shear stress, MPa, of a shear in N: 3V/(2bd) (NDS 3.4.2, read).
pub fn shear_stress(shear: f64, section: &Section) -> f64 {
    1.5 * shear.abs() / section.area()
}

/// What is taken from the depth near a support.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum End {
    /// Nothing.
    Whole,
    /// A notch on the tension side that leaves this depth, mm.
    Notched {
        /// dn.
        left: f64,
    },
    /// Hung from fasteners: the depth from the far edge to the nearest of them, mm.
    Fastened {
        /// de.
        effective: f64,
        /// From the end of the member to them, mm.
        from_end: f64,
    },
}

/// Vr', N, of a section with an end at Fv' in MPa (NDS 3.4.3.2 and 3.4.3.3, from memory).
pub fn shear_capacity(section: &Section, end: End, shear: f64) -> Outcome<f64> {
    let mut given = Given::new();
    section.look(&mut given);
    given.positive("shear strength", shear);
    let left = match end {
        End::Whole => section.depth,
        End::Notched { left } => left,
        End::Fastened { effective, from_end } => {
            given.positive("distance of the fasteners from the end", from_end);
            effective
        }
    };
    given.positive("depth that is left", left);
    given.within("depth that is left", left, 0.0, section.depth.max(0.0));
    given.settle(|| {
        let part = left / section.depth;
        let squared = match end {
            End::Whole => 1.0,
            End::Notched { .. } => part * part,
            End::Fastened { from_end, .. } if from_end < 5.0 * section.depth => part * part,
            End::Fastened { .. } => 1.0,
        };
        2.0 / 3.0 * shear * section.breadth * left * squared
    })
}

/// [`shear_capacity`] under a load duration factor as an equation, under the design value Fv'.
pub fn shear_capacity_equation(
    section: &Section,
    end: End,
    strength: &Equation,
    (capacity, duration): (f64, f64),
) -> Equation {
    let length = |symbol, meaning, value| NamedNumber::new(symbol, meaning, value, Unit::Length);
    let breadth = length("b", "breadth of the section", section.breadth);
    let depth = length("d", "depth of the whole section", section.depth);
    let (left, squared) = match end {
        End::Whole => (depth.clone(), false),
        End::Notched { left } => (length("dn", "depth that the notch leaves", left), true),
        End::Fastened { effective, from_end } => (
            length("de", "depth from the far edge to the fastener", effective),
            from_end < 5.0 * section.depth,
        ),
    };
    let whole = Expression::from(2.0) / 3.0 * strength * &breadth * &left;
    let whole = if squared { whole * (&left / &depth).to_the(2.0) } else { whole };
    let whole = if duration == 1.0 { whole } else { whole * wood::factor("CD", "Fv", duration) };
    Equation::of(NamedNumber::new("Vr'", "shear that the end may carry", capacity, Unit::Force), whole)
}

/// Where a notch is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NotchPlace {
    /// At an end, over the support.
    End,
    /// In an outer third.
    OuterThird,
    /// In the middle third.
    MiddleThird,
}

/// A notch, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Notch {
    /// Where.
    pub place: NotchPlace,
    /// How deep.
    pub depth: f64,
    /// How long.
    pub length: f64,
    /// Whether on the side in tension.
    pub tension: bool,
}

/// From this breadth on no notch on the tension side but at ends: 3-1/2 in (NDS 4.4.3, from memory).
const BROAD: f64 = 3.5 * INCH;

/// Whether a notch keeps to the limits of NDS 4.4.3 (from memory): d/4 at ends, else d/6 deep and d/3 long and not in the middle
/// third. What breaks them is told as failures.
pub fn notch(section: &Section, notch: &Notch) -> Vec<Diagnostic> {
    let mut given = Given::new();
    section.look(&mut given);
    given.positive("depth of the notch", notch.depth).positive("length of the notch", notch.length);
    let inner = notch.place != NotchPlace::End;
    let faults = [
        (inner && notch.length > section.depth / 3.0, format!("it is {:.1} mm long", notch.length)),
        (notch.place == NotchPlace::MiddleThird, String::from("it is in the middle third of the span")),
        (
            inner && notch.tension && section.breadth >= BROAD,
            String::from("it is on the tension side of a broad member"),
        ),
    ];
    let outcome = given.settle(|| ());
    let mut found = outcome.diagnostics;
    if outcome.value.is_some() {
        found.extend(too_deep(section, notch.place, notch.depth));
        found.extend(faults.into_iter().filter(|(broken, _)| *broken).map(|(_, why)| weakens(&why)));
    }
    found
}

/// What is told of a notch that is deeper than its place allows.
fn too_deep(section: &Section, place: NotchPlace, depth: f64) -> Option<Diagnostic> {
    let deepest = if place == NotchPlace::End { section.depth / 4.0 } else { section.depth / 6.0 };
    (depth > deepest + NOTCH_SLACK)
        .then(|| weakens(&format!("it is {depth:.1} mm deep, over {deepest:.1} mm")))
}

/// A notch of just a quarter that came from inches is one of a quarter: a nanometre, mm.
const NOTCH_SLACK: f64 = 1e-6;

fn weakens(why: &str) -> Diagnostic {
    Diagnostic::new(Severity::Failure, "notch-weakens", format!("a notch: {why}"))
        .help("make it shallower, move it to the end, or take a deeper member")
}

/// Bearing strength at an angle to the grain, MPa, of Fc* and Fc' across (NDS Eq 3.10-1, read). The angle runs from along (0) to
/// across the grain (90 degrees).
pub fn bearing_at_angle(along: f64, across: f64, angle: Angle) -> Outcome<f64> {
    Given::new()
        .positive("compression strength along the grain", along)
        .positive("compression strength across the grain", across)
        .within("angle of the load to the grain in degrees", angle.as_deg(), 0.0, 90.0)
        .settle(|| wood::hankinson(along, across, angle))
}

/// [`bearing_at_angle`] as an equation under the symbol Fθ'; along or across the grain the strength there.
pub fn bearing_equation(along: &Equation, across: &Equation, (angle, strength): (Angle, f64)) -> Equation {
    let left = NamedNumber::new("Fθ'", "design value of bearing at that angle", strength, Unit::Stress);
    let angle = NamedNumber::new(
        "θ",
        "angle from the grain to the load, measured on the piece",
        angle.as_deg(),
        Unit::Angle,
    );
    wood::hankinson_equation(left, (along, across), &angle)
}

/// Shear stress of a torque in N mm on a rectangle, MPa: T/(k b d2) on the longer face, k by the usual approximation (from
/// memory). There is no published value for sawn lumber: the Handbook takes shear along the grain (from memory).
pub fn torsion_stress(torque: f64, section: &Section) -> Outcome<f64> {
    let mut given = Given::new();
    section.look(&mut given);
    given.any("torque", torque).settle(|| {
        let (long, short) = (section.depth.max(section.breadth), section.depth.min(section.breadth));
        torque.abs() * (3.0 + 1.8 * short / long) / (long * short * short)
    })
}

/// Stresses of a member, MPa, all without sign.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Stresses {
    /// Compression along.
    pub compression: f64,
    /// Tension along.
    pub tension: f64,
    /// Bending about the strong axis.
    pub edge: f64,
    /// Bending about the weak axis.
    pub flat: f64,
}

/// What a member may take under bending and a load along it, MPa.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// Fc' with CP.
    pub compression: f64,
    /// Ft'.
    pub tension: f64,
    /// Fb1' on edge, with CL.
    pub edge: f64,
    /// Fb1 on edge, without CL.
    pub edge_held: f64,
    /// Fb2' flat.
    pub flat: f64,
    /// FcE1, buckling on edge; endless where it is held.
    pub critical_edge: f64,
    /// FcE2, buckling flat; endless where it is held.
    pub critical_flat: f64,
    /// FbE of the beam; endless where it is held.
    pub critical_beam: f64,
}

/// Interaction of bending and a load along: shares of capacity, at most 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interaction {
    /// The share that governs.
    pub share: f64,
    /// The equation that gives it.
    pub equation: &'static str,
}

/// Compression and bending about both axes (NDS Eq 3.9-3 and 3.9-4, read).
pub fn compression_and_bending(stress: &Stresses, limit: &Limits) -> Outcome<Interaction> {
    let mut given = Given::new();
    given.not_negative("compression", stress.compression);
    look_at_bending(&mut given, stress, limit);
    given.positive("compression strength", limit.compression);
    given.positive_or_endless("critical stress on edge", limit.critical_edge);
    given.positive_or_endless("critical stress when flat", limit.critical_flat);
    given.positive_or_endless("critical stress of the beam", limit.critical_beam);
    let [first, second] = critical_shares(stress, limit);
    if second >= 1.0 || first >= 1.0 {
        let message = format!("the member buckles: {:.2} of its critical stress is used", second.max(first));
        let help = "hold it between its ends, or take a thicker one";
        given.add(Diagnostic::error("member-buckles", message).help(help), "compression");
    }
    given.settle(|| {
        let along = stress.compression / limit.compression;
        let share = along * along
            + stress.edge / (limit.edge * (1.0 - first))
            + stress.flat / (limit.flat * (1.0 - second));
        if second > share {
            Interaction { share: second, equation: "3.9-4" }
        } else {
            Interaction { share, equation: "3.9-3" }
        }
    })
}

/// What is used of the critical stresses over the depth and over the breadth; at 1 a member buckles (NDS 3.9.2, read).
fn critical_shares(stress: &Stresses, limit: &Limits) -> [f64; 2] {
    let lateral = stress.edge / limit.critical_beam;
    [stress.compression / limit.critical_edge, stress.compression / limit.critical_flat + lateral * lateral]
}

/// Share of its critical stress that is used in a member pressed along, as [`compression_and_bending`] tells where it buckles.
pub fn critical_share(stress: &Stresses, limit: &Limits) -> f64 {
    let [first, second] = critical_shares(stress, limit);
    first.max(second)
}

/// The same as an expression, of the compression and of bending on edge.
pub fn critical_expression([load, edge]: [&Equation; 2], limit: &NamedLimits) -> Expression {
    greatest([load / &limit.critical_edge, second_critical(load, edge, limit)])
}

/// What is used of the critical stress over the breadth. What is nothing is left out.
fn second_critical(load: &Equation, edge: &Equation, limit: &NamedLimits) -> Expression {
    let lateral = limit.critical_beam.as_ref().filter(|_| edge.left.value != 0.0);
    let lateral = lateral.map(|critical| (edge / critical).to_the(2.0));
    sum(core::iter::once(load / &limit.critical_flat).chain(lateral))
}

/// The [`Limits`] of a member with their names.
#[derive(Clone, Debug)]
pub struct NamedLimits {
    /// Fc'.
    pub compression: NamedNumber,
    /// Ft'.
    pub tension: NamedNumber,
    /// Fb1'.
    pub edge: NamedNumber,
    /// Fb1*, without CL.
    pub edge_held: NamedNumber,
    /// Fb2'.
    pub flat: NamedNumber,
    /// FcE1.
    pub critical_edge: NamedNumber,
    /// FcE2.
    pub critical_flat: NamedNumber,
    /// FbE; nothing where the beam is held.
    pub critical_beam: Option<NamedNumber>,
}

impl Interaction {
    /// Its share as an expression: of the compression or tension, and of bending on edge and flat. What is nothing is left out.
    pub fn expression(&self, [load, edge, flat]: [&Equation; 3], limit: &NamedLimits) -> Expression {
        let is_there = |of: &Equation| of.left.value != 0.0;
        let term = |of: &Equation, over: Expression| is_there(of).then(|| of / over);
        let second = || second_critical(load, edge, limit);
        let terms = match self.equation {
            "3.9-1" => [
                term(load, (&limit.tension).into()),
                term(edge, (&limit.edge_held).into()),
                term(flat, (&limit.flat).into()),
            ],
            "3.9-2" => [
                Some(greatest([edge - load, 0.0.into()]) / &limit.edge).filter(|_| is_there(load)),
                term(edge, (&limit.edge).into()).filter(|_| !is_there(load)),
                term(flat, (&limit.flat).into()),
            ],
            "3.9-3" => [
                Some((load / &limit.compression).to_the(2.0)),
                term(edge, &limit.edge * (1.0 - load / &limit.critical_edge)),
                term(flat, &limit.flat * (1.0 - second())),
            ],
            _ => [Some(second()), None, None],
        };
        sum(terms.into_iter().flatten())
    }
}

/// Tension and bending on edge (NDS Eq 3.9-1 and 3.9-2, from memory for sawn lumber).
pub fn tension_and_bending(stress: &Stresses, limit: &Limits) -> Outcome<Interaction> {
    let mut given = Given::new();
    given.not_negative("tension", stress.tension).positive("tension strength", limit.tension);
    look_at_bending(&mut given, stress, limit);
    given.settle(|| {
        let flat = stress.flat / limit.flat;
        let pulled = stress.tension / limit.tension + stress.edge / limit.edge_held + flat;
        let pressed = ((stress.edge - stress.tension) / limit.edge).max(0.0) + flat;
        if pressed > pulled {
            Interaction { share: pressed, equation: "3.9-2" }
        } else {
            Interaction { share: pulled, equation: "3.9-1" }
        }
    })
}

fn look_at_bending(given: &mut Given, stress: &Stresses, limit: &Limits) {
    given.not_negative("bending on edge", stress.edge).not_negative("bending when flat", stress.flat);
    given.positive("bending strength on edge", limit.edge);
    given.positive("bending strength on edge, held", limit.edge_held);
    given.positive("bending strength when flat", limit.flat);
}

/// A simple beam with its loads.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Beam {
    /// Section; the depth is in the direction of the load.
    pub section: Section,
    /// Span, mm.
    pub span: f64,
    /// Held and loaded so.
    pub case: Case,
    /// Whole load, N.
    pub load: f64,
    /// Part of it that stays, N: it creeps.
    pub lasting: f64,
    /// Length over which the compression edge is free, mm; 0 where it is held all along.
    pub unbraced: f64,
    /// Length of each bearing along the member, mm.
    pub bearing: f64,
    /// From the end of the member to the bearing, mm.
    pub bearing_from_end: f64,
    /// From the grain to the load on a bearing: across it for a member that lies on its supports.
    pub bearing_angle: Angle,
    /// What the ends have lost.
    pub end: End,
    /// Deflection that is allowed, in parts of the span: 1/240 for one.
    pub allowed_deflection: f64,
    /// Kcr.
    pub creep: f64,
}

/// What may give way in a beam.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Limit {
    /// Bending.
    Bending,
    /// Shear along the grain.
    Shear,
    /// Bearing at an angle to the grain.
    Bearing,
    /// Deflection.
    Deflection,
}

impl Limit {
    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Limit::Bending => "bending",
            Limit::Shear => "shear",
            Limit::Bearing => "bearing",
            Limit::Deflection => "deflection",
        }
    }
}

/// One limit of a beam: what is asked, what it can do, the share used.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Verdict {
    /// Which.
    pub limit: Limit,
    /// What is asked: MPa, N for shear, mm for deflection.
    pub demand: f64,
    /// What it can do, in the same unit.
    pub capacity: f64,
}

impl Verdict {
    /// Share of the capacity that is used.
    pub fn share(&self) -> f64 {
        self.demand / self.capacity
    }
}

/// All limits of a beam.
#[derive(Clone, Debug, PartialEq)]
pub struct BeamResult {
    /// Every limit.
    pub verdicts: Vec<Verdict>,
    /// The one with the greatest share.
    pub governing: Verdict,
    /// CL with what it is made of.
    pub stability: BeamStability,
    /// Cb, of bearing across the grain only.
    pub bearing_factor: f64,
    /// Deflection at once, from bending and from shear, mm.
    pub at_once: (f64, f64),
}

/// Under this share of a span to depth, shear is most of the deflection and beam theory no longer holds (common practice).
const SHORTEST: f64 = 2.0;

/// A beam against all its limits.
pub fn beam(beam: &Beam, values: &DesignValues) -> Outcome<BeamResult> {
    let mut given = Given::new();
    beam.look(&mut given);
    given.settle_with(|| beam.held_to(values))
}

impl Beam {
    fn look(&self, given: &mut Given) {
        self.section.look(given);
        given.positive("span", self.span).positive("load", self.load);
        given.not_negative("part of the load that stays", self.lasting);
        given.within("part of the load that stays", self.lasting, 0.0, self.load.max(0.0));
        given.not_negative("unbraced length", self.unbraced).positive("length of the bearing", self.bearing);
        given.not_negative("distance of the bearing from the end", self.bearing_from_end);
        given.positive("allowed deflection", self.allowed_deflection);
        given.within("creep factor", self.creep, 1.0, 3.0);
        if let End::Notched { left } = self.end
            && let Some(weakens) = too_deep(&self.section, NotchPlace::End, self.section.depth - left)
        {
            given.add(weakens, "notch");
        }
        let ratio = self.span / self.section.depth;
        if ratio.is_finite() && ratio > 0.0 && ratio < SHORTEST {
            let message = format!("the span is only {ratio:.1} times the depth");
            let help = "take bending and deflection as estimates; shear and bearing decide";
            given.add(Diagnostic::warning("short-for-a-beam", message).help(help), "span");
        }
    }

    fn held_to(&self, values: &DesignValues) -> Outcome<BeamResult> {
        let mut given = Given::new();
        let stress = values.bending.without(&["Cfu"]);
        let length = self.case.effective_length(self.unbraced, self.section.depth);
        let elasticity = values.stability_elasticity.value();
        let stability = given.take(beam_stability(&self.section, length, stress, elasticity));
        let shear = given.take(shear_capacity(&self.section, self.end, values.shear.value()));
        let across = values.across.value() * self.bearing_factor();
        let bearing = given.take(bearing_at_angle(values.compression.value(), across, self.bearing_angle));
        given.settle_with(|| match (stability, shear, bearing) {
            (Some(stability), Some(shear), Some(bearing)) => {
                Outcome::fine(self.judged(values, stability, shear, bearing))
            }
            _ => Outcome { value: None, diagnostics: Vec::new() },
        })
    }

    /// Cb: on the value across the grain alone, before it goes into Hankinson's formula (NDS 3.10.3 and 3.10.4, from memory).
    fn bearing_factor(&self) -> f64 {
        if self.bearing_from_end >= 3.0 * INCH { wood::bearing_area(self.bearing) } else { 1.0 }
    }

    fn judged(
        &self,
        values: &DesignValues,
        stability: BeamStability,
        shear: f64,
        bearing: f64,
    ) -> BeamResult {
        let moduli = Moduli::usual(values.elasticity.value());
        let at_once = self.case.deflection(self.load, self.span, &self.section, moduli);
        let whole = at_once.0 + at_once.1;
        let crept = whole * (1.0 + (self.creep - 1.0) * self.lasting / self.load);
        let verdict = |limit, demand, capacity| Verdict { limit, demand, capacity };
        let verdicts = vec![
            verdict(
                Limit::Bending,
                bending_stress(self.case.moment(self.load, self.span), &self.section),
                values.bending.value() * stability.factor,
            ),
            verdict(Limit::Shear, self.counted_shear(), shear),
            verdict(
                Limit::Bearing,
                self.case.shear(self.load) / (self.section.breadth * self.bearing),
                bearing,
            ),
            verdict(Limit::Deflection, crept, self.allowed_deflection * self.span),
        ];
        let most = |most: Verdict, own: &Verdict| if own.share() > most.share() { *own } else { most };
        let governing = verdicts.iter().fold(verdicts[0], most);
        BeamResult { verdicts, governing, stability, bearing_factor: self.bearing_factor(), at_once }
    }

    /// Loads near a support may be left out of a whole end only.
    fn counted_shear(&self) -> f64 {
        match self.end {
            End::Whole => self.case.reduced_shear(self.load, self.span, self.section.depth),
            End::Notched { .. } | End::Fastened { .. } => self.case.shear(self.load),
        }
    }
}

/// The span of a uniform load, N/mm, at which the bending stress reaches `bending` in MPa: what span tables print.
pub fn span_by_bending(section: &Section, load_per_length: f64, bending: f64) -> Outcome<f64> {
    let mut given = Given::new();
    section.look(&mut given);
    given.positive("load", load_per_length).positive("bending strength", bending);
    given.settle(|| (8.0 * bending * section.modulus() / load_per_length).sqrt())
}

/// The span at which a uniform load, N/mm, deflects one part in `parts` of it, by bending alone as span tables have it.
pub fn span_by_deflection(
    section: &Section,
    load_per_length: f64,
    elasticity: f64,
    parts: f64,
) -> Outcome<f64> {
    let mut given = Given::new();
    section.look(&mut given);
    given.positive("load", load_per_length).positive("elasticity", elasticity).positive("deflection", parts);
    given.settle(|| maths::cbrt(384.0 * elasticity * section.inertia() / (5.0 * load_per_length * parts)))
}
