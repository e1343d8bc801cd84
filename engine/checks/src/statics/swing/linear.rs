//! Singular values of small dense matrices, and what follows from them: null space, least squares, eigenvalues.

/// A matrix as its columns.
pub(super) type Columns = Vec<Vec<f64>>;

/// Sweeps of rotations, far more than the six or so that matrices of this size take.
const SWEEPS: usize = 60;

/// Columns whose cosine is below this are orthogonal: rounding of sums of a dozen terms.
const ORTHOGONAL: f64 = 1e-14;

/// Columns shorter than this share of the whole matrix are rounding: they are orthogonal to nothing, and need not be.
const ROUNDING: f64 = 1e-15;

/// Singular values below this share of the largest are nothing: lengths given to nine digits make parallel chains
/// differ by 1e-9, and directions that differ by less than a tenth of a millimetre in a kilometre are the same.
const NOTHING: f64 = 1e-7;

/// A = U S V', by rotating the columns of A until they are orthogonal (one-sided Jacobi). Slow for large matrices,
/// exact for small ones, and the same on every machine.
pub(super) struct Singular {
    /// Columns of U S.
    left: Columns,
    /// Columns of V.
    right: Columns,
    /// The singular values, in no order.
    values: Vec<f64>,
}

impl Singular {
    pub(super) fn of(mut left: Columns) -> Self {
        let mut right = identity(left.len());
        let whole: f64 = left.iter().map(|column| dot(column, column)).sum();
        for _ in 0..SWEEPS {
            if !sweep(&mut left, &mut right, whole * ROUNDING * ROUNDING) {
                break;
            }
        }
        let values = left.iter().map(|column| dot(column, column).sqrt()).collect();
        Singular { left, right, values }
    }

    fn is_something(&self, index: usize) -> bool {
        let largest = self.values.iter().copied().fold(0.0, f64::max);
        self.values[index] > NOTHING * largest
    }

    /// Orthonormal vectors that the matrix takes to nothing.
    pub(super) fn null_space(&self) -> Columns {
        let nothing = (0..self.values.len()).filter(|&index| !self.is_something(index));
        nothing.map(|index| self.right[index].clone()).collect()
    }

    /// The shortest x for which A x comes nearest to `wanted`.
    pub(super) fn solve(&self, wanted: &[f64]) -> Vec<f64> {
        let mut shortest = vec![0.0; self.right.len()];
        for index in (0..self.values.len()).filter(|&index| self.is_something(index)) {
            let value = self.values[index];
            add(&mut shortest, dot(&self.left[index], wanted) / value / value, &self.right[index]);
        }
        shortest
    }
}

/// x of A x = `wanted` for a square A that is far from singular, by elimination with row pivots: many times faster than by singular
/// values. Nothing where a pivot is small beside the largest entry: then those must tell.
pub(super) fn eliminated(columns: &Columns, wanted: &[f64]) -> Option<Vec<f64>> {
    let size = wanted.len();
    let mut rows: Columns = transposed(columns);
    for (row, own) in rows.iter_mut().zip(wanted) {
        row.push(*own);
    }
    let largest = columns.iter().flatten().fold(0.0f64, |most, own| most.max(own.abs()));
    for at in 0..size {
        let pivot =
            (at..size).max_by(|one, other| rows[*one][at].abs().total_cmp(&rows[*other][at].abs()))?;
        rows.swap(at, pivot);
        if rows[at][at].abs() <= FAR_FROM_SINGULAR * largest {
            return None;
        }
        let (done, below) = rows.split_at_mut(at + 1);
        for row in below {
            let factor = row[at] / done[at][at];
            add(&mut row[at..], -factor, &done[at][at..]);
        }
    }
    let mut found = vec![0.0; size];
    for at in (0..size).rev() {
        let rest = dot(&rows[at][at + 1..size], &found[at + 1..]);
        found[at] = (rows[at][size] - rest) / rows[at][at];
    }
    Some(found)
}

/// Share of the largest entry that every pivot must have for elimination to keep nine digits.
const FAR_FROM_SINGULAR: f64 = 1e-5;

/// Rotates every pair of columns, but for those whose square is nothing; whether any was not orthogonal yet.
fn sweep(left: &mut Columns, right: &mut Columns, nothing: f64) -> bool {
    let mut turned = false;
    for second in 1..left.len() {
        for first in 0..second {
            if let Some(rotation) = rotation(&left[first], &left[second], nothing) {
                rotate(left, first, second, rotation);
                rotate(right, first, second, rotation);
                turned = true;
            }
        }
    }
    turned
}

/// Sine and cosine that make two columns orthogonal, unless they are or one of them is nothing.
fn rotation(first: &[f64], second: &[f64], nothing: f64) -> Option<(f64, f64)> {
    let (one, two, mixed) = (dot(first, first), dot(second, second), dot(first, second));
    if one.min(two) <= nothing || mixed.abs() <= ORTHOGONAL * (one * two).sqrt() {
        return None;
    }
    let zeta = (two - one) / (2.0 * mixed);
    let tangent = 1.0f64.copysign(zeta) / (zeta.abs() + (1.0 + zeta * zeta).sqrt());
    let cosine = 1.0 / (1.0 + tangent * tangent).sqrt();
    Some((cosine * tangent, cosine))
}

fn rotate(columns: &mut Columns, first: usize, second: usize, (sine, cosine): (f64, f64)) {
    for row in 0..columns[first].len() {
        let (one, two) = (columns[first][row], columns[second][row]);
        columns[first][row] = cosine * one - sine * two;
        columns[second][row] = sine * one + cosine * two;
    }
}

/// Eigenvalues of a symmetric matrix with their vectors, smallest first: the singular values of the matrix shifted until
/// all eigenvalues are positive. Exact to 1e-15 of the matrix, not of each eigenvalue.
pub(super) fn eigen(symmetric: &Columns) -> Vec<(f64, Vec<f64>)> {
    let shift = 2.0 * symmetric.iter().map(|column| dot(column, column)).sum::<f64>().sqrt();
    let mut shifted = symmetric.clone();
    for (index, column) in shifted.iter_mut().enumerate() {
        column[index] += shift;
    }
    let Singular { right, values, .. } = Singular::of(shifted);
    let mut pairs: Vec<_> = values.into_iter().map(|value| value - shift).zip(right).collect();
    pairs.sort_by(|one, other| one.0.total_cmp(&other.0));
    pairs
}

pub(super) fn identity(size: usize) -> Columns {
    let unit = |at: usize| (0..size).map(|row| if row == at { 1.0 } else { 0.0 }).collect();
    (0..size).map(unit).collect()
}

pub(super) fn dot(one: &[f64], other: &[f64]) -> f64 {
    one.iter().zip(other).map(|(one, other)| one * other).sum()
}

/// Adds `factor` times `other`.
pub(super) fn add(to: &mut [f64], factor: f64, other: &[f64]) {
    to.iter_mut().zip(other).for_each(|(own, other)| *own += factor * other);
}

/// A x.
pub(super) fn times(columns: &Columns, x: &[f64]) -> Vec<f64> {
    let mut product = vec![0.0; columns.first().map_or(0, Vec::len)];
    columns.iter().zip(x).for_each(|(column, x)| add(&mut product, *x, column));
    product
}

/// A'.
pub(super) fn transposed(columns: &Columns) -> Columns {
    let rows = columns.first().map_or(0, Vec::len);
    (0..rows).map(|row| columns.iter().map(|column| column[row]).collect()).collect()
}

/// N' A N for a symmetric A.
pub(super) fn reduced(symmetric: &Columns, to: &Columns) -> Columns {
    to.iter().map(|one| to.iter().map(|other| dot(one, &times(symmetric, other))).collect()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn assert_near(found: &[f64], wanted: &[f64]) {
        let apart = found.iter().zip(wanted).map(|(one, other)| (one - other).abs()).fold(0.0, f64::max);
        assert!(found.len() == wanted.len() && apart < 1e-14, "{found:?} is not {wanted:?}");
    }

    /// By hand: 3 x + y = 1 and x + 2 y = 2 have x = 0, y = 1.
    #[test]
    fn a_square_system_is_solved() {
        assert_near(&Singular::of(vec![vec![3.0, 1.0], vec![1.0, 2.0]]).solve(&[1.0, 2.0]), &[0.0, 1.0]);
    }

    /// Four equal levers share a load of 8 equally: of all solutions the shortest.
    #[test]
    fn of_many_solutions_the_shortest_is_taken() {
        let levers = Singular::of(vec![vec![1.0]; 4]);
        assert_near(&levers.solve(&[8.0]), &[2.0; 4]);
        assert_eq!(levers.null_space().len(), 3);
    }

    /// The best constant through 1, 2, 6 is their mean.
    #[test]
    fn without_a_solution_the_nearest_is_taken() {
        assert_near(&Singular::of(vec![vec![1.0; 3]]).solve(&[1.0, 2.0, 6.0]), &[3.0]);
    }

    #[test]
    fn the_null_space_is_orthonormal_and_goes_to_nothing() {
        let matrix = vec![vec![1.0, 0.0], vec![2.0, 1.0], vec![3.0, 1.0], vec![4.0, 0.0]];
        let nothing = Singular::of(matrix.clone()).null_space();
        assert_eq!(nothing.len(), 2);
        for one in &nothing {
            assert_near(&times(&matrix, one), &[0.0, 0.0]);
        }
        assert_near(&reduced(&identity(4), &nothing).concat(), &identity(2).concat());
    }

    /// By hand: [[1, 2], [2, -2]] has eigenvalues 2 and -3 with vectors (2, 1) and (1, -2).
    #[test]
    fn eigenvalues_have_their_sign() {
        let pairs = eigen(&vec![vec![1.0, 2.0], vec![2.0, -2.0]]);
        assert_near(&[pairs[0].0, pairs[1].0], &[-3.0, 2.0]);
        assert_near(&[pairs[1].1[0] / pairs[1].1[1]], &[2.0]);
    }

    #[test]
    fn elimination_solves_what_is_regular_and_leaves_the_rest() {
        let matrix = vec![vec![0.0, 3.0, 1.0], vec![2.0, 1.0, -1.0], vec![1.0, 0.5, 4.0]];
        let wanted = [1.0, 2.0, 3.0];
        let by_values = Singular::of(matrix.clone()).solve(&wanted);
        assert_near(&eliminated(&matrix, &wanted).unwrap(), &by_values);
        assert_eq!(eliminated(&vec![vec![1.0, 2.0], vec![2.0, 4.0]], &[1.0, 2.0]), None);
        assert_eq!(eliminated(&vec![vec![0.0, 0.0], vec![0.0, 0.0]], &[0.0, 0.0]), None);
    }

    /// What is left of columns that depend on others is rounding, which sweeps do not chase.
    #[test]
    fn columns_of_rounding_are_left_alone() {
        let mut left: Columns =
            (0..6).map(|at| vec![1.0 + f64::from(at) / 3.0, 0.1 * f64::from(at), 0.7]).collect();
        let whole: f64 = left.iter().map(|column| dot(column, column)).sum();
        let mut right = identity(6);
        let sweeps = (0..SWEEPS).take_while(|_| sweep(&mut left, &mut right, whole * ROUNDING * ROUNDING));
        assert!(sweeps.count() < 12);
        assert_near(&reduced(&identity(6), &right).concat(), &identity(6).concat());
    }

    #[test]
    fn a_matrix_of_nothing_takes_all_to_nothing() {
        let nothing = Singular::of(vec![vec![0.0; 3]; 2]);
        assert_eq!((nothing.null_space().len(), nothing.solve(&[1.0, 1.0, 1.0])), (2, vec![0.0, 0.0]));
    }

    #[test]
    fn transposing_swaps_rows_and_columns() {
        assert_eq!(transposed(&vec![vec![1.0, 2.0, 3.0], vec![4.0, 5.0, 6.0]])[2], vec![3.0, 6.0]);
    }
}
