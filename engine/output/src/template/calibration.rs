//! The page to print and measure before any template.

use super::cover::Flow;
use super::paper::{MOST_STRETCH, Printing};
use super::sheets::scale_words;
use crate::pdf::Page;
use crate::sheet::{Anchor, Figure, LineClass, Sheet, Text};
use slatwork_solid::DVec2;

/// Lines from a square to its words, mm.
const OFF: f64 = 4.0;

/// A square of 100 mm and one of 4 in, each side to be measured by itself: a printer errs differently along the paper and across
/// it. Then the list of templates, each with its count of sheets.
pub fn calibration(printing: &Printing, list: &[(String, usize)]) -> Vec<Page> {
    let mut flow = Flow::new(printing, String::from("Calibration"));
    flow.line(4.5, true, "Print this page first, and measure it");
    flow.words(
        "Print at 100 % (\"actual size\"), upright, with the settings and the paper of the templates. Measure each side of a square \
         from the middle of one line to the middle of the other with a steel rule.",
    );
    square(&mut flow, 100.0, "100 mm");
    square(&mut flow, 101.6, "4 in");
    flow.words(
        "Both true within 0.2 mm: print the templates. Else look for a setting that fits pages to the paper and switch it off. \
         What is still off is made up for: build again with --print-scale ACROSSxUP, where ACROSS is 100 divided by the width that \
         you measure in millimetres, UP 100 divided by the height (99.6 and 100.2 give 1.004x0.998).",
    );
    flow.words(&format!(
        "A printer that errs by more than {:.0} % is not made up for. Sheets may be fed a little differently one from the next: measure \
         the rulers of each.",
        MOST_STRETCH * 100.0
    ));
    flow.words(scale_words(printing).trim());
    if !list.is_empty() {
        flow.line(2.8, true, "Templates, and how many sheets each is drawn on");
        for (name, sheets) in list {
            flow.words(&format!("{name}: {sheets}"));
        }
    }
    flow.done(printing)
}

/// A square with words for either side.
fn square(flow: &mut Flow, side: f64, name: &str) {
    if flow.room() < side {
        flow.words(&format!("The paper is too narrow for a square of {name}."));
        return;
    }
    let (sheet, corner) = flow.strip(side + 2.0 * OFF);
    let low = corner + DVec2::new(0.0, OFF);
    let high = low + DVec2::splat(side);
    sheet.rectangle(LineClass::Cut, low, high);
    let middle = (low + high) / 2.0;
    let mut words = |at: DVec2, height: f64, text: String| {
        letter(sheet, at, height, text);
    };
    words(middle + DVec2::new(0.0, 12.0), 4.0, name.to_string());
    words(middle + DVec2::new(0.0, -2.0), 2.5, format!("width must be {name}: ______"));
    words(middle + DVec2::new(0.0, -10.0), 2.5, format!("height must be {name}: ______"));
}

fn letter(sheet: &mut Sheet, at: DVec2, height: f64, text: String) {
    let text = Text { at, height, anchor: Anchor::Middle, bold: false, text };
    sheet.draw(LineClass::Frame, Figure::Text(text));
}
