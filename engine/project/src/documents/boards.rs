//! How the boards are cut, in pictures.

use super::drawings::{sheet_file, size};
use super::page::counted;
use super::purchase::{board_name, label_words, labels, left_in, numbers};
use super::{Files, Paper};
use slatwork_base::{Length, Outcome};
use slatwork_output::Sheet;
use slatwork_output::drawing::{BoardPicture, BoardPictures, BoardSection, BoardStrip, board_sheets};
use slatwork_shop::purchase::{AlikeBoards, LayoutCut, LayoutLane, LayoutNest, NestedPiece, nested_outline};

pub(super) fn write(paper: &Paper<'_>) -> Outcome<Files> {
    let numbered = paper.sheets.boards.iter().enumerate();
    numbered.fold(Outcome::fine(Files::new()), |files, (index, sheet)| {
        files.then(|files| sheet_file(files, sheet, &format!("boards_{}", index + 1)))
    })
}

pub(super) fn sheets(paper: &Paper<'_>) -> Vec<Sheet> {
    let alike = paper.plan.purchase.alike();
    let labels = labels(paper, &alike);
    let boards: Vec<BoardPicture> = alike
        .iter()
        .zip(&labels)
        .map(|(own, label)| picture(paper, own, label.as_ref().map(label_words)))
        .collect();
    board_sheets(&BoardPictures {
        piece: &paper.model.title,
        boards: &boards,
        tape: paper.units.tape(),
        paper: size(paper.units, false),
    })
}

fn picture(paper: &Paper<'_>, alike: &AlikeBoards<'_>, label: Option<String>) -> BoardPicture {
    let board = alike.layout;
    let times = if alike.boards.len() > 1 { format!(" x {}", alike.boards.len()) } else { String::new() };
    let head = format!("{}{times}: {}", numbers(&alike.boards), board_name(paper, alike));
    let kept = |label: String| format!("{label}: {}", paper.units.text(board.offcut));
    BoardPicture {
        head,
        length: board.length.as_mm(),
        width: board.width.as_mm(),
        trim: board.trim_low.as_mm(),
        sections: board.cuts.iter().map(|cut| section(paper, board.width, cut)).collect(),
        defects: left_in(paper, board).map(|own| (own.from.as_mm(), own.to.as_mm())).collect(),
        left: left(board.length - board.trim_high, board.offcut),
        left_words: label.map_or_else(String::new, kept),
    }
}

fn left(end: Length, offcut: Length) -> (f64, f64) {
    ((end - offcut).as_mm(), end.as_mm())
}

fn section(paper: &Paper<'_>, width: Length, cut: &LayoutCut) -> BoardSection {
    let is_ripped = cut.is_ripped();
    // What takes the whole width is drawn as wide as the board, whatever is planed off it.
    let across = |lane: &LayoutLane| {
        let high = if is_ripped { lane.from_edge + lane.width } else { width };
        (lane.from_edge.as_mm(), high.as_mm())
    };
    let strip = |lane: &LayoutLane| BoardStrip {
        across: across(lane),
        pieces: lane
            .pieces
            .iter()
            .map(|piece| (piece.start.as_mm(), piece.end.as_mm(), piece.mark.clone()))
            .collect(),
    };
    let words = || {
        let strips: Vec<String> = cut.lanes.iter().map(|lane| strip_words(paper, cut, lane)).collect();
        format!("up to {}: rip {}", paper.units.text(cut.end), strips.join("; then "))
    };
    let outline = |own: &NestedPiece| {
        let corners = nested_outline(paper.model.part(own.piece.part), own);
        let corners = corners.iter().map(|(along, across)| (along.as_mm(), across.as_mm())).collect();
        (corners, own.piece.mark.clone())
    };
    BoardSection {
        span: (cut.start.as_mm(), cut.end.as_mm()),
        strips: cut.lanes.iter().map(strip).collect(),
        nested: cut.nest.iter().flat_map(|nest| &nest.pieces).map(outline).collect(),
        words: match &cut.nest {
            Some(nest) => nest_words(paper, cut, nest),
            None if is_ripped => words(),
            None => String::new(),
        },
    }
}

/// What is traced where stands in the purchase list.
fn nest_words(paper: &Paper<'_>, cut: &LayoutCut, nest: &LayoutNest) -> String {
    let parts = counted(nest.pieces.len(), "part");
    format!(
        "up to {}: {parts} in a nest, traced as the purchase list tells and sawn apart",
        paper.units.text(cut.end)
    )
}

/// `2 7/8", cut at 21 9/16" and 43 1/4" from its end`.
fn strip_words(paper: &Paper<'_>, cut: &LayoutCut, lane: &LayoutLane) -> String {
    let width = paper.units.text(lane.width);
    let is_cut = lane.pieces.len() > 1 || lane.pieces.first().is_some_and(|piece| piece.end < cut.end);
    if !is_cut {
        return width;
    }
    let stops: Vec<String> =
        lane.pieces.iter().map(|piece| paper.units.text(piece.end - cut.start)).collect();
    format!("{width}, cut at {} from its end", stops.join(", "))
}
