//! The engine: readings and facts in, an assessment out. Pure.
