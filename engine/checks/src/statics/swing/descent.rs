//! Downhill from the level pose: chains as stiff springs that only pull, so that any pose has an energy.

use super::bonds::{Bonds, Span, weight};
use super::linear::{Columns, add, dot, eigen};
use super::pose::{FREEDOMS, Pose};

/// Pull of a spring per unit of stretch, as multiples of the weight: a chain that carries it all stretches by a millionth.
/// Stiffer springs lose the weight in the rounding.
const STIFFNESS: f64 = 1e6;

/// Softer springs first, for the shift alone, so that the start may be anywhere.
const SOFTER: [f64; 2] = [1e2, SWIFT];

/// Springs to turn on first: they stretch by no more than a ten-thousandth, and let the seat take longer steps.
const SWIFT: f64 = 1e4;

/// Longest step, in lengths of the longest chain and radians: the seat goes down in one sweep and does not leap into
/// another hollow (0.05 rad are 3 degrees).
const LONGEST_STEP: f64 = 0.05;

/// Curvature below which a direction counts as flat: the step is as if it were this much.
const FLATTEST: f64 = 1e-6;

/// Steps of one descent. A turn right over takes some 300.
const STEPS: usize = 2_000;

/// Halvings of a step that goes up: beyond, the pose is as low as numbers tell.
const HALVINGS: usize = 40;

/// A gradient, in weights, that is near enough to nothing for the exact equilibrium to be found from there.
const LEVEL_ENOUGH: f64 = 1e-7;

/// Curvature that is surely downward, beyond the rounding of a matrix of springs.
const SURELY_DOWN: f64 = 1e-6;

/// A push off the top of a hill, rad or lengths: small against any hollow that a seat could rest in.
const PUSH: f64 = 1e-3;

/// Tops and saddles that a seat may be pushed off in one search.
const PUSHES: usize = 8;

/// What the springs do.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Pull {
    /// Chains: they only pull.
    Only,
    /// Rods in place of chains: they also push.
    AndPush,
}

impl Pull {
    fn stretch(self, span: &Span) -> f64 {
        match self {
            Pull::Only => span.beyond.max(0.0),
            Pull::AndPush => span.beyond,
        }
    }
}

/// The hollow that the seat sinks into when it is let go, hung level.
pub(super) fn sink(bonds: &Bonds, pull: Pull) -> Pose {
    let mut pose = Pose::level(bonds.start());
    for stiffness in SOFTER {
        pose = Hill { bonds, pull, stiffness, freedoms: 3 }.descend(pose);
    }
    let hill = |stiffness| Hill { bonds, pull, stiffness, freedoms: FREEDOMS };
    pose = hill(SWIFT).descend(pose);
    let hill = hill(STIFFNESS);
    pose = hill.descend(pose);
    for _ in 0..PUSHES {
        let Some(push) = hill.way_down(&pose) else { break };
        pose = hill.descend(pose.moved(&push));
    }
    pose
}

/// Tensions of the springs at a pose, in weights.
pub(super) fn tensions(bonds: &Bonds, pull: Pull, pose: &Pose) -> Vec<f64> {
    bonds.spans(pose).iter().map(|span| STIFFNESS * pull.stretch(span)).collect()
}

impl Bonds {
    /// The centre of gravity where the level seat would hang if all chains were of the mean length and vertical.
    fn start(&self) -> slatwork_solid::DVec3 {
        let count = self.bonds.len() as f64;
        let from_centre: slatwork_solid::DVec3 = self.bonds.iter().map(|bond| bond.hook - bond.eye).sum();
        let length: f64 = self.bonds.iter().map(|bond| bond.length).sum();
        from_centre / count - slatwork_solid::DVec3::Z * (length / count)
    }
}

/// The energy of weight and springs over the first few freedoms.
struct Hill<'a> {
    bonds: &'a Bonds,
    pull: Pull,
    stiffness: f64,
    freedoms: usize,
}

impl Hill<'_> {
    fn height(&self, pose: &Pose) -> f64 {
        let springs: f64 = self.bonds.spans(pose).iter().map(|span| self.pull.stretch(span).powi(2)).sum();
        pose.place.z + self.stiffness / 2.0 * springs
    }

    fn slope(&self, pose: &Pose) -> Vec<f64> {
        let mut slope = weight();
        for span in self.bonds.spans(pose) {
            add(&mut slope, self.stiffness * self.pull.stretch(&span), &span.gradient());
        }
        slope.truncate(self.freedoms);
        slope
    }

    fn curvature(&self, pose: &Pose) -> Columns {
        let mut sum = vec![vec![0.0; FREEDOMS]; FREEDOMS];
        for span in self.bonds.spans(pose) {
            let stretch = self.pull.stretch(&span);
            if stretch == 0.0 {
                continue;
            }
            let gradient = span.gradient();
            for ((own, curve), along) in sum.iter_mut().zip(span.curvature()).zip(&gradient) {
                add(own, self.stiffness * stretch, &curve);
                add(own, self.stiffness * along, &gradient);
            }
        }
        sum.truncate(self.freedoms);
        sum.iter_mut().for_each(|column| column.truncate(self.freedoms));
        sum
    }

    fn descend(&self, mut pose: Pose) -> Pose {
        for _ in 0..STEPS {
            let slope = self.slope(&pose);
            if dot(&slope, &slope).sqrt() < LEVEL_ENOUGH {
                break;
            }
            match self.lower(&pose, &self.step(&pose, &slope)) {
                Some(lower) => pose = lower,
                None => break,
            }
        }
        pose
    }

    /// Newton's step with every curvature taken upward, so that it always leads down; not too long.
    fn step(&self, pose: &Pose, slope: &[f64]) -> Vec<f64> {
        let mut step = vec![0.0; FREEDOMS];
        for (curvature, along) in eigen(&self.curvature(pose)) {
            add(&mut step, -dot(&along, slope) / curvature.abs().max(FLATTEST), &along);
        }
        let length = dot(&step, &step).sqrt();
        let share = (LONGEST_STEP / length).min(1.0);
        step.iter_mut().for_each(|own| *own *= share);
        step
    }

    /// The pose after the step, or after the half of it, and so on, once it is lower.
    fn lower(&self, pose: &Pose, step: &[f64]) -> Option<Pose> {
        let height = self.height(pose);
        let halved = (0..HALVINGS).scan(1.0, |share, _| {
            let step: Vec<f64> = step.iter().map(|own| own * *share).collect();
            *share /= 2.0;
            Some(pose.moved(&step))
        });
        halved.into_iter().find(|after| self.height(after) < height)
    }

    /// A small push down from a top or a saddle.
    fn way_down(&self, pose: &Pose) -> Option<Vec<f64>> {
        let (curvature, along) = eigen(&self.curvature(pose)).into_iter().next()?;
        (curvature < -SURELY_DOWN).then(|| along.iter().map(|own| own * PUSH).collect())
    }
}
