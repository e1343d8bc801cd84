//! How a piece hangs with each seating, for those who want the figures.

use super::hung::{Hung, Rested, State};
use crate::Case;

/// One seating.
#[derive(Clone, Debug, PartialEq)]
pub struct Seated {
    /// In words: "one person at place 1 of 3 from the left, upright".
    pub name: String,
    /// What hangs in all, kg.
    pub mass: f64,
    /// How it hangs; or why it does not, in words.
    pub hangs: Result<SeatedPosture, String>,
}

/// A posture in figures.
#[derive(Clone, Debug, PartialEq)]
pub struct SeatedPosture {
    /// How much lower the rear hangs than as drawn, degrees.
    pub tilt: f64,
    /// How much higher the right side hangs, degrees.
    pub roll: f64,
    /// Each chain, in the order of the piece.
    pub chains: Vec<SeatedChain>,
}

/// A chain in figures.
#[derive(Clone, Debug, PartialEq)]
pub struct SeatedChain {
    /// Its place: "left front".
    pub name: String,
    /// N; nothing where it is slack.
    pub tension: f64,
    /// From upright, degrees.
    pub from_vertical: f64,
}

/// Every seating at rest, nobody first; none where the piece does not hang, or nobody can be told to sit in it.
pub fn seatings(case: &Case) -> Vec<Seated> {
    match case.hung() {
        Some(Ok(hung)) => hung.states.iter().map(|state| seated(hung, state)).collect(),
        Some(Err(_)) | None => Vec::new(),
    }
}

fn seated(hung: &Hung, state: &State) -> Seated {
    let hangs = match &state.rest {
        Rested::TurnsOver(why) | Rested::NotFound(why) => Err(why.clone()),
        Rested::Hangs(posture) => {
            let chains = hung.chains.iter().zip(&posture.chains).map(|(chain, own)| SeatedChain {
                name: chain.id.clone(),
                tension: own.tension,
                from_vertical: own.from_vertical.as_deg(),
            });
            Ok(SeatedPosture {
                tilt: posture.tilt.as_deg(),
                roll: posture.roll.as_deg(),
                chains: chains.collect(),
            })
        }
    };
    Seated { name: state.name.clone(), mass: state.body.mass.mass, hangs }
}
