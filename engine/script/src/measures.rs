//! Lengths, angles, areas and weights in scripts: `17.inch`, `600.mm`, `inch("3 1/2")`, `14.deg`, `250.kg`.
//!
//! The rules: a length plus or minus a length, times or over a number, over a length (a number), times a length
//! (an area); the other measures likewise. Everything else is refused in words: Rhai itself would answer a
//! comparison of a length with a number by a silent `false`, so that every operator has two fallbacks.

use crate::host::{HostResult, raise, type_word, with_article};
use crate::modules::Subject;
use crate::numbers::as_number;
use core::fmt::Display;
use rhai::{Dynamic, EvalAltResult, ImmutableString, NativeCallContext, Variant};
use slatwork_base::{Angle, Area, Diagnostic, Length, maths};

/// The longest length a script may make: a kilometre. Anything longer is a slip, and far from the range where
/// whole nanometres overflow.
const LONGEST: Length = Length::nm(1_000_000_000_000);

/// One pound in kilograms, exact since 1959.
const KG_PER_POUND: f64 = 0.453_592_37;

/// A weight: what a seat must bear. Held in kilograms.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Default)]
pub struct Mass {
    kg: f64,
}

impl Mass {
    /// From kilograms.
    pub fn kg(kg: f64) -> Self {
        Mass { kg }
    }

    /// In kilograms.
    pub fn as_kg(self) -> f64 {
        self.kg
    }
}

/// Kilograms with up to one decimal: `250 kg`.
impl Display for Mass {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "{} kg", (self.kg * 10.0).round() / 10.0)
    }
}

/// A function of plain numbers.
type OfNumber = fn(f64) -> f64;
/// A sum or difference; `None` out of range.
type Combined<Q> = fn(Q, Q) -> Option<Q>;
/// A comparison.
type Compared<Q> = fn(&Q, &Q) -> bool;

/// What the shared operators need to know of a measure. Each result is `None` when it leaves the range.
trait Measure: Variant + Copy + PartialOrd + Display {
    /// Trade word: `length`.
    const WORD: &'static str;
    /// How one is written.
    const FORM: &'static str;
    fn plus(self, other: Self) -> Option<Self>;
    fn minus(self, other: Self) -> Option<Self>;
    fn times(self, factor: f64) -> Option<Self>;
    fn over(self, other: Self) -> f64;
}

impl Measure for Length {
    const WORD: &'static str = "length";
    const FORM: &'static str = "17.inch, 600.mm or inch(\"3 1/2\")";
    fn plus(self, other: Self) -> Option<Self> {
        self.checked_add(other).filter(in_range)
    }
    fn minus(self, other: Self) -> Option<Self> {
        self.checked_sub(other).filter(in_range)
    }
    fn times(self, factor: f64) -> Option<Self> {
        self.checked_scale(factor).filter(in_range)
    }
    fn over(self, other: Self) -> f64 {
        self.as_nm() as f64 / other.as_nm() as f64
    }
}

fn in_range(length: &Length) -> bool {
    length.abs() <= LONGEST
}

/// Operators of a measure that is a plain float inside.
macro_rules! float_measure {
    ($type:ty, $word:literal, $form:literal, $read:expr, $make:expr) => {
        impl Measure for $type {
            const WORD: &'static str = $word;
            const FORM: &'static str = $form;
            fn plus(self, other: Self) -> Option<Self> {
                finite($read(self) + $read(other)).map($make)
            }
            fn minus(self, other: Self) -> Option<Self> {
                finite($read(self) - $read(other)).map($make)
            }
            fn times(self, factor: f64) -> Option<Self> {
                finite($read(self) * factor).map($make)
            }
            fn over(self, other: Self) -> f64 {
                $read(self) / $read(other)
            }
        }
    };
}

float_measure!(Angle, "angle", "14.deg", Angle::as_deg, Angle::deg);
float_measure!(Area, "area", "a length times a length", Area::as_square_mm, Area::square_mm);
float_measure!(Mass, "weight", "250.kg", Mass::as_kg, Mass::kg);

fn finite(value: f64) -> Option<f64> {
    value.is_finite().then_some(value)
}

/// The words about measures.
pub(crate) fn subject() -> Subject {
    let mut subject = Subject::new(
        "Measures",
        "Lengths are exact, in whole nanometres, so that inches and millimetres mix freely. Add and subtract \
         lengths, multiply or divide them by numbers, divide one by another (a number), multiply two (an area). \
         Angles and weights follow the same rules. A bare number is never taken for a measure. `1/2` is 0, as both \
         are whole: write `inch(\"1/2\")` or `0.5.inch`.",
    );
    lengths(&mut subject);
    rounding(&mut subject);
    angles(&mut subject);
    areas(&mut subject);
    weights(&mut subject);
    operators::<Length>(&mut subject);
    operators::<Angle>(&mut subject);
    operators::<Area>(&mut subject);
    operators::<Mass>(&mut subject);
    subject
}

/// A unit as a property of whole and other numbers, and as a property that reads the measure back.
macro_rules! unit {
    ($subject:expr, $name:literal, $word:literal, $measure:literal, $about:literal, $example:literal, $make:expr) => {
        $subject.property(
            concat!($name, "(number) -> ", $word),
            concat!(
                "A number of ",
                $about,
                " as ",
                $measure,
                "; of ",
                $measure,
                ", how many ",
                $about,
                " it is. Example: `",
                $example,
                "`"
            ),
            |ctx: NativeCallContext, number: &mut i64| $make(&ctx, *number as f64),
        );
        $subject.property_form($name, |ctx: NativeCallContext, number: &mut f64| $make(&ctx, *number));
    };
}

fn lengths(subject: &mut Subject) {
    subject.type_word::<Length>("length");
    unit!(subject, "inch", "length", "a length", "inches", "let t = 1.5.inch;", |c: &_, n| length(
        c,
        n * 25.4
    ));
    unit!(subject, "feet", "length", "a length", "feet", "let w = 5.feet + 2.inch;", |c: &_, n| length(
        c,
        n * 304.8
    ));
    unit!(subject, "foot", "length", "a length", "feet", "let w = 1.foot + 2.inch;", |c: &_, n| length(
        c,
        n * 304.8
    ));
    unit!(subject, "mm", "length", "a length", "millimetres", "let w = 600.mm;", |c: &_, n| length(c, n));
    unit!(subject, "cm", "length", "a length", "centimetres", "let w = 45.cm;", |c: &_, n| length(
        c,
        n * 10.0
    ));
    unit!(subject, "metre", "length", "a length", "metres", "let w = 1.2.metre;", |c: &_, n| length(
        c,
        n * 1000.0
    ));
    subject.property_form("inch", |length: &mut Length| length.as_inch());
    for name in ["feet", "foot"] {
        subject.property_form(name, |length: &mut Length| length.as_inch() / 12.0);
    }
    subject.property_form("mm", |length: &mut Length| length.as_mm());
    subject.property_form("cm", |length: &mut Length| length.as_mm() / 10.0);
    subject.property_form("metre", |length: &mut Length| length.as_metre());
    subject.function(
        "inch(fraction: text) -> length",
        "Inches written with a fraction, as on a tape. Example: `let width = inch(\"3 1/2\");`",
        |ctx: NativeCallContext, text: ImmutableString| -> HostResult<Length> {
            let refuse = |reason: String| {
                let help = "write inch(\"3 1/2\"), inch(\"5/8\") or inch(\"2.375\")";
                raise(&ctx, Diagnostic::error("not-a-length", reason).help(help))
            };
            let length = Length::parse_inches(&text).map_err(|error| refuse(error.to_string()))?;
            Some(length).filter(in_range).ok_or_else(|| refuse(format!("{text} inches is out of range")))
        },
    );
    subject.form("*", |ctx: NativeCallContext, a: Length, b: Length| -> HostResult<Area> {
        finite((a * b).as_square_mm()).map(Area::square_mm).ok_or_else(|| out_of_range(&ctx, "area"))
    });
}

/// Millimetres as a length, within range.
fn length(ctx: &NativeCallContext, mm: f64) -> HostResult<Length> {
    let fits = mm.is_finite() && mm.abs() <= LONGEST.as_mm();
    if fits { Ok(Length::mm(mm)) } else { Err(out_of_range(ctx, "length")) }
}

fn out_of_range(ctx: &NativeCallContext, word: &str) -> Box<EvalAltResult> {
    let diagnostic = Diagnostic::error("out-of-range", format!("this {word} is out of range"));
    raise(ctx, diagnostic.help("the longest length is a kilometre"))
}

fn rounding(subject: &mut Subject) {
    let ways: [(&str, &str, OfNumber); 3] = [
        (
            "round_to(length: length, step: length) -> length",
            "The nearest whole number of steps; half way goes away from zero. Refuses a step of nothing. \
             Example: `let gap = space.round_to(inch(\"1/16\"));`",
            f64::round,
        ),
        (
            "round_down_to(length: length, step: length) -> length",
            "The whole number of steps at or below. Refuses a step of nothing. \
             Example: `let gap = space.round_down_to(inch(\"1/16\"));`",
            f64::floor,
        ),
        (
            "round_up_to(length: length, step: length) -> length",
            "The whole number of steps at or above. Refuses a step of nothing. \
             Example: `let blank = part.length.round_up_to(1.inch);`",
            f64::ceil,
        ),
    ];
    for (signature, doc, way) in ways {
        subject.function(
            signature,
            doc,
            move |ctx: NativeCallContext, length: Length, step: Length| -> HostResult<Length> {
                let steps = step.is_positive().then(|| way(length.over(step)));
                let Some(steps) = steps else {
                    let message = format!("a step must be more than nothing, not {step}");
                    return Err(raise(&ctx, Diagnostic::error("bad-step", message)));
                };
                step.times(steps).ok_or_else(|| out_of_range(&ctx, "length"))
            },
        );
    }
    subject.function(
        "diagonal(a: length, b: length) -> length",
        "The long side of a right-angled triangle over two short ones: what a builder measures to prove a frame \
         square. Example: `let check = diagonal(p.width, p.depth);`",
        |ctx: NativeCallContext, a: Length, b: Length| length(&ctx, maths::hypot(a.as_mm(), b.as_mm())),
    );
}

fn angles(subject: &mut Subject) {
    subject.type_word::<Angle>("angle");
    unit!(subject, "deg", "angle", "an angle", "degrees", "let lean = 14.deg;", |c: &_, n| angle(c, n));
    subject.property_form("deg", |angle: &mut Angle| angle.as_deg());
    subject.function(
        "sin(angle: angle) -> number",
        "Sine of an angle, from -1 to 1. Refuses a bare number. Example: `let rise = p.length * sin(p.lean);`",
        |angle: Angle| angle.sin(),
    );
    subject.function(
        "cos(angle: angle) -> number",
        "Cosine of an angle, from -1 to 1. Refuses a bare number. Example: `let run = p.length * cos(p.lean);`",
        |angle: Angle| angle.cos(),
    );
    subject.function(
        "tan(angle: angle) -> number",
        "Tangent of an angle: its slope, rise over run. Refuses a bare number. Example: `let back = p.height * tan(p.lean);`",
        |angle: Angle| angle.tan(),
    );
    for name in ["sin", "cos", "tan"] {
        subject.form(name, move |ctx: NativeCallContext, value: Dynamic| -> HostResult<f64> {
            let message = format!("{name} takes an angle, not {}", with_article(&type_word(&ctx, &value)));
            let diagnostic = Diagnostic::error("wrong-measure", message);
            Err(raise(&ctx, diagnostic.help(format!("write {name}(30.deg); angles are never bare numbers"))))
        });
    }
    subject.function(
        "angle_of(rise: length, run: length) -> angle",
        "The angle whose slope is rise over run, as set on a framing square; 0 to 90 degrees when both are \
         positive, up to 180 either way otherwise. Example: `let lean = angle_of(3.inch, 12.inch);`",
        |rise: Length, run: Length| Angle::from_slope(rise.as_mm(), run.as_mm()),
    );
    let inverses: [(&str, &str, OfNumber); 3] = [
        (
            "asin(number) -> angle",
            "The angle with this sine; beyond -1 and 1, that of the end. Example: `let a = asin(rise / length);`",
            maths::asin,
        ),
        (
            "acos(number) -> angle",
            "The angle with this cosine; beyond -1 and 1, that of the end. Example: `let a = acos(run / length);`",
            maths::acos,
        ),
        (
            "atan(number) -> angle",
            "The angle with this slope, rise over run. Example: `let a = atan(rise / run);`",
            maths::atan,
        ),
    ];
    for (signature, doc, inverse) in inverses {
        subject.function(signature, doc, move |number: f64| Angle::rad(inverse(number)));
        let name = signature.split('(').next().unwrap_or(signature);
        subject.form(name, move |number: i64| Angle::rad(inverse(number as f64)));
    }
}

fn angle(ctx: &NativeCallContext, degrees: f64) -> HostResult<Angle> {
    finite(degrees).map(Angle::deg).ok_or_else(|| out_of_range(ctx, "angle"))
}

fn areas(subject: &mut Subject) {
    subject.type_word::<Area>("area");
    subject.property(
        "square_metres(area) -> number",
        "An area in square metres. Example: `let paint = face.square_metres / 8;`",
        |area: &mut Area| area.as_square_m(),
    );
    subject.property(
        "square_inches(area) -> number",
        "An area in square inches. Example: `let load = 300 / face.square_inches;`",
        |area: &mut Area| area.as_square_mm() / (25.4 * 25.4),
    );
    subject.form("/", |ctx: NativeCallContext, area: Area, by: Length| -> HostResult<Length> {
        length(&ctx, area.as_square_mm() / by.as_mm())
    });
    subject.form("sqrt", |ctx: NativeCallContext, area: Area| -> HostResult<Length> {
        length(&ctx, area.as_square_mm().sqrt())
    });
}

fn weights(subject: &mut Subject) {
    subject.type_word::<Mass>("weight");
    unit!(subject, "kg", "weight", "a weight", "kilograms", "let person = 110.kg;", |c: &_, n| mass(c, n));
    unit!(subject, "pounds", "weight", "a weight", "pounds", "let person = 250.pounds;", |c: &_, n| mass(
        c,
        n * KG_PER_POUND
    ));
    subject.property_form("kg", |mass: &mut Mass| mass.as_kg());
    subject.property_form("pounds", |mass: &mut Mass| mass.as_kg() / KG_PER_POUND);
}

fn mass(ctx: &NativeCallContext, kg: f64) -> HostResult<Mass> {
    finite(kg).map(Mass::kg).ok_or_else(|| out_of_range(ctx, "weight"))
}

/// All operators of one measure, with the fallbacks that refuse in words.
fn operators<Q: Measure>(subject: &mut Subject) {
    sums::<Q>(subject);
    products::<Q>(subject);
    comparisons::<Q>(subject);
    extremes::<Q>(subject);
    texts::<Q>(subject);
}

fn sums<Q: Measure>(subject: &mut Subject) {
    let ways: [(&str, Combined<Q>); 2] = [("+", Q::plus), ("-", Q::minus)];
    for (sign, way) in ways {
        subject.form(sign, move |ctx: NativeCallContext, a: Q, b: Q| -> HostResult<Q> {
            way(a, b).ok_or_else(|| out_of_range(&ctx, Q::WORD))
        });
        fallbacks::<Q>(subject, sign);
    }
    subject.form("+=", |ctx: NativeCallContext, a: &mut Q, b: Q| -> HostResult<()> {
        *a = a.plus(b).ok_or_else(|| out_of_range(&ctx, Q::WORD))?;
        Ok(())
    });
    subject.form("-", |ctx: NativeCallContext, a: Q| -> HostResult<Q> {
        a.times(-1.0).ok_or_else(|| out_of_range(&ctx, Q::WORD))
    });
    subject.form("+", |a: Q| a);
}

fn products<Q: Measure>(subject: &mut Subject) {
    let scaled = |ctx: &NativeCallContext, measure: Q, factor: f64| -> HostResult<Q> {
        measure.times(factor).ok_or_else(|| out_of_range(ctx, Q::WORD))
    };
    subject.form("*", move |ctx: NativeCallContext, a: Q, b: i64| scaled(&ctx, a, b as f64));
    subject.form("*", move |ctx: NativeCallContext, a: Q, b: f64| scaled(&ctx, a, b));
    subject.form("*", move |ctx: NativeCallContext, a: i64, b: Q| scaled(&ctx, b, a as f64));
    subject.form("*", move |ctx: NativeCallContext, a: f64, b: Q| scaled(&ctx, b, a));
    subject.form("/", |ctx: NativeCallContext, a: Q, b: i64| divided(&ctx, a, b as f64));
    subject.form("/", |ctx: NativeCallContext, a: Q, b: f64| divided(&ctx, a, b));
    subject.form("/", |ctx: NativeCallContext, a: Q, b: Q| -> HostResult<f64> {
        finite(a.over(b)).ok_or_else(|| by_nothing(&ctx, &a, &b))
    });
    fallbacks::<Q>(subject, "*");
    fallbacks::<Q>(subject, "/");
    fallbacks::<Q>(subject, "%");
    subject.form("%", |ctx: NativeCallContext, a: Q, b: Q| -> HostResult<Q> {
        let whole = finite(a.over(b)).map(f64::floor).ok_or_else(|| by_nothing(&ctx, &a, &b))?;
        b.times(whole).and_then(|part| a.minus(part)).ok_or_else(|| out_of_range(&ctx, Q::WORD))
    });
}

fn divided<Q: Measure>(ctx: &NativeCallContext, measure: Q, divisor: f64) -> HostResult<Q> {
    if divisor == 0.0 {
        return Err(by_nothing(ctx, &measure, &divisor));
    }
    measure.times(1.0 / divisor).ok_or_else(|| out_of_range(ctx, Q::WORD))
}

fn by_nothing(ctx: &NativeCallContext, measure: &dyn Display, divisor: &dyn Display) -> Box<EvalAltResult> {
    raise(ctx, Diagnostic::error("division-by-nothing", format!("{measure} cannot be divided by {divisor}")))
}

fn comparisons<Q: Measure>(subject: &mut Subject) {
    let ways: [(&str, Compared<Q>); 6] =
        [("<", Q::lt), ("<=", Q::le), (">", Q::gt), (">=", Q::ge), ("==", Q::eq), ("!=", Q::ne)];
    for (sign, way) in ways {
        subject.form(sign, move |a: Q, b: Q| way(&a, &b));
        // `x == ()` asks whether there is anything at all, and may be asked of a measure.
        let against_nothing = if matches!(sign, "==" | "!=") { Some(sign == "!=") } else { None };
        subject.form(sign, move |ctx: NativeCallContext, a: Q, b: Dynamic| match against_nothing {
            Some(answer) if b.is_unit() => Ok(answer),
            _ => Err::<bool, _>(mismatch::<Q>(&ctx, sign, &a.to_string(), &b, Side::Left)),
        });
        subject.form(sign, move |ctx: NativeCallContext, a: Dynamic, b: Q| match against_nothing {
            Some(answer) if a.is_unit() => Ok(answer),
            _ => Err::<bool, _>(mismatch::<Q>(&ctx, sign, &b.to_string(), &a, Side::Right)),
        });
    }
}

fn extremes<Q: Measure>(subject: &mut Subject) {
    subject.form("max", |a: Q, b: Q| if a < b { b } else { a });
    subject.form("min", |a: Q, b: Q| if b < a { b } else { a });
    fallbacks::<Q>(subject, "max");
    fallbacks::<Q>(subject, "min");
    subject.form("abs", |ctx: NativeCallContext, a: Q| -> HostResult<Q> {
        let negative = a.times(-1.0).ok_or_else(|| out_of_range(&ctx, Q::WORD))?;
        Ok(if a < negative { negative } else { a })
    });
}

fn texts<Q: Measure>(subject: &mut Subject) {
    for name in ["to_string", "to_debug"] {
        subject.form(name, |a: &mut Q| a.to_string());
    }
    subject.form("+", |text: ImmutableString, a: Q| format!("{text}{a}"));
    subject.form("+", |a: Q, text: ImmutableString| format!("{a}{text}"));
}

/// On which side of the operator the measure stands.
#[derive(Clone, Copy)]
enum Side {
    Left,
    Right,
}

/// Refuses what no exact form of the operator takes.
fn fallbacks<Q: Measure>(subject: &mut Subject, sign: &'static str) {
    subject.form(sign, move |ctx: NativeCallContext, a: Q, b: Dynamic| -> HostResult<Dynamic> {
        Err(mismatch::<Q>(&ctx, sign, &a.to_string(), &b, Side::Left))
    });
    subject.form(sign, move |ctx: NativeCallContext, a: Dynamic, b: Q| -> HostResult<Dynamic> {
        Err(mismatch::<Q>(&ctx, sign, &b.to_string(), &a, Side::Right))
    });
}

fn mismatch<Q: Measure>(
    ctx: &NativeCallContext,
    sign: &str,
    measure: &str,
    other: &Dynamic,
    side: Side,
) -> Box<EvalAltResult> {
    let word = type_word(ctx, other);
    let shown =
        if as_number(other).is_some() { format!("the bare number {other}") } else { with_article(&word) };
    let one = with_article(Q::WORD);
    let (left, right) = match side {
        Side::Left => (format!("{one} ({measure})"), shown),
        Side::Right => (shown, format!("{one} ({measure})")),
    };
    let message = match sign {
        "+" => format!("cannot add {left} and {right}"),
        "-" => format!("cannot take {right} from {left}"),
        "*" => format!("cannot multiply {left} by {right}"),
        "/" => format!("cannot divide {left} by {right}"),
        "%" => format!("cannot divide {left} by {right} with remainder"),
        "max" | "min" => format!("cannot tell the {sign} of {left} and {right}"),
        _ => format!("cannot compare {left} with {right}"),
    };
    raise(ctx, helped::<Q>(Diagnostic::error("wrong-measure", message), sign, other, side))
}

/// The line of help that fits the slip.
fn helped<Q: Measure>(diagnostic: Diagnostic, sign: &str, other: &Dynamic, side: Side) -> Diagnostic {
    let number = as_number(other);
    match (sign, side) {
        ("/", Side::Right) if number.is_some() && Q::WORD == "length" => diagnostic
            .help(format!(
                "`{other}/4.inch` reads as {other} over 4 inches; for a fraction write inch(\"3/4\")"
            ))
            .help("or divide first and then name the unit: (3.0 / 4).inch"),
        (_, _) if number == Some(0.0) && matches!(sign, "+" | "-") => diagnostic.help(format!(
            "a fraction of whole numbers such as 1/2 is 0 here; write {}",
            if Q::WORD == "length" { "inch(\"3 1/2\") or 3.5.inch" } else { Q::FORM }
        )),
        _ if number.is_some() => diagnostic.help(format!("give the number its unit: {}", Q::FORM)),
        _ => diagnostic.help(format!("{} is written {}", with_article(Q::WORD), Q::FORM)),
    }
}
