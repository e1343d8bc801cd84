//! Room project.
