//! Hanging: whether what hangs holds, hangs well and has its room.

use super::{Explanation, check};

#[rustfmt::skip]
pub(super) const ROWS: &[Explanation] = &[
    check("swing-tilts", "The seat hangs too steep, too flat, or to a side, with people in it."),
    check("chain-slack", "A chain falls slack with some seating, or while it is swung."),
    check("chains-splay", "Chains lean to a side."),
    check("hanging-part-refused", "Something in the load path is known to open or break."),
    check("hanging-part-unrated", "Nobody knows what something in the load path bears."),
    check("eye-overloaded", "An eye on the piece is pulled with more than half of what it is rated at, at that angle."),
    check("eye-tears-out", "The wood round an eye gives way: it tears out of the end of its board, splits it, or sinks in."),
    check("hanging-part-overloaded", "Chain, link or ring is pulled with more than half of its working load."),
    check("hanger-lost", "When one chain or hook gives way, the others break as well, or an end drops far."),
    check("links-tilt-seat", "Hung by whole links the seat hangs off its drawing."),
    check("swing-strikes", "The seat strikes what stands in front of, behind or beside it."),
    check("swing-hangs-low", "The seat passes close over the floor."),
    check("swing-hangs-high", "A fall from the seat is long."),
    check("support-unconfirmed", "What the seat hangs from is outside the plan, and must be confirmed."),
];
