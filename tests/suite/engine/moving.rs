//! The probability of conformity, as a reading moves out past a limit.

use fairweather::engine::assessment::Verdict;
use fairweather::engine::points::point;
use proptest::prelude::*;
use proptest::sample::select;

use super::nominal_case::{assessed, verdict_in, with};

/// A reading and the measure that moves with it while its limits stand still.
const MOVED: &[(&str, &str)] = &[
    ("suction_line_f", "superheat_f"),
    ("liquid_line_f", "subcooling_f"),
    ("static_before_coil_inwc", "external_static_inwc"),
    ("static_after_filter_inwc", "filter_drop_inwc"),
    ("volts_outdoor_running", "volts_outdoor_deviation_pct"),
    ("volts_control", "volts_control"),
    ("capacitor_fan_uf", "capacitor_fan_deviation_pct"),
    ("compressor_amps", "compressor_amps_pct_of_rla"),
    ("contactor_drop_mv", "contactor_drop_mv"),
    ("discharge_line_f", "discharge_line_f"),
    ("room_difference_f", "room_difference_f"),
    ("ambient_co_ppm", "ambient_co_ppm"),
];

/// How far the value lies beyond one of its limits, and with what probability within.
fn beyond(verdict: &Verdict, side: fn(&Verdict) -> Option<f64>) -> Option<(f64, f64)> {
    Some((side(verdict)?, verdict.p_within?))
}

fn above(verdict: &Verdict) -> Option<f64> {
    Some(verdict.value? - verdict.high?)
}

fn below(verdict: &Verdict) -> Option<f64> {
    Some(verdict.low? - verdict.value?)
}

fn judged(reading: &str, measure: &str, share: f64) -> Option<Verdict> {
    let point = point(reading)?;
    let value = point.low + share * (point.high - point.low);
    let document = with(&format!("/as_found/{reading}"), value);
    verdict_in(&assessed(&document).as_found, measure)
}

fn falls(reading: &str, measure: &str, shares: (f64, f64)) -> Result<(), TestCaseError> {
    let (one, other) = (judged(reading, measure, shares.0), judged(reading, measure, shares.1));
    let (Some(one), Some(other)) = (one, other) else { return Ok(()) };
    for side in [above, below] {
        let (Some(near), Some(far)) = (beyond(&one, side), beyond(&other, side)) else { continue };
        let (near, far) = if near.0 <= far.0 { (near, far) } else { (far, near) };
        if 0.0 <= near.0 {
            prop_assert!(far.1 <= near.1 + 1e-9, "{measure}: {near:?} then {far:?}");
            prop_assert!(near.1 <= 0.5 + 1e-9, "{measure}: beyond its limit, yet {near:?}");
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn it_falls_as_the_value_moves_out_past_either_limit(
        (reading, measure) in select(MOVED),
        shares in (0.0..=1.0_f64, 0.0..=1.0_f64),
    ) {
        falls(reading, measure, shares)?;
    }
}

/// So that the property above speaks of something: each measure has a reading beyond a limit.
#[test]
fn each_of_these_measures_can_be_moved_past_a_limit() {
    for (reading, measure) in MOVED {
        let verdicts = (0..=200).filter_map(|it| judged(reading, measure, f64::from(it) / 200.0));
        let past = |it: &Verdict| {
            let side = above(it).filter(|it| 0.0 < *it).or(below(it).filter(|it| 0.0 < *it));
            side.is_some() && it.p_within.is_some_and(|it| it <= 0.5)
        };
        assert!(verdicts.into_iter().any(|it| past(&it)), "{measure}");
    }
}
