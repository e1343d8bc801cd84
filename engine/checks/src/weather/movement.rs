//! How boards swell and shrink between the bench and the moistures of the place.

use crate::gaps::Gap;
use crate::statics::moisture::{Movement, Range, Sawn, change};
use crate::{Case, Verdict};
use slatwork_base::Outcome;
use slatwork_model::Part;

/// How wide boards become, in parts of their width at the bench.
#[derive(Clone, Copy, Debug)]
pub(super) struct Moves {
    /// Moistures, percent.
    pub(super) range: Range,
}

impl Moves {
    /// By the conditions of a case.
    ///
    /// # Errors
    /// Why the moistures are not known.
    fn of(case: &Case) -> Result<Moves, String> {
        value_or_why(case.conditions.moisture()).map(|range| Moves { range })
    }

    /// How much wider a board of a width is at its wettest than at the bench, mm; flat-sawn, as boards are when nobody knows.
    pub(super) fn swells(&self, case: &Case, part: &Part, width: f64) -> Result<f64, String> {
        changes(case, part, width, (self.range.mean, self.range.wettest))
    }

    /// How much narrower at its driest, mm.
    pub(super) fn shrinks(&self, case: &Case, part: &Part, width: f64) -> Result<f64, String> {
        changes(case, part, width, (self.range.mean, self.range.driest)).map(|change| -change)
    }

    /// How much nearer two neighbours come at their wettest, mm: half of what each swells, held at its middle.
    pub(super) fn closes(&self, case: &Case, gap: Gap) -> Result<f64, String> {
        halves(case, gap, |part| self.swells(case, part, part.width.as_mm()))
    }

    /// How much farther apart they are at their driest, mm.
    pub(super) fn opens(&self, case: &Case, gap: Gap) -> Result<f64, String> {
        halves(case, gap, |part| self.shrinks(case, part, part.width.as_mm()))
    }

    /// "at 19 % (12 % at the bench)".
    pub(super) fn wettest(&self) -> String {
        format!("at its wettest, {:.0} % ({:.0} % at the bench)", self.range.wettest, self.range.mean)
    }
}

/// Verdicts that take how boards move; where the moistures are not known, why.
pub(super) fn with_moves(
    case: &Case,
    fault: &'static str,
    judge: impl FnOnce(&Moves) -> Vec<Verdict>,
) -> Vec<Verdict> {
    match Moves::of(case) {
        Ok(moves) => judge(&moves),
        Err(why) => vec![Verdict::not_judged(fault, why)],
    }
}

/// Half of what both neighbours of a gap change by.
fn halves(case: &Case, gap: Gap, change: impl Fn(&Part) -> Result<f64, String>) -> Result<f64, String> {
    Ok(f64::midpoint(change(case.model.part(gap.a))?, change(case.model.part(gap.b))?))
}

fn value_or_why<T>(outcome: Outcome<T>) -> Result<T, String> {
    let why = outcome.diagnostics.first().map(|fault| fault.message.clone());
    outcome.value.ok_or_else(|| why.unwrap_or_default())
}

fn changes(case: &Case, part: &Part, width: f64, moistures: (f64, f64)) -> Result<f64, String> {
    let species = case.catalogue.species(&part.species).map_err(|fault| fault.message)?;
    let movement = Movement {
        radial: species.shrinkage.radial,
        tangential: species.shrinkage.tangential,
        fibre_saturation: species.fibre_saturation,
    };
    let found = change(&movement, Sawn::Flat, (width, part.thickness.as_mm()), moistures);
    value_or_why(found).map(|change| change.width)
}
