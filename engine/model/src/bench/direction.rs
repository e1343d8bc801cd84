//! The six direction words.

use slatwork_base::{Diagnostic, did_you_mean};
use slatwork_solid::DVec3;

/// A direction as a builder facing the seat says it: x to the right, y to the rear, z up.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Direction {
    /// +x
    Right,
    /// -x
    Left,
    /// +y
    Rear,
    /// -y
    Front,
    /// +z
    Up,
    /// -z
    Down,
}

const WORDS: [(&str, Direction); 6] = [
    ("right", Direction::Right),
    ("left", Direction::Left),
    ("rear", Direction::Rear),
    ("front", Direction::Front),
    ("up", Direction::Up),
    ("down", Direction::Down),
];

impl Direction {
    /// Reads a direction word.
    pub fn parse(word: &str) -> Result<Direction, Diagnostic> {
        if let Some((_, direction)) = WORDS.iter().find(|(name, _)| *name == word) {
            return Ok(*direction);
        }
        let fault = Diagnostic::error("no-such-direction", format!("`{word}` is not a direction"));
        Err(match did_you_mean(word, WORDS.iter().map(|(name, _)| *name)) {
            Some(near) => fault.help(format!("did you mean `{near}`?")),
            None => {
                fault.help("say right, left, front, rear, up or down, as seen by someone facing the seat")
            }
        })
    }

    /// Unit vector.
    pub fn vector(self) -> DVec3 {
        match self {
            Direction::Right => DVec3::X,
            Direction::Left => -DVec3::X,
            Direction::Rear => DVec3::Y,
            Direction::Front => -DVec3::Y,
            Direction::Up => DVec3::Z,
            Direction::Down => -DVec3::Z,
        }
    }

    /// The direction that a vector looks most nearly.
    pub fn nearest(vector: DVec3) -> Direction {
        let off = |way: Direction| vector.dot(way.vector());
        // The first of equals, in the order of the words.
        WORDS
            .iter()
            .map(|(_, way)| *way)
            .fold(Direction::Right, |best, way| if off(way) > off(best) + 1e-9 { way } else { best })
    }

    /// The word.
    pub fn word(self) -> &'static str {
        match self {
            Direction::Right => "right",
            Direction::Left => "left",
            Direction::Rear => "rear",
            Direction::Front => "front",
            Direction::Up => "up",
            Direction::Down => "down",
        }
    }

    /// The other way.
    pub fn opposite(self) -> Direction {
        match self {
            Direction::Right => Direction::Left,
            Direction::Left => Direction::Right,
            Direction::Rear => Direction::Front,
            Direction::Front => Direction::Rear,
            Direction::Up => Direction::Down,
            Direction::Down => Direction::Up,
        }
    }
}
