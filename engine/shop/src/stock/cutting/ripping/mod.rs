//! Narrow parts from wide boards, with a proof: a board is crosscut into sections in a row; a section is one row of parts as
//! wide as the board, or is ripped into strips, each of which is crosscut into parts of exactly its width. The price decides
//! between narrow boards and ripping wide ones, between ripping first (one section) and crosscutting first (several).
//!
//! The linear program, the dives and the search in whole numbers are those of parts in a row; what a board can hold is new:
//!
//! | file | what |
//! |---|---|
//! | `problem.rs` | what is asked, and what is refused |
//! | `yard.rs` | the same in units: boards by width, strips by width |
//! | `front.rs` | fillings of which none beats another |
//! | `abreast.rs` | strips side by side |
//! | `pricing.rs` | the boards worth most, and what none passes |
//! | `fill.rs` | a board that holds no more of a part than is wanted |
//! | `arrange.rs` | whether parts can be had from one board |
//! | `first_fit.rs` | the quick plan |
//! | `enumeration.rs` | all that a board of a cheaper plan could hold |
//! | `solve.rs` | from problem to plan with bound |
//! | `tidied.rs` | the same parts with a longer remainder and fewer strips |
//! | `answer.rs` | the plan, its bound, what shows it |
//! | `checker.rs` | goes over every answer again, by its own means |

mod abreast;
mod answer;
mod arrange;
mod checker;
mod enumeration;
mod fill;
mod first_fit;
mod front;
mod pricing;
mod problem;
mod solve;
#[cfg(test)]
mod tests;
mod tidied;
mod yard;

pub use super::solve::Limits;
pub use answer::{Answer, Certificate, Cut, Layout, Section, Strip, Tallies, Worths};
pub use checker::{Flaw, check};
pub use problem::{Board, Fault, Part, Problem, Way};
pub use solve::{LIMITS, solve, solve_watched};
