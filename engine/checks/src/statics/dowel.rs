//! Fasteners across the grain of a shear plane: yield modes, dowel bearing, bending yield, lateral design values.
//!
//! Yield modes are worked out by the general dowel equations (AWC TR12, form from memory), which are the six modes of NDS
//! 12.3.1 where the faces touch and hold a gap as well; a test compares the two.

use super::given::Given;
use super::units::{INCH, PSI};
use super::wood::{Factor, Service, factor, hankinson, hankinson_equation};
use slatwork_base::formula::{Equation, Expression, NamedNumber, Unit, root as square_root};
use slatwork_base::{Angle, Diagnostic, Outcome, maths};

/// What kind of fastener.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Bolt with its nut.
    Bolt,
    /// Lag screw.
    LagScrew,
    /// Wood screw with a cut thread. Other screws are only near to it: their maker's report counts.
    WoodScrew,
    /// Nail or spike.
    Nail,
}

/// Every kind with its word.
pub const KINDS: [(Kind, &str); 4] = [
    (Kind::Bolt, "bolt"),
    (Kind::LagScrew, "lag screw"),
    (Kind::WoodScrew, "wood screw"),
    (Kind::Nail, "nail"),
];

/// What crosses the shear plane.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Crossing {
    /// Smooth shank over more than three quarters of the bearing length in the threaded member (NDS 12.3.7.2, read).
    Shank,
    /// Thread.
    Thread,
}

/// A fastener.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dowel {
    /// What kind.
    pub kind: Kind,
    /// Nominal diameter D, mm.
    pub diameter: f64,
    /// Diameter under the thread Dr, mm.
    pub root_diameter: f64,
    /// Length of the tapered tip E, mm.
    pub tip: f64,
    /// Bending yield strength Fyb, MPa.
    pub bending_yield: f64,
    /// What crosses the shear plane.
    pub crossing: Crossing,
}

impl Dowel {
    /// A bolt with full body in the plane.
    pub fn bolt(diameter: f64) -> Outcome<Dowel> {
        Self::with(Kind::Bolt, diameter, diameter, 0.0, Crossing::Shank)
    }

    /// A lag screw, its thread in the plane; the tip E as NDS Appendix L has it, in proportion to D.
    pub fn lag_screw(diameter: f64, root_diameter: f64) -> Outcome<Dowel> {
        Self::with(Kind::LagScrew, diameter, root_diameter, lag_tip(diameter), Crossing::Thread)
    }

    /// A wood screw: thread in the plane (NDS 12.3.7.1, read), tip 2D (NDS Appendix L, read).
    pub fn wood_screw(diameter: f64, root_diameter: f64) -> Outcome<Dowel> {
        Self::with(Kind::WoodScrew, diameter, root_diameter, 2.0 * diameter, Crossing::Thread)
    }

    /// A nail: tip 2D (NDS 12.3.5.3, from memory).
    pub fn nail(diameter: f64) -> Outcome<Dowel> {
        Self::with(Kind::Nail, diameter, diameter, 2.0 * diameter, Crossing::Shank)
    }

    fn with(kind: Kind, diameter: f64, root_diameter: f64, tip: f64, crossing: Crossing) -> Outcome<Dowel> {
        let mut given = Given::new();
        given.positive("diameter", diameter);
        let bending_yield = given.take(bending_yield(kind, diameter));
        let dowel = Dowel {
            kind,
            diameter,
            root_diameter,
            tip,
            bending_yield: bending_yield.unwrap_or(0.0),
            crossing,
        };
        if bending_yield.is_some() {
            dowel.look(&mut given);
        }
        given.settle(|| dowel)
    }

    /// The diameter that bears and bends: Dr for threads in the plane, else D (NDS 12.3.7, read).
    pub fn effective_diameter(&self) -> f64 {
        match self.crossing {
            Crossing::Thread => self.root_diameter,
            Crossing::Shank => self.diameter,
        }
    }

    fn look(&self, given: &mut Given) {
        given.positive("diameter", self.diameter).within("diameter", self.diameter, 0.0, MOST_DIAMETER);
        given.positive("root diameter", self.root_diameter).not_negative("length of the tip", self.tip);
        given.within("root diameter", self.root_diameter, 0.0, self.diameter.max(0.0));
        given.positive("bending yield strength", self.bending_yield);
    }
}

/// Up to this diameter the equations hold: NDS Table 12.3.1B (read) ends at 1 in.
const MOST_DIAMETER: f64 = 1.0 * INCH + DIAMETER_SLACK;
/// From this nominal diameter on grain direction counts in bearing (NDS 12.3.3, read).
const QUARTER_INCH: f64 = 0.25 * INCH - DIAMETER_SLACK;
/// Slack for a diameter that came from inches: a nanometre is far under any tolerance of a fastener.
const DIAMETER_SLACK: f64 = 1e-6;

/// Whether a fastener is so thick that the direction of the grain counts.
pub fn is_thick(diameter: f64) -> bool {
    diameter >= QUARTER_INCH
}

/// D and E of lag screws, inches (NDS Appendix Table L2, read).
const LAG_TIPS: [(f64, f64); 6] = [
    (0.25, 5.0 / 32.0),
    (0.3125, 3.0 / 16.0),
    (0.375, 7.0 / 32.0),
    (0.4375, 9.0 / 32.0),
    (0.5, 5.0 / 16.0),
    (0.625, 13.0 / 32.0),
];
/// Other lag screws: E over D of the longest tip of that table (worked out from it; that others keep the proportion is a project
/// choice).
const LAG_TIP_RATIO: f64 = 0.65;

fn lag_tip(diameter: f64) -> f64 {
    let known = LAG_TIPS.iter().find(|(own, _)| (own * INCH - diameter).abs() < 0.1);
    known.map_or(LAG_TIP_RATIO * diameter, |(_, tip)| tip * INCH)
}

/// Bending yield strength in psi up to a diameter in inches (NDS Appendix Table I1, read).
const BENDING_YIELD: [(f64, f64); 6] = [
    (0.142, 100_000.0),
    (0.177, 90_000.0),
    (0.236, 80_000.0),
    (0.273, 70_000.0),
    (0.344, 60_000.0),
    (f64::INFINITY, 45_000.0),
];

/// Bending yield strength of common steel fasteners, MPa: bolts 45 000 psi, others by nominal diameter (NDS Appendix Table
/// I1, read). Stainless, bronze and hardened fasteners are not in it: take the maker's value.
pub fn bending_yield(kind: Kind, diameter: f64) -> Outcome<f64> {
    Given::new()
        .positive("diameter", diameter)
        .tried_within("diameter", diameter / INCH, 0.099 - DIAMETER_SLACK, 1.0 + DIAMETER_SLACK)
        .settle(|| {
            let inches = diameter / INCH;
            let band = BENDING_YIELD.iter().find(|(most, _)| inches <= most + DIAMETER_SLACK);
            PSI * if kind == Kind::Bolt { 45_000.0 } else { band.map_or(45_000.0, |(_, psi)| *psi) }
        })
}

/// What a fastener bears on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Material {
    /// Side grain of wood.
    SideGrain {
        /// Specific gravity, oven-dry.
        gravity: f64,
        /// From the grain to the load.
        angle: Angle,
    },
    /// End grain of wood.
    EndGrain {
        /// Specific gravity, oven-dry.
        gravity: f64,
    },
    /// Steel.
    Steel {
        /// Dowel bearing strength, MPa: [`A36`] or [`A653_GRADE_33`].
        strength: f64,
    },
}

/// Dowel bearing strength of hot-rolled ASTM A36 steel, 87 000 psi (NDS Table 12B notes, read).
pub const A36: f64 = 87_000.0 * PSI;
/// Dowel bearing strength of galvanised ASTM A653 Grade 33 sheet, 61 850 psi (NDS Table 12K notes, read).
pub const A653_GRADE_33: f64 = 61_850.0 * PSI;

/// Tables round bearing strengths to this many psi (NDS Table 12.3.3, read).
const BEARING_STEP: f64 = 50.0;
/// No wood is denser: the cell wall itself.
const MOST_GRAVITY: f64 = 1.54;
/// Specific gravities of the tables of bearing strength (NDS Table 12.3.3, read).
const TABLE_GRAVITY: (f64, f64) = (0.31, 0.73);

fn stepped(psi: f64) -> f64 {
    (psi / BEARING_STEP).round() * BEARING_STEP * PSI
}

/// Dowel bearing strength of wood under a fastener thinner than 1/4 in, whatever the grain: 16 600 G^1.84 psi (NDS Table
/// 12.3.3, read).
fn thin_bearing(gravity: f64) -> f64 {
    stepped(16_600.0 * maths::powf(gravity, 1.84))
}

/// Along the grain, 1/4 in and thicker: 11 200 G psi (read).
fn bearing_along(gravity: f64) -> f64 {
    stepped(11_200.0 * gravity)
}

/// Across the grain, 1/4 in and thicker: 6100 G^1.45/sqrt(D) psi, D nominal in inches (read).
fn bearing_across(gravity: f64, diameter: f64) -> f64 {
    stepped(6_100.0 * maths::powf(gravity, 1.45) / (diameter / INCH).sqrt())
}

impl Material {
    /// Dowel bearing strength Fe under a fastener of a nominal diameter in mm, MPa, rounded as the table is. In end grain a
    /// thick fastener bears as across the grain (NDS 12.3.3.4, read).
    pub fn bearing(&self, diameter: f64) -> Outcome<f64> {
        let mut given = Given::new();
        given.positive("diameter", diameter);
        self.look(&mut given);
        given.settle(|| self.bearing_strength(diameter))
    }

    fn bearing_strength(&self, diameter: f64) -> f64 {
        match *self {
            Material::Steel { strength } => strength,
            Material::SideGrain { gravity, .. } | Material::EndGrain { gravity } if !is_thick(diameter) => {
                thin_bearing(gravity)
            }
            Material::EndGrain { gravity } => bearing_across(gravity, diameter),
            Material::SideGrain { gravity, angle } => {
                hankinson(bearing_along(gravity), bearing_across(gravity, diameter), angle)
            }
        }
    }

    /// The same as equations under a symbol, of the member that it is; the last is the strength. Tables round to 50 psi.
    fn bearing_equations(&self, diameter: f64, symbol: &'static str, which: &str) -> Vec<Equation> {
        let tabled = |symbol: String, how: String, value: f64| {
            let meaning = format!("dowel bearing strength {how}, {which} member, NDS Table 12.3.3");
            Equation::measured(NamedNumber::new(symbol, meaning, value, Unit::Stress))
        };
        let plain = |how: String| vec![tabled(symbol.to_string(), how, self.bearing_strength(diameter))];
        match *self {
            Material::Steel { .. } => plain(String::from("of steel")),
            Material::EndGrain { gravity } => plain(format!("in end grain, G {gravity:.2}")),
            Material::SideGrain { gravity, .. } if !is_thick(diameter) => {
                plain(format!("for G {gravity:.2}"))
            }
            Material::SideGrain { gravity, angle } => {
                let grain = |sign: &str, how: &str, value| {
                    tabled(format!("{symbol}{sign}"), format!("{how} the grain for G {gravity:.2}"), value)
                };
                let along = grain("∥", "along", bearing_along(gravity));
                let across = grain("⊥", "across", bearing_across(gravity, diameter));
                let meaning = format!("dowel bearing strength of the {which} member at that angle");
                let left = NamedNumber::new(symbol, meaning, self.bearing_strength(diameter), Unit::Stress);
                let sign = format!("θ{}", symbol.trim_start_matches("Fe"));
                let meaning = format!("angle from the grain of the {which} member to the load");
                let angle = NamedNumber::new(sign, meaning, angle.as_deg(), Unit::Angle);
                let found = hankinson_equation(left, (&along, &across), &angle);
                vec![along, across, found]
            }
        }
    }

    /// From the grain to the load, 0 to 90 degrees. End grain is loaded across the grain, steel has none.
    fn grain_angle(&self) -> f64 {
        match self {
            Material::SideGrain { angle, .. } => angle.as_deg(),
            Material::EndGrain { .. } => 90.0,
            Material::Steel { .. } => 0.0,
        }
    }

    fn look(&self, given: &mut Given) {
        match *self {
            Material::Steel { strength } => {
                given.positive("bearing strength of the steel", strength);
            }
            Material::SideGrain { gravity, angle } => {
                look_at_gravity(given, gravity);
                given.within("angle of the load to the grain in degrees", angle.as_deg(), 0.0, 90.0);
            }
            Material::EndGrain { gravity } => look_at_gravity(given, gravity),
        }
    }
}

pub(super) fn look_at_gravity(given: &mut Given, gravity: f64) {
    given.positive("specific gravity", gravity);
    if gravity > 0.0 {
        given.within("specific gravity", gravity, 0.0, MOST_GRAVITY);
        given.tried_within("specific gravity", gravity, TABLE_GRAVITY.0, TABLE_GRAVITY.1);
    }
}

/// What one member gives a fastener.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bearing {
    /// Length that bears, mm: lm or ls.
    pub length: f64,
    /// What it is of.
    pub material: Material,
}

/// How many shear planes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shear {
    /// One.
    Single,
    /// Two, with equal side members; where they differ the weaker stands for both.
    Double,
}

/// A fastener in its members.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Joint {
    /// The fastener.
    pub dowel: Dowel,
    /// The member that holds it, in double shear the middle one.
    pub main: Bearing,
    /// The member on the side of the head.
    pub side: Bearing,
    /// Gap in the shear plane, mm: washers and spacers. The standard itself takes faces that touch.
    pub gap: f64,
    /// How many planes.
    pub shear: Shear,
}

/// How a fastener yields.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Mode {
    /// The main member crushes.
    Im,
    /// The side member crushes.
    Is,
    /// The fastener turns in both.
    II,
    /// It bends in the side member and crushes the main one.
    IIIm,
    /// It bends in the main member and crushes the side one.
    IIIs,
    /// It bends in both.
    IV,
}

impl Mode {
    /// As the standard writes it.
    pub fn word(self) -> &'static str {
        match self {
            Mode::Im => "Im",
            Mode::Is => "Is",
            Mode::II => "II",
            Mode::IIIm => "IIIm",
            Mode::IIIs => "IIIs",
            Mode::IV => "IV",
        }
    }
}

/// One mode of one joint.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ModeValue {
    /// Which.
    pub mode: Mode,
    /// Load of all planes at which it yields, N.
    pub yields_at: f64,
    /// Reduction term Rd.
    pub reduction: f64,
    /// Reference design value Z, N: the yield load over the reduction term.
    pub value: f64,
}

/// All modes of a joint.
#[derive(Clone, Debug, PartialEq)]
pub struct Yield {
    /// Every mode there is, in the order of the standard.
    pub modes: Vec<ModeValue>,
    /// The one with the least value.
    pub governing: ModeValue,
}

/// All yield modes of a fastener in its members, whatever its penetration (NDS 12.3.1, read).
pub fn yield_modes(joint: &Joint) -> Outcome<Yield> {
    let mut given = Given::new();
    joint.look(&mut given);
    given.settle(|| joint.modes())
}

/// The standard's modes in single shear.
const SINGLE: [Mode; 6] = [Mode::Im, Mode::Is, Mode::II, Mode::IIIm, Mode::IIIs, Mode::IV];
/// In double shear the middle member cannot let the fastener turn.
const DOUBLE: [Mode; 4] = [Mode::Im, Mode::Is, Mode::IIIs, Mode::IV];

impl Joint {
    fn look(&self, given: &mut Given) {
        self.dowel.look(given);
        given.positive("bearing length in the main member", self.main.length);
        given.positive("bearing length in the side member", self.side.length);
        given.not_negative("gap between the members", self.gap);
        self.main.material.look(given);
        self.side.material.look(given);
    }

    fn modes(&self) -> Yield {
        let names: &[Mode] = if self.shear == Shear::Single { &SINGLE } else { &DOUBLE };
        let modes: Vec<ModeValue> = names.iter().map(|mode| self.mode(*mode)).collect();
        let governing = modes
            .iter()
            .copied()
            .fold(modes[0], |least, own| if own.value < least.value { own } else { least });
        Yield { modes, governing }
    }

    /// Planes that count in a mode.
    fn planes(&self, mode: Mode) -> f64 {
        match (self.shear, mode) {
            // Both planes crush one middle member.
            (Shear::Double, Mode::Im) | (Shear::Single, _) => 1.0,
            (Shear::Double, _) => 2.0,
        }
    }

    fn mode(&self, mode: Mode) -> ModeValue {
        let yields_at = self.planes(mode) * self.plane_yields_at(mode);
        let reduction = self.reduction(mode);
        ModeValue { mode, yields_at, reduction, value: yields_at / reduction }
    }

    /// Load of one plane by the general dowel equations: A P2 + B P + C = 0 with C less than zero.
    fn plane_yields_at(&self, mode: Mode) -> f64 {
        let diameter = self.dowel.effective_diameter();
        let per_length = |of: &Bearing| diameter * of.material.bearing_strength(self.dowel.diameter);
        let (qm, qs) = (per_length(&self.main), per_length(&self.side));
        let (lm, ls, gap) = (self.main.length, self.side.length, self.gap);
        // The whole section yields: D3/6.
        let moment = self.dowel.bending_yield * diameter * diameter * diameter / 6.0;
        let (crush_m, crush_s) = (qm * lm * lm / 4.0, qs * ls * ls / 4.0);
        match mode {
            Mode::Im => qm * lm,
            Mode::Is => qs * ls,
            Mode::II => root(0.25 / qs + 0.25 / qm, ls / 2.0 + gap + lm / 2.0, -crush_s - crush_m),
            Mode::IIIm => root(0.5 / qs + 0.25 / qm, gap + lm / 2.0, -moment - crush_m),
            Mode::IIIs => root(0.25 / qs + 0.5 / qm, ls / 2.0 + gap, -crush_s - moment),
            Mode::IV => root(0.5 / qs + 0.5 / qm, gap, -2.0 * moment),
        }
    }

    /// The reference design value of a mode in single shear, as equations; the last is Z.
    pub fn mode_equations(&self, mode: Mode) -> Vec<Equation> {
        let length = |symbol, meaning, value| NamedNumber::new(symbol, meaning, value, Unit::Length);
        let [symbol, meaning] = match self.dowel.crossing {
            Crossing::Thread => ["Dr", "diameter under the thread, which bears and bends"],
            Crossing::Shank => ["D", "nominal diameter"],
        };
        let diameter = length(symbol, meaning, self.dowel.effective_diameter());
        let mut steps = Vec::new();
        let mut resistance = |of: &Bearing, [fe, q]: [&'static str; 2], which: &str| {
            let bearing = of.material.bearing_equations(self.dowel.diameter, fe, which);
            let meaning = format!("bearing resistance of the {which} member");
            let by = bearing.last().map(|own| own * &diameter)?;
            let found = Equation::reckoned(q, meaning, Unit::ForcePerLength, by);
            steps.extend(bearing.into_iter().chain([found.clone()]));
            Some(found)
        };
        let main = resistance(&self.main, ["Fem", "qm"], "main");
        let side = resistance(&self.side, ["Fes", "qs"], "side");
        let (Some(qm), Some(qs)) = (main, side) else { return Vec::new() };
        let lm = length("lm", "length that bears in the main member", self.main.length);
        let ls = length("ls", "length that bears in the side member", self.side.length);
        let gap = length("g", "gap between the members", self.gap);
        let bending =
            NamedNumber::new("Fyb", "bending yield strength", self.dowel.bending_yield, Unit::Stress);
        let cubed = Expression::from(&diameter).to_the(3.0);
        let moment =
            Equation::reckoned("Mp", "moment at which it yields", Unit::Moment, bending * cubed / 6.0);
        let squared = |length: &NamedNumber| Expression::from(length).to_the(2.0);
        let with_gap = |lengths: Expression| if self.gap > 0.0 { lengths + &gap } else { lengths };
        let (crush_m, crush_s) = (&qm * squared(&lm) / 4.0, &qs * squared(&ls) / 4.0);
        // A P2 + B P - C = 0, as TR12 has it.
        let [over_s, over_m] = [&qs, &qm].map(|own| move |part: f64| part / own);
        let by_root = match mode {
            Mode::Im | Mode::Is => None,
            Mode::II => {
                Some([over_s(0.25) + over_m(0.25), with_gap(&ls / 2.0 + &lm / 2.0), crush_s + crush_m])
            }
            Mode::IIIm => Some([over_s(0.5) + over_m(0.25), with_gap(&lm / 2.0), &moment + crush_m]),
            Mode::IIIs => Some([over_s(0.25) + over_m(0.5), with_gap(&ls / 2.0), crush_s + &moment]),
            Mode::IV => Some([over_s(0.5) + over_m(0.5), (&gap).into(), 2.0 * &moment]),
        };
        let yields = |by: Expression| {
            let meaning = format!("load at which it yields in mode {}", mode.word());
            let load = NamedNumber::new("Py", meaning, self.plane_yields_at(mode), Unit::Force);
            Equation::of(load, by)
        };
        match by_root {
            None => steps.push(yields(if mode == Mode::Im { &qm * &lm } else { &qs * &ls })),
            Some([a, b, c]) => {
                if !matches!(mode, Mode::II) {
                    steps.push(moment);
                }
                let a = Equation::reckoned(
                    "a",
                    "of the dowel equation a Py² + b Py = c",
                    Unit::LengthPerForce,
                    a,
                );
                let b = Equation::reckoned("b", "of the dowel equation", Unit::Length, b);
                let c = Equation::reckoned("c", "of the dowel equation", Unit::Moment, c);
                let load = if b.left.value == 0.0 {
                    yields(square_root(&c / &a))
                } else {
                    let root = square_root(Expression::from(&b).to_the(2.0) + 4.0 * &a * &c);
                    yields((root - &b) / (2.0 * &a))
                };
                steps.extend([a, b, c, load]);
            }
        }
        let own = self.mode(mode);
        let value = NamedNumber::new("Z", "reference design value across the axis", own.value, Unit::Force);
        let by = steps.last().map(|load| {
            let planes = self.planes(mode);
            let load = if planes == 1.0 { Expression::from(load) } else { load * planes };
            load / factor("Rd", "Z", own.reduction)
        });
        steps.extend(by.map(|by| Equation::of(value, by)));
        steps
    }

    /// Rd of a mode (NDS Table 12.3.1B, read).
    fn reduction(&self, mode: Mode) -> f64 {
        let angle = self.main.material.grain_angle().max(self.side.material.grain_angle());
        let turned = 1.0 + 0.25 * angle / 90.0;
        let diameter = self.dowel.effective_diameter();
        if !is_thick(self.dowel.diameter) {
            return thin_reduction(diameter);
        }
        if !is_thick(diameter) {
            return thin_reduction(diameter) * turned;
        }
        turned
            * match mode {
                Mode::Im | Mode::Is => 4.0,
                Mode::II => 3.6,
                Mode::IIIm | Mode::IIIs | Mode::IV => 3.2,
            }
    }
}

/// KD of a diameter under 1/4 in (NDS Table 12.3.1B, read).
fn thin_reduction(diameter: f64) -> f64 {
    let inches = diameter / INCH;
    if inches <= 0.17 { 2.2 } else { 10.0 * inches + 0.5 }
}

/// The positive root of a x2 + b x + c for c under zero, in the form that loses no figures.
fn root(a: f64, b: f64, c: f64) -> f64 {
    -2.0 * c / (b + (b * b - 4.0 * a * c).sqrt())
}

/// How far a fastener goes into the member that holds it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Penetration {
    /// With as much of the tip as is in the wood, mm.
    pub total: f64,
    /// Part of the tip in it, mm.
    pub tip: f64,
    /// What comes out at the back, mm.
    pub beyond: f64,
}

impl Penetration {
    /// Of a fastener that ends in the member: all of its tip is in it.
    pub fn ending_in(dowel: &Dowel, total: f64) -> Self {
        Penetration { total, tip: dowel.tip.min(total.max(0.0)), beyond: 0.0 }
    }

    /// Of a fastener of a length through a side member and a gap into a member of a thickness, mm. What comes out at the
    /// back holds nothing.
    pub fn of(dowel: &Dowel, length: f64, side: f64, gap: f64, main: f64) -> Self {
        let reach = (length - side - gap).max(0.0);
        let beyond = (reach - main).max(0.0);
        let total = reach.min(main);
        Penetration { total, tip: (dowel.tip - beyond).clamp(0.0, total.max(0.0)), beyond }
    }

    /// Length that bears: half the tip counts (NDS 12.3.5.3, read).
    pub fn bearing_length(&self) -> f64 {
        self.total - self.tip / 2.0
    }

    /// As the limits measure it: lags without their tip, screws and nails with it (NDS 12.1, read).
    pub fn measured(&self, kind: Kind) -> f64 {
        if kind == Kind::LagScrew { self.total - self.tip } else { self.total }
    }
}

/// Least penetration and the one that tables assume, in diameters: 4 and 8 for lags (NDS 12.1.4.6, read), 6 and 10 for
/// screws and nails (NDS 12.1.5.6 and 12.1.6.5, read). A bolt goes through.
fn penetrations(kind: Kind) -> Option<(f64, f64)> {
    match kind {
        Kind::Bolt => None,
        Kind::LagScrew => Some((4.0, 8.0)),
        Kind::WoodScrew | Kind::Nail => Some((6.0, 10.0)),
    }
}

/// Least penetration of a fastener that carries load across its axis, mm; nothing for a bolt.
pub fn least_penetration(dowel: &Dowel) -> f64 {
    penetrations(dowel.kind).map_or(0.0, |(least, _)| least * dowel.diameter)
}

/// Lateral reference design value with how it was come by.
#[derive(Clone, Debug, PartialEq)]
pub struct Lateral {
    /// By the equations with the bearing length there is.
    pub direct: Yield,
    /// By the rule of the tables where penetration is short of what they assume: their value with the part of the
    /// penetration that is there.
    pub by_table: Option<(Yield, f64)>,
    /// Reference design value Z, N: the lower of the two, as the equations alone show little of a short hold.
    pub value: f64,
    /// Mode of the lower one.
    pub governing: Mode,
    /// The joint whose mode gives it, and what part of the penetration that the tables assume counts: 1 but by their rule.
    pub by: (Joint, f64),
}

/// Lateral reference design value of a joint in single shear whose main member is entered by `penetration`. Less than the
/// least penetration has no value at all.
pub fn lateral(joint: &Joint, penetration: Penetration) -> Outcome<Lateral> {
    let entered = Joint { main: Bearing { length: penetration.bearing_length(), ..joint.main }, ..*joint };
    let mut given = Given::new();
    joint.dowel.look(&mut given);
    look_at_penetration(&mut given, &joint.dowel, penetration);
    given.settle_with(|| yield_modes(&entered).map(|direct| lower(&entered, penetration, direct)))
}

fn look_at_penetration(given: &mut Given, dowel: &Dowel, penetration: Penetration) {
    const WHAT: &str = "penetration";
    given.positive(WHAT, penetration.total);
    let (there, least) = (penetration.measured(dowel.kind), least_penetration(dowel));
    if there < least - DIAMETER_SLACK {
        let message = format!(
            "the fastener goes {there:.1} mm into the member that holds it, and counts for nothing under {least:.1} mm"
        );
        let help = "take a longer fastener, sink its head, or drive it from the other side";
        given.add(Diagnostic::error("too-little-penetration", message).help(help), WHAT);
    }
}

fn lower(joint: &Joint, penetration: Penetration, direct: Yield) -> Lateral {
    let by_table = by_table(joint, penetration);
    let (value, governing) = (direct.governing.value, direct.governing.mode);
    let (value, governing, by) = match &by_table {
        Some((assumed, full, part)) if full.governing.value * part < value => {
            (full.governing.value * part, full.governing.mode, (*assumed, *part))
        }
        _ => (value, governing, (*joint, 1.0)),
    };
    Lateral { direct, by_table: by_table.map(|(_, full, part)| (full, part)), value, governing, by }
}

/// The value at the penetration that tables assume, with the part of it that is there (NDS Tables 12J to 12R footnotes,
/// read); nothing where enough is there.
fn by_table(joint: &Joint, penetration: Penetration) -> Option<(Joint, Yield, f64)> {
    let (_, assumed) = penetrations(joint.dowel.kind)?;
    let assumed = assumed * joint.dowel.diameter;
    let there = penetration.measured(joint.dowel.kind);
    if there >= assumed - DIAMETER_SLACK {
        return None;
    }
    let tip = joint.dowel.tip;
    let total = if joint.dowel.kind == Kind::LagScrew { assumed + tip } else { assumed };
    let length = Penetration { total, tip, beyond: 0.0 }.bearing_length();
    let assumed_joint = Joint { main: Bearing { length, ..joint.main }, ..*joint };
    Some((assumed_joint, assumed_joint.modes(), there / assumed))
}

/// How wet the wood is when the joint is made and when it is used: over 19 % is wet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Wetness {
    /// When it is made.
    pub made: Service,
    /// In use. Furniture that stands out in the rain is wet.
    pub used: Service,
}

/// How the fasteners of a joint let wood shrink that is joined green.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Freedom {
    /// One fastener, one row along the grain, or a plate of its own for each row: wood may shrink.
    Free,
    /// More than one row across the grain: wood is held and splits.
    Held,
}

/// CM of a lateral load (NDS Table 11.3.3, read).
pub fn wet_service(wetness: Wetness, diameter: f64, freedom: Freedom) -> Factor {
    let value = match (wetness.made, wetness.used) {
        (_, Service::Wet) => 0.7,
        (Service::Dry, Service::Dry) => 1.0,
        (Service::Wet, Service::Dry) if freedom == Freedom::Free => 1.0,
        (Service::Wet, Service::Dry) if !is_thick(diameter) => 0.7,
        (Service::Wet, Service::Dry) => 0.4,
    };
    Factor::new("CM", value, "NDS Table 11.3.3, read")
}

/// Ceg of a lateral load on a fastener in end grain (NDS 12.5.2, read).
pub fn end_grain(main: &Material) -> Factor {
    let value = if matches!(main, Material::EndGrain { .. }) { 0.67 } else { 1.0 };
    Factor::new("Ceg", value, "NDS 12.5.2.2, read")
}

/// A toe-nail of a length in mm through a side member: it starts a third of its length up, at 30 degrees (NDS 12.1.6.3, read).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ToeNail {
    /// Bearing length in the side member, mm.
    pub side: f64,
    /// Bearing length in the main member, mm.
    pub main: f64,
}

/// Ctn of a lateral load (NDS 12.5.4.2, read).
pub const TOE_NAIL_LATERAL: f64 = 0.83;

/// Where a toe-nail bears: L/3 in the side member, no more than its thickness, L cos 30 - L/3 in the main one.
pub fn toe_nail(length: f64, side_thickness: f64) -> Outcome<ToeNail> {
    Given::new()
        .positive("length of the nail", length)
        .positive("thickness of the side member", side_thickness)
        .settle(|| ToeNail {
            side: side_thickness.min(length / 3.0),
            main: length * Angle::deg(30.0).cos() - length / 3.0,
        })
}
