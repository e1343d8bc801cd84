//! The explanations.

use super::Explanation;

/// One table a room.
pub(super) const TABLES: [&[Explanation]; 1] = [PROJECT];

#[rustfmt::skip]
const PROJECT: &[Explanation] = &[
];
