//! Tests of the script host as its users meet it.

mod catalogue;
mod common;
mod faults;
mod imports;
mod library;
mod measures;
mod parameters;
mod properties;
mod reference;
