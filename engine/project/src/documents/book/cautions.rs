//! Cautions: what is printed of every piece, whatever its figures are.

use super::super::Paper;
use super::{heading, list};
use slatwork_catalog::Status;
use slatwork_checks::OF_WHAT_HANGS;
use slatwork_output::book::{Chapter, ListKind};

pub(super) fn chapter(paper: &Paper<'_>) -> Chapter {
    let mut blocks = Vec::new();
    if paper.handed.is_some() {
        blocks.push(heading("What hangs"));
        blocks.push(list(ListKind::Plain, OF_WHAT_HANGS));
    }
    for (title, cautions) in [
        ("These papers", &PAPERS[..]),
        ("Use", &of_use(paper)),
        ("Children", &CHILDREN),
        ("Wood, dust and finish", &DUST),
        ("Tools", &TOOLS),
        ("Law and selling", &LAW),
    ] {
        blocks.push(heading(title));
        blocks.push(list(ListKind::Plain, cautions.iter().copied()));
    }
    blocks.push(super::words(format!(
        "Cautions on tools, dust and finish are {}; follow the makers' manuals and labels before these words.",
        Status::CommonPractice.word()
    )));
    super::chapter("cautions", "Cautions", blocks)
}

const PAPERS: [&str; 4] = [
    "The plan and its checks are calculations on stated assumptions of species, grade, dryness and hardware. They are no certification, \
     no building permit and no engineer's approval.",
    "Figures that are from memory, common practice or settled by this project are listed as unverified.",
    "Another species, section, grade, screw or chain voids the checks: make the papers anew.",
    "Nothing here claims to conform with a standard for furniture; loads are only compared with levels that such standards name.",
];

const USE: [&str; 4] = [
    "No more people than places, nobody heavier than rated. Not for standing on, kneeling on the arms or jumping into.",
    "Wet or icy slats are slippery; dark ones in the sun grow hot.",
    "It is tied fast or stored when a storm is forecast; no wind is reckoned with.",
    "After a fall, a blow or a load too great it is looked over before anybody sits on it again.",
];

const STANDING: [&str; 1] = [
    "It stands on level, firm ground: on soft ground a leg sinks, and the checks of balance hold no longer.",
];

/// What is said of its use.
pub(super) fn of_use(paper: &Paper<'_>) -> Vec<&'static str> {
    let standing = if paper.handed.is_some() { &[][..] } else { &STANDING };
    USE.iter().chain(standing).copied().collect()
}

pub(super) const CHILDREN: [&str; 3] = [
    "Furniture for adults, and children only with an adult. It is no playground equipment and complies with no standard for it.",
    "Openings between about 3 1/2 and 9 in (90 and 230 mm) may trap a head; the checks tell those that are there.",
    "No rope, cord or loop is hung on it.",
];

const DUST: [&str; 5] = [
    "Wood dust harms the lungs, and that of some woods can cause cancer; western redcedar and some tropical woods bring on allergies. \
     Collect it at the tool, and wear a mask that fits.",
    "Treated wood: saw it outdoors with mask, goggles and gloves, wash before eating, wash work clothes by themselves, bin the dust, and \
     never burn offcuts.",
    "No wood treated with creosote, pentachlorophenol or old grey-green copper arsenic for anything that skin touches.",
    "Salvaged wood may hold metal, lead paint and treatments that nobody knows.",
    "Oily rags catch fire by themselves: spread them flat outdoors, or drown them in a metal can with a lid.",
];

const TOOLS: [&str; 6] = [
    "Follow the manual of each tool; guards and riving knife stay on, push sticks at hand, eyes and ears protected, no gloves at turning \
     blades. Unplug before a blade is changed.",
    "Tapers and curves on a sled or at the band saw, never freehand at a table saw.",
    "What is shorter than 12 in (300 mm), or would bring hands within 6 in (150 mm) of a blade, is cut from a longer piece or held in a \
     jig.",
    "A router runs against its cutter's turn, from a starting pin, with a bearing on the template; no climbing cut over end grain.",
    "Clamp the work when large holes are bored and lags are driven.",
    "Hold nothing by hand that a drill could tear round.",
];

const LAW: [&str; 3] = [
    "Local rules decide on permits, guards and access; a bench at the edge of a deck may count as a guard.",
    "Who sells it answers for it: warnings and the sheet for the owner go with each piece, and records of batch, hardware and date are \
     kept. Ask about insurance, and about the rules for goods sold to consumers where you sell.",
    "Where seats were called back, it was nearly always a hanger or its end: broken eyes, torn straps, opened links. Spare nothing there.",
];
