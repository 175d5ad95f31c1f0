//! Tests of the documents that come in and go out.

mod assess_file;
mod pieces;
