//! [`Sheet`]s as a PDF whose pages print at their true size.
//!
//! One matrix at the head of each page turns millimetres into the file's points, so that every number in it is a
//! millimetre of the sheet. Lettering is Helvetica, which every reader has; it knows the letters of western Europe, and others are
//! written with what is nearest or as a question mark. The file asks the reader not to scale it.

use crate::lettering::CAPITAL;
use crate::sheet::{Anchor, Corner, Figure, Item, LineClass, Sheet, Text};
use pdf_writer::types::{LineCapStyle, LineJoinStyle, TextRenderingMode};
use pdf_writer::{Content, Finish, Name, Pdf, Rect, Ref, Str, TextStr};
use slatwork_base::{Outcome, maths};
use slatwork_solid::DVec2;

/// Points of the file in a millimetre.
const POINT: f64 = 72.0 / 25.4;
/// An arc is drawn in pieces of at most this angle: the curve then lies within 1e-7 of the radius off it.
const ARC_PIECE: f64 = maths::PI / 8.0;

/// A sheet as a page, stretched across and up for a printer that errs the other way; the page grows with it.
#[derive(Clone, Debug, PartialEq)]
pub struct Page {
    /// What is on it.
    pub sheet: Sheet,
    /// Factors, across and up.
    pub stretch: [f64; 2],
}

/// Writes sheets, a page each. The fault `drawing-not-finite` when a coordinate is not a number.
pub fn write(sheets: &[Sheet], title: &str) -> Outcome<Vec<u8>> {
    let page = |sheet: &Sheet| Page { sheet: sheet.clone(), stretch: [1.0; 2] };
    write_pages(&sheets.iter().map(page).collect::<Vec<_>>(), title)
}

/// Writes pages. The fault `drawing-not-finite` when a coordinate is not a number.
pub fn write_pages(pages: &[Page], title: &str) -> Outcome<Vec<u8>> {
    if let Some(fault) = pages.iter().find_map(|page| page.sheet.fault()) {
        return Outcome::failed(fault);
    }
    let [catalogue, tree, plain, bold, info] = [1, 2, 3, 4, 5].map(Ref::new);
    let page_ids: Vec<Ref> = (0..pages.len()).map(|i| Ref::new(6 + 2 * i as i32)).collect();
    let mut pdf = Pdf::new();
    let mut root = pdf.catalog(catalogue);
    root.pages(tree);
    let mut preferences = root.viewer_preferences();
    preferences.insert(Name(b"PrintScaling")).primitive(Name(b"None"));
    preferences.finish();
    root.finish();
    pdf.pages(tree).kids(page_ids.iter().copied()).count(pages.len() as i32);
    for (id, name) in [(plain, "Helvetica"), (bold, "Helvetica-Bold")] {
        pdf.type1_font(id).base_font(Name(name.as_bytes())).encoding_predefined(Name(b"WinAnsiEncoding"));
    }
    let mut about = pdf.document_info(info);
    about.title(TextStr(title));
    about.finish();
    for (Page { sheet, stretch }, id) in pages.iter().zip(page_ids) {
        let content_id = Ref::new(id.get() + 1);
        let (width, height) = (sheet.width * stretch[0] * POINT, sheet.height * stretch[1] * POINT);
        let mut page = pdf.page(id);
        page.parent(tree).media_box(Rect::new(0.0, 0.0, width as f32, height as f32)).contents(content_id);
        let mut resources = page.resources();
        let mut fonts = resources.fonts();
        fonts.pair(PLAIN, plain).pair(BOLD, bold);
        fonts.finish();
        resources.finish();
        page.finish();
        pdf.stream(content_id, &content(sheet, *stretch));
    }
    Outcome::fine(pdf.finish())
}

const PLAIN: Name<'static> = Name(b"F1");
const BOLD: Name<'static> = Name(b"F2");

fn content(sheet: &Sheet, stretch: [f64; 2]) -> Vec<u8> {
    let mut page = Content::new();
    page.transform([(stretch[0] * POINT) as f32, 0.0, 0.0, (stretch[1] * POINT) as f32, 0.0, 0.0]);
    page.set_line_cap(LineCapStyle::RoundCap).set_line_join(LineJoinStyle::RoundJoin);
    let items = sheet.plain_items();
    for class in LineClass::ALL {
        let mut of_class = items.iter().filter(|item| item.class == class).peekable();
        if of_class.peek().is_none() {
            continue;
        }
        let ink = ink(class);
        page.set_line_width(ink.width).set_stroke_gray(ink.grey).set_fill_gray(ink.grey);
        page.set_dash_pattern(ink.dashes.iter().copied(), 0.0);
        of_class.for_each(|item| draw(&mut page, item, &ink));
    }
    page.finish().into_vec()
}

/// How a class is inked: width of the line in mm, its dashes in mm, and its grey from 0, black.
struct Ink {
    width: f32,
    dashes: &'static [f32],
    grey: f32,
}

fn ink(class: LineClass) -> Ink {
    let (width, dashes, grey): (f32, &[f32], f32) = match class {
        LineClass::Frame => (0.35, &[], 0.0),
        LineClass::Outline => (0.5, &[], 0.0),
        LineClass::Edge => (0.25, &[], 0.0),
        LineClass::Hidden => (0.2, &[1.8, 1.1], 0.0),
        LineClass::Centre => (0.15, &[6.0, 1.2, 0.8, 1.2], 0.2),
        LineClass::Dimension => (0.15, &[], 0.2),
        LineClass::Cut | LineClass::Drill => (0.2, &[], 0.0),
        LineClass::Mark => (0.18, &[], 0.0),
        LineClass::Construction => (0.1, &[], 0.7),
        // As in `svg.rs`, in greys of the same lightness.
        LineClass::Tint => (0.0, &[], 0.91),
        LineClass::Standing => (0.18, &[], 0.46),
        LineClass::Way => (0.18, &[1.4, 1.0], 0.0),
    };
    Ink { width, dashes, grey }
}

fn draw(page: &mut Content, item: &Item, ink: &Ink) {
    match &item.figure {
        Figure::Line { from, to } | Figure::Tick { from, to } => {
            to_point(page, *from, true);
            to_point(page, *to, false);
            page.stroke();
        }
        Figure::Arc { centre, radius, start, sweep } => {
            ellipse(page, *centre, DVec2::X * *radius, DVec2::Y * *radius, *start, *sweep);
            page.stroke();
        }
        Figure::Ellipse { centre, major, minor, start, sweep } => {
            ellipse(page, *centre, *major, *minor, *start, *sweep);
            page.stroke();
        }
        Figure::Circle { centre, radius } | Figure::Dot { centre, radius } => {
            ellipse(page, *centre, DVec2::X * *radius, DVec2::Y * *radius, 0.0, 2.0 * maths::PI);
            page.close_path();
            if matches!(item.figure, Figure::Dot { .. }) {
                page.fill_nonzero()
            } else {
                page.stroke()
            };
        }
        Figure::Polyline { corners, closed } => polyline(page, corners, *closed),
        Figure::Blank { boundary } => blank(page, boundary, ink),
        Figure::Fill { rings } => fill(page, rings),
        Figure::Text(text) => lettering(page, text, item.class, ink),
        // Taken apart by `Sheet::plain_items`.
        Figure::Hatch { .. } | Figure::Dimension(_) | Figure::Angular(_) | Figure::Leader(_) => {}
    }
}

fn to_point(page: &mut Content, point: DVec2, first: bool) {
    let (x, y) = (number(point.x), number(point.y));
    if first {
        page.move_to(x, y)
    } else {
        page.line_to(x, y)
    };
}

/// A ten-thousandth of a millimetre, so that files do not carry noise.
fn number(mm: f64) -> f32 {
    ((mm * 1e4).round() / 1e4) as f32
}

fn polyline(page: &mut Content, corners: &[Corner], closed: bool) {
    let Some(first) = corners.first() else { return };
    to_point(page, first.point, true);
    let last = if closed { corners.len() } else { corners.len() - 1 };
    for (index, corner) in corners.iter().take(last).enumerate() {
        let next = corners[(index + 1) % corners.len()].point;
        if corner.bulge == 0.0 {
            to_point(page, next, false);
            continue;
        }
        let (centre, radius) = crate::drawing::circle_of(corner.point, next, corner.bulge);
        let arm = corner.point - centre;
        let (start, sweep) = (maths::atan2(arm.y, arm.x), 4.0 * maths::atan(corner.bulge));
        curve(page, centre, DVec2::X * radius, DVec2::Y * radius, start, sweep);
    }
    if closed {
        page.close_path();
    }
    page.stroke();
}

/// Rings within rings are left out.
fn fill(page: &mut Content, rings: &[Vec<DVec2>]) {
    if rings.iter().all(Vec::is_empty) {
        return;
    }
    for ring in rings {
        for (index, corner) in ring.iter().enumerate() {
            to_point(page, *corner, index == 0);
        }
        page.close_path();
    }
    page.fill_even_odd();
}

fn ellipse(page: &mut Content, centre: DVec2, major: DVec2, minor: DVec2, start: f64, sweep: f64) {
    to_point(page, centre + major * maths::cos(start) + minor * maths::sin(start), true);
    curve(page, centre, major, minor, start, sweep);
}

/// Goes on along an arc of an ellipse from where it starts.
fn curve(page: &mut Content, centre: DVec2, major: DVec2, minor: DVec2, start: f64, sweep: f64) {
    for [a, b, end] in crate::drawing::cubics_of([centre, major, minor], (start, sweep), ARC_PIECE) {
        page.cubic_to(number(a.x), number(a.y), number(b.x), number(b.y), number(end.x), number(end.y));
    }
}

fn blank(page: &mut Content, boundary: &[DVec2], ink: &Ink) {
    boundary.iter().enumerate().for_each(|(index, point)| to_point(page, *point, index == 0));
    page.set_fill_gray(1.0).close_path().fill_nonzero().set_fill_gray(ink.grey);
}

/// White round lettering that stands among lines, mm.
const RIM: f32 = 0.9;

fn lettering(page: &mut Content, text: &Text, class: LineClass, ink: &Ink) {
    let letters = encoded(&text.text);
    let size = text.height / CAPITAL;
    let shift = match text.anchor {
        Anchor::Left => 0.0,
        Anchor::Middle => width_of(&letters, text.bold) * size / 2.0,
        Anchor::Right => width_of(&letters, text.bold) * size,
    };
    let at = [1.0, 0.0, 0.0, 1.0, number(text.at.x - shift), number(text.at.y)];
    page.begin_text().set_font(if text.bold { BOLD } else { PLAIN }, number(size));
    if matches!(class, LineClass::Mark | LineClass::Dimension | LineClass::Hidden) {
        page.set_stroke_gray(1.0).set_line_width(RIM).set_dash_pattern([], 0.0);
        page.set_text_rendering_mode(TextRenderingMode::Stroke).set_text_matrix(at).show(Str(&letters));
        page.set_stroke_gray(ink.grey).set_line_width(ink.width);
        page.set_dash_pattern(ink.dashes.iter().copied(), 0.0);
    }
    page.set_text_rendering_mode(TextRenderingMode::Fill).set_text_matrix(at).show(Str(&letters));
    page.end_text();
}

/// The width of lettering as this format sets it, mm.
pub(crate) fn width(text: &str, height: f64, bold: bool) -> f64 {
    width_of(&encoded(text), bold) * height / CAPITAL
}

/// Heavy letters are at most so much wider than plain ones.
const BOLD_WIDER: f64 = 1.1;

/// In type sizes.
fn width_of(letters: &[u8], bold: bool) -> f64 {
    let plain: f64 = letters.iter().map(|letter| f64::from(advance(*letter)) / 1000.0).sum();
    if bold { plain * BOLD_WIDER } else { plain }
}

/// Widths of Helvetica's letters from blank to tilde, thousandths of the type size (the metrics published with the base fonts).
const ADVANCES: [u16; 95] = [
    278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278, 556, 556, 556, 556, 556,
    556, 556, 556, 556, 556, 278, 278, 584, 584, 584, 556, 1015, 667, 667, 722, 722, 667, 611, 778, 722, 278,
    500, 667, 556, 833, 722, 778, 667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 278, 278, 278, 469,
    556, 333, 556, 556, 500, 556, 556, 278, 556, 556, 222, 222, 500, 222, 833, 556, 556, 556, 556, 333, 500,
    278, 556, 500, 722, 500, 500, 500, 334, 260, 334, 584,
];

fn advance(letter: u8) -> u16 {
    match letter {
        0x20..=0x7e => ADVANCES[usize::from(letter - 0x20)],
        0xb0 => 400,
        0xb1 | 0xd7 | 0xf7 => 584,
        0xb7 => 278,
        0xbc..=0xbe => 834,
        0xd8 => 778,
        0xc0..=0xde => 722,
        _ => 556,
    }
}

/// The bytes of the file's encoding; what it lacks is written with what is nearest.
fn encoded(text: &str) -> Vec<u8> {
    let mut letters = Vec::with_capacity(text.len());
    for c in text.chars() {
        match c {
            ' '..='~' | '\u{a0}'..='\u{ff}' => letters.push(c as u32 as u8),
            '′' | '‘' | '’' => letters.push(b'\''),
            '″' | '“' | '”' => letters.push(b'"'),
            '−' | '–' | '—' => letters.push(b'-'),
            '⁄' => letters.push(b'/'),
            '⌀' => letters.push(0xd8),
            '≤' => letters.extend(b"<="),
            '≥' => letters.extend(b">="),
            '→' => letters.extend(b"->"),
            '…' => letters.extend(b"..."),
            '⅛' => letters.extend(b"1/8"),
            '⅜' => letters.extend(b"3/8"),
            '⅝' => letters.extend(b"5/8"),
            '⅞' => letters.extend(b"7/8"),
            c if c.is_control() || c.is_whitespace() => letters.push(b' '),
            _ => letters.push(b'?'),
        }
    }
    letters
}
