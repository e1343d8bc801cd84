//! The cut list, and the boards one by one.

use super::super::cut_list::HOW_IT_LIES;
use super::super::purchase::{BoardWords, WHAT_IS_KEPT, WHERE_STOPS_FALL, board_words, labels};
use super::super::{Paper, purchase};
use super::{heading, table_of_words, words};
use slatwork_output::book::{Block, Chapter, Drawing, DrawingPlace};
use slatwork_output::{Sheet, Table};

/// White round the frame of a sheet, mm, that a column has no room for.
pub(super) const FRAME: u8 = 7;

pub(super) fn chapter(paper: &Paper<'_>) -> Chapter {
    let mut blocks = vec![words(HOW_IT_LIES), words(paper.units.off_sentence())];
    blocks.push(Block::Table(cut_list(paper)));
    let alike = paper.plan.purchase.alike();
    if !alike.is_empty() {
        blocks.push(heading(purchase::for_pieces("The boards", paper.plan.purchase.pieces)));
        blocks.push(words(
            "Saw board by board in this order, each from its datum end: square the end, crosscut to the stops, then rip what is to be \
             ripped. Mark each piece as it comes off.",
        ));
        blocks.extend(paper.sheets.boards.iter().map(|sheet| Block::Drawing(framed(sheet))));
        blocks.push(words(WHERE_STOPS_FALL));
        let labels = labels(paper, &alike);
        for (own, label) in alike.iter().zip(&labels) {
            blocks.push(board(paper, &board_words(paper, own, label.as_ref())));
        }
        if labels.iter().any(Option::is_some) {
            blocks.push(words(WHAT_IS_KEPT));
        }
    }
    super::chapter("cutting", "Cut list and boards", blocks)
}

/// A sheet in the column, as large as its frame.
pub(super) fn framed(sheet: &Sheet) -> Drawing {
    Drawing { sheet: sheet.clone(), caption: String::new(), place: DrawingPlace::Framed(FRAME) }
}

/// Sizes as a person saws them, with what a mark is off.
fn cut_list(paper: &Paper<'_>) -> Table {
    let size = |length| paper.units.true_text(length);
    let woods = &paper.plan.bill.wood;
    let several = woods.len() > 1;
    let of =
        if let [one] = woods.as_slice() { format!(", all of {}", one.species_name) } else { String::new() };
    let rows = paper.plan.cut_list.rows.iter().map(|row| {
        let pair =
            row.pair.as_ref().map_or(String::new(), |(mate, words)| format!("pair with {mate}: {words}"));
        let fit = row
            .fit
            .as_ref()
            .map(|fit| format!("{} over; trim {}", paper.units.text(fit.allowance), fit.trim));
        let notes: Vec<String> =
            [Some(pair).filter(|pair| !pair.is_empty()), fit].into_iter().flatten().collect();
        vec![
            row.mark.clone(),
            row.name.clone(),
            row.quantity.to_string(),
            size(row.length),
            size(row.width),
            size(row.thickness),
            row.boards(),
            if several { purchase::wood(paper, &row.species).to_string() } else { String::new() },
            notes.join("; "),
        ]
    });
    let columns = [
        ("mark", "mark"),
        ("name", "part"),
        ("quantity", "count"),
        ("length", "length"),
        ("width", "width"),
        ("thickness", "thickness"),
        ("boards", "cut from"),
        ("species", "wood"),
        ("note", "note"),
    ];
    table_of_words(paper, "cut_list", format!("Cut list{of}"), &columns, rows)
}

fn board(paper: &Paper<'_>, board: &BoardWords) -> Block {
    let aside = |words: &String| vec![String::new(), String::new(), words.clone()];
    let mut rows: Vec<Vec<String>> = board.before.iter().map(aside).collect();
    for cut in &board.cuts {
        let mark = cut.mark.clone().unwrap_or_default();
        rows.push(vec![cut.stop.clone(), mark, cut.what.clone()]);
        rows.extend(cut.under.iter().map(aside));
    }
    rows.push(aside(&board.left));
    let columns = [("stop", "stop at"), ("mark", "mark"), ("what", "what comes off")];
    Block::Together(vec![Block::Table(table_of_words(paper, "board", &board.head, &columns, rows))])
}
