//! Tests of the verbs.

mod book;
mod enter;
