//! The limits sheet: what stands on it, and that its script says what the engine says.

mod agreement;
mod cases;
mod pressures;
mod script;
mod structure;
mod words;
