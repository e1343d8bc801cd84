//! Goes over every answer again: each layout fits and all parts are there, and the certificate shows the bound. It shares
//! nothing with the solver but the problem and the answer, and works in whole numbers only.
//!
//! The most that a pattern can be worth is worked out by listing, part by part, the fillings that no other beats in both
//! size and worth (Nemhauser and Ullmann 1969, from memory): another method than the solver's tables, and exact at any size.

pub(super) mod cases;
mod remainders;
pub(super) mod tallies;

use super::{Answer, Certificate, Duals, Layout, Problem, Tallies};
use cases::Kind;
use std::collections::BTreeMap;
use std::fmt;
use tallies::{Cut, Tally};

/// What is wrong with an answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Flaw {
    /// A layout names stock that is not there, cuts nothing, or is done no times: index of the layout.
    Layout(usize),
    /// A layout is longer than its stock between the trims: index of the layout.
    TooLong(usize),
    /// More pieces of a stock are used than there are: index of the stock.
    TooMany(usize),
    /// The demand of a length is not met.
    Short(i64),
    /// A layout cuts a length that nobody wants.
    Unwanted(i64),
    /// The cost is not what the stock used costs.
    Cost,
    /// The bound is above the cost of the plan.
    Bound,
    /// The certificate does not show the bound.
    Certificate(&'static str),
}

impl fmt::Display for Flaw {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Flaw::Layout(at) => write!(f, "layout {at} makes no sense"),
            Flaw::TooLong(at) => write!(f, "layout {at} is longer than its stock"),
            Flaw::TooMany(at) => write!(f, "more pieces of stock {at} are used than there are"),
            Flaw::Short(length) => write!(f, "parts of length {length} are lacking"),
            Flaw::Unwanted(length) => write!(f, "nobody wants parts of length {length}"),
            Flaw::Cost => write!(f, "the cost is not that of the stock"),
            Flaw::Bound => write!(f, "the bound is above the cost"),
            Flaw::Certificate(why) => write!(f, "the certificate does not show the bound: {why}"),
        }
    }
}

/// Looks for a flaw in the plan and in the proof of its bound.
pub fn check(problem: &Problem, answer: &Answer) -> Result<(), Flaw> {
    check_layouts(problem, answer)?;
    if answer.missing.is_empty() && answer.bound > answer.cost {
        return Err(Flaw::Bound);
    }
    check_bound(problem, answer)
}

/// Every layout fits, stock suffices, parts and cost add up.
fn check_layouts(problem: &Problem, answer: &Answer) -> Result<(), Flaw> {
    let mut balance: BTreeMap<i64, i128> = BTreeMap::new();
    for part in &problem.parts {
        *balance.entry(part.length).or_default() -= part.demand as i128;
    }
    let mut used = vec![0_usize; problem.stocks.len()];
    for (at, layout) in answer.layouts.iter().enumerate() {
        check_fit(problem, at, layout)?;
        used[layout.stock] = used[layout.stock].saturating_add(layout.times);
        for cut in &layout.cuts {
            let made = balance.get_mut(&cut.length).ok_or(Flaw::Unwanted(cut.length))?;
            *made += cut.count as i128 * layout.times as i128;
        }
    }
    for missing in &answer.missing {
        *balance.get_mut(&missing.length).ok_or(Flaw::Unwanted(missing.length))? += missing.count as i128;
    }
    if let Some((&length, _)) = balance.iter().find(|(_, balance)| **balance < 0) {
        return Err(Flaw::Short(length));
    }
    let short = problem
        .stocks
        .iter()
        .zip(&used)
        .position(|(stock, &used)| stock.available.is_some_and(|own| own < used));
    if let Some(at) = short {
        return Err(Flaw::TooMany(at));
    }
    let cost: i128 =
        problem.stocks.iter().zip(&used).map(|(stock, &used)| i128::from(stock.cost) * used as i128).sum();
    if cost == i128::from(answer.cost) { Ok(()) } else { Err(Flaw::Cost) }
}

/// Front trim, parts with a kerf between each two, then at most the back trim: the last cut may fall into the remainder.
fn check_fit(problem: &Problem, at: usize, layout: &Layout) -> Result<(), Flaw> {
    let stock = problem.stocks.get(layout.stock).ok_or(Flaw::Layout(at))?;
    let parts: i128 = layout.cuts.iter().map(|cut| cut.count as i128).sum();
    let lengths: i128 = layout.cuts.iter().map(|cut| i128::from(cut.length) * cut.count as i128).sum();
    if parts == 0 || layout.times == 0 {
        return Err(Flaw::Layout(at));
    }
    let trims = i128::from(problem.trim[0]) + i128::from(problem.trim[1]);
    let taken = trims + lengths + (parts - 1) * i128::from(problem.kerf);
    if taken <= i128::from(stock.length) { Ok(()) } else { Err(Flaw::TooLong(at)) }
}

fn check_bound(problem: &Problem, answer: &Answer) -> Result<(), Flaw> {
    if answer.bound <= 0 {
        // No cost is negative.
        return Ok(());
    }
    match &answer.certificate {
        Certificate::Nothing => Err(Flaw::Certificate("there is none")),
        Certificate::Duals(duals) => {
            let suffices = |shown: i128| {
                let scale = i128::from(duals.scale);
                let whole = (shown + scale - 1).div_euclid(scale);
                cases::at_least(problem, whole) >= i128::from(answer.bound)
            };
            let by_size = shown_by(problem, duals, &by_size(problem, duals));
            if by_size.is_ok_and(&suffices)
                || suffices(shown_by(problem, duals, &by_filling(problem, duals))?)
            {
                Ok(())
            } else {
                Err(Flaw::Certificate("the multipliers show less"))
            }
        }
        Certificate::Cases(duals, cases) => {
            let shown = shown_by(problem, duals, &by_filling(problem, duals))?;
            cases::check(problem, duals, shown, cases, answer.bound)
        }
        Certificate::Tallies(tallies) => check_tallies(problem, tallies, answer.bound),
    }
}

fn check_tallies(problem: &Problem, own: &Tallies, bound: i64) -> Result<(), Flaw> {
    if cases::at_least(problem, i128::from(own.below) + 1) < i128::from(bound) {
        return Err(Flaw::Certificate("the cases are closed for cheaper plans only"));
    }
    let scale = own.cuts.first().map_or(0, |cut| cut.scale);
    if own.cuts.iter().any(|cut| cut.scale != scale) {
        return Err(Flaw::Certificate("cuts of several scales"));
    }
    let kinds = cases::kinds(problem, cases::unit(problem));
    let cuts =
        own.cuts.iter().map(|duals| cut(problem, &kinds, duals)).collect::<Result<Vec<Cut>, Flaw>>()?;
    let wanted = i64::try_from(problem.part_count()).unwrap_or(i64::MAX);
    let tally = Tally { kinds: &kinds, cuts: &cuts, scale, parts: own.parts, below: own.below, wanted };
    tally.check(&own.tree)
}

/// What multipliers say about numbers of boards. What they claim that a board holds is taken where it is not too little; the
/// whole room at the highest worth for its size, which is quickly reckoned, often shows that.
fn cut(problem: &Problem, kinds: &[Kind], duals: &Duals) -> Result<Cut, Flaw> {
    if duals.worth.iter().any(|worth| worth.1 < 0) {
        return Err(Flaw::Certificate("multipliers are negative"));
    }
    let items = items(problem, duals);
    let asked: i128 = items.iter().map(|&(_, worth, demand)| i128::from(worth) * demand as i128).sum();
    if asked > i128::from(i64::MAX) {
        // No filling passes that, so none is counted wrongly.
        return Err(Flaw::Certificate("multipliers that cannot be counted with"));
    }
    let by_size = by_size(problem, duals);
    let claimed = |kind: &Kind| duals.best.get(kind.stock).copied().flatten().map_or(-1, i128::from);
    let room = |kind: &Kind| problem.room(&problem.stocks[kind.stock]);
    let held = if kinds.iter().all(|kind| by_size(room(kind)) <= claimed(kind)) {
        kinds.iter().map(claimed).collect()
    } else {
        let by_filling = by_filling(problem, duals);
        kinds.iter().map(|kind| by_filling(room(kind))).collect()
    };
    Ok(Cut { held, asked })
}

/// The bound of multipliers, in `scale`ths; `most` says what no pattern in a room is worth more than.
fn shown_by(problem: &Problem, duals: &Duals, most: &dyn Fn(i64) -> i128) -> Result<i128, Flaw> {
    let flaw = |why| Err(Flaw::Certificate(why));
    if duals.scale <= 0 || duals.worth.iter().any(|worth| worth.1 < 0) {
        return flaw("scale or multipliers are negative");
    }
    let items = items(problem, duals);
    let mut shown: i128 = items.iter().map(|&(_, worth, demand)| i128::from(worth) * demand as i128).sum();
    if shown > i128::from(i64::MAX) {
        // No filling passes that, so none is counted wrongly.
        return flaw("multipliers that cannot be counted with");
    }
    for stock in &problem.stocks {
        let gain = most(problem.room(stock)) - i128::from(stock.cost) * i128::from(duals.scale);
        match stock.available {
            None if gain > 0 => return flaw("a pattern is worth more than its stock costs"),
            None => {}
            // No plan needs more boards than it has parts.
            Some(available) => shown -= gain.max(0) * available.min(problem.part_count()) as i128,
        }
    }
    Ok(shown)
}

/// Size with its kerf, worth and demand of each length of part.
fn items(problem: &Problem, duals: &Duals) -> Vec<(i64, i64, usize)> {
    let worth: BTreeMap<i64, i64> = duals.worth.iter().copied().collect();
    let mut demands: BTreeMap<i64, usize> = BTreeMap::new();
    for part in &problem.parts {
        *demands.entry(part.length).or_default() += part.demand;
    }
    let of = |length: i64| worth.get(&length).copied().unwrap_or(0);
    demands.into_iter().map(|(length, demand)| (length + problem.kerf, of(length), demand)).collect()
}

/// The most that a pattern can be worth, exactly.
fn by_filling(problem: &Problem, duals: &Duals) -> impl Fn(i64) -> i128 {
    let longest = problem.stocks.iter().map(|stock| problem.room(stock)).max().unwrap_or(0);
    let frontier = Frontier::of(&items(problem, duals), longest);
    move |room| i128::from(frontier.best(room))
}

/// No less than that: the whole room at the highest worth for its size. Worths in proportion to sizes have as many fillings
/// as sums of sizes, too many to list, and this is enough for them.
fn by_size(problem: &Problem, duals: &Duals) -> impl Fn(i64) -> i128 {
    let unit = cases::unit(problem);
    let wanted = items(problem, duals).into_iter().filter(|item| item.2 > 0);
    let each = |(size, worth, _): (i64, i64, usize)| (i128::from(worth), i128::from(size / unit));
    let (worth, size) = wanted.map(each).max_by(|a, b| (a.0 * b.1).cmp(&(b.0 * a.1))).unwrap_or((0, 1));
    move |room| (i128::from(room.div_euclid(unit).max(0)) * worth).div_euclid(size)
}

/// Fillings of which none beats another: larger and worth more.
pub(super) struct Frontier {
    fillings: Vec<(i64, i64)>,
}

impl Frontier {
    /// Of parts (size, worth, how many) in rooms up to `room`.
    pub(super) fn of(items: &[(i64, i64, usize)], room: i64) -> Frontier {
        let empty = Frontier { fillings: vec![(0, 0)] };
        items.iter().fold(empty, |frontier, &item| frontier.with_items(item, room))
    }

    /// With parts of one more size.
    pub(super) fn with_items(&self, (size, worth, most): (i64, i64, usize), room: i64) -> Frontier {
        let mut fillings = self.fillings.clone();
        let mut left =
            if worth > 0 && size <= room { most.min(usize::try_from(room / size).unwrap_or(0)) } else { 0 };
        let mut portion = 1;
        while left > 0 {
            let now = portion.min(left);
            fillings = with(&fillings, size * now as i64, worth * now as i64, room);
            left -= now;
            portion *= 2;
        }
        Frontier { fillings }
    }

    /// Most worth in a room.
    pub(super) fn best(&self, room: i64) -> i64 {
        let fitting = self.fillings.partition_point(|filling| filling.0 <= room);
        fitting.checked_sub(1).map_or(0, |at| self.fillings[at].1)
    }
}

/// Merges the fillings with themselves, each with a portion more.
fn with(fillings: &[(i64, i64)], size: i64, worth: i64, room: i64) -> Vec<(i64, i64)> {
    let mut merged: Vec<(i64, i64)> = Vec::with_capacity(2 * fillings.len());
    let mut push = |filling: (i64, i64)| {
        if merged.last().is_none_or(|last| filling.1 > last.1) {
            match merged.last_mut() {
                Some(last) if last.0 == filling.0 => *last = filling,
                _ => merged.push(filling),
            }
        }
    };
    let mut plain = fillings.iter().copied().peekable();
    for &(own_size, own_worth) in fillings.iter().take_while(|own| own.0 <= room - size) {
        let more = (own_size + size, own_worth + worth);
        while let Some(next) = plain.next_if(|next| next.0 <= more.0) {
            push(next);
        }
        push(more);
    }
    plain.for_each(push);
    merged
}
