//! Loads: boards, fasteners and the whole piece under people.

use super::{Explanation, check};

#[rustfmt::skip]
pub(super) const ROWS: &[Explanation] = &[
    check("slat-breaks", "A seat slat is bent beyond what it may carry."),
    check("slat-sags", "A seat slat sags too far between its bearers."),
    check("bearer-breaks", "What seat slats lie on is bent beyond what it may carry."),
    check("rail-breaks", "A rail, stretcher or brace is bent beyond what it may carry."),
    check("leg-breaks", "A leg is bent beyond what it may carry."),
    check("back-breaks", "A board of the back is bent beyond what it may carry."),
    check("arm-breaks", "An arm is bent beyond what it may carry."),
    check("wood-shears", "A board splits along its grain."),
    check("notch-splits", "An end that is notched, halved or cut to a tenon splits from its inner corner."),
    check("hung-end-splits", "A board splits along its grain where bolts near its end hold it."),
    check("foot-crushed", "A foot is crushed by what stands on it."),
    check("fastener-sheared", "A fastener is loaded across its axis beyond what it may carry."),
    check("fastener-pulled", "A fastener is pulled beyond what its thread or head holds."),
    check("fastener-overworked", "Pull and shear together are too much for a fastener."),
    check("row-tears-out", "A row of fasteners tears out of the end of its board."),
    check("glue-line-shears", "A glued face is sheared off, or something hangs on glue in end grain."),
    check("wood-crushed", "A joint crushes the wood where its boards press on each other."),
    check("gives-way", "The whole piece turns over, falls or folds up under a load of its use."),
    check("tips-back", "The piece tips over backwards."),
    check("tips-forward", "The piece tips forward."),
    check("tips-sideways", "The piece tips sideways."),
    check("feet-slide", "The feet slide when people push the piece sideways or lean back in it."),
    check("frame-sways", "The frame racks: an arm or the seat moves too far when it is pushed."),
];
