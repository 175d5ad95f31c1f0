//! Causes in plain words: how bad each is, what can't be told apart, and what a repair did.

use fairweather::engine::assess;
use fairweather::engine::assessment::{
    Measure, Repair, RepairOutcome, ResidualChange, Severity, StageAssessment,
};
use fairweather::engine::causes::{CAUSES, CauseName, compared, words};
use fairweather::engine::limits::LimitBook;
use serde_json::{Value, json};

use super::{case, changed, found, visit_of};

fn severity(cause: CauseName, value: f64, u: f64) -> String {
    let unit = cause.info().unit.to_owned();
    words::severity(cause.key(), &Severity { value, u, unit })
}

#[test]
fn each_causes_severity_is_told_by_its_unit_and_sign() {
    for (cause, value, told) in [
        (CauseName::LowCharge, -22.4, "about 22 % of the charge short, give or take 8"),
        (CauseName::ExcessCharge, 19.6, "about 20 % of the charge too much, give or take 8"),
        (
            CauseName::LowIndoorAirflow,
            -31.0,
            "about 31 % of the indoor airflow short, give or take 8",
        ),
        (
            CauseName::LowOutdoorAirflow,
            -40.0,
            "about 40 % of the outdoor airflow short, give or take 8",
        ),
        (CauseName::FeedRestriction, 85.0, "about 85 psi lost on the way, give or take 8"),
        (
            CauseName::OverfeedingMetering,
            15.0,
            "about 15 % wider open than it should be, give or take 8",
        ),
        (
            CauseName::NonCondensables,
            27.0,
            "about 27 psi on top of the refrigerant's own pressure, give or take 8",
        ),
        (
            CauseName::CompressorNotPumping,
            -19.0,
            "about 19 % of the refrigerant flow missing, give or take 8",
        ),
    ] {
        assert_eq!(severity(cause, value, 8.1), told);
    }
}

#[test]
fn every_fault_has_words_of_its_own_for_how_bad_it_is() {
    let mut told: Vec<String> = CAUSES
        .iter()
        .filter(|it| it.name != CauseName::NoFault)
        .map(|it| severity(it.name, if it.name.is_a_lack() { -20.0 } else { 20.0 }, 5.0))
        .collect();
    assert!(told.iter().all(|it| !it.contains("% of charge") && !it.contains('_')), "{told:?}");
    told.sort();
    told.dedup();
    assert_eq!(told.len(), CAUSES.len() - 1);
}

#[test]
fn a_severity_of_another_sign_or_unit_is_told_as_it_stands() {
    assert_eq!(severity(CauseName::LowCharge, 22.0, 8.0), "about 22 % of charge, give or take 8");
    let other = Severity { value: -3.0, u: 0.2, unit: "oz".to_owned() };
    assert_eq!(words::severity("low_charge", &other), "about -3 oz, give or take 1");
    assert_eq!(words::severity("of_a_later_program", &other), "about -3 oz, give or take 1");
}

#[test]
fn two_causes_at_once_are_named_together() {
    let both = "low_charge+low_indoor_airflow";
    assert_eq!(
        words::label(both),
        "Too little refrigerant together with too little air over the indoor coil"
    );
    assert_eq!(words::short_label(both), "Low charge and low indoor airflow");
    assert_eq!(words::label("no_fault"), "Nothing wrong that these readings show");
    assert_eq!(words::label("of_a_later_program"), "of a later program");
}

#[test]
fn short_names_fit_a_narrow_column_and_differ() {
    let mut all: Vec<String> = CAUSES.iter().map(|it| words::short_label(it.key)).collect();
    assert!(all.iter().all(|it| it.len() <= 20), "{all:?}");
    all.sort();
    all.dedup();
    assert_eq!(all.len(), CAUSES.len());
}

/// What is said not to be told apart.
fn alike(document: &Value) -> Vec<&'static str> {
    words::alike(&found(document))
}

#[test]
fn too_much_refrigerant_and_a_foreign_gas_are_said_to_look_alike_until_the_pressure_at_rest() {
    let visit = visit_of("txv", "overcharge", 1.3);
    let told = alike(&visit);
    assert!(told.len() == 1 && told[0].contains("seldom tell"), "{told:?}");
    let without = changed(visit.clone(), "/system/target_subcooling_f", Value::Null);
    let told = alike(&without);
    assert!(told.len() == 1 && told[0].contains("pressure at rest"), "{told:?}");
    assert!(told[0].contains("held against the plate"), "{told:?}");
    let at_rest = changed(visit, "/as_found/standing_pressure_psig", 246.0);
    assert_eq!(alike(&at_rest), [""; 0]);
}

#[test]
fn what_holds_the_refrigerant_back_is_said_to_be_one_of_three() {
    let told = alike(&visit_of("txv", "liquid_line_restriction", 800_000.0));
    assert!(told.len() == 1 && told[0].contains("plugged drier"), "{told:?}");
    assert_eq!(alike(&visit_of("txv", "undercharge", 0.75)), [""; 0]);
}

#[test]
fn evidence_stands_beside_what_a_healthy_system_would_show() {
    let mut stage = found(&visit_of("txv", "undercharge", 0.75));
    stage.measures.retain(|it| it.measure != "subcooling_f");
    stage.measures.push(Measure { measure: "subcooling_f".into(), value: 0.2, u: 0.9 });
    for it in stage.expected.iter_mut().filter(|it| it.measure == "subcooling_f") {
        (it.value, it.u) = (12.1, 2.2);
    }
    assert_eq!(
        compared::beside_healthy(&stage, "subcooling_f"),
        "Subcooling 0.2 °F, a healthy one would show 12 ± 2"
    );
    stage.expected.clear();
    assert_eq!(compared::beside_healthy(&stage, "subcooling_f"), "Subcooling");
    assert_eq!(compared::beside_healthy(&stage, "of_a_later_program"), "of_a_later_program");
}

#[test]
fn all_that_a_healthy_system_would_show_has_its_unit() {
    let document = super::with("/as_found/airflow_cfm", 800.0);
    let healthy = compared::healthy(&found(&document));
    let of = |label: &str| healthy.iter().find(|it| it.0 == label).map(|it| it.1.as_str());
    assert_eq!(of("Subcooling"), Some("10 ± 2 °F"));
    assert_eq!(of("Airflow for each ton"), Some("400 ± 45 cfm"));
    assert!(of("Compressor common amps").is_some_and(|it| it.ends_with(" A")), "{healthy:?}");
}

#[test]
fn what_readings_were_compared_with_is_said_and_why_earlier_visits_were_not() {
    let told = |used: usize, left_out: &[&str]| {
        let mut stage = found(&visit_of("txv", "undercharge", 0.75));
        stage.history_used = used;
        stage.history_left_out = left_out.iter().map(|it| (*it).to_owned()).collect();
        (compared::held_against(&stage), compared::left_out(&stage))
    };
    assert!(told(0, &[]).0.contains("of its kind"));
    assert!(told(1, &[]).0.contains("own earlier healthy visit."));
    let left_out = ["history[0]: too few readings", "history[2]: other: more", "history: enough"];
    let (against, reasons) = told(3, &left_out);
    assert!(against.contains("own 3 earlier healthy visits"));
    let wanted = ["1 visit back: too few readings", "3 visits back: other: more", "enough"];
    assert_eq!(reasons, wanted);
    assert_eq!(compared::held_against(&StageAssessment::default()), "");
}

fn repair(share: f64, u: f64, outcome: RepairOutcome) -> Repair {
    let residual = |measure: &str, as_found, as_left| ResidualChange {
        measure: measure.to_owned(),
        as_found,
        as_left,
        u: 0.04,
    };
    Repair {
        cause: "low_charge".to_owned(),
        outcome,
        probability: 0.95,
        share,
        u,
        residuals: vec![
            residual("subcooling_f", -10.84, 0.02),
            residual("compressor_amps", -0.12, 0.01),
            residual("airflow_cfm_per_ton", 1.0, 0.0),
        ],
    }
}

#[test]
fn how_much_is_gone_is_told_in_words_and_as_a_share() {
    use RepairOutcome::{DidNotWork, TooClose, Worked};
    for (share, u, outcome, told) in [
        (0.85, 0.15, Worked, "most of it (85 % ± 15 %) is gone"),
        (1.15, 0.33, Worked, "as good as all of it (100 % ± 33 %) is gone"),
        (0.70, 0.30, TooClose, "perhaps most of it (70 % ± 30 %) is gone"),
        (0.20, 0.10, DidNotWork, "some of it (20 % ± 10 %) is gone"),
        (-0.05, 0.10, DidNotWork, "as good as nothing of it (0 % ± 10 %) is gone"),
        (-0.50, 0.10, DidNotWork, "nothing of it is gone: it has grown (-50 % ± 10 %)"),
    ] {
        assert_eq!(compared::gone(&repair(share, u, outcome)), told);
    }
    let past = compared::gone(&repair(1.6, 0.2, Worked));
    assert!(past.starts_with("more than all of it (160 % ± 20 %)"), "{past}");
}

#[test]
fn distances_from_a_healthy_system_have_sign_unit_and_uncertainty() {
    let all = compared::distances(&repair(0.9, 0.1, RepairOutcome::Worked));
    let told: Vec<[&str; 4]> =
        all.iter().map(|it| [it.label, &it.found, &it.left, &it.u]).collect();
    assert_eq!(
        told,
        [
            ["Subcooling", "-10.8 °F", "0.0 °F", "± 0.0 °F"],
            ["Compressor common amps", "-12 %", "+1 %", "± 4 %"],
            // As much missing as is left is half of the air.
            ["Airflow for each ton", "-50 %", "0 %", "± 2 %"],
        ]
    );
}

#[test]
fn a_real_repair_is_told_without_a_gap() {
    let mut visit = visit_of("txv", "undercharge", 0.75);
    visit["as_left"] = visit_of("txv", "none", 0.0)["as_found"].clone();
    let repair = assess(&case(&visit), &LimitBook::default()).repair.unwrap();
    assert_eq!(compared::distances(&repair).len(), repair.residuals.len());
    let none = json!({});
    assert_ne!(visit["as_left"], none);
}
