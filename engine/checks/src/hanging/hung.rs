//! The piece as it hangs, with every seating: worked out once for all checks.

use super::motion::{Swings, Swung, rings};
use super::sitters::{Lean, Seating, Sitters};
use super::weigh::{Body, MM, piece};
use crate::statics::swing::{
    Chain, ChainState, Mass, Motion, Posture, Rest, STANDARD_GRAVITY, Suspended, resettle, settle,
};
use crate::{Case, Unit};
use slatwork_base::formula::{Equation, NamedNumber};
use slatwork_model::Suspension;
use slatwork_solid::DVec3;

/// While people swing, what the piece itself weighs counts so much more: 3 - 2 cos 30 degrees (derived).
const SWUNG_WEIGHT: f64 = 1.27;

/// A piece that hangs.
#[derive(Debug)]
pub(crate) struct Hung {
    pub(super) sitters: Sitters,
    pub(super) chains: Vec<Chain>,
    /// Front and rear chain of each hook, where every hook holds two.
    pub(super) rings: Option<Vec<[usize; 2]>>,
    /// What it weighs by itself.
    pub(super) own: Body,
    /// At rest, nobody in it first.
    pub(super) states: Vec<State>,
    /// With somebody dropping into it.
    pub(super) drops: Vec<State>,
    /// Height of the floor in the frame of the piece, m.
    pub(crate) floor: Option<f64>,
}

/// One seating.
#[derive(Debug)]
pub(super) struct State {
    pub(super) seating: Seating,
    /// In words.
    pub(super) name: String,
    pub(super) body: Body,
    /// How it hangs.
    pub(super) rest: Rested,
}

/// What becomes of a seating.
#[derive(Debug)]
pub(super) enum Rested {
    Hangs(Box<Posture>),
    TurnsOver(String),
    NotFound(String),
}

/// The pulls of all chains in one moment.
pub(super) struct Pulls<'a> {
    /// In words.
    pub(super) name: String,
    pub(super) posture: &'a Posture,
    /// Of each chain at equilibrium, N.
    pub(super) of: Vec<f64>,
    /// What each chain must bear, N: that, or what [`on_any_two`] asks.
    pub(super) borne: Vec<f64>,
    /// What swinging makes of each chain's pull at rest; nothing where it is not swung.
    swung: Option<Vec<f64>>,
}

impl<'a> Pulls<'a> {
    fn new(name: String, posture: &'a Posture, of: Vec<f64>, swung: Option<Vec<f64>>) -> Pulls<'a> {
        let two = if each_has_its_hook(posture) { on_any_two(posture, &of) } else { vec![0.0; of.len()] };
        let borne = of.iter().zip(two).map(|(own, two)| own.max(two)).collect();
        Pulls { name, posture, of, borne, swung }
    }

    /// What a chain is pulled with, as an equation.
    pub(super) fn pulled(&self, chain: usize) -> Equation {
        let force = |symbol, meaning, value| NamedNumber::new(symbol, meaning, value, Unit::Force);
        let at_rest = force("T", "pull of the chain, from the posture", self.posture.chains[chain].tension);
        let left = force("S", "pull of the chain", self.of[chain]);
        match &self.swung {
            Some(swung) => {
                let meaning = "greatest pull over a swing of 30 degrees, over that at rest";
                Equation::of(left, at_rest * NamedNumber::new("ks", meaning, swung[chain], Unit::Plain))
            }
            None => Equation::of(left, at_rest),
        }
    }

    /// What a chain must bear as equations: the last is that.
    pub(super) fn equations(&self, chain: usize) -> (Vec<Equation>, Equation) {
        let force = |symbol, meaning, value| NamedNumber::new(symbol, meaning, value, Unit::Force);
        let pulled = self.pulled(chain);
        if self.borne[chain] <= self.of[chain] {
            return (Vec::new(), pulled);
        }
        let upright = |chain: &ChainState| chain.up.z;
        let all = self.posture.chains.iter().zip(&self.of).map(|(chain, pull)| upright(chain) * pull).sum();
        let all = force("W", "upright part of all pulls together, from the posture", all);
        let meaning = "upright part of the chain's direction, from the posture";
        let up = NamedNumber::new("nz", meaning, upright(&self.posture.chains[chain]), Unit::Plain);
        let left =
            force("Sb", "what the chain bears where two across from each other bear all", self.borne[chain]);
        (vec![pulled], Equation::of(left, all / (2.0 * up)))
    }
}

/// From so many hooks with a chain each on nobody knows which chains bear the seat: a link more or less in one decides it.
const UNDETERMINED: usize = 4;

/// Whether so many chains hang at hooks of their own that how they share the seat is not determined.
pub(super) fn each_has_its_hook(posture: &Posture) -> bool {
    let count = posture.chains.len();
    count >= UNDETERMINED && posture.hooks.len() == count
}

/// What each chain bears when it and the one across from it bear all by themselves, each a half, N (derived).
pub(super) fn on_any_two(posture: &Posture, of: &[f64]) -> Vec<f64> {
    let all: f64 = posture.chains.iter().zip(of).map(|(chain, pull)| chain.up.z * pull).sum();
    posture.chains.iter().map(|chain| all / 2.0 / chain.up.z).collect()
}

impl Hung {
    /// Nothing where the piece does not hang.
    pub(crate) fn of(case: &Case) -> Option<Result<Hung, String>> {
        let lines = suspensions(case);
        (!lines.is_empty()).then(|| Hung::settled(case, lines))
    }

    fn settled(case: &Case, lines: &[Suspension]) -> Result<Hung, String> {
        let (sitters, own) = (Sitters::of(case)?, piece(case)?);
        let chains: Vec<Chain> = lines.iter().map(chain).collect();
        let hook = chains[0].hook.z;
        let mut hung = Hung {
            rings: rings(&chains),
            chains,
            own,
            states: Vec::new(),
            drops: Vec::new(),
            floor: case.model.site.hook_height.map(|height| hook - height.as_metre()),
            sitters,
        };
        for seating in hung.sitters.seatings() {
            hung.states.push(hung.state(seating));
        }
        hung.drops = hung.sitters.drops().into_iter().map(|seating| hung.state(seating)).collect();
        Ok(hung)
    }

    /// Comes to rest beside how it hangs with nobody in it, where that is known.
    fn state(&self, seating: Seating) -> State {
        let mut bodies = vec![self.own];
        if seating.drops.is_some() {
            bodies[0].mass.mass *= SWUNG_WEIGHT;
        }
        bodies.extend(self.sitters.bodies(&seating));
        let masses = bodies.iter().map(|own| own.mass).collect();
        State {
            name: self.sitters.words(&seating),
            seating,
            body: Body::together(&bodies),
            rest: rest(self.chains.clone(), masses, self.empty()),
        }
    }

    /// Every seating that hangs.
    pub(super) fn hanging(&self) -> impl Iterator<Item = (&State, &Posture)> {
        self.states.iter().filter_map(|state| Some((state, state.posture()?)))
    }

    /// The seatings with all places taken.
    pub(super) fn full(&self) -> impl Iterator<Item = (&State, &Posture)> {
        self.hanging().filter(|(state, _)| state.seating.taken.len() == self.sitters.count())
    }

    /// The seatings of people sitting upright of whom one has that place, each with its name, and how it hangs where it does.
    pub(crate) fn upright_at(&self, place: usize) -> impl Iterator<Item = (&str, Option<&Posture>)> {
        let upright = move |own: &Seating| own.lean == Lean::Upright && own.taken.contains(&place);
        let states = self.states.iter().filter(move |state| upright(&state.seating));
        states.map(|state| (state.name.as_str(), state.posture()))
    }

    /// m, as drawn.
    pub(crate) fn longest_chain(&self) -> f64 {
        self.chains.iter().map(|chain| chain.length).fold(0.0, f64::max)
    }

    /// What swinging does to a seating.
    pub(super) fn swung<'a>(&'a self, state: &State, posture: &'a Posture) -> Swung<'a> {
        Swung { chains: &self.chains, rings: self.rings.as_deref(), posture, body: state.body }
    }

    pub(super) fn swings(&self, state: &State, posture: &Posture) -> Swings {
        self.swung(state, posture).swings()
    }

    /// What all hooks together are pulled with in the middle of a full swing where the pull is most level.
    pub(super) fn most_level(&self) -> Option<Motion> {
        let (state, posture) = self.full().next()?;
        self.swung(state, posture).most_level()
    }

    /// All that pulls on the chains at their worst: all places taken and swung, or with one who drops into the seat.
    pub(super) fn pulls(&self) -> Vec<Pulls<'_>> {
        let swung = self.full().map(|(state, posture)| {
            let swings = self.swings(state, posture);
            let of = posture.chains.iter().zip(&swings.greatest).map(|(chain, most)| chain.tension * most);
            Pulls::new(format!("{}, swung", state.name), posture, of.collect(), Some(swings.greatest))
        });
        let dropped = self.drops.iter().filter_map(|state| {
            let posture = state.posture()?;
            let of = posture.chains.iter().map(|chain| chain.tension).collect();
            Some(Pulls::new(state.name.clone(), posture, of, None))
        });
        swung.chain(dropped).collect()
    }

    /// The same seating without one chain.
    pub(super) fn without(&self, state: &State, lost: usize) -> Rested {
        let mut chains = self.chains.clone();
        chains.remove(lost);
        rest(chains, vec![state.body.mass], None)
    }

    /// How it hangs with nobody in it.
    pub(super) fn empty(&self) -> Option<&Posture> {
        self.states.first()?.posture()
    }

    /// How it hangs with chains of other lengths and nobody in it.
    pub(super) fn with_lengths(&self, lengths: &[f64]) -> Rested {
        let chains = self.chains.iter().zip(lengths);
        let chains = chains.map(|(chain, length)| Chain { length: *length, ..chain.clone() });
        rest(chains.collect(), vec![self.own.mass], self.empty())
    }
}

impl State {
    pub(super) fn posture(&self) -> Option<&Posture> {
        self.rest.posture()
    }
}

impl Rested {
    pub(super) fn posture(&self) -> Option<&Posture> {
        match self {
            Rested::Hangs(posture) => Some(posture),
            Rested::TurnsOver(_) | Rested::NotFound(_) => None,
        }
    }
}

fn rest(chains: Vec<Chain>, masses: Vec<Mass>, before: Option<&Posture>) -> Rested {
    let swing = Suspended { gravity: STANDARD_GRAVITY, chains, masses };
    let outcome = before.map_or_else(|| settle(&swing), |before| resettle(&swing, before));
    match outcome.value {
        Some(Rest::Hangs(posture)) => Rested::Hangs(Box::new(posture)),
        Some(Rest::Tips(over)) => Rested::TurnsOver(over.why),
        None => {
            Rested::NotFound(outcome.diagnostics.first().map_or_else(String::new, |own| own.message.clone()))
        }
    }
}

/// What the piece hangs by.
pub(super) fn suspensions<'a>(case: &'a Case) -> &'a [Suspension] {
    case.model.hanging.as_ref().map_or(&[], |hanging| &hanging.suspensions)
}

fn chain(one: &Suspension) -> Chain {
    let at = |point: DVec3| format!("{:.0} {:.0} {:.0}", point.x, point.y, point.z);
    Chain {
        id: one.name.strip_suffix(" chain").unwrap_or(&one.name).to_string(),
        eye: one.eye * MM,
        hook: one.hook * MM,
        hook_id: at(one.hook),
        length: one.eye.distance(one.hook) * MM,
    }
}
