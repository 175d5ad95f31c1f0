//! Tests of the verbs.

mod book;
mod change_limit;
mod enter;
mod judge_again;
