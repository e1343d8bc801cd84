//! The cheapest boards for every way of taking parts, exact: each board holds some of them in a row.

use crate::stock::counts::Lattice;

/// Cost, and length used, which decides between equal costs, nm.
pub(super) type Score = (i64, i64);

/// By way: the length that a row takes, if it fits, nm.
pub(super) type Lengths = Vec<Option<i64>>;

/// Boards of one kind.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Offer {
    pub(super) board: usize,
    pub(super) cost: i64,
    pub(super) available: Option<usize>,
}

/// The cheapest boards for every way.
#[derive(Clone, Debug)]
pub(super) struct Partition {
    /// By way.
    best: Vec<Option<Score>>,
    /// For each board of which there is one only: what it holds.
    single: Vec<(usize, Vec<Option<usize>>)>,
    /// What the last board of those without limit holds, and which it is.
    last: Vec<Option<(usize, usize)>>,
}

/// The partition, given by board the length that each way takes on it, if it fits.
pub(super) fn partition(lattice: &Lattice, offers: &[Offer], used: &[Lengths]) -> Partition {
    let size = lattice.size();
    let mut best: Vec<Option<Score>> = vec![None; size];
    best[0] = Some((0, 0));
    let mut single = Vec::new();
    for offer in offers {
        for _ in 0..offer.available.unwrap_or(0).min(size - 1) {
            let scores: Vec<Option<Score>> =
                (0..size).map(|way| Some((offer.cost, used[offer.board][way]?))).collect();
            let (next, holds) = with_one_board(lattice, &best, &scores);
            single.push((offer.board, holds));
            best = next;
        }
    }
    let unlimited: Vec<&Offer> = offers.iter().filter(|offer| offer.available.is_none()).collect();
    let cheapest: Vec<Option<(Score, usize)>> = (0..size)
        .map(|way| {
            let score = |offer: &&Offer| Some(((offer.cost, used[offer.board][way]?), offer.board));
            unlimited.iter().filter_map(score).min()
        })
        .collect();
    let mut last = vec![None; size];
    for way in 0..size {
        for held in lattice.within(way).into_iter().skip(1) {
            let (Some((score, board)), Some(before)) = (cheapest[held], best[way - held]) else { continue };
            let total = (before.0 + score.0, before.1 + score.1);
            if best[way].is_none_or(|best| total < best) {
                best[way] = Some(total);
                last[way] = Some((held, board));
            }
        }
    }
    Partition { best, single, last }
}

/// The best scores when one more board may be used, and what it holds.
fn with_one_board(
    lattice: &Lattice,
    before: &[Option<Score>],
    scores: &[Option<Score>],
) -> (Vec<Option<Score>>, Vec<Option<usize>>) {
    let (mut best, mut holds) = (before.to_vec(), vec![None; before.len()]);
    for way in 0..before.len() {
        for held in lattice.within(way).into_iter().skip(1) {
            let (Some(score), Some(rest)) = (scores[held], before[way - held]) else { continue };
            let total = (rest.0 + score.0, rest.1 + score.1);
            if best[way].is_none_or(|best| total < best) {
                best[way] = Some(total);
                holds[way] = Some(held);
            }
        }
    }
    (best, holds)
}

impl Partition {
    /// Score of a way; `None` when the boards do not hold it.
    pub(super) fn score(&self, way: usize) -> Option<Score> {
        self.best[way]
    }

    /// The boards of a way with what each holds; those of which there are few first.
    pub(super) fn boards(&self, mut way: usize) -> Vec<(usize, usize)> {
        let mut boards = Vec::new();
        while let Some((held, board)) = self.last[way] {
            boards.push((board, held));
            way -= held;
        }
        for (board, holds) in self.single.iter().rev() {
            if let Some(held) = holds[way] {
                boards.push((*board, held));
                way -= held;
            }
        }
        boards.reverse();
        boards
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Four parts 3 long: boards of 7 at 5 hold two, of 13 at 9 hold four, and one of 4 that costs nothing holds one.
    #[test]
    fn the_cheapest_boards_hold_all() {
        let lattice = Lattice::new(&[4], 10).unwrap();
        let offer = |board, cost, available| Offer { board, cost, available };
        let lengths = [7, 13, 4];
        let used =
            lengths.map(|most| (0..5).map(|way| Some(3 * way).filter(|&length| length <= most)).collect());
        let plenty = [offer(0, 5, None), offer(1, 9, None)];
        let found = partition(&lattice, &plenty, &used);
        assert_eq!((found.score(4), found.boards(4)), (Some((9, 12)), vec![(1, 4)]));
        assert_eq!(found.score(2), Some((5, 6)));
        let rack = [offer(0, 5, None), offer(1, 9, None), offer(2, 0, Some(2))];
        let found = partition(&lattice, &rack, &used);
        assert_eq!((found.score(4), found.boards(4)), (Some((5, 12)), vec![(2, 1), (2, 1), (0, 2)]));
        let few = partition(&lattice, &[offer(0, 5, Some(1))], &used);
        assert_eq!((few.score(2), few.score(3)), (Some((5, 6)), None));
    }
}
