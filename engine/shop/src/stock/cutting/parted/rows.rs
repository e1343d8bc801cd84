//! The least room that every number of parts takes which come together with others.

use super::super::Part;
use super::super::instance::{self, Instance, common_measure, count};
use super::{Fault, Problem};
use crate::stock::counts::Lattice;

/// Most numbers of parts that are listed (project choice).
const MOST_NUMBERS: usize = 60_000;

/// Parts, stock and lengths in units.
#[derive(Clone, Debug)]
pub(super) struct Yard {
    /// For the linear program and the search. The size of a part is at most its share of any length that gives it.
    pub instance: Instance,
    /// The parts that are wanted, by their places in the problem.
    pub parts: Vec<usize>,
    /// By part: the length that gives it alone, for parts that come in no other way.
    pub plain: Vec<Option<usize>>,
    /// The others.
    pub rows: Rows,
}

/// A length that gives parts of a row.
#[derive(Clone, Debug)]
struct Given {
    cut: usize,
    size: i64,
    /// How many of each part of rows.
    counts: Vec<usize>,
}

/// Numbers of the parts that are not plain.
#[derive(Clone, Debug)]
pub(super) struct Rows {
    /// These parts.
    pub parts: Vec<u32>,
    lattice: Lattice,
    given: Vec<Given>,
    /// By number: least room, and the length that is cut last; nothing for no parts.
    least: Vec<(i64, Option<usize>)>,
    /// Numbers to which no part can be added without more room.
    pub full: Vec<usize>,
}

impl Yard {
    /// Of a problem that was validated.
    pub(super) fn of(problem: &Problem) -> Result<Yard, Fault> {
        let parts: Vec<usize> =
            (0..problem.demands.len()).filter(|&part| problem.demands[part] > 0).collect();
        let demands: Vec<u32> = parts.iter().map(|&part| count(problem.demands[part])).collect();
        let longest = problem.stocks.iter().map(|stock| stock.length).max().unwrap_or(0);
        let room = longest - problem.trim[0] - problem.trim[1];
        let useful = |cut: &usize| {
            let cut = &problem.cuts[*cut];
            cut.length <= room && cut.parts.iter().any(|own| problem.demands[own.0] > 0)
        };
        let cuts: Vec<usize> = (0..problem.cuts.len()).filter(useful).collect();
        let taken = |cut: usize| problem.cuts[cut].length + problem.kerf;
        let given = |cut: usize| {
            let wanted = problem.cuts[cut].parts.iter().filter(|own| problem.demands[own.0] > 0);
            wanted.map(|own| own.1 as i64).sum::<i64>().max(1)
        };
        let measure = cuts.iter().fold(0, |unit, &cut| common_measure(unit, taken(cut))).max(1);
        // A part takes a unit at the least: units are divided where a length gives more parts than it has units.
        let most_given = cuts.iter().map(|&cut| given(cut)).max().unwrap_or(1);
        let is_coarse = cuts.iter().any(|&cut| taken(cut) / measure < given(cut));
        let finer = if is_coarse { most_given } else { 1 };
        let size = |cut: usize| taken(cut) / measure * finer;
        let smallest = cuts.iter().map(|&cut| size(cut)).min().unwrap_or(i64::MAX);
        let plain_problem = problem.plain(vec![Part { length: 1, demand: 1 }]);
        let mut boards = instance::boards(&plain_problem, measure, smallest / finer, demands.iter().sum());
        boards.iter_mut().for_each(|board| board.capacity *= finer);
        let capacity = boards.first().map_or(0, |board| board.capacity);

        let of_part = |part: usize| {
            cuts.iter().copied().filter(move |&cut| problem.cuts[cut].parts.iter().any(|own| own.0 == part))
        };
        let plain: Vec<Option<usize>> = parts
            .iter()
            .map(|&part| {
                let alone = of_part(part).all(|cut| problem.cuts[cut].parts == [(part, 1)]);
                of_part(part).min_by_key(|&cut| (size(cut), cut)).filter(|_| alone)
            })
            .collect();
        let share = |&part: &usize| of_part(part).map(|cut| size(cut) / given(cut)).min().unwrap_or(1);
        let sizes: Vec<i64> = parts.iter().map(share).collect();
        let largest = parts.iter().filter_map(|&part| of_part(part).map(size).min()).max().unwrap_or(0);
        let lengths = parts.iter().map(|&part| part as i64).collect();
        let instance = Instance { sizes, demands, lengths, boards, step: 1, scale: 1 };
        let instance = instance.finished(largest).map_err(Fault::Cutting)?;
        let rows = Rows::of(problem, (&parts, &plain), &instance, (&cuts, &size), capacity.max(largest))?;
        Ok(Yard { instance, parts, plain, rows })
    }
}

impl Rows {
    fn of(
        problem: &Problem,
        (parts, plain): (&[usize], &[Option<usize>]),
        instance: &Instance,
        (cuts, size): (&[usize], &dyn Fn(usize) -> i64),
        capacity: i64,
    ) -> Result<Rows, Fault> {
        let own: Vec<usize> = (0..parts.len()).filter(|&part| plain[part].is_none()).collect();
        let given = |&cut: &usize| {
            let length = &problem.cuts[cut];
            let of = |&part: &usize| {
                length.parts.iter().filter(|own| own.0 == parts[part]).map(|own| own.1).sum::<usize>()
            };
            let counts: Vec<usize> = own.iter().map(of).collect();
            (counts.iter().sum::<usize>() > 0).then_some(Given { cut, size: size(cut), counts })
        };
        let given: Vec<Given> = cuts.iter().filter_map(given).collect();
        let most = |&part: &usize| {
            let held = usize::try_from(capacity / instance.sizes[part]).unwrap_or(0);
            held.min(instance.demands[part] as usize)
        };
        let most: Vec<usize> = own.iter().map(most).collect();
        let lattice = Lattice::new(&most, MOST_NUMBERS).ok_or(Fault::TooMany)?;
        let parts = own.iter().map(|&part| part as u32).collect();
        let mut rows = Rows { parts, lattice, given, least: vec![(0, None)], full: Vec::new() };
        for number in 1..rows.lattice.size() {
            let least = rows.least_of(number);
            rows.least.push(least);
        }
        rows.full = (0..rows.least.len())
            .filter(|&number| rows.size(number) <= capacity && rows.room_for_more(number) > 0)
            .collect();
        Ok(rows)
    }

    /// From the numbers before: the length that is cut last leaves one of them.
    fn least_of(&self, number: usize) -> (i64, Option<usize>) {
        let mut least = (i64::MAX, None);
        for (at, given) in self.given.iter().enumerate() {
            let rest = self.rest(number, given);
            let size = self.least.get(rest).map_or(i64::MAX, |own| own.0).saturating_add(given.size);
            if rest < number && size < least.0 {
                least = (size, Some(at));
            }
        }
        least
    }

    /// What is left of a number when a length has given what it can.
    fn rest(&self, number: usize, given: &Given) -> usize {
        let taken =
            given.counts.iter().enumerate().filter(|own| *own.1 > 0).map(|(part, &count)| {
                self.lattice.count(number, part).min(count) * self.lattice.stride(part)
            });
        number - taken.sum::<usize>()
    }

    /// Least room of a number of parts.
    pub(super) fn size(&self, number: usize) -> i64 {
        self.least[number].0
    }

    /// How many of each part there are, in the order of `parts`.
    pub(super) fn counts(&self, number: usize) -> Vec<usize> {
        self.lattice.counts(number)
    }

    /// The number of so many of each part, in the order of `parts`; nothing when no board holds them.
    pub(super) fn number(&self, counts: &[usize]) -> Option<usize> {
        let most = self.lattice.counts(self.lattice.size() - 1);
        counts.iter().zip(most).all(|(own, most)| *own <= most).then(|| self.lattice.way(counts))
    }

    /// Least room that any part more takes; what never fits takes all.
    pub(super) fn room_for_more(&self, number: usize) -> i64 {
        let counts = self.lattice.counts(number);
        let more = |part: usize| {
            let mut more = counts.clone();
            more[part] += 1;
            self.number(&more).map_or(i64::MAX, |more| self.size(more) - self.size(number))
        };
        (0..counts.len()).map(more).min().unwrap_or(i64::MAX)
    }

    /// The lengths that give so many parts in the least room, or more, by their places in the problem.
    pub(super) fn cuts(&self, mut number: usize) -> Vec<usize> {
        let mut cuts = Vec::new();
        while let Some(at) = self.least[number].1 {
            let given = &self.given[at];
            cuts.push(given.cut);
            number = self.rest(number, given);
        }
        cuts
    }
}
