//! What the program can be told to do: one function each, in a file of its own.

use std::io::{IsTerminal as _, Write as _};
use std::process::ExitCode;

use clap::error::ContextKind;
use clap::{CommandFactory, Parser, Subcommand};
use tracing_subscriber::EnvFilter;

use crate::config::ServeOptions;

mod assess;
mod demo;
mod person;
mod score;
mod serve;

/// The command line of the program.
#[derive(Parser, Debug)]
#[command(name = "fairweather", version, about, arg_required_else_help = true)]
struct CommandLine {
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
    /// Hold the causes against documents that carry their truth.
    Score(score::Options),
    /// Add a person or reset a password, on the console.
    Person(person::Options),
}

/// Parses the command line, runs one command to its end and says how it went.
#[must_use]
pub fn run() -> ExitCode {
    let line = match CommandLine::try_parse() {
        Ok(line) => line,
        Err(fault) => return unreadable(&fault),
    };
    match line.command {
        Command::Serve(options) => {
            log_to_console();
            serve::run(&options)
        }
        Command::Assess(options) => assess::run(&options),
        Command::Score(options) => score::run(&options),
        Command::Person(options) => person::run(&options),
    }
}

/// Says what is wrong with the command line; of a bad setting also its variable, for it may have
/// come from there.
fn unreadable(fault: &clap::Error) -> ExitCode {
    let _ = fault.print();
    let setting = fault.get(ContextKind::InvalidArg).map(ToString::to_string).unwrap_or_default();
    let command = CommandLine::command();
    let settings = command.get_subcommands().flat_map(clap::Command::get_arguments);
    let variable = settings
        .filter(|it| it.get_long().is_some_and(|long| setting.starts_with(&format!("--{long} "))))
        .find_map(|it| it.get_env()?.to_str());
    if let Some(variable) = variable {
        let _ = writeln!(std::io::stderr(), "The variable of this setting is {variable}.");
    }
    ExitCode::from(u8::try_from(fault.exit_code()).unwrap_or(2))
}

/// Log lines go to standard error; `RUST_LOG` says how many.
fn log_to_console() {
    let filter = EnvFilter::try_from_default_env().unwrap_or_else(|_| EnvFilter::new("info"));
    tracing_subscriber::fmt()
        .with_env_filter(filter)
        .with_ansi(std::io::stderr().is_terminal())
        .with_writer(std::io::stderr)
        .init();
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
