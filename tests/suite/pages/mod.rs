//! Tests of the pages, through the real router.

mod access;
mod cause_view;
mod customer;
mod judge_again;
mod limit_book;
mod log;
mod office;
mod reading;
mod review;
mod sign_in;
mod visit;
