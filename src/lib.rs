//! Fairweather: the yearly-maintenance program of a small air-conditioning contractor.
//!
//! The modules in reading order: pure ones first, then the store, the verbs, the doors.

pub mod actions;
pub mod chance;
pub mod clock;
pub mod commands;
pub mod domain;
pub mod engine;
pub mod secret;
pub mod store;
