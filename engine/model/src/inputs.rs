//! What the piece must suit: the place it goes to and the people who use it.

use slatwork_base::Length;

/// The place. Every figure is optional: what is not given is not judged.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Site {
    /// Height of the hooks over the floor.
    pub hook_height: Option<Length>,
    /// Distance between the left and right hooks.
    pub hook_spacing: Option<Length>,
    /// Clear room behind the seat, from the hooks' line to a wall.
    pub clear_rear: Option<Length>,
    /// Clear room in front.
    pub clear_front: Option<Length>,
    /// Clear room to each side of the seat.
    pub clear_side: Option<Length>,
    /// Fall of the floor, front to rear, mm per metre.
    pub floor_slope: Option<f64>,
    /// What it stands on, in words ("deck", "gravel").
    pub ground: Option<String>,
    /// Its climate: an example by name ("damp coast"), or its air ("30..80% 5..30C").
    pub climate: Option<String>,
    /// Joists or beams that the hooks go into, as far as they are known.
    pub beams: Vec<Overhead>,
}

/// Which way a joist or beam overhead runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Runs {
    /// With the length of the seat: one beam carries both sides.
    AlongSeat,
    /// From front to rear: a joist carries one side.
    AcrossSeat,
}

/// A joist or beam that hooks go into.
#[derive(Clone, Debug, PartialEq)]
pub struct Overhead {
    /// Section of the catalogue, on edge.
    pub section: String,
    /// Species of the catalogue.
    pub species: String,
    /// Grade with published values.
    pub grade: String,
    /// Between its bearings.
    pub span: Length,
    /// From one bearing to the nearest hook.
    pub hook_from: Length,
    /// Which way it runs.
    pub runs: Runs,
}

/// How hard it is used.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum UseLevel {
    /// A family's seat.
    #[default]
    Domestic,
    /// A guest house, a cafe.
    Contract,
    /// A public place.
    Heavy,
}

/// A person known by figures.
#[derive(Clone, Debug, PartialEq)]
pub struct Person {
    /// Any label ("sitter 1").
    pub label: String,
    /// Body height.
    pub stature: Length,
    /// Body mass, kg.
    pub mass: f64,
    /// Whether body proportions are a woman's; `None` when not said.
    pub woman: Option<bool>,
}

/// Who sits.
#[derive(Clone, Debug, PartialEq)]
pub struct People {
    /// Population id of the body data ("mix" unless said).
    pub population: String,
    /// The very people, when known.
    pub named: Vec<Person>,
    /// How hard it is used.
    pub use_level: UseLevel,
    /// Whether children use it; assumed unless said.
    pub children: bool,
}

impl Default for People {
    fn default() -> Self {
        People {
            population: String::from("mix"),
            named: Vec::new(),
            use_level: UseLevel::Domestic,
            children: true,
        }
    }
}
