//! The shop: what can be bought and cut.

use super::{Explanation, row};

#[rustfmt::skip]
pub(super) const ROWS: &[Explanation] = &[
    row("part-longer-than-stock", "A part is longer than any board of its section.",
        "A board gives its stock length less the ends that are squared off.",
        "Make it shorter, choose a section sold longer, or add the length to your yard's list."),
    row("part-wider-than-stock", "A part is wider than its section.",
        "Wood cannot be put on.",
        "Choose a wider section, or glue it up from strips."),
    row("section-not-stocked", "The yard does not stock that section in that wood.",
        "Your catalogue says that only listed stock is sold.",
        "Choose another section or wood, or add it to the yard's list."),
    row("yard-runs-out", "The yard has too few boards of that section.",
        "Your catalogue says how many there are.",
        "Raise the count, or list another length."),
    row("purchase-not-planned", "What to buy of a section cannot be worked out.",
        "Prices or lengths of the yard's list are beyond what can be counted exactly, or make no sense.",
        "Look at the lengths and prices of your yard's list."),
    row("layout-wrong", "A board layout does not hold when gone over again.",
        "This is a fault of the program: every layout is checked piece by piece before it is printed.",
        "Please report it with the script."),
];
