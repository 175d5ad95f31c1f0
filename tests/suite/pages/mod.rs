//! Tests of the pages, through the real router.

mod access;
mod sign_in;
mod visit;
