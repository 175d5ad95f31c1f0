//! Tests of the nouns.

mod agreement;
mod closing;
mod confirmed_cause;
mod for_customers;
mod form;
mod hazard;
mod last_visit;
mod limit_book;
mod nameplate;
mod photo;
mod price_list;
mod priors;
mod requirement;
mod sheet;
mod visit_document;
