//! The ways in which lettering of a part's sheet may stand, the best first; [`Taken`](super::taken::Taken) takes one that is free.

use crate::dimension::{LETTER_GAP, LETTER_HEIGHT, Leader};
use crate::lettering;
use crate::sheet::{Anchor, Figure, Item, LineClass, Text, line_item};
use slatwork_solid::DVec2;

/// All ways for one label.
pub(crate) type Ways = Vec<Vec<Item>>;

/// Height of a line of notes under a view, white counted, mm.
pub(crate) const NOTE: f64 = 4.2;
/// From a view to the notes under it, mm.
pub(crate) const TO_NOTES: f64 = 2.6;
/// Lines under a view that are tried.
const NOTES: usize = 8;

fn letters(class: LineClass, at: DVec2, height: f64, anchor: Anchor, text: &str) -> Item {
    Item { class, figure: Figure::Text(Text { at, height, anchor, bold: false, text: text.to_string() }) }
}

/// What to set for an end, under it: the first line that is free. `foot` is the corner of the view.
pub(crate) fn end_note(foot: DVec2, at_left: bool, text: &str) -> Ways {
    let (shift, anchor) = if at_left { (1.0, Anchor::Left) } else { (-1.0, Anchor::Right) };
    let way = |line: usize| {
        let at = foot + DVec2::new(shift, -LETTER_HEIGHT - TO_NOTES - NOTE * line as f64);
        vec![letters(LineClass::Dimension, at, LETTER_HEIGHT, anchor, text)]
    };
    (0..NOTES).map(way).collect()
}

/// How far a note stands beside its hole, mm.
const BESIDE_HOLE: [f64; 7] = [5.0, 9.0, 14.0, 20.0, 28.0, 40.0, 55.0];

/// What to bore, from a hole down to the space under the view, whose foot is at height `foot`; toward the right if there is the
/// more room.
pub(crate) fn bore_note(at: DVec2, foot: f64, to_right: bool, label: &str) -> Ways {
    let side = if to_right { 1.0 } else { -1.0 };
    let way = |line: usize, off: f64| {
        let to = DVec2::new(at.x + off, foot - TO_NOTES - LETTER_HEIGHT / 2.0 - NOTE * line as f64);
        vec![leader(at, to, label)]
    };
    let lines = 0..NOTES;
    lines
        .flat_map(|line| {
            BESIDE_HOLE.into_iter().flat_map(move |off| [way(line, side * off), way(line, -side * off)])
        })
        .collect()
}

fn leader(at: DVec2, to: DVec2, label: &str) -> Item {
    let leader = Leader { at, to, balloon: None, label: label.to_string() };
    Item { class: LineClass::Dimension, figure: Figure::Leader(leader) }
}

/// Turns from the straight way to a radius's lettering that are tried, degrees; and back, out of the wood.
const TURNS: [f64; 7] = [0.0, 25.0, -25.0, 50.0, -50.0, 75.0, -75.0];
const OUTWARD: [f64; 5] = [180.0, 150.0, -150.0, 115.0, -115.0];
/// And lengths of the way, in those of the usual one.
const STRETCHES: [f64; 5] = [1.0, 1.6, 2.4, 3.4, 4.8];

/// A radius, from the middle of its arc; `way` leads into the wood, where the least is written.
pub(crate) fn radius_note(at: DVec2, way: DVec2, label: &str) -> Ways {
    let turned = |degrees: f64| DVec2::from_angle(degrees.to_radians()).rotate(way);
    let inward = STRETCHES.into_iter().flat_map(|by| TURNS.map(|degrees| at + turned(degrees) * by));
    let outward = STRETCHES.into_iter().flat_map(|by| OUTWARD.map(|degrees| at + turned(degrees) * by));
    inward.chain(outward).map(|to| vec![leader(at, to, label)]).collect()
}

/// Height of the capitals of a hole's number, mm.
const NUMBER: f64 = 1.8;
/// Distances of a number from its hole, mm; from the third on a line leads to it.
const OFF_HOLE: [f64; 9] = [0.4, 1.2, 2.5, 4.0, 6.0, 8.0, 11.0, 14.0, 18.0];
const LED: f64 = 2.0;

/// The number of a hole, beside it.
pub(crate) fn hole_number(at: DVec2, radius: f64, number: usize) -> Ways {
    let text = number.to_string();
    let half = DVec2::new(lettering::width(&text, NUMBER), NUMBER) / 2.0;
    let corners = [
        (1.0, 1.0),
        (-1.0, 1.0),
        (1.0, -1.0),
        (-1.0, -1.0),
        (1.0, 0.0),
        (-1.0, 0.0),
        (0.0, 1.0),
        (0.0, -1.0),
    ];
    let way = |(x, y): (f64, f64), off: f64| {
        let toward = DVec2::new(x, y);
        let (rim, end) = (at + toward.normalize() * radius, at + toward.normalize() * (radius + off));
        let low = end + toward * half - half;
        let number = letters(LineClass::Mark, low, NUMBER, Anchor::Left, &text);
        if off < LED { vec![number] } else { vec![number, line_item(LineClass::Dimension, rim, end)] }
    };
    OFF_HOLE.into_iter().flat_map(|off| corners.map(|toward| way(toward, off))).collect()
}

/// Places beside the middle that are tried for the grain, mm.
const ASIDE: [f64; 9] = [0.0, 14.0, -14.0, 28.0, -28.0, 45.0, -45.0, 65.0, -65.0];

/// A double arrow with the word, under one of the views: `feet` are the middles of their lower borders, the better one first.
pub(crate) fn grain(feet: [DVec2; 2]) -> Ways {
    let lines = (0..3).flat_map(|line| feet.map(|foot| foot - DVec2::new(0.0, 3.5 + NOTE * f64::from(line))));
    lines
        .flat_map(|place| ASIDE.map(|aside| grain_arrow(place + DVec2::new(aside, -LETTER_HEIGHT / 2.0))))
        .collect()
}

fn grain_arrow(middle: DVec2) -> Vec<Item> {
    let half = lettering::width("grain", LETTER_HEIGHT) / 2.0 + LETTER_GAP;
    let mut items = vec![letters(LineClass::Mark, middle, LETTER_HEIGHT, Anchor::Middle, "grain")];
    for side in [-1.0, 1.0] {
        let at = |x: f64, dy: f64| middle + DVec2::new(side * x, LETTER_HEIGHT / 2.0 + dy);
        let tip = at(half + 9.0, 0.0);
        items.extend(
            [at(half, 0.0), at(half + 7.4, 0.6), at(half + 7.4, -0.6)]
                .map(|from| line_item(LineClass::Mark, from, tip)),
        );
    }
    items
}
