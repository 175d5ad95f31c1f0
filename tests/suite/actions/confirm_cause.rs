//! What a repair found: who may say so, what stands, and what was predicted before.

use fairweather::actions::{self, ActionError, Confirmation};
use fairweather::chance;
use fairweather::domain::refusal::Refusal;
use fairweather::store::{ConfirmedCause, NewJudgement, Slot};
use serde_json::{Value, json};
use uuid::Uuid;

use crate::app::{NOW, TestApp};
use crate::builders::NOMINAL;

/// An answer as the visit's page sends it.
pub fn confirmation(cause: &str, seen: i64) -> Confirmation {
    Confirmation {
        id: chance::id(NOW),
        cause: cause.to_owned(),
        finding: None,
        remark: "Found at the coil".to_owned(),
        seen,
    }
}

impl TestApp {
    /// A nominal sheet that is in, of a customer of that name, who has the hour of its letter.
    pub async fn sheet_in(&self, name: &str) -> Uuid {
        let place = self.place(name).await;
        let letter = name.bytes().next().expect("a letter");
        let start_minute = 60 * i64::from(8 + (letter - b'A') % 12);
        let slot = Slot { day: NOW.date(), start_minute, minutes: 60 };
        let id = self.booked_at(&place, self.tess, slot).await;
        self.enter(id, self.tess, NOMINAL).await;
        self.hand_in(id, self.tess).await;
        id
    }

    pub async fn confirm(
        &self,
        visit: Uuid,
        wanted: &Confirmation,
        person: Option<Uuid>,
    ) -> Result<(), ActionError> {
        let visit = self.visit(visit).await;
        let mut tx = self.write().await;
        actions::confirm_cause(&mut tx, &visit, wanted, self.by(person)).await?;
        tx.commit().await?;
        Ok(())
    }

    /// Confirms a cause as the technician of the visit.
    pub async fn found(&self, visit: Uuid, cause: &str) {
        let seen = self.answers(visit).await.first().map_or(0, |it| it.number);
        let answer = self.confirm(visit, &confirmation(cause, seen), Some(self.tess)).await;
        answer.expect("it is recorded");
    }

    pub async fn answers(&self, visit: Uuid) -> Vec<ConfirmedCause> {
        let number = self.visit(visit).await.number;
        self.read().await.confirmed_causes_of(number).await.expect("the answers")
    }

    /// Puts a judgement by hand, as if the engine had named these causes as found.
    pub async fn predict(&self, visit: Uuid, causes: &[(&str, f64)]) {
        let number = self.visit(visit).await.number;
        let mut tx = self.write().await;
        let judgement = tx.judgement_of(number).await.expect("a row").expect("it was judged");
        let mut output = judgement.output.0;
        output["as_found"]["abstained"] = Value::Null;
        output["as_found"]["causes"] = causes
            .iter()
            .map(|(cause, probability)| {
                json!({"cause": cause, "probability": probability, "severity": null,
                       "for": [], "against": [], "tell_apart": null})
            })
            .collect();
        let (engine, rules, priors) = ("0.9.0", "default-2", "priors-4");
        output["engine"] = json!(engine);
        output["priors"] = json!(priors);
        let input = &judgement.input.0;
        let new = NewJudgement { input, output: &output, engine, rules, priors };
        tx.insert_judgement(number, NOW, new).await.expect("it is kept");
        tx.commit().await.expect("it is kept");
    }
}

fn refused(answer: Result<(), ActionError>) -> Refusal {
    match answer {
        Err(ActionError::Refused(refusal)) => refusal,
        other => panic!("{other:?}"),
    }
}

#[tokio::test]
async fn an_answer_stands_with_who_when_and_what_was_predicted() {
    let app = TestApp::new().await;
    let visit = app.sheet_in("Ada Fenn").await;
    app.found(visit, "low_charge").await;
    let answer = app.answers(visit).await.remove(0);
    assert_eq!((answer.cause.as_str(), answer.number), ("low_charge", 1));
    assert_eq!((answer.person_name.as_str(), answer.at), ("Tess", app.clock.now()));
    assert_eq!(answer.assessment_number, Some(1));
    let events = app.read().await.events_of(visit).await.unwrap();
    assert_eq!(events.last().map(String::as_str), Some("confirm_cause"));
}

#[tokio::test]
async fn the_same_form_twice_and_the_same_answer_twice_are_one() {
    let app = TestApp::new().await;
    let visit = app.sheet_in("Ada Fenn").await;
    let form = confirmation("low_charge", 0);
    for _ in 0..2 {
        app.confirm(visit, &form, Some(app.tess)).await.unwrap();
    }
    app.confirm(visit, &confirmation("low_charge", 0), Some(app.owner)).await.unwrap();
    assert_eq!(app.answers(visit).await.len(), 1);
    assert_eq!(app.read().await.prior_versions().await.unwrap().len(), 1);
}

#[tokio::test]
async fn two_causes_are_one_word_whichever_was_sent_first() {
    let app = TestApp::new().await;
    let visit = app.sheet_in("Ada Fenn").await;
    app.found(visit, "low_indoor_airflow+low_charge").await;
    assert_eq!(app.answers(visit).await[0].cause, "low_charge+low_indoor_airflow");
}

#[tokio::test]
async fn a_later_judgement_does_not_change_what_was_predicted() {
    let app = TestApp::new().await;
    let visit = app.sheet_in("Ada Fenn").await;
    app.predict(visit, &[("no_fault", 0.6)]).await;
    app.found(visit, "low_charge").await;
    app.predict(visit, &[("low_charge", 0.9)]).await;
    app.found(visit, "low_charge+low_indoor_airflow").await;
    let numbers: Vec<_> = app.answers(visit).await.iter().map(|it| it.assessment_number).collect();
    assert_eq!(numbers, [Some(2), Some(2)], "the third knows the answer");
    let answered = app.read().await.answered_visits().await.unwrap();
    assert_eq!(answered.len(), 1, "the newest answer of a visit counts");
    assert_eq!(answered[0].cause, "low_charge+low_indoor_airflow");
    assert!(answered[0].output.as_ref().unwrap().0.get().contains("no_fault"));
}

#[tokio::test]
async fn what_can_t_be_an_answer_is_refused() {
    let app = TestApp::new().await;
    let visit = app.sheet_in("Ada Fenn").await;
    let tess = Some(app.tess);
    let word = refused(app.confirm(visit, &confirmation("a_bad_day", 0), tess).await);
    assert_eq!((word.field(), &word), ("cause", &Refusal::CauseMissing));
    let nobody = refused(app.confirm(visit, &confirmation("low_charge", 0), None).await);
    assert_eq!(nobody, Refusal::NobodyConfirms, "the program can't know");
    let long = Confirmation { remark: "so ".repeat(900), ..confirmation("low_charge", 0) };
    assert_eq!(refused(app.confirm(visit, &long, tess).await), Refusal::TextTooLong);
    assert_eq!(app.answers(visit).await, []);
    assert_eq!(app.read().await.prior_versions().await.unwrap(), []);
}

#[tokio::test]
async fn a_sheet_that_is_not_in_predicted_nothing_yet() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let open = app.booked(&place, app.tess).await;
    let refusal = refused(app.confirm(open, &confirmation("no_fault", 0), Some(app.tess)).await);
    assert!(matches!(refusal, Refusal::WrongState(_)), "{refusal:?}");
}

#[tokio::test]
async fn an_answer_stands_on_its_finding_and_on_no_other_visits() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let visit = app.booked_late(&place, app.tess).await;
    let mut fields = NOMINAL.to_vec();
    fields.push(("as_found.observe.leak_coil_indoors", "attention"));
    app.enter(visit, app.tess, &fields).await;
    app.hand_in(visit, app.tess).await;
    let finding = app.read().await.findings_of_visit(visit).await.unwrap().remove(0);
    let other = app.sheet_in("Bo Larch").await;
    let on_it = Confirmation { finding: Some(finding.id), ..confirmation("low_charge", 0) };
    let elsewhere = refused(app.confirm(other, &on_it, Some(app.tess)).await);
    assert_eq!((elsewhere.field(), &elsewhere), ("finding", &Refusal::NoSuchFinding));
    app.confirm(visit, &on_it, Some(app.tess)).await.unwrap();
    let answer = app.answers(visit).await.remove(0);
    assert_eq!(answer.finding_subject.as_deref(), Some(finding.subject.as_str()));
    let finding = app.read().await.findings_of_visit(visit).await.unwrap().remove(0);
    assert_eq!(finding.answer.as_deref(), Some("low_charge"));
}

#[tokio::test]
async fn two_people_at_once_are_told_of_each_other() {
    let app = TestApp::new().await;
    let visit = app.sheet_in("Ada Fenn").await;
    app.found(visit, "low_charge").await;
    let late = confirmation("no_fault", 0);
    let refusal = refused(app.confirm(visit, &late, Some(app.dispatcher)).await);
    let sentence = refusal.to_string();
    assert!(sentence.contains("Tess answered meanwhile: Too little refrigerant"), "{sentence}");
    assert!(sentence.contains("Found at the coil"), "{sentence}");
    let seen = Confirmation { seen: 1, ..late };
    app.confirm(visit, &seen, Some(app.dispatcher)).await.unwrap();
    let answers = app.answers(visit).await;
    let causes: Vec<_> = answers.iter().map(|it| it.cause.as_str()).collect();
    assert_eq!(causes, ["no_fault", "low_charge"], "the newest first, and both stay");
}

#[tokio::test]
async fn a_visit_that_could_not_be_judged_is_answered_without_a_prediction() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let owner = app.browser(app.owner).await;
    let plate = format!("/components/{}/plate", place.outdoor_unit);
    owner.post(&plate, &[("version", "1"), ("reason", "It can't be read")]).await.way_on();
    let visit = app.booked(&place, app.tess).await;
    app.enter(visit, app.tess, NOMINAL).await;
    app.hand_in(visit, app.tess).await;
    app.found(visit, "low_charge").await;
    assert_eq!(app.answers(visit).await[0].assessment_number, None);
    assert!(app.read().await.answered_visits().await.unwrap()[0].output.is_none());
}
