//! What the program can be told to do: one function each, in a file of its own.

use std::io::Write as _;
use std::process::ExitCode;

use clap::{Parser, Subcommand};
use tracing_subscriber::EnvFilter;

use crate::config::ServeOptions;

mod assess;
mod demo;
mod person;
mod serve;

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
    /// Serve the pages. Every setting is a flag and a variable.
    Serve(ServeOptions),
    /// Judge one visit, or an array of visits, without a database or a server.
    Assess(assess::Options),
    /// Add a person or reset a password, on the console.
    Person(person::Options),
}

/// Runs one command to its end and says how it went.
#[must_use]
pub fn run(line: CommandLine) -> ExitCode {
    match line.command {
        Command::Serve(options) => {
            log_to_console();
            serve::run(&options)
        }
        Command::Assess(options) => assess::run(&options),
        Command::Person(options) => person::run(&options),
    }
}

/// Log lines go to standard error; RUST_LOG says how many.
fn log_to_console() {
    let filter = EnvFilter::try_from_default_env().unwrap_or_else(|_| EnvFilter::new("info"));
    tracing_subscriber::fmt().with_env_filter(filter).with_writer(std::io::stderr).init();
}

fn runtime() -> std::io::Result<tokio::runtime::Runtime> {
    tokio::runtime::Builder::new_multi_thread().enable_all().build()
}

/// A line for the person at the console. A closed pipe is no reason to stop serving.
fn say(sentence: &str) {
    let _ = writeln!(std::io::stdout(), "{sentence}");
}

/// Says what went wrong on standard error.
fn failed(sentence: &str) -> ExitCode {
    let _ = writeln!(std::io::stderr(), "fairweather: {sentence}");
    ExitCode::FAILURE
}
