//! `score FILE`: how often the causes are right, on documents that carry their truth.
//!
//! One pass, for nothing is printed before the end: of each document only its mark is kept until
//! it is counted.

use std::collections::BTreeSet;
use std::io::{IsTerminal as _, Write as _};
use std::num::NonZero;
use std::ops::Range;
use std::path::PathBuf;
use std::process::ExitCode;
use std::{fs, thread};

use anyhow::Context as _;
use serde::Serialize;
use serde_json::Value;

use super::assess::batch::{BYTES_MAX, DOCUMENTS_A_CORE, DOCUMENTS_MAX, on_all_cores};
use super::assess::input::Input;
use super::assess::progress::Progress;
use super::assess::{SOME_REFUSED, UNREADABLE, is_closed_pipe};
use crate::engine;
use crate::engine::case::read_case_text;
use crate::engine::limits::LimitBook;
use crate::scoring::figures::score_figure;
use crate::scoring::marking::{Mark, mark};
use crate::scoring::score::{Score, ScoreTally};
use crate::scoring::text::score_text;
use crate::scoring::truth::{read_truth, shortened};

/// What `score` is asked to score and how to print it.
#[derive(clap::Args, Debug)]
pub(super) struct Options {
    /// The file to read, or `-` for standard input: a document, an array of them, or a document a
    /// line.
    file: String,
    /// Print JSON instead of tables.
    #[arg(long)]
    json: bool,
    /// Draw the score into this file too.
    #[arg(long, value_name = "FILE")]
    svg: Option<PathBuf>,
}

/// What a truth may be.
const ACCEPTED: &str = "\"truth\" with the word of a cause such as low_charge, of two joined by a \
    plus sign, or an object with cause, severity, capacity_ratio, efficiency_ratio, conditions";

/// Reads, judges, scores and prints.
pub(super) fn run(options: &Options) -> ExitCode {
    match score(options) {
        Ok(code) => code,
        Err(error) if is_closed_pipe(&error) => ExitCode::SUCCESS,
        Err(error) => {
            super::failed(&format!("{error:#}"));
            ExitCode::from(UNREADABLE)
        }
    }
}

fn score(options: &Options) -> anyhow::Result<ExitCode> {
    let mut input = Input::open(&options.file)?;
    let is_watched = std::io::stderr().is_terminal();
    let progress = Progress::new(is_watched, "scoring", input.length());
    let book = LimitBook::default();
    let mut batch = Batch::new(&book);
    input.read_once(&progress, &mut |piece| batch.push(piece, &progress))?;
    batch.count(&progress)?;
    progress.end();
    let result = Scored {
        engine: engine::VERSION,
        rules: &book.version,
        documents: batch.documents,
        score: batch.tally.score(),
    };
    // Whoever stops reading the table still gets the drawing.
    let printed = print(&result, options.json);
    if let Some(path) = &options.svg {
        let named = || format!("{} could not be written", path.display());
        fs::write(path, score_figure(&result.score)).with_context(named)?;
    }
    printed?;
    let is_complete = result.documents.left_out() == 0;
    Ok(if is_complete { ExitCode::SUCCESS } else { ExitCode::from(SOME_REFUSED) })
}

/// What is printed.
#[derive(Serialize)]
struct Scored<'a> {
    engine: &'static str,
    rules: &'a str,
    documents: Documents,
    score: Score,
}

/// What became of the documents.
#[derive(Clone, Copy, Default, Serialize)]
struct Documents {
    scored: u32,
    without_truth: u32,
    unreadable_truth: u32,
    refused: u32,
}

impl Documents {
    const fn left_out(self) -> u32 {
        self.without_truth + self.unreadable_truth + self.refused
    }
}

fn print(result: &Scored, as_json: bool) -> anyhow::Result<()> {
    let mut out = std::io::stdout().lock();
    let written = if as_json {
        serde_json::to_string_pretty(result)? + "\n"
    } else {
        format!("{}{}", heading(result), score_text(&result.score))
    };
    out.write_all(written.as_bytes()).context("the score could not be printed")?;
    out.flush().context("the score could not be printed")
}

fn heading(it: &Scored) -> String {
    let Documents { scored, without_truth, unreadable_truth, refused } = it.documents;
    format!(
        "Documents scored: {scored}. Operating conditions: {}. Engine {}, limit book {}.\n\
        Left out: {without_truth} without a truth, {unreadable_truth} with one that can't be \
        read, {refused} refused.\n",
        it.score.conditions, it.engine, it.rules
    )
}

/// What came of one document.
enum Judged {
    Marked { mark: Box<Mark>, unused: Vec<String> },
    WithoutTruth { id: String },
    UnreadableTruth { id: String, why: String },
    Refused { id: Value, why: String },
}

/// Documents that wait to be judged, and what was counted of those before them.
struct Batch<'a> {
    book: &'a LimitBook,
    cores: usize,
    text: String,
    pieces: Vec<Range<usize>>,
    tally: ScoreTally,
    documents: Documents,
    seen: u64,
    unused: BTreeSet<String>,
}

impl<'a> Batch<'a> {
    fn new(book: &'a LimitBook) -> Self {
        Self {
            book,
            cores: thread::available_parallelism().map_or(1, NonZero::get),
            text: String::new(),
            pieces: Vec::new(),
            tally: ScoreTally::default(),
            documents: Documents::default(),
            seen: 0,
            unused: BTreeSet::new(),
        }
    }

    /// Takes one more document; a full batch is judged and counted.
    fn push(&mut self, piece: &str, progress: &Progress) -> anyhow::Result<()> {
        let begin = self.text.len();
        self.text.push_str(piece);
        self.pieces.push(begin..self.text.len());
        if self.pieces.len() < DOCUMENTS_MAX && self.text.len() < BYTES_MAX {
            return Ok(());
        }
        self.count(progress)
    }

    /// Judges on all cores and counts in order, so that the sums are the same on every machine.
    fn count(&mut self, progress: &Progress) -> anyhow::Result<()> {
        let (text, book) = (self.text.as_str(), self.book);
        let share = self.pieces.len().div_ceil(self.cores).max(DOCUMENTS_A_CORE);
        let jobs = self.pieces.chunks(share).map(|share| {
            move || {
                let pieces = share.iter().map(|it| text.get(it.clone()).unwrap_or_default());
                pieces.map(|it| judged(it, book)).collect::<Vec<_>>()
            }
        });
        for judged in on_all_cores(jobs)?.into_iter().flatten() {
            self.count_one(judged, progress);
        }
        self.pieces.clear();
        self.text.clear();
        Ok(())
    }

    fn count_one(&mut self, judged: Judged, progress: &Progress) {
        self.seen += 1;
        let number = self.seen;
        let say = |sentence: &str| {
            progress.aside(|| {
                super::failed(sentence);
            });
        };
        match judged {
            Judged::Marked { mark, unused } => {
                self.documents.scored += 1;
                self.tally.add(&mark);
                for field in unused {
                    if !self.unused.contains(&field) {
                        say(&format!("the score makes no use of the truth's field {field}"));
                        self.unused.insert(field);
                    }
                }
            }
            Judged::WithoutTruth { id } => {
                self.documents.without_truth += 1;
                let what = "carries no truth and is left out";
                say(&format!("document {number} ({id}) {what}; accepted: {ACCEPTED}"));
            }
            Judged::UnreadableTruth { id, why } => {
                self.documents.unreadable_truth += 1;
                say(&format!("document {number} ({id}) is left out: {why}"));
            }
            Judged::Refused { id, why } => {
                self.documents.refused += 1;
                let id = shortened(&id.to_string());
                say(&format!("document {number} ({id}) could not be read: {why}"));
            }
        }
    }
}

fn judged(piece: &str, book: &LimitBook) -> Judged {
    let mut case = match read_case_text(piece) {
        Ok(case) => case,
        Err(refused) => {
            return Judged::Refused { id: refused.id, why: refused.error.to_string() };
        }
    };
    let id = shortened(&Value::String(case.id.clone()).to_string());
    // Taken away, so that nothing could look at it.
    let Some(truth) = case.truth.take() else { return Judged::WithoutTruth { id } };
    let mut truth = match read_truth(&truth) {
        Ok(truth) => truth,
        Err(fault) => return Judged::UnreadableTruth { id, why: fault.to_string() },
    };
    // The truth is about what was found; what was left is not scored and need not be judged.
    case.as_left.clear();
    let assessment = engine::assess(&case, book);
    let unused = std::mem::take(&mut truth.unused);
    Judged::Marked { mark: Box::new(mark(&case, &truth, &assessment.as_found)), unused }
}
