//! Tests of the nouns.

mod agreement;
mod form;
mod nameplate;
mod sheet;
mod visit_document;
