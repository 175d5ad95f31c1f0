//! Which sheet comes first, and why.

use fairweather::engine::assess;
use fairweather::engine::assessment::{Assessment, Cause, Outcome, Repair, RepairOutcome};
use fairweather::engine::limits::LimitBook;
use fairweather::review::sheet_doubts::{Doubted, SheetFacts, weigh};

use crate::engine::nominal_case::{case, document};

fn sound() -> Assessment {
    let mut assessment = assess(&case(&document()), &LimitBook::default());
    // Whatever is too close or not valid in the nominal case is not what is asked here.
    for stage in [&mut assessment.as_found, &mut assessment.as_left] {
        stage.doubts.clear();
        for verdict in &mut stage.verdicts {
            if verdict.outcome != Outcome::NotTaken {
                verdict.outcome = Outcome::Within;
            }
        }
    }
    assessment
}

fn of(assessment: &Assessment) -> Doubted {
    weigh(&SheetFacts { assessment: Some(assessment), ..SheetFacts::default() })
}

fn with(outcome: Outcome, measures: &[&str]) -> Assessment {
    let mut assessment = sound();
    for verdict in &mut assessment.as_found.verdicts {
        if measures.contains(&verdict.measure.as_ref()) {
            verdict.outcome = outcome;
        }
    }
    assessment.as_left.verdicts.clear();
    assessment
}

fn likely(word: &str, probability: f64) -> Assessment {
    let mut assessment = sound();
    let cause = Cause {
        cause: word.to_owned(),
        probability,
        severity: None,
        evidence_for: Vec::new(),
        evidence_against: Vec::new(),
        tell_apart: None,
    };
    assessment.as_found.causes = vec![cause];
    assessment.repair = None;
    assessment
}

#[test]
fn a_sound_sheet_gives_nothing_to_doubt() {
    assert_eq!(of(&sound()), Doubted::default());
}

#[test]
fn hazards_come_before_all_then_what_could_not_be_judged_then_the_sum() {
    let assessment = sound();
    let good = SheetFacts { assessment: Some(&assessment), ..SheetFacts::default() };
    let hazard = weigh(&SheetFacts { hazards: vec!["Smell of gas".to_owned()], ..good.clone() });
    let unjudged = weigh(&SheetFacts::default());
    // So many doubts that their sum is above that of what could not be judged.
    let doubtful = weigh(&SheetFacts { impossible: 30, late: 20, ..good.clone() });
    let close = of(&with(Outcome::TooClose, &["superheat_f"]));
    let outside = of(&with(Outcome::Outside, &["superheat_f"]));
    let mut all = [&close, &doubtful, &outside, &unjudged, &weigh(&good), &hazard];
    all.sort_by_key(|it| it.order());
    assert_eq!(all, [&hazard, &unjudged, &doubtful, &outside, &close, &weigh(&good)]);
    assert!(doubtful.score > unjudged.score);
}

#[test]
fn each_reason_stands_in_words_the_weightiest_first() {
    let assessment = with(Outcome::Outside, &["superheat_f"]);
    let doubted = weigh(&SheetFacts {
        assessment: Some(&assessment),
        impossible: 1,
        missing: vec!["Trap".to_owned()],
        late: 2,
        ..SheetFacts::default()
    });
    let wanted = [
        "1 value that can’t be",
        "Outside and not put right: Superheat",
        "2 entries after it was handed in",
        "Needed, and missing with a reason: Trap",
    ];
    let mut reasons = doubted.reasons.clone();
    assert_eq!(reasons.remove(0), wanted[0]);
    for reason in wanted {
        assert!(doubted.reasons.iter().any(|it| it == reason), "{reason}: {doubted:?}");
    }
}

#[test]
fn what_was_put_right_is_not_outside_any_more() {
    let mut assessment = with(Outcome::Outside, &["capacitor_fan_deviation_pct"]);
    assert!(of(&assessment).reasons[0].starts_with("Outside and not put right"));
    let mut left = sound().as_found;
    left.causes.clear();
    assessment.as_left = left;
    assert_eq!(of(&assessment).reasons, Vec::<String>::new());
}

#[test]
fn of_many_the_first_three_are_named_and_the_rest_counted() {
    let measures = ["superheat_f", "subcooling_f", "volts_control", "filter_drop_inwc"];
    let reasons = of(&with(Outcome::TooClose, &measures)).reasons;
    assert!(reasons[0].ends_with(" and 1 more"), "{reasons:?}");
}

#[test]
fn a_charge_that_could_not_be_judged_says_why() {
    let mut assessment = with(Outcome::NotValid, &["subcooling_f"]);
    for verdict in &mut assessment.as_found.verdicts {
        if verdict.measure == "subcooling_f" {
            "it was 48 °F outdoors".clone_into(&mut verdict.reason);
        }
    }
    let reasons = of(&assessment).reasons;
    assert_eq!(reasons, ["The charge could not be judged: it was 48 °F outdoors"]);
    assert!(of(&with(Outcome::NotValid, &["volts_control"])).reasons.is_empty());
}

#[test]
fn a_likely_cause_is_a_doubt_while_nothing_was_done_about_it() {
    let low = likely("low_charge", 0.8);
    assert!(of(&low).reasons[0].starts_with("Likely, and nothing done about it: "));
    let facts = SheetFacts { assessment: Some(&low), is_acted_on: true, ..SheetFacts::default() };
    assert!(weigh(&facts).reasons.is_empty());
    assert!(of(&likely("low_charge", 0.49)).reasons.is_empty());
    assert!(of(&likely("no_fault", 0.9)).reasons.is_empty());
    let mut repaired = low.clone();
    repaired.repair = Some(Repair {
        cause: "low_charge".to_owned(),
        outcome: RepairOutcome::Worked,
        probability: 0.95,
        share: 0.9,
        u: 0.1,
        residuals: Vec::new(),
    });
    assert!(of(&repaired).reasons.is_empty());
}
