//! Room output.
