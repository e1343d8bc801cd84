//! The cheapest way to cut parts from stock, with a proof: the one-dimensional cutting-stock problem with several stock
//! lengths and prices, stock of limited number, kerf and trims.

mod answer;
mod checker;
mod diving;
mod enumeration;
mod farley;
mod generation;
mod greedy;
mod instance;
mod integer;
mod interior;
mod knapsack;
mod pattern;
mod pricing;
mod problem;
pub mod ripping;
mod rows;
mod simplex;
mod solve;
mod splitting;
mod tidy;
mod work;

pub use answer::{Answer, Case, Cases, Certificate, Cut, Duals, Layout, Picked, RoundedSum, Split, Step};
pub use checker::{Flaw, check};
pub use problem::{Fault, LARGEST, MOST_PARTS, Part, Problem, Stock};
pub use solve::{Limits, solve, solve_watched};
pub use tidy::{Shown, Tidied, tidy};
pub use work::Progress;
