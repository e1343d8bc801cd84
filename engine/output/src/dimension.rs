//! Dimensions, angles and leaders, and how they come apart into lines and lettering.
//!
//! Our hand: fine lines, short oblique ticks in place of arrow heads, lettering always level. A level length stands
//! over its line; an upright one interrupts its line.

use crate::lettering;
use crate::sheet::{Anchor, Figure, Item, LineClass, Text, line_item};
use slatwork_base::maths;
use slatwork_solid::DVec2;

/// Height of capitals in dimensions, mm: the 2.5 mm of ISO 3098 for small sheets.
pub const LETTER_HEIGHT: f64 = 2.2;
/// Room between a point and the start of its extension line, mm.
const EXTENSION_GAP: f64 = 1.0;
/// How far an extension line runs past its dimension line, mm.
const EXTENSION_OVERRUN: f64 = 1.4;
/// Half length of a tick along each axis, mm.
const TICK: f64 = 0.85;
/// Room between lettering and lines, mm.
pub(crate) const LETTER_GAP: f64 = 0.9;

/// Which way a length is measured on the paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Axis {
    /// From left to right; the dimension line is level.
    Level,
    /// From bottom to top; the dimension line is upright.
    Upright,
}

/// A length between two points, measured along the paper's x or y.
#[derive(Clone, Debug, PartialEq)]
pub struct Dimension {
    /// First point measured, mm on paper.
    pub from: DVec2,
    /// Second point measured, mm on paper.
    pub to: DVec2,
    /// Which way it is measured.
    pub axis: Axis,
    /// Where the dimension line lies: its y when level, its x when upright, mm on paper.
    pub line: f64,
    /// What it reads.
    pub label: String,
}

impl Dimension {
    /// Interval on the measured axis that line, ticks and lettering take up, mm on paper.
    pub fn extent(&self) -> (f64, f64) {
        let (low, high) = self.span();
        let need = self.label_size();
        if self.label_fits() {
            return (low, high);
        }
        match self.axis {
            Axis::Level => (low, high + need + 2.0 * LETTER_GAP + TICK),
            Axis::Upright => (low, high + LETTER_HEIGHT + 2.0 * LETTER_GAP + TICK),
        }
    }

    /// How far it reaches on each side of its line, mm.
    pub fn half_depth(&self) -> f64 {
        match self.axis {
            Axis::Level => LETTER_HEIGHT + LETTER_GAP,
            Axis::Upright => lettering::width(&self.label, LETTER_HEIGHT) / 2.0,
        }
    }

    fn span(&self) -> (f64, f64) {
        let (a, b) = match self.axis {
            Axis::Level => (self.from.x, self.to.x),
            Axis::Upright => (self.from.y, self.to.y),
        };
        (a.min(b), a.max(b))
    }

    /// Room the lettering needs along the axis, mm.
    fn label_size(&self) -> f64 {
        match self.axis {
            Axis::Level => lettering::width(&self.label, LETTER_HEIGHT),
            Axis::Upright => LETTER_HEIGHT,
        }
    }

    fn label_fits(&self) -> bool {
        let (low, high) = self.span();
        high - low >= self.label_size() + 2.0 * (LETTER_GAP + TICK)
    }

    /// A point `along` the axis at the dimension line, moved by `off` across it.
    fn at(&self, along: f64, off: f64) -> DVec2 {
        match self.axis {
            Axis::Level => DVec2::new(along, self.line + off),
            Axis::Upright => DVec2::new(self.line + off, along),
        }
    }

    pub(crate) fn take_apart(&self, class: LineClass, into: &mut Vec<Item>) {
        for point in [self.from, self.to] {
            let (along, across) = match self.axis {
                Axis::Level => (point.x, point.y),
                Axis::Upright => (point.y, point.x),
            };
            into.extend(extension(class, self.at(along, across - self.line), self.at(along, 0.0)));
            tick(class, self.at(along, 0.0), into);
        }
        let (low, high) = self.span();
        if self.label_fits() {
            self.draw_with_label_inside(class, low, high, into);
        } else {
            self.draw_with_label_beyond(class, low, high, into);
        }
    }

    fn draw_with_label_inside(&self, class: LineClass, low: f64, high: f64, into: &mut Vec<Item>) {
        let middle = (low + high) / 2.0;
        if self.axis == Axis::Level {
            into.push(line_item(class, self.at(low, 0.0), self.at(high, 0.0)));
            into.push(label_item(class, self.at(middle, LETTER_GAP), Anchor::Middle, &self.label));
            return;
        }
        let half = LETTER_HEIGHT / 2.0 + LETTER_GAP;
        into.push(line_item(class, self.at(low, 0.0), self.at(middle - half, 0.0)));
        into.push(line_item(class, self.at(middle + half, 0.0), self.at(high, 0.0)));
        into.push(label_item(class, self.at(middle - LETTER_HEIGHT / 2.0, 0.0), Anchor::Middle, &self.label));
    }

    /// Lettering right of a level line, above an upright one.
    fn draw_with_label_beyond(&self, class: LineClass, low: f64, high: f64, into: &mut Vec<Item>) {
        into.push(line_item(class, self.at(low - 2.0 * TICK, 0.0), self.at(high + 2.0 * TICK, 0.0)));
        let beyond = high + TICK + LETTER_GAP;
        match self.axis {
            Axis::Level => into.push(label_item(
                class,
                self.at(beyond + LETTER_GAP, -LETTER_HEIGHT / 2.0),
                Anchor::Left,
                &self.label,
            )),
            Axis::Upright => {
                into.push(label_item(class, self.at(beyond + LETTER_GAP, 0.0), Anchor::Middle, &self.label));
            }
        }
    }
}

fn label_item(class: LineClass, at: DVec2, anchor: Anchor, label: &str) -> Item {
    let text = Text { at, height: LETTER_HEIGHT, anchor, bold: false, text: label.to_string() };
    Item { class, figure: Figure::Text(text) }
}

/// From a little off the point measured to a little past the dimension line; nothing when they are too close.
pub(crate) fn extension(class: LineClass, point: DVec2, on_line: DVec2) -> Option<Item> {
    let way = on_line - point;
    if way.length() < EXTENSION_GAP {
        return None;
    }
    let direction = way.normalize();
    Some(line_item(class, point + direction * EXTENSION_GAP, on_line + direction * EXTENSION_OVERRUN))
}

/// The short oblique stroke that ends a dimension line.
pub(crate) fn tick(class: LineClass, at: DVec2, into: &mut Vec<Item>) {
    let half = DVec2::splat(TICK);
    into.push(Item { class, figure: Figure::Tick { from: at - half, to: at + half } });
}

/// An angle between two directions from a point.
#[derive(Clone, Debug, PartialEq)]
pub struct Angular {
    /// Where the two directions meet, mm on paper.
    pub vertex: DVec2,
    /// Direction of the first, radians from the x axis.
    pub start: f64,
    /// Angle to the second, radians, positive to the left.
    pub sweep: f64,
    /// Radius of the dimension arc, mm.
    pub radius: f64,
    /// What it reads.
    pub label: String,
}

impl Angular {
    pub(crate) fn take_apart(&self, class: LineClass, into: &mut Vec<Item>) {
        let direction = |angle: f64| DVec2::new(maths::cos(angle), maths::sin(angle));
        for angle in [self.start, self.start + self.sweep] {
            let end = self.vertex + direction(angle) * self.radius;
            into.extend(extension(class, self.vertex, end));
        }
        into.push(Item {
            class,
            figure: Figure::Arc {
                centre: self.vertex,
                radius: self.radius,
                start: self.start,
                sweep: self.sweep,
            },
        });
        let way = direction(self.start + self.sweep / 2.0);
        let half_width = lettering::width(&self.label, LETTER_HEIGHT) / 2.0;
        let reach = self.radius + LETTER_GAP + (way.x.abs() * half_width + way.y.abs() * LETTER_HEIGHT / 2.0);
        let at = self.vertex + way * reach - DVec2::new(0.0, LETTER_HEIGHT / 2.0);
        into.push(label_item(class, at, Anchor::Middle, &self.label));
    }
}

/// A note that points at something: a line from the thing to its lettering, or to its balloon.
#[derive(Clone, Debug, PartialEq)]
pub struct Leader {
    /// The point meant, mm on paper; a dot is put on it.
    pub at: DVec2,
    /// Where the lettering or the balloon stands, mm on paper.
    pub to: DVec2,
    /// Radius of a balloon round the lettering, mm; without one the lettering stands beside the line's end.
    pub balloon: Option<f64>,
    /// What it reads.
    pub label: String,
}

impl Leader {
    pub(crate) fn take_apart(&self, class: LineClass, into: &mut Vec<Item>) {
        into.push(Item { class, figure: Figure::Dot { centre: self.at, radius: 0.45 } });
        match self.balloon {
            Some(radius) => self.draw_balloon(class, radius, into),
            None => self.draw_note(class, into),
        }
    }

    fn draw_balloon(&self, class: LineClass, radius: f64, into: &mut Vec<Item>) {
        let way = (self.at - self.to).normalize_or_zero();
        into.push(line_item(class, self.at, self.to + way * radius));
        into.push(Item { class, figure: Figure::Circle { centre: self.to, radius } });
        let at = self.to - DVec2::new(0.0, LETTER_HEIGHT / 2.0);
        into.push(label_item(class, at, Anchor::Middle, &self.label));
    }

    fn draw_note(&self, class: LineClass, into: &mut Vec<Item>) {
        let right = self.to.x >= self.at.x;
        let shelf = self.to + DVec2::new(if right { 2.0 } else { -2.0 }, 0.0);
        into.push(line_item(class, self.at, self.to));
        into.push(line_item(class, self.to, shelf));
        let gap = DVec2::new(if right { LETTER_GAP } else { -LETTER_GAP }, -LETTER_HEIGHT / 2.0);
        let anchor = if right { Anchor::Left } else { Anchor::Right };
        into.push(label_item(class, shelf + gap, anchor, &self.label));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn level(to: f64, label: &str) -> Dimension {
        Dimension {
            from: DVec2::ZERO,
            to: DVec2::new(to, 0.0),
            axis: Axis::Level,
            line: -8.0,
            label: label.to_string(),
        }
    }

    #[test]
    fn a_label_that_does_not_fit_stands_beyond() {
        assert_eq!(level(60.0, "60 mm").extent(), (0.0, 60.0));
        let (low, high) = level(3.0, "30 mm").extent();
        assert!(low == 0.0 && high > 3.0 + lettering::width("30 mm", LETTER_HEIGHT));
    }

    #[test]
    fn a_dimension_comes_apart_into_lines_ticks_and_lettering() {
        let mut items = Vec::new();
        level(60.0, "60 mm").take_apart(LineClass::Dimension, &mut items);
        let lines = items.iter().filter(|i| matches!(i.figure, Figure::Line { .. })).count();
        assert_eq!((items.len(), lines), (6, 3), "two extensions and the line, two ticks, one label");
    }
}
