//! Where the seat comes to rest when it is let go level, with the masses in it.

use super::balance::{Balance, with_chains, with_rods};
use super::bonds::Bonds;
use super::descent::{Pull, sink, tensions};
use super::pose::Pose;
use super::posture::Posture;
use super::remarks::{cannot_reach, no_rest, remarks, turns_over};
use super::stability::Stability;
use super::suspended::Suspended;
use slatwork_base::{Angle, Diagnostic, Outcome};

/// What becomes of a seat that is let go.
#[derive(Clone, Debug, PartialEq)]
pub enum Rest {
    /// It hangs.
    Hangs(Posture),
    /// It turns over.
    Tips(TurnsOver),
}

/// A seat that turns over.
#[derive(Clone, Debug, PartialEq)]
pub struct TurnsOver {
    /// Why, in words.
    pub why: String,
    /// The posture that all chains would hold if they could push.
    pub taut: Option<Taut>,
    /// Tilt in which it ends, beyond a right angle.
    pub hanging_tilt: Angle,
}

/// A posture on rods in place of chains.
#[derive(Clone, Debug, PartialEq)]
pub struct Taut {
    /// Turn about the width, positive when the rear goes down.
    pub tilt: Angle,
    /// Force in each rod, N, in the order of the chains; below zero it pushes, as no chain can.
    pub tensions: Vec<f64>,
}

/// A seat whose upright stands within this of the horizontal, as a cosine, has turned over too: rounding.
const ON_ITS_SIDE: f64 = 1e-9;

/// A stretched chain that still misses its length by this share cannot reach: springs of a million weights a length
/// stretch so far only when pulled by a thousand weights.
const OUT_OF_REACH: f64 = 1e-3;

/// Hangs the seat level, lets it go and says where it comes to rest.
///
/// The seat follows its own way downhill without swinging through; the posture it sinks into is then made exact
/// (equilibrium and chain lengths to 1e-9) and its stability judged. A posture on its head is none. A seat that hangs on a
/// diagonal of four chains, the fourth slack, may have a second posture on the other side; the one told is that which the
/// level seat sinks into.
///
/// # Errors
///
/// Figures that are none, chains that cannot reach, and a search without end leave no value. A seat that turns over is a
/// value, with a failure told beside it.
pub fn settle(swing: &Suspended) -> Outcome<Rest> {
    let faults = swing.faults();
    if !faults.is_empty() {
        return Outcome { value: None, diagnostics: faults };
    }
    let bonds = Bonds::of(swing);
    match sunk(swing, &bonds) {
        Err(fault) => Outcome::failed(fault),
        Ok((balance, _)) if balance.pose.uprightness() <= ON_ITS_SIDE => {
            let over = over(swing, &bonds, &balance);
            let told = turns_over(&over);
            Outcome::with(Rest::Tips(over), vec![told])
        }
        Ok((balance, stability)) => {
            let posture = Posture::of(swing, &bonds, &balance, &stability);
            let told = remarks(&posture, &stability);
            Outcome::with(Rest::Hangs(posture), told)
        }
    }
}

/// As [`settle`], for a seat that hung so before and bears another load, or chains of other lengths: it moves to the balance next to
/// that posture. Where there is none near by, it is let go level anew.
///
/// # Errors
///
/// As [`settle`].
pub fn resettle(swing: &Suspended, before: &Posture) -> Outcome<Rest> {
    let faults = swing.faults();
    if !faults.is_empty() {
        return Outcome { value: None, diagnostics: faults };
    }
    let bonds = Bonds::of(swing);
    let place = (before.origin + before.turn * bonds.centre) / bonds.scale;
    match nearby(&bonds, Pose { place, turn: before.turn }) {
        Some((balance, stability)) => {
            let posture = Posture::of(swing, &bonds, &balance, &stability);
            let told = remarks(&posture, &stability);
            Outcome::with(Rest::Hangs(posture), told)
        }
        None => settle(swing),
    }
}

/// A seat that turns farther than this to its next balance is let go anew, radians. Project choice: a person who leans turns it by a
/// third of that.
const NEARBY: f64 = 0.2;

/// The stable equilibrium next to a pose.
fn nearby(bonds: &Bonds, before: Pose) -> Option<(Balance, Stability)> {
    let balance = with_chains(bonds, before, &vec![1.0; bonds.bonds.len()])?;
    let turned = balance.pose.turn.angle_between(before.turn);
    let stability = Stability::of(bonds, &balance);
    (turned < NEARBY && balance.pose.uprightness() > ON_ITS_SIDE && stability.is_stable())
        .then_some((balance, stability))
}

/// The stable equilibrium that the seat sinks into.
fn sunk(swing: &Suspended, bonds: &Bonds) -> Result<(Balance, Stability), Diagnostic> {
    let near = sink(bonds, Pull::Only);
    if let Some(fault) = out_of_reach(swing, bonds, &near) {
        return Err(fault);
    }
    let guess = tensions(bonds, Pull::Only, &near);
    let balance = with_chains(bonds, near, &guess).ok_or_else(no_rest)?;
    let stability = Stability::of(bonds, &balance);
    if stability.is_stable() { Ok((balance, stability)) } else { Err(no_rest()) }
}

fn out_of_reach(swing: &Suspended, bonds: &Bonds, pose: &Pose) -> Option<Diagnostic> {
    let spans = bonds.spans(pose);
    let worst =
        spans.iter().zip(&swing.chains).max_by(|one, other| one.0.beyond.total_cmp(&other.0.beyond))?;
    let (span, chain) = worst;
    (span.beyond > OUT_OF_REACH).then(|| cannot_reach(chain, span.beyond * bonds.scale))
}

fn over(swing: &Suspended, bonds: &Bonds, end: &Balance) -> TurnsOver {
    let taut = on_rods(swing, bonds);
    let seat = |balance: &Balance| balance.pose.angles()[0];
    TurnsOver { why: why(swing, taut.as_ref()), taut, hanging_tilt: seat(end) }
}

/// The upright posture of all chains as rods, if there is one.
fn on_rods(swing: &Suspended, bonds: &Bonds) -> Option<Taut> {
    let near = sink(bonds, Pull::AndPush);
    let balance = with_rods(bonds, near, &vec![true; bonds.bonds.len()])?;
    (balance.pose.uprightness() > ON_ITS_SIDE).then(|| Taut {
        tilt: balance.pose.angles()[0],
        tensions: balance.tensions.iter().map(|own| own * swing.weight()).collect(),
    })
}

/// Forces that differ by less than this share are alike: rounding of the search.
const ALIKE: f64 = 1e-6;

fn why(swing: &Suspended, taut: Option<&Taut>) -> String {
    let pushing = taut.and_then(|taut| {
        let forces = swing.chains.iter().zip(&taut.tensions).filter(|(_, force)| **force < 0.0);
        // Of mirror images the first is told.
        forces.reduce(|one, other| if *other.1 < one.1 * (1.0 + ALIKE) { other } else { one })
    });
    match pushing {
        Some((chain, force)) => format!(
            "to hang on all its chains, chain {} would have to push with {:.0} N; the only stable posture has the seat \
             turned through more than 90 degrees",
            chain.id, -force
        ),
        None => String::from(
            "the centre of gravity lies too high above the eyes; the only stable posture has the seat turned through \
             more than 90 degrees",
        ),
    }
}
