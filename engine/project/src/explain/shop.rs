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
    row("stock-without-price", "A stock to cut from has no price.",
        "Plans are compared by what their boards cost; one board without a price leaves nothing to compare.",
        "Give its cost: 0 for what stands on your rack, 1 for every stock to count boards."),
    row("too-large-to-count", "A length, or costs added up, are beyond what can be counted exactly.",
        "Proofs are sums of whole numbers, and those are exact up to 2^53; most often the unit is a slip.",
        "Look at the unit, or take a coarser one."),
    row("too-many-to-cut", "There are more parts, or more different lengths, than one search can take.",
        "Each length is a row of a linear program whose inverse is held in memory.",
        "Divide the order, or make lengths that hardly differ alike."),
    row("gap-left-open", "A cutting plan is not proven to be the cheapest.",
        "The search was interrupted, used up its steps or reached its limits; what it may cost too much is told.",
        "Give it more steps, or take the plan: the gap is all that could be saved."),
    row("left-unanswered", "Some instances of a file were not begun.",
        "Somebody stopped the search before.",
        "Ask them by themselves."),
    row("section-not-stocked", "The yard does not stock that section in that wood.",
        "Your catalogue says that only listed stock is sold.",
        "Choose another section or wood, or add it to the yard's list."),
    row("yard-runs-out", "The yard has too few boards of that section.",
        "Your catalogue says how many there are.",
        "Raise the count, or list another length."),
    row("layout-wrong", "A board layout does not hold when gone over again.",
        "This is a fault of the program: every layout is checked piece by piece before it is printed.",
        "Please report it with the script."),
];
