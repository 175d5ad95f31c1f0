//! Readings beside those of a healthy system, before and after a repair, in plain words.

use super::residuals::{self, Form};
use crate::engine::assessment::{Repair, RepairOutcome, ResidualChange, StageAssessment};
use crate::engine::fixed;
use crate::engine::likely;
use crate::engine::measures::{self, MeasureInfo};
use crate::engine::points;

/// A measure that speaks for or against something, beside what a healthy system would show where
/// both are known: `Subcooling 0.2 °F, a healthy one would show 12 ± 2`.
#[must_use]
pub fn beside_healthy(stage: &StageAssessment, key: &str) -> String {
    let label = likely::label(key).unwrap_or(key);
    let measured = stage.measures.iter().find(|it| it.measure == key);
    let expected = stage.expected.iter().find(|it| it.measure == key);
    let (Some(info), Some(measured), Some(expected)) = (measures::measure(key), measured, expected)
    else {
        return label.to_owned();
    };
    let decimals = decimals(info, expected.u);
    format!(
        "{label} {}, a healthy one would show {} ± {}",
        with_unit(measured.value, info),
        number(expected.value, decimals),
        number(expected.u, decimals)
    )
}

/// What a healthy system would show, `12 ± 2 °F`, by the label of each measure.
#[must_use]
pub fn healthy(stage: &StageAssessment) -> Vec<(&'static str, String)> {
    let all = stage.expected.iter().filter_map(|it| {
        let label = likely::label(&it.measure)?;
        let own = measures::measure(&it.measure).map(|info| (decimals(info, it.u), info.unit));
        let of_point = || points::point(&it.measure).map(|point| (1, point.unit_for_people()));
        let (decimals, unit) = own.or_else(of_point)?;
        let (value, u) = (number(it.value, decimals), number(it.u, decimals));
        Some((label, format!("{value} ± {u} {unit}").trim_end().to_owned()))
    });
    all.collect()
}

/// No decimals where the uncertainty is a whole unit or more: they would say nothing.
fn decimals(info: &MeasureInfo, u: f64) -> usize {
    if 1.0 <= u { 0 } else { info.decimals }
}

fn number(value: f64, decimals: usize) -> String {
    let mut text = String::new();
    fixed::push(&mut text, value, decimals);
    text
}

fn with_unit(value: f64, info: &MeasureInfo) -> String {
    format!("{} {}", number(value, info.decimals), info.unit).trim_end().to_owned()
}

/// What the readings were held against; empty where nothing was.
#[must_use]
pub fn held_against(stage: &StageAssessment) -> String {
    match (stage.expected.is_empty(), stage.history_used) {
        (true, _) => String::new(),
        (false, 0) => "Compared with what a healthy system of its kind would show.".to_owned(),
        (false, 1) => "Compared with this system's own earlier healthy visit.".to_owned(),
        (false, many) => format!("Compared with this system's own {many} earlier healthy visits."),
    }
}

/// Why earlier visits were left out, without the document's own words for them.
#[must_use]
pub fn left_out(stage: &StageAssessment) -> Vec<String> {
    stage.history_left_out.iter().map(|it| visit_back(it)).collect()
}

fn visit_back(told: &str) -> String {
    let Some((place, why)) = told.split_once(": ") else { return told.to_owned() };
    let index = place.strip_prefix("history[").and_then(|it| it.strip_suffix(']'));
    match index.and_then(|it| it.parse::<usize>().ok()) {
        Some(0) => format!("1 visit back: {why}"),
        Some(index) => format!("{} visits back: {why}", index.saturating_add(1)),
        None => why.to_owned(),
    }
}

/// The outcome of a repair in a word or a few.
#[must_use]
pub fn outcome_words(outcome: RepairOutcome) -> &'static str {
    match outcome {
        RepairOutcome::Worked => "It worked",
        RepairOutcome::DidNotWork => "It did not work",
        RepairOutcome::Overshot => "It went too far",
        RepairOutcome::TooClose => "Too close to call",
    }
}

/// From this share on as good as all is gone, below the other as good as nothing. Words only, no
/// source.
const ALL_FROM: f64 = 0.9;
const SOME_FROM: f64 = 0.1;

/// How much of the cause is gone: `most of it (85 % ± 15 %) is gone`, or perhaps is where that is
/// too close to call. A share beyond all or nothing that its uncertainty explains is told as all
/// or nothing.
#[must_use]
pub fn gone(repair: &Repair) -> String {
    let (share, u) = (repair.share, repair.u);
    let is_beyond_all = 1.0 < share - 2.0 * u;
    let has_grown = share + 2.0 * u < 0.0;
    let shown = if is_beyond_all || has_grown { share } else { share.clamp(0.0, 1.0) };
    let size = format!("({} % ± {} %)", number(100.0 * shown, 0), number(100.0 * u, 0));
    if is_beyond_all {
        return format!("more than all of it {size} is gone: the readings went past healthy ones");
    }
    if has_grown {
        return format!("nothing of it is gone: it has grown {size}");
    }
    let part = match share {
        it if ALL_FROM <= it => "as good as all",
        it if 0.5 <= it => "most",
        it if SOME_FROM <= it => "some",
        _ => "as good as nothing",
    };
    let perhaps = if repair.outcome == RepairOutcome::TooClose { "perhaps " } else { "" };
    format!("{perhaps}{part} of it {size} is gone")
}

/// How far one measure was from a healthy system's, before and after: in its unit, or as a share.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Distance {
    /// The measure in plain words.
    pub label: &'static str,
    /// As found, with its sign.
    pub found: String,
    /// As left.
    pub left: String,
    /// Standard uncertainty of the change.
    pub u: String,
}

/// The distances of a repair's measures in the order of the engine.
#[must_use]
pub fn distances(repair: &Repair) -> Vec<Distance> {
    repair.residuals.iter().filter_map(distance).collect()
}

fn distance(change: &ResidualChange) -> Option<Distance> {
    let label = likely::label(&change.measure)?;
    let form = residuals::ALL.iter().find(|it| it.measure == change.measure)?.form;
    // What is lost of an airflow is told like every other share: measured against expected.
    let share = |lost: f64| 1.0 / (1.0 + lost) - 1.0;
    let slope = (1.0 + f64::midpoint(change.as_found, change.as_left)).powi(2).recip();
    let (found, left, u, unit, decimals) = match form {
        Form::Difference => (change.as_found, change.as_left, change.u, "°F", 1),
        Form::Share => (100.0 * change.as_found, 100.0 * change.as_left, 100.0 * change.u, "%", 0),
        Form::Lost => (
            100.0 * share(change.as_found),
            100.0 * share(change.as_left),
            100.0 * change.u * slope,
            "%",
            0,
        ),
    };
    Some(Distance {
        label,
        found: format!("{} {unit}", signed(found, decimals)),
        left: format!("{} {unit}", signed(left, decimals)),
        u: format!("± {} {unit}", number(u, decimals)),
    })
}

/// A number with its sign, also where it is above.
fn signed(value: f64, decimals: usize) -> String {
    let text = number(value, decimals);
    let is_zero = text.chars().all(|it| matches!(it, '0' | '.'));
    if is_zero || text.starts_with('-') { text } else { format!("+{text}") }
}
