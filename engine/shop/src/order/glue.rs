//! Glue-ups: how much fits into the glue's open time, clamps, and how long they stay.

use slatwork_model::joints::Drive;
use slatwork_model::{Joint, Model};

/// Minutes in which a glue-up must be closed: the short end of the working time of a waterproof PVA (20 to 25 min in all for
/// Type I; glue guide of a woodworking school, read).
pub(crate) const OPEN_MINUTES: usize = 20;

/// Minutes that spreading and closing one joint takes (project choice; common practice has no source).
pub(crate) const MINUTES_A_JOINT: usize = 2;

/// Glued joints that fit into one open time.
pub(crate) const JOINTS_AT_ONCE: usize = OPEN_MINUTES / MINUTES_A_JOINT;

/// Minutes in clamps before the next step, unstressed: the long end for PVA (30 to 60 min; the same guide, read).
pub(crate) const CLAMP_MINUTES: usize = 60;

/// Hours before a glued joint is stressed or sat on (the same guide, read).
pub(crate) const CURE_HOURS: usize = 24;

/// Clamps stand this far apart at most, mm: 12 in (8 to 12 in; gluing guide of a glue's maker, read).
const CLAMP_SPACING: f64 = 304.8;

/// The first clamp stands this far from an end, mm: 2 in (1-1/2 to 2 in; the same guide, read).
const FIRST_CLAMP: f64 = 50.8;

/// Whether a joint is closed by clamps: glued, with nothing that pulls it together.
pub(crate) fn is_clamped(joint: &Joint) -> bool {
    joint.glue.is_some() && !joint.fastenings.iter().any(|one| one.drive != Drive::Hand)
}

/// Clamps that a joint takes.
pub(crate) fn clamps(joint: &Joint) -> usize {
    let Some(patch) = joint.patch.as_ref().filter(|_| is_clamped(joint)) else { return 0 };
    clamps_along(patch.extent.0.max(patch.extent.1))
}

/// Clamps along so many mm of joint: one near either end, the others no farther apart than they may; one on a short joint.
pub(crate) fn clamps_along(long: f64) -> usize {
    let between = (long - 2.0 * FIRST_CLAMP).max(0.0);
    1 + (between / CLAMP_SPACING).ceil() as usize
}

/// Glued joints among these.
pub(crate) fn glued(model: &Model, joints: &[usize]) -> usize {
    joints.iter().filter(|joint| model.joints[**joint].glue.is_some()).count()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn clamps_stand_two_inches_from_the_ends_and_a_foot_apart() {
        // 3 1/2 in: one. 1 ft 4 in: ends at 2 in and 14 in, a foot apart. 2 ft 5 in: 25 in between, three fields.
        for (inches, clamps) in [(3.5, 1), (16.0, 2), (29.0, 4)] {
            assert_eq!(clamps_along(inches * 25.4), clamps, "{inches} in");
        }
    }
}
