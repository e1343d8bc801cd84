//! Long boards drawn shortened: a stretch of the middle, where nothing happens, is left out between two break lines.

use crate::sheet::{Corner, Figure, Item, LineClass};
use slatwork_base::maths;
use slatwork_solid::DVec2;

/// What is left out of a view along its x axis, mm of the piece.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Shortening {
    /// Where the left break line stands.
    pub(crate) from: f64,
    /// Where drawing goes on.
    pub(crate) to: f64,
}

/// White between the two break lines, mm on paper.
pub(crate) const BREAK: f64 = 4.0;
/// What stays drawn on each side of a break between two features, mm on paper.
const STUB: f64 = 9.0;
/// How far a break line runs past the wood, mm on paper.
const OVERRUN: f64 = 1.8;

impl Shortening {
    /// Takes `excess` mm out of the widest stretch between neighbouring `features` (positions along x, any order);
    /// nothing when no stretch is wide enough at this scale.
    pub(crate) fn of(features: &[f64], excess: f64, denominator: f64) -> Option<Shortening> {
        let mut sorted = features.to_vec();
        sorted.sort_by(f64::total_cmp);
        let widest = sorted.windows(2).max_by(|a, b| (a[1] - a[0]).total_cmp(&(b[1] - b[0])))?;
        let middle = (widest[0] + widest[1]) / 2.0;
        let out = excess + BREAK * denominator;
        let room = widest[1] - widest[0] - 2.0 * STUB * denominator;
        (out <= room).then_some(Shortening { from: middle - out / 2.0, to: middle + out / 2.0 })
    }

    /// Millimetres of the piece by which the drawing gets shorter at a scale.
    fn removed(&self, denominator: f64) -> f64 {
        self.to - self.from - BREAK * denominator
    }

    /// Where a position along x falls on the shortened view, mm of the piece at this scale.
    pub(crate) fn place(&self, x: f64, denominator: f64) -> f64 {
        if x >= self.to {
            x - self.removed(denominator)
        } else if x > self.from {
            // Between the break lines nothing is true to scale.
            self.from + (x - self.from) / (self.to - self.from) * BREAK * denominator
        } else {
            x
        }
    }
}

/// Shortens what was drawn at full length with its left border at `left` on paper. `low` and `high` are the y of the
/// wood's borders, where the break lines are put.
pub(crate) fn shorten(
    items: Vec<Item>,
    shortening: Shortening,
    left: f64,
    denominator: f64,
    (low, high): (f64, f64),
) -> Vec<Item> {
    let (from, to) = (left + shortening.from / denominator, left + shortening.to / denominator);
    let shift = shortening.removed(denominator) / denominator;
    let mut out = Vec::new();
    for item in items {
        match item.figure {
            Figure::Line { from: a, to: b } => cut_line(item.class, a, b, (from, to, shift), &mut out),
            figure => out.push(Item { class: item.class, figure: moved(figure, to, shift) }),
        }
    }
    out.push(break_line(from, low - OVERRUN, high + OVERRUN));
    out.push(break_line(to - shift, low - OVERRUN, high + OVERRUN));
    out
}

fn cut_line(class: LineClass, a: DVec2, b: DVec2, (from, to, shift): (f64, f64, f64), out: &mut Vec<Item>) {
    let (left, right) = if a.x <= b.x { (a, b) } else { (b, a) };
    let at = |x: f64| {
        let run = right.x - left.x;
        if run > 0.0 { left.lerp(right, (x - left.x) / run) } else { left }
    };
    if left.x < from {
        let end = if right.x > from { at(from) } else { right };
        out.push(Item { class, figure: Figure::Line { from: left, to: end } });
    }
    if right.x > to {
        let start = if left.x < to { at(to) } else { left };
        let off = DVec2::new(shift, 0.0);
        out.push(Item { class, figure: Figure::Line { from: start - off, to: right - off } });
    }
}

/// A round figure right of the break moves left with its end of the board. None runs through the break: no stretch with
/// an arc in it is left out. Where an arc is drawn tells its side; the centre of a flat one may lie anywhere.
fn moved(figure: Figure, to: f64, shift: f64) -> Figure {
    let off = |centre: DVec2, middle: DVec2| {
        if middle.x > to { centre - DVec2::new(shift, 0.0) } else { centre }
    };
    match figure {
        Figure::Circle { centre, radius } => Figure::Circle { centre: off(centre, centre), radius },
        Figure::Arc { centre, radius, start, sweep } => {
            let (sin, cos) = maths::sin_cos(start + sweep / 2.0);
            let middle = centre + radius * DVec2::new(cos, sin);
            Figure::Arc { centre: off(centre, middle), radius, start, sweep }
        }
        Figure::Ellipse { centre, major, minor, start, sweep } => {
            let (sin, cos) = maths::sin_cos(start + sweep / 2.0);
            let middle = centre + cos * major + sin * minor;
            Figure::Ellipse { centre: off(centre, middle), major, minor, start, sweep }
        }
        other => other,
    }
}

/// A thin upright line with one zigzag in its middle.
fn break_line(x: f64, low: f64, high: f64) -> Item {
    let middle = (low + high) / 2.0;
    let corner = |dx: f64, y: f64| Corner { point: DVec2::new(x + dx, y), bulge: 0.0 };
    let corners = vec![
        corner(0.0, low),
        corner(0.0, middle - 1.2),
        corner(-1.1, middle - 0.5),
        corner(1.1, middle + 0.5),
        corner(0.0, middle + 1.2),
        corner(0.0, high),
    ];
    Item { class: LineClass::Dimension, figure: Figure::Polyline { corners, closed: false } }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_widest_bare_stretch_is_left_out() {
        let features = [0.0, 20.0, 1180.0, 1200.0];
        let shortening = Shortening::of(&features, 600.0, 2.0).unwrap();
        assert_eq!((shortening.from, shortening.to), (296.0, 904.0));
        assert_eq!(shortening.place(20.0, 2.0), 20.0);
        assert_eq!(shortening.place(1200.0, 2.0), 600.0);
        assert_eq!(Shortening::of(&[0.0, 300.0, 600.0, 900.0, 1200.0], 600.0, 2.0), None);
    }

    #[test]
    fn lines_across_the_break_end_at_it() {
        let line = |a: f64, b: f64| Item {
            class: LineClass::Outline,
            figure: Figure::Line { from: DVec2::new(a, 0.0), to: DVec2::new(b, 0.0) },
        };
        let shortening = Shortening { from: 296.0, to: 904.0 };
        let out = shorten(vec![line(0.0, 600.0), line(590.0, 600.0)], shortening, 0.0, 2.0, (0.0, 40.0));
        let ends: Vec<(f64, f64)> = out
            .iter()
            .filter_map(|item| match item.figure {
                Figure::Line { from, to } => Some((from.x, to.x)),
                _ => None,
            })
            .collect();
        assert_eq!(ends, [(0.0, 148.0), (152.0, 300.0), (290.0, 300.0)]);
    }

    #[test]
    fn a_flat_arc_moves_with_the_end_it_is_drawn_on() {
        let arc = |centre: DVec2| Item {
            class: LineClass::Outline,
            figure: Figure::Arc { centre, radius: 700.0, start: -0.05, sweep: 0.1 },
        };
        let shortening = Shortening { from: 296.0, to: 904.0 };
        // The first is drawn at x = 590 round a centre left of the board, the second at x = 100.
        let arcs = vec![arc(DVec2::new(-110.0, 20.0)), arc(DVec2::new(-600.0, 20.0))];
        let out = shorten(arcs, shortening, 0.0, 2.0, (0.0, 40.0));
        let centres: Vec<f64> = out
            .iter()
            .filter_map(|item| match item.figure {
                Figure::Arc { centre, .. } => Some(centre.x),
                _ => None,
            })
            .collect();
        assert_eq!(centres, [-410.0, -600.0]);
    }
}
