//! Documents that come in and go out: reading and printing, no files.

pub mod assess_file;
