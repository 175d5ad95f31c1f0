//! Tests of the verbs.

mod book;
mod change_limit;
mod confirm_cause;
mod document;
mod enter;
mod judge_again;
mod photos;
mod priors;
