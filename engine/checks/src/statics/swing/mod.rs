//! A rigid seat hung by chains: how it hangs, whether it stays so, and what swinging asks of the chains.
//!
//! Axes: x along the seat's width to the right, y rearward, z up. The chains are inextensible, weightless and carry
//! tension only; a rod's sag and a chain's stretch are some millimetres and are left out.
//!
//! | file | what |
//! |---|---|
//! | `suspended.rs` | [`Suspended`]: seat, chains and masses, and what is wrong with them |
//! | `rest.rs` | [`settle`], [`resettle`]: the posture at rest, or how the seat turns over |
//! | `posture.rs` | [`Posture`]: place, tilt, tensions, hook forces, stability |
//! | `remarks.rs` | what to know about a posture that is one |
//! | `pose.rs`, `bonds.rs` | where the seat stands; chain lengths with their first and second derivatives |
//! | `descent.rs`, `balance.rs` | downhill from the level pose on stiff springs; then the exact equilibrium |
//! | `stability.rs` | freedoms that are left, and what brings the seat back |
//! | `linear.rs` | singular values of small matrices |
//! | `pendulum.rs` | [`Pendulum`]: forces, speeds and period of a swing in motion |
//! | `split.rs` | [`RingSwing`]: how front and rear chain share that force |

mod balance;
mod bonds;
mod descent;
mod linear;
mod pendulum;
mod pose;
mod posture;
mod remarks;
mod rest;
mod split;
mod stability;
mod suspended;

pub use pendulum::{Motion, Pendulum, Swinging};
pub(crate) use posture::from_vertical;
pub use posture::{ChainState, HookForce, Posture};
pub use rest::{Rest, Taut, TurnsOver, resettle, settle};
pub use split::{RingSwing, Split};
pub use suspended::{Chain, Mass, STANDARD_GRAVITY, Suspended};
