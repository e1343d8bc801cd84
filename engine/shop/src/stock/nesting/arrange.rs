//! A short row of more parts than the dynamic program can hold: insertion, then exchanges; not proven.

use super::row::{Row, Steps};

/// Trials of one arrangement.
const TRIALS: usize = 20_000;

/// A row of parts, each a single block, in the order found. Longest parts first, each is put where and as the row grows
/// least; then parts change place and turn, and stretches are turned about, as long as that makes the row shorter.
pub(super) fn arranged(steps: &Steps, parts: &[usize]) -> Row {
    let singles = |part: usize| steps.singles(part);
    let mut order = parts.to_vec();
    order.sort_by_key(|&part| {
        (std::cmp::Reverse(singles(part).map(|block| steps.blocks[block].length).max()), part)
    });
    let mut row = Arrangement { steps, blocks: Vec::new(), length: 0, trials: TRIALS };
    for part in order {
        row.insert(part);
    }
    while row.trials > 0 && (row.move_one() || row.reverse_one()) {}
    let laid = steps.laid(&row.blocks);
    Row { laid, length: row.length, proven: false }
}

struct Arrangement<'a> {
    steps: &'a Steps,
    blocks: Vec<usize>,
    length: i64,
    trials: usize,
}

impl Arrangement<'_> {
    /// Puts a part where the row grows least.
    fn insert(&mut self, part: usize) {
        let mut best: Option<(i64, Vec<usize>)> = None;
        for place in 0..=self.blocks.len() {
            for block in self.steps.singles(part) {
                let mut blocks = self.blocks.clone();
                blocks.insert(place, block);
                let length = self.steps.length(&blocks);
                if best.as_ref().is_none_or(|(least, _)| length < *least) {
                    best = Some((length, blocks));
                }
            }
        }
        if let Some((length, blocks)) = best {
            (self.length, self.blocks) = (length, blocks);
        }
    }

    /// Takes a row if it is shorter.
    fn accept(&mut self, blocks: Vec<usize>) -> bool {
        self.trials = self.trials.saturating_sub(1);
        let length = self.steps.length(&blocks);
        let shorter = length < self.length;
        if shorter {
            (self.length, self.blocks) = (length, blocks);
        }
        shorter
    }

    /// One part elsewhere, or as it lies otherwise.
    fn move_one(&mut self) -> bool {
        for from in 0..self.blocks.len() {
            let part = self.steps.blocks[self.blocks[from]].placements[0].part;
            for to in 0..self.blocks.len() {
                for block in self.steps.singles(part) {
                    let mut blocks = self.blocks.clone();
                    blocks.remove(from);
                    blocks.insert(to, block);
                    if self.trials == 0 || self.accept(blocks) {
                        return self.trials > 0;
                    }
                }
            }
        }
        false
    }

    /// One stretch turned about: last part first.
    fn reverse_one(&mut self) -> bool {
        for from in 0..self.blocks.len() {
            for to in from + 2..=self.blocks.len() {
                let mut blocks = self.blocks.clone();
                blocks[from..to].reverse();
                if self.trials == 0 || self.accept(blocks) {
                    return self.trials > 0;
                }
            }
        }
        false
    }
}
