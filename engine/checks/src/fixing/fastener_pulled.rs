//! # What it checks
//! That no fastener is pulled out, nor its head through.
//! # Why
//! A seat that is leaned on sideways or back pries its joints open.
//! # Method and source
//! The joint opens about its closed edge; withdrawal and pull-through by NDS-2018 12.2, read. The standard gives screws in end grain nothing: they are taken at three quarters (Wood Handbook, from memory), and the verdict says so. What no source gives, as the hold of a threaded insert, is not judged.
//! # Example
//! A rail held by two screws in end grain, pried by its own leg.
//! # Remedy
//! Set one more fastener, or a thicker or longer one.

use super::{By, force, judged};
use crate::{Check, Look, Way};

pub(super) const CHECK: Check = Check {
    fault: "fastener-pulled",
    about: "no fastener is pulled out of the wood",
    rates: true,
    look: Look::Judges(|case| {
        judged(
            case,
            "fastener-pulled",
            By::Pull,
            |worked, share| force("pull", worked.pull.axial, share),
            |worked, name| {
                format!(
                    "{name} is pulled by {:.0} N, of {:.0} N ({})",
                    worked.pull.axial,
                    worked.capacity.axial * worked.duration,
                    worked.capacity.way
                )
            },
            &[Way::Fasteners, Way::Gauge],
        )
    }),
};
