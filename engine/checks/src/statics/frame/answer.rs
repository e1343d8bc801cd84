//! What comes out of a frame.

use super::trust::Trust;
use slatwork_base::Diagnostic;

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
    pub displacements: Vec<[f64; 6]>,
    /// Of each support, in the order given: force and moment on the frame, global axes; only where something holds.
    pub reactions: Vec<[f64; 6]>,
    /// Of each member: force and moment that its start and then its end feel, local axes. Tension is negative at the start.
    pub end_forces: Vec<[f64; 12]>,
    /// Wires that hang loose.
    pub slack: Vec<usize>,
    /// One-sided supports without contact: node and freedom.
    pub open: Vec<(usize, usize)>,
    /// How far the answer can be trusted.
    pub trust: Trust,
    /// What a reader of these figures must know.
    pub remarks: Vec<Diagnostic>,
}
