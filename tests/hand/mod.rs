//! What a check works out, by plain arithmetic in inches, pounds and the tables of the standard; nothing here calls a solver.
//! NDS is NDS-2018; what is not said to be from memory was read.

mod bending;
mod crushed;
mod distances;
mod fastener;

use slatwork::catalog::Catalogue;
use slatwork::checks::Verdict;
use slatwork::checks::framing::Analysis;

const INCH: f64 = 25.4;
/// N in a pound.
const POUND: f64 = 4.448_222;
/// CM of Fc across the grain (NDS Supplement Table 4A).
const WET_ACROSS: f64 = 0.67;
/// Fc across the grain of No.2, psi (NDS Supplement Tables 4A and 4B).
const ACROSS: [(&str, f64); 2] = [("white oak", 800.0), ("southern pine loblolly", 565.0)];

/// A ratio by hand.
pub(crate) struct Hand {
    /// What kind of calculation it is.
    pub(crate) kind: &'static str,
    /// Demand over capacity.
    pub(crate) ratio: f64,
    /// Which board or fastener.
    pub(crate) place: String,
    /// How it is worked out, a line a step.
    pub(crate) lines: Vec<String>,
}

/// The ratio of a verdict by hand.
pub(crate) fn of(analysis: &Analysis, catalogue: &Catalogue, verdict: &Verdict) -> Hand {
    match verdict.check {
        "fastener-sheared" => fastener::worst(analysis, catalogue, verdict, false),
        "fastener-overworked" => fastener::worst(analysis, catalogue, verdict, true),
        "slat-breaks" => bending::of_slat(analysis, verdict),
        "wood-crushed" => crushed::of(analysis, verdict),
        other => panic!("no calculation by hand is written for {other}"),
    }
}

/// Load cases that have the name which a verdict gives.
fn situations(analysis: &Analysis, verdict: &Verdict) -> Vec<usize> {
    let all = analysis.situations.iter().enumerate();
    all.filter(|(_, own)| own.name == verdict.governing).map(|(at, _)| at).collect()
}
