//! # What it checks
//! That no screw, nail or bolt is loaded across its axis beyond what it may carry.
//! # Why
//! An overworked fastener bends and crushes the wood; the joint grows loose, and a loose frame racks itself to pieces.
//! # Method and source
//! The load of the joint in the frame of the whole piece, shared round the elastic centre; yield modes, end grain, wet service and end distance by NDS-2018 chapter 12, read.
//! # Example
//! One #6 screw at each end of a rail that carries two people.
//! # Remedy
//! Set one more fastener, or a thicker or longer one.

use super::{By, force, judged};
use crate::{Check, Look, Way};

pub(super) const CHECK: Check = Check {
    fault: "fastener-sheared",
    about: "no fastener is overloaded across its axis",
    rates: true,
    look: Look::Judges(|case| {
        judged(
            case,
            "fastener-sheared",
            By::Shear,
            |worked, share| force("load across", worked.pull.shear(), share),
            |worked, name| {
                format!(
                    "{name} carries {:.0} N across its axis, of {:.0} N (yield mode {})",
                    worked.pull.shear(),
                    worked.capacity.lateral * worked.duration,
                    worked.capacity.mode.word()
                )
            },
            &[Way::Fasteners, Way::Gauge],
        )
    }),
};
