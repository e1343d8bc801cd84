//! The frame of a sheet and the band along its foot that says what it is.

use crate::lettering;
use crate::sheet::{Anchor, Corner, Figure, LineClass, Paper, Sheet, Text};
use slatwork_base::{Length, Tape};
use slatwork_solid::DVec2;

/// From the paper's border to the frame, mm: office printers leave 4 to 6 mm white (from memory).
const MARGIN: f64 = 8.0;
/// Height of the band, mm.
const BAND: f64 = 12.0;
/// Width of the sign for third-angle projection, mm.
const SIGN: f64 = 18.0;
/// Heights of capitals in the band, mm: captions, values, and the title.
const CAPTION: f64 = 1.5;
const VALUE: f64 = 2.5;
const TITLE: f64 = 3.4;
/// White on both sides of a cell, mm.
const CELL_GAP: f64 = 2.5;

/// The room that is left for drawing.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Room {
    pub(crate) low: DVec2,
    pub(crate) high: DVec2,
}

/// An empty sheet with frame and band, for views in projection. `cells` are captions with their values, the title first.
pub(crate) fn framed_sheet(paper: Paper, title: &str, cells: &[(&str, String)]) -> (Sheet, Room) {
    let (mut sheet, room) = sheet_with(paper, title, cells, SIGN);
    let middle = DVec2::new(room.high.x - SIGN / 2.0, room.low.y - BAND / 2.0);
    projection_sign(&mut sheet, middle);
    (sheet, room)
}

/// The same for what is no projection: the cells take the whole band.
pub(crate) fn plain_sheet(paper: Paper, title: &str, cells: &[(&str, String)]) -> (Sheet, Room) {
    sheet_with(paper, title, cells, 0.0)
}

/// With so much of the band's right end left free.
fn sheet_with(paper: Paper, title: &str, cells: &[(&str, String)], free: f64) -> (Sheet, Room) {
    let mut sheet = Sheet::new(title, paper);
    let (low, high) = (DVec2::splat(MARGIN), DVec2::new(paper.width, paper.height) - MARGIN);
    sheet.rectangle(LineClass::Frame, low, high);
    sheet.line(LineClass::Frame, low + DVec2::new(0.0, BAND), DVec2::new(high.x, low.y + BAND));
    band(&mut sheet, low, (high.x - low.x, free), cells);
    (sheet, Room { low: low + DVec2::new(0.0, BAND), high })
}

fn band(sheet: &mut Sheet, low: DVec2, (width, free): (f64, f64), cells: &[(&str, String)]) {
    let height = |index: usize| if index == 0 { TITLE } else { VALUE };
    let needs: Vec<f64> = cells
        .iter()
        .enumerate()
        .map(|(i, (caption, value))| {
            lettering::width(value, height(i)).max(lettering::width(caption, CAPTION)) + 2.0 * CELL_GAP
        })
        .collect();
    let (room, need) = (width - free, needs.iter().sum::<f64>());
    // Too much to say: everything is set smaller by the same share.
    let squeeze = (room / need).min(1.0);
    let spare = (room - need).max(0.0);
    let mut x = low.x;
    for (index, (caption, value)) in cells.iter().enumerate() {
        let at = DVec2::new(x + CELL_GAP * squeeze, low.y);
        sheet.text(
            LineClass::Frame,
            at + DVec2::new(0.0, BAND - 1.6 - CAPTION),
            CAPTION * squeeze,
            Anchor::Left,
            *caption,
        );
        let text = Text {
            at: at + DVec2::new(0.0, 2.6),
            height: height(index) * squeeze,
            anchor: Anchor::Left,
            bold: index == 0,
            text: value.clone(),
        };
        sheet.draw(LineClass::Frame, Figure::Text(text));
        x += needs[index] * squeeze + if index == 0 { spare } else { 0.0 };
        // The last cell may end at the frame.
        if index + 1 < cells.len() || free > 0.0 {
            sheet.line(LineClass::Dimension, DVec2::new(x, low.y), DVec2::new(x, low.y + BAND));
        }
    }
}

/// The sign for third-angle projection (ISO 5456-2, from memory): a cone's narrow end, and left of it its view from
/// there.
fn projection_sign(sheet: &mut Sheet, middle: DVec2) {
    let (small, large) = (1.5, 3.0);
    let circles = middle - DVec2::new(4.2, 0.0);
    for radius in [small, large] {
        sheet.draw(LineClass::Edge, Figure::Circle { centre: circles, radius });
    }
    let corner = |x: f64, y: f64| Corner { point: middle + DVec2::new(x, y), bulge: 0.0 };
    let corners = vec![corner(1.2, -small), corner(6.4, -large), corner(6.4, large), corner(1.2, small)];
    sheet.draw(LineClass::Edge, Figure::Polyline { corners, closed: true });
    let axis = |from: f64, to: f64| (middle + DVec2::new(from, 0.0), middle + DVec2::new(to, 0.0));
    for (from, to) in [axis(-8.0, -0.4), axis(0.4, 7.4)] {
        sheet.line(LineClass::Centre, from, to);
    }
    sheet.line(LineClass::Centre, circles - DVec2::new(0.0, 3.8), circles + DVec2::new(0.0, 3.8));
}

/// How lengths on a sheet are to be read.
pub(crate) fn units(tape: Tape) -> &'static str {
    if tape.is_inch() { "inches" } else { "millimetres" }
}

/// A length as it stands on a drawing: the band says once that lengths are in millimetres, and nothing is 0 on any
/// tape.
pub(crate) fn label(tape: Tape, mm: f64) -> String {
    let text = tape.text(Length::mm(mm));
    let bare = text.strip_suffix(" mm").unwrap_or(&text);
    if bare == "0\"" { String::from("0") } else { bare.to_string() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn labels_say_the_unit_only_where_it_is_not_in_the_band() {
        assert_eq!(label(Tape::Mm, 1219.2), "1219");
        assert_eq!(label(Tape::Exact, 19.05), "19.05");
        assert_eq!(label(Tape::Inch16, 1219.2), "48\"");
        assert_eq!(label(Tape::Inch16, -0.2), "0");
    }
}
