//! Room script.
