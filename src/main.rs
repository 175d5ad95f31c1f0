//! Parses the command line and calls one command.

use std::process::ExitCode;

fn main() -> ExitCode {
    fairweather::commands::run()
}
