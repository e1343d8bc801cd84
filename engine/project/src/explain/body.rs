//! Body: sizes and angles of the seat that do not suit those who sit.

use super::{Explanation, check};

#[rustfmt::skip]
pub(super) const ROWS: &[Explanation] = &[
    check("heavier-than-rated", "Somebody who is named is heavier than the piece is rated for."),
    check("seat-height-misfits", "The seat is too high or too low for too many."),
    check("seat-depth-misfits", "The seat is too deep or too shallow for too many."),
    check("seat-too-narrow", "The seat does not hold as many as it has places."),
    check("seat-fall-misfits", "The seat falls to the rear too much or too little."),
    check("back-lean-misfits", "Seat and back open at an angle that nobody sits in for long."),
    check("back-height-misfits", "The back ends too low."),
    check("arm-height-misfits", "The arms are too high or too low over the seat."),
    check("slat-gap-felt", "A gap between slats is too wide to sit on, or too narrow to drain."),
    check("hard-to-rise", "People get up from the seat only with effort."),
    check("sitter-slides", "The back leans so far that the sitter slides forward."),
];
