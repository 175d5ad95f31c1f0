//! Planning the year: what is due, and why. Pure.

pub mod due;
