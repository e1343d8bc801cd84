//! A [`Sheet`] as ASCII DXF, release 12 (`AC1009`), which everything that drives a machine reads.
//!
//! Millimetres, y up. Each line class is a layer in capitals: `CUT`, `DRILL`, `MARK` and the rest. Arcs in outlines
//! stay arcs (the bulge of a vertex); release 12 knows no ellipse, so those become short lines.

use crate::number::decimal;
use crate::sheet::{Anchor, Corner, Figure, Item, LineClass, Sheet, Text};
use slatwork_base::{Outcome, maths};
use slatwork_solid::DVec2;
use std::fmt::Write;

/// Decimals of a coordinate: a millionth of a millimetre, so that nothing is lost by the way through the file.
const PLACES: usize = 6;
/// How far a line may lie off an ellipse, mm.
const ELLIPSE_CHORD: f64 = 0.02;

/// Writes a sheet. The fault `drawing-not-finite` when a coordinate is not a number.
pub fn write(sheet: &Sheet) -> Outcome<Vec<u8>> {
    if let Some(fault) = sheet.fault() {
        return Outcome::failed(fault);
    }
    let mut out = Groups { text: String::new() };
    header(&mut out, sheet);
    tables(&mut out);
    out.section("ENTITIES");
    for item in sheet.plain_items() {
        entity(&mut out, &item);
    }
    out.word(0, "ENDSEC");
    out.word(0, "EOF");
    Outcome::fine(out.text.into_bytes())
}

/// The file: pairs of a group code and a value, a line each.
struct Groups {
    text: String,
}

impl Groups {
    fn word(&mut self, code: u16, value: &str) {
        let written = write!(self.text, "{code}\n{value}\n");
        debug_assert!(written.is_ok(), "writing into a string cannot fail");
    }

    fn number(&mut self, code: u16, value: f64) {
        self.word(code, &decimal(value, PLACES));
    }

    fn whole(&mut self, code: u16, value: i32) {
        self.word(code, &value.to_string());
    }

    /// A point, whose y and z follow x in steps of ten.
    fn point(&mut self, code: u16, point: DVec2) {
        self.number(code, point.x);
        self.number(code + 10, point.y);
        self.number(code + 20, 0.0);
    }

    fn section(&mut self, name: &str) {
        self.word(0, "SECTION");
        self.word(2, name);
    }

    fn start(&mut self, entity: &str, layer: &str) {
        self.word(0, entity);
        self.word(8, layer);
    }
}

fn header(out: &mut Groups, sheet: &Sheet) {
    out.section("HEADER");
    out.word(9, "$ACADVER");
    out.word(1, "AC1009");
    // 4 = millimetres; 1 = metric line types and hatches.
    out.word(9, "$INSUNITS");
    out.whole(70, 4);
    out.word(9, "$MEASUREMENT");
    out.whole(70, 1);
    out.word(9, "$EXTMIN");
    out.point(10, DVec2::ZERO);
    out.word(9, "$EXTMAX");
    out.point(10, DVec2::new(sheet.width, sheet.height));
    out.word(0, "ENDSEC");
}

fn tables(out: &mut Groups) {
    out.section("TABLES");
    line_types(out);
    layers(out);
    out.word(0, "ENDSEC");
}

fn line_types(out: &mut Groups) {
    let types: [(&str, &str, &[f64]); 3] = [
        ("CONTINUOUS", "solid", &[]),
        ("DASHED", "dashes", &[1.8, -1.1]),
        ("CENTRE", "long and short dashes", &[6.0, -1.2, 0.8, -1.2]),
    ];
    out.word(0, "TABLE");
    out.word(2, "LTYPE");
    out.whole(70, 3);
    for (name, about, dashes) in types {
        out.word(0, "LTYPE");
        out.word(2, name);
        out.whole(70, 0);
        out.word(3, about);
        // 65 is the code of the letter A: the only alignment there is.
        out.whole(72, 65);
        out.whole(73, i32::try_from(dashes.len()).unwrap_or(0));
        out.number(40, dashes.iter().map(|d| d.abs()).sum());
        for dash in dashes {
            out.number(49, *dash);
        }
    }
    out.word(0, "ENDTAB");
}

fn layers(out: &mut Groups) {
    out.word(0, "TABLE");
    out.word(2, "LAYER");
    out.whole(70, 1 + LineClass::ALL.len() as i32);
    let every = LineClass::ALL.map(|class| (layer(class), colour(class), line_type(class)));
    for (name, colour, line_type) in [(String::from("0"), 7, "CONTINUOUS")].into_iter().chain(every) {
        out.word(0, "LAYER");
        out.word(2, &name);
        out.whole(70, 0);
        out.whole(62, colour);
        out.word(6, line_type);
    }
    out.word(0, "ENDTAB");
}

fn layer(class: LineClass) -> String {
    class.name().to_uppercase()
}

/// Colour index of the layer: 1 red, 5 blue, 3 green, 8 grey, 7 black or white.
fn colour(class: LineClass) -> i32 {
    match class {
        LineClass::Cut => 1,
        LineClass::Drill => 5,
        LineClass::Mark => 3,
        LineClass::Dimension
        | LineClass::Construction
        | LineClass::Centre
        | LineClass::Hidden
        | LineClass::Standing
        | LineClass::Way => 8,
        LineClass::Frame | LineClass::Outline | LineClass::Edge | LineClass::Tint => 7,
    }
}

fn line_type(class: LineClass) -> &'static str {
    match class {
        LineClass::Hidden | LineClass::Construction | LineClass::Way => "DASHED",
        LineClass::Centre => "CENTRE",
        _ => "CONTINUOUS",
    }
}

fn entity(out: &mut Groups, item: &Item) {
    let layer = layer(item.class);
    match &item.figure {
        Figure::Line { from, to } | Figure::Tick { from, to } => {
            out.start("LINE", &layer);
            out.point(10, *from);
            out.point(11, *to);
        }
        Figure::Arc { centre, radius, start, sweep } => arc(out, &layer, *centre, *radius, *start, *sweep),
        Figure::Polyline { corners, closed } => polyline(out, &layer, corners, *closed),
        Figure::Circle { centre, radius } | Figure::Dot { centre, radius } => {
            circle(out, &layer, *centre, *radius)
        }
        Figure::Ellipse { centre, major, minor, start, sweep } => {
            let corners = ellipse_corners(*centre, *major, *minor, *start, *sweep);
            polyline(out, &layer, &corners, false);
        }
        Figure::Text(text) => lettering(out, &layer, text),
        // Paper white has no meaning to a machine; the rest was taken apart by `Sheet::plain_items`.
        Figure::Blank { .. }
        | Figure::Fill { .. }
        | Figure::Hatch { .. }
        | Figure::Dimension(_)
        | Figure::Angular(_)
        | Figure::Leader(_) => {}
    }
}

fn circle(out: &mut Groups, layer: &str, centre: DVec2, radius: f64) {
    out.start("CIRCLE", layer);
    out.point(10, centre);
    out.number(40, radius);
}

/// An arc runs to the left from its first to its second angle, in degrees.
fn arc(out: &mut Groups, layer: &str, centre: DVec2, radius: f64, start: f64, sweep: f64) {
    let (first, last) = if sweep < 0.0 { (start + sweep, start) } else { (start, start + sweep) };
    out.start("ARC", layer);
    out.point(10, centre);
    out.number(40, radius);
    out.number(50, first.to_degrees());
    out.number(51, last.to_degrees());
}

fn polyline(out: &mut Groups, layer: &str, corners: &[Corner], closed: bool) {
    out.start("POLYLINE", layer);
    out.whole(66, 1);
    out.point(10, DVec2::ZERO);
    out.whole(70, i32::from(closed));
    for corner in corners {
        out.start("VERTEX", layer);
        out.point(10, corner.point);
        if corner.bulge != 0.0 {
            // More digits than a coordinate: the bulge of a long flat arc is small.
            out.word(42, &decimal(corner.bulge, 12));
        }
    }
    out.start("SEQEND", layer);
}

fn ellipse_corners(centre: DVec2, major: DVec2, minor: DVec2, start: f64, sweep: f64) -> Vec<Corner> {
    // A chord over the angle t lies r (1 - cos(t / 2)) off a circle of the long radius, so t = sqrt(8 e / r) is close.
    let step = (8.0 * ELLIPSE_CHORD / major.length().max(ELLIPSE_CHORD)).sqrt();
    let steps = (sweep.abs() / step).ceil().clamp(4.0, 1000.0) as u32;
    let point = |t: f64| centre + major * maths::cos(t) + minor * maths::sin(t);
    (0..=steps)
        .map(|i| Corner { point: point(start + sweep * f64::from(i) / f64::from(steps)), bulge: 0.0 })
        .collect()
}

fn lettering(out: &mut Groups, layer: &str, text: &Text) {
    out.start("TEXT", layer);
    out.point(10, text.at);
    out.number(40, text.height);
    out.word(1, &encoded(&text.text));
    let anchor = match text.anchor {
        Anchor::Left => 0,
        Anchor::Middle => 1,
        Anchor::Right => 2,
    };
    if anchor != 0 {
        out.whole(72, anchor);
        out.point(11, text.at);
    }
}

/// Release 12 is ASCII: the degree and diameter signs have codes of their own, everything else its number.
fn encoded(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '°' => out.push_str("%%d"),
            'Ø' => out.push_str("%%c"),
            c if c.is_control() => out.push(' '),
            c if c.is_ascii() => out.push(c),
            c => {
                let written = write!(out, "\\U+{:04X}", u32::from(c));
                debug_assert!(written.is_ok(), "writing into a string cannot fail");
            }
        }
    }
    out
}
