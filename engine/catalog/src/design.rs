//! Published design values by species group and grade.

use crate::Source;
use slatwork_base::Length;

/// How the size of the piece enters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum SizeRule {
    /// The size factor of the table applies (NDS Supplement Table 4A).
    Factor,
    /// The values are for this size already (NDS Supplement Table 4B).
    Specific,
    /// Posts and timbers, with factors of their own (NDS Supplement Table 4D).
    Timber,
}

/// Every size rule with its word in data files.
pub const SIZE_RULES: [(SizeRule, &str); 3] =
    [(SizeRule::Factor, "factor"), (SizeRule::Specific, "specific"), (SizeRule::Timber, "timber")];

/// Nominal sizes a row of the table holds for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NominalRange {
    /// Least nominal size.
    pub least: Length,
    /// Greatest nominal size; `None` when open.
    pub most: Option<Length>,
}

impl NominalRange {
    /// Whether a nominal size lies in it.
    pub fn holds(self, size: Length) -> bool {
        size >= self.least && self.most.is_none_or(|most| size <= most)
    }
}

/// Reference design values of one grade, psi, as the table prints them.
#[derive(Clone, Debug, PartialEq)]
pub struct DesignValues {
    /// Species group: `Western Cedars`.
    pub group: String,
    /// Grade: `No.2`.
    pub grade: String,
    /// Nominal widths it holds for.
    pub widths: NominalRange,
    /// Nominal thicknesses it holds for.
    pub thicknesses: NominalRange,
    /// How the size enters.
    pub size_rule: SizeRule,
    /// Bending, psi.
    pub bending_psi: f64,
    /// Tension along the grain, psi.
    pub tension_psi: f64,
    /// Shear along the grain, psi.
    pub shear_psi: f64,
    /// Compression across the grain, psi.
    pub compression_across_psi: f64,
    /// Compression along the grain, psi.
    pub compression_psi: f64,
    /// Modulus of elasticity, psi.
    pub elasticity_psi: f64,
    /// Modulus of elasticity for stability, psi.
    pub stability_elasticity_psi: f64,
    /// Specific gravity for connections.
    pub gravity: f64,
    /// Where the figures come from.
    pub source: Source,
}

/// Grades compared without case, blanks and full stops: `No. 2` is `no2`.
pub(crate) fn grade_key(grade: &str) -> String {
    grade.chars().filter(|c| c.is_alphanumeric() || *c == '&').flat_map(char::to_lowercase).collect()
}
