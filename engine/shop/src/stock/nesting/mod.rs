//! Curved parts on a narrow board: polygons of whole nanometres in, placements out. It knows no furniture.
//!
//! The grain follows the board, so a part lies as drawn, turned by 180 degrees, or flipped; never across. Parts follow one
//! another in a row, at the levels across the board where they spoon best, or lie two abreast as a stack. What a row takes is
//! the sum of no-fit distances; which rows go on which boards is a partition of the parts. Every plan is gone over again in
//! exact whole numbers before it is handed out.
//!
//! | file | what |
//! |---|---|
//! | `problem.rs` | [`NestProblem`]: parts, boards, zones, clearance |
//! | `polygon.rs` | [`Polygon`], [`Turn`]: outlines and how they may lie |
//! | `flatten.rs` | [`flattened`]: lines and arcs as a polygon that contains them |
//! | `silhouette.rs` | the no-fit relation: how far one body must begin after another |
//! | `block.rs` | what rows are made of: single parts, stacks of two |
//! | `counts.rs` | the ways of taking some of each part, numbered |
//! | `row.rs`, `arrange.rs` | the shortest row: proven for few parts, found for many |
//! | `shelf.rs`, `partition.rs`, `plan.rs` | [`nest`]: the rows of all ways, the cheapest boards for them |
//! | `bundle.rs` | [`Bundle`], [`shortest_row`]: a row as a single piece for a solver of lengths |
//! | `table.rs` | [`RowTable`]: what parts count for at least in whatever row they lie, and which rows are worth cutting |
//! | `bound.rs` | what no nest can beat |
//! | `apart.rs`, `verify.rs` | [`verify`]: a plan gone over again |
//! | `fault.rs` | [`NestFault`]: what cannot be nested |
//!
//! Sources: Bennell and Oliveira 2008, EJOR 184:397-415; Burke et al. 2007, EJOR 179:27-49 (both from memory).

mod apart;
mod arrange;
mod block;
mod bound;
mod bundle;
mod fault;
mod flatten;
mod partition;
mod plan;
mod polygon;
mod problem;
mod row;
mod shelf;
mod silhouette;
mod table;
#[cfg(test)]
mod tests;
mod verify;

pub use apart::MOST_CLEARANCE;
pub use block::Placement;
pub use bundle::{Bundle, shortest_row};
pub use fault::NestFault;
pub use flatten::{CurvedCorner, flattened};
pub use plan::{NestPlan, NestedBoard, nest};
pub use polygon::{Faces, MOST_CORNERS, MOST_EXTENT, Point, Polygon, Turn};
pub use problem::{MOST_COST, MOST_PARTS, NestBoard, NestPart, NestProblem, Zone};
pub use table::{MOST_IN_A_ROW, RowTable, Taken};
pub use verify::{PlanFault, verify};
