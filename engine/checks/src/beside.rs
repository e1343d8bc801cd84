//! How far the wood of a part reaches beside what goes through it.

use slatwork_model::Part;
use slatwork_solid::{DVec3, Lines};

/// Ends and edges farther off than this do not matter, mm: more than seven diameters of the thickest bolt.
const FARTHEST: f64 = 200.0;
/// Where along it the wood is looked at, as shares of the length that bears: a face may be bevelled.
const DEPTHS: [f64; 2] = [0.3, 0.9];

/// Free wood against an axis and with it, mm; nothing where it does not matter.
pub(crate) type Free = [Option<f64>; 2];

/// How far the wood of a part reaches along an axis from a straight piece that bears in it between two points.
pub(crate) fn free(part: &Part, (from, to): (DVec3, DVec3), axis: DVec3) -> Free {
    let placed = part.placed();
    let mut lines = Lines::through(&placed);
    let mut least = [FARTHEST; 2];
    for depth in DEPTHS {
        let middle = from.lerp(to, depth);
        let wood = lines.along(middle - axis * FARTHEST, middle + axis * FARTHEST);
        let here = wood.iter().find(|span| span.0 <= FARTHEST && FARTHEST <= span.1);
        let (low, high) = here.map_or((FARTHEST, FARTHEST), |span| *span);
        least = [least[0].min(FARTHEST - low), least[1].min(high - FARTHEST)];
    }
    least.map(|free| (free < FARTHEST).then_some(free))
}

/// The nearer of two.
pub(crate) fn nearer(free: Free) -> Option<f64> {
    free.into_iter().flatten().reduce(f64::min)
}

/// The grain of a part square to a direction through it, and the way across both.
pub(crate) fn grain_and_across(part: &Part, direction: DVec3) -> [DVec3; 2] {
    let grain = part.pose.matrix3.x_axis;
    let square = (grain - direction * grain.dot(direction)).normalize_or_zero();
    [square, direction.cross(square)]
}
