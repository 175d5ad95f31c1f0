//! The simulated faults are found as often as was asked for, with the noise of instruments.

use fairweather::engine::causes::Depth;
use fairweather::engine::limits::LimitBook;
use fairweather::engine::{assess, assess_to};
use serde_json::{Value, json};

use super::simulated::{self, CODE_MINIMUM, Errors, GOOD, Instruments, Row};
use super::{case, first, found};

/// Draws of instrument errors for each row of the table, and for each healthy one, of which there
/// are few.
const DRAWS: usize = 4;
const DRAWS_OF_HEALTHY: usize = 60;

/// Counts of what came of many visits.
#[derive(Debug, Default)]
struct Rates {
    healthy: f64,
    false_alarms: f64,
    costly: f64,
    correct: f64,
    missed: f64,
}

impl Rates {
    fn count(&mut self, row: &Row, told: &str) {
        let truth = simulated::cause(row);
        if truth == "no_fault" {
            self.healthy += 1.0;
            let is_a_fault = fairweather::engine::causes::causes_of(told).is_some();
            self.false_alarms += f64::from(u8::from(told != "no_fault" && is_a_fault));
        } else if 5.0 <= simulated::cost(row) {
            self.costly += 1.0;
            self.correct += f64::from(u8::from(told == truth));
            self.missed += f64::from(u8::from(told == "no_fault"));
        }
    }
}

/// Scores every row of the table, as `change` makes the document of it.
fn score(
    instruments: Instruments,
    mut change: impl FnMut(&Row, &mut Errors, Value) -> Value,
) -> Rates {
    let (rows, mut errors) = (simulated::rows(), Errors::new(instruments, 1));
    let mut rates = Rates::default();
    for row in &rows {
        let draws = if row["fault"] == "none" { DRAWS_OF_HEALTHY } else { DRAWS };
        for _ in 0..draws {
            let visit = errors.visit(row, &simulated::readings(row));
            let document = change(row, &mut errors, visit);
            rates.count(row, &first(&found(&document)));
        }
    }
    rates
}

/// Three earlier visits of the healthy system on other days.
fn with_history(row: &Row, errors: &mut Errors, mut document: Value) -> Value {
    let healthy = simulated::rows().into_iter().filter(|it| {
        it["fault"] == "none"
            && it["device"] == row["device"]
            && !simulated::is_at_the_same_conditions(it, row)
    });
    let earlier: Vec<Value> = healthy
        .map(|it| {
            let mut visit = errors.visit(&it, &simulated::readings(&it));
            visit["truth"] = json!("no_fault");
            visit
        })
        .collect();
    document["history"] = json!(earlier);
    document
}

#[test]
fn faults_that_cost_five_percent_are_found_with_the_plainest_instruments() {
    let rates = score(CODE_MINIMUM, |_, _, it| it);
    assert!(rates.false_alarms <= 0.04 * rates.healthy, "{rates:?}");
    assert!(0.75 * rates.costly <= rates.correct, "{rates:?}");
    assert!(rates.missed <= 0.12 * rates.costly, "{rates:?}");
}

#[test]
fn they_are_found_as_often_without_the_plates_subcooling() {
    let rates = score(CODE_MINIMUM, |_, _, mut document| {
        document["system"]["target_subcooling_f"] = Value::Null;
        document
    });
    assert!(rates.false_alarms <= 0.04 * rates.healthy, "{rates:?}");
    assert!(0.72 * rates.costly <= rates.correct, "{rates:?}");
    assert!(rates.missed <= 0.12 * rates.costly, "{rates:?}");
}

#[test]
fn better_instruments_and_the_systems_own_past_find_more_each() {
    let code = score(CODE_MINIMUM, |_, _, it| it);
    let good = score(GOOD, |_, _, it| it);
    let past = score(CODE_MINIMUM, with_history);
    let both = score(GOOD, with_history);
    assert!(code.correct + 0.02 * code.costly <= good.correct, "{code:?} {good:?}");
    assert!(code.correct + 0.07 * code.costly <= past.correct, "{code:?} {past:?}");
    assert!(past.correct < both.correct, "{past:?} {both:?}");
    assert!(0.88 * both.costly <= both.correct, "{both:?}");
    assert!(both.missed <= 0.05 * both.costly, "{both:?}");
}

#[test]
fn of_two_faults_at_once_the_pair_is_among_the_first_three() {
    let costly = |it: &Row| it["fault"] != "none" && 5.0 <= simulated::cost(it);
    let rows: Vec<Row> = simulated::rows();
    let mut errors = Errors::new(CODE_MINIMUM, 5);
    let (mut pairs, mut among) = (0.0, 0.0);
    for (index, one) in rows.iter().enumerate().filter(|(_, it)| costly(it)) {
        // Every other row of the same conditions, so that each cause meets several.
        let others = rows.iter().skip(index + 1).step_by(2).filter(|it| {
            costly(it) && simulated::is_at_the_same_conditions(it, one) && may_join(one, it)
        });
        for other in others {
            let visit = errors.visit(one, &added(&rows, one, other));
            let stage = found(&visit);
            pairs += 1.0;
            let word = [simulated::cause(one), simulated::cause(other)];
            let is_it = |told: &str| word.iter().all(|it| told.split('+').any(|part| part == *it));
            let is_among = stage.causes.iter().take(3).any(|it| is_it(&it.cause));
            among += f64::from(u8::from(is_among));
        }
    }
    assert!(300.0 < pairs && 0.6 * pairs <= among, "{among} of {pairs}");
}

fn may_join(one: &Row, other: &Row) -> bool {
    let opposites = [["excess_charge", "low_charge"], ["feed_restriction", "overfeeding_metering"]];
    let mut both = [simulated::cause(one), simulated::cause(other)];
    both.sort_unstable();
    both[0] != both[1] && !opposites.contains(&both)
}

/// The healthy readings with what each of two faults does to them.
fn added(rows: &[Row], one: &Row, other: &Row) -> std::collections::BTreeMap<&'static str, f64> {
    let is_healthy =
        |it: &&Row| it["fault"] == "none" && simulated::is_at_the_same_conditions(it, one);
    let healthy = simulated::readings(rows.iter().find(is_healthy).expect("a healthy row"));
    let (first, second) = (simulated::readings(one), simulated::readings(other));
    healthy.iter().map(|(key, it)| (*key, first[key] + second[key] - it)).collect()
}

#[test]
fn the_same_document_has_the_same_answer_every_time() {
    let rows = simulated::rows();
    let visit = Errors::new(CODE_MINIMUM, 9).visit(&rows[7], &simulated::readings(&rows[7]));
    let once = assess(&case(&visit), &LimitBook::default());
    assert_eq!(once, assess(&case(&visit), &LimitBook::default()));
}

#[test]
fn pairs_and_causes_are_weighed_only_as_deep_as_asked_for() {
    let rows = simulated::rows();
    let visit = Errors::new(CODE_MINIMUM, 9).visit(&rows[7], &simulated::readings(&rows[7]));
    let to = |depth| assess_to(&case(&visit), &LimitBook::default(), depth).as_found;
    assert!(to(Depth::Measures).causes.is_empty());
    assert!(to(Depth::Measures).abstained.is_some());
    let singles = to(Depth::Singles);
    assert!(!singles.causes.is_empty());
    assert!(singles.causes.iter().all(|it| !it.cause.contains('+')));
}
