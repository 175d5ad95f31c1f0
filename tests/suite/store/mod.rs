//! Tests of the store.

mod open;
