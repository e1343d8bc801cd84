//! Formulas as data: what is put in stands in them with its sign, its meaning, its value and its unit, so that a formula that is
//! printed can be worked out again from nothing but itself.
//!
//! An [`Expression`] is what is reckoned, an [`Equation`] says what it comes to, and [`Written`] is how either is set by a format,
//! in signs or with the numbers put in.

use crate::{both_tapes, maths};
use std::borrow::Cow;
use std::ops::{Add, Div, Mul, Sub};

/// What a figure is counted in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Unit {
    /// mm
    Length,
    /// mm2
    Area,
    /// mm3
    Volume,
    /// mm4
    SecondMoment,
    /// degrees
    Angle,
    /// N
    Force,
    /// N/mm
    ForcePerLength,
    /// mm/N
    LengthPerForce,
    /// MPa
    Stress,
    /// N mm
    Moment,
    /// kg
    Mass,
    /// percent
    Percent,
    /// a number without a unit
    Plain,
}

impl Unit {
    /// Its sign.
    pub fn sign(self) -> &'static str {
        match self {
            Unit::Length => "mm",
            Unit::Area => "mm²",
            Unit::Volume => "mm³",
            Unit::SecondMoment => "mm⁴",
            Unit::Angle => "deg",
            Unit::Force => "N",
            Unit::ForcePerLength => "N/mm",
            Unit::LengthPerForce => "mm/N",
            Unit::Stress => "MPa",
            Unit::Moment => "N mm",
            Unit::Mass => "kg",
            Unit::Percent => "%",
            Unit::Plain => "",
        }
    }

    /// A figure as a person reads it, lengths on both tapes.
    pub fn figure(self, value: f64) -> String {
        match self {
            Unit::Plain => format!("{value:.2}"),
            Unit::Length => both_tapes(value),
            unit => format!("{value:.1} {}", unit.sign()),
        }
    }

    /// A figure as it stands in a formula: to four figures that count, so that the formula can be followed by hand.
    pub fn short(self, value: f64) -> String {
        let number = significant(value);
        if self == Unit::Plain { number } else { format!("{number} {}", self.sign()) }
    }
}

/// So many figures of a number in a formula count; whole numbers stand whole.
const FIGURES: i32 = 4;
/// More decimals say nothing in any of the units.
const MOST_DECIMALS: i32 = 8;

fn significant(value: f64) -> String {
    if !value.is_finite() {
        return String::from(if value.is_nan() { "?" } else { ["∞", "-∞"][usize::from(value < 0.0)] });
    }
    let scientific = format!("{value:.3e}");
    let exponent: i32 = scientific.split('e').next_back().and_then(|own| own.parse().ok()).unwrap_or(0);
    let decimals = (FIGURES - 1 - exponent).clamp(0, MOST_DECIMALS);
    let text = format!("{value:.*}", decimals.unsigned_abs() as usize);
    let text = if decimals > 0 { text.trim_end_matches('0').trim_end_matches('.') } else { &text };
    String::from(if text == "-0" { "0" } else { text })
}

/// A number that stands in a formula.
#[derive(Clone, Debug, PartialEq)]
pub struct NamedNumber {
    /// Its sign: a letter, then what stands under it, then a prime or a star where it has one: `Fb'` is F with index b and a prime.
    pub symbol: Cow<'static, str>,
    /// What it is, in words.
    pub meaning: Cow<'static, str>,
    /// What it comes to.
    pub value: f64,
    /// What it is counted in.
    pub unit: Unit,
}

impl NamedNumber {
    /// A number with its sign and meaning.
    pub fn new(
        symbol: impl Into<Cow<'static, str>>,
        meaning: impl Into<Cow<'static, str>>,
        value: f64,
        unit: Unit,
    ) -> Self {
        NamedNumber { symbol: symbol.into(), meaning: meaning.into(), value, unit }
    }

    /// What it comes to where it is explained: a length on both tapes, all else as in the formula.
    pub fn figure(&self) -> String {
        if self.unit == Unit::Length { self.unit.figure(self.value) } else { self.unit.short(self.value) }
    }
}

/// A function of one number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Function {
    /// Sine of an angle in degrees.
    Sine,
    /// Cosine of an angle in degrees.
    Cosine,
    /// The angle in degrees of a tangent.
    ArcTangent,
    /// The share of a normal distribution that lies below so many deviations over its mean.
    Normal,
}

impl Function {
    fn name(self) -> &'static str {
        match self {
            Function::Sine => "sin",
            Function::Cosine => "cos",
            Function::ArcTangent => "arctan",
            Function::Normal => "Φ",
        }
    }

    fn of(self, x: f64) -> f64 {
        match self {
            Function::Sine => maths::sin(x.to_radians()),
            Function::Cosine => maths::cos(x.to_radians()),
            Function::ArcTangent => maths::atan(x).to_degrees(),
            Function::Normal => f64::midpoint(1.0, maths::erf(x / core::f64::consts::SQRT_2)),
        }
    }
}

/// What is reckoned, as a tree. Sums, products and quotients are written as such: `&force / &area`.
#[derive(Clone, Debug, PartialEq)]
pub enum Expression {
    /// A named number.
    Name(NamedNumber),
    /// A number that has no name.
    Number(f64, Unit),
    /// All of them added.
    Sum(Vec<Expression>),
    /// The first less the second.
    Difference(Box<[Expression; 2]>),
    /// All of them multiplied.
    Product(Vec<Expression>),
    /// The first over the second.
    Quotient(Box<[Expression; 2]>),
    /// The first to the power of the second.
    Power(Box<[Expression; 2]>),
    /// The square root.
    Root(Box<Expression>),
    /// The amount without its sign.
    Absolute(Box<Expression>),
    /// The least of them.
    Least(Vec<Expression>),
    /// The greatest of them.
    Greatest(Vec<Expression>),
    /// A function.
    Of(Function, Box<Expression>),
}

impl From<f64> for Expression {
    fn from(number: f64) -> Self {
        Expression::Number(number, Unit::Plain)
    }
}

impl From<NamedNumber> for Expression {
    fn from(number: NamedNumber) -> Self {
        Expression::Name(number)
    }
}

impl From<&NamedNumber> for Expression {
    fn from(number: &NamedNumber) -> Self {
        Expression::Name(number.clone())
    }
}

impl From<&Equation> for Expression {
    fn from(equation: &Equation) -> Self {
        Expression::Name(equation.left.clone())
    }
}

/// The square root.
pub fn root(of: impl Into<Expression>) -> Expression {
    Expression::Root(Box::new(of.into()))
}

/// The amount without its sign.
pub fn absolute(of: impl Into<Expression>) -> Expression {
    Expression::Absolute(Box::new(of.into()))
}

/// The least.
pub fn least<const N: usize>(of: [Expression; N]) -> Expression {
    Expression::Least(of.into())
}

/// The greatest.
pub fn greatest<const N: usize>(of: [Expression; N]) -> Expression {
    Expression::Greatest(of.into())
}

/// A function of something.
pub fn function(function: Function, of: impl Into<Expression>) -> Expression {
    Expression::Of(function, Box::new(of.into()))
}

/// Several multiplied; of none 1.
pub fn product(of: impl IntoIterator<Item = Expression>) -> Expression {
    of.into_iter().reduce(|a, b| a * b).unwrap_or_else(|| 1.0.into())
}

/// Several added; of none 0.
pub fn sum(of: impl IntoIterator<Item = Expression>) -> Expression {
    of.into_iter().reduce(|a, b| a + b).unwrap_or_else(|| 0.0.into())
}

fn added(one: Expression, other: Expression) -> Expression {
    match one {
        Expression::Sum(mut all) => {
            all.push(other);
            Expression::Sum(all)
        }
        one => Expression::Sum(vec![one, other]),
    }
}

fn multiplied(one: Expression, other: Expression) -> Expression {
    match one {
        Expression::Product(mut all) => {
            all.push(other);
            Expression::Product(all)
        }
        one => Expression::Product(vec![one, other]),
    }
}

fn less(one: Expression, other: Expression) -> Expression {
    Expression::Difference(Box::new([one, other]))
}

fn over(one: Expression, other: Expression) -> Expression {
    Expression::Quotient(Box::new([one, other]))
}

/// What stands on either side of an operator may be any of these.
macro_rules! operator {
    ($trait:ident, $method:ident, $make:ident) => {
        operator!($trait, $method, $make, [Expression, NamedNumber, &NamedNumber, &Equation]);
        operator!(f64, $trait, $method, $make, [Expression, NamedNumber, &NamedNumber, &Equation]);
    };
    ($trait:ident, $method:ident, $make:ident, [$($left:ty),*]) => {
        $(impl<T: Into<Expression>> $trait<T> for $left {
            type Output = Expression;

            fn $method(self, other: T) -> Expression {
                $make(self.into(), other.into())
            }
        })*
    };
    (f64, $trait:ident, $method:ident, $make:ident, [$($right:ty),*]) => {
        $(impl $trait<$right> for f64 {
            type Output = Expression;

            fn $method(self, other: $right) -> Expression {
                $make(self.into(), other.into())
            }
        })*
    };
}

operator!(Add, add, added);
operator!(Sub, sub, less);
operator!(Mul, mul, multiplied);
operator!(Div, div, over);

impl Expression {
    /// To a power.
    #[must_use]
    pub fn to_the(self, exponent: impl Into<Expression>) -> Expression {
        Expression::Power(Box::new([self, exponent.into()]))
    }

    /// What it comes to with the values of its numbers.
    pub fn value(&self) -> f64 {
        let all = |of: &[Expression], from: f64, join: fn(f64, f64) -> f64| {
            of.iter().map(Expression::value).fold(from, join)
        };
        match self {
            Expression::Name(number) => number.value,
            Expression::Number(number, _) => *number,
            Expression::Sum(of) => all(of, 0.0, |a, b| a + b),
            Expression::Product(of) => all(of, 1.0, |a, b| a * b),
            Expression::Least(of) => all(of, f64::INFINITY, f64::min),
            Expression::Greatest(of) => all(of, f64::NEG_INFINITY, f64::max),
            Expression::Difference(both) => both[0].value() - both[1].value(),
            Expression::Quotient(both) => both[0].value() / both[1].value(),
            Expression::Power(both) => maths::powf(both[0].value(), both[1].value()),
            Expression::Root(of) => of.value().sqrt(),
            Expression::Absolute(of) => of.value().abs(),
            Expression::Of(function, of) => function.of(of.value()),
        }
    }

    /// Everything that it is made of, one level down.
    fn parts(&self) -> &[Expression] {
        match self {
            Expression::Name(_) | Expression::Number(..) => &[],
            Expression::Sum(of)
            | Expression::Product(of)
            | Expression::Least(of)
            | Expression::Greatest(of) => of,
            Expression::Difference(both) | Expression::Quotient(both) | Expression::Power(both) => &both[..],
            Expression::Root(of) | Expression::Absolute(of) | Expression::Of(_, of) => {
                core::slice::from_ref(of)
            }
        }
    }

    /// Its named numbers in the order in which they stand in it, each once.
    pub fn numbers(&self) -> Vec<&NamedNumber> {
        let mut found = Vec::new();
        self.gather(&mut found);
        found
    }

    fn gather<'a>(&'a self, found: &mut Vec<&'a NamedNumber>) {
        if let Expression::Name(number) = self
            && !found.contains(&number)
        {
            found.push(number);
        }
        self.parts().iter().for_each(|part| part.gather(found));
    }

    /// As it is written with the signs of its numbers.
    pub fn in_signs(&self) -> Written {
        self.written(&|number| Written::sign(&number.symbol))
    }

    /// As it is written with the numbers put in.
    pub fn in_numbers(&self) -> Written {
        self.written(&|number| Written::Text(number.unit.short(number.value)))
    }

    fn written(&self, name: &dyn Fn(&NamedNumber) -> Written) -> Written {
        // What binds less than what stands round it is put between brackets.
        let apart = |of: &Expression, least: Binds| {
            let own = of.written(name);
            if of.binds(name) < least { Written::bracketed(own) } else { own }
        };
        let joined = |of: &[Expression], sign: &'static str, least: Binds| {
            let mut row = vec![of.first().map_or(Written::Row(Vec::new()), |first| {
                if least == Binds::Sum { first.written(name) } else { apart(first, least) }
            })];
            let rest = of.iter().skip(1).flat_map(|own| [Written::Operator(sign), apart(own, least)]);
            row.extend(rest);
            Written::Row(row)
        };
        let listed = |word: &'static str, of: &[Expression]| {
            let mut row = vec![Written::Operator(word), Written::Operator("(")];
            for (at, own) in of.iter().enumerate() {
                row.extend((at > 0).then_some(Written::Operator(",")));
                row.push(own.written(name));
            }
            row.push(Written::Operator(")"));
            Written::Row(row)
        };
        match self {
            Expression::Name(number) => name(number),
            Expression::Number(number, unit) => Written::Text(unit.short(*number)),
            Expression::Sum(of) => joined(of, "+", Binds::Sum),
            Expression::Product(of) => joined(of, "·", Binds::Product),
            Expression::Difference(both) => Written::Row(vec![
                both[0].written(name),
                Written::Operator("−"),
                apart(&both[1], Binds::Product),
            ]),
            Expression::Quotient(both) => {
                Written::Fraction(Box::new(both[0].written(name)), Box::new(both[1].written(name)))
            }
            Expression::Power(both) => {
                Written::Raised(Box::new(apart(&both[0], Binds::One)), Box::new(both[1].written(name)))
            }
            Expression::Root(of) => Written::Root(Box::new(of.written(name))),
            Expression::Absolute(of) => {
                Written::Row(vec![Written::Operator("|"), of.written(name), Written::Operator("|")])
            }
            Expression::Least(of) => listed("min", of),
            Expression::Greatest(of) => listed("max", of),
            Expression::Of(function, of) => listed(function.name(), core::slice::from_ref(of)),
        }
    }

    /// How close it holds together as it is written.
    fn binds(&self, name: &dyn Fn(&NamedNumber) -> Written) -> Binds {
        let of_number = |number: f64, unit: Unit| match number {
            number if number < 0.0 => Binds::Below,
            _ if unit == Unit::Plain => Binds::One,
            _ => Binds::Product,
        };
        match self {
            Expression::Name(number) => match name(number) {
                Written::Text(_) => of_number(number.value, number.unit),
                _ => Binds::One,
            },
            Expression::Number(number, unit) => of_number(*number, *unit),
            Expression::Sum(_) | Expression::Difference(_) => Binds::Sum,
            Expression::Product(_) | Expression::Quotient(_) => Binds::Product,
            Expression::Power(_) => Binds::Product,
            Expression::Root(_)
            | Expression::Absolute(_)
            | Expression::Least(_)
            | Expression::Greatest(_)
            | Expression::Of(..) => Binds::One,
        }
    }
}

/// How close an expression holds together, the loosest first.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Binds {
    /// A number under zero.
    Below,
    Sum,
    Product,
    One,
}

/// How a formula is set: the few shapes that a format of books must know.
#[derive(Clone, Debug, PartialEq)]
pub enum Written {
    /// The sign of a number: a letter, what stands under it and what stands over it, either of which may be empty.
    Sign {
        /// The letter.
        letter: String,
        /// Its index.
        index: String,
        /// A prime or a star.
        mark: &'static str,
    },
    /// A number with its unit.
    Text(String),
    /// What stands between or before: `+`, `=`, `min`, a bracket.
    Operator(&'static str),
    /// One after the other.
    Row(Vec<Written>),
    /// The first over the second.
    Fraction(Box<Written>, Box<Written>),
    /// The first with the second as its exponent.
    Raised(Box<Written>, Box<Written>),
    /// A square root.
    Root(Box<Written>),
}

impl Written {
    /// The sign of a number.
    pub fn sign(symbol: &str) -> Written {
        let marks = [('\'', "′"), ('*', "*")];
        let found = marks.into_iter().find(|(end, _)| symbol.ends_with(*end));
        let bare = found.map_or(symbol, |(end, _)| symbol.trim_end_matches(end));
        let mut letters = bare.chars();
        Written::Sign {
            letter: letters.next().map_or_else(String::new, String::from),
            index: letters.collect(),
            mark: found.map_or("", |(_, mark)| mark),
        }
    }

    /// Parts with an operator between each two.
    pub fn chain(operator: &'static str, parts: impl IntoIterator<Item = Written>) -> Written {
        let mut row = Vec::new();
        for part in parts {
            if !row.is_empty() {
                row.push(Written::Operator(operator));
            }
            row.push(part);
        }
        Written::Row(row)
    }

    fn bracketed(own: Written) -> Written {
        Written::Row(vec![Written::Operator("("), own, Written::Operator(")")])
    }

    /// As a line of text: `σ = 1.5 · V / A`.
    pub fn text(&self) -> String {
        match self {
            Written::Sign { letter, index, mark } => format!("{letter}{index}{mark}"),
            Written::Text(text) => text.clone(),
            Written::Operator(sign) => (*sign).to_string(),
            Written::Row(parts) => parts.iter().fold(String::new(), |line, part| match part {
                Written::Operator(sign) if !is_tight(sign) => format!("{line} {sign} "),
                Written::Operator(",") => line + ", ",
                part => line + &part.text(),
            }),
            Written::Fraction(top, bottom) => {
                format!("{} / {}", top.within(&["+", "−"]), bottom.within(&["+", "−", "·"]))
            }
            Written::Raised(base, exponent) => {
                format!("{}^{}", base.text(), exponent.within(&["+", "−", "·"]))
            }
            Written::Root(of) => format!("√({})", of.text()),
        }
    }

    /// As text, between brackets where it is a fraction or one of these operators stands in it.
    fn within(&self, operators: &[&str]) -> String {
        let holds = |part: &Written| matches!(part, Written::Operator(sign) if operators.contains(sign));
        let loose = match self {
            Written::Row(parts) => parts.iter().any(holds) && !self.is_bracketed(),
            Written::Fraction(..) => true,
            _ => false,
        };
        if loose { format!("({})", self.text()) } else { self.text() }
    }

    fn is_bracketed(&self) -> bool {
        matches!(self, Written::Row(parts) if parts.len() == 3 && parts[0] == Written::Operator("("))
    }

    /// How many signs and numbers stand in it.
    pub fn size(&self) -> usize {
        match self {
            Written::Sign { .. } | Written::Text(_) => 1,
            Written::Operator(_) => 0,
            Written::Row(parts) => parts.iter().map(Written::size).sum(),
            Written::Fraction(one, other) | Written::Raised(one, other) => one.size() + other.size(),
            Written::Root(of) => of.size(),
        }
    }
}

/// Brackets and words that no space stands round.
fn is_tight(sign: &str) -> bool {
    matches!(sign, "(" | ")" | "|" | "," | "min" | "max" | "sin" | "cos" | "arctan" | "Φ")
}

/// What a number comes to, and by which expression; by none where it was measured or is the outcome of something that no formula
/// tells: its meaning says which.
#[derive(Clone, Debug, PartialEq)]
pub struct Equation {
    /// What is reckoned.
    pub left: NamedNumber,
    /// How.
    pub right: Option<Expression>,
}

impl Equation {
    /// A number that was worked out elsewhere, with the expression that it was worked out by.
    pub fn of(left: NamedNumber, right: impl Into<Expression>) -> Self {
        Equation { left, right: Some(right.into()) }
    }

    /// A number by what its expression comes to.
    pub fn reckoned(
        symbol: impl Into<Cow<'static, str>>,
        meaning: impl Into<Cow<'static, str>>,
        unit: Unit,
        right: impl Into<Expression>,
    ) -> Self {
        let right = right.into();
        Equation::of(NamedNumber::new(symbol, meaning, right.value(), unit), right)
    }

    /// A number that no expression tells.
    pub fn measured(left: NamedNumber) -> Self {
        Equation { left, right: None }
    }

    /// What its expression comes to with the numbers in it; where there is none, the number itself.
    pub fn value(&self) -> f64 {
        self.right.as_ref().map_or(self.left.value, Expression::value)
    }

    /// "fv = 1.5 · V / A", in signs.
    pub fn in_signs(&self) -> Written {
        let right = self.right.as_ref().map(Expression::in_signs);
        Written::chain("=", [Written::sign(&self.left.symbol)].into_iter().chain(right))
    }

    /// What the left comes to, with its unit.
    pub fn figure(&self) -> Written {
        Written::Text(self.left.unit.short(self.left.value))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn named(symbol: &'static str, value: f64, unit: Unit) -> NamedNumber {
        NamedNumber::new(symbol, "", value, unit)
    }

    #[test]
    fn an_equation_is_worked_out_from_its_own_numbers() {
        let (force, area) = (named("V", 800.0, Unit::Force), named("A", 1_200.0, Unit::Area));
        let stress = Equation::reckoned("fv", "shear stress", Unit::Stress, 1.5 * &force / &area);
        assert!((stress.value() - 1.0).abs() < 1e-12);
        assert_eq!(stress.in_signs().text(), "fv = 1.5 · V / A");
        let right = stress.right.as_ref().expect("an expression");
        assert_eq!(right.in_numbers().text(), "1.5 · 800 N / 1200 mm²");
        assert_eq!(right.numbers(), [&force, &area]);
    }

    #[test]
    fn what_binds_less_stands_between_brackets() {
        let [a, b, c] =
            [("a", 2.0), ("b", -3.0), ("c", 4.0)].map(|(name, value)| named(name, value, Unit::Plain));
        let cases = [
            ((&a + &b) * &c, "(a + b) · c", "(2 + (-3)) · 4", -4.0),
            (&a - (&b - &c), "a − (b − c)", "2 − (-3 − 4)", 9.0),
            (&a / (&b * &c), "a / (b · c)", "2 / ((-3) · 4)", -1.0 / 6.0),
            ((&a / &c).to_the(2.0) * &a, "(a / c)^2 · a", "(2 / 4)^2 · 2", 0.5),
            (root(&a * &a + &c * &c), "√(a · a + c · c)", "√(2 · 2 + 4 · 4)", 20.0_f64.sqrt()),
            (least([(&a).into(), (&c).into()]), "min(a, c)", "min(2, 4)", 2.0),
            (greatest([(&a).into(), absolute(&b)]), "max(a, |b|)", "max(2, |-3|)", 3.0),
        ];
        for (expression, signs, numbers, value) in cases {
            assert_eq!(expression.in_signs().text(), signs);
            assert_eq!(expression.in_numbers().text(), numbers);
            assert!((expression.value() - value).abs() < 1e-12, "{signs}");
        }
        let length = named("d", 20.0, Unit::Length);
        assert_eq!(Expression::from(&length).to_the(2.0).in_numbers().text(), "(20 mm)^2");
    }

    #[test]
    fn functions_take_degrees() {
        let angle = named("θ", 30.0, Unit::Angle);
        assert!((function(Function::Sine, &angle).value() - 0.5).abs() < 1e-12);
        assert!((function(Function::ArcTangent, 1.0).value() - 45.0).abs() < 1e-12);
        assert!((function(Function::Normal, 1.0).value() - 0.8413).abs() < 5e-5);
        assert_eq!(function(Function::Cosine, &angle).in_signs().text(), "cos(θ)");
    }

    #[test]
    fn figures_of_a_formula_are_those_that_count() {
        let texts = [0.012_345, 1.0, 12.3456, 1_234.56, 3.2e7, 0.0, -0.5, f64::INFINITY].map(significant);
        assert_eq!(texts, ["0.01235", "1", "12.35", "1235", "32000000", "0", "-0.5", "∞"]);
    }

    #[test]
    fn a_sign_is_a_letter_with_its_index() {
        assert_eq!(Written::sign("Fb'").text(), "Fb′");
        let Written::Sign { letter, index, mark } = Written::sign("FcE1") else { panic!("a sign") };
        assert_eq!((letter.as_str(), index.as_str(), mark), ("F", "cE1", ""));
    }
}
