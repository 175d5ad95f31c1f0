//! `assess FILE`: the engine alone, from documents to assessments.
//!
//! Two passes, so that a text which is no JSON is refused before anything is printed, however
//! long it is, and neither of them holds more than some documents at a time.

use std::io::{ErrorKind, IsTerminal as _};
use std::process::ExitCode;

use crate::engine::limits::LimitBook;
use crate::formats::assess_file::{Causes, Form, Layout};

pub(super) mod batch;
pub(super) mod input;
pub(super) mod progress;

use batch::{Batch, Task};
use progress::Progress;

/// What `assess` is asked to judge and how to print it.
#[derive(clap::Args, Debug)]
pub(super) struct Options {
    /// The file to read, or `-` for standard input.
    file: String,
    /// Print for a person instead of JSON.
    #[arg(long)]
    text: bool,
    /// Leave the causes out, for bulk work.
    #[arg(long)]
    no_causes: bool,
}

/// Exit code where some document could not be read.
pub(super) const SOME_REFUSED: u8 = 1;
/// Exit code where the text was no document at all.
pub(super) const UNREADABLE: u8 = 2;

/// Reads, judges and prints.
pub(super) fn run(options: &Options) -> ExitCode {
    match judge(options) {
        Ok(code) => code,
        // Whoever reads has seen enough, as `head` does; that is their business and no fault.
        Err(error) if is_closed_pipe(&error) => ExitCode::SUCCESS,
        Err(error) => {
            super::failed(&format!("{error:#}"));
            ExitCode::from(UNREADABLE)
        }
    }
}

fn judge(options: &Options) -> anyhow::Result<ExitCode> {
    let is_watched = std::io::stderr().is_terminal() && !std::io::stdout().is_terminal();
    let reading = Progress::new(is_watched, "reading", None);
    let mut input = input::Input::open(&options.file)?;
    let (shape, length) = input.check(&reading)?;
    reading.end();
    let form = if options.text { Form::Text } else { Form::Json };
    let causes = if options.no_causes { Causes::LeftOut } else { Causes::Named };
    let book = LimitBook::default();
    let task = Task { layout: Layout { form, shape }, book: &book, causes };
    let mut batch = Batch::new(task, std::io::stdout());
    let judging = Progress::new(is_watched, "judging", Some(length));
    input.read_again(&judging, &mut |piece| batch.push(piece))?;
    let are_complete = batch.end()?;
    judging.end();
    Ok(if are_complete { ExitCode::SUCCESS } else { ExitCode::from(SOME_REFUSED) })
}

pub(super) fn is_closed_pipe(error: &anyhow::Error) -> bool {
    let fault = error.downcast_ref::<std::io::Error>();
    fault.is_some_and(|it| it.kind() == ErrorKind::BrokenPipe)
}
