//! Whether a repair worked: by what changed, not by what others show.

use fairweather::engine::assess;
use fairweather::engine::assessment::{Repair, RepairOutcome};
use fairweather::engine::limits::LimitBook;
use serde_json::{Value, json};

use super::simulated::{self, Errors, GOOD, Row};
use super::{case, document};

fn row(fault: &str, level: f64) -> Row {
    let is_it = |it: &Row| {
        it["device"] == "txv"
            && it["fault"] == fault
            && (simulated::number(it, "level") - level).abs() < 1e-9
    };
    simulated::rows().into_iter().find(is_it).expect("a row")
}

/// Two rows of the same conditions as one visit: as found and as left.
fn repaired(found: &Row, left: &Row) -> Value {
    let mut errors = Errors::new(GOOD, 11);
    let mut visit = errors.visit(found, &simulated::readings(found));
    let after = errors.visit(left, &simulated::readings(left));
    visit["as_left"] = after["as_found"].clone();
    visit
}

fn outcome(document: &Value) -> Option<Repair> {
    assess(&case(document), &LimitBook::default()).repair
}

#[test]
fn a_repair_that_took_the_cause_away_worked() {
    let repair = outcome(&repaired(&row("undercharge", 0.75), &row("none", 0.0))).unwrap();
    assert_eq!((repair.cause.as_str(), repair.outcome), ("low_charge", RepairOutcome::Worked));
    assert!((repair.share - 1.0).abs() <= 2.0 * repair.u, "{repair:?}");
    let subcooling = repair.residuals.iter().find(|it| it.measure == "subcooling_f").unwrap();
    assert!(2.0 * subcooling.u < subcooling.as_left - subcooling.as_found);
}

#[test]
fn a_repair_that_changed_nothing_did_not_work() {
    let same = row("undercharge", 0.75);
    let repair = outcome(&repaired(&same, &same)).unwrap();
    assert_eq!(repair.outcome, RepairOutcome::DidNotWork, "{repair:?}");
    assert!(repair.share.abs() <= 2.0 * repair.u, "{repair:?}");
}

#[test]
fn half_a_repair_is_too_close_to_call_or_partly_done() {
    let repair =
        outcome(&repaired(&row("low_outdoor_airflow", 0.5), &row("low_outdoor_airflow", 0.7)));
    let repair = repair.unwrap();
    assert!(0.2 < repair.share && repair.share < 0.95, "{repair:?}");
}

#[test]
fn a_change_of_weather_is_no_repair() {
    let cool = row("undercharge", 0.75);
    let hot = simulated::rows().into_iter().find(|it| {
        it["device"] == "txv"
            && it["fault"] == "undercharge"
            && it["level"] == "0.75"
            && it["Tod"] != cool["Tod"]
    });
    let repair = outcome(&repaired(&cool, &hot.unwrap())).unwrap();
    assert_eq!(repair.outcome, RepairOutcome::DidNotWork, "{repair:?}");
}

#[test]
fn nothing_is_said_where_nothing_was_wrong_or_nothing_was_read_again() {
    assert_eq!(outcome(&document()), None);
    assert_eq!(outcome(&repaired(&row("none", 0.0), &row("none", 0.0))), None);
    let found = row("undercharge", 0.75);
    let mut visit = Errors::new(GOOD, 11).visit(&found, &simulated::readings(&found));
    visit["as_left"] = json!({"static_return_inwc": -0.1});
    assert_eq!(outcome(&visit), None);
}

/// What must not be praised: a cause replaced by its opposite.
#[test]
fn a_repair_that_went_too_far_did_not_work() {
    let repair = outcome(&repaired(&row("undercharge", 0.85), &row("overcharge", 1.3))).unwrap();
    assert_eq!(repair.outcome, RepairOutcome::Overshot, "{repair:?}");
}

/// Pressures that nobody read again say nothing of the condenser that was washed.
#[test]
fn what_was_not_read_again_is_no_evidence() {
    let (found, left) = (row("low_outdoor_airflow", 0.5), row("none", 0.0));
    let mut visit = repaired(&found, &left);
    let again = visit["as_left"]["condenser_leaving_f"].clone();
    visit["as_left"] = json!({"condenser_leaving_f": again});
    let carried: Vec<String> = visit["as_found"]
        .as_object()
        .unwrap()
        .keys()
        .filter(|it| *it != "condenser_leaving_f")
        .cloned()
        .collect();
    visit["unchanged"] = json!(carried);
    let told = assess(&case(&visit), &LimitBook::default());
    assert!(told.as_left.causes.is_empty(), "{:?}", told.as_left.causes);
    let repair = told.repair.unwrap();
    let measures: Vec<&str> = repair.residuals.iter().map(|it| it.measure.as_str()).collect();
    assert_eq!(measures, ["condenser_rise_f"]);
    assert_ne!(repair.outcome, RepairOutcome::DidNotWork, "{repair:?}");
}
