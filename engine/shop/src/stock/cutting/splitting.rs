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

type Sums = BTreeMap<Picked, f64>;

fn most_broken(sums: Sums) -> Option<(Picked, f64)> {
    let distance = |level: f64| (level - level.floor() - 0.5).abs();
    let broken = sums.into_iter().filter(|sum| distance(sum.1) < 0.5 - BROKEN);
    broken.min_by(|a, b| distance(a.1).total_cmp(&distance(b.1)))
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
