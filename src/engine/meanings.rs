//! What it means that a measure is beyond a limit, where that can be said in a few words.

use super::air_side;
use super::airflow;
use super::assessment::Side;
use super::case::BlowerKind;
use super::electrical;
use super::stage::Stage;
use super::view::View;

/// The meaning of each side, as a sentence that follows the verdict's own. Causes are weighed
/// elsewhere: here stands only what the limit itself is there for.
const MEANINGS: &[(&str, Side, &str)] = &[
    ("saturated_suction_f", Side::Low, " The coil may ice up."),
    ("return_minus_saturation_f", Side::High, " The coil takes up little heat."),
    ("condensing_over_ambient_f", Side::High, " It sheds its heat badly."),
    ("discharge_superheat_f", Side::Low, " Liquid may reach the compressor."),
    ("breaker_amps", Side::High, " It is larger than the plate allows."),
    ("breaker_amps", Side::Low, " It is smaller than the plate asks for."),
    ("strip_heat_amps", Side::High, " It heats while it cools."),
];

/// Room for a meaning, since a verdict's sentence stays under 140 characters.
pub(super) fn meaning(stage: &Stage, measure: &str, side: Side) -> &'static str {
    match (measure, side) {
        ("temperature_split_f", _) => split(stage, side),
        ("compressor_amps_pct_of_rla", Side::High) => compressor_amps(stage),
        ("blower_amps_pct_of_fla", Side::High) => blower_amps(stage.facts().blower_kind),
        _ => MEANINGS
            .iter()
            .find(|(key, of, _)| *key == measure && *of == side)
            .map_or("", |(_, _, words)| *words),
    }
}

/// Reference: published charge verification procedure, appendix RA3.2.2.7, for the usual airflow.
/// At the day's own airflow only the capacity is left to explain it.
fn split(stage: &Stage, side: Side) -> &'static str {
    match (air_side::is_by_airflow(stage), side) {
        // An airflow that was known and could not be used leaves more than one reading of a split.
        (false, _) if airflow::is_known(stage) => "",
        (false, Side::High) => " Airflow is probably low.",
        (false, Side::Low) => " Read it again; then capacity is probably low.",
        (true, Side::High) => " There may be less airflow than thought.",
        (true, Side::Low) => " Capacity is probably low.",
    }
}

/// The rated load is a ceiling that a hot day may cross; the continuous current must not be.
fn compressor_amps(stage: &Stage) -> &'static str {
    let amps = electrical::compressor_amps(&View::unmoved(stage));
    let (Some(most), Some(amps)) = (stage.facts().compressor_mcc, amps) else { return "" };
    if most < amps { " It is above the plate's maximum continuous current too." } else { "" }
}

/// Motors of different kinds answer closed ducts in opposite ways (common practice, no source).
fn blower_amps(kind: Option<BlowerKind>) -> &'static str {
    match kind {
        Some(BlowerKind::Psc) => " Ducts don't raise it in this kind: look at motor and wheel.",
        Some(BlowerKind::ConstantAirflow) => " Ducts raise it in this kind: read the static.",
        Some(BlowerKind::ConstantTorque) | None => "",
    }
}
