//! What the program can be told to do: one function each, in a file of its own.

use std::process::ExitCode;

use clap::{Parser, Subcommand};

mod assess;

/// The command line of the program.
#[derive(Parser, Debug)]
#[command(name = "fairweather", version, about, arg_required_else_help = true)]
pub struct CommandLine {
    /// What to do.
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand, Debug)]
enum Command {
    /// Judge one visit, or an array of visits, without a database or a server.
    Assess(assess::Options),
}

/// Runs one command to its end and says how it went.
#[must_use]
pub fn run(line: CommandLine) -> ExitCode {
    match line.command {
        Command::Assess(options) => assess::run(&options),
    }
}
