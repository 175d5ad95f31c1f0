//! `assess FILE`: the engine alone, from a document to an assessment.

use std::io::{Read as _, Write as _};
use std::process::ExitCode;

use anyhow::Context as _;

use crate::engine::limits::LimitBook;
use crate::formats::assess_file::{self, Causes};

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
const SOME_REFUSED: u8 = 1;
/// Exit code where the text was no document at all.
const UNREADABLE: u8 = 2;

/// Reads, judges and prints.
pub(super) fn run(options: &Options) -> ExitCode {
    match judge(options) {
        Ok(code) => code,
        Err(error) => {
            eprintln!("fairweather: {error:#}");
            ExitCode::from(UNREADABLE)
        }
    }
}

fn judge(options: &Options) -> anyhow::Result<ExitCode> {
    let text = text_of(&options.file)?;
    let causes = if options.no_causes { Causes::LeftOut } else { Causes::Named };
    let answers = assess_file::answer(&text, &LimitBook::default(), causes)?;
    let output = if options.text { answers.text() } else { answers.json()? };
    writeln!(std::io::stdout().lock(), "{output}").context("the answer could not be printed")?;
    Ok(if answers.are_complete() { ExitCode::SUCCESS } else { ExitCode::from(SOME_REFUSED) })
}

fn text_of(file: &str) -> anyhow::Result<String> {
    let bytes = if file == "-" {
        let mut bytes = Vec::new();
        std::io::stdin().lock().read_to_end(&mut bytes).context("standard input")?;
        bytes
    } else {
        std::fs::read(file).with_context(|| format!("{file} could not be read"))?
    };
    String::from_utf8(bytes).context("this is not JSON: it is not UTF-8 text")
}
