//! Reading a document's text: as its value is read, and what a value would hide.

use std::collections::BTreeSet;

use fairweather::engine::case::{
    Cabinet, CameTo, Case, Circumstance, LookedAt, Metering, Readings, Refused, SystemKind,
    read_case, read_case_text,
};
use fairweather::engine::points::{POINTS, PointKey};
use fairweather::engine::refrigerant::designations;
use proptest::prelude::*;
use proptest::sample::{select, subsequence};
use serde_json::{Value, json};

use super::nominal_case::{changed, document, with};

#[track_caller]
fn refused(text: &str) -> Refused {
    *read_case_text(text).expect_err("a refusal")
}

/// The nominal document's text with one piece of it put in another's place.
fn replaced(old: &str, new: &str) -> String {
    let text = document().to_string();
    assert!(text.contains(old), "{old}");
    text.replacen(old, new, 1)
}

#[test]
fn a_field_that_is_given_twice_is_refused_at_every_depth() {
    for (old, new, field, given) in [
        (r#""id":"nominal""#, r#""id":"nominal","id":"other""#, "id", json!("other")),
        (
            r#""return_wb_f":63.0"#,
            r#""return_wb_f":63.0,"return_wb_f":64"#,
            "as_found.return_wb_f",
            json!(64),
        ),
        (r#""phases":1"#, r#""phases":1,"phases":null"#, "system.phases", Value::Null),
        (
            r#""site":{"#,
            r#""history":[{},{"a":[{"b":1,"b":2}]}],"site":{"#,
            "history[1].a[0].b",
            json!(2),
        ),
        (r#""site":{"#, r#""priors":{"b":1,"\u0062":2},"site":{"#, "priors.b", json!(2)),
        (
            r#""site":{"#,
            r#""observations":{"as_left":{"pan_sound":"fixed","pan_sound":"in_order"}},"site":{"#,
            "observations.as_left.pan_sound",
            json!("in_order"),
        ),
    ] {
        let refused = refused(&replaced(old, new));
        assert_eq!(refused.error.field, field);
        assert_eq!(*refused.error.given, given);
        assert_eq!(refused.error.accepted, "one value");
        assert!(refused.error.message.contains("given twice"), "{}", refused.error.message);
        assert_eq!(refused.id, "nominal");
    }
}

#[test]
fn a_number_beyond_all_range_is_named_behind_letters_of_more_than_a_byte() {
    let text = replaced(r#""id":"nominal""#, r#""id":"ééééééééé""#);
    let text = text.replacen(r#""return_wb_f":63.0"#, r#""return_wb_f":1e999"#, 1);
    let refused = refused(&text);
    assert_eq!(refused.error.field, "as_found.return_wb_f");
    assert_eq!(*refused.error.given, json!("1e999"));
    assert_eq!(refused.id, "ééééééééé");
}

#[test]
fn what_is_nested_too_deep_is_not_called_a_number() {
    let deep = format!(r#""history":[{{"a":{}1{}}}],"id""#, "[".repeat(200), "]".repeat(200));
    let refused = refused(&replaced(r#""id""#, &deep));
    assert_eq!(refused.error.field, "history.a");
    assert_eq!(refused.error.accepted, "at most 127 levels");
}

#[test]
fn half_a_character_is_not_called_a_number() {
    for (half, given) in
        [(r"a \ud800 b", r"a \ud800 "), (r"a \ud800", r"a \ud800"), (r"\udc00", r"\udc00")]
    {
        let refused = refused(&replaced(r#""id":"nominal""#, &format!(r#""id":"{half}""#)));
        assert_eq!(refused.error.field, "id");
        assert_eq!(*refused.error.given, json!(given));
        assert_eq!(refused.error.accepted, "escapes of whole characters");
        assert_eq!(refused.id, Value::Null);
    }
}

#[test]
fn no_document_hides_in_a_text() {
    let hidden = r#""history":[{"$serde_json::private::RawValue":"{\"a\":1}"}],"id""#;
    let refused = refused(&replaced(r#""id""#, hidden));
    assert_eq!(refused.error.field, "history[0].$serde_json::private::RawValue");
    assert_eq!(refused.id, "nominal");
}

#[test]
fn a_text_that_is_no_json_says_so() {
    assert_eq!(refused("{").error.accepted, "a JSON document");
}

#[test]
fn text_and_value_are_read_alike() {
    let chart = json!({"outdoor_db_f": [80, 90], "return_wb_f": [60, 70], "superheat_f": [[9, 12], [null, 8]]});
    for document in [
        document(),
        with("/system/superheat_chart", chart),
        with("/as_found/supply_db_f", Value::Null),
        with("/id", Value::Null),
        with("/as_left", Value::Null),
        with("/priors", json!({"low_charge": null, "version": "priors-3"})),
        with("/history", json!([{"a": null}, {"b": {"c": null}}])),
        with("/taken_min/as_found", json!({"return_db_f": 12, "suction_line_f": null})),
        with("/instruments", json!({"return_db_f": 0.2})),
        with("/circumstances", json!({"as_found": ["panels_off", "defrost"]})),
        with("/observations", json!({"as_found": {"duct_gaps": "attention"}, "as_left": {}})),
        with("/observations", json!({"as_left": {"pan_sound": null, "drain_runs": "fixed"}})),
        with("/observations", Value::Null),
        with("/unchanged", json!(["return_db_f"])),
        with("/system/compressor_stages", json!(2)),
        changed(with("/site/elevation_ft", Value::Null), "/system/seer2", Value::Null),
        with("/truth", json!("low_charge")),
        with("/truth", json!({"cause": "no_fault", "severity": null})),
        // Refused, each of them.
        with("/truth", json!(7)),
        with("/observations", json!({"as_found": {"colour": "attention"}})),
        with("/observations", json!({"as_found": {"duct_gaps": "perhaps"}})),
        with("/observations", json!({"as_found": ["duct_gaps"]})),
        with("/observations", json!({"duct_gaps": "attention"})),
        with("/priors", json!({"low_charge": 1.5})),
        with("/priors", json!({"colour": 0.5})),
        with("/mode", json!({"cooling": null})),
        with("/system/kind", Value::Null),
        with("/system/refrigerant", json!("R-0")),
        with("/system/compressor_stages", json!(2.0)),
        with("/system/airflow_table", json!([{"tap": "a", "static_inwc": 0.5}])),
        with("/system/airflow_table", json!([["a", 0.5, 800]])),
        with("/unchanged", json!(["colour"])),
        with("/unchanged", json!([null])),
        with("/history", json!([null])),
        with("/history", json!([7])),
        with("/as_found", json!([])),
        with("/as_found/return_wb_f", 140),
        json!([]),
    ] {
        let by_text = read_case_text(&document.to_string()).map_err(|it| it.error);
        assert_eq!(by_text, read_case(&document), "{document}");
    }
}

fn some_readings() -> impl Strategy<Value = Readings> {
    let share = proptest::option::of(0.0..=1.0_f64);
    prop::collection::vec(share, POINTS.len()).prop_map(|shares| {
        let taken = PointKey::ALL.iter().zip(shares).filter_map(|(it, share)| Some((*it, share?)));
        let within = |it: PointKey, share: f64| {
            let point = it.point();
            (it, point.low + share * (point.high - point.low))
        };
        taken.map(|(it, share)| within(it, share)).collect()
    })
}

prop_compose! {
    fn any_case()(
        id in ".{0,12}",
        (as_found, as_left) in (some_readings(), some_readings()),
        minutes in prop::collection::vec(0.0..2400.0_f64, POINTS.len()),
        kind in select(SystemKind::ALL),
        metering in select(Metering::ALL),
        cabinet in proptest::option::of(select(Cabinet::ALL)),
        refrigerant in select(designations().collect::<Vec<_>>()),
        (tons, amps) in (proptest::option::of(0.25..50.0_f64), proptest::option::of(0.05..600.0_f64)),
        tap in proptest::option::of(".{0,5}"),
        elevation_ft in proptest::option::of(-1500.0..15_000.0_f64),
        circumstances in subsequence(Circumstance::ALL, 0..=2),
        observed in prop::collection::btree_map(select(LookedAt::ALL), select(CameTo::ALL), 0..4),
        history in prop::collection::vec(Just(json!({"id": "before", "as_found": {"a": null}})), 0..2),
    ) -> Case {
        let mut case = Case { id, as_found, as_left, history, ..Case::default() };
        case.system.kind = kind;
        case.system.metering = metering;
        case.system.cabinet = cabinet;
        refrigerant.clone_into(&mut case.system.refrigerant);
        case.system.nominal_tons = tons;
        case.system.compressor_rla = amps;
        case.system.blower_tap = tap;
        case.site.elevation_ft = elevation_ft;
        case.circumstances.as_found = circumstances.into_iter().collect();
        case.observations.as_found = observed.clone();
        case.observations.as_left = observed;
        case.unchanged = case.as_found.keys().filter(|it| !case.as_left.contains_key(*it)).copied().collect();
        case.read_after_repair.as_found = case.as_found.keys().take(2).copied().collect::<BTreeSet<_>>();
        case.taken_min.as_found =
            PointKey::ALL.iter().copied().zip(minutes).collect();
        case
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(100))]

    #[test]
    fn a_case_that_is_written_down_is_read_as_it_was(case in any_case()) {
        let value = serde_json::to_value(&case).unwrap();
        prop_assert_eq!(&read_case(&value).unwrap(), &case);
        prop_assert_eq!(&read_case_text(&value.to_string()).unwrap(), &case);
        let spaced = serde_json::to_string_pretty(&case).unwrap();
        prop_assert_eq!(&read_case_text(&spaced).unwrap(), &case);
    }
}
