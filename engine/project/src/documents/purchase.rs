//! Boards to buy, and how each is cut.

use super::page::{Page, counted, run};
use super::{Files, Paper};
use slatwork_base::{Length, Outcome};
use slatwork_shop::purchase::{BoardSource, LayoutCut, RULE};
use slatwork_shop::{BoardLayout, GroupSummary, SHORT, part_words};

pub(super) fn write(paper: &Paper<'_>) -> Outcome<Files> {
    let tables = vec![paper.plan.purchase_table(), paper.plan.boards_table()];
    text(paper).then(|text| {
        let file = vec![("purchase.txt".into(), text.into_bytes())];
        paper.table_files("purchase", tables).map(|files| [file, files].concat())
    })
}

fn text(paper: &Paper<'_>) -> Outcome<String> {
    paper.table_text(paper.plan.purchase_table()).map(|table| {
        let mut page = paper.page("boards to buy");
        page.wrapped("", &format!("The plan is {}. Rule: {RULE}.", paper.plan.purchase.claim()));
        page.blank();
        let head = page.finish();
        let mut rest = Page::default();
        sums(&mut rest, paper);
        layouts(&mut rest, paper);
        [head, table, String::from("\n"), rest.finish()].concat()
    })
}

fn sums(page: &mut Page, paper: &Paper<'_>) {
    let purchase = &paper.plan.purchase;
    for group in &purchase.groups {
        page.wrapped("", &group_words(paper, group));
    }
    if let Some(words) = short_rips(paper) {
        page.wrapped("", &words);
    }
    let bought = |length: Length| run(paper.units, length);
    let least = purchase.length_at_least();
    let least = least.map_or_else(String::new, |least| format!("; no plan buys less than {}", bought(least)));
    page.wrapped("", &format!("Bought in all: {}{least}.", bought(purchase.length())));
    match (purchase.price_cents, purchase.price_at_least) {
        (Some(price), Some(least)) => page.wrapped(
            "",
            &format!(
                "Price: {} {}; no plan pays less than {}.",
                money(price),
                purchase.currency,
                money(least)
            ),
        ),
        (Some(price), None) => page.wrapped("", &format!("Price: {} {}.", money(price), purchase.currency)),
        (None, _) => page.wrapped("", "Price: not known; list what your yard asks in a catalogue file."),
    }
}

/// What must not be cut to length and ripped then, as the layouts show it.
fn short_rips(paper: &Paper<'_>) -> Option<String> {
    let is_ripped = |row: &&slatwork_shop::CutRow| {
        let section = paper.catalogue.section(&row.section);
        section.is_ok_and(|section| row.rough_length < SHORT && row.rough_width < section.width)
    };
    let told = |row: &slatwork_shop::CutRow| format!("{} {}", row.mark, part_words(&row.parts));
    let short: Vec<String> = paper.plan.cut_list.rows.iter().filter(is_ripped).map(told).collect();
    (!short.is_empty()).then(|| {
        format!(
            "Too short to rip by themselves: {}. Rip the board they come from, over the length it has left, then cut them off.",
            short.join("; ")
        )
    })
}

fn group_words(paper: &Paper<'_>, group: &GroupSummary) -> String {
    let boards = counted(group.boards, "board");
    let feet = paper.units.text(group.length);
    let rack = if group.offcuts > 0 {
        format!(", and {} from the rack", counted(group.offcuts, "offcut"))
    } else {
        String::new()
    };
    let least = match (group.boards_at_least, group.length_at_least) {
        (Some(boards), Some(length)) => {
            format!("; no plan buys fewer than {boards} or less than {}", paper.units.text(length))
        }
        _ => group.price_at_least.map_or_else(String::new, |least| {
            format!("; no plan pays less than {} {}", money(least), paper.plan.purchase.currency)
        }),
    };
    format!("{}, {}: {boards}, {feet} in all{rack}{least}.", group.name(), wood(paper, &group.species))
}

fn wood<'a>(paper: &Paper<'a>, species: &'a str) -> &'a str {
    paper.catalogue.species(species).map_or(species, |species| species.name.as_str())
}

fn money(cents: i64) -> String {
    format!("{}.{:02}", cents / 100, cents % 100)
}

fn layouts(page: &mut Page, paper: &Paper<'_>) {
    if paper.plan.purchase.layouts.is_empty() {
        return;
    }
    page.heading("Board by board", '-');
    page.wrapped("", "Lengths from the datum end; the stop is where the cut's near side falls.");
    for (index, board) in paper.plan.purchase.layouts.iter().enumerate() {
        board_words(page, paper, index + 1, board);
    }
}

fn board_words(page: &mut Page, paper: &Paper<'_>, number: usize, board: &BoardLayout) {
    let size = |length| paper.units.text(length);
    let from = if board.from == BoardSource::Yard { "" } else { ", from the rack" };
    page.blank();
    page.line(&format!(
        "Board {number}: {} {}, {} long{from}",
        board.section,
        wood(paper, &board.species),
        size(board.length)
    ));
    if board.trim_low.is_positive() {
        page.line(&format!("    square the datum end, {} off", size(board.trim_low)));
    }
    for cut in &board.cuts {
        cut_words(page, paper, board, cut);
    }
    page.line(&format!("    left over {}", size(board.offcut)));
}

fn cut_words(page: &mut Page, paper: &Paper<'_>, board: &BoardLayout, cut: &LayoutCut) {
    let size = |length| paper.units.text(length);
    let ripped = cut.lanes.len() > 1
        || cut.strip_left.is_positive()
        || cut.lanes.iter().any(|lane| lane.pieces.len() > 1);
    if !ripped {
        let piece = cut.lanes.first().and_then(|lane| lane.pieces.first());
        let (mark, name) = piece.map_or(("", ""), |piece| (piece.mark.as_str(), piece.name.as_str()));
        page.line(&format!(
            "    stop at {:<12} {:<3} {name}, {}",
            size(cut.end),
            mark,
            size(cut.end - cut.start)
        ));
        return;
    }
    page.line(&format!(
        "    stop at {:<12} a length of {} to rip:",
        size(cut.end),
        size(cut.end - cut.start)
    ));
    for lane in &cut.lanes {
        let pieces: Vec<String> = lane
            .pieces
            .iter()
            .map(|piece| format!("{} {} ({})", piece.mark, piece.name, size(piece.end - piece.start)))
            .collect();
        page.wrapped("        ", &format!("rip {}: {}", size(lane.width), pieces.join(", then ")));
    }
    if cut.strip_left.is_positive() && cut.lanes.iter().all(|lane| lane.width < board.width) {
        page.line(&format!("        strip left {}", size(cut.strip_left)));
    }
}
