//! Tests of the pages, through the real router.

mod access;
mod cause_view;
mod causes;
mod closing;
mod customer;
mod entries;
mod judge_again;
mod limit_book;
mod log;
mod office;
mod price_list;
mod priors;
mod reading;
mod refrigerant_log;
mod repair;
mod review;
mod sign_in;
mod visit;
