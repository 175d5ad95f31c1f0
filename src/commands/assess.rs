//! `assess FILE`: the engine alone, from a document to an assessment.

use std::process::ExitCode;

/// What `assess` is asked to judge and how to print it.
#[derive(clap::Args, Debug)]
pub struct Options {
    /// The file to read, or `-` for standard input.
    file: String,
}

/// Reads, judges and prints.
#[must_use]
pub fn run(options: &Options) -> ExitCode {
    let _ = &options.file;
    ExitCode::FAILURE
}
