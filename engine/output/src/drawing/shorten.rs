//! Long boards drawn shortened: stretches in which nothing happens are left out between two break lines each.

use crate::sheet::{Corner, Figure, Item, LineClass};
use slatwork_base::maths;
use slatwork_solid::DVec2;

/// What is left out of a view along its x axis.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Shortening {
    /// In rising order.
    gaps: Vec<Gap>,
    /// Of the scale of the view.
    denominator: f64,
}

/// A stretch that is left out, mm of the piece.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Gap {
    /// Where the left break line stands.
    from: f64,
    /// Where drawing goes on.
    to: f64,
}

/// White between the two break lines, mm on paper.
pub(crate) const BREAK: f64 = 4.0;
/// What stays drawn on each side of a break between two features, mm on paper.
const STUB: f64 = 9.0;
/// How far a break line runs past the wood, mm on paper.
const OVERRUN: f64 = 1.8;

impl Shortening {
    /// Nothing is left out.
    pub(crate) fn none(denominator: f64) -> Shortening {
        Shortening { gaps: Vec::new(), denominator }
    }

    /// Of the scale of the view.
    pub(crate) fn denominator(&self) -> f64 {
        self.denominator
    }

    /// Takes `excess` mm out of the widest stretch between neighbouring `features` (positions along x, any order); nothing when
    /// it is too narrow at this scale.
    pub(crate) fn of_widest(features: &[f64], excess: f64, denominator: f64) -> Option<Shortening> {
        let stretches = stretches(features, denominator);
        let widest = stretches.into_iter().max_by(|a, b| a.room.total_cmp(&b.room))?;
        Shortening::sharing(&[widest], excess, denominator)
    }

    /// Takes `excess` mm out of all stretches that have room, each by its share; nothing when all together have too little.
    pub(crate) fn of_all(features: &[f64], excess: f64, denominator: f64) -> Option<Shortening> {
        Shortening::sharing(&stretches(features, denominator), excess, denominator)
    }

    fn sharing(stretches: &[Stretch], excess: f64, denominator: f64) -> Option<Shortening> {
        let room: f64 = stretches.iter().map(|stretch| stretch.room).sum();
        let gap = |stretch: &Stretch| {
            let half = (excess * stretch.room / room + BREAK * denominator) / 2.0;
            Gap { from: stretch.middle - half, to: stretch.middle + half }
        };
        (excess <= room).then(|| Shortening { gaps: stretches.iter().map(gap).collect(), denominator })
    }

    /// By how much a position along x moves left on the shortened view, mm of the piece. Between break lines nothing is true to
    /// scale.
    fn shift(&self, x: f64) -> f64 {
        let lost = |gap: &Gap| {
            let length = gap.to - gap.from;
            ((x - gap.from) / length).clamp(0.0, 1.0) * (length - BREAK * self.denominator)
        };
        self.gaps.iter().map(lost).sum()
    }

    /// Where a position along x falls on the shortened view, mm of the piece at its scale.
    pub(crate) fn place(&self, x: f64) -> f64 {
        x - self.shift(x)
    }

    /// The stretches that are drawn, mm of the piece.
    fn drawn(&self) -> Vec<(f64, f64)> {
        let starts = core::iter::once(f64::NEG_INFINITY).chain(self.gaps.iter().map(|gap| gap.to));
        let ends = self.gaps.iter().map(|gap| gap.from).chain([f64::INFINITY]);
        starts.zip(ends).collect()
    }

    /// Shortens what was drawn at full length with its left border at `left` on paper. `low` and `high` are the y of the
    /// wood's borders, where the break lines are put.
    pub(crate) fn shorten(&self, items: Vec<Item>, left: f64, (low, high): (f64, f64)) -> Vec<Item> {
        if self.gaps.is_empty() {
            return items;
        }
        let shifted = |x: f64| DVec2::new(self.shift((x - left) * self.denominator) / self.denominator, 0.0);
        let paper = |x: f64| left + x / self.denominator;
        let mut out = Vec::new();
        for Item { class, figure } in items {
            match figure {
                Figure::Line { from, to } => {
                    let kept = self.drawn().into_iter();
                    let pieces = kept.filter_map(|(a, b)| clipped(from, to, (paper(a), paper(b))));
                    out.extend(pieces.map(|(from, to)| {
                        let off = shifted((from.x + to.x) / 2.0);
                        Item { class, figure: Figure::Line { from: from - off, to: to - off } }
                    }));
                }
                figure => out.push(Item { class, figure: moved(figure, shifted) }),
            }
        }
        let breaks = self.gaps.iter().flat_map(|gap| [gap.from, gap.to]);
        out.extend(breaks.map(|x| break_line(paper(self.place(x)), low - OVERRUN, high + OVERRUN)));
        out
    }
}

/// A stretch in which nothing happens, mm of the piece.
struct Stretch {
    middle: f64,
    /// By how much it may be shortened.
    room: f64,
}

/// Between neighbouring features, those that may be shortened at a scale.
fn stretches(features: &[f64], denominator: f64) -> Vec<Stretch> {
    let mut sorted = features.to_vec();
    sorted.sort_by(f64::total_cmp);
    let stretch = |pair: &[f64]| Stretch {
        middle: (pair[0] + pair[1]) / 2.0,
        room: pair[1] - pair[0] - (2.0 * STUB + BREAK) * denominator,
    };
    sorted.windows(2).map(stretch).filter(|stretch| stretch.room > 0.0).collect()
}

/// What of a line lies between two x; nothing when it only touches them.
fn clipped(a: DVec2, b: DVec2, (low, high): (f64, f64)) -> Option<(DVec2, DVec2)> {
    let (left, right) = if a.x <= b.x { (a, b) } else { (b, a) };
    let (start, end) = (left.x.max(low), right.x.min(high));
    let run = right.x - left.x;
    if run <= 0.0 {
        return (low < left.x && left.x < high).then_some((left, right));
    }
    let at = |x: f64| left.lerp(right, (x - left.x) / run);
    (start < end).then(|| (at(start), at(end)))
}

/// A round figure moves with its part of the board. None runs through a break: no stretch with an arc in it is left out. Where
/// an arc is drawn tells its part; the centre of a flat one may lie anywhere.
fn moved(figure: Figure, shifted: impl Fn(f64) -> DVec2) -> Figure {
    match figure {
        Figure::Circle { centre, radius } => Figure::Circle { centre: centre - shifted(centre.x), radius },
        Figure::Arc { centre, radius, start, sweep } => {
            let (_, cos) = maths::sin_cos(start + sweep / 2.0);
            Figure::Arc { centre: centre - shifted(centre.x + radius * cos), radius, start, sweep }
        }
        Figure::Ellipse { centre, major, minor, start, sweep } => {
            let (sin, cos) = maths::sin_cos(start + sweep / 2.0);
            let off = shifted((centre + cos * major + sin * minor).x);
            Figure::Ellipse { centre: centre - off, major, minor, start, sweep }
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
        let shortening = Shortening::of_widest(&features, 600.0, 2.0).unwrap();
        assert_eq!(shortening, broken());
        assert_eq!(shortening.place(20.0), 20.0);
        assert_eq!(shortening.place(1200.0), 600.0);
        assert_eq!(Shortening::of_widest(&[0.0, 300.0, 600.0, 900.0, 1200.0], 600.0, 2.0), None);
    }

    /// From 296 to 904 mm, at half size.
    fn broken() -> Shortening {
        Shortening { gaps: vec![Gap { from: 296.0, to: 904.0 }], denominator: 2.0 }
    }

    #[test]
    fn all_stretches_share_what_is_left_out() {
        let features = [0.0, 200.0, 210.0, 300.0, 310.0, 610.0, 620.0, 640.0];
        // Between break lines, and drawn beside them, lie 2 × 9 + 4 mm on paper: 44 mm of each stretch.
        let shortening = Shortening::of_all(&features, 300.0, 2.0).unwrap();
        let rooms = [200.0 - 44.0, 90.0 - 44.0, 300.0 - 44.0];
        let lost = |from: f64, to: f64| (to - from) - (shortening.place(to) - shortening.place(from));
        for (room, stretch) in rooms.iter().zip([(0.0, 200.0), (210.0, 300.0), (310.0, 610.0)]) {
            assert!((lost(stretch.0, stretch.1) - 300.0 * room / 458.0).abs() < 1e-9);
        }
        assert!((shortening.place(640.0) - 340.0).abs() < 1e-9);
        assert_eq!(Shortening::of_all(&features, 459.0, 2.0), None);
    }

    #[test]
    fn lines_across_the_break_end_at_it() {
        let line = |a: f64, b: f64| Item {
            class: LineClass::Outline,
            figure: Figure::Line { from: DVec2::new(a, 0.0), to: DVec2::new(b, 0.0) },
        };
        let out = broken().shorten(vec![line(0.0, 600.0), line(590.0, 600.0)], 0.0, (0.0, 40.0));
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
        // The first is drawn at x = 590 round a centre left of the board, the second at x = 100.
        let arcs = vec![arc(DVec2::new(-110.0, 20.0)), arc(DVec2::new(-600.0, 20.0))];
        let out = broken().shorten(arcs, 0.0, (0.0, 40.0));
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
