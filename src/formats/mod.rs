//! Documents that come in and go out: reading and printing, no files.

pub mod assess_file;
pub mod pieces;

mod assess_text;
