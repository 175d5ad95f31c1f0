//! The signature table against the published signs, and its own form.

use fairweather::engine::causes::{CAUSES, CauseName, SignatureRow, signature_rows};
use fairweather::engine::measures;

/// Signs of Rossi and Braun 1997 for a fixed orifice, as reprinted by Li and Braun (table 1-1 of
/// a public report, read): evaporating temperature, superheat, condensing temperature, subcooling,
/// condenser air rise, evaporator air drop. Discharge temperature is left out: theirs is of the line
/// itself, ours of what compression doesn't explain.
const PUBLISHED: &[(CauseName, [i8; 6])] = &[
    (CauseName::LowCharge, [-1, 1, -1, -1, -1, -1]),
    (CauseName::CompressorNotPumping, [1, -1, -1, -1, -1, -1]),
    (CauseName::FeedRestriction, [-1, 1, -1, 1, -1, -1]),
    (CauseName::LowOutdoorAirflow, [1, -1, 1, -1, 1, -1]),
    (CauseName::LowIndoorAirflow, [-1, -1, -1, -1, -1, 1]),
];

/// In the order of the table; the first is our return air over saturation, whose sign is turned.
const MEASURES: [&str; 6] = [
    "return_minus_saturation_f",
    "superheat_f",
    "condensing_over_ambient_f",
    "subcooling_f",
    "condenser_rise_f",
    "temperature_split_f",
];

/// Where the simulation says another thing than the published table: a condenser short of air holds
/// more liquid back here (0.4 to 0.6 degF a degF of condensing), and the air's drop hardly moves.
const OTHERWISE: &[(CauseName, &str)] = &[
    (CauseName::LowOutdoorAirflow, "subcooling_f"),
    (CauseName::LowOutdoorAirflow, "temperature_split_f"),
];

fn row(cause: CauseName, measure: &str, is_for_valves: bool) -> Option<SignatureRow> {
    signature_rows()
        .find(|it| it.cause == cause && it.measure == measure && it.is_for_valves == is_for_valves)
}

#[test]
fn signs_for_a_fixed_orifice_are_the_published_ones_but_where_it_is_said() {
    let (mut agreeing, mut compared) = (0, 0);
    for (cause, signs) in PUBLISHED {
        for (measure, sign) in MEASURES.iter().zip(signs) {
            // Nothing is said of a residual that hardly moves.
            let Some(row) = row(*cause, measure, false) else { continue };
            let turned = if *measure == "return_minus_saturation_f" { -1.0 } else { 1.0 };
            let ours = turned * (row.slope + row.beyond);
            let is_alike = (0.0 < ours) == (0 < *sign);
            assert_eq!(is_alike, !OTHERWISE.contains(&(*cause, measure)), "{cause:?} {measure}");
            agreeing += u8::from(is_alike);
            compared += 1;
        }
    }
    assert!(25 <= compared && compared - agreeing == 2, "{agreeing} of {compared}");
}

#[test]
fn every_cause_is_told_by_something_on_either_device_with_a_source() {
    for cause in CAUSES.iter().map(|it| it.name).filter(|it| *it != CauseName::NoFault) {
        for is_for_valves in [true, false] {
            let of = signature_rows()
                .filter(|it| it.cause == cause && it.is_for_valves == is_for_valves);
            assert!(3 <= of.count(), "{cause:?}");
        }
    }
    for row in signature_rows() {
        assert!(!row.source.is_empty());
        assert!((0.0..=1.0).contains(&row.spread));
        assert!(row.slope != 0.0 || row.beyond != 0.0, "{row:?}");
        let is_known = measures::measure(row.measure).is_some() || row.measure == "compressor_amps";
        assert!(is_known, "{}", row.measure);
    }
}

#[test]
fn no_cause_has_two_rows_for_one_measure() {
    let mut seen = std::collections::HashSet::new();
    for row in signature_rows() {
        let key = format!("{:?} {} {}", row.cause, row.is_for_valves, row.measure);
        assert!(seen.insert(key.clone()), "{key}");
    }
}

/// On an expansion valve, of the three that raise the high side: subcooling for each degree of
/// condensing, from the domain's notes: airflow 0.35 to 0.45, a foreign gas 1, overcharge 1.4 to 2.
#[test]
fn the_high_side_trio_keeps_its_published_ratios_on_a_valve() {
    let ratio = |cause| {
        let slope = |measure| row(cause, measure, true).map_or(0.0, |it| it.slope);
        let condensing = slope("condensing_over_ambient_f");
        let scale = row(cause, "condensing_over_ambient_f", true).unwrap().scale;
        // That of the simulated unit, 16.3 degF, where the slope is a share of it.
        let of = if scale.is_empty() || scale.contains("psi") { 1.0 } else { 16.3 };
        slope("subcooling_f") / (condensing * of)
    };
    assert!((0.35..=0.45).contains(&ratio(CauseName::LowOutdoorAirflow)));
    assert!((0.95..=1.05).contains(&ratio(CauseName::NonCondensables)));
    assert!((1.4..=2.0).contains(&ratio(CauseName::ExcessCharge)));
}
