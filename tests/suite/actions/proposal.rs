//! What customers say of proposals, as the office hears it.

use fairweather::actions::{self, ActionError, Heard, answer_proposal};
use fairweather::chance;
use fairweather::domain::closing::Answer;
use fairweather::domain::refusal::Refusal;
use fairweather::store::Proposal;
use time::macros::date;
use uuid::Uuid;

use crate::app::{NOW, TestApp};
use crate::builders::{EVERYTHING, NOMINAL};

/// A visit that proposed a contactor, with the proposal open.
async fn proposed(app: &TestApp) -> (Uuid, Proposal) {
    let place = app.place("Ada Fenn").await;
    app.price("Contactor", 24_500, &[]).await;
    let visit = app.booked(&place, app.tess).await;
    app.enter(visit, app.tess, NOMINAL).await;
    app.enter(visit, app.tess, &[("as_found.proposal.contactor", "open")]).await;
    app.hand_in(visit, app.tess).await;
    let proposal = app.read().await.proposals_of_visit(visit).await.unwrap().remove(0);
    (visit, proposal)
}

fn heard(answer: Answer, seen: i64) -> Heard {
    Heard { id: chance::id(NOW), answer, until: None, seen }
}

async fn say(app: &TestApp, proposal: &Proposal, heard: &Heard) -> Result<(), ActionError> {
    let mut tx = app.write().await;
    answer_proposal(&mut tx, proposal, heard, app.by(Some(app.dispatcher))).await?;
    tx.commit().await?;
    Ok(())
}

async fn again(app: &TestApp, visit: Uuid, fields: &[(&str, &str)]) {
    let mut tx = app.write().await;
    let row = tx.visit(EVERYTHING, visit).await.unwrap();
    let by = app.by(Some(app.owner));
    actions::send_back_visit(&mut tx, &row, &[("", "Look again")], by).await.unwrap();
    tx.commit().await.unwrap();
    app.enter(visit, app.tess, fields).await;
    app.hand_in(visit, app.tess).await;
}

#[tokio::test]
async fn an_answer_is_a_row_behind_the_ones_before_and_an_event() {
    let app = TestApp::new().await;
    let (_, proposal) = proposed(&app).await;
    say(&app, &proposal, &heard(Answer::Declined, 1)).await.unwrap();
    say(&app, &proposal, &heard(Answer::Accepted, 2)).await.unwrap();
    let mut tx = app.read().await;
    let now = tx.proposal(EVERYTHING, proposal.id).await.unwrap();
    assert_eq!((now.answer, now.answer_number), (Answer::Accepted, 3));
    let answers = tx.answers_of(proposal.id).await.unwrap();
    let all: Vec<(Answer, bool)> = answers.iter().map(|it| (it.answer, it.from_sheet)).collect();
    assert_eq!(all, [(Answer::Accepted, false), (Answer::Declined, false), (Answer::Open, true)]);
    assert_eq!(answers[0].person_name.as_deref(), Some("Dora"));
    assert_eq!(tx.events_of(proposal.id).await.unwrap(), ["propose", "answer", "answer"]);
}

#[tokio::test]
async fn the_same_twice_and_what_stands_already_write_nothing() {
    let app = TestApp::new().await;
    let (_, proposal) = proposed(&app).await;
    let yes = heard(Answer::Accepted, 1);
    for _ in 0..2 {
        say(&app, &proposal, &yes).await.unwrap();
    }
    say(&app, &proposal, &heard(Answer::Accepted, 0)).await.unwrap();
    assert_eq!(app.read().await.answers_of(proposal.id).await.unwrap().len(), 2);
}

#[tokio::test]
async fn deferred_needs_a_day_and_keeps_it() {
    let app = TestApp::new().await;
    let (_, proposal) = proposed(&app).await;
    let answer = say(&app, &proposal, &heard(Answer::Deferred, 1)).await;
    assert!(matches!(answer, Err(ActionError::Refused(Refusal::UntilMissing))), "{answer:?}");
    let until = Some(date!(2026 - 09 - 01));
    say(&app, &proposal, &Heard { until, ..heard(Answer::Deferred, 1) }).await.unwrap();
    let now = app.read().await.proposal(EVERYTHING, proposal.id).await.unwrap();
    assert_eq!(now.until, until);
}

#[tokio::test]
async fn two_who_heard_something_else_are_told_of_each_other() {
    let app = TestApp::new().await;
    let (_, proposal) = proposed(&app).await;
    say(&app, &proposal, &heard(Answer::Declined, 1)).await.unwrap();
    let answer = say(&app, &proposal, &heard(Answer::Accepted, 1)).await;
    let Err(ActionError::Refused(refusal)) = answer else { panic!("{answer:?}") };
    assert!(refusal.to_string().contains("“declined” meanwhile"), "{refusal}");
}

#[tokio::test]
async fn a_sheet_that_says_the_same_again_does_not_take_back_what_the_office_heard() {
    let app = TestApp::new().await;
    let (visit, proposal) = proposed(&app).await;
    say(&app, &proposal, &heard(Answer::Accepted, 1)).await.unwrap();
    again(&app, visit, &[]).await;
    let now = app.read().await.proposal(EVERYTHING, proposal.id).await.unwrap();
    assert_eq!(now.answer, Answer::Accepted);
    again(&app, visit, &[("as_found.proposal.contactor", "declined")]).await;
    let now = app.read().await.proposal(EVERYTHING, proposal.id).await.unwrap();
    assert_eq!((now.answer, now.answer_number), (Answer::Declined, 3), "now it says another");
}

#[tokio::test]
async fn a_proposal_that_was_taken_back_can_t_be_answered() {
    let app = TestApp::new().await;
    let (visit, proposal) = proposed(&app).await;
    again(&app, visit, &[("as_found.proposal.contactor", "")]).await;
    let answer = say(&app, &proposal, &heard(Answer::Accepted, 1)).await;
    assert!(matches!(answer, Err(ActionError::Refused(Refusal::NoSuchProposal))), "{answer:?}");
}
