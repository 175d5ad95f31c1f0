//! Tests of the store.

mod migrate;
mod open;
mod schema;
