//! Goes over every answer again: lengths fit their stock, all parts are there, and the certificate shows the bound. It shares
//! nothing with the solver but the problem, the answer and the walk through cases, and works in whole numbers only.
//!
//! The least room of parts that come together is found here by adding length to length, shortest first, until no number of parts
//! is new, where the solver takes lengths away.

use super::super::checker::Frontier;
use super::super::checker::cases::{Kind, Pattern, Sizes, kinds, sum_at_least, walk};
use super::super::checker::tallies::{Cut, Tally};
use super::super::{Cases, Part};
use super::{Answer, Certificate, Layout, Problem, Tallies, Worths};
use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

/// What is wrong with an answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Flaw {
    /// A layout names stock or a length that is not there, cuts nothing, or is done no times: index of the layout.
    Layout(usize),
    /// A layout is longer than its stock between the trims: index of the layout.
    TooLong(usize),
    /// More pieces of a stock are used than there are: index of the stock.
    TooMany(usize),
    /// Parts are lacking: index of the part.
    Short(usize),
    /// The cost is not what the stock used costs.
    Cost,
    /// The bound is above the cost of the plan.
    Bound,
    /// The certificate does not show the bound.
    Certificate(&'static str),
    /// A flaw in the cases.
    Cases(super::super::Flaw),
}

impl fmt::Display for Flaw {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Flaw::Layout(at) => write!(f, "layout {at} makes no sense"),
            Flaw::TooLong(at) => write!(f, "layout {at} is longer than its stock"),
            Flaw::TooMany(at) => write!(f, "more pieces of stock {at} are used than there are"),
            Flaw::Short(part) => write!(f, "parts {part} are lacking"),
            Flaw::Cost => write!(f, "the cost is not that of the stock"),
            Flaw::Bound => write!(f, "the bound is above the cost"),
            Flaw::Certificate(why) => write!(f, "the certificate does not show the bound: {why}"),
            Flaw::Cases(flaw) => flaw.fmt(f),
        }
    }
}

/// Looks for a flaw in the plan and in the proof of its bound.
pub fn check(problem: &Problem, answer: &Answer) -> Result<(), Flaw> {
    check_layouts(problem, answer)?;
    if answer.missing.is_empty() && answer.bound > answer.cost {
        return Err(Flaw::Bound);
    }
    if answer.bound <= 0 {
        // No cost is negative.
        return Ok(());
    }
    match &answer.certificate {
        Certificate::Nothing => Err(Flaw::Certificate("there is none")),
        Certificate::Worths(worths) => {
            let list = List::of(problem, worths)?;
            let scale = i128::from(worths.scale);
            let whole = (list.shown()? + scale - 1).div_euclid(scale);
            if sum_at_least(&list.kinds, whole) >= i128::from(answer.bound) {
                Ok(())
            } else {
                Err(Flaw::Certificate("the multipliers show less"))
            }
        }
        Certificate::Cases(worths, cases) => {
            List::of(problem, worths)?.check_cases(cases, i128::from(answer.bound))
        }
        Certificate::Tallies(tallies) => check_tallies(problem, tallies, answer.bound),
    }
}

fn check_tallies(problem: &Problem, own: &Tallies, bound: i64) -> Result<(), Flaw> {
    let lists = own.cuts.iter().map(|cut| List::of(problem, cut)).collect::<Result<Vec<List>, Flaw>>()?;
    let Some(first) = lists.first() else { return Err(Flaw::Certificate("there are no cuts")) };
    if sum_at_least(&first.kinds, i128::from(own.below) + 1) < i128::from(bound) {
        return Err(Flaw::Certificate("the cases are closed for cheaper plans only"));
    }
    let scale = first.worths.scale;
    if lists.iter().any(|list| list.worths.scale != scale) {
        return Err(Flaw::Certificate("cuts of several scales"));
    }
    let cuts: Vec<Cut> = lists.iter().map(|list| Cut { held: list.best(), asked: list.asked() }).collect();
    let (kinds, wanted) = (&first.kinds, first.demands.iter().sum());
    let tally = Tally { kinds, cuts: &cuts, scale, parts: own.parts, below: own.below, wanted };
    tally.check(&own.tree).map_err(Flaw::Cases)
}

/// Every layout fits, stock suffices, parts and cost add up.
fn check_layouts(problem: &Problem, answer: &Answer) -> Result<(), Flaw> {
    let mut balance: Vec<i128> = problem.demands.iter().map(|&demand| -(demand as i128)).collect();
    let mut used = vec![0_usize; problem.stocks.len()];
    for (at, layout) in answer.layouts.iter().enumerate() {
        check_fit(problem, at, layout)?;
        used[layout.stock] = used[layout.stock].saturating_add(layout.times);
        for &(cut, count) in &layout.cuts {
            for &(part, each) in &problem.cuts[cut].parts {
                balance[part] += each as i128 * count as i128 * layout.times as i128;
            }
        }
    }
    for &(part, count) in &answer.missing {
        *balance.get_mut(part).ok_or(Flaw::Short(part))? += count as i128;
    }
    if let Some(part) = balance.iter().position(|&own| own < 0) {
        return Err(Flaw::Short(part));
    }
    let stocks = problem.stocks.iter().zip(&used);
    let is_over = |(stock, used): (&super::Stock, &usize)| stock.available.is_some_and(|own| own < *used);
    if let Some(at) = stocks.clone().position(is_over) {
        return Err(Flaw::TooMany(at));
    }
    let cost: i128 = stocks.map(|(stock, &used)| i128::from(stock.cost) * used as i128).sum();
    if cost == i128::from(answer.cost) { Ok(()) } else { Err(Flaw::Cost) }
}

/// Front trim, lengths with a kerf between each two, then at most the back trim: the last cut may fall into the remainder.
fn check_fit(problem: &Problem, at: usize, layout: &Layout) -> Result<(), Flaw> {
    let stock = problem.stocks.get(layout.stock).ok_or(Flaw::Layout(at))?;
    let (mut lengths, mut count) = (0_i128, 0_i128);
    for &(cut, times) in &layout.cuts {
        let own = problem.cuts.get(cut).filter(|_| times > 0).ok_or(Flaw::Layout(at))?;
        lengths += i128::from(own.length) * times as i128;
        count += times as i128;
    }
    if count == 0 || layout.times == 0 {
        return Err(Flaw::Layout(at));
    }
    let trims = i128::from(problem.trim[0]) + i128::from(problem.trim[1]);
    let taken = trims + lengths + (count - 1) * i128::from(problem.kerf);
    if taken <= i128::from(stock.length) { Ok(()) } else { Err(Flaw::TooLong(at)) }
}

/// All that boards can hold, by other means than the solver's.
struct List<'a> {
    worths: &'a Worths,
    /// The parts that are wanted, by their places in the problem.
    parts: Vec<usize>,
    demands: Vec<i64>,
    kinds: Vec<Kind>,
    /// By place among the parts that are wanted: size of those that come by themselves only.
    plain: Vec<Option<i64>>,
    /// Least room by numbers of the others, none of them that others beat in number and room.
    together: BTreeMap<Vec<i64>, i64>,
}

impl<'a> List<'a> {
    fn of(problem: &Problem, worths: &'a Worths) -> Result<List<'a>, Flaw> {
        if worths.scale <= 0
            || worths.worth.len() != problem.demands.len()
            || worths.worth.iter().any(|&own| own < 0)
        {
            return Err(Flaw::Certificate("scale or multipliers make no sense"));
        }
        let parts: Vec<usize> =
            (0..problem.demands.len()).filter(|&part| problem.demands[part] > 0).collect();
        let demands: Vec<i64> = parts.iter().map(|&part| problem.demands[part] as i64).collect();
        let room = |stock: &super::Stock| stock.length - problem.trim[0] - problem.trim[1];
        let longest = problem.stocks.iter().map(room).max().unwrap_or(0);
        let is_useful = |cut: &&super::Cut| {
            cut.length <= longest && cut.parts.iter().any(|own| problem.demands[own.0] > 0)
        };
        let cuts: Vec<&super::Cut> = problem.cuts.iter().filter(is_useful).collect();
        let unit = cuts.iter().fold(0, |unit, cut| measure(unit, cut.length + problem.kerf)).max(1);
        let size = |cut: &super::Cut| (cut.length + problem.kerf) / unit;
        let shortest = cuts.iter().map(|cut| cut.length).min().unwrap_or(1);
        let all = problem.demands.iter().sum();
        let kinds = kinds(&problem.plain(vec![Part { length: shortest, demand: all }]), unit);
        let plain = parts.iter().map(|&part| {
            let own = || cuts.iter().filter(move |cut| cut.parts.iter().any(|own| own.0 == part));
            let alone = own().all(|cut| cut.parts == [(part, 1)]);
            own().map(|cut| size(cut)).min().filter(|_| alone)
        });
        let plain: Vec<Option<i64>> = plain.collect();
        let given = |cut: &&super::Cut| -> (i64, Vec<i64>) {
            let of = |part: usize| cut.parts.iter().filter(|own| own.0 == part).map(|own| own.1 as i64).sum();
            let together = parts.iter().zip(&plain).filter(|own| own.1.is_none());
            (size(cut), together.map(|own| of(*own.0)).collect())
        };
        let given: Vec<(i64, Vec<i64>)> =
            cuts.iter().map(given).filter(|own| own.1.iter().any(|&n| n > 0)).collect();
        let most: Vec<i64> =
            demands.iter().zip(&plain).filter(|own| own.1.is_none()).map(|own| *own.0).collect();
        let room = kinds.iter().map(|kind| kind.room).max().unwrap_or(0);
        let together = least_rooms(&given, &most, room);
        Ok(List { worths, parts, demands, kinds, plain, together })
    }

    fn worth(&self, at: usize) -> i64 {
        self.worths.worth[self.parts[at]]
    }

    /// Places of the parts that come together.
    fn others(&self) -> impl Iterator<Item = usize> + '_ {
        (0..self.parts.len()).filter(|&at| self.plain[at].is_none())
    }

    fn worth_of(&self, numbers: &[i64]) -> i64 {
        self.others().zip(numbers).map(|(at, number)| self.worth(at) * number).sum()
    }

    /// Size, worth and number of each plain part.
    fn plain(&self) -> Vec<(i64, i64, usize)> {
        let own = |at: usize| Some((self.plain[at]?, self.worth(at), self.demands[at] as usize));
        (0..self.parts.len()).filter_map(own).collect()
    }

    /// The most that each kind of stock can hold.
    fn best(&self) -> Vec<i128> {
        let longest = self.kinds.iter().map(|kind| kind.room).max().unwrap_or(0);
        let frontier = Frontier::of(&self.plain(), longest);
        let best = |kind: &Kind| {
            let fitting = self.together.iter().filter(|own| *own.1 <= kind.room);
            let worth = |(numbers, size): (&Vec<i64>, &i64)| {
                i128::from(self.worth_of(numbers)) + i128::from(frontier.best(kind.room - size))
            };
            fitting.map(worth).max().unwrap_or(0)
        };
        self.kinds.iter().map(best).collect()
    }

    /// What all parts are worth.
    fn asked(&self) -> i128 {
        (0..self.parts.len()).map(|at| i128::from(self.worth(at)) * i128::from(self.demands[at])).sum()
    }

    /// The bound of the multipliers, in `scale`ths.
    fn shown(&self) -> Result<i128, Flaw> {
        let mut shown = self.asked();
        for (kind, best) in self.kinds.iter().zip(self.best()) {
            let gain = best - i128::from(kind.cost) * i128::from(self.worths.scale);
            match kind.available {
                None if gain > 0 => {
                    return Err(Flaw::Certificate("a pattern is worth more than its stock costs"));
                }
                None => {}
                Some(available) => shown -= gain.max(0) * i128::from(available),
            }
        }
        Ok(shown)
    }

    fn check_cases(&self, cases: &Cases, bound: i128) -> Result<(), Flaw> {
        if sum_at_least(&self.kinds, i128::from(cases.below) + 1) < bound {
            return Err(Flaw::Certificate("the cases are closed for cheaper plans only"));
        }
        let lacking = i128::from(cases.below) * i128::from(self.worths.scale) - self.shown()?;
        let sizes = Sizes {
            // Only how many there are counts in the walk.
            sizes: vec![1; self.parts.len()],
            demands: self.demands.clone(),
            worth: (0..self.parts.len()).map(|at| self.worth(at)).collect(),
            kinds: self.kinds.clone(),
            scale: self.worths.scale,
        };
        walk(&sizes, &self.patterns(lacking), cases).map_err(Flaw::Cases)
    }

    /// All patterns to which no part can be added, that waste no more than `lacking`, and that no cheaper stock without limit
    /// holds as well.
    fn patterns(&self, lacking: i128) -> Vec<Pattern> {
        let plain: Vec<usize> = (0..self.parts.len()).filter(|&at| self.plain[at].is_some()).collect();
        let others: Vec<usize> = self.others().collect();
        let room = self.kinds.iter().map(|kind| kind.room).max().unwrap_or(0);
        let mut suffixes = vec![Frontier::of(&[], room)];
        for &item in self.plain().iter().rev() {
            let next = suffixes.last().map(|last| last.with_items(item, room));
            suffixes.extend(next);
        }
        suffixes.reverse();
        let mut found = Vec::new();
        let for_more = self.together.iter().map(|(numbers, &size)| self.room_for_more(numbers, size));
        let rows: Vec<((&Vec<i64>, &i64), i64)> =
            self.together.iter().zip(for_more).filter(|own| own.1 > 0).collect();
        for ((at, kind), best) in self.kinds.iter().enumerate().zip(self.best()) {
            let cost = i128::from(kind.cost) * i128::from(self.worths.scale);
            let allowed = if kind.available.is_some() { cost.max(best) } else { cost };
            for &((numbers, size), for_more) in rows.iter().filter(|own| *own.0.1 <= kind.room) {
                let held = others.iter().copied().zip(numbers).filter(|own| *own.1 > 0);
                let least = allowed - lacking - i128::from(self.worth_of(numbers));
                let taken = held.map(|(at, &number)| (at, number as u32)).collect();
                let (list, plain, suffixes, found) = (self, &plain, &suffixes, &mut found);
                Listing { list, plain, suffixes, kind: at, least, for_more, taken, found }.descend(
                    0,
                    kind.room - size,
                    0,
                );
            }
        }
        found
    }

    /// Least room that one part more of those that come together takes.
    fn room_for_more(&self, numbers: &[i64], size: i64) -> i64 {
        let is_more = |own: &&Vec<i64>| {
            own.iter().zip(numbers).all(|(own, now)| own >= now) && own.as_slice() != numbers
        };
        self.together.keys().filter(is_more).map(|own| self.together[own] - size).min().unwrap_or(i64::MAX)
    }

    fn fits_cheaper(&self, kind: usize, size: i64) -> bool {
        let cheaper = |other: &Kind| {
            other.available.is_none() && other.room >= size && other.cost < self.kinds[kind].cost
        };
        self.kinds.iter().any(cheaper)
    }
}

/// Least room of every number of parts that lengths add up to, up to so many of each, shortest first.
fn least_rooms(given: &[(i64, Vec<i64>)], most: &[i64], room: i64) -> BTreeMap<Vec<i64>, i64> {
    let mut known: BTreeMap<Vec<i64>, i64> = BTreeMap::new();
    let mut open = BTreeSet::from([(0, vec![0; most.len()])]);
    while let Some((size, numbers)) = open.pop_first() {
        if known.contains_key(&numbers) {
            continue;
        }
        for (own, counts) in given.iter().filter(|own| size + own.0 <= room) {
            let sums = numbers.iter().zip(counts).zip(most);
            let next: Vec<i64> = sums.map(|((now, more), most)| (now + more).min(*most)).collect();
            if !known.contains_key(&next) && next != numbers {
                open.insert((size + own, next));
            }
        }
        known.insert(numbers, size);
    }
    known
}

fn measure(a: i64, b: i64) -> i64 {
    if b == 0 { a } else { measure(b, a % b) }
}

/// Lists what one kind of stock holds beside certain parts that come together, depth first.
struct Listing<'a> {
    list: &'a List<'a>,
    plain: &'a [usize],
    suffixes: &'a [Frontier],
    kind: usize,
    least: i128,
    for_more: i64,
    taken: Vec<(usize, u32)>,
    found: &'a mut Vec<Pattern>,
}

impl Listing<'_> {
    fn descend(&mut self, at: usize, room: i64, worth: i64) {
        if i128::from(worth) + i128::from(self.suffixes[at].best(room)) < self.least {
            return;
        }
        let Some(&part) = self.plain.get(at) else {
            self.keep(room);
            return;
        };
        let size = self.list.plain[part].unwrap_or(i64::MAX);
        for count in 0..=self.list.demands[part].min(room / size) {
            if count > 0 {
                self.taken.push((part, count as u32));
            }
            self.descend(at + 1, room - count * size, worth + count * self.list.worth(part));
            if count > 0 {
                self.taken.pop();
            }
        }
    }

    /// Keeps what no part can be added to and no cheaper stock holds.
    fn keep(&mut self, room: i64) {
        let is_full = room < self.for_more
            && self.plain.iter().all(|&part| {
                let own = self.taken.iter().find(|own| own.0 == part).map_or(0, |own| i64::from(own.1));
                self.list.plain[part].is_none_or(|size| size > room) || own >= self.list.demands[part]
            });
        let used = self.list.kinds[self.kind].room - room;
        if is_full && !self.taken.is_empty() && !self.list.fits_cheaper(self.kind, used) {
            let mut counts = self.taken.clone();
            counts.sort_unstable();
            self.found.push(Pattern { kind: self.kind, counts });
        }
    }
}
