//! Measures, deterministic maths and diagnostics: the words every other room speaks.
//!
//! This room must not know furniture, wood, scripts or files.
//!
//! | file | what |
//! |---|---|
//! | `length.rs` | [`Length`]: exact whole nanometres and their arithmetic |
//! | `parse_length.rs` | lengths as a builder writes them: `3-1/2in`, `5' 2 1/2"`, `1520mm` |
//! | `tape.rs` | [`Tape`]: lengths printed as a tape reads them, with the rounding error |
//! | `area.rs` | [`Area`]: what two lengths multiply to |
//! | `angle.rs` | [`Angle`]: degrees and slope, and their parser |
//! | `formula.rs` | [`formula`]: formulas as data, worked out from their own numbers |
//! | `maths.rs` | sines, roots and powers with the same bits on every machine |
//! | `diagnostic.rs` | [`Diagnostic`], [`Outcome`]: troubles that travel beside a value |
//! | `suggest.rs` | "did you mean" |
//! | `words.rs` | words as sentences want them |

mod angle;
mod area;
mod diagnostic;
pub mod formula;
mod length;
pub mod maths;
mod parse_length;
mod suggest;
mod tape;
mod words;

pub use angle::{Angle, ParseAngleError};
pub use area::Area;
pub use diagnostic::{Diagnostic, Origin, Outcome, Place, Severity, worst_of_each_line};
pub use length::Length;
pub use parse_length::ParseLengthError;
pub use suggest::did_you_mean;
pub use tape::{OFF_SHOWN, OnTape, Tape, both_tapes, both_tapes_whole, words_to_wrap};
pub use words::sentence;
