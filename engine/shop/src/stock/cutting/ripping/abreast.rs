//! Strips abreast: the sets that a board's width allows, by the sums of widths that can be reached.

use super::yard::Plank;
use std::collections::BTreeSet;

/// More sums are not gone over (project choice): some hundred are usual in a shop.
const MOST_SUMS: usize = 50_000;
/// No strip of that lane fits any more.
const FULL: u32 = u32::MAX;

/// Sums of widths, and where a strip of each lane leads from there.
pub(super) struct Abreast {
    lanes: usize,
    sums: usize,
    /// For each lane and each sum, narrowest first, the index of the sum with one strip more.
    next: Vec<u32>,
    /// Most worth that this lane and those after it add to each sum; nothing after the last.
    worth: Vec<i64>,
}

/// Worth of strips of one lane.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Each {
    /// Of one.
    pub one: i64,
    /// Of any number together: what all parts wanted of that width are worth.
    pub all: i64,
}

impl Abreast {
    /// Nothing when there are too many sums.
    pub(super) fn of(plank: &Plank) -> Option<Abreast> {
        let mut sums = BTreeSet::from([0]);
        let mut at = Some(0);
        while let Some(sum) = at {
            sums.extend(plank.lanes.iter().map(|lane| sum + lane.need).filter(|&wider| wider <= plank.room));
            at = sums.range(sum + 1..).next().copied();
            if sums.len() > MOST_SUMS {
                return None;
            }
        }
        let sums: Vec<i64> = sums.into_iter().collect();
        let leads = |sum: i64| sums.binary_search(&sum).map_or(FULL, |at| at as u32);
        let next =
            plank.lanes.iter().flat_map(|lane| sums.iter().map(move |sum| leads(sum + lane.need))).collect();
        let lanes = plank.lanes.len();
        Some(Abreast { lanes, sums: sums.len(), next, worth: vec![0; (lanes + 1) * sums.len()] })
    }

    /// Steps that a look takes.
    pub(super) fn effort(&self) -> usize {
        2 * self.next.len()
    }

    /// Most worth of strips abreast.
    pub(super) fn best(&mut self, each: &[Each]) -> i64 {
        for lane in (0..self.lanes).rev() {
            for sum in 0..self.sums {
                self.worth[lane * self.sums + sum] = self.so_many(lane, sum, each[lane]).0;
            }
        }
        self.worth[0]
    }

    /// The strips that were the best last time, by lane.
    pub(super) fn lanes(&self, each: &[Each]) -> Vec<usize> {
        let (mut lanes, mut sum) = (Vec::new(), 0);
        for (lane, &each) in each.iter().enumerate() {
            let (_, count, next) = self.so_many(lane, sum, each);
            lanes.extend(std::iter::repeat_n(lane, count));
            sum = next;
        }
        lanes
    }

    /// Most worth of a lane and those after it, how many strips of the lane make it up, the fewest, and the sum then.
    fn so_many(&self, lane: usize, sum: usize, each: Each) -> (i64, usize, usize) {
        let after = &self.worth[(lane + 1) * self.sums..];
        let mut best = (after[sum], 0, sum);
        let (mut count, mut at, mut worth) = (0, sum, 0);
        while each.one > 0 && worth < each.all {
            let next = self.next[lane * self.sums + at];
            if next == FULL {
                break;
            }
            (count, at, worth) = (count + 1, next as usize, (worth + each.one).min(each.all));
            if worth + after[at] > best.0 {
                best = (worth + after[at], count, at);
            }
        }
        best
    }
}
