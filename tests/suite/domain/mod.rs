//! Tests of the nouns.

mod agreement;
mod confirmed_cause;
mod for_customers;
mod form;
mod limit_book;
mod nameplate;
mod photo;
mod priors;
mod sheet;
mod visit_document;
