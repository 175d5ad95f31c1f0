//! Causes in plain words: their names, how bad they are, and which of them look alike.

use super::{CauseName, causes_of, is_confusable};
use crate::engine::assessment::{Severity, StageAssessment};
use crate::engine::fixed;
use crate::engine::needs::in_mid_sentence;

/// Causes are told down to this probability, the first one always: a row for each of next to
/// nothing would hide what matters. Judgement, no source.
pub const TOLD_FROM: f64 = 0.05;

/// What a word such as `low_charge` or `low_charge+low_indoor_airflow` names; a word of a later
/// program as it stands.
#[must_use]
pub fn label(word: &str) -> String {
    named(word, |it| it.info().label, "together with")
}

/// The same in the fewest words, for a narrow column.
#[must_use]
pub fn short_label(word: &str) -> String {
    named(word, short, "and")
}

fn named(word: &str, of: fn(CauseName) -> &'static str, between: &str) -> String {
    match causes_of(word) {
        Some((first, None)) => of(first).to_owned(),
        Some((first, Some(second))) => {
            format!("{} {between} {}", of(first), in_mid_sentence(of(second)))
        }
        None => word.replace('_', " ").replace('+', &format!(" {between} ")),
    }
}

fn short(cause: CauseName) -> &'static str {
    match cause {
        CauseName::NoFault => "Nothing wrong",
        CauseName::LowCharge => "Low charge",
        CauseName::ExcessCharge => "Excess charge",
        CauseName::LowIndoorAirflow => "Low indoor airflow",
        CauseName::LowOutdoorAirflow => "Low outdoor airflow",
        CauseName::FeedRestriction => "Feed held back",
        CauseName::OverfeedingMetering => "Metering too wide",
        CauseName::NonCondensables => "Foreign gas",
        CauseName::CompressorNotPumping => "Weak compressor",
    }
}

/// How bad a cause is, as it stands within a sentence: `about 22 % of the charge short, give or
/// take 8`. What has not the cause's own unit and sign is told as it stands.
#[must_use]
pub fn severity(word: &str, severity: &Severity) -> String {
    let size = whole(severity.value.abs());
    let give_or_take = whole(severity.u.abs().max(1.0));
    let cause = causes_of(word).filter(|it| it.1.is_none()).map(|it| it.0);
    let is_own = |it: &CauseName| {
        it.info().unit == severity.unit && it.is_a_lack() == severity.value.is_sign_negative()
    };
    let told = match cause.filter(is_own) {
        Some(CauseName::LowCharge) => format!("about {size} % of the charge short"),
        Some(CauseName::ExcessCharge) => format!("about {size} % of the charge too much"),
        Some(CauseName::LowIndoorAirflow) => format!("about {size} % of the indoor airflow short"),
        Some(CauseName::LowOutdoorAirflow) => {
            format!("about {size} % of the outdoor airflow short")
        }
        Some(CauseName::FeedRestriction) => format!("about {size} psi lost on the way"),
        Some(CauseName::OverfeedingMetering) => {
            format!("about {size} % wider open than it should be")
        }
        Some(CauseName::NonCondensables) => {
            format!("about {size} psi on top of the refrigerant's own pressure")
        }
        Some(CauseName::CompressorNotPumping) => {
            format!("about {size} % of the refrigerant flow missing")
        }
        Some(CauseName::NoFault) | None => {
            format!("about {} {}", whole(severity.value), severity.unit)
        }
    };
    format!("{told}, give or take {give_or_take}")
}

fn whole(number: f64) -> String {
    let mut text = String::new();
    fixed::push(&mut text, number, 0);
    text
}

const FEED_ALIKE: &str = "A tight liquid line, a plugged drier and a starved metering device look \
    alike at the gauges; only temperatures before and behind the drier point to the drier.";
const GAS_ALIKE: &str = "Too much refrigerant and air in the circuit look alike here, for the \
    subcooling could not be held against the plate's; the pressure at rest would tell them apart.";

const GAS_SELDOM_TOLD: &str = "Running pressures seldom tell too much refrigerant from air in the \
    circuit, even with the plate's subcooling; the pressure at rest would.";

/// What can't be told apart at the gauges among the causes that are told of a stage, in a
/// sentence each.
#[must_use]
pub fn alike(stage: &StageAssessment) -> Vec<&'static str> {
    // A judged subcooling has the plate's for its target; without one the plate is not known.
    let mut verdicts = stage.verdicts.iter();
    let knows_plate = verdicts.any(|it| it.measure == "subcooling_f" && it.target.is_some());
    let told = stage.causes.iter().enumerate();
    let told = told.filter(|(place, it)| *place == 0 || TOLD_FROM <= it.probability);
    let named: Vec<CauseName> = told
        .filter_map(|(_, it)| causes_of(&it.cause))
        .flat_map(|(first, second)| [Some(first), second])
        .flatten()
        .collect();
    // The pressure at rest is what would tell them apart.
    let was_at_rest = stage.measures.iter().any(|it| it.measure == "standing_over_ambient_f");
    let is_confused =
        |one: &CauseName| CauseName::all().any(|other| is_confusable(*one, other, false));
    let mut sentences = Vec::new();
    if named.contains(&CauseName::FeedRestriction) {
        sentences.push(FEED_ALIKE);
    }
    if !was_at_rest && named.iter().any(is_confused) {
        sentences.push(if knows_plate { GAS_SELDOM_TOLD } else { GAS_ALIKE });
    }
    sentences
}
