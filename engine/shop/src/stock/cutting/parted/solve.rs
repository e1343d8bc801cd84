//! From problem to proven plan, on the way of plain parts.

use super::super::answer::Step;
use super::super::pattern::Pattern;
use super::super::solve::{Limits, Search, Sources, exact, in_stock, tree_in_stock};
use super::super::tally::PARTS;
use super::super::work::Work;
use super::answer::{Answer, Certificate, Layout, Tallies, Worths};
use super::checker::check;
use super::pricing::Parted;
use super::rows::Yard;
use super::{Fault, Problem};
use std::collections::BTreeMap;

/// The cheapest plan, with its bound, as far as the limits reach. Every answer has passed the checker.
pub fn solve(problem: &Problem, limits: Limits) -> Result<Answer, Fault> {
    problem.validate()?;
    let yard = Yard::of(problem)?;
    let go_on = &mut |_: &_| true;
    let mut work = Work::new(limits.steps, go_on);
    let mut search = Search::new(&yard.instance);
    search.run(&mut Parted::new(&yard), limits, &mut work);
    let (layouts, missing) = layouts(&yard, &search);
    let cost = layouts.iter().map(|layout| problem.stocks[layout.stock].cost * layout.times as i64).sum();
    let (bound, proof, certificate) = match (missing.is_empty(), search.step) {
        (true, step) => (search.bound, step, certificate(problem, &yard, &search)),
        // What the stock does not suffice for has no least cost.
        (false, Step::Open) => (0, Step::Open, Certificate::Nothing),
        (false, _) => (0, Step::Shortage, Certificate::Nothing),
    };
    let (steps, stopped) = (work.steps(), work.is_over());
    let answer = Answer { layouts, cost, bound, missing, proof, certificate, steps, stopped };
    check(problem, &answer).map(|()| answer).map_err(Fault::Unsound)
}

/// Patterns as lengths cut from the stock behind their boards, and what is cut from no stock.
fn layouts(yard: &Yard, search: &Search) -> (Vec<Layout>, Vec<(usize, usize)>) {
    let mut sources = Sources::of(&yard.instance);
    let (mut layouts, mut missing) = (Vec::new(), Vec::new());
    for (pattern, times) in exact(&yard.instance, &search.best) {
        if yard.instance.boards[pattern.board].is_missing {
            let lacking = |own: &(u32, u32)| (yard.parts[own.0 as usize], (own.1 * times) as usize);
            missing.extend(pattern.counts.iter().map(lacking));
            continue;
        }
        let cuts = cuts(yard, &pattern);
        let dealt = sources.deal(pattern.board, times).into_iter();
        layouts.extend(dealt.map(|(stock, times)| Layout { stock, times, cuts: cuts.clone() }));
    }
    (layouts, missing)
}

/// The lengths that give the parts of a pattern in the least room.
fn cuts(yard: &Yard, pattern: &Pattern) -> Vec<(usize, usize)> {
    let mut cuts: BTreeMap<usize, usize> = BTreeMap::new();
    let rows = &yard.rows;
    let counts: Vec<usize> = rows.parts.iter().map(|&part| pattern.count(part) as usize).collect();
    let together = rows.number(&counts).map(|number| rows.cuts(number)).unwrap_or_default();
    together.into_iter().for_each(|cut| *cuts.entry(cut).or_default() += 1);
    for &(part, count) in &pattern.counts {
        if let Some(cut) = yard.plain[part as usize] {
            *cuts.entry(cut).or_default() += count as usize;
        }
    }
    cuts.into_iter().collect()
}

fn certificate(problem: &Problem, yard: &Yard, search: &Search) -> Certificate {
    let worths = |of: &[f64]| {
        let mut worth = vec![0; problem.demands.len()];
        yard.parts.iter().zip(of).for_each(|(&part, &own)| worth[part] = own as i64);
        Worths { worth, scale: yard.instance.scale }
    };
    match (&search.cases, &search.tallies) {
        _ if search.worths.worth.is_empty() => Certificate::Nothing,
        (Some((own, cases)), _) => {
            let cases = in_stock(&yard.instance, cases, problem.stocks.len());
            Certificate::Cases(worths(&own.worth), cases)
        }
        (None, Some(told)) => Certificate::Tallies(Tallies {
            cuts: told.cuts.iter().map(|cut| worths(&cut.worth)).collect(),
            parts: PARTS,
            below: told.below,
            tree: tree_in_stock(&yard.instance, &told.tree, problem.stocks.len()),
        }),
        (None, None) => Certificate::Worths(worths(&search.worths.worth)),
    }
}
