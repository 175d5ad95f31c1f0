//! Tests of the program from outside.

mod assess;
mod serve;
