//! Tests of the pages, through the real router.

mod sign_in;
mod visit;
