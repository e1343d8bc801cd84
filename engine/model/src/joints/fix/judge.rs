//! How well a fastener stands: to edges, to ends, and to what is there already.

use super::lay_out::Tried;
use super::layer::Star;
use crate::Part;
use crate::joints::rules::{self, Nearness};
use crate::joints::{Drive, Fastening, Rod, Shop, choose};
use slatwork_solid::{DVec3, along, segment_distance};

impl Shop<'_> {
    /// How badly a fastener stands to edges, ends and what is already in the wood. Once it is found to be `useless` its distances
    /// are measured no further: they are taken round and round from the one that proved the last fastener useless, the `suspect`.
    pub(super) fn judge(
        &self,
        tried: &mut Tried,
        useless: Option<Nearness>,
        suspect: &mut usize,
    ) -> Nearness {
        let is_useless = |found: Nearness| useless.is_some_and(|useless| found >= useless);
        let Tried { fastening, tip } = tried;
        let mut worst = if self.meets(fastening) { Nearness::Fails } else { holding(fastening) };
        if is_useless(worst) {
            return worst;
        }
        let diameter = fastening.diameter.as_mm();
        let axis = (fastening.head, fastening.direction, *tip);
        let mut stars: Vec<Star> =
            fastening.layers.iter().map(|layer| Star::of(&self.parts[layer.part.0], layer, axis)).collect();
        let lines = stars.len() * Star::LINES;
        for step in 0..lines {
            let at = (*suspect + step) % lines;
            let (layer, star) = (&mut fastening.layers[at / Star::LINES], &mut stars[at / Star::LINES]);
            star.measure(layer, at % Star::LINES);
            worst = worst.max(rules::edge(diameter, layer.edge)).max(rules::end(diameter, layer.end));
            if is_useless(worst) {
                *suspect = at;
                return worst;
            }
        }
        if worst < Nearness::Fails && self.is_covered(fastening) { Nearness::Fails } else { worst }
    }

    /// Whether another part stands where a bolt's head or its nut has to sit.
    fn is_covered(&self, fastening: &Fastening) -> bool {
        if fastening.drive != Drive::Wrench {
            return false;
        }
        let direction = fastening.direction;
        let radius = fastening.head_diameter.as_mm() / 2.0 + BESIDE_HEAD;
        let far = fastening.layers.iter().map(|layer| layer.to).fold(0.0, f64::max);
        let others = |part: &Part| fastening.layers.iter().all(|layer| layer.part != part.id);
        let head = fastening.sunk() == 0.0 && self.fills(&others, fastening.head, -direction, radius);
        let nut = fastening.head + direction * far;
        head || (fastening.takes_nut() && self.fills(&others, nut, direction, radius))
    }

    /// Whether wood of such parts fills the room of a head from a point outward.
    fn fills(&self, counts: &dyn Fn(&Part) -> bool, from: DVec3, way: DVec3, radius: f64) -> bool {
        let one = way.any_orthonormal_vector();
        let other = way.cross(one);
        let (near, far) = (from + way * 0.5, from + way * HEAD_ROOM);
        let (low, high) = (near.min(far) - radius, near.max(far) + radius);
        self.parts.iter().zip(&self.boxes).any(|(part, bounds)| {
            bounds.max.cmpge(low).all()
                && bounds.min.cmple(high).all()
                && counts(part)
                && [DVec3::ZERO, one, -one, other, -other].iter().any(|arm| {
                    let arm = *arm * radius;
                    !along(&part.placed(), near + arm, far + arm).is_empty()
                })
        })
    }

    /// Whether a fastener comes nearer than 3 mm of wood to one that is set, or to a hole.
    fn meets(&self, fastening: &Fastening) -> bool {
        let radius = fastening.diameter.as_mm() / 2.0;
        self.taken.iter().any(|rod| {
            let clear = rod.radius + radius + rules::LEAST_WOOD;
            rod.near(fastening.head, fastening.tip, clear)
                && segment_distance(rod.from, rod.to, fastening.head, fastening.tip) < clear
        })
    }

    /// Remembers where metal is.
    pub(super) fn take(&mut self, placed: &[Fastening]) {
        self.taken.extend(
            placed
                .iter()
                .map(|fastening| Rod::new(fastening.head, fastening.tip, fastening.diameter.as_mm() / 2.0)),
        );
    }
}

/// Whether a driven fastener reaches far enough into what holds it, and not out of it.
fn holding(fastening: &Fastening) -> Nearness {
    let driven = matches!(fastening.drive, Drive::Driver | Drive::Hammer);
    let Some(last) = fastening.layers.last().filter(|_| driven) else { return Nearness::Fine };
    let short = fastening.penetration() < choose::LEAST_PENETRATION * fastening.diameter.as_mm() - 0.05;
    let out = last.to - fastening.length.as_mm() < rules::LEAST_WOOD - 0.01;
    if short || out { Nearness::Fails } else { Nearness::Fine }
}

/// Room beside a head or nut for fingers and a socket, mm (common practice, no source: 5 mm over the corners of a nut).
const BESIDE_HEAD: f64 = 5.0;

/// Room outside the wood for a head, or for a washer and nut, mm: the thickest of them up to 3/8 in.
const HEAD_ROOM: f64 = 12.0;
