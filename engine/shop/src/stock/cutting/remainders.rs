//! Why whole numbers of boards cannot come as near as broken ones: remainders of the parts.
//!
//! Let whole combinations of some vectors, a lattice, count for nothing: then of the parts made only a remainder is seen, and
//! there are as many remainders as the lattice's cells hold. A plan's boards, one after another, lead from nothing to the
//! remainder of what is wanted; each wastes what its multipliers say, and each part too many wastes its worth. The way that
//! wastes least, a shortest path, shows what every plan wastes at the least. With the patterns that the linear program uses
//! as vectors, these are free, and the path tells which others must mend the plan: with many equal pieces that is the
//! cheapest plan itself. (The group relaxation of Gomory 1965, Proceedings of the National Academy of Sciences 53:260-265,
//! and 1969, Linear Algebra and its Applications 2:451-558, from memory.)
//!
//! Where the cells are too many, the remainders of few of the parts are looked at.

use super::answer::Lattice;
use super::pattern::Pattern;
use super::work::Work;
use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// More remainders are not looked at.
pub(super) const MOST_REMAINDERS: usize = 4096;

/// Elementary steps of an addition.
const EFFORT: usize = 20;

/// Such a share of the additions is few.
const MANY: usize = 16;

/// A case of the search.
#[derive(Clone, Copy)]
pub(super) struct Asked<'a> {
    pub patterns: &'a [Pattern],
    pub demands: &'a [u32],
    /// The patterns that matter and what each wastes, at least nought.
    pub pool: &'a [u32],
    pub wastes: &'a [i64],
    /// What a part too many wastes.
    pub worths: &'a [i64],
    /// A plan that wastes more is of no use.
    pub lacking: i128,
    /// Most additions of remainders, in all.
    pub additions: usize,
}

/// What the remainders tell.
pub(super) enum Told {
    /// Every plan wastes more than is lacking.
    Closed(Lattice),
    /// Patterns that lead from nothing to what is wanted, all parts looked at, and what they waste: no plan wastes less.
    Way(Lattice, Way),
    /// Nothing.
    Nothing,
}

/// What the remainders tell by the lattice of these vectors: numbers of each part.
pub(super) fn look(asked: &Asked, vectors: &[Vec<i64>], work: &mut Work) -> Told {
    let parts = asked.demands.len();
    let mut left = asked.additions;
    if left == 0 {
        return Told::Nothing;
    }
    let all: Vec<usize> = (0..parts).collect();
    let whole = lattice(vectors, &all);
    // All parts at once show most, but where there are many remainders few of the parts may do.
    let mut few = left / MANY;
    if let Some(told) = whole.as_ref().and_then(|whole| by_all(asked, whole, &mut few, work)) {
        return told;
    }
    let mut own: Vec<usize> = Vec::new();
    loop {
        // One part more: the one by which most is wasted, then the one of which least is to be looked at.
        let mut best: Option<(i128, Reverse<usize>, usize)> = None;
        for part in (0..parts).filter(|part| !own.contains(part)) {
            let with = sorted(&own, part);
            let Some(lattice) = lattice(vectors, &with) else { continue };
            match by(asked, &lattice, &mut left, work) {
                None => {}
                Some(None) => return Told::Closed(lattice),
                Some(Some(way)) => best = best.max(Some((way.waste, Reverse(order(&lattice)), part))),
            }
        }
        let Some((_, _, part)) = best else { break };
        own = sorted(&own, part);
    }
    whole.and_then(|whole| by_all(asked, &whole, &mut left, work)).unwrap_or(Told::Nothing)
}

/// What the lattice of all parts tells, if it is not too far to look.
fn by_all(asked: &Asked, lattice: &Lattice, left: &mut usize, work: &mut Work) -> Option<Told> {
    Some(match by(asked, lattice, left, work)? {
        None => Told::Closed(lattice.clone()),
        Some(way) => Told::Way(lattice.clone(), way),
    })
}

fn sorted(parts: &[usize], more: usize) -> Vec<usize> {
    let mut parts = parts.to_vec();
    parts.push(more);
    parts.sort_unstable();
    parts
}

/// How many remainders there are.
fn order(lattice: &Lattice) -> usize {
    let own = |(at, row): (usize, &Vec<i64>)| usize::try_from(row[at]).unwrap_or(usize::MAX);
    lattice.rows.iter().enumerate().map(own).fold(1, usize::saturating_mul)
}

/// The lattice of vectors, seen in some parts only, in rows that begin one part later each. Nothing where they do not span
/// it, or where there are too many remainders.
fn lattice(vectors: &[Vec<i64>], parts: &[usize]) -> Option<Lattice> {
    let mut rows: Vec<Vec<i64>> =
        vectors.iter().map(|vector| parts.iter().map(|&part| vector[part]).collect()).collect();
    for at in 0..parts.len() {
        // Euclid's algorithm on the rows: one is left that counts this part.
        loop {
            let smallest =
                (at..rows.len()).filter(|&row| rows[row][at] != 0).min_by_key(|&row| rows[row][at].abs())?;
            rows.swap(at, smallest);
            let (above, below) = rows.split_at_mut(at + 1);
            let own = &above[at];
            let mut is_done = true;
            for row in below.iter_mut().filter(|row| row[at] != 0) {
                let times = row[at] / own[at];
                take_off(row, own, times)?;
                is_done &= row[at] == 0;
            }
            if is_done {
                break;
            }
        }
        if rows[at][at] < 0 {
            rows[at].iter_mut().for_each(|count| *count = -*count);
        }
    }
    rows.truncate(parts.len());
    // Each row with less of a part than the row that begins with it, so that numbers stay small.
    for at in 1..parts.len() {
        let (above, below) = rows.split_at_mut(at);
        for row in above {
            let times = row[at].div_euclid(below[0][at]);
            take_off(row, &below[0], times)?;
        }
    }
    let lattice = Lattice { parts: parts.to_vec(), rows };
    (order(&lattice) <= MOST_REMAINDERS).then_some(lattice)
}

/// Takes a row off another so often. Nothing when numbers grow too large.
fn take_off(from: &mut [i64], row: &[i64], times: i64) -> Option<()> {
    for (from, own) in from.iter_mut().zip(row) {
        *from = from.checked_sub(own.checked_mul(times)?).filter(|count| count.abs() < 1 << 40)?;
    }
    Some(())
}

/// A way and what it wastes.
pub(super) struct Way {
    pub waste: i128,
    pub patterns: Vec<u32>,
}

/// A step from one remainder to another.
struct Stride {
    remainder: Vec<i64>,
    waste: i128,
    /// Of a pattern; a part too many has none.
    pattern: Option<u32>,
}

/// The way that wastes least, or none that wastes no more than is lacking. Nothing when it is too far to look.
fn by(asked: &Asked, lattice: &Lattice, left: &mut usize, work: &mut Work) -> Option<Option<Way>> {
    let order = order(lattice);
    if order == 1 {
        return Some(Some(Way { waste: 0, patterns: Vec::new() }));
    }
    *left = left.checked_sub(asked.pool.len())?;
    let strides = strides(asked, lattice, order);
    let additions = order.saturating_mul(strides.len());
    *left = left.checked_sub(additions)?;
    work.spend(EFFORT * (asked.pool.len() + additions));
    let mut sum: Vec<i64> = lattice.parts.iter().map(|&part| i64::from(asked.demands[part])).collect();
    let goal = place(lattice, &mut sum);
    let mut least: Vec<Option<i128>> = vec![None; order];
    let mut from: Vec<Option<(usize, usize)>> = vec![None; order];
    let mut queue = BinaryHeap::from([Reverse((0_i128, 0_usize))]);
    least[0] = Some(0);
    while let Some(Reverse((waste, at))) = queue.pop() {
        if at == goal {
            return Some(Some(Way { waste, patterns: patterns(&strides, &from, goal) }));
        }
        if least[at].is_some_and(|least| least < waste) {
            continue;
        }
        let own = remainder(lattice, at);
        for (number, stride) in strides.iter().enumerate() {
            let total = waste + stride.waste;
            if total > asked.lacking {
                break;
            }
            sum.iter_mut().zip(own.iter().zip(&stride.remainder)).for_each(|(sum, (a, b))| *sum = a + b);
            let next = place(lattice, &mut sum);
            if least[next].is_none_or(|least| total < least) {
                (least[next], from[next]) = (Some(total), Some((at, number)));
                queue.push(Reverse((total, next)));
            }
        }
    }
    Some(None)
}

/// For each remainder but none the stride that wastes least, least first.
fn strides(asked: &Asked, lattice: &Lattice, order: usize) -> Vec<Stride> {
    let mut cheapest: Vec<Option<(i64, Option<u32>)>> = vec![None; order];
    let mut offer = |counts: &mut [i64], waste: i64, pattern: Option<u32>| {
        let own = &mut cheapest[place(lattice, counts)];
        if i128::from(waste) <= asked.lacking && own.is_none_or(|own| waste < own.0) {
            *own = Some((waste, pattern));
        }
    };
    let mut counts = vec![0; lattice.parts.len()];
    for (&at, &waste) in asked.pool.iter().zip(asked.wastes) {
        let pattern = &asked.patterns[at as usize];
        for (count, &part) in counts.iter_mut().zip(&lattice.parts) {
            *count = i64::from(pattern.count(part as u32));
        }
        offer(&mut counts, waste, Some(at));
    }
    for (at, &part) in lattice.parts.iter().enumerate() {
        counts.fill(0);
        counts[at] = -1;
        offer(&mut counts, asked.worths[part], None);
    }
    let mut strides: Vec<Stride> = Vec::new();
    for (at, own) in cheapest.into_iter().enumerate().skip(1) {
        if let Some((waste, pattern)) = own {
            strides.push(Stride { remainder: remainder(lattice, at), waste: i128::from(waste), pattern });
        }
    }
    strides.sort_by_key(|stride| stride.waste);
    strides
}

/// The patterns of the way to a place.
fn patterns(strides: &[Stride], from: &[Option<(usize, usize)>], goal: usize) -> Vec<u32> {
    let (mut at, mut patterns) = (goal, Vec::new());
    while let Some((before, stride)) = from[at] {
        patterns.extend(strides[stride].pattern);
        at = before;
    }
    patterns
}

/// The number of the remainder of counts, of which is left of each part less than its row's own.
fn place(lattice: &Lattice, counts: &mut [i64]) -> usize {
    let mut place = 0;
    for (at, row) in lattice.rows.iter().enumerate() {
        let times = counts[at].div_euclid(row[at]);
        if times != 0 {
            counts[at..].iter_mut().zip(&row[at..]).for_each(|(count, own)| *count -= own * times);
        }
        place = place * row[at] as usize + counts[at] as usize;
    }
    place
}

/// The remainder of a number.
fn remainder(lattice: &Lattice, mut place: usize) -> Vec<i64> {
    let mut own = vec![0; lattice.rows.len()];
    for at in (0..lattice.rows.len()).rev() {
        let each = lattice.rows[at][at] as usize;
        own[at] = (place % each) as i64;
        place /= each;
    }
    own
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pattern(counts: &[(u32, u32)]) -> Pattern {
        Pattern { board: 0, counts: counts.to_vec() }
    }

    fn told(lacking: i128) -> Told {
        let patterns = [pattern(&[(0, 2)]), pattern(&[(0, 1)])];
        let asked = Asked {
            patterns: &patterns,
            demands: &[81],
            pool: &[0, 1],
            wastes: &[0, 3],
            worths: &[5],
            lacking,
            additions: 1_000,
        };
        look(&asked, &[vec![2]], &mut Work::new(u64::MAX, &mut |_| true))
    }

    /// Boards that hold two waste nothing; of 81 parts one remains: alone it wastes 3, with one too many 5.
    #[test]
    fn an_odd_part_wastes_something() {
        let Told::Closed(lattice) = told(2) else { panic!("no way wastes 2") };
        assert_eq!((lattice.parts, lattice.rows), (vec![0], vec![vec![2]]));
        let Told::Way(_, way) = told(3) else { panic!("one way wastes 3") };
        assert_eq!((way.waste, way.patterns), (3, vec![1]));
    }

    /// The determinant of the vectors is the number of remainders, and each vector leaves none.
    #[test]
    fn a_lattice_has_as_many_remainders_as_its_determinant() {
        let vectors = [vec![4, 0, 1], vec![5, 3, 0], vec![5, 0, 10]];
        let lattice = lattice(&vectors, &[0, 1, 2]).unwrap();
        assert_eq!(order(&lattice), 105);
        for vector in vectors {
            assert_eq!(place(&lattice, &mut vector.clone()), 0);
        }
        for number in 0..105 {
            assert_eq!(place(&lattice, &mut remainder(&lattice, number)), number);
        }
        assert!(super::lattice(&[vec![1, 1, 0], vec![2, 2, 0], vec![0, 0, 1]], &[0, 1, 2]).is_none());
    }
}
