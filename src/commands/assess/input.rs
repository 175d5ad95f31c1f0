//! The input, read twice: a file where it lies, anything else by way of a nameless file.

use std::fs::File;
use std::io::{Read, Seek, Write};

use anyhow::Context as _;
use tempfile::SpooledTempFile;

use super::progress::Progress;
use crate::formats::pieces::{Pieces, Shape, Step};

/// Bytes read at a time.
const CHUNK: usize = 256 * 1024;
/// Bytes of a stream that are kept in memory before a file is made for them.
const KEPT_MAX: usize = 1024 * 1024;

/// What is read.
pub(in crate::commands) enum Input {
    /// A file that can be read from its beginning again.
    File(File),
    /// A stream, with what was read of it so far.
    Stream { from: Box<dyn Read>, kept: SpooledTempFile },
}

impl Input {
    /// The input of this name, `-` for standard input.
    pub(in crate::commands) fn open(file: &str) -> anyhow::Result<Self> {
        if file == "-" {
            return Ok(Self::stream(Box::new(std::io::stdin().lock())));
        }
        let opened = File::open(file).with_context(|| format!("{file} could not be read"))?;
        // A pipe with a name can't be read twice either.
        let is_file = opened.metadata().is_ok_and(|it| it.is_file());
        Ok(if is_file { Self::File(opened) } else { Self::stream(Box::new(opened)) })
    }

    fn stream(from: Box<dyn Read>) -> Self {
        Self::Stream { from, kept: SpooledTempFile::new(KEPT_MAX) }
    }

    /// Reads all of it and keeps what could not be read again: the shape and length of the text,
    /// or why it is none.
    pub(super) fn check(&mut self, progress: &Progress) -> anyhow::Result<(Shape, u64)> {
        let ignore = &mut |_: &str| Ok(());
        match self {
            Self::File(file) => {
                let shape = pass(Pieces::default(), file, progress, ignore, &mut |_| Ok(()))?;
                Ok((shape, file.stream_position()?))
            }
            Self::Stream { from, kept } => {
                let keep = &mut |bytes: &[u8]| {
                    kept.write_all(bytes).context("the input could not be kept for a second look")
                };
                let shape = pass(Pieces::default(), from, progress, ignore, keep)?;
                Ok((shape, kept.stream_position()?))
            }
        }
    }

    /// Reads the same again, and hands on each piece.
    pub(super) fn read_again(
        &mut self,
        progress: &Progress,
        on_piece: &mut dyn FnMut(&str) -> anyhow::Result<()>,
    ) -> anyhow::Result<Shape> {
        match self {
            Self::File(file) => {
                file.rewind()?;
                pass(Pieces::default(), file, progress, on_piece, &mut |_| Ok(()))
            }
            Self::Stream { kept, .. } => {
                kept.rewind()?;
                pass(Pieces::default(), kept, progress, on_piece, &mut |_| Ok(()))
            }
        }
    }

    /// How many bytes there are to read, where that is known beforehand.
    pub(in crate::commands) fn length(&self) -> Option<u64> {
        match self {
            Self::File(file) => file.metadata().ok().map(|it| it.len()),
            Self::Stream { .. } => None,
        }
    }

    /// Reads all of it once, documents a line included, and hands on each piece: for what prints
    /// nothing before the end.
    pub(in crate::commands) fn read_once(
        &mut self,
        progress: &Progress,
        on_piece: &mut dyn FnMut(&str) -> anyhow::Result<()>,
    ) -> anyhow::Result<()> {
        let from: &mut dyn Read = match self {
            Self::File(file) => file,
            Self::Stream { from, .. } => from,
        };
        pass(Pieces::in_lines(), from, progress, on_piece, &mut |_| Ok(())).map(|_| ())
    }
}

/// One pass: memory for the longest piece and a chunk, no more.
fn pass(
    mut pieces: Pieces,
    from: &mut dyn Read,
    progress: &Progress,
    on_piece: &mut dyn FnMut(&str) -> anyhow::Result<()>,
    on_read: &mut dyn FnMut(&[u8]) -> anyhow::Result<()>,
) -> anyhow::Result<Shape> {
    let mut text: Vec<u8> = Vec::new();
    let mut begin = 0;
    let mut is_last = false;
    loop {
        let (done, step) = pieces.step(text.get(begin..).unwrap_or_default(), is_last)?;
        begin += done;
        match step {
            Step::Piece(piece) => on_piece(piece)?,
            Step::End(shape) => return Ok(shape),
            Step::More => {
                text.drain(..begin);
                begin = 0;
                // A piece that is still open is looked at again from its beginning: twice as much
                // each time, so that a long one is not looked at for ever.
                let before = text.len();
                let wanted = u64::try_from(before.max(CHUNK))?;
                from.take(wanted).read_to_end(&mut text).context("the input could not be read")?;
                let new = text.get(before..).unwrap_or_default();
                is_last = new.is_empty();
                on_read(new)?;
                progress.advance(new.len());
            }
        }
    }
}
