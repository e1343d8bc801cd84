//! A pattern: what one board is cut into.

use super::instance::Instance;

/// What one board is cut into.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) struct Pattern {
    /// Index of the board.
    pub board: usize,
    /// Index of each part, ascending, and how many.
    pub counts: Vec<(u32, u32)>,
}

impl Pattern {
    /// How many of a part.
    pub(super) fn count(&self, part: u32) -> u32 {
        match self.counts.binary_search_by_key(&part, |count| count.0) {
            Ok(at) => self.counts[at].1,
            Err(_) => 0,
        }
    }

    /// Room that it takes.
    pub(super) fn size(&self, instance: &Instance) -> i64 {
        self.counts.iter().map(|&(part, count)| instance.sizes[part as usize] * i64::from(count)).sum()
    }

    /// Whether it holds no more of any part than is left to make.
    pub(super) fn is_within(&self, left: &[u32]) -> bool {
        self.counts.iter().all(|&(part, count)| count <= left[part as usize])
    }
}

/// Patterns with how often each is cut.
pub(super) type Packing = Vec<(Pattern, u32)>;

/// Cost of a packing.
pub(super) fn cost(instance: &Instance, packing: &[(Pattern, u32)]) -> i64 {
    packing.iter().map(|(pattern, times)| instance.boards[pattern.board].cost * i64::from(*times)).sum()
}
