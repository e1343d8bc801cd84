//! The words of the book.

use slatwork_output::book::{Block, Chapter};

pub(super) fn chapter() -> Chapter {
    let terms = WORDS.iter().map(|(term, meaning)| (term.to_string(), meaning.to_string())).collect();
    super::chapter("glossary", "Words", vec![Block::Terms(terms)])
}

const WORDS: [(&str, &str); 35] = [
    ("Arris", "the sharp edge where two faces meet."),
    ("Back face", "the face of a board that lies down while its marked face is up."),
    ("Bearer", "what slats lie on."),
    ("Bevel", "a cut out of square through the thickness."),
    ("Caul", "a piece between clamp and work, shaped to the work."),
    ("Clearance hole", "a hole as wide as the screw, so that it pulls the joint closed."),
    ("Cope", "to fit round another part."),
    ("Countersink", "the cone that takes a screw's head."),
    ("Crest", "the line that the top of a back is sawn to."),
    ("Crown", "the hump of a bowed board on its edge; the round of a cupped face."),
    ("Cup", "a board that is hollow across its width."),
    ("Datum", "the end or edge that everything is measured from."),
    ("Diagonal", "from corner to corner; both alike, a frame is square."),
    ("Dry fit", "putting it together without glue, to try it."),
    ("Fair", "to take the bumps out of a curve until it pleases the eye."),
    ("Fall", "how far a seat sinks to the rear."),
    ("Gang", "to cut or bore several parts together."),
    ("Hand", "whether a part is a left or a right one."),
    ("Housing", "the groove a part is let into."),
    ("Kerf", "the width of a saw cut."),
    ("Lap", "a joint in which one part lies over the other."),
    ("Lean", "the back from upright."),
    ("Mark", "the letter that all parts of a set carry."),
    ("Marked face", "the face that looks up while a part is marked: the one with the mark on it."),
    ("Mitre", "a cut out of square across the face."),
    ("Nest", "parts traced close together on a length of board and sawn apart."),
    ("Pilot", "a hole narrower than the screw, so that its thread bites and the wood does not split."),
    ("Run", "slats laid side by side."),
    ("Scribe", "to draw a line along the part that another must fit."),
    ("Set", "parts that are the same solid, made together."),
    ("Sprung", "bent to its bearers when fixed."),
    ("Stile", "an upright of a back."),
    ("Stop", "a block that sets a length at the saw."),
    ("Stringer", "a side that is seat bearer and rear leg in one."),
    ("Wind", "twist: opposite corners of a board do not lie in one plane."),
];
