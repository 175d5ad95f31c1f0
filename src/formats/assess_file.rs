//! The assess document: one visit or an array of them in, one answer each out.

use std::fmt::Write as _;

use serde::Serialize;
use serde_json::Value;
use serde_json::value::RawValue;

use crate::engine;
use crate::engine::assessment::{Assessment, DoubtKind, Outcome, StageAssessment};
use crate::engine::case::{CaseError, read_case};
use crate::engine::limits::LimitBook;
use crate::engine::measures;

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
    // Pieces stay text at first, so that one with a number beyond all range fails alone.
    let whole: &RawValue = from_json(text)?;
    if whole.get().starts_with('{') {
        return Ok(Answers::One(Box::new(answer_one(whole, book, causes))));
    }
    if !whole.get().starts_with('[') {
        return Err(Unreadable::NoDocument);
    }
    let pieces: Vec<&RawValue> = from_json(whole.get())?;
    // One stray piece among documents is answered in its place; nothing but such is no array of
    // documents at all.
    if !pieces.is_empty() && !pieces.iter().any(|it| it.get().starts_with('{')) {
        return Err(Unreadable::NoDocument);
    }
    Ok(Answers::Many(pieces.into_iter().map(|it| answer_one(it, book, causes)).collect()))
}

fn from_json<'a, T: serde::Deserialize<'a>>(text: &'a str) -> Result<T, Unreadable> {
    serde_json::from_str(text).map_err(|it| Unreadable::NotJson(it.to_string()))
}

fn answer_one(piece: &RawValue, book: &LimitBook, causes: Causes) -> Answer {
    let value: Value = match serde_json::from_str(piece.get()) {
        Ok(value) => value,
        Err(error) => return beyond_range(piece.get(), &error),
    };
    match read_case(&value) {
        Ok(case) => {
            let mut assessment = engine::assess(&case, book);
            if causes == Causes::LeftOut {
                leave_out_causes(&mut assessment.as_found);
                leave_out_causes(&mut assessment.as_left);
            }
            Answer::Assessed(Box::new(assessment))
        }
        Err(error) => Answer::Refused {
            id: value.get("id").cloned().unwrap_or(Value::Null),
            error: Box::new(error),
        },
    }
}

fn leave_out_causes(stage: &mut StageAssessment) {
    if stage.is_empty() {
        return;
    }
    stage.causes.clear();
    stage.conditions.clear();
    stage.abstained = Some("causes were left out, as asked".to_owned());
}

/// The only text that is JSON and yet no value: a number too large for any quantity.
fn beyond_range(text: &str, error: &serde_json::Error) -> Answer {
    let before: String = text
        .lines()
        .take(error.line())
        .enumerate()
        .map(|(index, line)| {
            let is_last = index + 1 == error.line();
            line.chars().take(if is_last { error.column() } else { usize::MAX }).collect::<String>()
        })
        .collect::<Vec<_>>()
        .join("\n");
    let field = path_at_end(&before);
    let given = before.rsplit([':', ',', '[']).next().unwrap_or("").trim().to_owned();
    let accepted = "a finite number".to_owned();
    let message = format!("{field}: {given} is not finite; accepted: {accepted}");
    let error = CaseError { field, given: Box::new(Value::String(given)), accepted, message };
    Answer::Refused { id: Value::Null, error: Box::new(error) }
}

/// The path of the value that a piece of JSON breaks off in, such as `as_found.return_wb_f`.
fn path_at_end(text: &str) -> String {
    let mut names: Vec<String> = Vec::new();
    let mut word = String::new();
    let mut is_inside = false;
    let mut is_escaped = false;
    for letter in text.chars() {
        match letter {
            '"' if !is_escaped => {
                if !is_inside {
                    word.clear();
                }
                is_inside = !is_inside;
            }
            _ if is_inside => word.push(letter),
            '{' | '[' => names.push(String::new()),
            '}' | ']' => drop(names.pop()),
            ':' => {
                if let Some(name) = names.last_mut() {
                    name.clone_from(&word);
                }
            }
            _ => {}
        }
        is_escaped = letter == '\\' && !is_escaped;
    }
    names.retain(|it| !it.is_empty());
    names.join(".")
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
        self.all().iter().all(|it| matches!(it, Answer::Assessed(_)))
    }

    /// The answers as JSON: an object for a document, an array for an array.
    ///
    /// # Errors
    /// Never for what the engine makes, whose numbers are all finite.
    pub fn json(&self) -> Result<String, serde_json::Error> {
        match self {
            Self::One(answer) => serde_json::to_string_pretty(answer),
            Self::Many(answers) => serde_json::to_string_pretty(answers),
        }
    }

    /// The answers as text for a person.
    #[must_use]
    pub fn text(&self) -> String {
        self.all().iter().map(Answer::text).collect::<Vec<_>>().join("\n")
    }
}

impl Answer {
    fn text(&self) -> String {
        match self {
            Self::Assessed(assessment) => assessment_text(assessment),
            Self::Refused { id, error } => {
                format!("Visit {}: not read. {error}\n", id.as_str().unwrap_or("without id"))
            }
        }
    }
}

fn assessment_text(assessment: &Assessment) -> String {
    let mut text = String::new();
    line(&mut text, &format!("Visit {}", assessment.id));
    for (title, stage) in [("As found", &assessment.as_found), ("As left", &assessment.as_left)] {
        if !stage.is_empty() {
            line(&mut text, &format!("\n{title}"));
            stage_text(&mut text, stage);
        }
    }
    line(&mut text, &format!("\nEngine {}, limit book {}.", assessment.engine, assessment.rules));
    line(&mut text, "Advice to a qualified technician; the maker's instructions and the local");
    line(&mut text, "code come first. Search for leaks and check airflow before the charge.");
    text
}

fn stage_text(text: &mut String, stage: &StageAssessment) {
    for doubt in &stage.doubts {
        let kind = match doubt.kind {
            DoubtKind::Impossible => "impossible",
            DoubtKind::Suspicious => "suspicious",
        };
        line(text, &format!("  {kind:<14}{}", doubt.reason));
        if let Some(perhaps) = &doubt.perhaps {
            line(text, &format!("  {:<14}Perhaps {perhaps}.", ""));
        }
    }
    for verdict in &stage.verdicts {
        let mut told = verdict.reason.clone();
        if matches!(verdict.outcome, Outcome::NotTaken | Outcome::NotValid) {
            let label = measures::measure(&verdict.measure).map_or("", |it| it.label);
            told = format!("{label}: {told}");
        }
        line(text, &format!("  {:<14}{told}", outcome_words(verdict.outcome)));
    }
    if let Some(reason) = &stage.abstained {
        line(text, &format!("  {:<14}{reason}", "no causes"));
    }
}

fn line(text: &mut String, content: &str) {
    // Writing to a String can't fail.
    let _ = writeln!(text, "{content}");
}

/// The outcome in plain words.
#[must_use]
pub fn outcome_words(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Within => "within",
        Outcome::TooClose => "too close",
        Outcome::Outside => "OUTSIDE",
        Outcome::NotValid => "not valid",
        Outcome::NotTaken => "not taken",
    }
}
