//! Tests of the nouns.

mod agreement;
mod for_customers;
mod form;
mod limit_book;
mod nameplate;
mod sheet;
mod visit_document;
