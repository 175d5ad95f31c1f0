//! Some documents at a time, judged on all cores and printed in their order.

use std::io::Write;
use std::num::NonZero;
use std::ops::Range;
use std::thread;

use anyhow::{Context as _, anyhow};

use crate::engine::limits::LimitBook;
use crate::formats::assess_file::{Causes, Layout, answer_piece};

/// Documents of a batch, and bytes of their text: enough to keep the cores busy, little enough to
/// keep in memory with the answers, which are some five times as long.
pub(in crate::commands) const DOCUMENTS_MAX: usize = 256;
pub(in crate::commands) const BYTES_MAX: usize = 1024 * 1024;
/// Documents for which another core is worth the start of a thread.
pub(in crate::commands) const DOCUMENTS_A_CORE: usize = 16;

/// What is said when nothing can be written, as on a full disk.
const UNPRINTED: &str = "the answer could not be printed";

/// What is done with each document.
#[derive(Clone, Copy)]
pub(super) struct Task<'a> {
    pub(super) layout: Layout,
    pub(super) book: &'a LimitBook,
    pub(super) causes: Causes,
}

/// Documents that wait to be judged, and where their answers go.
pub(super) struct Batch<'a, W> {
    task: Task<'a>,
    out: W,
    cores: usize,
    text: String,
    pieces: Vec<Range<usize>>,
    /// Where each core writes its answers; kept, for memory is dear to ask for again.
    written: Vec<Vec<u8>>,
    is_begun: bool,
    are_complete: bool,
}

impl<'a, W: Write> Batch<'a, W> {
    pub(super) fn new(task: Task<'a>, out: W) -> Self {
        let cores = thread::available_parallelism().map_or(1, NonZero::get);
        Self {
            task,
            out,
            cores,
            text: String::new(),
            pieces: Vec::new(),
            written: vec![Vec::new(); cores],
            is_begun: false,
            are_complete: true,
        }
    }

    /// Takes one more document; a full batch is judged and printed.
    pub(super) fn push(&mut self, piece: &str) -> anyhow::Result<()> {
        let begin = self.text.len();
        self.text.push_str(piece);
        self.pieces.push(begin..self.text.len());
        if self.pieces.len() < DOCUMENTS_MAX && self.text.len() < BYTES_MAX {
            return Ok(());
        }
        self.print()
    }

    /// Judges and prints what is left, and says whether every document could be read.
    pub(super) fn end(mut self) -> anyhow::Result<bool> {
        self.print()?;
        put(&mut self.out, self.task.layout.closing().as_bytes())?;
        self.out.flush().context(UNPRINTED)?;
        Ok(self.are_complete)
    }

    fn print(&mut self) -> anyhow::Result<()> {
        if !self.is_begun {
            put(&mut self.out, self.task.layout.opening().as_bytes())?;
        }
        let (task, text) = (self.task, self.text.as_str());
        let share = self.pieces.len().div_ceil(self.cores).max(DOCUMENTS_A_CORE);
        let shares = self.pieces.chunks(share).zip(&mut self.written);
        let mut is_first = !self.is_begun;
        let jobs = shares.map(|(share, out)| {
            let opens = std::mem::replace(&mut is_first, false);
            move || task.answer(text, share, opens, out)
        });
        for complete in on_all_cores(jobs)? {
            self.are_complete &= complete?;
        }
        for out in &mut self.written {
            put(&mut self.out, out)?;
            out.clear();
        }
        self.is_begun |= !self.pieces.is_empty();
        self.pieces.clear();
        self.text.clear();
        Ok(())
    }
}

fn put(out: &mut impl Write, bytes: &[u8]) -> anyhow::Result<()> {
    out.write_all(bytes).context(UNPRINTED)
}

/// The results of some jobs in their order, the first of them done on this thread.
pub(in crate::commands) fn on_all_cores<T: Send>(
    mut jobs: impl Iterator<Item = impl FnOnce() -> T + Send>,
) -> anyhow::Result<Vec<T>> {
    let Some(first) = jobs.next() else { return Ok(Vec::new()) };
    thread::scope(|scope| {
        let others: Vec<_> = jobs.map(|job| scope.spawn(job)).collect();
        let mut results = vec![first()];
        for other in others {
            results.push(other.join().map_err(|_| anyhow!("a document could not be judged"))?);
        }
        Ok(results)
    })
}

impl Task<'_> {
    /// Writes the answers to some pieces, and says whether all of them could be read.
    fn answer(
        &self,
        text: &str,
        pieces: &[Range<usize>],
        opens: bool,
        out: &mut Vec<u8>,
    ) -> serde_json::Result<bool> {
        let mut are_complete = true;
        for (index, piece) in pieces.iter().enumerate() {
            let piece = text.get(piece.clone()).unwrap_or_default();
            let answer = answer_piece(piece, self.book, self.causes);
            are_complete &= answer.is_assessed();
            out.extend_from_slice(self.layout.before(opens && index == 0).as_bytes());
            self.layout.write(&answer, out)?;
        }
        Ok(are_complete)
    }
}
