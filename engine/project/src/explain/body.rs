//! Body: sizes and angles of the seat that do not suit those who sit.

use super::{Explanation, row};

#[rustfmt::skip]
pub(super) const ROWS: &[Explanation] = &[
    row("seat-height-misfits", "The seat is too high or too low for too many.",
        "High edges press under thighs whose feet hang; from low seats people rise hardly. It should be 0.87 to 1.00 of the height of the back of the knee in shoes on a bench, 0.75 to 0.95 when leaned back (limits from memory and project choice). A warning where under 75 of 100 can bear it; a failure where under half can, or anybody named cannot.",
        "A swing is judged as it hangs with people in it, from 410 to 455 mm; hang it by another link. Set other seats higher or lower. State the very people if you know them."),
    row("seat-depth-misfits", "The seat is too deep or too shallow for too many.",
        "A deep seat catches calves and keeps short people off the back. It should be 0.80 to 0.95 of the length from buttock to knee, measured to where the back is leaned on.",
        "Make the seat shallower or deeper, or set the back forward."),
    row("seat-too-narrow", "The seat does not hold as many as it has places.",
        "One place wants the hips and a tenth more between the arms; people in a row take their shoulders and 15 mm each (Pheasant, Bodyspace 4.3.10), people named by their sex.",
        "Make it wider, or count on fewer places."),
    row("seat-fall-misfits", "The seat falls to the rear too much or too little.",
        "Level seats let people slide forward, steep ones fold them and are hard to leave. 3 to 8 degrees on a bench, 5 to 12 on a swing as it hangs with people in it, 12 to 22 when leaned back.",
        "Let the seat fall more or less; of a hollow seat the line to under the seat bones counts."),
    row("back-lean-misfits", "Seat and back open at an angle that nobody sits in for long.",
        "Near a right angle the body is folded and pushed off; wide open it slides.",
        "Let the back lean more or less, or the seat fall more or less."),
    row("back-height-misfits", "The back ends too low.",
        "On a bench it should reach 0.6 of the shoulders' height, on a seat leaned back nearly all of it.",
        "Make the back higher."),
    row("arm-height-misfits", "The arms are too high or too low over the seat.",
        "High arms push shoulders up, low ones make people lean. They suit from 30 mm under the elbow to 30 mm over it.",
        "Set the arms higher or lower."),
    row("slat-gap-felt", "A gap between slats is too wide to sit on, or too narrow to drain.",
        "Over 12 mm edges press; under 3 mm dirt and water stay.",
        "Set the slats nearer together or farther apart."),
    row("hard-to-rise", "People get up from the seat only with effort.",
        "Under 380 mm, or where it falls over 18 degrees, people rise by arms that reach to within 50 mm of the front edge (project choice). How high a swing hangs is told by the site.",
        "Let the arms reach farther forward, or set the seat higher."),
    row("sitter-slides", "The back leans so far that the sitter slides forward.",
        "A leaning back pushes forward; the seat must fall by a third of its lean, less 2 degrees (project choice).",
        "Let the seat fall more, or the back lean less."),
];
