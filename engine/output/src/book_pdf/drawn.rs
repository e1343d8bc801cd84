//! Drawings as the typesetter holds its own pages: lines and lettering in a frame, so that none has to be read from another format.
//!
//! They look as [`crate::svg`] draws them, but that of a class its lines come first and then the grounds of its lettering. What can be
//! one path is one: each costs as much as a long one.

use super::letters::Letters;
use super::typeset::letters as font;
use crate::book::plain;
use crate::drawing::{Area, circle_of, cubics_of};
use crate::lettering::{CAPITAL, FRACTION, Run, runs};
use crate::sheet::{Anchor, Corner, Figure, LineClass, Sheet, Text};
use crate::svg::{TICK_WIDTH, colour, ground, ink, is_among_lines};
use rustybuzz::{Direction, ShapePlan, UnicodeBuffer, shape_with_plan};
use slatwork_base::maths;
use slatwork_solid::DVec2;
use std::collections::BTreeMap;
use typst::layout::{Abs, Frame, FrameItem, Point, Size};
use typst::syntax::Span;
use typst::text::{FontInstance, Glyph, Lang, TextItem};
use typst::visualize::{Color, Curve, FillRule, FixedStroke, Geometry, LineCap, LineJoin, Paint, Shape};

const WHITE: &str = "#fff";
/// An arc is drawn in curves of at most so much of a turn, radians.
const ARC_PIECE: f64 = maths::PI / 2.0;
/// Coordinates are whole in so many parts of a millimetre: files do not carry noise.
const PARTS: f64 = 1000.0;

/// A drawing, a point for each millimetre. Its lettering lies on top of all lines.
#[derive(Clone, Debug, Default)]
pub(super) struct Drawn {
    /// Lines and grounds. Nobody is read them out, so that they need not lie inside of what is tagged.
    pub(super) lines: Frame,
    /// The lettering, and nothing that shows as large as the whole.
    pub(super) words: Frame,
}

/// Draws what of a sheet is in the window; and whether there was a letter that the faces lack.
pub(super) fn drawn(sheet: &Sheet, window: Area, letters: &Letters) -> (Drawn, bool) {
    let size = Size::new(Abs::pt(window.size().x), Abs::pt(window.size().y));
    let mut words = Frame::soft(size);
    let whole =
        Shape { geometry: Geometry::Rect(size), fill: None, fill_rule: FillRule::NonZero, stroke: None };
    words.push(Point::zero(), FrameItem::Shape(whole, Span::detached()));
    let mut pen = Pen {
        letters,
        window,
        drawn: Drawn { lines: Frame::soft(size), words },
        class: LineClass::Tint,
        lines: Curve::new(),
        ticks: Curve::new(),
        dots: Curve::new(),
        grounds: Curve::new(),
        plans: BTreeMap::new(),
        is_short: false,
    };
    let items = sheet.plain_items();
    for class in LineClass::ALL {
        pen.class = class;
        items.iter().filter(|item| item.class == class).for_each(|item| pen.item(&item.figure));
        pen.lift();
    }
    (pen.drawn, pen.is_short)
}

fn paint(colour: &str) -> Paint {
    // The colours of drawings are this crate's own.
    Paint::Solid(colour.parse::<Color>().unwrap_or(Color::BLACK))
}

fn stroke(colour: &str, width: f64, dashes: &str) -> FixedStroke {
    let dashes: Vec<Abs> = dashes.split(' ').filter_map(|dash| dash.parse().ok()).map(Abs::pt).collect();
    FixedStroke {
        paint: paint(colour),
        thickness: Abs::pt(width),
        cap: LineCap::Round,
        join: LineJoin::Round,
        dash: (!dashes.is_empty())
            .then(|| typst::visualize::DashPattern { array: dashes, phase: Abs::zero() }),
        ..FixedStroke::default()
    }
}

fn rounded(value: f64) -> Abs {
    Abs::pt((value * PARTS).round() / PARTS)
}

/// How lettering of a weight and a script is put together.
type Plans = BTreeMap<(bool, [u8; 4]), ShapePlan>;

/// Draws on paper whose y runs up into a frame whose y runs down.
struct Pen<'a> {
    letters: &'a Letters,
    window: Area,
    drawn: Drawn,
    /// What is being drawn.
    class: LineClass,
    /// What is drawn since the pen was last lifted.
    lines: Curve,
    ticks: Curve,
    dots: Curve,
    grounds: Curve,
    plans: Plans,
    /// Whether there was a letter that the faces lack.
    is_short: bool,
}

impl Pen<'_> {
    fn at(&self, point: DVec2) -> Point {
        Point::new(rounded(point.x - self.window.low.x), rounded(self.window.high.y - point.y))
    }

    /// Puts what has been drawn onto the frame.
    fn lift(&mut self) {
        let (width, dashes) = ink(self.class);
        let colour = colour(self.class);
        let stroked = |width| Some(stroke(colour, width, dashes));
        let [lines, ticks, dots, grounds] =
            [&mut self.lines, &mut self.ticks, &mut self.dots, &mut self.grounds].map(std::mem::take);
        self.put(lines, None, stroked(width));
        self.put(ticks, None, stroked(TICK_WIDTH));
        self.put(dots, Some(paint(colour)), None);
        self.put(grounds, Some(paint(WHITE)), None);
    }

    fn put(&mut self, curve: Curve, fill: Option<Paint>, stroke: Option<FixedStroke>) {
        if !curve.is_empty() {
            let shape =
                Shape { geometry: Geometry::Curve(curve), fill, fill_rule: FillRule::NonZero, stroke };
            self.drawn.lines.push(Point::zero(), FrameItem::Shape(shape, Span::detached()));
        }
    }

    /// A region on top of what has been drawn.
    fn filled(&mut self, rings: &[Vec<DVec2>], colour: &str) {
        self.lift();
        let mut curve = Curve::new();
        rings.iter().for_each(|ring| self.ring(&mut curve, ring));
        if !curve.is_empty() {
            let (geometry, fill) = (Geometry::Curve(curve), Some(paint(colour)));
            // Rings within rings are left out.
            let shape = Shape { geometry, fill, fill_rule: FillRule::EvenOdd, stroke: None };
            self.drawn.lines.push(Point::zero(), FrameItem::Shape(shape, Span::detached()));
        }
    }

    fn ring(&self, curve: &mut Curve, corners: &[DVec2]) {
        if corners.len() < 3 {
            return;
        }
        curve.move_(self.at(corners[0]));
        corners[1..].iter().for_each(|corner| curve.line(self.at(*corner)));
        curve.close();
    }

    fn item(&mut self, figure: &Figure) {
        match figure {
            Figure::Line { from, to } => {
                let (from, to) = (self.at(*from), self.at(*to));
                self.lines.move_(from);
                self.lines.line(to);
            }
            Figure::Tick { from, to } => {
                let (from, to) = (self.at(*from), self.at(*to));
                self.ticks.move_(from);
                self.ticks.line(to);
            }
            Figure::Arc { centre, radius, start, sweep } => {
                self.ellipse(*centre, DVec2::X * *radius, DVec2::Y * *radius, *start, *sweep);
            }
            Figure::Ellipse { centre, major, minor, start, sweep } => {
                self.ellipse(*centre, *major, *minor, *start, *sweep);
            }
            Figure::Circle { centre, radius } => self.circle(*centre, *radius),
            Figure::Dot { centre, radius } => {
                let lines = std::mem::replace(&mut self.lines, std::mem::take(&mut self.dots));
                self.circle(*centre, *radius);
                self.dots = std::mem::replace(&mut self.lines, lines);
            }
            Figure::Polyline { corners, closed } => self.polyline(corners, *closed),
            Figure::Blank { boundary } => self.filled(core::slice::from_ref(boundary), WHITE),
            Figure::Fill { rings } => self.filled(rings, colour(self.class)),
            Figure::Text(text) => self.text(text),
            // Taken apart by `Sheet::plain_items`.
            Figure::Hatch { .. } | Figure::Dimension(_) | Figure::Angular(_) | Figure::Leader(_) => {}
        }
    }

    fn circle(&mut self, centre: DVec2, radius: f64) {
        self.ellipse(centre, DVec2::X * radius, DVec2::Y * radius, 0.0, 2.0 * maths::PI);
        self.lines.close();
    }

    fn polyline(&mut self, corners: &[Corner], closed: bool) {
        let Some(first) = corners.first() else { return };
        let point = self.at(first.point);
        self.lines.move_(point);
        let last = if closed { corners.len() } else { corners.len() - 1 };
        for (index, corner) in corners.iter().take(last).enumerate() {
            let next = corners[(index + 1) % corners.len()].point;
            if corner.bulge == 0.0 {
                let point = self.at(next);
                self.lines.line(point);
                continue;
            }
            let (centre, radius) = circle_of(corner.point, next, corner.bulge);
            let arm = corner.point - centre;
            let (start, sweep) = (maths::atan2(arm.y, arm.x), 4.0 * maths::atan(corner.bulge));
            self.arc(centre, DVec2::X * radius, DVec2::Y * radius, start, sweep);
        }
        if closed {
            self.lines.close();
        }
    }

    fn ellipse(&mut self, centre: DVec2, major: DVec2, minor: DVec2, start: f64, sweep: f64) {
        let point = self.at(centre + major * maths::cos(start) + minor * maths::sin(start));
        self.lines.move_(point);
        self.arc(centre, major, minor, start, sweep);
    }

    /// Goes on along an arc of an ellipse from where it starts.
    fn arc(&mut self, centre: DVec2, major: DVec2, minor: DVec2, start: f64, sweep: f64) {
        for points in cubics_of([centre, major, minor], (start, sweep), ARC_PIECE) {
            let [a, b, end] = points.map(|point| self.at(point));
            self.lines.cubic(a, b, end);
        }
    }

    fn text(&mut self, text: &Text) {
        if is_among_lines(self.class) {
            let mut grounds = std::mem::take(&mut self.grounds);
            self.ring(&mut grounds, &ground(text));
            self.grounds = grounds;
        }
        let size = text.height / CAPITAL;
        let rise = size * CAPITAL * (1.0 - FRACTION);
        let (small, whole) = (size * FRACTION, size);
        let mut items = Vec::new();
        for run in runs(&text.text) {
            match run {
                Run::Plain(own) => items.extend(self.lettered(own, text.bold, whole).map(|item| (0.0, item))),
                Run::Fraction(top, bottom) => {
                    items.extend(self.lettered(top, text.bold, small).map(|item| (rise, item)));
                    let bottom = format!("⁄{bottom}");
                    items.extend(self.lettered(&bottom, text.bold, small).map(|item| (0.0, item)));
                }
            }
        }
        let wide: f64 = items.iter().map(|(_, item)| item.width().to_pt()).sum();
        let back = match text.anchor {
            Anchor::Left => 0.0,
            Anchor::Middle => wide / 2.0,
            Anchor::Right => wide,
        };
        let mut at = text.at - DVec2::new(back, 0.0);
        let paint = paint(colour(self.class));
        for (rise, item) in items {
            let (place, item) =
                (self.at(at + DVec2::new(0.0, rise)), TextItem { fill: paint.clone(), ..item });
            at.x += item.width().to_pt();
            self.drawn.words.push(place, FrameItem::Text(item));
        }
    }

    /// A stretch of lettering, put together as its script asks; nothing where nothing shows.
    fn lettered(&mut self, text: &str, is_bold: bool, size: f64) -> Option<TextItem> {
        let (text, is_short) = self.letters.held(&plain(text));
        self.is_short |= is_short;
        // The typesetter counts the letters of a stretch in sixteen bits.
        if text.is_empty() || text.len() > usize::from(u16::MAX) {
            return None;
        }
        let font = font(is_bold);
        let glyphs = glyphs(&mut self.plans, font, is_bold, &text);
        Some(TextItem {
            font: font.clone(),
            size: rounded(size),
            fill: Paint::Solid(Color::BLACK),
            stroke: None,
            lang: Lang::ENGLISH,
            region: None,
            text: text.as_str().into(),
            glyphs,
        })
    }
}

fn glyphs(plans: &mut Plans, font: &FontInstance, is_bold: bool, text: &str) -> Vec<Glyph> {
    let mut buffer = UnicodeBuffer::new();
    buffer.push_str(text);
    buffer.set_direction(Direction::LeftToRight);
    buffer.guess_segment_properties();
    let script = buffer.script();
    let plan = plans
        .entry((is_bold, script.tag().to_bytes()))
        .or_insert_with(|| ShapePlan::new(font.rusty(), Direction::LeftToRight, Some(script), None, &[]));
    let shaped = shape_with_plan(font.rusty(), plan, buffer);
    let (infos, places) = (shaped.glyph_infos(), shaped.glyph_positions());
    let glyph = |(info, place): (&rustybuzz::GlyphInfo, &rustybuzz::GlyphPosition)| {
        // What was put together from several letters stands for all of them.
        let next = infos.iter().map(|other| other.cluster).filter(|other| *other > info.cluster).min();
        let end = next.map_or(text.len(), |next| next as usize);
        Glyph {
            id: info.glyph_id as u16,
            x_advance: font.to_em(place.x_advance),
            x_offset: font.to_em(place.x_offset),
            y_advance: font.to_em(place.y_advance),
            y_offset: font.to_em(place.y_offset),
            range: info.cluster as u16..end as u16,
            span: (Span::detached(), 0),
        }
    };
    infos.iter().zip(places).map(glyph).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sheet::Paper;

    fn drawing(anchor: Anchor, text: &str) -> (Drawn, bool) {
        let mut sheet = Sheet::new("rail", Paper::A4);
        for y in [20.0, 30.0, 40.0] {
            sheet.line(LineClass::Outline, DVec2::new(20.0, y), DVec2::new(120.0, y));
        }
        let text = Text { at: DVec2::new(100.0, 50.0), height: 2.0, anchor, bold: false, text: text.into() };
        sheet.items.push(crate::sheet::Item { class: LineClass::Dimension, figure: Figure::Text(text) });
        let window = Area { low: DVec2::new(10.0, 10.0), high: DVec2::new(150.0, 90.0) };
        drawn(&sheet, window, &Letters::read().unwrap())
    }

    fn words(drawn: &Drawn) -> Vec<(Point, TextItem)> {
        let text = |(at, item): &(Point, FrameItem)| match item {
            FrameItem::Text(text) => Some((*at, text.clone())),
            _ => None,
        };
        drawn.words.items().filter_map(text).collect()
    }

    #[test]
    fn lines_of_a_class_are_one_path_on_a_frame_as_large_as_the_window() {
        let (drawn, is_short) = drawing(Anchor::Left, "9 mm");
        assert!(!is_short && drawn.lines.size() == Size::new(Abs::pt(140.0), Abs::pt(80.0)));
        let shapes: Vec<_> = drawn.lines.items().collect();
        // The ground of the lettering, and the lines.
        assert_eq!(shapes.len(), 2);
        let FrameItem::Shape(Shape { geometry: Geometry::Curve(curve), stroke: Some(stroke), .. }, _) =
            &shapes[1].1
        else {
            panic!("{shapes:?}");
        };
        assert_eq!((curve.0.len(), stroke.thickness), (6, Abs::pt(0.5)));
        assert_eq!(curve.0[0], typst::visualize::CurveItem::Move(Point::new(Abs::pt(10.0), Abs::pt(70.0))));
    }

    #[test]
    fn lettering_stands_where_it_is_anchored_and_its_fractions_are_small() {
        let (drawn, _) = drawing(Anchor::Right, "3 1/2\"");
        let words = words(&drawn);
        let texts: Vec<&str> = words.iter().map(|(_, text)| text.text.as_str()).collect();
        assert_eq!(texts, ["3", "1", "⁄2", "\""]);
        let end = |(at, text): &(Point, TextItem)| at.x + text.width();
        assert!((end(&words[3]) - Abs::pt(90.0)).to_pt().abs() < 0.01);
        assert!(words[1].1.size < words[0].1.size && words[1].0.y < words[2].0.y);
        assert_eq!(words[0].0.y, Abs::pt(40.0));
    }

    #[test]
    fn letters_that_there_are_none_of_are_boxes_and_marks_join_theirs() {
        let (drawn, is_short) = drawing(Anchor::Middle, "\u{1f600}e\u{323}");
        assert!(is_short);
        let own = &words(&drawn)[0].1;
        assert!(own.text.starts_with(super::super::letters::MISSING));
        assert!(own.glyphs.iter().all(|glyph| glyph.id != 0 && glyph.range().end <= own.text.len()));
    }
}
