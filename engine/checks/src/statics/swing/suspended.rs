//! What hangs: seat, chains and masses; and everything that can be wrong with them.

use core::fmt::Display;
use slatwork_base::{Diagnostic, Place};
use slatwork_solid::DVec3;

/// Standard acceleration of free fall, m/s2 (defined, CGPM 1901; from memory).
pub const STANDARD_GRAVITY: f64 = 9.80665;

/// A seat hung by chains, in the seat's own frame as drawn level, with the hooks in fixed axes.
#[derive(Clone, Debug, PartialEq)]
pub struct Suspended {
    /// Acceleration of free fall, m/s2.
    pub gravity: f64,
    /// The chains, each from an eye on the seat to a hook overhead.
    pub chains: Vec<Chain>,
    /// Seat and sitters.
    pub masses: Vec<Mass>,
}

/// One chain, straight, inextensible and without weight.
#[derive(Clone, Debug, PartialEq)]
pub struct Chain {
    /// Its name, its own among the chains.
    pub id: String,
    /// Eye on the seat, seat frame, m.
    pub eye: DVec3,
    /// Hook or ring, fixed axes, m.
    pub hook: DVec3,
    /// Name of the hook; chains that share one share its place.
    pub hook_id: String,
    /// From the bearing point at the eye to that at the hook, m.
    pub length: f64,
}

/// A mass that sits still in the seat.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mass {
    /// kg.
    pub mass: f64,
    /// Centre of gravity, seat frame, m.
    pub at: DVec3,
}

/// Nothing of a swing is a kilometre away: beyond, the unit is a slip (mm for m). Project choice.
const FARTHEST_M: f64 = 1_000.0;

/// A chain shorter than its own wire is thick is none. Project choice.
const SHORTEST_M: f64 = 1e-3;

/// A seat weighs more than a gram and less than a thousand tonnes: else the unit is a slip. Project choice.
const MASSES_KG: (f64, f64) = (1e-3, 1e6);

/// From the smallest bodies of the planets to beyond the largest, m/s2. Project choice.
const GRAVITIES: (f64, f64) = (1e-3, 1e3);

/// Hooks nearer than this are one hook: figures given to nine digits.
const SAME_HOOK_M: f64 = 1e-6;

/// Four chains, or a dozen; the work grows with the third power of the number. Project choice.
const MOST_CHAINS: usize = 24;

impl Suspended {
    /// Everything in it, kg.
    pub fn mass(&self) -> f64 {
        self.masses.iter().map(|own| own.mass).sum()
    }

    /// Weight, N.
    pub fn weight(&self) -> f64 {
        self.mass() * self.gravity
    }

    /// Centre of gravity, seat frame, m.
    pub fn centre(&self) -> DVec3 {
        self.masses.iter().map(|own| own.at * own.mass).sum::<DVec3>() / self.mass()
    }

    /// All that keeps it from being computed.
    pub(super) fn faults(&self) -> Vec<Diagnostic> {
        let mut faults = self.chain_count_faults();
        faults.extend(self.chains.iter().flat_map(Chain::faults));
        faults.extend(self.name_faults());
        faults.extend(self.mass_faults());
        faults.extend(within(self.gravity, GRAVITIES, "gravity", "m/s2"));
        faults
    }

    fn chain_count_faults(&self) -> Vec<Diagnostic> {
        match self.chains.len() {
            0 => vec![
                Diagnostic::error("swing-without-chain", "nothing holds the seat: it has no chain")
                    .help("give at least one chain with its eye, hook and length"),
            ],
            count if count > MOST_CHAINS => vec![
                Diagnostic::error(
                    "impossible-figure",
                    format!("there are {count} chains; {MOST_CHAINS} are the most"),
                )
                .help("hang the seat by fewer"),
            ],
            _ => Vec::new(),
        }
    }

    fn name_faults(&self) -> Vec<Diagnostic> {
        let mut faults = Vec::new();
        for (index, chain) in self.chains.iter().enumerate() {
            let before = &self.chains[..index];
            if before.iter().any(|other| other.id == chain.id) {
                let message = format!("two chains are named `{}`", chain.id);
                faults.push(
                    Diagnostic::error("same-chain-name", message)
                        .at(chain.place())
                        .help("name each chain by itself"),
                );
            }
            faults.extend(before.iter().find_map(|other| chain.hook_fault(other)));
        }
        faults
    }

    fn mass_faults(&self) -> Vec<Diagnostic> {
        let mut faults = Vec::new();
        for (index, own) in self.masses.iter().enumerate() {
            let number = index + 1;
            faults.extend(within(own.mass, (0.0, MASSES_KG.1), format_args!("mass {number}"), "kg"));
            faults.extend(near(own.at, format_args!("the place of mass {number}")));
        }
        if faults.is_empty() && self.mass() < MASSES_KG.0 {
            let message = format!("the seat weighs nothing: its masses sum to {} kg", self.mass().abs());
            faults.push(
                Diagnostic::error("swing-without-weight", message)
                    .help("give the mass of the seat, and of those who sit in it"),
            );
        }
        faults
    }
}

impl Chain {
    pub(super) fn place(&self) -> Place {
        Place::Named(format!("chain {}", self.id))
    }

    fn faults(&self) -> Vec<Diagnostic> {
        let mut faults: Vec<Diagnostic> =
            near(self.eye, "the eye").chain(near(self.hook, "the hook")).collect();
        if !(SHORTEST_M..=FARTHEST_M).contains(&self.length) {
            let message = format!("a chain cannot be {} m long", self.length);
            faults.push(
                Diagnostic::error("chain-without-length", message)
                    .help(format!("give a length from {SHORTEST_M} to {FARTHEST_M} m, from eye to hook")),
            );
        }
        faults.into_iter().map(|fault| fault.at(self.place())).collect()
    }

    fn hook_fault(&self, other: &Chain) -> Option<Diagnostic> {
        let apart = self.hook.distance(other.hook);
        (self.hook_id == other.hook_id && apart > SAME_HOOK_M).then(|| {
            let message =
                format!("hook `{}` is in two places, {apart:.6} m apart (chain {})", self.hook_id, other.id);
            Diagnostic::error("hook-in-two-places", message)
                .at(self.place())
                .help("give it one place, or the hooks a name each")
        })
    }
}

/// A fault unless the figure is a number within the bounds.
pub(super) fn within(
    figure: f64,
    (least, most): (f64, f64),
    name: impl Display,
    unit: &str,
) -> Option<Diagnostic> {
    (!(least..=most).contains(&figure)).then(|| {
        let message = format!("{name} cannot be {figure} {unit}");
        Diagnostic::error("impossible-figure", message)
            .help(format!("give a number from {least} to {most} {unit}"))
    })
}

/// A fault for a point that is no point, or too far away.
pub(super) fn near(point: DVec3, name: impl Display) -> impl Iterator<Item = Diagnostic> {
    let bounds = (-FARTHEST_M, FARTHEST_M);
    point
        .to_array()
        .into_iter()
        .filter_map(move |own| within(own, bounds, format_args!("{name} (x, y or z)"), "m"))
}
