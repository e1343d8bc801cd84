//! Every check: how it stands, the formula with the numbers put in, what it rests on.

use super::{heading, list, words};
use crate::Judged;
use crate::judged::{rank_of, ratio_text};
use slatwork_base::formula::{Equation, NamedNumber, Written, absolute};
use slatwork_base::sentence;
use slatwork_catalog::Source;
use slatwork_checks::{Limit, MAKING, Measure, SUBJECTS, Standing, Verdict, Working, headings};
use slatwork_output::book::{Block, Chapter, Formula, ListKind};
use std::borrow::Cow;

pub(super) fn chapter(judged: &Judged) -> Chapter {
    let mut blocks = vec![
        words(format!("Judged for: {}.", judged.conditions)),
        words(
            "Utilisation U is what is asked over what there is: up to 1 it holds, and what is missing to 1 is the margin. Sources stand \
             with how far they are to be trusted: read, derived, stated and measured are firm; from memory, common practice and project \
             choice are not, and are gathered under the unverified figures.",
        ),
        words(
            "Above U stands how its figures came about: each formula in signs, with the numbers put in, and what that comes to. A sign is \
             explained where it first stands. Factors of 1 are left out; what was measured on the piece or comes from the frame or the \
             posture says so.",
        ),
    ];
    for subject in &SUBJECTS {
        blocks.push(heading(sentence(subject.name)));
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
            // What was found stands with its first formula; the others may go on to the next page.
            let others = own.split_off(own.len().min(2));
            blocks.push(Block::Together(own));
            blocks.extend(others);
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
    blocks.extend(formulas(verdict).into_iter().map(Block::Formula));
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

/// How the figure and its limit came about, equation by equation, each sign explained where it first stands; and then what is asked
/// over what there is.
fn formulas(verdict: &Verdict) -> Vec<Formula> {
    let Some(measure) = &verdict.measure else { return Vec::new() };
    let mut told: Vec<NamedNumber> = Vec::new();
    let mut formulas: Vec<Formula> = verdict
        .working
        .iter()
        .flat_map(Working::equations)
        .map(|equation| reckoned(equation, &mut told))
        .collect();
    formulas.push(utilisation(measure, verdict.working.as_ref()));
    formulas
}

/// An equation in signs and in numbers, in one line where that is short. `told` are the numbers that are explained already.
fn reckoned(equation: &Equation, told: &mut Vec<NamedNumber>) -> Formula {
    let mut numbers = vec![equation.left.clone()];
    numbers.extend(equation.right.iter().flat_map(|right| right.numbers()).cloned());
    numbers.retain(|number| !told.contains(number));
    told.extend(numbers.iter().cloned());
    let figure = equation.figure();
    let lines = match &equation.right {
        None => vec![Written::chain("=", [equation.in_signs(), figure])],
        Some(right) if right.in_signs().size() <= SHORT => {
            vec![Written::chain("=", [equation.in_signs(), right.in_numbers(), figure])]
        }
        Some(right) => {
            let numbers = Written::chain("=", [right.in_numbers(), figure]);
            vec![equation.in_signs(), Written::Row(vec![Written::Operator("="), numbers])]
        }
    };
    Formula { lines, numbers }
}

/// So many signs and numbers of a formula stand in one line with the numbers put in.
const SHORT: usize = 5;

/// What is asked over what there is, in signs and in numbers.
fn utilisation(measure: &Measure, working: Option<&Working>) -> Formula {
    let named = |symbol: &Cow<'static, str>, meaning: &str, value: f64| {
        NamedNumber::new(symbol.clone(), meaning.to_string(), value, measure.unit)
    };
    let own = |equation: Option<&Equation>, usual: &'static str| {
        equation.map_or(Cow::Borrowed(usual), |equation| equation.left.symbol.clone())
    };
    let found = named(&own(working.map(|own| &own.figure), "x"), &measure.quantity, measure.found);
    let limit = own(working.and_then(|own| own.limit.as_ref()), "L");
    let limit = |meaning, value| named(&limit, meaning, value);
    let (ratio, numbers) = match measure.limit {
        Limit::AtMost(most) => {
            let limit = limit("at most", most);
            (&found / &limit, vec![found, limit])
        }
        Limit::AtLeast(least) => {
            let limit = limit("at least", least);
            (&limit / &found, vec![found, limit])
        }
        Limit::Within(low, high) => {
            let middle = named(&Cow::Borrowed("m"), "middle of its range", f64::midpoint(low, high));
            let half = named(&Cow::Borrowed("r"), "half of its range", (high - low) / 2.0);
            (absolute(&found - &middle) / &half, vec![found, middle, half])
        }
    };
    let told =
        if measure.ratio().is_finite() { format!("{:.2}", measure.ratio()) } else { String::from("∞") };
    let sides = [Written::sign("U"), ratio.in_signs(), ratio.in_numbers(), Written::Text(told)];
    let holds = Written::Operator(if measure.holds() { "≤" } else { ">" });
    let line = Written::Row(vec![Written::chain("=", sides), holds, Written::Text(String::from("1"))]);
    // What the working explains already is not told twice.
    let is_told = |number: &NamedNumber| {
        working.is_some_and(|own| {
            let last = [Some(&own.figure), own.limit.as_ref()];
            last.into_iter().flatten().any(|equation| equation.left.symbol == number.symbol)
        })
    };
    Formula { lines: vec![line], numbers: numbers.into_iter().filter(|number| !is_told(number)).collect() }
}
