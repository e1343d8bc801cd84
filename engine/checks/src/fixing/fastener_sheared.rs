//! # What it checks
//! That no screw, nail or bolt is loaded across its axis beyond what it may carry.
//! # Why
//! An overworked fastener bends and crushes the wood; the joint grows loose, and a loose frame racks itself to pieces.
//! # Method and source
//! The load of the joint in the frame of the whole piece, shared round the elastic centre; yield modes, end grain and wet service by
//! NDS-2018 chapter 12, read. From 1/4 in on also the distances to ends, edges and neighbours in either part, by the way the fastener pushes there:
//! toward an end 7 D in softwood and 5 D in hardwood, else 4 D, toward an edge 4 D, from any other 1 1/2 D, 4 D in a line of grain
//! (NDS-2018 12.5.1, read); nearer than the least of the standard it has no value. A push aslant to the grain goes by Hankinson's formula
//! between along and across, and distances to edges and of rows side by side count in proportion, where the standard has no lesser ones
//! (project choice). Each fastener counts by its own distances: in a group that is evenly loaded the worst of them governs, as the
//! standard has it. Rows of them lose by group action (NDS-2018 11.3.6, read). A fastener without a value is not judged.
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
                    "{name} carries {:.0} N across its axis, of {:.0} N (yield mode {}{})",
                    worked.pull.shear(),
                    worked.capacity.lateral * worked.duration,
                    worked.capacity.mode.word(),
                    worked.capacity.distances()
                )
            },
            &[Way::Fasteners, Way::Gauge],
        )
    }),
};
