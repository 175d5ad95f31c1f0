//! Tests of the store.

mod open;
mod schema;
