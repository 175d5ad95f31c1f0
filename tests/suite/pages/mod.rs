//! Tests of the pages, through the real router.

mod access;
mod cause_view;
mod causes;
mod customer;
mod judge_again;
mod limit_book;
mod log;
mod office;
mod photo;
mod priors;
mod reading;
mod repair;
mod review;
mod sign_in;
mod visit;
