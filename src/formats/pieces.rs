//! A text cut into its documents, step by step, so that nobody needs to hold the whole of it.

use serde::Deserialize as _;
use serde_json::value::RawValue;

use super::assess_file::Unreadable;

/// Whether a text is one document or an array of them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shape {
    /// One document.
    One,
    /// An array of documents.
    Many,
}

/// What a step over the text found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Step<'a> {
    /// A document, or what stands in the place of one: JSON, of whatever kind.
    Piece(&'a str),
    /// The text breaks off: more of it is needed to go on.
    More,
    /// The text ended as it should.
    End(Shape),
}

/// Where the next step begins.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Place {
    /// Before everything.
    Start,
    /// Behind the bracket that opens the array.
    First,
    /// Behind a piece of the array.
    Behind,
    /// Behind a comma.
    Next,
    /// Behind everything.
    Tail,
}

/// The way through one text.
#[derive(Debug)]
pub struct Pieces {
    place: Place,
    shape: Option<Shape>,
    may_follow: bool,
    holds_any: bool,
    holds_documents: bool,
    /// Lines behind us, and bytes of this line, for the place of an error.
    lines: usize,
    column: usize,
}

impl Default for Pieces {
    fn default() -> Self {
        Self {
            place: Place::Start,
            shape: None,
            may_follow: false,
            holds_any: false,
            holds_documents: false,
            lines: 0,
            column: 0,
        }
    }
}

impl Pieces {
    /// The way through a text in which one document may also follow another without an array
    /// around them, as in a file of a document a line.
    #[must_use]
    pub fn in_lines() -> Self {
        Self { may_follow: true, ..Self::default() }
    }

    /// The next step over `text`, which begins where the last one ended; `is_last` says that
    /// nothing comes after it. Gives the bytes that are done with, and what was found.
    ///
    /// # Errors
    /// As soon as the text can't be JSON, and at its end when it held no document.
    pub fn step<'a>(
        &mut self,
        text: &'a [u8],
        is_last: bool,
    ) -> Result<(usize, Step<'a>), Unreadable> {
        let mut done = 0;
        loop {
            let rest = text.get(done..).unwrap_or_default();
            let blank = rest.iter().take_while(|it| is_blank(**it)).count();
            let (blanks, rest) = rest.split_at_checked(blank).unwrap_or_default();
            self.pass(blanks);
            done += blank;
            let Some(first) = rest.first() else {
                let step = if is_last { self.end()? } else { Step::More };
                return Ok((done, step));
            };
            match (self.place, first) {
                (Place::Start, b'[') => {
                    self.shape = Some(Shape::Many);
                    self.place = Place::First;
                }
                (Place::Behind, b',') => self.place = Place::Next,
                (Place::First | Place::Behind, b']') => self.place = Place::Tail,
                (Place::Next, b']') => return Err(self.fault("trailing comma")),
                (Place::Behind, _) => return Err(self.fault("expected `,` or `]`")),
                (Place::Tail, _) if !self.may_follow || self.shape == Some(Shape::Many) => {
                    return Err(self.fault("trailing characters"));
                }
                (Place::Start | Place::First | Place::Next | Place::Tail, _) => {
                    let Some(piece) = self.piece(rest, is_last)? else {
                        return Ok((done, Step::More));
                    };
                    return Ok((done + piece.len(), Step::Piece(piece)));
                }
            }
            self.pass(b"[");
            done += 1;
        }
    }

    /// The piece that the text begins with, or nothing when it breaks off.
    fn piece<'a>(&mut self, text: &'a [u8], is_last: bool) -> Result<Option<&'a str>, Unreadable> {
        let mut reader = serde_json::Deserializer::from_slice(text);
        let piece = match <&RawValue>::deserialize(&mut reader) {
            Ok(piece) => piece.get(),
            // A number that breaks off is called no number rather than an early end.
            Err(error) if !is_last && (error.is_eof() || ends_in_number(text)) => return Ok(None),
            Err(error) => return Err(self.not_json(&error)),
        };
        // The same number may go on in what comes.
        if !is_last && piece.len() == text.len() && ends_in_number(text) {
            return Ok(None);
        }
        let is_document = piece.starts_with('{');
        if matches!(self.place, Place::Start | Place::Tail) {
            self.shape = self.shape.or(is_document.then_some(Shape::One));
            self.place = Place::Tail;
        } else {
            self.place = Place::Behind;
        }
        self.holds_any = true;
        self.holds_documents |= is_document;
        self.pass(piece.as_bytes());
        Ok(Some(piece))
    }

    fn end(&self) -> Result<Step<'static>, Unreadable> {
        match (self.place, self.shape) {
            (Place::Start, _) => Err(self.fault("EOF while parsing a value")),
            (Place::First | Place::Behind | Place::Next, _) => {
                Err(self.fault("EOF while parsing a list"))
            }
            // One stray piece among documents is answered in its place; nothing but such is no
            // array of documents at all.
            (Place::Tail, Some(shape)) if self.holds_documents || !self.holds_any => {
                Ok(Step::End(shape))
            }
            (Place::Tail, _) => Err(Unreadable::NoDocument),
        }
    }

    /// Counts lines and columns over text that is done with.
    fn pass(&mut self, text: &[u8]) {
        match memchr::memrchr(b'\n', text) {
            Some(last) => {
                self.lines += memchr::memchr_iter(b'\n', text).count();
                self.column = text.len() - last - 1;
            }
            None => self.column += text.len(),
        }
    }

    fn fault(&self, what: &str) -> Unreadable {
        let (line, column) = (self.lines + 1, self.column + 1);
        Unreadable::NotJson(format!("{what} at line {line} column {column}"))
    }

    /// The reader's own words, with the place counted from the beginning of the text.
    fn not_json(&self, error: &serde_json::Error) -> Unreadable {
        let words = error.to_string();
        let what = words.rsplit_once(" at line ").map_or(words.as_str(), |(what, _)| what);
        let what = match what {
            "invalid unicode code point" => "it is not UTF-8 text",
            other => other,
        };
        let line = self.lines + error.line();
        let before = if error.line() <= 1 { self.column } else { 0 };
        let column = before + error.column();
        Unreadable::NotJson(format!("{what} at line {line} column {column}"))
    }
}

fn ends_in_number(text: &[u8]) -> bool {
    text.last().is_some_and(|it| matches!(it, b'0'..=b'9' | b'-' | b'+' | b'.' | b'e' | b'E'))
}

/// What JSON takes for white space, which is less than others do.
fn is_blank(byte: u8) -> bool {
    matches!(byte, b' ' | b'\t' | b'\n' | b'\r')
}
