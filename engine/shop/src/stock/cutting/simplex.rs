//! The master problem: a linear program over the patterns known so far, solved by a revised simplex method with an
//! explicit inverse.
//!
//! Minimise cost x with one row for each part (at least its demand) and further rows of either sense, x >= 0. Every row
//! starts with an artificial variable that is dear enough to leave. Columns are added as they are generated; primal steps
//! take in better columns, dual steps mend a plan whose demands were lowered.
//!
//! The inverse is kept by columns, since a pattern has few parts: a direction is the sum of few of them, and an update
//! skips those that the pivot row does not touch. Right sides are moved by a millionth, each by another share, so that ties
//! (and with them long stalls) are rare; nothing proven rests on these numbers, which are binary64 throughout.
//!
//! Source: Dantzig's revised simplex with the product update of an explicit inverse; perturbation after Charnes 1952
//! (from memory).

use super::work::Work;

/// A reduced cost nearer to nought than this, relative to the dearest column, is nought.
const REDUCED: f64 = 1e-9;
/// A pivot smaller than this would spoil the inverse.
const PIVOT: f64 = 1e-7;
/// A level above minus this is not negative.
const LEVEL: f64 = 1e-9;
/// A level below minus this is no slip.
const BROKEN: f64 = 1e-6;
/// A weight beyond which all begin anew.
const HEAVY: f64 = 1e7;
/// Levels may slip below nought by so much: far less than right sides are moved by.
const SLIP: f64 = 1e-8;
/// Share by which cost and worth of a plan may differ at the end; more, and the inverse is worked out anew.
const ASTRAY: f64 = 1e-7;
/// Right sides are moved by at most this.
const MOVE: f64 = 1.5e-6;
/// Pivots after which the inverse is worked out anew.
const REFRESH: usize = 3_000;

/// A row's sense.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Sense {
    /// At least.
    Least,
    /// At most.
    Most,
}

impl Sense {
    /// Factor of the row's slack.
    fn slack(self) -> f64 {
        if self == Sense::Least { -1.0 } else { 1.0 }
    }
}

/// A column: what it costs and how it counts in the rows.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Column {
    pub cost: f64,
    pub entries: Vec<(u32, f64)>,
}

/// What is basic at a place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Basic {
    Artificial(usize),
    Slack(usize),
    Column(usize),
}

/// A linear program with a basis.
#[derive(Clone)]
pub(super) struct Master {
    senses: Vec<Sense>,
    /// Right sides as they were given.
    plain: Vec<f64>,
    /// The same, moved a little.
    right: Vec<f64>,
    columns: Vec<Column>,
    is_basic: Vec<bool>,
    slack_is_basic: Vec<bool>,
    basis: Vec<Basic>,
    /// `inverse[row * rows + place]`.
    inverse: Vec<f64>,
    levels: Vec<f64>,
    duals: Vec<f64>,
    /// Devex weights of all slacks, then of all columns.
    weights: Vec<f64>,
    /// Cost of an artificial variable.
    dear: f64,
    pivots: usize,
}

impl Master {
    /// Rows without columns. `dear` must exceed what a unit of any row can be worth.
    pub(super) fn new(rows: &[(Sense, f64)], dear: f64) -> Master {
        let mut master = Master {
            senses: rows.iter().map(|row| row.0).collect(),
            plain: rows.iter().map(|row| row.1).collect(),
            right: vec![0.0; rows.len()],
            columns: Vec::new(),
            is_basic: Vec::new(),
            slack_is_basic: vec![false; rows.len()],
            basis: Vec::new(),
            inverse: Vec::new(),
            levels: Vec::new(),
            duals: Vec::new(),
            weights: vec![1.0; rows.len()],
            dear,
            pivots: 0,
        };
        for (row, &(_, right)) in rows.iter().enumerate() {
            master.right[row] = master.moved(row, right);
        }
        master.start();
        master
    }

    /// Artificial variables in rows that ask for something, slacks in the others.
    fn start(&mut self) {
        let rows = self.right.len();
        self.inverse = vec![0.0; rows * rows];
        self.basis.clear();
        self.is_basic.fill(false);
        for row in 0..rows {
            let is_slack = self.senses[row] == Sense::Most || self.right[row] < 0.0;
            self.inverse[row * rows + row] = if is_slack { self.senses[row].slack() } else { 1.0 };
            self.slack_is_basic[row] = is_slack;
            self.basis.push(if is_slack { Basic::Slack(row) } else { Basic::Artificial(row) });
        }
        self.levels = (0..rows).map(|row| self.right[row] * self.inverse[row * rows + row]).collect();
        self.restore_duals();
    }

    /// A right side moved by a millionth, each row's by a share of its own (a golden-ratio sequence): up, but for demands of
    /// nought, which become less than that.
    fn moved(&self, row: usize, plain: f64) -> f64 {
        let share = (row as f64 * 0.618_033_988_749_894_9).fract();
        let is_idle = self.senses[row] == Sense::Least && plain <= 0.0;
        let by = MOVE * (0.5 + share) / 1.5;
        if is_idle { plain - by } else { plain + by }
    }

    fn rows(&self) -> usize {
        self.right.len()
    }

    /// A column more.
    pub(super) fn add(&mut self, column: Column) {
        self.columns.push(column);
        self.is_basic.push(false);
        self.weights.push(1.0);
    }

    /// The multipliers of the rows.
    pub(super) fn duals(&self) -> &[f64] {
        &self.duals
    }

    /// Columns above nought.
    pub(super) fn levels(&self) -> Vec<(usize, f64)> {
        let mut used: Vec<(usize, f64)> = self
            .basis
            .iter()
            .zip(&self.levels)
            .filter_map(|(basic, &level)| match basic {
                Basic::Column(at) if level > LEVEL => Some((*at, level)),
                _ => None,
            })
            .collect();
        used.sort_by_key(|used| used.0);
        used
    }

    /// What the plan costs without the moves of right sides.
    pub(super) fn plain_objective(&self) -> f64 {
        dot(&self.duals, &self.plain)
    }

    /// What the plan costs, artificial variables included.
    fn objective(&self) -> f64 {
        self.basis.iter().zip(&self.levels).map(|(&basic, level)| self.cost(basic) * level).sum()
    }

    /// How much of the rows is met by artificial variables.
    pub(super) fn shortage(&self) -> f64 {
        let artificial =
            self.basis.iter().zip(&self.levels).filter(|(basic, _)| matches!(basic, Basic::Artificial(_)));
        artificial.map(|(_, level)| level.abs()).sum()
    }

    fn cost(&self, basic: Basic) -> f64 {
        match basic {
            Basic::Artificial(_) => self.dear,
            Basic::Slack(_) => 0.0,
            Basic::Column(at) => self.columns[at].cost,
        }
    }

    /// Makes artificial variables dearer.
    pub(super) fn set_dear(&mut self, dear: f64) {
        self.dear = dear;
        self.restore_duals();
    }

    /// The column costs so much from now on; the plan stays, and is no longer the cheapest.
    pub(super) fn set_cost(&mut self, column: usize, cost: f64) {
        self.columns[column].cost = cost;
    }

    /// Multipliers of the basis as it stands.
    pub(super) fn restore_duals(&mut self) {
        let rows = self.rows();
        let costs: Vec<f64> = self.basis.iter().map(|&basic| self.cost(basic)).collect();
        self.duals = self.inverse.chunks_exact(rows.max(1)).map(|column| dot(column, &costs)).collect();
    }

    /// Another right side; levels may turn negative, which [`Master::dual`] mends.
    pub(super) fn set_right(&mut self, row: usize, plain: f64) {
        let (rows, right) = (self.rows(), self.moved(row, plain));
        self.plain[row] = plain;
        let change = right - self.right[row];
        self.right[row] = right;
        for (level, factor) in self.levels.iter_mut().zip(&self.inverse[row * rows..(row + 1) * rows]) {
            *level += change * factor;
        }
    }

    fn reduced_cost(&self, basic: Basic) -> f64 {
        match basic {
            Basic::Artificial(row) => self.dear + self.senses[row].slack() * self.duals[row],
            Basic::Slack(row) => -self.senses[row].slack() * self.duals[row],
            Basic::Column(at) => self.reduced(&self.columns[at]),
        }
    }

    fn reduced(&self, column: &Column) -> f64 {
        column.cost
            - column.entries.iter().map(|&(row, factor)| self.duals[row as usize] * factor).sum::<f64>()
    }

    /// Takes in columns until none lowers the cost: of those that do, the one of the steepest fall by Devex weights (Harris
    /// 1973, Mathematical Programming 5:1-28, from memory), which take far fewer steps than the largest fall would.
    pub(super) fn primal(&mut self, work: &mut Work) {
        let tolerance = REDUCED * self.dear;
        self.restart_if_broken();
        let mut reduced = self.all_reduced();
        // Steps since reduced costs were worked out, not only kept up to date.
        let mut kept = 0;
        while !work.is_over() {
            let next = self.steepest(&reduced, tolerance);
            if next.is_some_and(|next| self.weights[next.0] > HEAVY) {
                self.weights.fill(1.0);
            }
            let Some((index, entering)) = next else {
                if kept == 0 {
                    return;
                }
                if self.is_astray() {
                    self.refresh(work);
                    self.restart_if_broken();
                }
                (reduced, kept) = (self.all_reduced(), 0);
                continue;
            };
            // Kept up to date, it may be a little off.
            reduced[index] = self.reduced_cost(entering);
            if reduced[index] > -tolerance {
                continue;
            }
            let direction = self.direction(entering);
            let Some(place) = self.first_to_leave(&direction) else { return };
            let (fall, row) = (reduced[index], self.inverse_row(place));
            self.keep_up(&mut reduced, index, &row, fall / direction[place], direction[place]);
            let leaving = self.basis[place];
            self.pivot(entering, fall, place, &direction, work);
            self.weigh_leaving(leaving, index, direction[place]);
            match leaving {
                Basic::Artificial(_) => {}
                Basic::Slack(row) => reduced[row] = -fall / direction[place],
                Basic::Column(at) => reduced[self.rows() + at] = -fall / direction[place],
            }
            kept += 1;
        }
    }

    /// Begins anew from a plan that is none: one that dual steps did not mend, or that was worked out wrongly.
    fn restart_if_broken(&mut self) {
        if self.levels.iter().any(|&level| level < -BROKEN) {
            self.start();
        }
    }

    /// Whether the plan's cost and the worth of the right sides have come apart.
    fn is_astray(&self) -> bool {
        let (cost, worth) = (self.objective(), dot(&self.duals, &self.right));
        (cost - worth).abs() > ASTRAY * (1.0 + cost.abs())
    }

    /// Reduced costs of all slacks, then of all columns; nought where they are basic.
    fn all_reduced(&self) -> Vec<f64> {
        let slacks = (0..self.rows()).map(|row| {
            if self.slack_is_basic[row] { 0.0 } else { -self.senses[row].slack() * self.duals[row] }
        });
        let columns = self.columns.iter().zip(&self.is_basic);
        slacks
            .chain(columns.map(|(column, &is_basic)| if is_basic { 0.0 } else { self.reduced(column) }))
            .collect()
    }

    /// What falls steepest for its weight.
    fn steepest(&self, reduced: &[f64], tolerance: f64) -> Option<(usize, Basic)> {
        let mut best = (0.0, None);
        for (index, (&reduced, &weight)) in reduced.iter().zip(&self.weights).enumerate() {
            if reduced < -tolerance && reduced * reduced > best.0 * weight {
                best = (reduced * reduced / weight, Some(index));
            }
        }
        let rows = self.rows();
        best.1.map(|index| {
            (index, if index < rows { Basic::Slack(index) } else { Basic::Column(index - rows) })
        })
    }

    /// A row of the inverse.
    fn inverse_row(&self, place: usize) -> Vec<f64> {
        self.inverse.iter().skip(place).step_by(self.rows()).copied().collect()
    }

    /// Reduced costs and weights after a step: `row` is the pivot's row of the inverse, `price` the change of that row's
    /// multiplier, `pivot` its factor.
    fn keep_up(&mut self, reduced: &mut [f64], entering: usize, row: &[f64], price: f64, pivot: f64) {
        let rows = self.rows();
        let own = self.weights[entering] / (pivot * pivot);
        // Weights are kept finite: they grow by the square of a factor at each step.
        let heaviest = HEAVY * HEAVY;
        let mut update = |index: usize, factor: f64| {
            if factor != 0.0 {
                reduced[index] -= price * factor;
                self.weights[index] = self.weights[index].max((factor * factor * own).min(heaviest));
            }
        };
        for (at, &factor) in row.iter().enumerate().filter(|(at, _)| !self.slack_is_basic[*at]) {
            update(at, self.senses[at].slack() * factor);
        }
        for (at, column) in self.columns.iter().enumerate().filter(|(at, _)| !self.is_basic[*at]) {
            update(rows + at, column.entries.iter().map(|&(at, factor)| row[at as usize] * factor).sum());
        }
        reduced[entering] = 0.0;
    }

    /// The weight of what has left.
    fn weigh_leaving(&mut self, leaving: Basic, entering: usize, pivot: f64) {
        let weight = (self.weights[entering] / (pivot * pivot)).clamp(1.0, HEAVY);
        match leaving {
            Basic::Artificial(_) => {}
            Basic::Slack(row) => self.weights[row] = weight,
            Basic::Column(at) => self.weights[self.right.len() + at] = weight,
        }
    }

    /// How the basic levels fall as something enters.
    fn direction(&self, entering: Basic) -> Vec<f64> {
        let rows = self.rows();
        let mut direction = vec![0.0; rows];
        let mut add = |row: usize, factor: f64| {
            for (own, inverse) in direction.iter_mut().zip(&self.inverse[row * rows..(row + 1) * rows]) {
                *own += factor * inverse;
            }
        };
        match entering {
            Basic::Artificial(row) => add(row, -self.senses[row].slack()),
            Basic::Slack(row) => add(row, self.senses[row].slack()),
            Basic::Column(at) => {
                self.columns[at].entries.iter().for_each(|&(row, factor)| add(row as usize, factor))
            }
        }
        direction
    }

    /// The place that falls to nought first, or so nearly first that levels below nought stay within [`SLIP`]: of those the
    /// one with the largest pivot, which keeps the inverse sound (Harris 1973).
    fn first_to_leave(&self, direction: &[f64]) -> Option<usize> {
        let candidates = || (0..direction.len()).filter(|&place| direction[place] > PIVOT);
        let ratio = |place: usize, slip: f64| (self.levels[place].max(0.0) + slip) / direction[place];
        let least = candidates().map(|place| ratio(place, SLIP)).fold(f64::INFINITY, f64::min);
        let first = candidates().filter(|&place| ratio(place, 0.0) <= least);
        first.max_by(|&a, &b| direction[a].total_cmp(&direction[b]))
    }

    /// Lets something enter at a place.
    fn pivot(&mut self, entering: Basic, reduced: f64, place: usize, direction: &[f64], work: &mut Work) {
        let rows = self.rows();
        let level = self.levels[place] / direction[place];
        for (own, change) in self.levels.iter_mut().zip(direction) {
            *own -= level * change;
        }
        self.levels[place] = level;
        let mut touched = 0;
        for (row, column) in self.inverse.chunks_exact_mut(rows).enumerate() {
            if column[place] != 0.0 {
                let factor = column[place] / direction[place];
                for (own, change) in column.iter_mut().zip(direction) {
                    *own -= factor * change;
                }
                column[place] = factor;
                self.duals[row] += reduced * factor;
                touched += 1;
            }
        }
        self.mark(self.basis[place], false);
        self.mark(entering, true);
        self.basis[place] = entering;
        work.spend(rows * (touched + 4) / 4 + 2 * self.columns.len());
        self.pivots += 1;
        if self.pivots.is_multiple_of(REFRESH) {
            self.refresh(work);
        }
    }

    fn mark(&mut self, basic: Basic, is_basic: bool) {
        match basic {
            Basic::Artificial(_) => {}
            Basic::Slack(row) => self.slack_is_basic[row] = is_basic,
            Basic::Column(at) => self.is_basic[at] = is_basic,
        }
    }

    /// Works out inverse, levels and multipliers anew from the same basis.
    pub(super) fn refresh(&mut self, work: &mut Work) {
        let basis = self.basis.clone();
        self.take_basis(&basis, work);
    }

    /// Makes these basic, as far as they are independent, whatever was basic before.
    pub(super) fn take_basis(&mut self, basis: &[Basic], work: &mut Work) {
        self.start();
        let mut wanted: Vec<Basic> =
            basis.iter().copied().filter(|basic| !self.basis.contains(basic)).collect();
        // Short columns first: most then need no more than a place of their own.
        wanted.sort_by_key(|basic| match basic {
            Basic::Column(at) => self.columns[*at].entries.len(),
            _ => 0,
        });
        let keep: Vec<bool> = self.basis.iter().map(|basic| basis.contains(basic)).collect();
        let mut free: Vec<bool> = keep.iter().map(|keep| !keep).collect();
        for entering in wanted {
            let direction = self.direction(entering);
            let places = (0..free.len()).filter(|&place| free[place]);
            let largest = places.max_by(|&a, &b| direction[a].abs().total_cmp(&direction[b].abs()));
            if let Some(place) = largest.filter(|&place| direction[place].abs() > PIVOT) {
                free[place] = false;
                // Counted as a pivot once the basis stands.
                let pivots = std::mem::replace(&mut self.pivots, 0);
                self.pivot(entering, 0.0, place, &direction, work);
                self.pivots = pivots;
            }
        }
        self.restore_duals();
    }

    /// What is basic.
    pub(super) fn basis(&self) -> &[Basic] {
        &self.basis
    }

    /// Mends negative levels while keeping reduced costs from turning negative. What it cannot mend, primal steps do from
    /// the beginning.
    pub(super) fn dual(&mut self, work: &mut Work) {
        for _ in 0..4 * self.rows() + 100 {
            let worst = (0..self.rows()).min_by(|&a, &b| self.levels[a].total_cmp(&self.levels[b]));
            let Some(place) = worst.filter(|&place| self.levels[place] < -LEVEL) else { return };
            let Some((entering, reduced)) = self.to_replace(place) else { return };
            let direction = self.direction(entering);
            if direction[place] > -PIVOT || work.is_over() {
                return;
            }
            self.pivot(entering, reduced, place, &direction, work);
        }
    }

    /// What may enter for the basic variable at a place: the least reduced cost for its share in that row, or nearly the
    /// least with a larger share.
    fn to_replace(&self, place: usize) -> Option<(Basic, f64)> {
        let row = self.inverse_row(place);
        let mut candidates: Vec<(Basic, f64, f64)> = Vec::new();
        let mut consider = |basic: Basic, share: f64| {
            if share < -PIVOT {
                candidates.push((basic, -share, self.reduced_cost(basic)));
            }
        };
        for (at, column) in self.columns.iter().enumerate().filter(|(at, _)| !self.is_basic[*at]) {
            let share = column.entries.iter().map(|&(own, factor)| row[own as usize] * factor).sum();
            consider(Basic::Column(at), share);
        }
        for (own, sense) in self.senses.iter().enumerate() {
            if !self.slack_is_basic[own] {
                consider(Basic::Slack(own), sense.slack() * row[own]);
            }
            consider(Basic::Artificial(own), -sense.slack() * row[own]);
        }
        let slip = REDUCED * self.dear;
        let least =
            candidates.iter().map(|own| (own.2.max(0.0) + slip) / own.1).fold(f64::INFINITY, f64::min);
        let near = candidates.into_iter().filter(|own| own.2 / own.1 <= least);
        near.max_by(|a, b| a.1.total_cmp(&b.1)).map(|(basic, _, reduced)| (basic, reduced))
    }
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn column(cost: f64, entries: &[(u32, f64)]) -> Column {
        Column { cost, entries: entries.to_vec() }
    }

    /// Three of each of two parts; patterns (2, 0), (0, 2), (1, 1), (3, 1) at cost 1: x = 1 of the last and 1 of (0, 2) make
    /// it, with multipliers 1/6 and 1/2, which are worth 2; no column is worth more than 1.
    fn program() -> Master {
        let mut master = Master::new(&[(Sense::Least, 3.0), (Sense::Least, 3.0)], 10.0);
        for entries in [&[(0, 2.0)][..], &[(1, 2.0)], &[(0, 1.0), (1, 1.0)], &[(0, 3.0), (1, 1.0)]] {
            master.add(column(1.0, entries));
        }
        master
    }

    #[test]
    fn primal_steps_find_the_cheapest_plan() {
        let mut master = program();
        let go_on = &mut |_: &_| true;
        master.primal(&mut Work::new(u64::MAX, go_on));
        assert!((master.plain_objective() - 2.0).abs() < 1e-5);
        assert!((master.duals()[0] - 1.0 / 6.0).abs() < 1e-9 && (master.duals()[1] - 0.5).abs() < 1e-9);
        let levels = master.levels();
        assert_eq!(levels.iter().map(|level| level.0).collect::<Vec<_>>(), [1, 3]);
        assert!(levels.iter().all(|level| (level.1 - 1.0).abs() < 1e-5));
        assert!(master.shortage() < 1e-9);
    }

    /// Of the second part only one is wanted now: (3, 1) alone makes all.
    #[test]
    fn dual_steps_mend_a_plan_when_less_is_wanted() {
        let mut master = program();
        let go_on = &mut |_: &_| true;
        let work = &mut Work::new(u64::MAX, go_on);
        master.primal(work);
        master.set_right(1, 0.5);
        master.dual(work);
        master.primal(work);
        assert!((master.plain_objective() - 1.0).abs() < 1e-5);
        assert_eq!(master.levels().iter().map(|level| level.0).collect::<Vec<_>>(), [3]);
    }

    /// Worked out anew from the same basis, all stays.
    #[test]
    fn a_fresh_inverse_changes_nothing() {
        let mut master = program();
        let go_on = &mut |_: &_| true;
        let work = &mut Work::new(u64::MAX, go_on);
        master.primal(work);
        let before = (master.levels(), master.duals().to_vec());
        master.refresh(work);
        for ((at, level), (was, old)) in master.levels().into_iter().zip(before.0) {
            assert!(at == was && (level - old).abs() < 1e-9);
        }
        assert!(master.duals().iter().zip(before.1).all(|(now, was)| (now - was).abs() < 1e-9));
    }

    /// At most one of the pattern (3, 1) is to be had, and two are wanted: what is short is told.
    #[test]
    fn a_shortage_is_told() {
        let mut master = Master::new(&[(Sense::Least, 6.0), (Sense::Most, 1.0)], 10.0);
        master.add(column(1.0, &[(0, 3.0), (1, 1.0)]));
        let go_on = &mut |_: &_| true;
        master.primal(&mut Work::new(u64::MAX, go_on));
        assert!((master.shortage() - 3.0).abs() < 1e-4);
    }
}
