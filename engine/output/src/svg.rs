//! A [`Sheet`] as SVG 1.1: one user unit is one millimetre, so that it prints at its true size.
//!
//! One group for each line class, with an id that the caller keeps unique in a document that holds several pictures.

use crate::drawing::Area;
use crate::lettering::{self, CAPITAL, FRACTION, Run, runs};
use crate::number::decimal;
use crate::sheet::{Anchor, Corner, Figure, Item, LineClass, Sheet, Text};
use slatwork_base::{Outcome, maths};
use slatwork_solid::DVec2;
use std::fmt::Write;

/// Decimals of a coordinate: a thousandth of a millimetre.
const PLACES: usize = 3;

/// Writes a sheet. `name` goes before every id in the file: letters, digits, `-` and `_`; anything else in it
/// becomes `-`. The fault `drawing-not-finite` when a coordinate is not a number.
pub fn write(sheet: &Sheet, name: &str) -> Outcome<Vec<u8>> {
    let whole = Area { low: DVec2::ZERO, high: DVec2::new(sheet.width, sheet.height) };
    write_within(sheet, name, whole, Clear::Rim).map(String::into_bytes)
}

/// How lettering among lines is kept clear of them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Clear {
    /// By a white rim round each letter.
    Rim,
    /// By a white ground under the line of letters, where rims would be drawn letter by letter as outlines.
    Ground,
}

/// The same of a part of the sheet.
pub(crate) fn write_within(sheet: &Sheet, name: &str, window: Area, clear: Clear) -> Outcome<String> {
    if let Some(fault) = sheet.fault() {
        return Outcome::failed(fault);
    }
    let name = safe_id(name);
    let pen = Pen { height: sheet.height, clear };
    let items = sheet.plain_items();
    let mut out = head(sheet, &name, window);
    for class in LineClass::ALL {
        pen.group(&mut out, &name, class, &items);
    }
    out.push_str("</svg>\n");
    Outcome::fine(out)
}

fn safe_id(name: &str) -> String {
    let plain: String =
        name.chars().map(|c| if c.is_ascii_alphanumeric() || c == '_' { c } else { '-' }).collect();
    if plain.starts_with(|c: char| c.is_ascii_alphabetic()) { plain } else { format!("s{plain}") }
}

fn head(sheet: &Sheet, name: &str, window: Area) -> String {
    let [left, top, width, height] =
        [window.low.x, sheet.height - window.high.y, window.size().x, window.size().y]
            .map(|value| decimal(value, PLACES));
    let at = if left == "0" && top == "0" { String::new() } else { format!(" x=\"{left}\" y=\"{top}\"") };
    let (title, description) = (escape(&sheet.title), escape(&sheet.description));
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}mm\" height=\"{height}mm\" \
         viewBox=\"{left} {top} {width} {height}\" role=\"img\" aria-labelledby=\"{name}-title {name}-desc\" \
         font-family=\"sans-serif\" stroke-linecap=\"round\" stroke-linejoin=\"round\">\n\
         <title id=\"{name}-title\">{title}</title>\n<desc id=\"{name}-desc\">{description}</desc>\n\
         <rect{at} width=\"{width}\" height=\"{height}\" fill=\"#fff\"/>\n"
    )
}

/// Pen width of the strokes that end a dimension line, mm: as firm as an outline, so that the eye finds the ends.
pub(crate) const TICK_WIDTH: f64 = 0.35;

/// How each class is inked: pen width in mm, and a dash pattern for those that have one.
pub(crate) fn ink(class: LineClass) -> (f64, &'static str) {
    match class {
        LineClass::Frame => (0.35, ""),
        LineClass::Outline => (0.5, ""),
        LineClass::Edge => (0.25, ""),
        LineClass::Hidden => (0.2, "1.8 1.1"),
        LineClass::Tint => (0.0, ""),
        LineClass::Standing => (0.18, ""),
        LineClass::Way => (0.18, "1.4 1"),
        LineClass::Centre => (0.15, "6 1.2 0.8 1.2"),
        LineClass::Dimension => (0.15, ""),
        LineClass::Cut => (0.2, ""),
        LineClass::Drill => (0.2, ""),
        LineClass::Mark => (0.18, ""),
        LineClass::Construction => (0.1, "0.6 0.9"),
    }
}

/// Ink: black for what is cut and seen, a soft black for what only helps.
pub(crate) fn colour(class: LineClass) -> &'static str {
    match class {
        LineClass::Dimension
        | LineClass::Centre
        | LineClass::Hidden
        | LineClass::Way
        | LineClass::Construction => "#3a3a3a",
        // Three to one and more on white, so that it can be seen; half as dark as what is new.
        LineClass::Standing => "#767676",
        LineClass::Tint => "#f6e7cc",
        _ => "#111",
    }
}

/// Whether lettering stands among lines, so that a line that must run there has to stay clear of it.
pub(crate) fn is_among_lines(class: LineClass) -> bool {
    matches!(class, LineClass::Dimension | LineClass::Mark)
}

/// A white rim.
const RIM: &str = " stroke=\"#fff\" stroke-width=\"0.9\" stroke-dasharray=\"none\" paint-order=\"stroke\"";
/// How far a white ground goes below the letters and above them, as a share of the height of capitals.
const GROUND: f64 = 0.12;

/// Draws on paper whose y runs up into a file whose y runs down.
struct Pen {
    height: f64,
    clear: Clear,
}

impl Pen {
    fn group(&self, out: &mut String, name: &str, class: LineClass, items: &[Item]) {
        let mut of_class = items.iter().filter(|item| item.class == class).peekable();
        if of_class.peek().is_none() {
            return;
        }
        let (width, dashes) = ink(class);
        let colour = colour(class);
        put(
            out,
            format_args!("<g id=\"{name}-{}\" class=\"{0}\" fill=\"none\" stroke=\"{colour}\"", class.name()),
        );
        put(out, format_args!(" stroke-width=\"{width}\""));
        if !dashes.is_empty() {
            put(out, format_args!(" stroke-dasharray=\"{dashes}\""));
        }
        out.push_str(">\n");
        for item in of_class {
            self.figure(out, &item.figure, class);
        }
        out.push_str("</g>\n");
    }

    fn figure(&self, out: &mut String, figure: &Figure, class: LineClass) {
        let colour = colour(class);
        match figure {
            Figure::Line { from, to } => self.path(out, format_args!("M{}L{}", self.at(*from), self.at(*to))),
            Figure::Tick { from, to } => {
                let data = format!("M{}L{}", self.at(*from), self.at(*to));
                put(out, format_args!("<path stroke-width=\"{TICK_WIDTH}\" d=\"{data}\"/>\n"));
            }
            Figure::Arc { centre, radius, start, sweep } => {
                let (x, y) = (DVec2::new(*radius, 0.0), DVec2::new(0.0, *radius));
                self.ellipse(out, *centre, x, y, *start, *sweep);
            }
            Figure::Ellipse { centre, major, minor, start, sweep } => {
                self.ellipse(out, *centre, *major, *minor, *start, *sweep);
            }
            Figure::Polyline { corners, closed } => self.polyline(out, corners, *closed),
            Figure::Circle { centre, radius } => self.circle(out, *centre, *radius, ""),
            Figure::Dot { centre, radius } => {
                self.circle(out, *centre, *radius, &format!(" fill=\"{colour}\" stroke=\"none\""));
            }
            Figure::Blank { boundary } => self.blank(out, boundary),
            Figure::Fill { rings } => self.fill(out, rings, colour),
            Figure::Text(text) => self.text(out, text, class),
            // Taken apart by `Sheet::plain_items`.
            Figure::Hatch { .. } | Figure::Dimension(_) | Figure::Angular(_) | Figure::Leader(_) => {}
        }
    }

    fn at(&self, point: DVec2) -> String {
        format!("{} {}", decimal(point.x, PLACES), decimal(self.height - point.y, PLACES))
    }

    fn path(&self, out: &mut String, data: std::fmt::Arguments<'_>) {
        put(out, format_args!("<path d=\"{data}\"/>\n"));
    }

    fn circle(&self, out: &mut String, centre: DVec2, radius: f64, extra: &str) {
        let (x, y) = (decimal(centre.x, PLACES), decimal(self.height - centre.y, PLACES));
        let radius = decimal(radius, PLACES);
        put(out, format_args!("<circle cx=\"{x}\" cy=\"{y}\" r=\"{radius}\"{extra}/>\n"));
    }

    fn blank(&self, out: &mut String, boundary: &[DVec2]) {
        let points: Vec<String> = boundary.iter().map(|p| self.at(*p)).collect();
        put(out, format_args!("<path fill=\"#fff\" stroke=\"none\" d=\"M{}Z\"/>\n", points.join("L")));
    }

    fn fill(&self, out: &mut String, rings: &[Vec<DVec2>], colour: &str) {
        let ring = |ring: &Vec<DVec2>| {
            let points: Vec<String> = ring.iter().map(|p| self.at(*p)).collect();
            format!("M{}Z", points.join("L"))
        };
        let data: String = rings.iter().filter(|ring| ring.len() > 2).map(ring).collect();
        put(
            out,
            format_args!("<path fill=\"{colour}\" fill-rule=\"evenodd\" stroke=\"none\" d=\"{data}\"/>\n"),
        );
    }

    fn polyline(&self, out: &mut String, corners: &[Corner], closed: bool) {
        let Some(first) = corners.first() else { return };
        let mut data = format!("M{}", self.at(first.point));
        let last = if closed { corners.len() } else { corners.len() - 1 };
        for (index, corner) in corners.iter().take(last).enumerate() {
            let next = corners[(index + 1) % corners.len()].point;
            put(&mut data, format_args!("{}", self.segment(corner, next)));
        }
        self.path(out, format_args!("{data}{}", if closed { "Z" } else { "" }));
    }

    fn segment(&self, corner: &Corner, next: DVec2) -> String {
        if corner.bulge == 0.0 {
            return format!("L{}", self.at(next));
        }
        let half_angle = 2.0 * maths::atan(corner.bulge.abs());
        // Near half a turn the file's arc, told by its ends and radius, would magnify their rounding.
        if half_angle > maths::PI / 4.0 {
            let middle = corner.point.midpoint(next) - (next - corner.point).perp() * corner.bulge / 2.0;
            let bulge = maths::tan(maths::atan(corner.bulge) / 2.0);
            let first = self.segment(&Corner { bulge, ..*corner }, middle);
            return first + &self.segment(&Corner { point: middle, bulge }, next);
        }
        let radius = decimal(corner.point.distance(next) / (2.0 * maths::sin(half_angle)), PLACES);
        let large = u8::from(corner.bulge.abs() > 1.0);
        // The file's y runs down, so an arc that turns left on paper sweeps the other way there.
        let sweep = u8::from(corner.bulge < 0.0);
        format!("A{radius} {radius} 0 {large} {sweep} {}", self.at(next))
    }

    /// An arc of an ellipse in pieces of at most half a turn, which is what the file's arc can say without doubt.
    fn ellipse(&self, out: &mut String, centre: DVec2, major: DVec2, minor: DVec2, start: f64, sweep: f64) {
        let point = |t: f64| centre + major * maths::cos(t) + minor * maths::sin(t);
        let pieces = if sweep.abs() > maths::PI * 0.999 { 2.0 } else { 1.0 };
        let (long, short) = (decimal(major.length(), PLACES), decimal(minor.length(), PLACES));
        let turn = decimal(-maths::atan2(major.y, major.x).to_degrees(), PLACES);
        let turns_left = (sweep > 0.0) == (major.perp_dot(minor) > 0.0);
        let flag = u8::from(!turns_left);
        let mut data = format!("M{}", self.at(point(start)));
        for piece in 1..=(pieces as u8) {
            let end = self.at(point(start + sweep * f64::from(piece) / pieces));
            put(&mut data, format_args!("A{long} {short} {turn} 0 {flag} {end}"));
        }
        self.path(out, format_args!("{data}"));
    }

    fn text(&self, out: &mut String, text: &Text, class: LineClass) {
        let anchor = match text.anchor {
            Anchor::Left => "",
            Anchor::Middle => " text-anchor=\"middle\"",
            Anchor::Right => " text-anchor=\"end\"",
        };
        let weight = if text.bold { " font-weight=\"bold\"" } else { "" };
        let size = text.height / CAPITAL;
        let (x, y) = (decimal(text.at.x, PLACES), decimal(self.height - text.at.y, PLACES));
        let type_size = decimal(size, PLACES);
        if is_among_lines(class) && self.clear == Clear::Ground {
            self.blank(out, &ground(text));
        }
        put(out, format_args!("<text x=\"{x}\" y=\"{y}\" font-size=\"{type_size}\"{anchor}{weight}"));
        let has_rim = is_among_lines(class) && self.clear == Clear::Rim;
        let (colour, stroke) = (colour(class), if has_rim { RIM } else { " stroke=\"none\"" });
        put(out, format_args!(" fill=\"{colour}\"{stroke}>{}</text>\n", lettered(&text.text, size)));
    }
}

/// The corners of a white ground under a line of letters, no wider than these come out.
pub(crate) fn ground(text: &Text) -> Vec<DVec2> {
    // Widths are those of a wide face.
    let wide = 0.9 * lettering::width(&text.text, text.height);
    let back = match text.anchor {
        Anchor::Left => 0.0,
        Anchor::Middle => wide / 2.0,
        Anchor::Right => wide,
    };
    let more = GROUND * text.height;
    let low = text.at - DVec2::new(back, more);
    let high = low + DVec2::new(wide, text.height + 2.0 * more);
    vec![low, DVec2::new(high.x, low.y), high, DVec2::new(low.x, high.y)]
}

/// The line with its fractions set small, the upper figures raised to the height of the capitals.
fn lettered(text: &str, size: f64) -> String {
    let mut out = String::new();
    let small = decimal(size * FRACTION, PLACES);
    let rise = decimal(size * CAPITAL * (1.0 - FRACTION), PLACES);
    for run in runs(text) {
        match run {
            Run::Plain(text) => out.push_str(&escape(text)),
            Run::Fraction(top, bottom) => {
                put(&mut out, format_args!("<tspan font-size=\"{small}\" dy=\"-{rise}\">{top}</tspan>"));
                put(&mut out, format_args!("<tspan font-size=\"{small}\" dy=\"{rise}\">⁄{bottom}</tspan>"));
            }
        }
    }
    out
}

/// Text as XML character data or attribute value; characters that XML cannot hold are dropped.
pub(crate) fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            '\n' | '\r' | '\t' => out.push(' '),
            c if c.is_control() || matches!(c, '\u{fffe}' | '\u{ffff}') => {}
            c => out.push(c),
        }
    }
    out
}

/// Writing into a `String` cannot fail.
fn put(out: &mut String, text: std::fmt::Arguments<'_>) {
    let written = out.write_fmt(text);
    debug_assert!(written.is_ok());
}
