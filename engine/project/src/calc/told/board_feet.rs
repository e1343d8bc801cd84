//! A pile of boards in words.

use crate::Units;
use crate::calc::board_feet::{Answer, Boards, Line, Question};
use crate::calc::sheet::{Sheet, figure};

const SOURCE: &str = "Board feet are counted by the size a board is sold by: thickness (in) x width (in) x length (ft) / 12. Volume and weight \
                      are of the size it has.";

pub(in crate::calc) fn board_feet(question: &Question, answer: &Answer, units: Units) -> String {
    let mut sheet = Sheet::new(units, &format!("{} board feet", figure(answer.board_feet)));
    for (boards, line) in question.boards.iter().zip(&answer.boards) {
        let (label, words) = (pile(&sheet, boards), counted(&sheet, line));
        sheet.row(&label, words);
    }
    sheet.row("volume", format!("{:.4} m\u{b3}", answer.volume_m3));
    if answer.boards.iter().any(|line| line.mass_kg.is_some()) {
        let mass = sheet.mass(answer.mass_kg);
        sheet.row("weight", mass);
    }
    if answer.boards.iter().any(|line| line.mass_kg.is_none()) {
        sheet.say("Boards of no named wood have no weight here.");
    }
    sheet.part(SOURCE);
    sheet.finish()
}

fn pile(sheet: &Sheet, boards: &Boards) -> String {
    let size = match (&boards.section, boards.thickness, boards.width) {
        (Some(section), ..) => section.clone(),
        (None, Some(thickness), Some(width)) => {
            format!("{} x {}", sheet.length(thickness.0), sheet.length(width.0))
        }
        _ => String::new(),
    };
    let wood = boards.wood.as_ref().map(|own| format!(" {}", own.replace('_', " "))).unwrap_or_default();
    format!("{} of {size}{wood}, {}", boards.count.unwrap_or(1), sheet.length(boards.length.0))
}

fn counted(sheet: &Sheet, line: &Line) -> String {
    let mass = line.mass_kg.map(|kg| format!(", {}", sheet.mass(kg))).unwrap_or_default();
    format!("{} board feet{mass}", figure(line.board_feet))
}
