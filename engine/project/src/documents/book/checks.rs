//! Every check: how it stands, the formula with the numbers put in, what it rests on.

use super::{capital, heading, list, words};
use crate::Judged;
use crate::judged::{figure_text, rank_of, ratio_text};
use slatwork_catalog::Source;
use slatwork_checks::{Limit, MAKING, Measure, SUBJECTS, Standing, Verdict, headings};
use slatwork_output::book::{Block, Chapter, Expression, Formula, ListKind, NamedNumber, Sign};

pub(super) fn chapter(judged: &Judged) -> Chapter {
    let mut blocks = vec![
        words(format!("Judged for: {}.", judged.conditions)),
        words(
            "Utilisation U is what is asked over what there is: up to 1 it holds, and what is missing to 1 is the margin. Sources stand \
             with how far they are to be trusted: read, derived, stated and measured are firm; from memory, common practice and project \
             choice are not, and are gathered under the unverified figures.",
        ),
    ];
    for subject in &SUBJECTS {
        blocks.push(heading(capital(subject.name)));
        let of_subject = |own: &&Verdict| subject_of(own) == subject.name;
        let mut told = "";
        for verdict in judged.verdicts.iter().filter(of_subject) {
            if matches!(verdict.standing, Standing::DoesNotApply(_)) {
                continue;
            }
            let mut own = of_verdict(verdict);
            if verdict.check != told {
                told = verdict.check;
                own.extend(method(verdict.check));
            }
            blocks.push(Block::Together(own));
        }
        let idle = judged.verdicts.iter().filter(of_subject).filter_map(idle_words);
        let idle: Vec<String> = idle.collect();
        if !idle.is_empty() {
            blocks.push(words(format!("Does not apply: {}.", idle.join("; "))));
        }
    }
    super::chapter("checks", "Every check", blocks)
}

/// What making the piece found has codes of its own.
fn subject_of(verdict: &Verdict) -> &'static str {
    let has =
        |subject: &&slatwork_checks::Subject| subject.checks.iter().any(|check| check.fault == verdict.check);
    SUBJECTS.iter().find(has).map_or(MAKING, |subject| subject.name)
}

fn idle_words(verdict: &Verdict) -> Option<String> {
    match &verdict.standing {
        Standing::DoesNotApply(why) => Some(format!("{} ({why})", verdict.check)),
        _ => None,
    }
}

fn of_verdict(verdict: &Verdict) -> Vec<Block> {
    let ratio = verdict
        .ratio()
        .map_or(String::new(), |ratio| format!(", U = {} ({})", ratio_text(verdict), margin(ratio)));
    let standing = match rank_of(verdict) {
        0 => String::from("FAILS"),
        1 => String::from("warns"),
        _ => verdict.standing.word().to_string(),
    };
    let mut blocks = vec![words(format!("`{}` {standing}{ratio}: {}.", verdict.check, verdict.told))];
    blocks.extend(verdict.measure.as_ref().map(|measure| Block::Formula(formula(measure))));
    let case = (!verdict.governing.is_empty()).then(|| format!("Case: {}", verdict.governing));
    let joined =
        |word: &str, all: Vec<String>| (!all.is_empty()).then(|| format!("{word}: {}", all.join("; ")));
    let assumed = joined("Assumed", verdict.assumptions.clone());
    let source = |own: &Source| format!("{} ({})", own.text, own.status.word());
    let after = joined("After", verdict.sources.iter().map(source).collect());
    let misses = matches!(verdict.standing, Standing::Misses(_) | Standing::NotJudged(_));
    let help =
        (misses && !verdict.remedy.text.is_empty()).then(|| format!("What helps: {}", verdict.remedy.text));
    let all: Vec<String> = case.into_iter().chain(assumed).chain(after).chain(help).collect();
    if !all.is_empty() {
        blocks.push(list(ListKind::Plain, all));
    }
    blocks
}

/// What is missing to 1, or over it.
fn margin(ratio: f64) -> String {
    match ratio {
        ratio if ratio <= 1.0 => format!("margin {:.0} %", 100.0 * (1.0 - ratio)),
        ratio if ratio.is_finite() => format!("{:.0} % over", 100.0 * (ratio - 1.0)),
        _ => String::from("over by any measure"),
    }
}

/// How a check goes about it, in its own words.
fn method(check: &str) -> Option<Block> {
    headings(check).map(|own| words(format!("Method: {}", own.method)))
}

/// What is asked over what there is, in names and in numbers.
fn formula(measure: &Measure) -> Formula {
    let figure = |value: f64| figure_text(measure.unit, value);
    let (top, bottom) = terms(measure);
    let over = |top, bottom| Expression::Over(Box::new(top), Box::new(bottom));
    let ratio = measure.ratio();
    let told = if ratio.is_finite() { format!("{ratio:.2}") } else { String::from("∞") };
    let holds = if measure.holds() { Sign::AtMost } else { Sign::MoreThan };
    let links = vec![
        (Sign::None, Expression::Name("U")),
        (Sign::Equals, over(top, bottom)),
        (
            Sign::Equals,
            over(
                Expression::Number(figure(measure.demand())),
                Expression::Number(figure(measure.capacity())),
            ),
        ),
        (Sign::Equals, Expression::Number(told)),
        (holds, Expression::Number(String::from("1"))),
    ];
    Formula { expression: Expression::Chain(links), numbers: numbers(measure, figure) }
}

fn terms(measure: &Measure) -> (Expression, Expression) {
    match measure.limit {
        Limit::AtMost(_) => (Expression::Name("x"), Expression::Name("L")),
        Limit::AtLeast(_) => (Expression::Name("L"), Expression::Name("x")),
        Limit::Within(..) => (
            Expression::Apart(Box::new(Expression::Name("x")), Box::new(Expression::Name("m"))),
            Expression::Name("h"),
        ),
    }
}

fn numbers(measure: &Measure, figure: impl Fn(f64) -> String) -> Vec<NamedNumber> {
    let number = |name, meaning: &str, value: f64| NamedNumber {
        name,
        meaning: meaning.to_string(),
        value: figure(value),
    };
    let found = number("x", &measure.quantity, measure.found);
    match measure.limit {
        Limit::AtMost(most) => vec![found, number("L", "at most", most)],
        Limit::AtLeast(least) => vec![found, number("L", "at least", least)],
        Limit::Within(low, high) => vec![
            found,
            number("m", "middle of its range", f64::midpoint(low, high)),
            number("h", "half of its range", (high - low) / 2.0),
        ],
    }
}
