//! A drawing on paper, before any format: what [`crate::svg`] and [`crate::dxf`] put into their own words.
//!
//! Paper coordinates are millimetres from the lower left corner, x to the right and y up.

use crate::dimension::{Angular, Dimension, Leader};
use slatwork_base::Diagnostic;
use slatwork_solid::DVec2;

/// What a line means; every format decides how a class looks, or which layer it goes to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum LineClass {
    /// The frame of the sheet and its title block.
    Frame,
    /// A visible edge with the background on one side: the outline of the whole.
    Outline,
    /// Any other visible edge.
    Edge,
    /// An edge behind something.
    Hidden,
    /// Light ground under what stands out.
    Tint,
    /// What stands already, where something is put on it.
    Standing,
    /// The way along which a part comes to its place.
    Way,
    /// Axes and lines of symmetry.
    Centre,
    /// Dimension, extension and leader lines, and their ticks.
    Dimension,
    /// The line to saw to.
    Cut,
    /// Holes to bore.
    Drill,
    /// What is only to be marked: grain, reference sides, the far face.
    Mark,
    /// Helping lines.
    Construction,
}

impl LineClass {
    /// All classes, in the order they are drawn: later ones lie on top.
    pub const ALL: [LineClass; 13] = [
        LineClass::Tint,
        LineClass::Construction,
        LineClass::Hidden,
        LineClass::Centre,
        LineClass::Standing,
        LineClass::Way,
        LineClass::Mark,
        LineClass::Dimension,
        LineClass::Edge,
        LineClass::Outline,
        LineClass::Drill,
        LineClass::Cut,
        LineClass::Frame,
    ];

    /// The name in files: a group in SVG, a layer (in capitals) in DXF.
    pub fn name(self) -> &'static str {
        match self {
            LineClass::Frame => "frame",
            LineClass::Outline => "outline",
            LineClass::Edge => "edge",
            LineClass::Hidden => "hidden",
            LineClass::Tint => "tint",
            LineClass::Standing => "standing",
            LineClass::Way => "way",
            LineClass::Centre => "centre",
            LineClass::Dimension => "dimension",
            LineClass::Cut => "cut",
            LineClass::Drill => "drill",
            LineClass::Mark => "mark",
            LineClass::Construction => "construction",
        }
    }
}

/// A corner of a polyline and the bulge of the segment that leaves it (see [`slatwork_solid::Vertex`]).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Corner {
    /// Where on the paper, mm.
    pub point: DVec2,
    /// Tangent of a quarter of the arc's angle, positive when it turns left; 0 for a line.
    pub bulge: f64,
}

/// Which part of a text its position names.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// The left end of the baseline.
    Left,
    /// The middle of the baseline.
    Middle,
    /// The right end of the baseline.
    Right,
}

/// A line of lettering, always level.
#[derive(Clone, Debug, PartialEq)]
pub struct Text {
    /// The point of the baseline that `anchor` names, mm.
    pub at: DVec2,
    /// Height of a capital, mm.
    pub height: f64,
    /// What `at` means.
    pub anchor: Anchor,
    /// Whether it is set heavy.
    pub bold: bool,
    /// What it says. Fractions such as `3/4` are set small by formats that can.
    pub text: String,
}

/// Anything drawn.
#[derive(Clone, Debug, PartialEq)]
pub enum Figure {
    /// A straight line.
    Line {
        /// One end, mm.
        from: DVec2,
        /// The other end, mm.
        to: DVec2,
    },
    /// The short firm stroke that ends a dimension line.
    Tick {
        /// One end, mm.
        from: DVec2,
        /// The other end, mm.
        to: DVec2,
    },
    /// Part of a circle.
    Arc {
        /// Centre, mm.
        centre: DVec2,
        /// Radius, mm.
        radius: f64,
        /// Direction of the first end, radians from the x axis.
        start: f64,
        /// Angle swept to the other end, radians, positive to the left.
        sweep: f64,
    },
    /// Lines and arcs joined end to end.
    Polyline {
        /// Corners in order.
        corners: Vec<Corner>,
        /// Whether the last corner joins the first.
        closed: bool,
    },
    /// A whole circle.
    Circle {
        /// Centre, mm.
        centre: DVec2,
        /// Radius, mm.
        radius: f64,
    },
    /// Part of an ellipse: `centre + cos(t) * major + sin(t) * minor`.
    Ellipse {
        /// Centre, mm.
        centre: DVec2,
        /// Half of the long axis, mm.
        major: DVec2,
        /// Half of the short axis, at right angles to `major`, mm.
        minor: DVec2,
        /// First parameter t, radians.
        start: f64,
        /// Parameter swept, radians; a whole turn closes the ellipse.
        sweep: f64,
    },
    /// Slanting lines inside a closed polygon.
    Hatch {
        /// Corners of the polygon, mm.
        boundary: Vec<DVec2>,
        /// Distance between the lines, mm.
        spacing: f64,
    },
    /// A polygon that hides what was drawn before it in the same class, paper white.
    Blank {
        /// Corners of the polygon, mm.
        boundary: Vec<DVec2>,
    },
    /// A region filled with the ink of its class; rings within rings are left out of it.
    Fill {
        /// Corners of the rings, mm.
        rings: Vec<Vec<DVec2>>,
    },
    /// A filled disc: the end of a leader.
    Dot {
        /// Centre, mm.
        centre: DVec2,
        /// Radius, mm.
        radius: f64,
    },
    /// Lettering.
    Text(Text),
    /// A length between two points.
    Dimension(Dimension),
    /// An angle between two directions.
    Angular(Angular),
    /// A note that points at something.
    Leader(Leader),
}

/// A figure and what it means.
#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    /// What it means.
    pub class: LineClass,
    /// What is drawn.
    pub figure: Figure,
}

/// A drawing on paper.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Sheet {
    /// What a reader calls it; becomes the accessible name of the picture.
    pub title: String,
    /// What can be seen, in a sentence, for those who cannot see it.
    pub description: String,
    /// Paper width, mm.
    pub width: f64,
    /// Paper height, mm.
    pub height: f64,
    /// Everything drawn.
    pub items: Vec<Item>,
}

impl Sheet {
    /// An empty sheet of paper.
    pub fn new(title: impl Into<String>, paper: Paper) -> Self {
        Sheet { title: title.into(), width: paper.width, height: paper.height, ..Sheet::default() }
    }

    /// Adds any figure.
    pub fn draw(&mut self, class: LineClass, figure: Figure) {
        self.items.push(Item { class, figure });
    }

    /// Adds a straight line.
    pub fn line(&mut self, class: LineClass, from: DVec2, to: DVec2) {
        self.draw(class, Figure::Line { from, to });
    }

    /// Adds a rectangle with its lower left and upper right corners.
    pub fn rectangle(&mut self, class: LineClass, low: DVec2, high: DVec2) {
        let corner = |x, y| Corner { point: DVec2::new(x, y), bulge: 0.0 };
        let corners =
            vec![corner(low.x, low.y), corner(high.x, low.y), corner(high.x, high.y), corner(low.x, high.y)];
        self.draw(class, Figure::Polyline { corners, closed: true });
    }

    /// Adds a line of lettering.
    pub fn text(
        &mut self,
        class: LineClass,
        at: DVec2,
        height: f64,
        anchor: Anchor,
        text: impl Into<String>,
    ) {
        self.draw(class, Figure::Text(Text { at, height, anchor, bold: false, text: text.into() }));
    }

    /// Adds a line of heavy lettering.
    pub fn heading(&mut self, at: DVec2, height: f64, anchor: Anchor, text: impl Into<String>) {
        let text = Text { at, height, anchor, bold: true, text: text.into() };
        self.draw(LineClass::Frame, Figure::Text(text));
    }

    /// Everything drawn, with dimensions, angles, leaders and hatches taken apart into lines, arcs, discs and
    /// lettering; what a format needs to know.
    pub fn plain_items(&self) -> Vec<Item> {
        let mut plain = Vec::with_capacity(self.items.len());
        for item in &self.items {
            match &item.figure {
                Figure::Dimension(dimension) => dimension.take_apart(item.class, &mut plain),
                Figure::Angular(angular) => angular.take_apart(item.class, &mut plain),
                Figure::Leader(leader) => leader.take_apart(item.class, &mut plain),
                Figure::Hatch { boundary, spacing } => {
                    let lines = hatch_lines(boundary, *spacing);
                    plain.extend(lines.into_iter().map(|(from, to)| line_item(item.class, from, to)));
                }
                _ => plain.push(item.clone()),
            }
        }
        plain
    }

    /// Whether every number in it can be drawn; the fault `drawing-not-finite` names the sheet.
    pub(crate) fn fault(&self) -> Option<Diagnostic> {
        let whole =
            self.width.is_finite() && self.height.is_finite() && self.width > 0.0 && self.height > 0.0;
        if whole && self.plain_items().iter().all(|item| is_finite(&item.figure)) {
            return None;
        }
        let message = format!("the sheet `{}` holds a coordinate that is not a finite number", self.title);
        Some(
            Diagnostic::error("drawing-not-finite", message)
                .help("look for a part whose size or position came from a division by zero"),
        )
    }
}

/// A straight line as an item.
pub(crate) fn line_item(class: LineClass, from: DVec2, to: DVec2) -> Item {
    Item { class, figure: Figure::Line { from, to } }
}

fn is_finite(figure: &Figure) -> bool {
    match figure {
        Figure::Line { from, to } | Figure::Tick { from, to } => from.is_finite() && to.is_finite(),
        Figure::Arc { centre, radius, start, sweep } => {
            centre.is_finite() && radius.is_finite() && start.is_finite() && sweep.is_finite()
        }
        Figure::Polyline { corners, .. } => {
            corners.iter().all(|c| c.point.is_finite() && c.bulge.is_finite())
        }
        Figure::Circle { centre, radius } | Figure::Dot { centre, radius } => {
            centre.is_finite() && radius.is_finite()
        }
        Figure::Ellipse { centre, major, minor, start, sweep } => {
            centre.is_finite() && major.is_finite() && minor.is_finite() && (start + sweep).is_finite()
        }
        Figure::Blank { boundary } | Figure::Hatch { boundary, .. } => boundary.iter().all(|p| p.is_finite()),
        Figure::Fill { rings } => rings.iter().flatten().all(|p| p.is_finite()),
        Figure::Text(text) => text.at.is_finite() && text.height.is_finite(),
        Figure::Dimension(_) | Figure::Angular(_) | Figure::Leader(_) => true,
    }
}

/// Lines at 45 degrees through a polygon, even-odd, `spacing` apart.
fn hatch_lines(boundary: &[DVec2], spacing: f64) -> Vec<(DVec2, DVec2)> {
    // Along the hatch and across it: the axes of the paper turned by 45 degrees.
    let along = DVec2::new(core::f64::consts::FRAC_1_SQRT_2, core::f64::consts::FRAC_1_SQRT_2);
    let across = DVec2::new(-along.y, along.x);
    let heights: Vec<f64> = boundary.iter().map(|p| p.dot(across)).collect();
    let low = heights.iter().copied().fold(f64::INFINITY, f64::min);
    let high = heights.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let mut lines = Vec::new();
    if !(spacing > 0.0 && (high - low).is_finite()) {
        return lines;
    }
    let mut level = (low / spacing).ceil() * spacing;
    while level < high && lines.len() < MOST_HATCH_LINES {
        let mut crossings = crossings_at(boundary, along, across, level);
        crossings.sort_by(f64::total_cmp);
        for pair in crossings.chunks_exact(2) {
            lines.push((along * pair[0] + across * level, along * pair[1] + across * level));
        }
        level += spacing;
    }
    lines
}

/// A hatch of more lines than this is a mistake of scale, not a drawing.
const MOST_HATCH_LINES: usize = 10_000;

fn crossings_at(boundary: &[DVec2], along: DVec2, across: DVec2, level: f64) -> Vec<f64> {
    let mut crossings = Vec::new();
    for (index, a) in boundary.iter().enumerate() {
        let b = boundary[(index + 1) % boundary.len()];
        let (height_a, height_b) = (a.dot(across), b.dot(across));
        if (height_a > level) != (height_b > level) {
            let share = (level - height_a) / (height_b - height_a);
            crossings.push(a.lerp(b, share).dot(along));
        }
    }
    crossings
}

/// A size of paper, lying on its long side unless said otherwise.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Paper {
    /// What it is called.
    pub name: &'static str,
    /// Width, mm.
    pub width: f64,
    /// Height, mm.
    pub height: f64,
}

impl Paper {
    /// ISO 216 A3, landscape.
    pub const A3: Paper = Paper { name: "A3", width: 420.0, height: 297.0 };
    /// ISO 216 A4, landscape.
    pub const A4: Paper = Paper { name: "A4", width: 297.0, height: 210.0 };
    /// ANSI B, 17 x 11 in, landscape.
    pub const TABLOID: Paper = Paper { name: "17 x 11 in", width: 431.8, height: 279.4 };
    /// ANSI A, 11 x 8 1/2 in, landscape.
    pub const LETTER: Paper = Paper { name: "11 x 8.5 in", width: 279.4, height: 215.9 };
}

/// How much smaller than life something is drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scale {
    /// Millimetres of the piece to one millimetre of paper.
    pub denominator: f64,
}

impl Scale {
    /// Full size.
    pub const FULL: Scale = Scale { denominator: 1.0 };

    /// Scales of a metric drawing (ISO 5455 and the whole numbers between that a builder's rule has).
    const METRIC: [f64; 8] = [1.0, 2.0, 5.0, 10.0, 20.0, 25.0, 50.0, 100.0];
    /// Scales of an inch drawing: full, half, quarter and an eighth, 1" to the foot, a sixteenth, then less to the foot.
    const INCH: [f64; 9] = [1.0, 2.0, 4.0, 8.0, 12.0, 16.0, 24.0, 48.0, 96.0];

    /// Denominators of the usual scales, the largest scale first.
    pub(crate) fn usual(inch: bool) -> &'static [f64] {
        if inch { &Self::INCH } else { &Self::METRIC }
    }

    /// The largest usual scale at which something that needs `needed` mm of the piece per mm of paper fits; the
    /// number itself when even the smallest usual scale is too large.
    pub fn that_fits(needed: f64, inch: bool) -> Scale {
        Scale { denominator: Self::usual(inch).iter().copied().find(|d| *d >= needed).unwrap_or(needed) }
    }

    /// Millimetres on paper for millimetres of the piece.
    pub fn paper(self, mm: f64) -> f64 {
        mm / self.denominator
    }
}

impl core::fmt::Display for Scale {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "1:{}", crate::number::decimal(self.denominator, 1))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hatch_fills_a_square_with_slanting_lines() {
        let square = [DVec2::ZERO, DVec2::new(10.0, 0.0), DVec2::new(10.0, 10.0), DVec2::new(0.0, 10.0)];
        let lines = hatch_lines(&square, 1.0);
        // Across the diagonal of 14.14 mm lie 15 levels; the one through the middle is the diagonal itself.
        assert_eq!(lines.len(), 15);
        let length: f64 = lines.iter().map(|(a, b)| a.distance(*b)).sum();
        assert!((length - 100.0).abs() < 2.0, "area over spacing, {length}");
    }

    #[test]
    fn scales_are_the_usual_ones() {
        assert_eq!(Scale::that_fits(5.1, true).to_string(), "1:8");
        assert_eq!(Scale::that_fits(5.1, false).to_string(), "1:10");
        assert_eq!(Scale::that_fits(5.0, false).to_string(), "1:5");
        assert_eq!(Scale::that_fits(0.2, true).to_string(), "1:1");
        assert_eq!(Scale::that_fits(130.0, true).to_string(), "1:130");
    }

    #[test]
    fn a_coordinate_that_is_no_number_is_a_fault() {
        let mut sheet = Sheet::new("seat", Paper::A4);
        assert_eq!(sheet.fault(), None);
        sheet.line(LineClass::Edge, DVec2::ZERO, DVec2::new(f64::NAN, 0.0));
        assert_eq!(sheet.fault().map(|d| d.code), Some("drawing-not-finite"));
    }
}
