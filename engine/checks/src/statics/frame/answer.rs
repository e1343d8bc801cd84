//! What comes out of a frame.

use super::trust::Trust;
use core::fmt::{self, Debug, Formatter};
use slatwork_base::Diagnostic;
use std::sync::Arc;

/// One combination answered: a solution, or why there is none.
#[derive(Clone, Debug, PartialEq)]
pub struct Answer {
    /// Name of the combination.
    pub combination: String,
    /// Displacements and forces, or what keeps the frame from standing.
    pub outcome: Result<Solution, Vec<Diagnostic>>,
}

/// Displacements and forces of one combination.
#[derive(Clone, Debug, PartialEq)]
pub struct Solution {
    /// Of each node: three displacements and three rotations, global axes.
    pub displacements: Rows<6>,
    /// Of each support, in the order given: force and moment on the frame, global axes; only where something holds.
    pub reactions: Rows<6>,
    /// Of each member: force and moment that its start and then its end feel, local axes. Tension is negative at the start.
    pub end_forces: Rows<12>,
    /// Wires that hang loose.
    pub slack: Vec<usize>,
    /// One-sided supports without contact: node and freedom.
    pub open: Vec<(usize, usize)>,
    /// How far the answer can be trusted.
    pub trust: Trust,
    /// What a reader of these figures must know.
    pub remarks: Vec<Diagnostic>,
}

/// Rows of so many figures. They stay as they were worked out, side by side with those of other combinations: most of them are
/// never read.
#[derive(Clone)]
pub struct Rows<const WIDTH: usize> {
    /// Of each row and each of its figures, that of every side.
    figures: Arc<Vec<f64>>,
    sides: usize,
    side: usize,
}

impl<const WIDTH: usize> Rows<WIDTH> {
    /// The rows of each side.
    pub(super) fn of_sides<const N: usize>(figures: Vec<[f64; N]>) -> [Self; N] {
        let figures = Arc::new(figures.into_flattened());
        core::array::from_fn(|side| Rows { figures: Arc::clone(&figures), sides: N, side })
    }

    /// How many there are.
    pub fn count(&self) -> usize {
        self.figures.len() / (WIDTH * self.sides)
    }

    /// One of them.
    pub fn at(&self, row: usize) -> [f64; WIDTH] {
        let whole = WIDTH * self.sides;
        let own = &self.figures[row * whole..(row + 1) * whole];
        core::array::from_fn(|at| own[at * self.sides + self.side])
    }

    /// All of them in order.
    pub fn iter(&self) -> impl Iterator<Item = [f64; WIDTH]> {
        (0..self.count()).map(|row| self.at(row))
    }

    /// All their figures in order.
    pub fn figures(&self) -> Vec<f64> {
        self.iter().flatten().collect()
    }
}

impl<const WIDTH: usize> Debug for Rows<WIDTH> {
    fn fmt(&self, out: &mut Formatter) -> fmt::Result {
        out.debug_list().entries(self.iter()).finish()
    }
}

/// Whoever stood beside them.
impl<const WIDTH: usize> PartialEq for Rows<WIDTH> {
    fn eq(&self, other: &Self) -> bool {
        self.iter().eq(other.iter())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two rows of two figures of three combinations.
    #[test]
    fn each_side_has_its_own_rows() {
        let figures = (0..4).map(|at| [0.0, 10.0, 20.0].map(|own| own + f64::from(at))).collect();
        let [first, second, third] = Rows::<2>::of_sides(figures);
        assert_eq!((second.count(), second.at(1)), (2, [12.0, 13.0]));
        assert_eq!(third.figures(), [20.0, 21.0, 22.0, 23.0]);
        let [alone] = Rows::<2>::of_sides(vec![[0.0], [1.0], [2.0], [3.0]]);
        assert!(first == alone && first != second);
    }
}
