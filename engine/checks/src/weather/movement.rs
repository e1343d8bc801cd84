//! How boards swell and shrink between the bench and the moistures of the place.

use crate::Case;
use crate::gaps::Gap;
use crate::statics::moisture::{Movement, Range, Sawn, change};
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
    pub(super) fn of(case: &Case) -> Result<Moves, String> {
        let outcome = case.conditions.moisture();
        let why = outcome.diagnostics.first().map(|fault| fault.message.clone());
        outcome.value.map(|range| Moves { range }).ok_or_else(|| why.unwrap_or_default())
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
        let [one, other] = [gap.a, gap.b].map(|id| case.model.part(id));
        Ok((self.swells(case, one, one.width.as_mm())? + self.swells(case, other, other.width.as_mm())?)
            / 2.0)
    }

    /// How much farther apart they are at their driest, mm.
    pub(super) fn opens(&self, case: &Case, gap: Gap) -> Result<f64, String> {
        let [one, other] = [gap.a, gap.b].map(|id| case.model.part(id));
        Ok((self.shrinks(case, one, one.width.as_mm())? + self.shrinks(case, other, other.width.as_mm())?)
            / 2.0)
    }

    /// "at 19 % (12 % at the bench)".
    pub(super) fn wettest(&self) -> String {
        format!("at its wettest, {:.0} % ({:.0} % at the bench)", self.range.wettest, self.range.mean)
    }
}

fn changes(case: &Case, part: &Part, width: f64, moistures: (f64, f64)) -> Result<f64, String> {
    let species = case.catalogue.species(&part.species).map_err(|fault| fault.message)?;
    let movement = Movement {
        radial: species.shrinkage.radial,
        tangential: species.shrinkage.tangential,
        fibre_saturation: species.fibre_saturation,
    };
    let found = change(&movement, Sawn::Flat, (width, part.thickness.as_mm()), moistures);
    let why = found.diagnostics.first().map(|fault| fault.message.clone());
    found.value.map(|change| change.width).ok_or_else(|| why.unwrap_or_default())
}
