//! How long a batch takes: labour by operation, and waiting, which is no labour.

use super::Asked;
use super::counts::counts;
use slatwork_base::{Area, maths};
use slatwork_catalog::{ConsumableKind, Labour, Operation, Pricing, Source, Terms};

/// One operation for all pieces of a batch.
#[derive(Clone, Debug, PartialEq)]
pub struct LabourLine {
    /// The operation.
    pub operation: Operation,
    /// How many of it for all pieces, in its own unit.
    pub count: f64,
    /// Minutes for one of it in a batch of this size.
    pub minutes_each: f64,
    /// Minutes to set up, once.
    pub setup_minutes: f64,
    /// Where the figures come from.
    pub source: Source,
}

impl LabourLine {
    /// Minutes for all pieces, setting up included.
    pub fn minutes(&self) -> f64 {
        self.setup_minutes + self.count * self.minutes_each
    }

    /// Minutes that are spent once, however many pieces there are: setting up, and making templates.
    pub fn once_minutes(&self) -> f64 {
        if self.operation.is_once() { self.minutes() } else { self.setup_minutes }
    }
}

/// Something that is waited for.
#[derive(Clone, Debug, PartialEq)]
pub struct WaitingLine {
    /// What dries.
    pub what: String,
    /// How often; a batch dries together.
    pub times: u32,
    /// Hours each time.
    pub hours_each: f64,
}

impl WaitingLine {
    /// Hours in all.
    pub fn hours(&self) -> f64 {
        f64::from(self.times) * self.hours_each
    }
}

/// What a batch of some size takes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BatchLine {
    /// Pieces in the batch.
    pub pieces: usize,
    /// Minutes for one piece by the rates of the operations, its share of setting up included.
    pub minutes_each: f64,
    /// Minutes for one piece when everything but what is done once falls by the learning curve.
    pub curve_minutes_each: f64,
}

/// The labour of a batch, and the operations that the catalogue has no time for.
pub(super) fn labour(asked: &Asked) -> (Vec<LabourLine>, Vec<String>) {
    let pricing = asked.catalogue.pricing();
    let (mut lines, mut untimed) = (Vec::new(), Vec::new());
    for (operation, count) in counts(asked) {
        match pricing.labour.get(&operation) {
            Some(labour) => lines.push(line(labour, count, asked.pieces, &pricing.terms)),
            None => untimed.push(format!("time to {}", operation.row().about)),
        }
    }
    (lines, untimed)
}

/// `count` is that of one piece.
fn line(labour: &Labour, count: f64, pieces: usize, terms: &Terms) -> LabourLine {
    let times = if labour.operation.is_once() { 1 } else { pieces };
    LabourLine {
        operation: labour.operation,
        count: count * times as f64,
        minutes_each: minutes_each(labour, times, terms),
        setup_minutes: labour.setup_minutes,
        source: labour.source.clone(),
    }
}

/// Minutes for one of an operation in a batch of so many pieces. With a rate for batches the curve goes through both rates and
/// is flat beyond that batch, for which there is no figure; without, it is the learning curve. A batch never takes less than one
/// piece.
fn minutes_each(labour: &Labour, pieces: usize, terms: &Terms) -> f64 {
    let pieces = pieces as f64;
    let each = match labour.batch_minutes {
        Some(batch) if labour.minutes > 0.0 => {
            let exponent = maths::ln(batch / labour.minutes) / maths::ln(terms.rate_batch);
            labour.minutes * maths::powf(pieces.min(terms.rate_batch), exponent)
        }
        Some(_) => 0.0,
        None => on_the_curve(labour.minutes, pieces, terms.learning.as_number()),
    };
    each.max(labour.minutes / pieces)
}

/// Wright's curve: what took `first` by itself takes first x n^(log2 r) each in a batch of n, so r times as much when the batch is
/// twice as large.
pub fn on_the_curve(first: f64, pieces: f64, rate: f64) -> f64 {
    first * maths::powf(pieces, maths::ln(rate) / maths::ln(2.0))
}

/// Finish and sealer dry after each coat; glue cures once before anything is loaded.
pub(super) fn waiting(asked: &Asked) -> Vec<WaitingLine> {
    let glued = asked.plan.bill.glue > Area::default();
    let kinds =
        [(ConsumableKind::Glue, glued), (ConsumableKind::Sealer, true), (ConsumableKind::Finish, true)];
    let dries = |(kind, used): (ConsumableKind, bool)| {
        let own = asked.catalogue.pricing().consumables.get(&kind).filter(|_| used)?;
        let times = if kind == ConsumableKind::Glue { 1 } else { own.coats };
        let line = WaitingLine { what: own.name.clone(), times, hours_each: own.dry_hours };
        Some(line).filter(|line| line.hours() > 0.0)
    };
    kinds.into_iter().filter_map(dries).collect()
}

/// Sizes of batches that are told beside that asked for.
const BATCHES: [usize; 4] = [1, 2, 5, 10];

pub(super) fn batches(lines: &[LabourLine], pieces: usize, pricing: &Pricing) -> Vec<BatchLine> {
    let once: f64 = lines.iter().map(LabourLine::once_minutes).sum();
    let learning = pricing.terms.learning.as_number();
    // Counts of one piece, and what one of each takes by itself.
    let repeated = || lines.iter().filter(|line| !line.operation.is_once());
    let labours = || {
        repeated().filter_map(|line| Some((line.count / pieces as f64, pricing.labour.get(&line.operation)?)))
    };
    let single: f64 = labours().map(|(count, labour)| count * labour.minutes).sum();
    let batch = |pieces: usize| {
        let by_rates: f64 =
            labours().map(|(count, labour)| count * minutes_each(labour, pieces, &pricing.terms)).sum();
        let shared = once / pieces as f64;
        BatchLine {
            pieces,
            minutes_each: shared + by_rates,
            curve_minutes_each: shared + on_the_curve(single, pieces as f64, learning),
        }
    };
    let mut sizes = BATCHES.to_vec();
    sizes.push(pieces);
    sizes.sort_unstable();
    sizes.dedup();
    sizes.into_iter().map(batch).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use slatwork_catalog::Catalogue;

    fn each(operation: Operation, pieces: usize) -> f64 {
        let pricing = Catalogue::shared().pricing();
        minutes_each(&pricing.labour[&operation], pieces, &pricing.terms)
    }

    /// Wright 1936: at 80 % the second costs 80, the fourth 64 of a hundred.
    #[test]
    fn the_learning_curve_falls_by_its_rate_with_each_doubling() {
        let at = |pieces| on_the_curve(100.0, pieces, 0.8);
        for (pieces, minutes) in [(1.0, 100.0), (2.0, 80.0), (4.0, 64.0), (8.0, 51.2)] {
            assert!((at(pieces) - minutes).abs() < 1e-9, "{pieces}");
        }
    }

    #[test]
    fn rates_of_a_single_piece_and_of_ten_are_those_of_the_table() {
        let table = [
            (Operation::Crosscut, 1.5, 0.5),
            (Operation::Rip, 1.0, 0.5),
            (Operation::Shape, 12.0, 5.0),
            (Operation::RoundOver, 0.7, 0.4),
            (Operation::Drill, 0.7, 0.3),
            (Operation::DriveScrew, 0.3, 0.2),
            (Operation::Plug, 1.5, 1.0),
            (Operation::Sand, 15.0, 10.0),
            (Operation::Finish, 8.0, 5.0),
        ];
        for (operation, single, batch) in table {
            assert!((each(operation, 1) - single).abs() < 1e-12, "{operation:?}");
            assert!((each(operation, 10) - batch).abs() < 1e-12, "{operation:?}");
            assert!((each(operation, 25) - batch).abs() < 1e-12, "flat beyond: {operation:?}");
        }
        // Without a rate for batches: 3 parts fitted at 8 min fall by the curve, 8 x 0.85 for two.
        assert!((each(Operation::FitPart, 2) - 6.8).abs() < 1e-12);
    }

    #[test]
    fn more_take_longer_in_all_and_never_longer_each() {
        for operation in slatwork_catalog::OPERATIONS.map(|row| row.operation) {
            for pieces in 1..60_usize {
                let (now, next) = (each(operation, pieces), each(operation, pieces + 1));
                assert!(next <= now + 1e-12, "{operation:?} {pieces}");
                assert!(next * (pieces + 1) as f64 >= now * pieces as f64 - 1e-9, "{operation:?} {pieces}");
            }
        }
    }
}
