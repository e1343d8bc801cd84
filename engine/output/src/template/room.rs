//! Where on a template there is room for lettering: clear of lines, holes and other lettering.

use super::stroke::{Stroke, Window};
use super::text_window;
use crate::sheet::{Anchor, Text};
use slatwork_base::maths;
use slatwork_solid::{DVec2, Profile};

/// What is taken already.
#[derive(Clone, Debug, Default)]
pub(crate) struct Room {
    strokes: Vec<(Stroke, Window)>,
    taken: Vec<Window>,
    /// The outline of the part, when it is known.
    outline: Option<Profile>,
}

/// Places are tried at steps of this, mm.
const STEP: f64 = 4.0;
/// Bare paper kept round lettering, mm.
const RIM: f64 = 0.8;
/// Longer lettering has no room on any part; the tables have it.
const MOST_LETTERS: usize = 400;
/// Rings of places tried round the place that is wanted.
const RINGS: usize = 60;

impl Room {
    pub(crate) fn new(outline: Option<Profile>) -> Self {
        Room { outline, ..Room::default() }
    }

    pub(crate) fn draw(&mut self, strokes: impl IntoIterator<Item = Stroke>) {
        self.strokes.extend(strokes.into_iter().map(|stroke| (stroke, stroke.bounds())));
    }

    pub(crate) fn take(&mut self, window: Window) {
        self.taken.push(window);
    }

    pub(crate) fn is_free(&self, window: Window) -> bool {
        !self.taken.iter().any(|own| own.meets(window))
            && !self
                .strokes
                .iter()
                .any(|(stroke, bounds)| bounds_meet(*bounds, window) && !stroke.within(window).is_empty())
    }

    /// Whether all of a box lies on the part.
    pub(crate) fn is_inside(&self, window: Window) -> bool {
        let Some(outline) = &self.outline else { return true };
        let (a, b) = (window.low, window.high);
        let corners = [a, b, DVec2::new(a.x, b.y), DVec2::new(b.x, a.y), (a + b) / 2.0];
        corners.iter().all(|corner| outline.contains(*corner))
    }

    /// Lettering as near to a place as it has room, its middle there; on the part when `inside`. The room is then taken.
    pub(crate) fn letter(&mut self, near: DVec2, height: f64, text: &str, inside: bool) -> Option<Text> {
        if text.chars().count() > MOST_LETTERS {
            return None;
        }
        let at = |middle: DVec2| Text {
            at: middle - DVec2::new(0.0, height / 2.0),
            height,
            anchor: Anchor::Middle,
            bold: false,
            text: text.to_string(),
        };
        let middle = places_round(near).find(|middle| {
            let window = rimmed(&at(*middle));
            self.is_free(window) && (!inside || self.is_inside(window))
        })?;
        let text = at(middle);
        self.take(rimmed(&text));
        Some(text)
    }
}

fn rimmed(text: &Text) -> Window {
    let window = text_window(text);
    Window::new(window.low - DVec2::splat(RIM), window.high + DVec2::splat(RIM))
}

/// Lines along an axis have boxes without width.
fn bounds_meet(bounds: Window, window: Window) -> bool {
    bounds.low.cmple(window.high).all() && window.low.cmple(bounds.high).all()
}

/// The place itself, then rings of places round it.
fn places_round(near: DVec2) -> impl Iterator<Item = DVec2> {
    let ring = move |ring: usize| {
        let count = (6 * ring).clamp(1, 24);
        (0..count).map(move |i| {
            let (sine, cosine) = maths::sin_cos(2.0 * maths::PI * i as f64 / count as f64);
            near + DVec2::new(cosine, sine) * (STEP * ring as f64)
        })
    };
    (0..RINGS).flat_map(ring)
}
