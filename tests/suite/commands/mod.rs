//! Tests of the program from outside.

mod assess;
mod score;
pub mod serve;
