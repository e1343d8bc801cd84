//! Reference values of wood, the factors that adjust them, and estimates where no values are published.
//!
//! Factors are those of NDS Table 4.3.1 (read, in an open library of NDS-2018 member design, and from memory): load
//! duration applies to strength and never to moduli or to bearing across the grain.

use super::given::Given;
use super::moisture::MOST_MOISTURE;
use super::units::{INCH, PSI};
use slatwork_base::formula::{Equation, Function, NamedNumber, Unit, function, product, root};
use slatwork_base::{Diagnostic, Outcome, maths};

/// One factor on a value, with where it comes from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Factor {
    /// As the standard writes it: `CD`.
    pub symbol: &'static str,
    /// What the value is multiplied by.
    pub value: f64,
    /// Where it comes from and how it was come by.
    pub source: &'static str,
}

impl Factor {
    /// A factor.
    pub const fn new(symbol: &'static str, value: f64, source: &'static str) -> Self {
        Factor { symbol, value, source }
    }
}

/// A reference value and what it is multiplied by.
#[derive(Clone, Debug, PartialEq)]
pub struct Adjusted {
    /// The value before any factor.
    pub reference: f64,
    /// The factors, in the order of the standard's table.
    pub factors: Vec<Factor>,
}

/// What factors are, by their symbols.
const FACTORS: [(&str, &str); 16] = [
    ("CD", "load duration factor"),
    ("CM", "wet service factor"),
    ("Ct", "temperature factor"),
    ("CF", "size factor"),
    ("Cfu", "flat use factor"),
    ("Ci", "incising factor"),
    ("Cr", "repetitive member factor"),
    ("CL", "beam stability factor"),
    ("CP", "column stability factor"),
    ("Cb", "bearing area factor"),
    ("Ceg", "end grain factor"),
    ("Cg", "group action factor"),
    ("CΔ", "geometry factor"),
    ("Ctn", "toe-nail factor"),
    ("Kcr", "creep factor"),
    ("Rd", "reduction term"),
];

/// A factor as it stands in the formula of a value: "wet service factor of Fv".
pub fn factor(symbol: &'static str, of: &str, value: f64) -> NamedNumber {
    let word = FACTORS.iter().find(|(own, _)| *own == symbol).map_or("factor", |(_, word)| *word);
    // Among words the sign is spelt: few typefaces have it.
    let of = of.replace('⊥', " across the grain");
    NamedNumber::new(symbol, format!("{word} of {of}"), value, Unit::Plain)
}

impl Adjusted {
    /// How the value in MPa comes about, under the symbols of value and reference. Factors of 1 are left out.
    pub fn equation(&self, [symbol, reference]: [&'static str; 2], what: &str) -> Equation {
        let named =
            NamedNumber::new(reference, format!("reference value, {what}"), self.reference, Unit::Stress);
        let factors = self.factors.iter().filter(|own| own.value != 1.0);
        let factors = factors.map(|own| factor(own.symbol, reference, own.value).into());
        let left = NamedNumber::new(symbol, format!("design value, {what}"), self.value(), Unit::Stress);
        Equation::of(left, product(core::iter::once(named.into()).chain(factors)))
    }

    /// A value with its factors.
    pub fn new(reference: f64, factors: Vec<Factor>) -> Self {
        Adjusted { reference, factors }
    }

    /// The value with all factors.
    pub fn value(&self) -> f64 {
        self.without(&[])
    }

    /// The value with all factors but some: the starred values of the standard.
    pub fn without(&self, symbols: &[&str]) -> f64 {
        let kept = self.factors.iter().filter(|factor| !symbols.contains(&factor.symbol));
        kept.fold(self.reference, |value, factor| value * factor.value)
    }

    /// The same with one more factor.
    #[must_use]
    pub fn times(mut self, factor: Factor) -> Self {
        self.factors.push(factor);
        self
    }
}

/// How long a load stays over the life of the piece: the shortest of a combination counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Duration {
    /// Always there: own weight.
    Permanent,
    /// Ten years in all: people on floors, and on seats.
    TenYears,
    /// Two months: snow.
    TwoMonths,
    /// Seven days: building work.
    SevenDays,
    /// Ten minutes: wind.
    TenMinutes,
    /// A blow.
    Impact,
}

/// Every duration with its word.
pub const DURATIONS: [(Duration, &str); 6] = [
    (Duration::Permanent, "permanent"),
    (Duration::TenYears, "ten years"),
    (Duration::TwoMonths, "two months"),
    (Duration::SevenDays, "seven days"),
    (Duration::TenMinutes, "ten minutes"),
    (Duration::Impact, "impact"),
];

/// Duration factor that no connection, and no wood treated under pressure, may exceed (NDS 11.3.2, read; 2.3.2, from
/// memory).
const MOST_DURATION: f64 = 1.6;

impl Duration {
    /// CD for wood (NDS Table 2.3.2, read).
    pub fn factor(self) -> f64 {
        match self {
            Duration::Permanent => 0.9,
            Duration::TenYears => 1.0,
            Duration::TwoMonths => 1.15,
            Duration::SevenDays => 1.25,
            Duration::TenMinutes => 1.6,
            Duration::Impact => 2.0,
        }
    }

    /// CD for a connection.
    pub fn connection_factor(self) -> Factor {
        Factor::new("CD", self.factor().min(MOST_DURATION), "NDS Table 2.3.2 and 11.3.2, read")
    }
}

/// How wet the wood is in use.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Service {
    /// Never over 19 % for long.
    Dry,
    /// Over 19 %.
    Wet,
}

/// How hot the wood gets for long.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Warmth {
    /// Up to 100 degrees F (38 C).
    Usual,
    /// Up to 125 degrees F (52 C).
    Warm,
    /// Up to 150 degrees F (66 C).
    Hot,
}

impl Warmth {
    /// By the temperature in degrees Celsius that the wood keeps for long. Above 66 C nothing is known.
    pub fn at(celsius: f64) -> Outcome<Warmth> {
        let limits =
            [super::units::celsius(100.0), super::units::celsius(125.0), super::units::celsius(150.0)];
        Given::new().within("temperature in degrees C", celsius, -60.0, limits[2]).settle(|| {
            if celsius <= limits[0] {
                Warmth::Usual
            } else if celsius <= limits[1] {
                Warmth::Warm
            } else {
                Warmth::Hot
            }
        })
    }

    /// Ct for tension along the grain and for moduli (NDS Table 2.3.3, read and from memory).
    fn of_tension(self) -> f64 {
        if self == Warmth::Usual { 1.0 } else { 0.9 }
    }

    /// Ct for all else, and for connections (NDS Table 2.3.3, read and from memory; Table 11.3.4, read).
    pub fn of_others(self, service: Service) -> f64 {
        match (self, service) {
            (Warmth::Usual, _) => 1.0,
            (Warmth::Warm, Service::Dry) => 0.8,
            (Warmth::Warm, Service::Wet) | (Warmth::Hot, Service::Dry) => 0.7,
            (Warmth::Hot, Service::Wet) => 0.5,
        }
    }
}

/// Reference design values, MPa.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reference {
    /// Fb, bending.
    pub bending: f64,
    /// Ft, tension along the grain.
    pub tension: f64,
    /// Fv, shear along the grain.
    pub shear: f64,
    /// Fc across the grain.
    pub across: f64,
    /// Fc, compression along the grain.
    pub compression: f64,
    /// E.
    pub elasticity: f64,
    /// Emin, for stability.
    pub stability_elasticity: f64,
}

impl Reference {
    /// From the figures of a table in psi, in its order: Fb, Ft, Fv, Fc across, Fc, E, Emin.
    pub fn psi(figures: [f64; 7]) -> Self {
        let [bending, tension, shear, across, compression, elasticity, stability_elasticity] =
            figures.map(|figure| figure * PSI);
        Reference { bending, tension, shear, across, compression, elasticity, stability_elasticity }
    }

    fn look(&self, given: &mut Given) {
        given.positive("bending strength", self.bending).positive("tension strength", self.tension);
        given.positive("shear strength", self.shear).positive("strength across the grain", self.across);
        given.positive("compression strength", self.compression).positive("elasticity", self.elasticity);
        given.positive("elasticity for stability", self.stability_elasticity);
    }
}

/// Which size factors a grade takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Grading {
    /// Select Structural, No.1 and better, No.1, No.2, No.3 (NDS Supplement Table 4A).
    Numbered,
    /// Stud.
    Stud,
    /// Construction and Standard.
    LightFraming,
    /// Values that hold for one size already: Southern Pine (NDS Supplement Table 4B).
    SizeSpecific,
    /// No size factor: boards under 2 in nominal and estimates (project choice).
    Unsized,
}

/// Nominal size, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Nominal {
    /// Thickness.
    pub thickness: f64,
    /// Width.
    pub width: f64,
}

/// Size factors on bending, tension and compression along the grain.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SizeFactors {
    /// On Fb.
    pub bending: f64,
    /// On Ft.
    pub tension: f64,
    /// On Fc.
    pub compression: f64,
}

/// From a nominal thickness of this many inches on, tables speak of 4 in.
const THICK: f64 = 3.5;

/// Nominal width in inches, up to which a row holds, with the factors on Fb 2 and 3 in thick, on Fb 4 in thick, on Ft and
/// on Fc (NDS Supplement Table 4A, read).
const NUMBERED: [(f64, [f64; 4]); 7] = [
    (4.0, [1.5, 1.5, 1.5, 1.15]),
    (5.0, [1.4, 1.4, 1.4, 1.1]),
    (6.0, [1.3, 1.3, 1.3, 1.1]),
    (8.0, [1.2, 1.3, 1.2, 1.05]),
    (10.0, [1.1, 1.2, 1.1, 1.0]),
    (12.0, [1.0, 1.1, 1.0, 1.0]),
    (f64::INFINITY, [0.9, 1.0, 0.9, 0.9]),
];

/// A width that lies between two rows takes the wider one, whose factor is the smaller.
fn row<const N: usize, T: Copy>(rows: &[(f64, T); N], width_inches: f64) -> T {
    // The last row has no end, and widths are checked before.
    rows.iter().find(|(most, _)| width_inches <= most + TABLE_SLACK).map_or(rows[N - 1].1, |(_, row)| *row)
}

/// Slack in inches for a nominal size that came from millimetres: far under the step between two nominal sizes.
const TABLE_SLACK: f64 = 0.01;

/// CF of a grade and nominal size (NDS Supplement Tables 4A, read, and 4B, from memory).
pub fn size_factors(grading: Grading, size: Nominal) -> Outcome<SizeFactors> {
    let (thickness, width) = (size.thickness / INCH, size.width / INCH);
    let mut given = Given::new();
    given.positive("nominal thickness", size.thickness).positive("nominal width", size.width);
    if grading == Grading::Stud && width > 6.0 + TABLE_SLACK {
        let trouble = Diagnostic::error("no-size-factor", "Stud grade has no size factor over 6 in of width");
        given.add(trouble.help("take the values and the factors of No.3"), "nominal width");
    }
    given.settle(|| {
        let [bending, tension, compression] = match grading {
            Grading::Numbered => {
                let [thin, thick, tension, compression] = row(&NUMBERED, width);
                [if thickness >= THICK { thick } else { thin }, tension, compression]
            }
            Grading::Stud if width <= 4.0 + TABLE_SLACK => [1.1, 1.1, 1.05],
            Grading::Stud | Grading::LightFraming | Grading::Unsized => [1.0; 3],
            Grading::SizeSpecific if width > 12.0 + TABLE_SLACK => [0.9; 3],
            Grading::SizeSpecific if thickness >= THICK && width >= 8.0 - TABLE_SLACK => [1.1, 1.0, 1.0],
            Grading::SizeSpecific => [1.0; 3],
        };
        SizeFactors { bending, tension, compression }
    })
}

/// Cfu on Fb of a member laid flat, 2 to 3 in thick (NDS Supplement Table 4A, read).
const FLAT: [(f64, f64); 4] = [(3.0, 1.0), (5.0, 1.1), (8.0, 1.15), (f64::INFINITY, 1.2)];
/// The same 4 in thick.
const FLAT_THICK: [(f64, f64); 3] = [(4.0, 1.0), (8.0, 1.05), (f64::INFINITY, 1.1)];

/// Cfu of a nominal size that is loaded on its wide face. The size factor by the wide face applies as well.
pub fn flat_use(size: Nominal) -> f64 {
    let width = size.width / INCH;
    if size.thickness / INCH >= THICK { row(&FLAT_THICK, width) } else { row(&FLAT, width) }
}

/// Cb of bearing across the grain over a length in mm, at least 3 in from the end: (lb + 3/8 in)/lb under 6 in (NDS
/// 3.10.4, read). For a washer the length is its diameter (from memory).
pub fn bearing_area(length: f64) -> f64 {
    if length >= 6.0 * INCH { 1.0 } else { (length + 0.375 * INCH) / length }
}

/// Beyond this ratio of slender to stocky the curve is 1 to more than eight figures, and its own figures would overflow.
const NEVER_BUCKLES: f64 = 1e8;

/// The curve of buckling: what is left of a strength whose slender limit is `ratio` times the stocky one, rounded off by
/// `c` (NDS Eq 3.3-6 and 3.7-1, read).
pub fn stability(ratio: f64, c: f64) -> f64 {
    if ratio > NEVER_BUCKLES {
        return 1.0;
    }
    let half = (1.0 + ratio) / (2.0 * c);
    // The root is that of ((1 - ratio)/2c)^2 and more for c below 1, never negative.
    ratio / c / (half + (half * half - ratio / c).max(0.0).sqrt())
}

/// [`stability`] as an equation: the factor of a symbol by the critical stress over the strength without it.
pub fn stability_equation(
    symbol: &'static str,
    of: &str,
    (critical, strength): (&Equation, &Equation),
    (factored, c): (f64, f64),
) -> [Equation; 2] {
    let sign = if symbol == "CL" { "αb" } else { "αc" };
    let meaning = format!("{} over {}", critical.left.symbol, strength.left.symbol);
    let ratio = Equation::reckoned(sign, meaning, Unit::Plain, critical / strength);
    let half = || (1.0 + &ratio) / (2.0 * c);
    let by = half() - root(half().to_the(2.0) - &ratio / c);
    [ratio, Equation::of(factor(symbol, of, factored), by)]
}

/// `c` of beams (NDS Eq 3.3-6, read).
pub const BEAM_ROUNDING: f64 = 0.95;
/// `c` of sawn columns (NDS 3.7.1.5, read).
pub const COLUMN_ROUNDING: f64 = 0.8;

/// Emin of an elasticity: 5 % exclusion at a coefficient of variation of 0.25, free of shear by 1.03, over 1.66 (NDS
/// Appendix D, from memory).
pub fn stability_elasticity(elasticity: f64) -> f64 {
    elasticity * (1.0 - FIVE_PERCENT * 0.25) * 1.03 / 1.66
}

/// How a member is used.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Conditions {
    /// How long the load stays.
    pub duration: Duration,
    /// How wet.
    pub service: Service,
    /// How hot.
    pub warmth: Warmth,
    /// Which size factors apply.
    pub grading: Grading,
    /// Nominal size.
    pub nominal: Nominal,
    /// How it lies and is treated.
    pub ways: Ways,
}

/// How a member lies and is treated; each way is its own and none excludes another.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Ways {
    /// Loaded on the wide face.
    pub flat: bool,
    /// One of three or more at most 24 in apart that share their load (NDS 4.3.9, from memory). Seat slats do not.
    pub repetitive: bool,
    /// Incised for treatment (NDS 4.3.8, read).
    pub incised: bool,
}

impl Conditions {
    /// Ten years, dry, not hot, with no size factor.
    pub fn plain(nominal: Nominal) -> Self {
        Conditions {
            duration: Duration::TenYears,
            service: Service::Dry,
            warmth: Warmth::Usual,
            grading: Grading::Unsized,
            nominal,
            ways: Ways::default(),
        }
    }
}

/// Reference values with their factors, but for CL, CP and Cb, which belong to a span, a column and a bearing.
#[derive(Clone, Debug, PartialEq)]
pub struct DesignValues {
    /// Fb.
    pub bending: Adjusted,
    /// Ft.
    pub tension: Adjusted,
    /// Fv.
    pub shear: Adjusted,
    /// Fc across the grain.
    pub across: Adjusted,
    /// Fc.
    pub compression: Adjusted,
    /// E.
    pub elasticity: Adjusted,
    /// Emin.
    pub stability_elasticity: Adjusted,
}

const TABLE_4A: &str = "NDS Supplement Table 4A, read";
const WET_USE: &str = "NDS Supplement Table 4A, wet service, read";
const TEMPERATURE: &str = "NDS Table 2.3.3, read and from memory";
const INCISING: &str = "NDS 4.3.8, read";

/// Up to Fb CF of this many psi wet service takes nothing from bending (NDS Supplement Table 4A, read).
const WET_BENDING_FREE: f64 = 1_150.0;
/// The same for Fc CF.
const WET_COMPRESSION_FREE: f64 = 750.0;

/// Design values of a member as it is used (NDS Table 4.3.1).
pub fn adjust(reference: &Reference, conditions: &Conditions) -> Outcome<DesignValues> {
    let mut given = Given::new();
    reference.look(&mut given);
    let size = given.take(size_factors(conditions.grading, conditions.nominal));
    given.settle_with(|| match size {
        Some(size) => Outcome::fine(adjusted(reference, conditions, size)),
        None => Outcome { value: None, diagnostics: Vec::new() },
    })
}

fn adjusted(reference: &Reference, used: &Conditions, size: SizeFactors) -> DesignValues {
    let duration = duration_of(used);
    let wet =
        |factor: f64| Factor::new("CM", if used.service == Service::Wet { factor } else { 1.0 }, WET_USE);
    let warm = Factor::new("Ct", used.warmth.of_others(used.service), TEMPERATURE);
    let warm_tension = Factor::new("Ct", used.warmth.of_tension(), TEMPERATURE);
    let sized = |factor: f64| Factor::new("CF", factor, TABLE_4A);
    let incised = |factor: f64| Factor::new("Ci", if used.ways.incised { factor } else { 1.0 }, INCISING);
    let free = |value: f64, limit: f64, factor: f64| if value / PSI <= limit { 1.0 } else { factor };
    let wet_bending = free(reference.bending * size.bending, WET_BENDING_FREE, 0.85);
    let wet_compression = free(reference.compression * size.compression, WET_COMPRESSION_FREE, 0.8);
    let flat = Factor::new("Cfu", if used.ways.flat { flat_of(used) } else { 1.0 }, TABLE_4A);
    let shared = Factor::new("Cr", if used.ways.repetitive { 1.15 } else { 1.0 }, "NDS 4.3.9, from memory");
    let value = |reference: f64, factors: &[Factor]| Adjusted::new(reference, factors.to_vec());
    let modulus = [wet(0.9), warm_tension, incised(0.95)];
    DesignValues {
        bending: value(
            reference.bending,
            &[duration, wet(wet_bending), warm, sized(size.bending), flat, incised(0.8), shared],
        ),
        tension: value(
            reference.tension,
            &[duration, wet(1.0), warm_tension, sized(size.tension), incised(0.8)],
        ),
        shear: value(reference.shear, &[duration, wet(0.97), warm, incised(0.8)]),
        across: value(reference.across, &[wet(0.67), warm, incised(1.0)]),
        compression: value(
            reference.compression,
            &[duration, wet(wet_compression), warm, sized(size.compression), incised(0.8)],
        ),
        elasticity: value(reference.elasticity, &modulus),
        stability_elasticity: value(reference.stability_elasticity, &modulus),
    }
}

/// Wood that is incised is treated under pressure, and takes no blow at 2.0.
fn duration_of(used: &Conditions) -> Factor {
    let most = if used.ways.incised { MOST_DURATION } else { f64::INFINITY };
    Factor::new("CD", used.duration.factor().min(most), "NDS Table 2.3.2, read")
}

fn flat_of(used: &Conditions) -> f64 {
    if used.grading == Grading::Unsized { 1.0 } else { flat_use(used.nominal) }
}

/// Mean strength of small clear pieces at 12 % moisture, MPa.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ClearWood {
    /// Modulus of rupture.
    pub rupture: f64,
    /// Shear along the grain.
    pub shear: f64,
    /// Compression along the grain.
    pub compression: f64,
    /// Compression across the grain.
    pub across: f64,
    /// Modulus of elasticity.
    pub elasticity: f64,
    /// Whether it is a hardwood.
    pub hardwood: bool,
}

/// How sound a board is, as the share of clear strength that its knots and slope of grain leave.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Soundness {
    /// As Select Structural.
    Select,
    /// As No.1.
    First,
    /// As No.2: straight-grained, knots sound and tight.
    Second,
    /// As No.3.
    Third,
}

impl Soundness {
    /// Strength ratio in bending (ASTM D245, from memory).
    pub fn strength_ratio(self) -> f64 {
        match self {
            Soundness::Select => 0.65,
            Soundness::First => 0.55,
            Soundness::Second => 0.45,
            Soundness::Third => 0.26,
        }
    }

    /// Share of the elasticity (quality factor of ASTM D245, from memory).
    fn quality(self) -> f64 {
        match self {
            Soundness::Select | Soundness::First => 1.0,
            Soundness::Second => 0.9,
            Soundness::Third => 0.8,
        }
    }
}

/// Standard deviations from the mean down to the value that 5 % fall short of.
const FIVE_PERCENT: f64 = 1.645;

/// How one strength of clear wood comes down to a working stress.
struct Reduction {
    /// Coefficient of variation (Wood Handbook Table 5-6, from memory).
    variation: f64,
    /// Strength at 12 % over that of green wood: usual ratios, from memory. No gain for drying is taken back (project
    /// choice, on the safe side: seats stand out in the rain).
    dry_to_green: f64,
    /// Divisor for softwood and hardwood: load duration and safety (ASTM D245 Table 9, from memory).
    divisor: [f64; 2],
}

const BENDING: Reduction = Reduction { variation: 0.16, dry_to_green: 1.6, divisor: [2.1, 2.3] };
const SHEAR: Reduction = Reduction { variation: 0.14, dry_to_green: 1.35, divisor: [2.1, 2.3] };
const COMPRESSION: Reduction = Reduction { variation: 0.18, dry_to_green: 2.0, divisor: [1.9, 2.1] };
/// The mean counts across the grain, where crushing only dents.
const ACROSS: Reduction = Reduction { variation: 0.0, dry_to_green: 1.9, divisor: [1.67, 1.67] };
/// Tension takes 55 % of bending (ASTM D245, from memory).
const TENSION_TO_BENDING: f64 = 0.55;
/// Shear ratio of a piece that may be checked or split (ASTM D245, from memory).
const SHEAR_RATIO: f64 = 0.5;
/// Elasticity at 12 % over that of green wood: usual ratio, from memory.
const ELASTICITY_DRY_TO_GREEN: f64 = 1.2;

impl Reduction {
    fn of(&self, mean: f64, hardwood: bool) -> f64 {
        mean * (1.0 - FIVE_PERCENT * self.variation) / self.dry_to_green / self.divisor[usize::from(hardwood)]
    }
}

/// An estimate of reference values where none are published, by the road of ASTM D245 (from memory). It always carries
/// the warning that it is one.
pub fn estimate(clear: &ClearWood, soundness: Soundness) -> Outcome<Reference> {
    let mut given = Given::new();
    given.positive("modulus of rupture", clear.rupture).positive("shear strength", clear.shear);
    given.positive("compression strength", clear.compression).positive("elasticity", clear.elasticity);
    given.positive("compression strength across the grain", clear.across);
    let message = "the values are estimated from small clear pieces and are no published design values";
    let help = "where it matters, load a piece to well over its use before anybody sits on it";
    given.add(Diagnostic::warning("estimated-values", message).help(help), "design values");
    given.settle(|| {
        let (ratio, hardwood) = (soundness.strength_ratio(), clear.hardwood);
        let bending = BENDING.of(clear.rupture, hardwood) * ratio;
        let elasticity = clear.elasticity / ELASTICITY_DRY_TO_GREEN * soundness.quality();
        Reference {
            bending,
            tension: bending * TENSION_TO_BENDING,
            shear: SHEAR.of(clear.shear, hardwood) * SHEAR_RATIO,
            across: ACROSS.of(clear.across, hardwood),
            compression: COMPRESSION.of(clear.compression, hardwood) * ratio,
            elasticity,
            stability_elasticity: stability_elasticity(elasticity),
        }
    })
}

/// A property of clear wood at another moisture in percent: P12 (P12/Pg)^((12 - M)/(Mp - 12)), from its values at 12 % and
/// green, `intersection` being Mp, 25 % if nothing better is known. Above Mp it is the green one (Wood Handbook Eq 5-3,
/// read). Design values take CM instead.
pub fn at_moisture(at_12: f64, green: f64, intersection: f64, moisture: f64) -> Outcome<f64> {
    Given::new()
        .positive("property at 12 %", at_12)
        .positive("property when green", green)
        .within("moisture where drying begins to tell", intersection, 15.0, 35.0)
        .within("moisture", moisture, 0.0, MOST_MOISTURE)
        .settle(|| {
            if moisture >= intersection {
                return green;
            }
            at_12 * maths::powf(at_12 / green, (12.0 - moisture) / (intersection - 12.0))
        })
}

/// Strength at an angle to the grain between one along and one across it: Hankinson's formula (NDS Eq 3.10-1 and 12.3-11,
/// read). The angle runs from along (0) to across (90 degrees).
pub fn hankinson(along: f64, across: f64, angle: slatwork_base::Angle) -> f64 {
    let (sine, cosine) = (angle.sin(), angle.cos());
    along * across / (along * sine * sine + across * cosine * cosine)
}

/// [`hankinson`] as an equation.
pub fn hankinson_equation(
    left: NamedNumber,
    (along, across): (&Equation, &Equation),
    angle: &NamedNumber,
) -> Equation {
    let squared = |of| function(of, angle).to_the(2.0);
    let below = along * squared(Function::Sine) + across * squared(Function::Cosine);
    Equation::of(left, along * across / below)
}
