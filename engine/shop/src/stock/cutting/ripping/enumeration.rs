//! All that a board of a cheaper plan could hold.
//!
//! Worths that prove a bound also say what each board wastes: its cost less the worth of what it holds. A plan of cost
//! `below` or less wastes no more than lies between that and the bound. What another part could be added to is left out,
//! and what a cheaper board without limit holds as well: others do as well. Where it stays open whether a board can give some
//! parts, that is listed: a plan then may cost more than the list makes it seem, never less.

use super::super::farley;
use super::super::pattern::Pattern;
use super::super::work::Work;
use super::arrange::{Arranged, arrange};
use super::fill::Row;
use super::pricing::Ripped;
use super::yard::{Plank, Yard};

/// The patterns, in a defined order; nothing when there are more than `most`, or when steps run out.
pub(super) fn enumerate(
    pricing: &mut Ripped,
    yard: &Yard,
    worths: &farley::Worths,
    below: i64,
    most: usize,
    work: &mut Work,
) -> Option<Vec<Pattern>> {
    let gap = i128::from(below) * i128::from(yard.instance.scale) - worths.bound;
    let worth: Vec<i64> = worths.worth.iter().map(|&worth| worth as i64).collect();
    let mut patterns = Vec::new();
    for board in 0..yard.instance.boards.len() {
        let least = i128::from(worths.allowed(&yard.instance, board) as i64) - gap;
        let Some(plank) = yard.plank(board) else {
            patterns.extend(singles(board, &worth, least));
            continue;
        };
        let order = order(yard, plank, board);
        let suffixes = suffixes(pricing, yard, board, (&worth, &order), work);
        let mut listing = Listing {
            yard,
            plank,
            board,
            order,
            suffixes,
            worth: &worth,
            least,
            taken: Row::new(),
            found: &mut patterns,
            most,
        };
        let area = i128::from(plank.room) * i128::from(yard.instance.boards[board].capacity);
        listing.descend(0, area, 0, work)?;
    }
    Some(patterns)
}

/// What stands for missing boards holds one part.
fn singles(board: usize, worth: &[i64], least: i128) -> Vec<Pattern> {
    let parts = (0..worth.len()).filter(|&part| i128::from(worth[part]) >= least);
    parts.map(|part| Pattern { board, counts: vec![(part as u32, 1)] }).collect()
}

/// Kinds of part that the board gives, largest first.
fn order(yard: &Yard, plank: &Plank, board: usize) -> Vec<u32> {
    let capacity = yard.instance.boards[board].capacity;
    let fits = |part: &u32| plank.holds(*part) && yard.instance.sizes[*part as usize] <= capacity;
    let mut order: Vec<u32> = (0..yard.needs.len() as u32).filter(fits).collect();
    order.sort_by_key(|&part| (std::cmp::Reverse(area(yard, plank, part)), part));
    order
}

/// What a part takes of the board's area.
fn area(yard: &Yard, plank: &Plank, part: u32) -> i128 {
    let need = if plank.whole.contains(&part) { plank.room } else { yard.needs[part as usize] };
    i128::from(need) * i128::from(yard.instance.sizes[part as usize])
}

/// The most that the board is worth without the first parts, the first two, and so on.
fn suffixes(
    pricing: &mut Ripped,
    yard: &Yard,
    board: usize,
    (worth, order): (&[i64], &[u32]),
    work: &mut Work,
) -> Vec<i64> {
    let mut left = worth.to_vec();
    let mut suffixes = Vec::with_capacity(order.len() + 1);
    for &part in order {
        suffixes.push(pricing.most(board, &left, &yard.instance.demands, work));
        left[part as usize] = 0;
    }
    suffixes.push(0);
    suffixes
}

/// Lists what one board can hold, depth first.
struct Listing<'a> {
    yard: &'a Yard,
    plank: &'a Plank,
    board: usize,
    order: Vec<u32>,
    suffixes: Vec<i64>,
    worth: &'a [i64],
    least: i128,
    taken: Row,
    found: &'a mut Vec<Pattern>,
    most: usize,
}

impl Listing<'_> {
    /// Nothing when it is cut short.
    fn descend(&mut self, at: usize, left: i128, worth: i64, work: &mut Work) -> Option<()> {
        if work.is_over() {
            return None;
        }
        if i128::from(worth) + self.at_most(at, left) < self.least {
            return Some(());
        }
        let Some(&part) = self.order.get(at) else { return self.take(work) };
        let (own, each) = (area(self.yard, self.plank, part), self.worth[part as usize]);
        let demand = self.yard.instance.demands[part as usize];
        for count in 0..=demand {
            if i128::from(count) * own > left {
                break;
            }
            if count > 0 {
                self.taken.push((part, count));
            }
            let listed = if count > 0 && self.arranged(self.board, &self.taken, work) == Arranged::Never {
                None
            } else {
                Some(self.descend(
                    at + 1,
                    left - i128::from(count) * own,
                    worth + i64::from(count) * each,
                    work,
                ))
            };
            if count > 0 {
                self.taken.pop();
            }
            match listed {
                Some(listed) => listed?,
                // Nor are more of them to be had.
                None => break,
            }
        }
        Some(())
    }

    /// What the parts from one on can add: by the area left, and by what the whole board is worth with them.
    fn at_most(&self, at: usize, left: i128) -> i128 {
        let mut parts: Vec<(i128, i128, u32)> = self.order[at..]
            .iter()
            .map(|&part| (i128::from(self.worth[part as usize]), area(self.yard, self.plank, part), part))
            .collect();
        parts.sort_by(|a, b| (b.0 * a.1).cmp(&(a.0 * b.1)));
        let (mut left, mut sum) = (left, 0);
        for (worth, area, part) in parts {
            let demand = i128::from(self.yard.instance.demands[part as usize]);
            if demand * area > left {
                // A share of one part more, rounded up.
                sum += worth * left / area + 1;
                break;
            }
            left -= demand * area;
            sum += demand * worth;
        }
        sum.min(i128::from(self.suffixes[at]))
    }

    /// Whether a board can give that, as far as is known.
    fn arranged(&self, board: usize, counts: &[(u32, u32)], work: &mut Work) -> Arranged {
        match self.yard.plank(board) {
            Some(plank) if counts.iter().all(|own| plank.holds(own.0)) => {
                arrange(self.yard, plank, self.yard.instance.boards[board].capacity, counts, work)
            }
            _ => Arranged::Never,
        }
    }

    fn fits(&self, board: usize, counts: &[(u32, u32)], work: &mut Work) -> bool {
        matches!(self.arranged(board, counts, work), Arranged::Fits(_))
    }

    /// Takes what was found, unless others do as well.
    fn take(&mut self, work: &mut Work) -> Option<()> {
        if self.taken.is_empty() || !self.is_full(work) || self.fits_cheaper(work) {
            return Some(());
        }
        if self.found.len() >= self.most {
            return None;
        }
        let mut counts = self.taken.clone();
        counts.sort_unstable();
        self.found.push(Pattern { board: self.board, counts });
        Some(())
    }

    fn is_full(&self, work: &mut Work) -> bool {
        for &part in &self.order {
            let mut more = self.taken.clone();
            match more.iter_mut().find(|own| own.0 == part) {
                Some(own) => own.1 += 1,
                None => more.push((part, 1)),
            }
            let count = more.iter().find(|own| own.0 == part).map_or(0, |own| own.1);
            if count <= self.yard.instance.demands[part as usize] && self.fits(self.board, &more, work) {
                return false;
            }
        }
        true
    }

    fn fits_cheaper(&self, work: &mut Work) -> bool {
        let boards = &self.yard.instance.boards;
        for (at, other) in boards.iter().enumerate() {
            let is_cheaper =
                !other.is_missing && other.available.is_none() && other.cost < boards[self.board].cost;
            if is_cheaper && self.fits(at, &self.taken, work) {
                return true;
            }
        }
        false
    }
}
