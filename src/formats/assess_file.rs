//! The assess document: one visit or an array of them in, one answer each out.

use serde::Serialize;
use serde_json::Value;

use super::assess_text::assessment_text;
use super::pieces::{Pieces, Shape, Step};
use crate::engine;
use crate::engine::assessment::Assessment;
use crate::engine::case::{CaseError, read_case_text};
use crate::engine::causes::Depth;
use crate::engine::limits::LimitBook;

/// Whether causes are wanted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Causes {
    /// Work them out.
    Named,
    /// Leave them out, for bulk work.
    LeftOut,
}

/// What the text held.
#[derive(Debug)]
pub enum Answers {
    /// One document.
    One(Box<Answer>),
    /// An array of documents, each answered in its place.
    Many(Vec<Answer>),
}

/// How answers are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// For programs.
    Json,
    /// For a person.
    Text,
}

/// How the answers to one text are laid out: an array has one answer a line, so that a program
/// can read it line by line; one document's answer is set for eyes.
#[derive(Clone, Copy, Debug)]
pub struct Layout {
    /// How answers are written.
    pub form: Form,
    /// Whether there may be many.
    pub shape: Shape,
}

/// What came of one document.
#[derive(Debug, Serialize)]
#[serde(untagged)]
pub enum Answer {
    /// It was judged.
    Assessed(Box<Assessment>),
    /// It could not be read.
    Refused {
        /// The id of the document, as far as it had one.
        id: Value,
        /// Why.
        error: Box<CaseError>,
    },
}

/// The text is no document at all.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Unreadable {
    /// It is not JSON.
    #[error("this is not JSON: {0}")]
    NotJson(String),
    /// It is JSON, but neither an object nor an array of objects.
    #[error("this is JSON, but not a visit's document or an array of them")]
    NoDocument,
}

/// Judges each document of a text.
///
/// # Errors
/// When the text is not JSON, or neither a document nor an array of documents.
pub fn answer(text: &str, book: &LimitBook, causes: Causes) -> Result<Answers, Unreadable> {
    let mut pieces = Pieces::default();
    let mut rest = text.as_bytes();
    let mut answers = Vec::new();
    let shape = loop {
        let (done, step) = pieces.step(rest, true)?;
        match step {
            Step::Piece(piece) => answers.push(answer_piece(piece, book, causes)),
            Step::End(shape) => break shape,
            // The whole text is there, so that this doesn't come.
            Step::More => {}
        }
        rest = rest.get(done..).unwrap_or_default();
    };
    Ok(match (shape, answers.pop()) {
        (Shape::One, Some(only)) => Answers::One(Box::new(only)),
        (_, last) => {
            answers.extend(last);
            Answers::Many(answers)
        }
    })
}

/// Judges one document, or says why not.
#[must_use]
pub fn answer_piece(piece: &str, book: &LimitBook, causes: Causes) -> Answer {
    match read_case_text(piece) {
        Ok(case) => {
            let depth = match causes {
                Causes::Named => Depth::Pairs,
                Causes::LeftOut => Depth::Measures,
            };
            Answer::Assessed(Box::new(engine::assess_to(&case, book, depth)))
        }
        Err(refused) => Answer::Refused { id: refused.id, error: Box::new(refused.error) },
    }
}

impl Answers {
    /// The answers in order.
    #[must_use]
    pub fn all(&self) -> &[Answer] {
        match self {
            Self::One(answer) => std::slice::from_ref(answer),
            Self::Many(answers) => answers,
        }
    }

    /// Whether every document could be read.
    #[must_use]
    pub fn are_complete(&self) -> bool {
        self.all().iter().all(Answer::is_assessed)
    }

    /// The answers as JSON: an object for a document, an array for an array.
    ///
    /// # Errors
    /// Never for what the engine makes, whose numbers are all finite.
    pub fn json(&self) -> Result<String, serde_json::Error> {
        self.written(Form::Json)
    }

    /// The answers as text for a person.
    #[must_use]
    pub fn text(&self) -> String {
        // Only JSON can fail, and not even that does.
        self.written(Form::Text).unwrap_or_default()
    }

    fn written(&self, form: Form) -> Result<String, serde_json::Error> {
        let shape = match self {
            Self::One(_) => Shape::One,
            Self::Many(_) => Shape::Many,
        };
        let layout = Layout { form, shape };
        let mut out = layout.opening().as_bytes().to_vec();
        for (index, answer) in self.all().iter().enumerate() {
            out.extend_from_slice(layout.before(index == 0).as_bytes());
            layout.write(answer, &mut out)?;
        }
        out.extend_from_slice(layout.closing().as_bytes());
        Ok(String::from_utf8_lossy(&out).into_owned())
    }
}

impl Layout {
    /// What stands before all answers.
    #[must_use]
    pub const fn opening(self) -> &'static str {
        match (self.form, self.shape) {
            (Form::Json, Shape::Many) => "[",
            _ => "",
        }
    }

    /// What stands before one answer.
    #[must_use]
    pub const fn before(self, is_first: bool) -> &'static str {
        match (self.form, self.shape) {
            (Form::Json, Shape::Many) if is_first => "\n",
            (Form::Json, Shape::Many) => ",\n",
            _ if is_first => "",
            _ => "\n",
        }
    }

    /// What stands behind all answers.
    #[must_use]
    pub const fn closing(self) -> &'static str {
        match (self.form, self.shape) {
            (Form::Json, Shape::Many) => "\n]\n",
            _ => "\n",
        }
    }

    /// Writes one answer.
    ///
    /// # Errors
    /// Never for what the engine makes, whose numbers are all finite.
    pub fn write(self, answer: &Answer, out: &mut Vec<u8>) -> Result<(), serde_json::Error> {
        match (self.form, self.shape) {
            (Form::Json, Shape::One) => serde_json::to_writer_pretty(out, answer),
            (Form::Json, Shape::Many) => serde_json::to_writer(out, answer),
            (Form::Text, _) => {
                out.extend_from_slice(answer.text().as_bytes());
                Ok(())
            }
        }
    }
}

impl Answer {
    /// Whether the document could be read.
    #[must_use]
    pub fn is_assessed(&self) -> bool {
        matches!(self, Self::Assessed(_))
    }

    fn text(&self) -> String {
        match self {
            Self::Assessed(assessment) => assessment_text(assessment),
            Self::Refused { id, error } => {
                format!("Visit {}: not read. {error}\n", id.as_str().unwrap_or("without id"))
            }
        }
    }
}
