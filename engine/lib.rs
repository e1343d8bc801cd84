//! slatwork
