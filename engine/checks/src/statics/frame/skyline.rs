//! A symmetric matrix kept row by row from its first entry to the diagonal, and its factors L D L^T in the same place.

/// The matrix, or its factors.
#[derive(Clone)]
pub(super) struct Skyline {
    /// Column of the first entry of each row.
    first: Vec<usize>,
    /// Where each row's diagonal is kept.
    diagonal: Vec<usize>,
    values: Vec<f64>,
}

/// L D L^T of a matrix, with what was met on the way.
pub(super) struct Factors {
    lower: Skyline,
    pivots: Vec<f64>,
    original: Vec<f64>,
    /// Rows whose pivot vanished: the structure can move without resistance there. They were held to go on.
    pub(super) vanished: Vec<usize>,
    /// Largest sum of a row of the matrix scaled to a unit diagonal.
    widest: f64,
}

/// Rounds of inverse iteration: the estimate of the condition need only be right to a factor of two or three.
const CONDITION_ROUNDS: usize = 3;

impl Skyline {
    /// An empty matrix with rows that start at the given columns.
    pub(super) fn new(first: Vec<usize>) -> Skyline {
        let mut end = 0;
        let diagonal: Vec<usize> = first
            .iter()
            .enumerate()
            .map(|(row, first)| {
                end += row - first + 1;
                end - 1
            })
            .collect();
        Skyline { first, diagonal, values: vec![0.0; end] }
    }

    pub(super) fn rows(&self) -> usize {
        self.first.len()
    }

    /// Adds to an entry on or below the diagonal, in either order of indices.
    pub(super) fn add(&mut self, a: usize, b: usize, value: f64) {
        let (row, column) = (a.max(b), a.min(b));
        self.values[self.diagonal[row] + column - row] += value;
    }

    /// An entry; zero outside the profile.
    pub(super) fn get(&self, a: usize, b: usize) -> f64 {
        let (row, column) = (a.max(b), a.min(b));
        if column < self.first[row] { 0.0 } else { self.values[self.diagonal[row] + column - row] }
    }

    /// A row without its diagonal.
    fn row(&self, row: usize) -> &[f64] {
        &self.values[self.diagonal[row] + self.first[row] - row..self.diagonal[row]]
    }

    /// Largest sum of a row, scaled to a unit diagonal.
    fn widest_row(&self) -> f64 {
        let roots: Vec<f64> = (0..self.rows()).map(|row| self.values[self.diagonal[row]].sqrt()).collect();
        let mut sums = vec![1.0; self.rows()];
        for row in 0..self.rows() {
            for (column, value) in (self.first[row]..).zip(self.row(row)) {
                if *value != 0.0 {
                    let scaled = value.abs() / (roots[row] * roots[column]);
                    sums[row] += scaled;
                    sums[column] += scaled;
                }
            }
        }
        sums.into_iter().fold(1.0, f64::max)
    }

    /// Factors; a pivot at or below `vanishing` times its diagonal counts as none.
    pub(super) fn factor(mut self, vanishing: f64) -> Factors {
        let original: Vec<f64> = self.diagonal.iter().map(|&at| self.values[at]).collect();
        let widest = self.widest_row();
        let mut pivots = vec![0.0; self.rows()];
        let mut vanished = Vec::new();
        for row in 0..self.rows() {
            let (first, start) = (self.first[row], self.diagonal[row] + self.first[row] - row);
            let (above, own) = self.values.split_at_mut(start);
            let own = &mut own[..=row - first];
            for column in first..row {
                let from = first.max(self.first[column]);
                let other = &above[self.diagonal[column] + from - column..self.diagonal[column]];
                own[column - first] -= dot(&own[from - first..column - first], other);
            }
            let (entries, diagonal) = own.split_at_mut(row - first);
            for (entry, pivot) in entries.iter_mut().zip(&pivots[first..row]) {
                let scaled = *entry / pivot;
                diagonal[0] -= *entry * scaled;
                *entry = scaled;
            }
            pivots[row] = diagonal[0];
            if diagonal[0].is_nan() || diagonal[0] <= vanishing * original[row] {
                vanished.push(row);
                pivots[row] = if original[row] > 0.0 { original[row] } else { 1.0 };
            }
        }
        Factors { lower: self, pivots, original, vanished, widest }
    }
}

/// Scalar product in four running sums, which the compiler may put side by side; the order of additions is fixed.
fn dot(a: &[f64], b: &[f64]) -> f64 {
    let (a_fours, a_rest) = a.as_chunks::<4>();
    let (b_fours, b_rest) = b.as_chunks::<4>();
    let mut sums = [0.0; 4];
    for (a, b) in a_fours.iter().zip(b_fours) {
        for k in 0..4 {
            sums[k] += a[k] * b[k];
        }
    }
    let rest: f64 = a_rest.iter().zip(b_rest).map(|(a, b)| a * b).sum();
    (sums[0] + sums[1]) + (sums[2] + sums[3]) + rest
}

impl Factors {
    /// Solves in place.
    pub(super) fn solve(&self, right: &mut [f64]) {
        let lower = &self.lower;
        for row in 0..lower.rows() {
            right[row] -= dot(lower.row(row), &right[lower.first[row]..row]);
        }
        right.iter_mut().zip(&self.pivots).for_each(|(value, pivot)| *value /= pivot);
        self.back(right, lower.rows());
    }

    /// Solves with the upper factor in the first `rows` rows.
    fn back(&self, right: &mut [f64], rows: usize) {
        for row in (0..rows).rev() {
            let value = right[row];
            let above = &mut right[self.lower.first[row]..row];
            above.iter_mut().zip(self.lower.row(row)).for_each(|(entry, factor)| *entry -= factor * value);
        }
    }

    /// The row whose pivot is the smallest share of its diagonal.
    pub(super) fn weakest(&self) -> usize {
        let share = |row: usize| self.pivots[row] / self.original[row];
        (0..self.pivots.len()).min_by(|&a, &b| share(a).total_cmp(&share(b))).unwrap_or(0)
    }

    /// A motion that meets no resistance, of a row whose pivot vanished: its entry is 1.
    pub(super) fn free_motion(&self, row: usize) -> Vec<f64> {
        let mut motion = vec![0.0; self.lower.rows()];
        motion[row] = 1.0;
        self.back(&mut motion, row + 1);
        motion
    }

    /// Estimate from below of the condition of the matrix scaled to a unit diagonal: largest row sum times the growth of
    /// inverse iteration.
    pub(super) fn condition(&self) -> f64 {
        let roots: Vec<f64> = self.original.iter().map(|value| value.sqrt()).collect();
        // No symmetry, so that no mode is missed by chance.
        let mut vector: Vec<f64> = (0..roots.len()).map(|row| 1.0 + 0.37 * (row % 7) as f64).collect();
        let mut growth = 1.0;
        for _ in 0..CONDITION_ROUNDS {
            let length = dot(&vector, &vector).sqrt();
            vector.iter_mut().zip(&roots).for_each(|(value, root)| *value *= root / length);
            self.solve(&mut vector);
            vector.iter_mut().zip(&roots).for_each(|(value, root)| *value *= root);
            growth = dot(&vector, &vector).sqrt();
        }
        (self.widest * growth).max(1.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A chain of unit springs held at the start, with one far spring that widens the profile.
    fn chain(held: f64) -> Skyline {
        let mut matrix = Skyline::new(vec![0, 0, 1, 2, 3, 0]);
        matrix.add(0, 0, held);
        for (a, b) in [(0, 1), (1, 2), (2, 3), (3, 4), (4, 5), (0, 5)] {
            matrix.add(a, a, 1.0);
            matrix.add(b, b, 1.0);
            matrix.add(a, b, -1.0);
        }
        matrix
    }

    #[test]
    fn what_is_multiplied_is_solved() {
        let matrix = chain(0.5);
        let given = [1.0, -2.0, 3.0, 0.5, 0.25, -1.0];
        let mut right: Vec<f64> =
            (0..6).map(|row| (0..6).map(|column| matrix.get(row, column) * given[column]).sum()).collect();
        let factors = matrix.factor(1e-10);
        assert!(factors.vanished.is_empty());
        factors.solve(&mut right);
        given.iter().zip(&right).for_each(|(a, b)| assert!((a - b).abs() < 1e-13, "{a} {b}"));
    }

    #[test]
    fn a_chain_that_nothing_holds_moves_as_one() {
        let factors = chain(0.0).factor(1e-10);
        assert_eq!(factors.vanished, [5]);
        factors.free_motion(5).iter().for_each(|value| assert!((value - 1.0).abs() < 1e-14, "{value}"));
    }

    /// Held by a thousandth, the smallest eigenvalue is about 1e-3 / 6, the largest about 4.
    #[test]
    fn a_loose_hold_shows_in_the_condition() {
        let [firm, loose] = [1.0, 1e-6].map(|held| chain(held).factor(1e-10).condition());
        assert!(firm > 5.0 && firm < 200.0, "{firm}");
        assert!(loose > 1e6 && loose < 1e8, "{loose}");
    }
}
