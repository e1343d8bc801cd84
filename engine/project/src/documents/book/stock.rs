//! Preparing the boards before anything is cut to size.

use super::super::Paper;
use super::{NO_STANDARD, heading, list, words};
use crate::Judged;
use slatwork_output::book::{Block, Chapter, ListKind};

pub(super) fn chapter(paper: &Paper<'_>, judged: &Judged) -> Chapter {
    let mut blocks = vec![words(NO_STANDARD), heading("How dry")];
    blocks.extend(moisture(judged));
    blocks.push(heading("Sorting"));
    blocks.push(list(ListKind::ToTick, SORTING));
    blocks.push(heading("Flat, straight and square"));
    blocks.push(list(ListKind::Plain, TRUE));
    blocks.push(heading("Which face up"));
    blocks.push(list(ListKind::Plain, FACES));
    if paper.plan.cut_list.rows.iter().any(|row| row.sprung.is_some()) {
        blocks.push(heading("What is sprung"));
        blocks.push(words(SPRUNG));
    }
    blocks.push(heading("In which order"));
    blocks.push(list(ListKind::Numbered, ORDER));
    super::chapter("stock", "Preparing the boards", blocks)
}

/// At what moisture the boards are worked, and between which they will live.
fn moisture(judged: &Judged) -> Vec<Block> {
    let known = judged.conditions.moisture().value.map(|range| {
        words(format!(
            "The gaps are reckoned for boards of {:.0} % moisture at the bench, which then live between {:.0} and {:.0} % ({}). Measure \
             with a moisture meter, away from the ends, several boards of each lot.",
            range.mean, range.driest, range.wettest, judged.conditions.climate
        ))
    });
    let advice = words(
        "Stack boards that are wetter on sticks, under a roof with air round them, and wait until two readings a week apart agree. \
         Wood that is glued should be between 10 and 14 % (common practice); wet treated wood is never glued. Boards that are wetter \
         than reckoned shrink after the piece is made: set their gaps narrower, or wait.",
    );
    known.into_iter().chain([advice]).collect()
}

const SORTING: [&str; 6] = [
    "Measure width and thickness of every lot with a rule or calliper; a section that is off is told to the program, not to the saw.",
    "Look over each board for splits, loose knots, pith and rot. Ends are cut back until no split shows.",
    "Long and visible parts first, from the straightest boards; short parts from what is left between knots.",
    "No loose knot in the middle third of a slat, nor where a screw goes.",
    "Arms of clear wood, straight in the grain; curved parts so that the grain runs along them.",
    "Salvaged wood only where it is known: metal, lead paint and old treatment make it unfit for a seat.",
];

const TRUE: [&str; 6] = [
    "Crosscut to rough length first, an inch or two over: a short length needs less taken off to lie flat.",
    "Lay it on a flat bench with its hollow down. Up to about 1/8 in (3 mm) of cup over a wide board is planed away, more is ripped \
     apart and used narrower.",
    "Plane one face flat, one edge square to it, then the other face and edge parallel to these.",
    "Lengths shorter than 12 in (300 mm) are not sent over a planer or jointer: work them as part of a longer one.",
    "Bow along the length may be pulled true where the part is held at several places: bend it to its bearers with clamps, fix the \
     middle first, then toward the ends. A part that needs more than the push of two hands is not used there (project choice).",
    "Twist is not pulled true. It comes back and racks the frame: plane it off or use the board for short parts.",
];

const FACES: [&str; 4] = [
    "Seat slats and arms bark side up: as they dry they crown, and water runs off. Boards cut on the quarter lie either way.",
    "Back slats and posts with the better face to the front; the marked face of the cut list is the face that is seen or sat on.",
    "Crown of bearers and rails up, so that load straightens them.",
    "Left and right parts from one board, opened like a book, so that both move alike.",
];

const SPRUNG: &str = "Sprung slats are sawn straight and bent to their bearers as they are screwed down, from one end to the other or from \
                      the middle out. Take straight-grained wood without knots for them, and do not let them dry further before.";

const ORDER: [&str; 8] = [
    "Sort the boards, and mark face and edge.",
    "Crosscut along each board to the lengths that the boards in pictures show, longest parts first.",
    "Rip to width, all of one fence setting together.",
    "Crosscut to the stop, all of one stop together.",
    "Saw tapers and curves outside the line, fair equal parts together. Keep the waste: it is the caul for clamping.",
    "Bore while the part is still square, before its ends are shaped, where the cut list does not say otherwise.",
    "Round the edges that are touched, none that butt another part; ends first, then along the grain.",
    "Sand, seal the ends, give the first coat. Then put it together.",
];
