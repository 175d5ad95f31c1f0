//! Tests of the pages, through the real router.

mod access;
mod cause_view;
mod causes;
mod closing;
mod customer;
mod entries;
mod first_load;
mod hazard;
mod judge_again;
mod limit_book;
mod log;
mod office;
mod photo;
mod price_list;
mod priors;
mod reading;
mod refrigerant_log;
mod repair;
mod requirement;
mod review;
mod review_sheet;
mod sign_in;
mod visit;
