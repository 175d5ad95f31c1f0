//! Forms: from the request to the typed text, and from the typed text to fields on a page.

use askama::Template;
use axum::extract::{FromRequest, Request};
use axum::http::header::CONTENT_TYPE;

use time::OffsetDateTime;
use uuid::Uuid;

use super::App;
use super::error::Error;
use crate::chance;
use crate::domain::form::Form;
use crate::domain::nameplate::{PlateField, PlateKind};

/// The largest form: a check sheet's block with long remarks fits in many times.
const FORM_BYTES_MAX: usize = 256 * 1024;

/// A form as it was sent.
#[derive(Debug)]
pub(super) struct Sent(pub(super) Form);

impl FromRequest<App> for Sent {
    type Rejection = Error;

    async fn from_request(request: Request, _app: &App) -> Result<Self, Error> {
        let is_form = request
            .headers()
            .get(CONTENT_TYPE)
            .and_then(|kind| kind.to_str().ok())
            .is_some_and(|kind| kind.starts_with("application/x-www-form-urlencoded"));
        let body = axum::body::to_bytes(request.into_body(), FORM_BYTES_MAX)
            .await
            .map_err(|_| Error::Unreadable)?;
        if body.is_empty() {
            return Ok(Self(Form::default()));
        }
        if !is_form {
            return Err(Error::Unreadable);
        }
        let pairs = form_urlencoded::parse(&body).into_owned();
        Ok(Self(Form::new(pairs)))
    }
}

/// How a field looks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Look {
    /// One line of some input type, with the keyboard that fits on a phone.
    Line { kind: &'static str, keyboard: &'static str, complete: &'static str },
    /// Several lines.
    Lines,
    /// One of several.
    Choice(Vec<(String, String)>),
    /// Any of several.
    Boxes(Vec<(String, String)>),
}

/// A field on a page, with its label, its typed text and what is wrong with it.
#[derive(Clone, Debug, Template)]
#[template(path = "parts/field.html")]
pub(super) struct Field {
    pub(super) name: String,
    pub(super) label: String,
    pub(super) unit: String,
    pub(super) hint: String,
    pub(super) typed: String,
    pub(super) fault: String,
    pub(super) required: bool,
    pub(super) look: Look,
}

impl Field {
    fn new(form: &Form, name: &str, label: &str, look: Look) -> Self {
        Self {
            name: name.to_owned(),
            label: label.to_owned(),
            unit: String::new(),
            hint: String::new(),
            typed: form.typed(name).to_owned(),
            fault: form.fault(name).unwrap_or_default().to_owned(),
            required: false,
            look,
        }
    }

    pub(super) fn line(form: &Form, name: &str, label: &str) -> Self {
        Self::new(form, name, label, line("text", "text", "off"))
    }

    pub(super) fn number(form: &Form, name: &str, label: &str, unit: &str) -> Self {
        let mut field = Self::new(form, name, label, line("text", "decimal", "off"));
        unit.clone_into(&mut field.unit);
        field
    }

    pub(super) fn email(form: &Form, name: &str, label: &str, complete: &'static str) -> Self {
        Self::new(form, name, label, line("email", "email", complete))
    }

    pub(super) fn phone(form: &Form, name: &str, label: &str) -> Self {
        Self::new(form, name, label, line("tel", "tel", "off"))
    }

    pub(super) fn day(form: &Form, name: &str, label: &str) -> Self {
        Self::new(form, name, label, line("date", "text", "off"))
    }

    pub(super) fn time(form: &Form, name: &str, label: &str) -> Self {
        Self::new(form, name, label, line("time", "text", "off"))
    }

    /// A password is never sent back.
    pub(super) fn password(form: &Form, name: &str, label: &str, complete: &'static str) -> Self {
        let mut field = Self::new(form, name, label, line("password", "text", complete));
        field.typed.clear();
        field
    }

    pub(super) fn lines(form: &Form, name: &str, label: &str) -> Self {
        Self::new(form, name, label, Look::Lines)
    }

    pub(super) fn choice(
        form: &Form,
        name: &str,
        label: &str,
        choices: Vec<(String, String)>,
    ) -> Self {
        Self::new(form, name, label, Look::Choice(choices))
    }

    pub(super) fn boxes(
        form: &Form,
        name: &str,
        label: &str,
        choices: Vec<(String, String)>,
    ) -> Self {
        Self::new(form, name, label, Look::Boxes(choices))
    }

    /// A field of a plate.
    pub(super) fn plate(form: &Form, field: &PlateField) -> Self {
        let mut view = match field.kind {
            PlateKind::Number { unit, .. } => Self::number(form, field.key, field.label, unit),
            PlateKind::Choice(choices) => {
                let mut all = vec![(String::new(), "Not known".to_owned())];
                all.extend(choices.iter().map(|it| (it.0.to_owned(), it.1.to_owned())));
                Self::choice(form, field.key, field.label, all)
            }
            PlateKind::Text | PlateKind::Charge => Self::line(form, field.key, field.label),
            PlateKind::AirflowTable | PlateKind::SuperheatChart => {
                Self::lines(form, field.key, field.label)
            }
        };
        field.hint.clone_into(&mut view.hint);
        view
    }

    /// The same field, that must say something.
    pub(super) fn needed(mut self) -> Self {
        self.required = true;
        self
    }

    /// The same field with a word of help.
    pub(super) fn with_hint(mut self, hint: &str) -> Self {
        hint.clone_into(&mut self.hint);
        self
    }

    fn is_ticked(&self, choice: &str) -> bool {
        self.typed.lines().any(|line| line == choice)
    }
}

fn line(kind: &'static str, keyboard: &'static str, complete: &'static str) -> Look {
    Look::Line { kind, keyboard, complete }
}

/// The hidden id of what a form makes: drawn when the form is first shown and sent with it, so that
/// a form sent twice makes one thing.
pub(super) fn new_id(form: &Form, now: OffsetDateTime) -> Uuid {
    form.typed("id").parse().unwrap_or_else(|_| chance::id(now))
}

/// Everything that is wrong, for the list on top of a form: the field's name and the sentence.
pub(super) fn faults(form: &Form) -> Vec<(String, String)> {
    form.faults().iter().map(|(name, sentence)| (name.clone(), sentence.clone())).collect()
}
