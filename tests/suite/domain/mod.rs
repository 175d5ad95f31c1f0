//! Tests of the nouns.

mod agreement;
mod confirmed_cause;
mod for_customers;
mod form;
mod hazard;
mod last_visit;
mod limit_book;
mod nameplate;
mod priors;
mod requirement;
mod sheet;
mod visit_document;
