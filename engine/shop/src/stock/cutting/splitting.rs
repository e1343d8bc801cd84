//! By which patterns an open case is split.

use super::answer::Picked;
use super::instance::Instance;
use super::pattern::Pattern;
use std::collections::BTreeMap;

/// A level is broken when it is farther than this from whole numbers.
const BROKEN: f64 = 1e-4;

/// Patterns that are used a broken number of times together, and that number: boards first, then parts, pairs of parts,
/// single patterns; of each kind the one nearest to the middle.
pub(super) fn split(
    instance: &Instance,
    patterns: &[Pattern],
    levels: &[(usize, f64)],
) -> Option<(Picked, f64)> {
    let used: Vec<(&Pattern, f64)> = levels.iter().map(|&(at, level)| (&patterns[at], level)).collect();
    most_broken(by_board(&used))
        .or_else(|| most_broken(by_part(&used, false)))
        .or_else(|| most_broken(by_part(&used, instance.boards.len() > 1)))
        .or_else(|| most_broken(by_pair(&used)))
        .or_else(|| most_broken(by_pattern(&used)))
}

/// The likeliest of every kind, nearest to the middle first.
pub(super) fn candidates(
    instance: &Instance,
    patterns: &[Pattern],
    levels: &[(usize, f64)],
) -> Vec<(Picked, f64)> {
    let used: Vec<(&Pattern, f64)> = levels.iter().map(|&(at, level)| (&patterns[at], level)).collect();
    let with_board = instance.boards.len() > 1;
    let mut found: Vec<(Picked, f64)> = Vec::new();
    for sums in [
        by_board(&used),
        by_part(&used, false),
        by_part(&used, with_board),
        by_pair(&used),
        by_pattern(&used),
    ] {
        let mut broken: Vec<(Picked, f64)> =
            sums.into_iter().filter(|sum| off(sum.1) < 0.5 - BROKEN).collect();
        broken.sort_by(|a, b| off(a.1).total_cmp(&off(b.1)));
        broken.retain(|own| found.iter().all(|other| other.0 != own.0));
        found.extend(broken.into_iter().take(OF_A_KIND));
    }
    found
}

/// Candidates of each kind.
const OF_A_KIND: usize = 4;

type Sums = BTreeMap<Picked, f64>;

/// How far a level is from the middle between two whole numbers.
fn off(level: f64) -> f64 {
    (level - level.floor() - 0.5).abs()
}

fn most_broken(sums: Sums) -> Option<(Picked, f64)> {
    let broken = sums.into_iter().filter(|sum| off(sum.1) < 0.5 - BROKEN);
    broken.min_by(|a, b| off(a.1).total_cmp(&off(b.1)))
}

fn by_board(used: &[(&Pattern, f64)]) -> Sums {
    let mut sums = Sums::new();
    for (pattern, level) in used {
        *sums.entry(Picked { stock: Some(pattern.board), holding: Vec::new() }).or_default() += level;
    }
    sums
}

fn by_part(used: &[(&Pattern, f64)], with_board: bool) -> Sums {
    let mut sums = Sums::new();
    for (pattern, level) in used {
        for &(part, count) in &pattern.counts {
            for least in 1..=count {
                let stock = with_board.then_some(pattern.board);
                *sums.entry(Picked { stock, holding: vec![(part as usize, least)] }).or_default() += level;
            }
        }
    }
    sums
}

fn by_pair(used: &[(&Pattern, f64)]) -> Sums {
    let mut sums = Sums::new();
    for (pattern, level) in used {
        for (at, &(first, first_count)) in pattern.counts.iter().enumerate() {
            for &(second, second_count) in &pattern.counts[at + 1..] {
                for pair in [(1, 1), (first_count, second_count)]
                    .iter()
                    .take(1 + usize::from(first_count + second_count > 2))
                {
                    let holding = vec![(first as usize, pair.0), (second as usize, pair.1)];
                    *sums.entry(Picked { stock: None, holding }).or_default() += level;
                }
            }
        }
    }
    sums
}

fn by_pattern(used: &[(&Pattern, f64)]) -> Sums {
    let mut sums = Sums::new();
    for (pattern, level) in used {
        let holding = pattern.counts.iter().map(|&(part, count)| (part as usize, count)).collect();
        *sums.entry(Picked { stock: Some(pattern.board), holding }).or_default() += level;
    }
    sums
}

#[cfg(test)]
mod tests {
    use super::super::{Part, Problem, Stock};
    use super::*;

    fn pattern(board: usize, counts: &[(u32, u32)]) -> Pattern {
        Pattern { board, counts: counts.to_vec() }
    }

    /// Boards that are used whole leave the parts; a part that is made whole leaves pairs.
    #[test]
    fn boards_come_first_then_parts_then_pairs() {
        let stocks = vec![Stock { length: 9, cost: 1, available: None }];
        let part = |length| Part { length, demand: 1 };
        let problem = Problem { stocks, parts: vec![part(3), part(2), part(1)], ..Problem::default() };
        let instance = Instance::of(&problem).unwrap();
        let patterns =
            [pattern(0, &[(0, 1), (1, 1)]), pattern(0, &[(0, 1), (2, 1)]), pattern(0, &[(1, 1), (2, 1)])];
        let by = |levels: &[(usize, f64)]| split(&instance, &patterns, levels);
        let (picked, level) = by(&[(0, 0.5), (1, 0.5), (2, 0.5)]).unwrap();
        assert_eq!((picked.stock, picked.holding, level), (Some(0), vec![], 1.5));
        let (picked, _) = by(&[(0, 0.5), (1, 1.0), (2, 0.5)]).unwrap();
        assert_eq!(picked.holding, [(0, 1)]);
        assert_eq!(by(&[(0, 1.0), (2, 2.0)]), None);
    }
}
