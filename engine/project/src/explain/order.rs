//! The order of assembly: what cannot be brought in, driven or kept.

use super::{Explanation, row};

#[rustfmt::skip]
pub(super) const ROWS: &[Explanation] = &[
    row("no-way-in", "A part cannot be brought to its place along any straight line.",
        "What stands by then closes round it, in whatever order the rest is put together.",
        "Open the notch or housing to one side, or divide a part that closes round it."),
    row("driver-cannot-reach", "A screw or nail has no room behind its head for the tool, in whatever order parts come.",
        "A bit wants 150 mm straight behind the head, a right-angle attachment 60 mm, and the screw its own length (tools of the catalogue; common practice, no source).",
        "Drive it from the other part, move it with at, or let the part in its way come later."),
    row("bolt-cannot-be-put-in", "A bolt cannot be pushed through, or no wrench reaches its nut, in whatever order parts come.",
        "It wants its own length free on one side, and room for nut, washer and wrench on the other.",
        "Turn it round, move it with at, let one bolt go through all the parts, or let the part in its way come later."),
    row("wrench-cannot-reach", "A wrench can be put on a nut or bolt head and not be swung, in whatever order parts come.",
        "Where no socket has its room, an open-ended wrench, 13 widths across the flats long, has to turn from one flat to the next, a sixth of a turn (common practice, no source).",
        "Turn the bolt round, move it with at, or let the part in its way come later."),
    row("order-cannot-be", "A rule of the script about the order of assembly cannot be kept.",
        "With the one part standing, the other has no way in, or its fasteners no room.",
        "Drop the rule, turn it round, or let it name the parts that can wait."),
    row("order-not-planned", "The order of assembly is not planned to its end.",
        "Planning stops at a count of trials that no seat comes near.",
        "Put the parts into groups, so that each is planned by itself."),
];
