//! The exact equilibrium next to where the springs came to rest: no stretch, forces and moments in balance.

use super::bonds::{Bonds, Span, lagrangian, weight};
use super::linear::{Columns, Singular, add, dot, eliminated, transposed};
use super::pose::{FREEDOMS, Pose};

/// Newton's steps: from springs of a millionth's stretch three or four do.
const STEPS: usize = 25;

/// Forces in weights, and lengths, that are out of balance by no more than this hold: a thousandth of what is promised.
const HOLDS: f64 = 1e-9;

/// Taut chains may miss their length by this share when there are more of them than can all be straight at once, and their
/// lengths are given to nine digits.
const FITS: f64 = 1e-7;

/// After a step this short only rounding is left: Newton's steps square what is missing.
const ENOUGH: f64 = 1e-9;

/// A step this long leads away from what the springs found.
const TOO_FAR: f64 = 0.1;

/// Tension, in weights, that a spring chain must show to be held taut in the first guess.
const SURELY_TAUT: f64 = 1e-7;

/// A pose in equilibrium.
#[derive(Clone, Debug)]
pub(super) struct Balance {
    pub(super) pose: Pose,
    /// Tension of each chain in weights; zero where it is slack.
    pub(super) tensions: Vec<f64>,
}

impl Balance {
    /// Which chains carry.
    pub(super) fn taut(&self) -> Vec<bool> {
        self.tensions.iter().map(|tension| tension.abs() > HOLDS).collect()
    }
}

/// Chains: taut ones are held, those that would push are let go, those that would stretch are held too.
pub(super) fn with_chains(bonds: &Bonds, start: Pose, guess: &[f64]) -> Option<Balance> {
    let mut held: Vec<bool> = guess.iter().map(|tension| *tension > SURELY_TAUT).collect();
    for _ in 0..2 * held.len() + 4 {
        let balance = with_rods(bonds, start, &held)?;
        match wrong(bonds, &balance, &held) {
            None => return Some(balance),
            Some(index) => held[index] = !held[index],
        }
    }
    None
}

/// The chain that is most wrongly held, or else most wrongly let go.
fn wrong(bonds: &Bonds, balance: &Balance, held: &[bool]) -> Option<usize> {
    let pushing = balance.tensions.iter().enumerate().filter(|(_, tension)| **tension < -HOLDS);
    let most_pushing = pushing.min_by(|one, other| one.1.total_cmp(other.1)).map(|(index, _)| index);
    let spans = bonds.spans(&balance.pose);
    let beyond = (0..held.len()).filter(|&index| !held[index] && spans[index].beyond > FITS);
    most_pushing.or(beyond.max_by(|&one, &other| spans[one].beyond.total_cmp(&spans[other].beyond)))
}

/// Those held as rods that keep their length and may push, the others away.
pub(super) fn with_rods(bonds: &Bonds, start: Pose, held: &[bool]) -> Option<Balance> {
    let mut state = State { bonds, held, pose: start, tensions: Vec::new() };
    state.tensions = state.shortest_tensions();
    for _ in 0..STEPS {
        let (residual, step) = state.newton();
        let longest = step[..FREEDOMS].iter().map(|own| own.abs()).fold(0.0, f64::max);
        if longest > TOO_FAR || !residual.is_finite() {
            return None;
        }
        state.pose = state.pose.moved(&step[..FREEDOMS]);
        add(&mut state.tensions, 1.0, &step[FREEDOMS..]);
        if longest < ENOUGH {
            break;
        }
    }
    state.tensions = state.shortest_tensions();
    state.holds().then(|| state.balance())
}

struct State<'a> {
    bonds: &'a Bonds,
    held: &'a [bool],
    pose: Pose,
    /// Of the chains held.
    tensions: Vec<f64>,
}

impl State<'_> {
    fn spans(&self) -> Vec<Span> {
        let all = self.bonds.spans(&self.pose).into_iter().zip(self.held);
        all.filter(|(_, held)| **held).map(|(span, _)| span).collect()
    }

    /// Of all tensions that balance the weight, those of equally stiff chains.
    fn shortest_tensions(&self) -> Vec<f64> {
        let gradients = self.spans().iter().map(Span::gradient).collect();
        let weight: Vec<f64> = weight().iter().map(|own| -own).collect();
        Singular::of(gradients).solve(&weight)
    }

    /// What is out of balance: forces and moments, then lengths.
    fn residual(&self) -> (Vec<f64>, Vec<f64>) {
        let spans = self.spans();
        let mut forces = weight();
        for (span, tension) in spans.iter().zip(&self.tensions) {
            add(&mut forces, *tension, &span.gradient());
        }
        (forces, spans.iter().map(|span| span.beyond).collect())
    }

    /// Size of the residual and the step that takes it away.
    fn newton(&self) -> (f64, Vec<f64>) {
        let spans = self.spans();
        let gradients: Columns = spans.iter().map(Span::gradient).collect();
        let (forces, lengths) = self.residual();
        let wanted: Vec<f64> = forces.iter().chain(&lengths).map(|own| -own).collect();
        let matrix = bordered(lagrangian(&spans, &self.tensions), gradients);
        let step = eliminated(&matrix, &wanted).unwrap_or_else(|| Singular::of(matrix).solve(&wanted));
        (dot(&wanted, &wanted).sqrt(), step)
    }

    fn holds(&self) -> bool {
        let (forces, lengths) = self.residual();
        forces.iter().all(|own| own.abs() <= HOLDS) && lengths.iter().all(|own| own.abs() <= FITS)
    }

    fn balance(self) -> Balance {
        let mut own = self.tensions.iter().copied();
        let tensions =
            self.held.iter().map(|held| if *held { own.next().unwrap_or(0.0) } else { 0.0 }).collect();
        Balance { pose: self.pose, tensions }
    }
}

/// [[H, A'], [A, 0]] for the gradients A of the lengths held.
fn bordered(curvature: Columns, gradients: Columns) -> Columns {
    let count = gradients.len();
    let mut lower = transposed(&gradients);
    lower.resize(FREEDOMS, Vec::new());
    let left = curvature.into_iter().zip(lower).map(|(upper, lower)| [upper, lower].concat());
    let right = gradients.into_iter().map(|upper| [upper, vec![0.0; count]].concat());
    left.chain(right).collect()
}
