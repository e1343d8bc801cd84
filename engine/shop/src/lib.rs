//! Room shop.
