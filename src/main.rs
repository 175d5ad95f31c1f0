//! Parses the command line and calls one command.

use std::process::ExitCode;

use clap::Parser;
use fairweather::commands::{self, CommandLine};

fn main() -> ExitCode {
    commands::run(CommandLine::parse())
}
