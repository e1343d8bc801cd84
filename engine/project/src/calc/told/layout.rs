//! A layout in words.

use crate::Units;
use crate::calc::layout::{Answer, Question};
use crate::calc::sheet::Sheet;

pub(in crate::calc) fn layout(question: &Question, answer: &Answer, units: Units) -> String {
    let count = if answer.count == 1 { String::from("1 slat") } else { format!("{} slats", answer.count) };
    let mut sheet = Sheet::new(units, &count);
    let (room, gap) = (sheet.length(question.room.0), sheet.true_length(answer.gap_mm));
    sheet.row("in", room);
    sheet.row("gap between neighbours", gap);
    let ripped: Vec<f64> = answer.slats.iter().filter(|slat| slat.ripped).map(|slat| slat.width_mm).collect();
    if let Some(width) = ripped.first() {
        let words = format!("{} to {}", ripped.len(), sheet.true_length(*width));
        sheet.row("ripped narrower", words);
    }
    sheet.part("From the first side");
    for (index, slat) in answer.slats.iter().enumerate() {
        let ripped = if slat.ripped { ", ripped" } else { "" };
        let words = format!("{}, {} wide{ripped}", sheet.length(slat.from_mm), sheet.length(slat.width_mm));
        sheet.row(&format!("slat {} begins at", index + 1), words);
    }
    sheet.finish()
}
