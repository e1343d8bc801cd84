//! Boards to buy, and how each is cut.

use super::page::{Page, counted, run};
use super::{Files, Paper, rack};
use indexmap::IndexMap;
use slatwork_base::{Length, Outcome};
use slatwork_catalog::{Defect, DefectSide};
use slatwork_model::Blank;
use slatwork_shop::purchase::{AlikeBoards, LayoutLane, LayoutNest, LayoutPiece, NestedPiece, RULE};
use slatwork_shop::{BoardLayout, GroupSummary, SHORT, part_words};
use std::ops::RangeInclusive;

pub(super) fn write(paper: &Paper<'_>) -> Outcome<Files> {
    let tables = vec![paper.plan.purchase_table(), paper.plan.boards_table()];
    text(paper).then(|text| {
        let own = vec![
            (String::from("purchase.txt"), text.into_bytes()),
            (String::from("rack.toml"), rack::text(paper).into_bytes()),
        ];
        paper.table_files("purchase", tables).map(|files| [own, files].concat())
    })
}

fn text(paper: &Paper<'_>) -> Outcome<String> {
    paper.table_text(paper.plan.purchase_table().without("pieces")).map(|table| {
        let mut page = paper.page(&for_pieces("boards to buy", paper.plan.purchase.pieces));
        page.wrapped("", &claim(paper));
        page.blank();
        let head = page.finish();
        let mut rest = Page::default();
        sums(paper).iter().for_each(|words| rest.wrapped("", words));
        layouts(&mut rest, paper);
        [head, table, String::from("\n"), rest.finish()].concat()
    })
}

/// What is claimed of the plan.
pub(super) fn claim(paper: &Paper<'_>) -> String {
    format!("The plan is {}. Rule: {RULE}.", paper.plan.purchase.claim())
}

/// What a paper is called that is for several pieces alike.
pub(super) fn for_pieces(what: &str, pieces: usize) -> String {
    if pieces > 1 { format!("{what} for {pieces} of them") } else { what.to_string() }
}

/// What the boards come to, and what no plan can beat.
pub(super) fn sums(paper: &Paper<'_>) -> Vec<String> {
    let purchase = &paper.plan.purchase;
    let groups = purchase.groups.iter().map(|group| group_words(paper, group));
    let wider = paper.findings.iter().filter(|finding| finding.code == "wider-not-as-thick");
    let wider = wider.map(|note| format!("Note: {}.", note.message));
    let bought = |length: Length| run(paper.units, length);
    let least = purchase.length_at_least();
    let least = least.map_or_else(String::new, |least| format!("; no plan buys less than {}", bought(least)));
    let all = format!("Bought in all: {}{least}.", bought(purchase.length()));
    let price = match (purchase.price_cents, purchase.price_at_least) {
        (Some(price), Some(least)) => {
            format!("Price: {} {}; no plan pays less than {}.", money(price), purchase.currency, money(least))
        }
        (Some(price), None) => format!("Price: {} {}.", money(price), purchase.currency),
        (None, _) => String::from("Price: not known; list what your yard asks in a catalogue file."),
    };
    groups.chain(from_wider(paper)).chain(short_rips(paper)).chain(wider).chain([all, price]).collect()
}

/// What comes from a wider section than its own, under which the cut list gathers it.
fn from_wider(paper: &Paper<'_>) -> Option<String> {
    let key = |section: &str| paper.catalogue.section(section).map_or("", |own| own.name.as_str());
    let mut names: Vec<String> = Vec::new();
    for board in &paper.plan.purchase.layouts {
        for piece in board.cuts.iter().flat_map(|cut| &cut.lanes).flat_map(|lane| &lane.pieces) {
            let part = paper.model.part(piece.part);
            let is_own = part.blank == Blank::Solid && key(&part.section) == key(&board.section);
            if part.from_wider && part.blank == Blank::Solid && !is_own {
                names.push(part.name.clone());
            }
        }
    }
    names.sort_unstable_by_key(|name| place(paper, name));
    names.dedup();
    (!names.is_empty()).then(|| {
        format!(
            "Ripped from other boards than their own section: {}. Rip them as the boards below tell, then go on by the cut list.",
            part_words(&names)
        )
    })
}

/// What must not be cut to length and ripped then, as the layouts show it: what comes from a length that is too short.
fn short_rips(paper: &Paper<'_>) -> Option<String> {
    let mut names: IndexMap<&str, Vec<String>> = IndexMap::new();
    for board in &paper.plan.purchase.layouts {
        let short = board.cuts.iter().filter(|cut| cut.end - cut.start < SHORT);
        let ripped = short.flat_map(|cut| &cut.lanes).filter(|lane| lane.width < board.width);
        for piece in ripped.flat_map(|lane| &lane.pieces) {
            names.entry(&piece.mark).or_default().push(piece.name.clone());
        }
    }
    names.sort_by(|a, _, b, _| (a.len(), a).cmp(&(b.len(), b)));
    let told = |(mark, mut names): (&str, Vec<String>)| {
        names.sort_unstable_by_key(|name| place(paper, name));
        names.dedup();
        format!("{mark} {}", part_words(&names))
    };
    let short: Vec<String> = names.into_iter().map(told).collect();
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
    let mut least = String::new();
    if let (Some(boards), Some(length)) = (group.boards_at_least, group.length_at_least) {
        least = format!("; no plan buys fewer than {boards} or less than {}", paper.units.text(length));
    }
    let told = |least: i64| {
        let paid = group.price_cents.filter(|paid| *paid != least);
        let paid = paid.map_or_else(String::new, |paid| format!(", this pays {}", money(paid)));
        format!("; no plan pays less than {} {}{paid}", money(least), paper.plan.purchase.currency)
    };
    if least.is_empty() || !group.is_proven {
        least += &group.price_at_least.map_or_else(String::new, told);
    }
    format!("{}, {}: {boards}, {feet} in all{rack}{least}.", group.name(), wood(paper, &group.species))
}

pub(super) fn wood<'a>(paper: &Paper<'a>, species: &'a str) -> &'a str {
    paper.catalogue.species(species).map_or(species, |species| species.name.as_str())
}

fn money(cents: i64) -> String {
    format!("{}.{:02}", cents / 100, cents % 100)
}

fn layouts(page: &mut Page, paper: &Paper<'_>) {
    let alike = paper.plan.purchase.alike();
    if alike.is_empty() {
        return;
    }
    page.heading("Board by board", '-');
    page.wrapped("", WHERE_STOPS_FALL);
    let labels = labels(paper, &alike);
    for (own, label) in alike.iter().zip(&labels) {
        board_text(page, paper, own, label.as_ref());
    }
    if labels.iter().any(Option::is_some) {
        page.blank();
        page.wrapped("", WHAT_IS_KEPT);
    }
}

/// How the lengths on a board are read.
pub(super) const WHERE_STOPS_FALL: &str =
    "Lengths from the datum end; the stop is where the cut's near side falls.";

/// What is done with offcuts that are worth it.
pub(super) const WHAT_IS_KEPT: &str = "Write its label on the end of each piece that is kept. rack.toml lists what the rack holds once all is cut: give it as a \
     catalogue for the next piece, in place of the offcuts that you gave for this one.";

/// Numbers of the labels of what is left of the boards and kept. They go on after those that the rack holds.
pub(super) fn labels(paper: &Paper<'_>, alike: &[AlikeBoards<'_>]) -> Vec<Option<RangeInclusive<usize>>> {
    let usable = paper.catalogue.tools().least_offcut;
    let in_hand = paper.catalogue.rack().iter().flat_map(|own| &own.labels);
    let mut used = in_hand.filter_map(|label| label.strip_prefix('R')?.parse().ok()).max().unwrap_or(0);
    let label = |own: &AlikeBoards<'_>| {
        own.layout.is_kept(usable).then(|| {
            let first = used + 1;
            used += own.boards.len();
            first..=used
        })
    };
    alike.iter().map(label).collect()
}

/// `R1`, `R2 to R4`.
pub(super) fn label_words(numbers: &RangeInclusive<usize>) -> String {
    let (first, last) = (numbers.start(), numbers.end());
    if first == last { format!("R{first}") } else { format!("R{first} to R{last}") }
}

/// What is written on the ends of boards in hand that are cut alike, where the rack tells it: ` (R2, R5)`.
fn in_hand(paper: &Paper<'_>, alike: &AlikeBoards<'_>) -> String {
    let layouts = &paper.plan.purchase.layouts;
    let label = |at: &usize| {
        let own = layouts.get(*at)?.stretch?;
        let offcut = paper.catalogue.rack().get(own.offcut)?;
        let before = || layouts[..*at].iter().filter_map(|board| board.stretch);
        // Of boards without defects the first are used first.
        let which = match offcut.defects.is_empty() {
            true => before().filter(|other| other.offcut == own.offcut).count(),
            false => own.board,
        };
        offcut.labels.get(which).map(String::as_str)
    };
    let labels: Vec<&str> = alike.boards.iter().filter_map(label).collect();
    if labels.is_empty() { String::new() } else { format!(" ({})", labels.join(", ")) }
}

/// `Board 3`, `Boards 7 and 8`, `Boards 2 to 9`.
pub(super) fn numbers(boards: &[usize]) -> String {
    let in_a_row = boards.windows(2).all(|pair| pair[1] == pair[0] + 1);
    match boards {
        [] => String::new(),
        [one] => format!("Board {}", one + 1),
        [first, .., last] if in_a_row && boards.len() > 2 => format!("Boards {} to {}", first + 1, last + 1),
        [first @ .., last] => {
            let first: Vec<String> = first.iter().map(|board| (board + 1).to_string()).collect();
            format!("Boards {} and {}", first.join(", "), last + 1)
        }
    }
}

/// Defects that are left in a stretch of a board in hand, from its beginning.
pub(super) fn left_in<'a>(paper: &'a Paper<'_>, board: &BoardLayout) -> impl Iterator<Item = Defect> + 'a {
    let (from, length) = (board.stretch.map_or(Length::ZERO, |own| own.from), board.length);
    let offcut = board.stretch.and_then(|own| paper.catalogue.rack().get(own.offcut));
    let defects = offcut.map_or(&[][..], |offcut| &offcut.defects);
    let place = move |at: Length| (at - from).clamp(Length::ZERO, length);
    let own = defects.iter().map(move |own| Defect { from: place(own.from), to: place(own.to), ..*own });
    own.filter(|own| own.from < own.to)
}

/// `2x6 white oak, 96" long, from the rack (R2)`.
pub(super) fn board_name(paper: &Paper<'_>, alike: &AlikeBoards<'_>) -> String {
    let (board, labels) = (alike.layout, in_hand(paper, alike));
    let size = |length| paper.units.text(length);
    let from = match board.stretch {
        None => String::new(),
        Some(own) if own.is_whole(board.length) => format!(", from the rack{labels}"),
        Some(own) => format!(
            ", from the rack{labels}: its stretch from {} to {} of {}",
            size(own.from),
            size(own.from + board.length),
            size(own.whole)
        ),
    };
    format!("{} {}, {} long{from}", board.section, wood(paper, &board.species), size(board.length))
}

/// How boards that are cut alike are cut, in words.
pub(super) struct BoardWords {
    /// Which boards, and what they are.
    pub(super) head: String,
    /// What is done first, and what is to be looked out for.
    pub(super) before: Vec<String>,
    /// Each crosscut.
    pub(super) cuts: Vec<CutWords>,
    /// What is left over.
    pub(super) left: String,
}

/// A crosscut in words.
pub(super) struct CutWords {
    /// Where the stop stands.
    pub(super) stop: String,
    /// The mark of what is cut off; none of a length that is ripped or traced.
    pub(super) mark: Option<String>,
    /// What is cut off.
    pub(super) what: String,
    /// What becomes of a length.
    pub(super) under: Vec<String>,
}

pub(super) fn board_words(
    paper: &Paper<'_>,
    alike: &AlikeBoards<'_>,
    label: Option<&RangeInclusive<usize>>,
) -> BoardWords {
    let board = alike.layout;
    let size = |length| paper.units.text(length);
    let stretch = board.stretch.is_some_and(|own| !own.is_whole(board.length));
    let stretch = stretch.then(|| String::from("cut this stretch out first; its lower end is the datum end"));
    let trim =
        board.trim_low.is_positive().then(|| format!("square the datum end, {} off", size(board.trim_low)));
    let defects = left_in(paper, board).map(|own| {
        let turn = if own.side == DefectSide::Back { ": turn it to the back" } else { "" };
        format!("defect from {} to {}{turn}", size(own.from), size(own.to))
    });
    let kept = label.map_or_else(String::new, |label| format!(": keep it as {}", label_words(label)));
    BoardWords {
        head: format!("{}: {}", numbers(&alike.boards), board_name(paper, alike)),
        before: stretch.into_iter().chain(trim).chain(defects).collect(),
        cuts: (0..board.cuts.len()).map(|cut| cut_words(paper, alike, cut)).collect(),
        left: format!("left over {}{kept}", size(board.offcut)),
    }
}

fn board_text(
    page: &mut Page,
    paper: &Paper<'_>,
    alike: &AlikeBoards<'_>,
    label: Option<&RangeInclusive<usize>>,
) {
    let words = board_words(paper, alike, label);
    page.blank();
    page.line(&words.head);
    words.before.iter().for_each(|own| page.line(&format!("    {own}")));
    for cut in &words.cuts {
        let mark = cut.mark.as_ref().map_or(String::new(), |mark| format!("{mark:<3} "));
        page.line(&format!("    stop at {:<12} {mark}{}", cut.stop, cut.what));
        cut.under.iter().for_each(|own| page.wrapped("        ", own));
    }
    page.line(&format!("    {}", words.left));
}

/// What a piece of a board is called, on all boards that are cut alike: `back slats 4 and 12`.
fn names(paper: &Paper<'_>, alike: &AlikeBoards<'_>, [cut, lane, piece]: [usize; 3]) -> String {
    let layouts = &paper.plan.purchase.layouts;
    let name = |board: &usize| {
        Some(layouts.get(*board)?.cuts.get(cut)?.lanes.get(lane)?.pieces.get(piece)?.name.clone())
    };
    let mut names: Vec<String> = alike.boards.iter().filter_map(name).collect();
    names.sort_unstable_by_key(|name| place(paper, name));
    names.dedup();
    part_words(&names)
}

/// Place of a part among all; strips of glued blanks have names of their own and come last.
fn place(paper: &Paper<'_>, name: &str) -> usize {
    let parts = &paper.model.parts;
    parts.iter().position(|part| part.name == name).unwrap_or(parts.len())
}

/// Where each part of a nest is traced, from the beginning of the length that holds it.
fn nest_words(paper: &Paper<'_>, alike: &AlikeBoards<'_>, (at, nest): (usize, &LayoutNest)) -> Vec<String> {
    let size = |length| paper.units.text(length);
    let cut = &alike.layout.cuts[at];
    let traced = |(index, own): (usize, &NestedPiece)| {
        let layouts = &paper.plan.purchase.layouts;
        let name = |board: &usize| {
            Some(layouts.get(*board)?.cuts.get(at)?.nest.as_ref()?.pieces.get(index)?.piece.name.clone())
        };
        let mut names: Vec<String> = alike.boards.iter().filter_map(name).collect();
        names.sort_unstable_by_key(|name| place(paper, name));
        names.dedup();
        format!(
            "{} {}: begins {} from the near end of that length, {} from the datum edge; {}",
            own.piece.mark,
            part_words(&names),
            size(own.piece.start - cut.start),
            size(own.from_edge),
            own.turn_words()
        )
    };
    nest.pieces.iter().enumerate().map(traced).collect()
}

fn cut_words(paper: &Paper<'_>, alike: &AlikeBoards<'_>, at: usize) -> CutWords {
    let size = |length| paper.units.text(length);
    let (board, cut) = (alike.layout, &alike.layout.cuts[at]);
    let (stop, length) = (size(cut.end), size(cut.end - cut.start));
    if let Some(nest) = &cut.nest {
        let count = nest.pieces.len();
        let what = format!("a length of {length}: {count} parts in a nest, traced and sawn apart:");
        return CutWords { stop, mark: None, what, under: nest_words(paper, alike, (at, nest)) };
    }
    if !cut.is_ripped() {
        let first = cut.lanes.first().and_then(|lane| lane.pieces.first());
        let mark = Some(first.map_or(String::new(), |piece| piece.mark.clone()));
        let what = format!("{}, {length}", names(paper, alike, [at, 0, 0]));
        return CutWords { stop, mark, what, under: Vec::new() };
    }
    let lane_words = |(lane_at, lane): (usize, &LayoutLane)| {
        let piece = |(piece_at, piece): (usize, &LayoutPiece)| {
            let name = names(paper, alike, [at, lane_at, piece_at]);
            format!("{} {name} ({})", piece.mark, size(piece.end - piece.start))
        };
        let pieces: Vec<String> = lane.pieces.iter().enumerate().map(piece).collect();
        format!("rip {}: {}", size(lane.width), pieces.join(", then "))
    };
    let is_left = paper.units.tape().read(cut.strip_left).mark.is_positive()
        && cut.lanes.iter().all(|lane| lane.width < board.width);
    let left = is_left.then(|| format!("strip left {}", size(cut.strip_left)));
    let under = cut.lanes.iter().enumerate().map(lane_words).chain(left).collect();
    CutWords { stop, mark: None, what: format!("a length of {length} to rip:"), under }
}
