//! Room catalog.
