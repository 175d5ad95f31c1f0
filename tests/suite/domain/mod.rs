//! Tests of the nouns.

mod agreement;
mod closing;
mod confirmed_cause;
mod for_customers;
mod form;
mod limit_book;
mod nameplate;
mod price_list;
mod priors;
mod sheet;
mod visit_document;
