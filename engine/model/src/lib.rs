//! Room model.
