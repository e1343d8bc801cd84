//! The cheapest way to cut parts from stock, with a proof: the one-dimensional cutting-stock problem with several stock
//! lengths and prices, stock of limited number, kerf and trims. Whole numbers in, layouts out; no furniture, no clock.
//!
//! [`solve()`] answers with a plan, a bound that no plan can beat, and a certificate that [`check`] has gone over in whole
//! numbers, with none of the solver's code. [`tidy()`] then looks among plans of that cost for the fewest ways to cut and the
//! longest remainders.
//!
//! | file | what |
//! |---|---|
//! | `problem.rs`, `answer.rs` | what is asked, what is answered; faults of the input by name |
//! | `instance.rs` | sizes in the coarsest unit that loses nothing, stock that is not beaten |
//! | `solve.rs` | the way through: greedy, column generation, dives, enumeration |
//! | `greedy.rs` | quick plans |
//! | `generation.rs`, `simplex.rs` | the linear program over patterns, and how it is solved |
//! | `pricing.rs`, `knapsack.rs` | which patterns are worth more than they cost; the trait `Pricing` is the place for other kinds of pattern |
//! | `farley.rs`, `costs.rs` | the bound that is a proof, and what it is rounded up to |
//! | `diving.rs` | plans by rounding and mending |
//! | `tally.rs` | how many boards of each kind, before how they are cut |
//! | `interior.rs`, `enumeration.rs` | all patterns that a cheaper plan could use, and worths that leave few of them |
//! | `integer.rs`, `rows.rs`, `splitting.rs` | branch and bound over these, closed case by case in whole numbers |
//! | `remainders.rs` | why whole numbers of boards cannot come as near as broken ones |
//! | `checker.rs`, `checker/` | goes over every answer |
//! | `tidy.rs` | fewest ways to cut, longest remainders |
//! | `parted/` | lengths that give several parts: nests in a row |
//! | `ripping/` | boards ripped into strips |
//! | `pattern.rs`, `work.rs` | what one board is cut into; effort in steps |
//!
//! Binary64 numbers choose what to try, and carry whole numbers below 2^53 where loops must be quick; every bound is a sum
//! of whole numbers.

mod answer;
mod checker;
mod costs;
mod diving;
mod enumeration;
mod farley;
mod generation;
mod greedy;
mod instance;
mod integer;
mod interior;
mod knapsack;
pub mod parted;
mod pattern;
mod pricing;
mod problem;
mod remainders;
pub mod ripping;
mod rows;
mod simplex;
mod solve;
mod splitting;
mod tally;
mod tidy;
mod work;

pub use answer::{
    Answer, Case, Cases, Certificate, Cut, Duals, Lattice, Layout, Picked, Split, Step, Tallies,
};
pub use checker::{Flaw, check};
pub use problem::{Fault, LARGEST, MOST_KINDS, MOST_PARTS, Part, Problem, Stock};
pub use solve::{Limits, solve, solve_watched};
pub use tidy::{Shown, Tidied, tidy};
pub use work::Progress;
