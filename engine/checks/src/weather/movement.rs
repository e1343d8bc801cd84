//! How boards swell and shrink between the bench and the moistures of the place.

use crate::gaps::Gap;
use crate::statics::moisture::{Movement, Range, Sawn, change, change_equation};
use crate::{Case, Unit, Verdict};
use slatwork_base::Outcome;
use slatwork_base::formula::{Equation, NamedNumber, sum};
use slatwork_model::{Part, PartId};

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

    /// [`Moves::closes`] as equations; the last is that, under the sign c.
    pub(super) fn closing(&self, case: &Case, gap: Gap, closes: f64) -> Vec<Equation> {
        let wettest =
            NamedNumber::new("m2", "wettest moisture of the place", self.range.wettest, Unit::Percent);
        let left = NamedNumber::new("c", "how much nearer the two come", closes, Unit::Length);
        self.halved(case, gap, (left, 1.0), wettest)
    }

    /// [`Moves::opens`] as equations; the last is that, under the sign o.
    pub(super) fn opening(&self, case: &Case, gap: Gap, opens: f64) -> Vec<Equation> {
        let driest = NamedNumber::new("m2", "driest moisture of the place", self.range.driest, Unit::Percent);
        let left = NamedNumber::new("o", "how much farther apart the two come", opens, Unit::Length);
        self.halved(case, gap, (left, -1.0), driest)
    }

    fn halved(
        &self,
        case: &Case,
        gap: Gap,
        (left, way): (NamedNumber, f64),
        to: NamedNumber,
    ) -> Vec<Equation> {
        let from = NamedNumber::new("m1", "moisture at the bench", self.range.mean, Unit::Percent);
        let changed = |(id, board): (PartId, &str)| {
            let part = case.model.part(id);
            let (width, moistures) = (part.width.as_mm(), (from.value, to.value));
            let changes = changes(case, part, width, moistures).ok()?;
            let movement = movement(case, part).ok()?;
            Some(change_equation(&movement, Sawn::Flat, (width, [&from, &to]), (board, changes)))
        };
        let mut steps: Vec<Equation> = [(gap.a, "1"), (gap.b, "2")].into_iter().filter_map(changed).collect();
        let both = sum(steps.iter().map(Into::into)) / 2.0;
        steps.push(Equation::of(left, if way < 0.0 { way * both } else { both }));
        steps
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
    let movement = movement(case, part)?;
    let found = change(&movement, Sawn::Flat, (width, part.thickness.as_mm()), moistures);
    value_or_why(found).map(|change| change.width)
}

fn movement(case: &Case, part: &Part) -> Result<Movement, String> {
    let species = case.catalogue.species(&part.species).map_err(|fault| fault.message)?;
    Ok(Movement {
        radial: species.shrinkage.radial,
        tangential: species.shrinkage.tangential,
        fibre_saturation: species.fibre_saturation,
    })
}
