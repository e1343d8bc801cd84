//! Going over a purchase again, in whole nanometres, without any of the code that made it.

use super::outline::nest_outline;
use super::{BoardLayout, LayoutCut, LayoutLane, LayoutNest, Purchase};
use crate::stock::nesting::{
    self, NestBoard, NestPart, NestPlan, NestProblem, NestedBoard, Placement, Point,
};
use slatwork_base::{Diagnostic, Length, Tape};
use slatwork_model::{Blank, Model, Part, PartId};
use std::collections::BTreeMap;

/// Checks that every cut lies on its board, clear of trims and kerfs, and that the boards together give every part of
/// the model its blank, each once, as long as the tape reads it.
///
/// # Errors
/// `layout-wrong`, naming the board or the part: a fault of this program.
pub fn verify(purchase: &Purchase, model: &Model, tape: Tape) -> Result<(), Diagnostic> {
    for (index, board) in purchase.layouts.iter().enumerate() {
        verify_board(board, model)
            .map_err(|fault| wrong(format!("board {} ({}): {fault}", index + 1, board.section)))?;
    }
    verify_stretches(purchase).and_then(|()| verify_pieces(purchase, model, tape)).map_err(wrong)
}

/// Stretches of one board with defects must not overlap.
fn verify_stretches(purchase: &Purchase) -> Result<(), String> {
    let stretch = |board: &BoardLayout| {
        let own = board.stretch.filter(|own| !own.is_whole(board.length))?;
        Some(((own.offcut, own.board), own.from, own.from + board.length))
    };
    let mut stretches: Vec<_> = purchase.layouts.iter().filter_map(stretch).collect();
    stretches.sort_unstable();
    match stretches.windows(2).find(|pair| pair[0].0 == pair[1].0 && pair[1].1 < pair[0].2) {
        None => Ok(()),
        Some(pair) => {
            Err(format!("a board on the rack is cut twice between {} and {}", pair[1].1, pair[0].2))
        }
    }
}

fn wrong(message: String) -> Diagnostic {
    Diagnostic::error("layout-wrong", message)
        .help("this is a fault of the program: please report it with the script")
}

fn verify_board(board: &BoardLayout, model: &Model) -> Result<(), String> {
    let mut free_from = board.trim_low;
    for cut in &board.cuts {
        if cut.start < free_from || cut.end <= cut.start {
            return Err(format!("the cut at {} begins before {free_from}", cut.start));
        }
        verify_cut(board, cut)?;
        cut.nest.iter().try_for_each(|nest| verify_nest(board, cut, nest, model))?;
        free_from = cut.end + board.kerf;
    }
    let last = board.cuts.last().map_or(board.trim_low, |cut| cut.end);
    if last > board.length - board.trim_high {
        return Err(format!("its cuts reach {last} of {}", board.length));
    }
    let left = (board.length - board.trim_high - last - board.kerf).max(Length::ZERO);
    if !board.cuts.is_empty() && board.offcut != left {
        return Err(format!("its offcut is {left}, not {}", board.offcut));
    }
    Ok(())
}

fn verify_cut(board: &BoardLayout, cut: &LayoutCut) -> Result<(), String> {
    let mut free_from = Length::ZERO;
    for lane in &cut.lanes {
        if lane.from_edge < free_from || lane.from_edge + lane.width > board.width {
            return Err(format!("a strip {} wide does not lie on its width", lane.width));
        }
        let beside = board.width - lane.width;
        if lane.width < board.narrowest_rip && beside > Length::ZERO && beside >= board.rip_kerf {
            return Err(format!("a strip {} wide is narrower than the tools rip", lane.width));
        }
        verify_lane(board, cut, lane)?;
        free_from = lane.from_edge + lane.width + board.rip_kerf;
    }
    Ok(())
}

/// Outlines lie on their length of the board as they may, and keep the clearance from each other: exact, edge against edge.
fn verify_nest(board: &BoardLayout, cut: &LayoutCut, nest: &LayoutNest, model: &Model) -> Result<(), String> {
    let mut problem = NestProblem {
        parts: Vec::with_capacity(nest.pieces.len()),
        width: board.width,
        clearance: nest.clearance,
        boards: vec![NestBoard { length: cut.end - cut.start, cost: 0, available: None, zones: Vec::new() }],
    };
    let mut placements = Vec::with_capacity(nest.pieces.len());
    for (part, own) in nest.pieces.iter().enumerate() {
        let outline = model.parts.get(own.piece.part.0).and_then(nest_outline);
        let Some((polygon, faces)) = outline else {
            return Err(format!("`{}` may not lie in a nest", own.piece.name));
        };
        if [own.piece.end - own.piece.start, own.width].map(Length::as_nm)
            != [polygon.length(), polygon.width()]
        {
            return Err(format!("`{}` in its nest is not as large as its outline", own.piece.name));
        }
        let at = Point::new((own.piece.start - cut.start).as_nm(), own.from_edge.as_nm());
        placements.push(Placement { part, turn: own.turn, at });
        problem.parts.push(NestPart { polygon, faces, count: 1 });
    }
    let own = NestedBoard { board: 0, placements, used: Length::ZERO };
    let plan = NestPlan { boards: vec![own], ..NestPlan::default() };
    nesting::verify(&problem, &plan).map_err(|fault| format!("its nest up to {}: {fault}", cut.end))
}

fn verify_lane(board: &BoardLayout, cut: &LayoutCut, lane: &LayoutLane) -> Result<(), String> {
    let mut free_from = cut.start;
    for piece in &lane.pieces {
        if piece.start < free_from || piece.end > cut.end {
            return Err(format!("`{}` does not lie in its cut", piece.name));
        }
        free_from = piece.end + board.kerf;
    }
    Ok(())
}

/// What a piece is: part, length, width.
type Blanks = BTreeMap<(PartId, Length, Length), i64>;

fn verify_pieces(purchase: &Purchase, model: &Model, tape: Tape) -> Result<(), String> {
    let mut open = Blanks::new();
    for part in &model.parts {
        let mut want =
            |length, width| *open.entry((part.id, tape.read(length).mark, width)).or_default() += 1;
        match &part.blank {
            Blank::Solid => want(part.rough_length, part.rough_width),
            Blank::GluedUp { strips, .. } => strips.iter().for_each(|strip| want(strip.length, strip.width)),
        }
    }
    open.values_mut().for_each(|count| *count *= purchase.pieces as i64);
    for board in &purchase.layouts {
        for nested in board.cuts.iter().flat_map(|cut| &cut.nest).flat_map(|nest| &nest.pieces) {
            let Some(part) = model.parts.get(nested.piece.part.0).filter(|part| may_come_from(part, board))
            else {
                return Err(format!("`{}` is not to be nested on {}", nested.piece.name, board.section));
            };
            let length = tape.read(part.rough_length).mark;
            *open.entry((part.id, length, part.rough_width)).or_default() -= 1;
        }
        for lane in board.cuts.iter().flat_map(|cut| &cut.lanes) {
            for piece in &lane.pieces {
                let part = model.parts.get(piece.part.0);
                if !part.is_some_and(|part| may_come_from(part, board)) {
                    return Err(format!("`{}` is not to be cut from {}", piece.name, board.section));
                }
                *open.entry((piece.part, piece.end - piece.start, lane.width)).or_default() -= 1;
            }
        }
    }
    match open.iter().find(|(_, count)| **count != 0) {
        None => Ok(()),
        Some(((part, length, ..), count)) => {
            let name = model.parts.get(part.0).map_or("?", |part| part.name.as_str());
            let fault = if *count > 0 { "is missing" } else { "is cut too often" };
            Err(format!("a piece of `{name}`, {length} long, {fault}"))
        }
    }
}

/// Whether a part's blank may come from a board: of its own section, or of any wider one where it allows that. Sections are told
/// apart by name; that a wider one is as thick is not to be seen in a layout.
fn may_come_from(part: &Part, board: &BoardLayout) -> bool {
    let asks = |section: &str| key(section) == key(&board.section);
    let is_own = match &part.blank {
        Blank::Solid => asks(&part.section),
        Blank::GluedUp { strips, .. } => strips.iter().any(|strip| asks(&strip.section)),
    };
    part.species == board.species && (is_own || part.from_wider)
}

/// Sections are asked for in several spellings; blanks and letter case do not count.
fn key(section: &str) -> String {
    section.chars().filter(|c| !c.is_whitespace()).flat_map(char::to_lowercase).collect()
}
