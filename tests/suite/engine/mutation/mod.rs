//! Documents bent out of shape, from text to answer: nothing panics, no number is lost, and
//! nobody's neighbour suffers.
//!
//! `FAIRWEATHER_MUTATIONS=5000000 cargo test --release --test suite -- mutation` is the long run;
//! `FAIRWEATHER_MUTATIONS_SEED` begins it elsewhere. A failure prints its seed and its text.

use std::env;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::LazyLock;

use fairweather::engine::assessment::{Assessment, StageAssessment};
use fairweather::engine::case::{read_case, read_case_text};
use fairweather::engine::limits::LimitBook;
use fairweather::formats::assess_file::{Answer, Answers, Causes, Unreadable, answer};
use rand::rngs::StdRng;
use rand::seq::IndexedRandom;
use rand::{Rng, SeedableRng};
use serde::de::IgnoredAny;
use serde_json::{Value, json};

use super::nominal_case::{changed, document, with};
use tree::Node;

mod tree;

/// Rounds where nobody asks for more.
const ROUNDS: u64 = 2000;
const SEED: u64 = 20_260_521;
/// Changes of one document at most.
const CHANGES_MAX: usize = 6;

const GOOD: &str = r#"{"id": "good",
    "system": {"kind": "ductless", "refrigerant": "R-32", "metering": "capillary"}}"#;

static BOOK: LazyLock<LimitBook> = LazyLock::new(LimitBook::default);
static GOOD_ANSWER: LazyLock<String> = LazyLock::new(|| answer_json(&answered(GOOD).all()[0]));

/// The documents that are bent.
static DOCUMENTS: LazyLock<Vec<Node>> = LazyLock::new(|| {
    let full: Value = serde_json::from_str(include_str!("../../../cases/full_visit.json")).unwrap();
    let left = json!({"static_after_filter_inwc": -0.12, "static_return_inwc": -0.1});
    let left =
        changed(with("/as_left", left), "/unchanged", json!(["return_db_f", "liquid_line_f"]));
    let chart = json!({"outdoor_db_f": [60, 80, 100], "return_wb_f": [55, 75],
        "superheat_f": [[20, 30], [9, 20], [null, 8]]});
    let orifice =
        changed(with("/system/superheat_chart", chart), "/system/metering", "fixed_orifice");
    let pump = changed(with("/system/kind", "split_heat_pump"), "/as_found/strip_heat_amps", 0.1);
    let pump = changed(pump, "/as_found/reversing_valve_rise_f", 1.5);
    let before = json!([document(), {"id": "earlier", "findings": ["weak_capacitor"]}]);
    let told = changed(with("/history", before), "/priors", json!({"low_charge": 0.2}));
    let told =
        changed(told, "/circumstances", json!({"as_found": ["condenser_coil_wet", "panels_off"]}));
    let told = changed(told, "/read_after_repair", json!({"as_found": ["static_after_coil_inwc"]}));
    let told =
        changed(told, "/taken_min/as_found", json!({"return_wb_f": 12, "liquid_line_f": 41}));
    let told = changed(told, "/instruments", json!({"suction_pressure_psig": 1.0}));
    let seen = json!({"filter_condition": "fixed", "duct_smoke_test": "attention"});
    let told = changed(told, "/observations/as_found", seen);
    let told = changed(told, "/truth", json!({"cause": "low_charge", "severity": -20}));
    let told = changed(told, "/observations/as_left", json!({"drain_runs": "in_order"}));
    let kinds = ["packaged_air_conditioner", "packaged_heat_pump", "ductless"];
    let kinds = kinds.map(|it| with("/system/kind", it));
    let all = [full, document(), left, orifice, pump, told].into_iter().chain(kinds);
    all.map(|it| Node::from(&it)).collect()
});

fn setting(name: &str, usual: u64) -> u64 {
    env::var(name).ok().and_then(|it| it.parse().ok()).unwrap_or(usual)
}

#[track_caller]
fn answered(text: &str) -> Answers {
    answer(text, &BOOK, Causes::Named).unwrap_or_else(|it| panic!("{it}"))
}

fn answer_json(answer: &Answer) -> String {
    serde_json::to_string(answer).unwrap()
}

#[test]
fn a_bent_document_is_answered_or_refused_and_harms_nobody() {
    let (rounds, seed) =
        (setting("FAIRWEATHER_MUTATIONS", ROUNDS), setting("FAIRWEATHER_MUTATIONS_SEED", SEED));
    for seed in (0..rounds).map(|it| seed.wrapping_add(it)) {
        let mut chance = StdRng::seed_from_u64(seed);
        let text = bent_document(&mut chance);
        let work = AssertUnwindSafe(|| match chance.random_range(0..3) {
            0 => check_broken(&text, &mut chance),
            _ => check_document(&text, &mut chance),
        });
        let went_well = catch_unwind(work).is_ok();
        assert!(went_well, "FAIRWEATHER_MUTATIONS_SEED={seed} FAIRWEATHER_MUTATIONS=1: {text}");
    }
}

fn bent_document(chance: &mut StdRng) -> String {
    let mut tree = DOCUMENTS.choose(chance).expect("a document").clone();
    for _ in 0..chance.random_range(0..=CHANGES_MAX) {
        tree.mutate(chance);
    }
    tree.text()
}

/// A document that is still JSON, alone or between others.
fn check_document(text: &str, chance: &mut StdRng) {
    let is_alone = text.starts_with('{') && chance.random_bool(0.5);
    if is_alone {
        let answers = answered(text);
        assert!(matches!(answers, Answers::One(_)));
        check_answer(text, &answers.all()[0]);
        check_printed(&answers);
        return;
    }
    let answers = answered(&format!("[{{}},{text} , {GOOD}]"));
    let [before, bent, after] = answers.all() else { panic!("{} answers", answers.all().len()) };
    assert!(matches!(before, Answer::Refused { error, .. } if error.field == "system"));
    assert_eq!(answer_json(after), *GOOD_ANSWER);
    check_answer(text, bent);
    check_printed(&answers);
}

fn check_answer(text: &str, answer: &Answer) {
    match answer {
        Answer::Assessed(assessment) => {
            // A number that is none would come back as null, so that nothing may be lost.
            let back: Assessment = serde_json::from_str(&answer_json(answer)).unwrap();
            assert_eq!(back, **assessment);
            check_stage(&assessment.as_found);
            check_stage(&assessment.as_left);
        }
        Answer::Refused { error, .. } => {
            assert!(!error.accepted.is_empty() && !error.message.is_empty(), "{error:?}");
            assert!(error.message.contains(&error.accepted), "{error:?}");
            // A field without a name has a path without one.
            let is_nameless = !text.starts_with('{') || text.contains(r#""":"#);
            assert!(is_nameless || !error.field.is_empty(), "{error:?}");
            let printed: Value = serde_json::from_str(&answer_json(answer)).unwrap();
            for name in ["field", "given", "accepted", "message"] {
                assert!(printed["error"].get(name).is_some(), "{printed}");
            }
        }
    }
    check_both_ways(text);
}

fn check_stage(stage: &StageAssessment) {
    for measure in &stage.measures {
        assert!(measure.value.is_finite() && measure.u.is_finite(), "{measure:?}");
    }
    for verdict in &stage.verdicts {
        assert!(verdict.p_within.is_none_or(|it| (0.0..=1.0).contains(&it)), "{verdict:?}");
        assert!(!verdict.reason.is_empty() && !verdict.source.is_empty(), "{verdict:?}");
    }
    for condition in &stage.conditions {
        assert!((0.0..=1.0).contains(&condition.probability), "{condition:?}");
        assert!(!condition.evidence_for.is_empty(), "{condition:?}");
    }
    assert!(stage.complaints.iter().all(|it| !it.reason.is_empty()), "{:?}", stage.complaints);
}

/// The quick way over the text and the slow one over its value say the same.
fn check_both_ways(text: &str) {
    let by_text = read_case_text(text).map_err(|it| it.error);
    // What only the text can show.
    let hidden = ["given twice", "keeps for itself"];
    if matches!(&by_text, Err(it) if hidden.iter().any(|word| it.message.contains(word))) {
        return;
    }
    if let Ok(value) = serde_json::from_str::<Value>(text) {
        assert_eq!(by_text, read_case(&value));
    } else {
        by_text.expect_err("a refusal");
    }
}

fn check_printed(answers: &Answers) {
    let json = answers.json().unwrap();
    let printed: Value = serde_json::from_str(&json).unwrap();
    if let Answers::Many(all) = answers {
        assert_eq!(printed.as_array().map(Vec::len), Some(all.len()));
        assert_eq!(json.lines().count(), all.len() + 2);
        assert!(!answers.text().is_empty());
    }
}

/// A text that was cut or hit somewhere: JSON or not, as the JSON reader has it.
fn check_broken(text: &str, chance: &mut StdRng) {
    let mut bytes = format!("[{{}},{text}]").into_bytes();
    for _ in 0..chance.random_range(1..=3) {
        let at = chance.random_range(0..bytes.len());
        match chance.random_range(0..4) {
            0 => bytes.truncate(at.max(1)),
            1 => bytes[at] ^= 1 << chance.random_range(0..8),
            2 => bytes.insert(at, *b"{}[]\",:0-e. \\n".choose(chance).expect("a byte")),
            _ => drop(bytes.remove(at)),
        }
        if bytes.is_empty() {
            bytes.push(b' ');
        }
    }
    let text = String::from_utf8_lossy(&bytes);
    let is_json = serde_json::from_str::<IgnoredAny>(&text).is_ok();
    match answer(&text, &BOOK, Causes::LeftOut) {
        Ok(answers) => {
            assert!(is_json, "no JSON, and yet answered: {text}");
            check_printed(&answers);
        }
        Err(Unreadable::NotJson(why)) => assert!(!is_json, "JSON, and yet {why}: {text}"),
        Err(Unreadable::NoDocument) => assert!(is_json, "{text}"),
    }
}
