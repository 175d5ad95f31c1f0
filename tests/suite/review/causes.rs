//! How often the causes were right: what is counted, and of what too little is known to tell.

use fairweather::engine::causes::CauseName;
use fairweather::review::causes::{ANSWERS_MIN, Answer, how_often, tellable};
use fairweather::scoring::confusion::Column;
use fairweather::scoring::outcome::Outcome;
use fairweather::scoring::{NamedCause, Told};

fn cause(word: &str) -> NamedCause {
    NamedCause::of_word(word).expect("a cause")
}

fn answer(told: &[(&str, f64)], found: &str) -> Answer {
    let told = told.iter().map(|it| Told { cause: cause(it.0), probability: it.1 });
    Answer {
        told: told.collect(),
        found: cause(found),
        knows_plate_subcooling: true,
        engine: Some("1".to_owned()),
        priors: "default-1".to_owned(),
    }
}

#[test]
fn what_came_of_each_answer_is_counted_apart_for_faults_and_none() {
    let all = how_often(&[
        answer(&[("low_charge", 0.9)], "low_charge"),
        answer(&[("feed_restriction", 0.6)], "low_charge"),
        answer(&[("no_fault", 0.7)], "low_charge"),
        answer(&[], "low_charge"),
        answer(&[("no_fault", 0.9)], "no_fault"),
        answer(&[("low_charge", 0.5)], "no_fault"),
    ]);
    assert_eq!((all.answered, all.with_a_fault, all.right), (6, 4, 2));
    let came: Vec<_> =
        all.outcomes.iter().map(|it| (it.outcome, it.with_a_fault, it.without)).collect();
    assert_eq!(
        came,
        [
            (Outcome::Correct, 1, 1),
            (Outcome::Misdiagnosis, 1, 0),
            (Outcome::Missed, 1, 0),
            (Outcome::FalseAlarm, 0, 1),
            (Outcome::NoResponse, 1, 0),
        ]
    );
}

#[test]
fn the_table_and_the_curve_are_of_the_same_answers() {
    let all = how_often(&[
        answer(&[("low_charge", 0.93)], "low_charge"),
        answer(&[("low_charge", 0.91)], "feed_restriction"),
        answer(&[], "feed_restriction"),
    ]);
    let restricted = cause("feed_restriction");
    let low = Column::One(CauseName::LowCharge);
    assert_eq!(all.confusion.count(restricted, low), 1);
    assert_eq!(all.confusion.count(restricted, Column::NothingNamed), 1);
    assert_eq!((all.reliability.answers, all.reliability.right), (2, 1));
}

#[test]
fn of_fewer_than_five_answers_no_share_is_told() {
    let few: Vec<Answer> =
        (1..ANSWERS_MIN).map(|_| answer(&[("low_charge", 0.92)], "low_charge")).collect();
    let told = |answers: &[Answer]| {
        let curve = tellable(&how_often(answers).reliability);
        let bin = curve.bins.iter().find(|it| it.count > 0).copied().expect("a bin");
        (bin.count, bin.share_true.is_some(), bin.interval.is_some())
    };
    assert_eq!(told(&few), (4, false, false));
    let enough = [few.clone(), vec![few[0].clone()]].concat();
    assert_eq!(told(&enough), (5, true, true));
}

#[test]
fn engines_and_the_priors_they_went_by_are_named_in_the_order_of_the_visits() {
    let by = |engine: Option<&str>, priors: &str| Answer {
        engine: engine.map(str::to_owned),
        priors: priors.to_owned(),
        ..answer(&[], "no_fault")
    };
    let all = how_often(&[
        by(Some("1"), "default-1"),
        by(Some("1"), "priors-9"),
        by(None, ""),
        by(Some("1"), "priors-10"),
        by(Some("1"), "priors-9"),
    ]);
    let told: Vec<_> =
        all.judged_by.iter().map(|it| (it.engine.as_deref(), it.visits, it.priors.len())).collect();
    assert_eq!(told, [(Some("1"), 4, 3), (None, 1, 0)]);
    assert_eq!(all.judged_by[0].priors, ["default-1", "priors-9", "priors-10"]);
}

#[test]
fn without_an_answer_nothing_is_told() {
    let all = how_often(&[]);
    assert_eq!((all.answered, all.right, all.interval), (0, 0, None));
    assert!(all.outcomes.is_empty() && all.confusion.rows.is_empty());
}
