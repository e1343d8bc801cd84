//! What cannot be bought, in words.

use super::lot::{Lot, LotPiece, tolerated};
use super::supply::{Supply, saw};
use slatwork_base::{Diagnostic, Length, Place};
use slatwork_catalog::{Section, Tools};

/// The pieces that some board can give; a trouble for each of the others.
pub(super) fn cuttable<'l, 'a>(
    lot: &'l Lot<'a>,
    supply: &Supply,
    tools: &Tools,
    troubles: &mut Vec<Diagnostic>,
) -> Vec<&'l LotPiece<'a>> {
    let saw = saw(tools);
    let mut fits = Vec::with_capacity(lot.pieces.len());
    let mut not_stocked_told = vec![false; lot.sections.len()];
    for own in &lot.pieces {
        let widest = lot.sections.iter().enumerate().filter(|(at, _)| lot.may_come_from(own, *at));
        let widest = widest.map(|(_, section)| section.width).max().unwrap_or_default();
        match supply.longest(|section| lot.may_come_from(own, section), tolerated(own.piece.defects), saw) {
            None if !not_stocked_told[own.section] => {
                not_stocked_told[own.section] = true;
                troubles.push(not_stocked(lot, own));
            }
            None => {}
            Some(_) if own.piece.width > widest => troubles.push(too_wide(lot, own)),
            Some((longest, usable)) if own.piece.length > usable => {
                troubles.push(too_long(lot, own, longest, usable));
            }
            Some(_) if is_too_narrow(lot, supply, own, tools) => {
                troubles.push(too_narrow(lot, own, tools.minimum_rip));
            }
            Some(_) => fits.push(own),
        }
    }
    fits
}

/// Whether a piece would have to be ripped narrower than the saw rips: no board is so nearly as wide that no strip is left beside it.
fn is_too_narrow(lot: &Lot, supply: &Supply, own: &LotPiece, tools: &Tools) -> bool {
    let takes_all = |at: usize| {
        let beside = lot.sections[at].width - own.piece.width;
        lot.may_come_from(own, at) && (beside == Length::ZERO || beside < tools.rip_kerf)
    };
    let whole = || supply.longest(takes_all, tolerated(own.piece.defects), saw(tools));
    own.piece.width < tools.minimum_rip && whole().is_none_or(|(_, usable)| usable < own.piece.length)
}

fn trouble(code: &'static str, message: String, own: &LotPiece) -> Diagnostic {
    let part = Place::Part(own.piece.name.clone());
    let trouble = Diagnostic::error(code, message).at_origin(own.piece.origin);
    if trouble.place.is_some() { trouble.with_trace(part, "the part it is about") } else { trouble.at(part) }
}

fn too_long(lot: &Lot, own: &LotPiece, longest: Length, usable: Length) -> Diagnostic {
    let (section, piece) = (&lot.sections[own.section].name, own.piece);
    let message = format!(
        "`{}` is cut {} long from {section}, and the longest {section} in {} is {longest}, which gives {usable}",
        piece.name, piece.length, lot.species.name
    );
    trouble("part-longer-than-stock", message, own)
        .help("make it shorter, choose a section that is sold longer, or add the length to the yard's list")
}

fn too_wide(lot: &Lot, own: &LotPiece) -> Diagnostic {
    let (section, piece) = (lot.sections[own.section], own.piece);
    let message = format!(
        "`{}` is ripped {} wide, and {} is {} wide",
        piece.name, piece.width, section.name, section.width
    );
    trouble("part-wider-than-stock", message, own).help("choose a wider section, or glue it up from strips")
}

fn too_narrow(lot: &Lot, own: &LotPiece, narrowest: Length) -> Diagnostic {
    let (section, piece) = (&lot.sections[own.section].name, own.piece);
    let message = format!(
        "`{}` is ripped {} wide from {section}, and the tools rip nothing narrower than {narrowest}",
        piece.name, piece.width
    );
    trouble("part-narrower-than-rip", message, own)
        .help("make it wider, or say in the tools (`minimum_rip`) how narrow your saw rips safely")
}

/// Told, since the plan is cheapest only among boards of one thickness.
pub(super) fn not_as_thick(own: &Section, other: &Section) -> Diagnostic {
    let message = format!(
        "nothing of {} is ripped from {}: it measures {} thick, and {} {}",
        own.name, other.name, other.thickness, own.name, own.thickness
    );
    Diagnostic::note("wider-not-as-thick", message)
        .help("plane it and list it as a section of its own, if it is worth the work")
}

fn not_stocked(lot: &Lot, own: &LotPiece) -> Diagnostic {
    let (section, species) = (&lot.sections[own.section].name, &lot.species.name);
    let message = format!("the yard has no {section} in {species}, which `{}` is cut from", own.piece.name);
    trouble("section-not-stocked", message, own)
        .help("choose another section or wood, or add it to the yard's list")
}

pub(super) fn not_planned(lot: &Lot, why: &str) -> Diagnostic {
    let own: Vec<&str> =
        lot.sections[lot.wanted.clone()].iter().map(|section| section.name.as_str()).collect();
    let (sections, species) = (own.join(" and "), &lot.species.name);
    let message = format!("what to buy of {sections} in {species} cannot be worked out: {why}");
    Diagnostic::error("purchase-not-planned", message)
        .help("look at the lengths and prices of the yard's list")
}

pub(super) fn too_few(lot: &Lot, own: &LotPiece) -> Diagnostic {
    let (section, species) = (&lot.sections[own.section].name, &lot.species.name);
    let message = format!(
        "no {section} in {species} is left at the yard for `{}`, {} long",
        own.piece.name, own.piece.length
    );
    trouble("yard-runs-out", message, own).help("raise the count that the yard has, or list another length")
}
