//! The one sentence of a verdict, as a technician would say it.

use super::assessment::{Outcome, Side};
use super::fixed;
use super::measures::MeasureInfo;
use super::needs::Missing;
use super::rules::Shown;

/// More decimals than the measure's own that may be spent to tell a value from its limit.
const MORE_DECIMALS_MAX: usize = 3;
/// Room for a sentence, so that it grows in one piece.
const SENTENCE_CHARS_MAX: usize = 160;

/// What the sentence speaks of, in the unit of the measure.
pub(super) struct Told {
    pub(super) measure: &'static str,
    pub(super) info: Option<&'static MeasureInfo>,
    pub(super) outcome: Outcome,
    pub(super) side: Option<Side>,
    pub(super) value: f64,
    pub(super) u: f64,
    pub(super) low: Option<f64>,
    pub(super) high: Option<f64>,
    pub(super) target: Option<f64>,
    pub(super) shown: Option<Shown>,
    /// Whether even the middle of the band would be too close to call.
    pub(super) is_too_coarse: bool,
}

/// How numbers of one measure are written for people.
#[derive(Clone, Copy)]
struct Writing {
    factor: f64,
    offset: f64,
    unit: &'static str,
    decimals: usize,
}

impl Writing {
    fn of(told: &Told) -> Self {
        Self::by(told.shown, told.info)
    }

    fn by(shown: Option<Shown>, info: Option<&'static MeasureInfo>) -> Self {
        match (shown, info) {
            (Some(it), _) => {
                Self { factor: it.factor, offset: it.offset, unit: it.unit, decimals: it.decimals }
            }
            (None, Some(it)) => {
                Self { factor: 1.0, offset: 0.0, unit: it.unit, decimals: it.decimals }
            }
            (None, None) => Self { factor: 1.0, offset: 0.0, unit: "", decimals: 2 },
        }
    }

    fn shown(&self, value: f64) -> f64 {
        self.offset + self.factor * value
    }

    fn number(&self, text: &mut String, value: f64) {
        fixed::push(text, self.shown(value), self.decimals);
    }

    /// A limit, with one more decimal where that writes it as it is: 14.5 A is not 14.
    fn limit(&self, text: &mut String, limit: f64) {
        let limit = self.shown(limit);
        let is_exact = |decimals| fixed::is_exact(limit, decimals);
        let finer = !is_exact(self.decimals) && is_exact(self.decimals + 1);
        fixed::push(text, limit, self.decimals + usize::from(finer));
    }

    /// Spends decimals until the value no longer looks like the limit that it is held against;
    /// none where even those don't help, for then the two are as good as equal.
    fn told_apart(self, value: f64, limit: Option<f64>) -> Self {
        let Some(limit) = limit else { return self };
        let (value, limit) = (self.shown(value), self.shown(limit));
        let enough = (self.decimals..=self.decimals + MORE_DECIMALS_MAX)
            .find(|decimals| !fixed::look_alike(value, limit, *decimals));
        Self { decimals: enough.unwrap_or(self.decimals), ..self }
    }
}

/// The sentence of a judged value.
pub(super) fn sentence(told: &Told) -> String {
    let near = match told.side {
        Some(Side::Low) => told.low,
        Some(Side::High) => told.high,
        None => None,
    };
    let writing = Writing::of(told).told_apart(told.value, near);
    let mut text = String::with_capacity(SENTENCE_CHARS_MAX);
    text.push_str(told.info.map_or(told.measure, |it| it.label));
    text.push(' ');
    writing.number(&mut text, told.value);
    if !writing.unit.is_empty() {
        text.push(' ');
        text.push_str(writing.unit);
    }
    match (told.outcome, near) {
        (Outcome::Outside, Some(limit)) => {
            text.push_str(if told.side == Some(Side::Low) { " is below " } else { " is above " });
            writing.limit(&mut text, limit);
        }
        (Outcome::TooClose, _) if told.is_too_coarse => {
            text.push_str(": this instrument can't decide ");
            band(&mut text, &writing, told);
        }
        (Outcome::TooClose, Some(limit)) => {
            text.push_str(" (± ");
            fixed::push(&mut text, (writing.factor * told.u).abs(), writing.decimals.max(1));
            text.push_str(") is too close to ");
            writing.limit(&mut text, limit);
            text.push_str(" to call");
        }
        _ => {
            text.push_str(" is within ");
            band(&mut text, &writing, told);
        }
    }
    if let Some(target) = told.target {
        text.push_str(" (target ");
        writing.number(&mut text, target);
        text.push(')');
    }
    text.push('.');
    text
}

fn band(text: &mut String, writing: &Writing, told: &Told) {
    match (told.low, told.high) {
        (Some(low), Some(high)) => {
            writing.limit(text, low);
            text.push_str(" to ");
            writing.limit(text, high);
        }
        (Some(low), None) => {
            text.push_str("its limit of ");
            writing.limit(text, low);
            text.push_str(" or more");
        }
        (None, Some(high)) => {
            text.push_str("its limit of ");
            writing.limit(text, high);
            text.push_str(" at most");
        }
        (None, None) => text.push_str("no limit"),
    }
}

/// What is allowed, in a few words as people read them: `8 to 12`, `at most 6`.
pub(super) fn allowed(
    info: Option<&'static MeasureInfo>,
    shown: Option<Shown>,
    limits: (Option<f64>, Option<f64>),
) -> String {
    let writing = Writing::by(shown, info);
    let limit = |words: &str, limit: f64| {
        let mut text = words.to_owned();
        writing.limit(&mut text, limit);
        text
    };
    match limits {
        (Some(low), Some(high)) => limit("", low) + &limit(" to ", high),
        (Some(low), None) => limit("at least ", low),
        (None, Some(high)) => limit("at most ", high),
        (None, None) => String::new(),
    }
}

/// The sentence of something that was not taken.
pub(super) fn missing_sentence(missing: &[Missing]) -> String {
    match missing {
        [] => "Not taken.".to_owned(),
        [one] => format!("Not taken, missing: {}.", one.words()),
        [one, two] => format!("Not taken, missing: {}, {}.", one.words(), two.words()),
        [one, more @ ..] => {
            format!("Not taken, missing: {}, and {} more.", one.words(), more.len())
        }
    }
}
