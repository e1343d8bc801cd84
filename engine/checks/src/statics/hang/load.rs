//! A hook's force by its parts.

use crate::statics::swing::{HookForce, Posture, from_vertical};
use slatwork_base::Angle;
use slatwork_solid::DVec2;

/// What a hook bears.
#[derive(Clone, Debug, PartialEq)]
pub struct HookLoad {
    /// Its name.
    pub hook: String,
    /// In the direction of the pull, N.
    pub pull: f64,
    /// Downward, N.
    pub vertical: f64,
    /// Sideways (x, y), N: what an eye is bent by and a beam is pushed by.
    pub horizontal: DVec2,
    /// Between the pull and straight down.
    pub from_vertical: Angle,
}

impl HookLoad {
    fn of(own: &HookForce, factor: f64) -> Self {
        let force = own.force * factor;
        HookLoad {
            hook: own.hook.clone(),
            pull: force.length(),
            vertical: -force.z,
            horizontal: force.truncate(),
            from_vertical: from_vertical(-force),
        }
    }
}

/// The load of each hook at rest times a factor for what rest leaves out (swinging, sitting down), in the order of the
/// chains.
pub fn hook_loads(posture: &Posture, factor: f64) -> Vec<HookLoad> {
    posture.hooks.iter().map(|own| HookLoad::of(own, factor)).collect()
}
