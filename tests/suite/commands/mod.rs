//! Tests of the program from outside.

mod assess;
mod score;
mod serve;
