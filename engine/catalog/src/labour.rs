//! Operations of the shop, and how long one of each takes.

use crate::Source;
use slatwork_base::{Diagnostic, did_you_mean};

/// One kind of work, counted from features and joints.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Operation {
    /// Boards sorted and checked for defects.
    SortBoards,
    /// Rough stock flattened and planed.
    FlattenStock,
    /// A cut across the grain.
    Crosscut,
    /// A cut along the grain.
    Rip,
    /// A template made for a shape.
    MakeTemplate,
    /// A curved or tapered part sawn and faired.
    Shape,
    /// A notch, housing, lap, tenon or mortise.
    Notch,
    /// A hole drilled and countersunk.
    Drill,
    /// An edge rounded over.
    RoundOver,
    /// A joint or seam spread with glue and closed.
    GlueUp,
    /// A clamp set and taken off.
    Clamp,
    /// Surface sanded.
    Sand,
    /// End grain sealed.
    Seal,
    /// Surface finished.
    Finish,
    /// A part offered up and trimmed.
    FitPart,
    /// A part brought into its place and trued.
    Assemble,
    /// A screw driven.
    DriveScrew,
    /// A nail driven and set.
    DriveNail,
    /// A bolt, lag screw or eye set and tightened.
    SetBolt,
    /// A dowel or peg set.
    SetDowel,
    /// A plug glued in and pared flush.
    Plug,
    /// A chain hung and levelled.
    HangChain,
}

/// What is known of an operation beside how long it takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OperationRow {
    /// The operation.
    pub operation: Operation,
    /// Its name in data files, scripts and tables.
    pub name: &'static str,
    /// What one of it is.
    pub unit: &'static str,
    /// What it is, for a person.
    pub about: &'static str,
}

const fn row(
    operation: Operation,
    name: &'static str,
    unit: &'static str,
    about: &'static str,
) -> OperationRow {
    OperationRow { operation, name, unit, about }
}

/// Every operation, in the order of shop work.
#[rustfmt::skip]
pub const OPERATIONS: [OperationRow; 22] = [
    row(Operation::SortBoards, "sort_boards", "board", "sort boards, look for defects"),
    row(Operation::FlattenStock, "flatten_stock", "m2", "flatten and plane stock, both faces"),
    row(Operation::Crosscut, "crosscut", "cut", "crosscut to a stop"),
    row(Operation::Rip, "rip", "m", "rip to width or to a bevel"),
    row(Operation::MakeTemplate, "make_template", "template", "make a template, once for a batch"),
    row(Operation::Shape, "shape", "part", "saw a curved or tapered part and fair it"),
    row(Operation::Notch, "notch", "notch", "cut a notch, housing, lap, tenon or mortise"),
    row(Operation::Drill, "drill", "hole", "drill a hole, countersink and pilot beyond it included"),
    row(Operation::RoundOver, "round_over", "m", "round over an edge"),
    row(Operation::GlueUp, "glue_up", "joint", "spread glue on a joint or seam and close it"),
    row(Operation::Clamp, "clamp", "clamp", "set a clamp and take it off"),
    row(Operation::Sand, "sand", "m2", "sand surfaces"),
    row(Operation::Seal, "seal", "m2 of coat", "seal end grain"),
    row(Operation::Finish, "finish", "m2 of coat", "finish surfaces"),
    row(Operation::FitPart, "fit_part", "part", "offer a part up and trim it"),
    row(Operation::Assemble, "assemble", "part", "bring a part into its place and true it up"),
    row(Operation::DriveScrew, "drive_screw", "screw", "drive a screw"),
    row(Operation::DriveNail, "drive_nail", "nail", "drive a nail and set it"),
    row(Operation::SetBolt, "set_bolt", "bolt", "set and tighten a bolt, lag screw or eye"),
    row(Operation::SetDowel, "set_dowel", "dowel", "set a dowel or peg"),
    row(Operation::Plug, "plug", "plug", "glue a plug in and pare it flush"),
    row(Operation::HangChain, "hang_chain", "chain", "hang a chain and level it"),
];

impl Operation {
    /// What is known of it.
    pub fn row(self) -> &'static OperationRow {
        &OPERATIONS[self as usize]
    }

    /// The operation of that name.
    ///
    /// # Errors
    /// `unknown-operation`, with the nearest name or all.
    pub fn named(name: &str) -> Result<Operation, Diagnostic> {
        let found = OPERATIONS.iter().find(|row| row.name == name);
        found.map(|row| row.operation).ok_or_else(|| {
            let names = || OPERATIONS.iter().map(|row| row.name);
            let fault =
                Diagnostic::error("unknown-operation", format!("there is no operation `{name}` of the shop"));
            match did_you_mean(name, names()) {
                Some(near) => fault.help(format!("did you mean `{near}`?")),
                None => fault.help(format!("there are {}", names().collect::<Vec<_>>().join(", "))),
            }
        })
    }

    /// Whether it is done once for a batch, however many pieces there are.
    pub fn is_once(self) -> bool {
        self == Operation::MakeTemplate
    }
}

/// How long an operation takes.
#[derive(Clone, Debug, PartialEq)]
pub struct Labour {
    /// The operation.
    pub operation: Operation,
    /// Minutes for one, when a single piece is made.
    pub minutes: f64,
    /// Minutes for one in a batch of as many pieces as the terms' `rate_batch`; `None`: by the learning curve.
    pub batch_minutes: Option<f64>,
    /// Minutes to set up for it, once for a batch.
    pub setup_minutes: f64,
    /// Where the figures come from.
    pub source: Source,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_stands_in_the_order_of_the_operations() {
        for (index, row) in OPERATIONS.iter().enumerate() {
            assert_eq!(row.operation as usize, index, "{}", row.name);
            assert_eq!(Operation::named(row.name), Ok(row.operation));
        }
        assert_eq!(Operation::named("crosscuts").unwrap_err().help, ["did you mean `crosscut`?"]);
    }
}
