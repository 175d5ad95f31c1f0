//! Tests of the verbs.

mod enter;
