//! Goes over a plan again: exact, in whole numbers, by no more than the problem and the placements.

use super::apart::{Laid, keep_apart};
use super::{NestPlan, NestProblem, Placement, Point, Polygon, Turn};
use std::fmt;

/// What is wrong with a plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PlanFault {
    /// A part that does not exist, or lies in a turn that it may not.
    WrongPart {
        /// Index of the board in the plan.
        board: usize,
    },
    /// A part reaches over an end or an edge of its board.
    OffBoard {
        /// Index of the board in the plan.
        board: usize,
        /// Index of the part.
        part: usize,
    },
    /// A part reaches into a zone.
    InZone {
        /// Index of the board in the plan.
        board: usize,
        /// Index of the part.
        part: usize,
    },
    /// Two parts are nearer than the clearance.
    TooNear {
        /// Index of the board in the plan.
        board: usize,
        /// Indices of the parts.
        parts: [usize; 2],
    },
    /// More or fewer of a part are placed or told unplaced than are wanted.
    Miscounted {
        /// Index of the part.
        part: usize,
    },
    /// More boards of a kind are used than there are, or one that does not exist.
    TooManyBoards {
        /// Index of the kind of board.
        board: usize,
    },
    /// The cost told, or a bound above it, is not what the boards come to.
    WrongCost,
}

impl fmt::Display for PlanFault {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            PlanFault::WrongPart { board } => {
                write!(f, "board {board} holds a part or turn that is not wanted")
            }
            PlanFault::OffBoard { board, part } => write!(f, "part {part} reaches over board {board}"),
            PlanFault::InZone { board, part } => {
                write!(f, "part {part} reaches into a zone of board {board}")
            }
            PlanFault::TooNear { board, parts: [a, b] } => {
                write!(f, "parts {a} and {b} are too near on board {board}")
            }
            PlanFault::Miscounted { part } => write!(f, "part {part} is miscounted"),
            PlanFault::TooManyBoards { board } => write!(f, "too many of board {board} are used"),
            PlanFault::WrongCost => f.write_str("the cost is not what the boards come to"),
        }
    }
}

/// The first fault of a plan.
pub fn verify(problem: &NestProblem, plan: &NestPlan) -> Result<(), PlanFault> {
    for (index, nested) in plan.boards.iter().enumerate() {
        let Some(board) = problem.boards.get(nested.board) else {
            return Err(PlanFault::TooManyBoards { board: nested.board });
        };
        let size = Point::new(board.length.as_nm(), problem.width.as_nm());
        let polygons = polygons(problem, &nested.placements).ok_or(PlanFault::WrongPart { board: index })?;
        let laid: Vec<(usize, Laid)> = nested
            .placements
            .iter()
            .zip(&polygons)
            .map(|(placed, polygon)| (placed.part, Laid { polygon, at: placed.at }))
            .collect();
        inside(index, &laid, size)?;
        clear_of_zones(problem, plan, index, &laid)?;
        clear_of_each_other(index, &laid, problem.clearance.as_nm())?;
    }
    counted(problem, plan)?;
    paid(problem, plan)
}

/// The outlines as they lie; `None` for one that may not.
fn polygons(problem: &NestProblem, placements: &[Placement]) -> Option<Vec<Polygon>> {
    let polygon = |placed: &Placement| {
        let part = problem.parts.get(placed.part)?;
        let allowed: &[Turn] = part.faces.turns();
        allowed.contains(&placed.turn).then(|| part.polygon.turned(placed.turn))
    };
    placements.iter().map(polygon).collect()
}

fn inside(board: usize, laid: &[(usize, Laid)], size: Point) -> Result<(), PlanFault> {
    let outside = |laid: &Laid| {
        let high = laid.at.plus(Point::new(laid.polygon.length(), laid.polygon.width()));
        laid.at.x < 0 || laid.at.y < 0 || high.x > size.x || high.y > size.y
    };
    match laid.iter().find(|(_, laid)| outside(laid)) {
        Some(&(part, _)) => Err(PlanFault::OffBoard { board, part }),
        None => Ok(()),
    }
}

fn clear_of_zones(
    problem: &NestProblem,
    plan: &NestPlan,
    board: usize,
    laid: &[(usize, Laid)],
) -> Result<(), PlanFault> {
    for zone in &problem.boards[plan.boards[board].board].zones {
        let size = zone.high.minus(zone.low);
        let Ok(polygon) = Polygon::rectangle(size.x, size.y) else { continue };
        let own = Laid { polygon: &polygon, at: zone.low };
        if let Some(&(part, _)) = laid.iter().find(|(_, other)| !keep_apart(own, *other, 0)) {
            return Err(PlanFault::InZone { board, part });
        }
    }
    Ok(())
}

fn clear_of_each_other(board: usize, laid: &[(usize, Laid)], clearance: i64) -> Result<(), PlanFault> {
    for (index, &(part, own)) in laid.iter().enumerate() {
        if let Some(&(other, _)) = laid[..index].iter().find(|(_, other)| !keep_apart(own, *other, clearance))
        {
            return Err(PlanFault::TooNear { board, parts: [other, part] });
        }
    }
    Ok(())
}

fn counted(problem: &NestProblem, plan: &NestPlan) -> Result<(), PlanFault> {
    let mut left = problem.counts();
    let placed = plan.boards.iter().flat_map(|nested| &nested.placements).map(|placed| placed.part);
    for part in placed.chain(plan.unplaced.iter().copied()) {
        match left.get_mut(part) {
            Some(count) if *count > 0 => *count -= 1,
            _ => return Err(PlanFault::Miscounted { part }),
        }
    }
    match left.iter().position(|&count| count > 0) {
        Some(part) => Err(PlanFault::Miscounted { part }),
        None => Ok(()),
    }
}

fn paid(problem: &NestProblem, plan: &NestPlan) -> Result<(), PlanFault> {
    for (board, own) in problem.boards.iter().enumerate() {
        let used = plan.boards.iter().filter(|nested| nested.board == board).count();
        if own.available.is_some_and(|available| used > available) {
            return Err(PlanFault::TooManyBoards { board });
        }
    }
    let cost: i64 = plan.boards.iter().map(|nested| problem.boards[nested.board].cost).sum();
    let bounds = [plan.cost_at_least, plan.cost_of_rows_at_least];
    let sound = cost == plan.cost && (!plan.unplaced.is_empty() || bounds.iter().all(|&bound| bound <= cost));
    if sound { Ok(()) } else { Err(PlanFault::WrongCost) }
}
