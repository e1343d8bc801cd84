//! Where a board or group is fixed: one linear condition on its translation for each relation.

use super::draft::Anchor;
use slatwork_base::Origin;
use slatwork_solid::DVec3;

/// Two directions whose unit vectors leave less than this of each other are the same direction (0.0001 is 0.006
/// degrees: below any saw, above rounding noise).
const SAME_DIRECTION: f64 = 1e-4;

/// One relation that fixes one direction.
#[derive(Clone, Debug)]
pub(super) struct Row {
    /// Unit direction that is fixed, in the frame the item is placed in.
    pub(super) normal: DVec3,
    /// Where the anchor must lie along it, mm.
    pub(super) target: f64,
    /// What of the item is held there.
    pub(super) anchor: Anchor,
    /// The script line.
    pub(super) origin: Origin,
    /// The relation in words, for messages.
    pub(super) words: String,
}

/// The relations of one item.
#[derive(Clone, Debug, Default)]
pub(super) struct Fixing {
    pub(super) rows: Vec<Row>,
}

/// An orthonormal basis of the fixed directions with the translation along each.
pub(super) struct Solved {
    basis: Vec<(DVec3, f64)>,
}

impl Fixing {
    /// Solves for the translation; `anchor_at` gives the anchor's place along a direction with zero translation.
    pub(super) fn solve(&self, anchor_at: impl Fn(&Row) -> f64) -> Solved {
        let mut basis: Vec<(DVec3, f64)> = Vec::with_capacity(3);
        for row in &self.rows {
            let (mut rest, mut value) = (row.normal, row.target - anchor_at(row));
            for (direction, along) in &basis {
                let part = row.normal.dot(*direction);
                rest -= part * *direction;
                value -= part * along;
            }
            let size = rest.length();
            if size > SAME_DIRECTION {
                basis.push((rest / size, value / size));
            }
        }
        Solved { basis }
    }

    /// The relation that already fixes `direction` alone, or the last of those that fix it together.
    pub(super) fn clash(&self, direction: DVec3) -> Option<&Row> {
        if !fixes(&self.solve(|_| 0.0), direction) {
            return None;
        }
        let same = self.rows.iter().find(|row| row.normal.cross(direction).length() < SAME_DIRECTION);
        same.or(self.rows.last())
    }
}

impl Solved {
    /// Translation along the fixed directions, with `fallback` for those left free.
    pub(super) fn translation(&self, fallback: DVec3) -> DVec3 {
        let mut rest = fallback;
        let mut sum = DVec3::ZERO;
        for (direction, along) in &self.basis {
            rest -= rest.dot(*direction) * *direction;
            sum += *along * *direction;
        }
        sum + rest
    }

    /// Whether all three directions are fixed.
    pub(super) fn is_complete(&self) -> bool {
        self.basis.len() == 3
    }

    /// Whether this direction is fixed.
    pub(super) fn is_fixed(&self, direction: DVec3) -> bool {
        fixes(self, direction)
    }

    /// A world axis that is still free, in words.
    pub(super) fn free_words(&self) -> &'static str {
        let axes = [(DVec3::X, "left to right"), (DVec3::Y, "front to rear"), (DVec3::Z, "up and down")];
        axes.iter().find(|(axis, _)| !fixes(self, *axis)).map_or("in no direction", |(_, words)| words)
    }
}

fn fixes(solved: &Solved, direction: DVec3) -> bool {
    let rest = solved.basis.iter().fold(direction, |rest, (axis, _)| rest - rest.dot(*axis) * *axis);
    rest.length() < SAME_DIRECTION
}
