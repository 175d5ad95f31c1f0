//! The one sentence of a verdict, as a technician would say it.

use super::assessment::{Outcome, Side};
use super::measures::{self, MeasureInfo};
use super::rules::Shown;

/// More decimals than the measure's own that may be spent to tell a value from its limit.
const MORE_DECIMALS_MAX: usize = 3;

/// What the sentence speaks of, in the unit of the measure.
pub(super) struct Told {
    pub(super) measure: &'static str,
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
struct Writing {
    factor: f64,
    offset: f64,
    unit: &'static str,
    decimals: usize,
}

impl Writing {
    fn of(told: &Told, info: Option<&'static MeasureInfo>) -> Self {
        match (told.shown, info) {
            (Some(it), _) => {
                Self { factor: it.factor, offset: it.offset, unit: it.unit, decimals: it.decimals }
            }
            (None, Some(it)) => {
                Self { factor: 1.0, offset: 0.0, unit: it.unit, decimals: it.decimals }
            }
            (None, None) => Self { factor: 1.0, offset: 0.0, unit: "", decimals: 2 },
        }
    }

    fn number(&self, value: f64) -> String {
        let number = format!("{:.*}", self.decimals, self.offset + self.factor * value);
        // What rounds to nothing has no sign.
        let is_nothing = number.starts_with('-') && !number.contains(|it| matches!(it, '1'..='9'));
        if is_nothing { number.replacen('-', "", 1) } else { number }
    }

    fn with_unit(&self, number: &str) -> String {
        if self.unit.is_empty() { number.to_owned() } else { format!("{number} {}", self.unit) }
    }

    /// Spends decimals until the value no longer looks like the limit that it is held against;
    /// none where even those don't help, for then the two are as good as equal.
    fn told_apart(self, value: f64, limit: Option<f64>) -> Self {
        let Some(limit) = limit else { return self };
        let enough = (self.decimals..=self.decimals + MORE_DECIMALS_MAX).find(|decimals| {
            let writing = Self { decimals: *decimals, ..self };
            writing.number(value) != writing.number(limit)
        });
        Self { decimals: enough.unwrap_or(self.decimals), ..self }
    }
}

/// The sentence of a judged value.
pub(super) fn sentence(told: &Told) -> String {
    let info = measures::measure(told.measure);
    let label = info.map_or(told.measure, |it| it.label);
    let near = match told.side {
        Some(Side::Low) => told.low,
        Some(Side::High) => told.high,
        None => None,
    };
    let writing = Writing::of(told, info).told_apart(told.value, near);
    let value = writing.with_unit(&writing.number(told.value));
    let target =
        told.target.map_or_else(String::new, |it| format!(" (target {})", writing.number(it)));
    let limit = near.map_or_else(String::new, |it| writing.number(it));
    match (told.outcome, told.side) {
        (Outcome::Outside, Some(Side::Low)) => format!("{label} {value} is below {limit}{target}."),
        (Outcome::Outside, _) => format!("{label} {value} is above {limit}{target}."),
        (Outcome::TooClose, _) if told.is_too_coarse => {
            let band = band(&writing, told);
            format!("{label} {value}: this instrument can't decide {band}{target}.")
        }
        (Outcome::TooClose, _) => {
            let error = format!("{:.*}", writing.decimals.max(1), (writing.factor * told.u).abs());
            format!("{label} {value} (± {error}) is too close to {limit} to call{target}.")
        }
        _ => format!("{label} {value} is within {}{target}.", band(&writing, told)),
    }
}

fn band(writing: &Writing, told: &Told) -> String {
    match (told.low, told.high) {
        (Some(low), Some(high)) => format!("{} to {}", writing.number(low), writing.number(high)),
        (Some(low), None) => format!("its limit of {} or more", writing.number(low)),
        (None, Some(high)) => format!("its limit of {} at most", writing.number(high)),
        (None, None) => "no limit".to_owned(),
    }
}

/// The sentence of something that was not taken.
pub(super) fn missing_sentence(missing: &[String]) -> String {
    match missing {
        [] => "Not taken.".to_owned(),
        [one] => format!("Not taken, missing: {one}."),
        [one, two] => format!("Not taken, missing: {one}, {two}."),
        [one, more @ ..] => format!("Not taken, missing: {one}, and {} more.", more.len()),
    }
}
