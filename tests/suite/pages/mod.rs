//! Tests of the pages, through the real router.

mod access;
mod customer;
mod log;
mod office;
mod reading;
mod review;
mod sign_in;
mod visit;
