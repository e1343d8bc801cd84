//! Pricing: one number of the parts that come together stands on a board beside plain parts, which fill what room it leaves.
//! Every such number takes one look into the tables of the plain parts.

use super::super::farley::Worths;
use super::super::greedy::Rest;
use super::super::instance::Instance;
use super::super::knapsack::{Asked, Knapsack};
use super::super::pattern::{Packing, Pattern};
use super::super::pricing::{PATTERNS_A_ROUND, Priced, Prices, Pricing};
use super::super::work::Work;
use super::rows::Yard;

/// Prices patterns.
pub(super) struct Parted<'a> {
    yard: &'a Yard,
    knapsack: Knapsack,
}

/// A number of parts that some board may hold.
#[derive(Clone, Copy)]
struct Held {
    number: usize,
    size: i64,
    worth: f64,
}

impl<'a> Parted<'a> {
    pub(super) fn new(yard: &'a Yard) -> Self {
        Parted { yard, knapsack: Knapsack::default() }
    }

    /// Works out the tables of plain parts worth more than `above`, and what every number of the others is worth.
    fn fill(&mut self, most: &[u32], (worth, above): (&[f64], f64), work: &mut Work) -> Vec<Held> {
        let (instance, rows) = (&self.yard.instance, &self.yard.rows);
        let mut plain = most.to_vec();
        rows.parts.iter().for_each(|&part| plain[part as usize] = 0);
        self.knapsack.fill(&instance.sizes, &plain, (worth, above), instance.capacity(), work);
        let held = |&number: &usize| {
            let own = rows.counts(number).into_iter().zip(&rows.parts);
            let worth = own
                .map(|(count, &part)| count.min(most[part as usize] as usize) as f64 * worth[part as usize]);
            Held { number, size: rows.size(number), worth: worth.sum() }
        };
        work.spend(rows.full.len() * (2 + rows.parts.len()));
        rows.full.iter().map(held).collect()
    }

    /// So many of the parts that come together, beside plain parts; no more than `most` of each.
    fn pattern(&self, board: usize, number: usize, plain: &[(u32, u32)], most: &[u32]) -> Pattern {
        let rows = &self.yard.rows;
        let own = rows.counts(number).into_iter().zip(&rows.parts);
        let own = own.map(|(count, &part)| (part, (count as u32).min(most[part as usize])));
        let mut counts: Vec<(u32, u32)> = own.filter(|own| own.1 > 0).chain(plain.iter().copied()).collect();
        counts.sort_unstable();
        Pattern { board, counts }
    }

    /// Room that a pattern takes.
    pub(super) fn size(&self, pattern: &Pattern) -> i64 {
        let rows = &self.yard.rows;
        let counts: Vec<usize> = rows.parts.iter().map(|&part| pattern.count(part) as usize).collect();
        let plain = pattern.counts.iter().filter(|own| !rows.parts.contains(&own.0));
        let plain: i64 =
            plain.map(|&(part, count)| self.yard.instance.sizes[part as usize] * i64::from(count)).sum();
        rows.number(&counts).map_or(i64::MAX, |number| rows.size(number) + plain)
    }

    /// The patterns of a room that are worth most, the first of them no less than any; and what none passes.
    fn best_of(
        &self,
        held: &[Held],
        board: usize,
        (allowed, wanted): (f64, usize),
        most: &[u32],
        work: &mut Work,
    ) -> (Vec<Pattern>, f64) {
        let room = self.yard.instance.boards[board].capacity;
        let limit = |own: &Held| own.worth + self.knapsack.bound(room - own.size);
        let mut limits: Vec<(f64, Held)> =
            held.iter().filter(|own| own.size <= room).map(|own| (limit(own), *own)).collect();
        limits.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.number.cmp(&b.1.number)));
        let (mut found, mut best) = (Vec::new(), 0.0_f64);
        for (limit, own) in limits {
            if limit <= allowed || limit <= best && found.len() >= wanted {
                return (found, best.max(limit));
            }
            let (filling, complete) = self.knapsack.best(0, room - own.size, allowed - own.worth, work);
            let Some((worth, plain)) = filling else { continue };
            best = best.max(if complete { own.worth + worth } else { limit });
            if found.len() < wanted {
                found.push(self.pattern(board, own.number, &plain, most));
            }
        }
        (found, best)
    }
}

impl Pricing for Parted<'_> {
    fn price(&mut self, prices: Prices, work: &mut Work) -> Priced {
        let held = self.fill(prices.most, (prices.worth, 0.0), work);
        let boards = &self.yard.instance.boards;
        let each = (PATTERNS_A_ROUND / boards.len()).max(2);
        let mut priced = Priced::default();
        for board in 0..boards.len() {
            let (patterns, best) =
                self.best_of(&held, board, (prices.allowed[board], each), prices.most, work);
            work.spend(8 * held.len());
            priced.patterns.extend(patterns);
            priced.best.push(best);
        }
        priced
    }

    fn single(&mut self, board: usize, part: u32, most: u32) -> Option<Pattern> {
        let (instance, rows) = (&self.yard.instance, &self.yard.rows);
        let room = instance.boards[board].capacity;
        let count = match rows.parts.iter().position(|&own| own == part) {
            None => (room / instance.sizes[part as usize]).min(i64::from(most)) as u32,
            Some(at) => {
                let fits = |&count: &u32| {
                    let mut counts = vec![0; rows.parts.len()];
                    counts[at] = count as usize;
                    rows.number(&counts).is_some_and(|number| rows.size(number) <= room)
                };
                (1..=most).take_while(fits).last().unwrap_or(0)
            }
        };
        (count > 0).then(|| Pattern { board, counts: vec![(part, count)] })
    }

    /// Board after board, each with what is worth most for its cost.
    fn finish(&mut self, mut rest: Rest, worth: Option<&[f64]>) -> Option<Packing> {
        let instance = &self.yard.instance;
        let by_size: Vec<f64> = instance.sizes.iter().map(|&size| size as f64).collect();
        // The tables add up whole numbers.
        let go_on = &mut |_: &_| true;
        let mut work = Work::new(u64::MAX, go_on);
        let mut packing = Packing::new();
        while rest.parts.iter().any(|&left| left > 0) {
            let held = self.fill(&rest.parts, (worth.unwrap_or(&by_size), 0.0), &mut work);
            let mut best: Option<(f64, Pattern)> = None;
            for (board, own) in
                instance.boards.iter().enumerate().filter(|(at, _)| rest.boards[*at] != Some(0))
            {
                let (found, worth) = self.best_of(&held, board, (0.0, 1), &rest.parts, &mut work);
                let Some(pattern) = found.into_iter().next() else { continue };
                let pattern = self.on_cheapest(&rest, pattern);
                let cost = instance.boards[pattern.board].cost.max(0) as f64;
                let ratio = if cost > 0.0 { worth / cost } else { f64::MAX / 4.0 + worth };
                if own.capacity > 0 && best.as_ref().is_none_or(|best| ratio > best.0) {
                    best = Some((ratio, pattern));
                }
            }
            let (_, pattern) = best?;
            let times = rest.take(&pattern);
            if times == 0 {
                return None;
            }
            packing.push((pattern, times));
        }
        Some(packing)
    }

    fn list(&mut self, worths: &Worths, below: i64, most: usize, work: &mut Work) -> Option<Vec<Pattern>> {
        let (yard, instance) = (self.yard, &self.yard.instance);
        let gap = i128::from(below) * i128::from(instance.scale) - worths.bound;
        let held = self.fill(&instance.demands, (&worths.worth, -1.0), work);
        let mut patterns: Vec<Pattern> = Vec::new();
        for (board, own) in instance.boards.iter().enumerate() {
            let least = worths.allowed(instance, board) - gap as f64;
            for row in held.iter().filter(|row| row.size <= own.capacity) {
                let room = own.capacity - row.size;
                if row.worth + self.knapsack.bound(room) < least {
                    continue;
                }
                let asked = Asked { least: least - row.worth, full: true, most: most - patterns.len() };
                let mut found = Vec::new();
                if !self.knapsack.all(room, asked, &mut found, work) {
                    return None;
                }
                let for_more = yard.rows.room_for_more(row.number);
                let taken = |plain: &[(u32, u32)]| -> i64 {
                    plain.iter().map(|&(part, count)| instance.sizes[part as usize] * i64::from(count)).sum()
                };
                let full = found.into_iter().filter(|plain| room - taken(plain) < for_more);
                let full = full.map(|plain| self.pattern(board, row.number, &plain, &instance.demands));
                patterns
                    .extend(full.filter(|own| !own.counts.is_empty() && !self.fits_cheaper(instance, own)));
            }
        }
        Some(patterns)
    }
}

impl Parted<'_> {
    /// Whether a cheaper board without limit holds the pattern as well.
    fn fits_cheaper(&self, instance: &Instance, pattern: &Pattern) -> bool {
        let (size, own) = (self.size(pattern), &instance.boards[pattern.board]);
        instance
            .boards
            .iter()
            .any(|other| other.available.is_none() && other.capacity >= size && other.cost < own.cost)
    }

    /// The same on the cheapest board that holds it.
    fn on_cheapest(&self, rest: &Rest, mut pattern: Pattern) -> Pattern {
        let (size, boards) = (self.size(&pattern), &self.yard.instance.boards);
        let holding =
            (0..boards.len()).filter(|&at| rest.boards[at] != Some(0) && boards[at].capacity >= size);
        let cheapest = holding.min_by_key(|&at| (boards[at].cost, at));
        if let Some(at) = cheapest.filter(|&at| boards[at].cost < boards[pattern.board].cost) {
            pattern.board = at;
        }
        pattern
    }
}
