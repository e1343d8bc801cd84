//! The solvers for wood and fasteners against published figures, and against what must hold whatever the figures.
//!
//! The figures are those of the sources, in their customary units. "Transcription" means a cell of a table of NDS-2018 copied,
//! with its page, in an open structural test suite; "scan" an OCR scan of the page itself. Tolerances cover the source's own
//! rounding.

mod bad_input;
mod closed_form;
mod factors;
mod fasteners;
mod groups;
mod members;
mod moisture;
mod properties;
mod sample;
