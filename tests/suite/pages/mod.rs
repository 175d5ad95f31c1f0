//! Tests of the pages, through the real router.

mod access;
mod office;
mod sign_in;
mod visit;
