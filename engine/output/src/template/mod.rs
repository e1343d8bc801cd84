//! Full-size templates: a part's lines at their true size, to be printed, cut out and traced, or given to a machine.
//!
//! A [`Template`] is neutral: lines and arcs in the part's own millimetres. [`whole`] makes it one [`Sheet`] for the formats of
//! machines; [`pages`] spreads it over the sheets of a printer.
//!
//! | file | what |
//! |---|---|
//! | `pattern.rs` | [`pattern`], [`half_pattern`]: the template of a part |
//! | `holes.rs` | holes on it |
//! | `wrap.rs` | developed faces of leaning ends, to wrap round the board |
//! | `room.rs` | where on a template lettering has room |
//! | `stroke.rs` | [`Stroke`]: lines and arcs cut off at a [`Window`] |
//! | `paper.rs` | [`Printing`]: paper, margins, overlap, print scale |
//! | `tiling.rs` | [`tile`]: how a template is spread over sheets |
//! | `sheets.rs` | [`pages`]: the printed sheets |
//! | `cover.rs` | the first sheet of a template, with its map and tables |
//! | `calibration.rs` | [`calibration`]: the page to measure first |

mod calibration;
mod cover;
mod holes;
mod paper;
mod pattern;
mod room;
mod sheets;
mod stroke;
mod tiling;
mod wrap;

pub use calibration::calibration;
pub use paper::{
    LEAST_MARGIN, LEAST_OVERLAP, LONGEST_SHEET, MOST_STRETCH, PrintPaper, Printing, TRUE_SCALE, USUAL_MARGIN,
    USUAL_OVERLAP,
};
pub use pattern::{Late, PatternOf, half_pattern, pattern};
pub use sheets::{Printed, pages};
pub use stroke::{Stroke, Window};
pub use tiling::{Cross, Tile, Tiling, tile};

use crate::sheet::{Figure, Item, LineClass, Paper, Sheet, Text};
use slatwork_solid::DVec2;

/// A table or a line of words that goes with a template, on its first sheet.
#[derive(Clone, Debug, PartialEq)]
pub enum Block {
    /// A heading.
    Heading(String),
    /// Words.
    Words(String),
    /// A table.
    Table {
        /// Heads of its columns.
        head: Vec<String>,
        /// Its rows.
        rows: Vec<Vec<String>>,
    },
}

/// A part at full size, in millimetres from its datum corner, the grain to the right.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Template {
    /// The mark of the set.
    pub mark: String,
    /// What the set is called.
    pub name: String,
    /// What stands on every sheet, a sentence each: hand, check dimension.
    pub words: Vec<String>,
    /// What stands on the first sheet.
    pub blocks: Vec<Block>,
    /// `Cut`: to saw to. `Drill`: to bore. `Mark`: to mark. `Hidden`: what is made later, in place or marked from another
    /// part. `Centre`: folds and axes.
    pub items: Vec<Item>,
    /// What a seam had better not run through, and how much that weighs.
    pub clear: Vec<(Window, f64)>,
}

/// Whether a class of lines is part of the template's own drawing.
fn is_geometry(class: LineClass) -> bool {
    matches!(
        class,
        LineClass::Cut | LineClass::Drill | LineClass::Mark | LineClass::Hidden | LineClass::Centre
    )
}

impl Template {
    /// The box round everything drawn.
    pub fn bounds(&self) -> Window {
        let strokes = self.items.iter().flat_map(|item| Stroke::of(&item.figure)).map(Stroke::bounds);
        let texts = self.items.iter().filter_map(|item| text_of(item).map(text_window));
        strokes.chain(texts).reduce(Window::joined).unwrap_or(Window::new(DVec2::ZERO, DVec2::ZERO))
    }

    /// What a seam from one place to another along an axis would harm.
    fn harm(&self, axis: usize, from: f64, to: f64) -> f64 {
        let hit = |(window, _): &&(Window, f64)| window.low[axis] < to && from < window.high[axis];
        self.clear.iter().filter(hit).map(|(_, weight)| weight).sum()
    }
}

fn text_of(item: &Item) -> Option<&Text> {
    if let Figure::Text(text) = &item.figure { Some(text) } else { None }
}

/// The room that lettering takes, mm.
fn text_window(text: &Text) -> Window {
    let width = crate::lettering::width(&text.text, text.height);
    let left = match text.anchor {
        crate::Anchor::Left => text.at.x,
        crate::Anchor::Middle => text.at.x - width / 2.0,
        crate::Anchor::Right => text.at.x - width,
    };
    let low = DVec2::new(left, text.at.y - text.height * 0.3);
    Window::new(low, low + DVec2::new(width, text.height * 1.4))
}

/// The whole template on one sheet of its own size, for machines and drawing programs: only `Cut`, `Drill` and `Mark`, and
/// what is made later as dashes of `Mark`. The part's datum corner lies at the lower left corner of the sheet, unless something
/// reaches beyond it.
pub fn whole(template: &Template) -> Sheet {
    let bounds = template.bounds();
    let low = bounds.low.min(DVec2::ZERO);
    let size = bounds.high - low;
    let title = format!("Template of {} {}", template.mark, template.name);
    let mut sheet = Sheet::new(title, Paper { name: "", width: size.x, height: size.y });
    let mm = |value: f64| crate::number::decimal(value, 3);
    sheet.description = format!(
        "Part {} at full size: one unit is one millimetre. Datum corner at {}, {} from the lower left. Dashed lines are made later.",
        template.mark,
        mm(-low.x),
        mm(-low.y)
    );
    for item in &template.items {
        match item.class {
            LineClass::Hidden | LineClass::Centre if text_of(item).is_none() => {
                let dashes = Stroke::of(&item.figure).into_iter().flat_map(Stroke::dashes);
                dashes.for_each(|dash| sheet.draw(LineClass::Mark, dash.moved(-low).figure()));
            }
            LineClass::Hidden | LineClass::Centre => sheet.draw(LineClass::Mark, moved(&item.figure, -low)),
            class => sheet.draw(class, moved(&item.figure, -low)),
        }
    }
    sheet
}

/// A figure of a template moved by a shift.
fn moved(figure: &Figure, by: DVec2) -> Figure {
    let mut figure = figure.clone();
    match &mut figure {
        Figure::Line { from, to } | Figure::Tick { from, to } => {
            *from += by;
            *to += by;
        }
        Figure::Arc { centre, .. } | Figure::Circle { centre, .. } | Figure::Dot { centre, .. } => {
            *centre += by
        }
        Figure::Polyline { corners, .. } => corners.iter_mut().for_each(|corner| corner.point += by),
        Figure::Text(text) => text.at += by,
        // A template holds no others.
        _ => {}
    }
    figure
}
