//! Hanging a swing, and what is looked at from time to time on any piece.

use super::super::{Paper, hanging};
use super::{heading, list, notice, table_of_words, words};
use crate::Judged;
use slatwork_checks::{OF_WHAT_HANGS, SeatedChain};
use slatwork_output::Table;
use slatwork_output::book::{Block, Chapter, ListKind, Weight};

/// Nothing of what stands.
pub(super) fn chapter(paper: &Paper<'_>, judged: &Judged) -> Option<Chapter> {
    let handed = paper.handed?;
    let mut blocks =
        vec![notice(Weight::Caution, "before anything is hung", OF_WHAT_HANGS.map(String::from).to_vec())];
    blocks.push(heading("What it hangs from"));
    let told = hanging::told(paper.units, handed);
    blocks.extend(told.into_iter().map(|(lead, own)| words(format!("{}{own}", lead.trim_start()))));
    blocks.push(heading("How it hangs"));
    blocks.extend(told_by(
        judged,
        &["links-tilt-seat", "swing-hangs-low", "swing-hangs-high", "swing-tilts", "hanger-lost"],
    ));
    if !judged.seated.is_empty() {
        blocks.push(Block::Table(seatings(paper, judged)));
    }
    blocks.push(heading("Room to swing"));
    blocks.extend(told_by(judged, &["swing-strikes"]));
    blocks.push(heading("Hanging it"));
    blocks.push(list(ListKind::ToTick, HANGING));
    blocks.push(heading("First use"));
    blocks.push(words(first_load(judged)));
    Some(super::chapter("hanging", "Hanging it", blocks))
}

/// What some checks found, in their own words.
fn told_by(judged: &Judged, checks: &[&str]) -> Option<Block> {
    let told: Vec<String> = judged
        .verdicts
        .iter()
        .filter(|own| checks.contains(&own.check) && !own.told.is_empty())
        .map(|own| format!("{}: {}.", own.standing.word(), own.told))
        .collect();
    (!told.is_empty()).then(|| list(ListKind::Plain, told))
}

fn seatings(paper: &Paper<'_>, judged: &Judged) -> Table {
    let rows = judged.seated.iter().map(|own| {
        let (tilt, chain) = match &own.hangs {
            Ok(posture) => {
                let most = posture.chains.iter().max_by(|a, b| a.tension.total_cmp(&b.tension));
                let told = |chain: &SeatedChain| {
                    format!("{}: {}", chain.name, paper.units.force_text(chain.tension))
                };
                (format!("{:.1}°", posture.tilt), most.map_or(String::new(), told))
            }
            Err(why) => (why.clone(), String::new()),
        };
        vec![own.name.clone(), paper.units.mass_text(own.mass), tilt, chain]
    });
    let columns = [
        ("seating", "who sits where"),
        ("mass", "hangs in all"),
        ("tilt", "rear lower than drawn by"),
        ("chain", "hardest pulled chain"),
    ];
    table_of_words(paper, "seatings", "How it hangs with each seating, at rest", &columns, rows)
}

/// A trial load is told only where someone has answered for what it hangs from.
fn first_load(judged: &Judged) -> String {
    match (&judged.handed, &judged.rating) {
        (Some(_), Ok(rating)) => format!(
            "With the written agreement of the qualified person, or on a trial beam: dead weight of one and a half times the rated load, \
             {:.0} kg in all, no more than 100 mm above a pad, for ten minutes, nobody under it. Look for movement at every eye, link and \
             bolt, take it off, and tighten (common practice; proposed, not a standard).",
            1.5 * rating.total()
        ),
        (Some(_), Err(_)) => String::from("It is not rated: nobody sits in it."),
        (None, _) => String::from(
            "A trial load is told only to whoever has what it hangs from confirmed: `--accept hanging`. Until then nobody sits in it.",
        ),
    }
}

const HANGING: [&str; 7] = [
    "The qualified person's answer is in hand, in writing.",
    "Every eye, chain and link bears the stamp or paper of its rated load, and is of one kind of metal.",
    "Hung low over a pad by all its chains, nobody in it: it hangs level from side to side and falls to the rear as drawn.",
    "Counted links are the same on the left and on the right.",
    "Every link is closed and tightened; every nut has its washer; no thread ends in the path of clothes or hands.",
    "Raised to its height; the path is clear in front, behind and to both sides.",
    "Swung empty, then with one person holding still, then swung gently: nothing creaks, slips or touches.",
];

/// What is looked at, and when.
pub(super) fn inspection(paper: &Paper<'_>) -> Chapter {
    let hangs = paper.handed.is_some();
    let when = if hangs { WHEN_IT_HANGS } else { WHEN_IT_STANDS };
    let mut blocks = vec![words(when), heading("What to look at")];
    blocks.push(list(ListKind::ToTick, LOOK_AT));
    if hangs {
        blocks.push(list(ListKind::ToTick, LOOK_AT_CHAINS));
    }
    blocks.push(heading("Out of use at once"));
    blocks.push(list(ListKind::Plain, OUT_OF_USE));
    if hangs {
        blocks.push(list(ListKind::Plain, OUT_OF_USE_CHAINS));
    }
    blocks.push(words("Intervals and limits are common practice, proposed here and in no standard."));
    let dates = ["before first use", "after a week"].into_iter().map(String::from);
    let later = (1..=6).map(|number| format!("looked at, {number}"));
    blocks.push(Block::Together(vec![
        heading("Looked at, and by whom"),
        Block::ToFill(dates.chain(later).collect()),
    ]));
    super::chapter("inspection", "Looking it over", blocks)
}

pub(super) const WHEN_IT_HANGS: &str = "Before first use; after one week, when wood has settled and bolts want tightening; then monthly in season, and whenever it was \
     struck, overloaded or moved.";
pub(super) const WHEN_IT_STANDS: &str = "Before first use; after one week, when wood has settled and bolts want tightening; then every year before the season.";

pub(super) const LOOK_AT: [&str; 5] = [
    "Every bolt and screw is tight; none is rusty or bent.",
    "No crack runs from a hole or an end.",
    "No joint moves by more than 1/16 in (2 mm) when it is pushed.",
    "Nowhere does an awl sink in easily: ends, feet, and where slats lie on bearers above all.",
    "No edge has splintered, no screw stands up.",
];

pub(super) const LOOK_AT_CHAINS: [&str; 4] = [
    "Links where they bear on one another, and on eyes and hooks: worn by less than a tenth of their thickness.",
    "Eyes straight, their shoulders hard against the wood, their nuts tight.",
    "Gates of quick links screwed home.",
    "What it hangs from: no crack, no movement, no rust of the hooks.",
];

pub(super) const OUT_OF_USE: [&str; 3] = [
    "A crack through a hole.",
    "A joint that moves by more than 1/16 in (2 mm).",
    "Wood that is soft when it is probed.",
];

pub(super) const OUT_OF_USE_CHAINS: [&str; 3] = [
    "A tenth of a link worn away, a bent eye, an opened link.",
    "Rust that flakes.",
    "Chain and quick links of ten years under a roof, of five in the rain: change them whatever they look like.",
];
