//! Goes over every answer again: each board is cut as its saws allow, all parts are there, and the certificate shows the
//! bound. It shares nothing with the solver but the problem and the answer, and works in whole numbers only.

mod cases;
mod worth;

use super::{Answer, Certificate, Layout, Problem, Section, Strip, Way};
use std::collections::BTreeMap;
use std::fmt;
use worth::Shown;

/// What is wrong with an answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Flaw {
    /// A layout names a board that is not there, cuts nothing, or is done no times: index of the layout.
    Layout(usize),
    /// The sections are longer than the board between the trims: index of the layout.
    TooLong(usize),
    /// The strips of a section are wider than the board, or one is narrower than may be ripped: index of the layout.
    TooWide(usize),
    /// A strip is longer than its section: index of the layout.
    StripTooLong(usize),
    /// A part that does not come from that board in that way: index of the layout.
    Part(usize),
    /// More of a board are used than there are: index of the board.
    TooMany(usize),
    /// Parts are lacking: index of the first that is alike.
    Short(usize),
    /// The cost is not what the boards used cost.
    Cost,
    /// The bound is above the cost of the plan.
    Bound,
    /// The certificate does not show the bound.
    Certificate(&'static str),
    /// Boards of a cheaper plan could hold more than is listed here: what rests on the list is not claimed.
    TooManyToList,
}

impl fmt::Display for Flaw {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Flaw::Layout(at) => write!(f, "layout {at} makes no sense"),
            Flaw::TooLong(at) => write!(f, "the sections of layout {at} are longer than its board"),
            Flaw::TooWide(at) => write!(f, "the strips of layout {at} do not suit the width of its board"),
            Flaw::StripTooLong(at) => write!(f, "a strip of layout {at} is longer than its section"),
            Flaw::Part(at) => write!(f, "a part of layout {at} does not come from its board in that way"),
            Flaw::TooMany(at) => write!(f, "more of board {at} are used than there are"),
            Flaw::Short(part) => write!(f, "parts like part {part} are lacking"),
            Flaw::Cost => write!(f, "the cost is not that of the boards"),
            Flaw::Bound => write!(f, "the bound is above the cost"),
            Flaw::Certificate(why) => write!(f, "the certificate does not show the bound: {why}"),
            Flaw::TooManyToList => write!(f, "there is too much that a board could hold"),
        }
    }
}

/// Looks for a flaw in the plan and in the proof of its bound.
pub fn check(problem: &Problem, answer: &Answer) -> Result<(), Flaw> {
    check_plan(problem, answer)?;
    if answer.missing.is_empty() && answer.bound > answer.cost {
        return Err(Flaw::Bound);
    }
    match &answer.certificate {
        Certificate::Nothing if answer.bound <= 0 => Ok(()),
        Certificate::Nothing => Err(Flaw::Certificate("there is none")),
        Certificate::Worths(worths) => {
            let shown = Shown::by(problem, worths)?;
            if shown.least_cost() >= i128::from(answer.bound) {
                Ok(())
            } else {
                Err(Flaw::Certificate("the multipliers show less"))
            }
        }
        Certificate::Cases(worths, cases) => {
            cases::check(problem, &Shown::by(problem, worths)?, cases, answer.bound)
        }
        Certificate::Tallies(tallies) => Shown::check_tallies(problem, tallies, answer.bound),
    }
}

/// Every layout can be cut, boards suffice, parts and cost add up.
fn check_plan(problem: &Problem, answer: &Answer) -> Result<(), Flaw> {
    let mut made = vec![0_i128; problem.parts.len()];
    let mut used = vec![0_usize; problem.boards.len()];
    for (at, layout) in answer.layouts.iter().enumerate() {
        check_layout(problem, at, layout)?;
        used[layout.board] = used[layout.board].saturating_add(layout.times);
        let strips = layout.sections.iter().flat_map(|section| &section.strips);
        strips
            .flat_map(|strip| &strip.cuts)
            .for_each(|cut| made[cut.part] += cut.count as i128 * layout.times as i128);
    }
    for missing in &answer.missing {
        *made.get_mut(missing.part).ok_or(Flaw::Short(missing.part))? += missing.count as i128;
    }
    check_demands(problem, &made)?;
    let short = problem
        .boards
        .iter()
        .zip(&used)
        .position(|(board, &used)| board.available.is_some_and(|own| own < used));
    if let Some(at) = short {
        return Err(Flaw::TooMany(at));
    }
    let cost: i128 =
        problem.boards.iter().zip(&used).map(|(board, &used)| i128::from(board.cost) * used as i128).sum();
    if cost == i128::from(answer.cost) { Ok(()) } else { Err(Flaw::Cost) }
}

/// What alike parts have in common: sizes, and which boards they may come from.
type Alike = (i64, i64, i64, Option<i64>, u8);

/// Alike parts count together.
fn check_demands(problem: &Problem, made: &[i128]) -> Result<(), Flaw> {
    let mut balance: BTreeMap<Alike, (usize, i128)> = BTreeMap::new();
    for (at, part) in problem.parts.iter().enumerate() {
        let own = balance
            .entry((part.length, part.width, part.narrowest_board, part.widest_board, part.flaws))
            .or_insert((at, 0));
        own.1 += made[at] - part.demand as i128;
    }
    let short = balance.values().find(|own| own.1 < 0);
    short.map_or(Ok(()), |own| Err(Flaw::Short(own.0)))
}

/// Trims, sections with a crosscut between each two, then whatever is left: the last cut may fall into it.
fn check_layout(problem: &Problem, at: usize, layout: &Layout) -> Result<(), Flaw> {
    let board = problem.boards.get(layout.board).ok_or(Flaw::Layout(at))?;
    if layout.times == 0 || layout.sections.is_empty() {
        return Err(Flaw::Layout(at));
    }
    let lengths: i128 = layout.sections.iter().map(|section| i128::from(section.length)).sum();
    let cuts = (layout.sections.len() as i128 - 1) * i128::from(problem.crosscut_kerf);
    let trims = i128::from(problem.trim[0]) + i128::from(problem.trim[1]);
    if trims + lengths + cuts > i128::from(board.length) {
        return Err(Flaw::TooLong(at));
    }
    layout.sections.iter().try_for_each(|section| check_section(problem, at, layout, section))
}

/// Strips beside each other with a rip between each two, beside the edge that is straightened first.
fn check_section(problem: &Problem, at: usize, layout: &Layout, section: &Section) -> Result<(), Flaw> {
    let board = &problem.boards[layout.board];
    let strips = section.strips.len() as i128;
    if strips == 0 || !section.ripped && strips > 1 {
        return Err(Flaw::Layout(at));
    }
    let widths: i128 = section.strips.iter().map(|strip| i128::from(strip.width)).sum();
    let taken = widths + (strips - 1) * i128::from(problem.rip_kerf) + i128::from(problem.edge_allowance);
    let is_narrow = section.strips.iter().any(|strip| strip.width < problem.narrowest_strip);
    if section.ripped && (taken > i128::from(board.width) || is_narrow) {
        return Err(Flaw::TooWide(at));
    }
    section.strips.iter().try_for_each(|strip| check_strip(problem, at, layout, section, strip))
}

/// Parts one after the other, each as wide as the strip, or as wide as the board where nothing is ripped.
fn check_strip(
    problem: &Problem,
    at: usize,
    layout: &Layout,
    section: &Section,
    strip: &Strip,
) -> Result<(), Flaw> {
    let board = &problem.boards[layout.board];
    let (mut lengths, mut parts) = (0_i128, 0_i128);
    for cut in &strip.cuts {
        let part = problem
            .parts
            .get(cut.part)
            .filter(|part| part.demand > 0 && cut.count > 0)
            .ok_or(Flaw::Part(at))?;
        let is_allowed = part.narrowest_board <= board.width
            && part.widest_board.is_none_or(|widest| board.width <= widest)
            && board.flaws <= part.flaws
            && part.width == strip.width;
        // Not ripped, nothing may be left beside it but what one cut turns to dust.
        let beside = board.width - part.width;
        let is_whole = beside == 0 || 0 < beside && beside < problem.rip_kerf;
        if !is_allowed || !section.ripped && !is_whole {
            return Err(Flaw::Part(at));
        }
        lengths += i128::from(part.length) * cut.count as i128;
        parts += cut.count as i128;
    }
    let taken = lengths + (parts - 1) * i128::from(problem.crosscut_kerf);
    if parts == 0 {
        return Err(Flaw::Layout(at));
    }
    if taken > i128::from(section.length) { Err(Flaw::StripTooLong(at)) } else { Ok(()) }
}

/// Greatest common measure of two numbers that are not negative.
fn measure(a: i64, b: i64) -> i64 {
    if b == 0 { a } else { measure(b, a % b) }
}

/// How a part comes from a board.
fn way(problem: &Problem, part: usize, board: usize) -> Option<Way> {
    problem.way(&problem.parts[part], &problem.boards[board])
}
