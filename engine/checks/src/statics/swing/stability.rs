//! What is left free at a posture, and what brings the seat back.

use super::balance::Balance;
use super::bonds::{Bonds, lagrangian};
use super::linear::{Columns, Singular, eigen, reduced, times, transposed};
use super::pose::told_at;
use slatwork_solid::DVec3;

/// How a posture answers small pushes.
#[derive(Clone, Debug)]
pub(super) struct Stability {
    /// Motions that the taut chains leave free.
    pub(super) freedoms: usize,
    /// Smallest eigenvalue of the second derivative of the Lagrangian over those motions, told by the seat's origin with a
    /// metre and a radian as equals, in weights per metre.
    pub(super) stiffness: f64,
    /// The motion that it belongs to.
    pub(super) softest: Vec<f64>,
}

/// Stiffness, in weights a metre, that is nothing: rounding of lengths given to nine digits.
const NOTHING: f64 = 1e-8;

impl Stability {
    pub(super) fn of(bonds: &Bonds, balance: &Balance) -> Self {
        let spans = bonds.spans(&balance.pose);
        let steps = steps_of_seat(bonds, balance);
        let held = spans.iter().zip(balance.taut()).filter(|(_, taut)| *taut);
        let rows: Columns = held.map(|(span, _)| times(&transposed(&steps), &span.gradient())).collect();
        let free = Singular::of(transposed(&rows)).null_space();
        let curvature = reduced(&lagrangian(&spans, &balance.tensions), &steps);
        let softest = eigen(&reduced(&curvature, &free)).into_iter().next();
        let (stiffness, along) = softest.unwrap_or((f64::INFINITY, Vec::new()));
        Stability { freedoms: free.len(), stiffness: stiffness * bonds.scale, softest: times(&free, &along) }
    }

    pub(super) fn is_stable(&self) -> bool {
        self.stiffness >= -NOTHING
    }

    /// Whether nothing brings the seat back from its softest motion.
    pub(super) fn is_indifferent(&self) -> bool {
        self.stiffness.abs() < NOTHING
    }

    /// Axis of the softest motion's turn, of length 1; `None` when it hardly turns.
    pub(super) fn softest_turn(&self) -> Option<DVec3> {
        let turn = self.softest.get(3..6)?;
        DVec3::new(turn[0], turn[1], turn[2]).try_normalize()
    }
}

/// What steps of the seat's origin, in metres and radians, are to the search, which is told by the centre of gravity and
/// takes the longest chain for 1.
fn steps_of_seat(bonds: &Bonds, balance: &Balance) -> Columns {
    let mut steps = told_at(balance.pose.turn * -bonds.centre);
    for step in &mut steps {
        step[..3].iter_mut().for_each(|own| *own /= bonds.scale);
    }
    steps
}
