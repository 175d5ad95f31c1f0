//! The same thousand visits through the engine and through the phone's script.

use std::collections::{BTreeMap, BTreeSet};

use fairweather::engine::assess_to;
use fairweather::engine::assessment::{Outcome, StageAssessment, Verdict};
use fairweather::engine::case::{ByStage, Readings};
use fairweather::engine::causes::Depth;
use fairweather::engine::limits::LimitBook;
use fairweather::engine::limits_sheet::limits_sheet;
use serde::Deserialize;
use serde_json::{Value, json};

use super::cases::{Drawn, drawn};
use super::pressures::{Line, pressure};
use super::script;
use crate::engine::nominal_case::{case, with};

const VISITS: usize = 1_000;
/// Values of both may differ by this share, or by this much near nothing.
const VALUES_APART: f64 = 1e-9;
/// Verdicts so near a decision's edge that the script says too close where the engine decides.
const CAREFUL_MAX: usize = 3;
/// Of a thousand of the engine's judged verdicts the script must give so many.
const GIVEN_MIN: usize = 970;
/// Each measure that is simple must have been judged by both so often.
const JUDGED_MIN: usize = 20;

/// What the script says of one measure.
#[derive(Debug, Deserialize)]
struct Said {
    measure: String,
    outcome: String,
    value: Option<f64>,
    words: String,
    hazard: Option<String>,
}

const JUDGE_BOTH: &str = "output = input.map(({ sheet, found, left }) => {
  const of = (it) => judge(sheet, it.readings, it.ticks, it.minutes);
  return [of(found), left ? of(asLeft(found, left)) : []];
});";

/// A stage as the page holds it.
fn taken(drawn: &Drawn, of: fn(&ByStage<Readings>) -> &Readings, is_left: bool) -> Value {
    let case = &drawn.case;
    let (mut readings, after_repair, circumstances) = if is_left {
        (case.as_left.clone(), &case.read_after_repair.as_left, &case.circumstances.as_left)
    } else {
        (case.as_found.clone(), &case.read_after_repair.as_found, &case.circumstances.as_found)
    };
    let mut ticks: Vec<String> =
        after_repair.iter().map(|it| format!("after_repair.{}", it.key())).collect();
    ticks.extend(circumstances.iter().map(|it| format!("circumstance.{}", it.word())));
    if is_left {
        ticks.extend(case.unchanged.iter().map(|it| format!("unchanged.{}", it.key())));
    } else {
        readings.extend(drawn.refused.clone());
    }
    json!({"readings": readings, "ticks": ticks, "minutes": of(&case.taken_min)})
}

fn input(drawn: &Drawn) -> Value {
    let left = (!drawn.case.as_left.is_empty()).then(|| taken(drawn, |it| &it.as_left, true));
    json!({
        "sheet": limits_sheet(&drawn.case, &drawn.book),
        "found": taken(drawn, |it| &it.as_found, false),
        "left": left,
    })
}

/// What came of the comparison.
#[derive(Debug, Default)]
struct Tally {
    faults: Vec<String>,
    false_passes: Vec<String>,
    careful: usize,
    engine_judged: usize,
    script_judged: usize,
    by_outcome: BTreeMap<String, usize>,
    judged: BTreeMap<String, usize>,
    network: BTreeMap<String, usize>,
}

fn word(outcome: Outcome) -> String {
    json!(outcome).as_str().expect("a word").to_owned()
}

fn is_judged(outcome: &str) -> bool {
    ["within", "too_close", "outside"].contains(&outcome)
}

impl Tally {
    fn compare(&mut self, place: &str, engine: &StageAssessment, script: &[Said]) {
        let of = |it: &Verdict| (it.measure.to_string(), it.clone());
        let engine: BTreeMap<String, Verdict> = engine.verdicts.iter().map(of).collect();
        let judged = engine.values().filter(|it| is_judged(&word(it.outcome)));
        self.engine_judged += judged.count();
        for said in script {
            self.compare_one(place, engine.get(&said.measure), said);
        }
        let is_left = place.ends_with("as left");
        for (measure, verdict) in &engine {
            // As left it is no matter which of two silences it is.
            let is_silent = is_left && verdict.outcome == Outcome::NotTaken;
            if !is_silent && !script.iter().any(|it| it.measure == *measure) {
                self.faults.push(format!("{place}: nothing said of {measure}: {verdict:?}"));
            }
        }
    }

    fn compare_one(&mut self, place: &str, engine: Option<&Verdict>, said: &Said) {
        *self.by_outcome.entry(said.outcome.clone()).or_default() += 1;
        if said.outcome == "needs_network" {
            *self.network.entry(said.measure.clone()).or_default() += 1;
            return;
        }
        let Some(engine) = engine else {
            self.faults.push(format!("{place}: the engine is silent: {said:?}"));
            return;
        };
        let outcome = word(engine.outcome);
        if is_judged(&said.outcome) {
            self.script_judged += 1;
            *self.judged.entry(said.measure.clone()).or_default() += 1;
        }
        if said.outcome == "within" && engine.outcome != Outcome::Within {
            self.false_passes.push(format!("{place}: {said:?}"));
        }
        let is_careful = said.outcome == "too_close" && ["within", "outside"].contains(&&*outcome);
        self.careful += usize::from(is_careful);
        if said.outcome != outcome && !is_careful {
            self.faults.push(format!("{place}: {said:?}\n  but {engine:?}"));
        }
        if let (Some(value), Some(expected)) = (said.value, engine.value)
            && VALUES_APART * expected.abs().max(1.0) < (value - expected).abs()
        {
            self.faults.push(format!("{place}: {} is {value}, not {expected}", said.measure));
        }
        if is_judged(&said.outcome) && said.value.is_none() {
            self.faults.push(format!("{place}: judged without a value: {said:?}"));
        }
        if said.hazard.is_some() != (said.measure == "ambient_co_ppm" && engine.is_alarm()) {
            self.faults.push(format!("{place}: a hazard or none? {said:?}"));
        }
        if said.words.is_empty() || said.words.contains("undefined") || said.words.contains("NaN") {
            self.faults.push(format!("{place}: no sentence: {said:?}"));
        }
    }
}

#[test]
fn at_the_end_of_a_table_both_err_to_the_one_side_that_it_has() {
    // The instrument's error leads beyond the last knot, at 155 degF.
    let psig = pressure("R-410A", Line::Bubble, 154.9) - 14.696;
    let document = with("/as_found/liquid_pressure_psig", psig);
    let case = case(&document);
    let book = LimitBook::default();
    let engine = assess_to(&case, &book, Depth::Measures).as_found;
    let engine = engine.measures.iter().find(|it| it.measure == "condensing_over_ambient_f");
    let body = "const { ways } = input.sheet.measures.find((it) => it.measure === 'condensing_over_ambient_f');
        output = Math.hypot(...Object.values(estimate(input.sheet, input.readings, ways[0]).halves));";
    let input = json!({"sheet": limits_sheet(&case, &book), "readings": document["as_found"]});
    let u = script::run(body, &input).as_f64().expect("an uncertainty");
    assert!((u - engine.expect("a measure").u).abs() < VALUES_APART, "{u}");
}

/// Every measure that some of the systems have a way to.
fn simple_measures(visits: &[Drawn]) -> BTreeSet<String> {
    let sheets = visits.iter().map(|it| limits_sheet(&it.case, &it.book));
    let measures = sheets.flat_map(|it| it.measures);
    measures.filter(|it| !it.ways.is_empty()).map(|it| it.measure.to_owned()).collect()
}

#[test]
fn script_and_engine_say_the_same_of_a_thousand_visits() {
    let visits = drawn(VISITS);
    let inputs: Vec<Value> = visits.iter().map(input).collect();
    let output = script::run(JUDGE_BOTH, &json!(inputs));
    let said: Vec<[Vec<Said>; 2]> = serde_json::from_value(output).expect("verdicts");
    let mut tally = Tally::default();
    for (index, (drawn, [found, left])) in visits.iter().zip(&said).enumerate() {
        let assessment = assess_to(&drawn.case, &drawn.book, Depth::Measures);
        tally.compare(&format!("visit {index} as found"), &assessment.as_found, found);
        tally.compare(&format!("visit {index} as left"), &assessment.as_left, left);
    }
    let given = 1_000 * tally.script_judged / tally.engine_judged;
    println!("{:#?}\n{:#?}\n{:#?}", tally.by_outcome, tally.judged, tally.network);
    println!(
        "of {} verdicts that the engine judged the script gave {}, {given} of a thousand; {} of them \
         more carefully",
        tally.engine_judged, tally.script_judged, tally.careful
    );
    let shown = tally.faults.iter().take(20).cloned().collect::<Vec<_>>().join("\n");
    assert!(tally.false_passes.is_empty(), "\n{}", tally.false_passes.join("\n"));
    assert!(tally.faults.is_empty(), "{} disagreements, such as\n{shown}", tally.faults.len());
    assert!(tally.careful <= CAREFUL_MAX, "{} too careful", tally.careful);
    assert!(GIVEN_MIN <= given, "only {given} of a thousand");
    let often = |it: &&String| JUDGED_MIN <= tally.judged.get(*it).copied().unwrap_or_default();
    let simple = simple_measures(&visits);
    let seldom: Vec<_> = simple.iter().filter(|it| !often(it)).collect();
    assert!(seldom.is_empty(), "seldom judged: {seldom:?}");
}
