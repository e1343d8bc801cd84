//! # What it checks
//! That load across and along the axis of a fastener together are not too much.
//! # Why
//! Either alone may pass, and both together not. Joints that fail by either alone are told by that.
//! # Method and source
//! NDS-2018 Eq 12.4-1 for screws and 12.4-2 for nails, read; bolts as screws (project choice).
//! # Example
//! A screw at seven tenths across and eight tenths along.
//! # Remedy
//! Set one more fastener, or a thicker or longer one.

use super::{By, judged};
use crate::{Check, Limit, Look, Measure, Unit, Way};

pub(super) const CHECK: Check = Check {
    fault: "fastener-overworked",
    about: "no fastener is overloaded by pull and shear together",
    rates: true,
    look: Look::Judges(|case| {
        judged(
            case,
            "fastener-overworked",
            By::Both,
            |_, share| Measure::new("share of capacity", share, Limit::AtMost(1.0), Unit::Plain),
            |worked, name| {
                format!(
                    "{name} carries {:.0} N across and {:.0} N along its axis",
                    worked.pull.shear(),
                    worked.pull.axial
                )
            },
            &[Way::Fasteners, Way::Gauge],
        )
    }),
};
