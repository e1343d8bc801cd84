//! Room cli.
