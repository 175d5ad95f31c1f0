//! What a sheet's hand-in makes of its last block: once, and only what differs the second time.

use fairweather::actions::{self, ActionError};
use fairweather::domain::closing::{Answer, Direction};
use fairweather::domain::price_list::PriceChange;
use fairweather::domain::refusal::Refusal;
use fairweather::domain::visit::VisitState;
use fairweather::engine::limits::LimitName;
use fairweather::store::Proposal;
use uuid::Uuid;

use super::price_list::item;
use crate::app::TestApp;
use crate::builders::{EVERYTHING, NOMINAL, Place, typed};

const WEAK: (&str, &str) = ("as_found.capacitor_compressor_uf", "38.3");
const DEVIATION: &str = "capacitor_compressor_deviation_pct";

/// A sheet with a weak capacitor, a price list, and whatever else is entered.
async fn begun(app: &TestApp, fields: &[(&str, &str)]) -> (Place, Uuid) {
    let place = app.place("Ada Fenn").await;
    app.price("Run capacitor", 18_900, &[DEVIATION]).await;
    app.price("Contactor", 24_500, &[]).await;
    let visit = app.booked(&place, app.tess).await;
    app.enter(visit, app.tess, NOMINAL).await;
    app.enter(visit, app.tess, &[WEAK]).await;
    app.enter(visit, app.tess, fields).await;
    (place, visit)
}

async fn proposals(app: &TestApp, visit: Uuid) -> Vec<Proposal> {
    app.read().await.proposals_of_visit(visit).await.unwrap()
}

/// Sends a sheet back, so that it is open again.
async fn send_back(app: &TestApp, visit: Uuid) {
    let mut tx = app.write().await;
    let visit = tx.visit(EVERYTHING, visit).await.unwrap();
    let by = app.by(Some(app.owner));
    actions::send_back_visit(&mut tx, &visit, &[("", "Look again")], by).await.unwrap();
    tx.commit().await.unwrap();
}

/// Refrigerant that was added, with all that belongs to it.
const ADDED: &[(&str, &str)] = &[
    ("as_found.moved.1", "added"),
    ("as_found.moved_lb.1", "1"),
    ("as_found.moved_oz.1", "8"),
    ("as_found.moved_cylinder.1", "R-410A no. 3"),
];

#[tokio::test]
async fn a_proposal_is_priced_by_the_list_and_stands_at_the_finding_that_it_answers() {
    let app = TestApp::new().await;
    let (_, visit) = begun(&app, &[("as_found.proposal.run_capacitor", "accepted")]).await;
    app.hand_in(visit, app.tess).await;
    let all = proposals(&app, visit).await;
    assert_eq!(all.len(), 1);
    let it = &all[0];
    assert_eq!((it.words.as_str(), it.answer), ("Run capacitor", Answer::Accepted));
    assert_eq!((it.list_cents, it.cents, it.discount_percent), (Some(18_900), Some(18_900), 0));
    let mut tx = app.read().await;
    assert_eq!(tx.price_list_of(visit).await.unwrap(), Some(2), "pinned");
    let for_findings = tx.proposals_for_findings(EVERYTHING).await.unwrap();
    let findings = tx.findings_of_visit(visit).await.unwrap();
    let finding = findings.iter().find(|it| it.raised_by == DEVIATION).unwrap();
    assert_eq!(for_findings.len(), 1);
    assert_eq!((for_findings[0].finding_id, for_findings[0].proposal.id), (finding.id, it.id));
    assert_eq!(tx.events_of(it.id).await.unwrap(), ["propose"]);
}

#[tokio::test]
async fn judging_again_moves_a_proposal_to_the_finding_in_the_old_ones_place() {
    let app = TestApp::new().await;
    app.price("Filter rack", 42_000, &["filter_drop_inwc"]).await;
    app.set_limit(LimitName::FilterDropHigh, 0.05).await;
    let (_, visit) = begun(&app, &[("as_found.proposal.filter_rack", "open")]).await;
    app.hand_in(visit, app.tess).await;
    let before = app.read().await.proposals_for_findings(EVERYTHING).await.unwrap();
    app.set_limit(LimitName::FilterDropHigh, 0.045).await;
    let mut tx = app.write().await;
    let row = tx.visit(EVERYTHING, visit).await.unwrap();
    assert!(actions::judge_again(&mut tx, &row, None, app.by(None)).await.unwrap());
    tx.commit().await.unwrap();
    let after = app.read().await.proposals_for_findings(EVERYTHING).await.unwrap();
    assert_eq!((before.len(), after.len()), (1, 1));
    assert_eq!(after[0].proposal.id, before[0].proposal.id);
    assert_ne!(after[0].finding_id, before[0].finding_id, "reworded, so another row");
}

#[tokio::test]
async fn an_agreements_discount_is_taken_off_and_both_prices_stay() {
    let app = TestApp::new().await;
    let (place, visit) = begun(&app, &[("as_found.proposal.run_capacitor", "open")]).await;
    app.agreement(&place, app.plan().await).await;
    app.hand_in(visit, app.tess).await;
    let it = proposals(&app, visit).await.remove(0);
    assert_eq!((it.list_cents, it.cents, it.discount_percent), (Some(18_900), Some(17_010), 10));
}

#[tokio::test]
async fn a_free_proposal_has_its_own_words_and_the_price_that_was_told() {
    let app = TestApp::new().await;
    let fields = [
        ("as_found.proposal_words.other_1", "Gravel pad"),
        ("as_found.proposal_price.other_1", "140"),
        ("as_found.proposal.other_1", "deferred"),
        ("as_found.proposal_until.other_1", "2026-09-01"),
    ];
    let (place, visit) = begun(&app, &fields).await;
    app.agreement(&place, app.plan().await).await;
    app.hand_in(visit, app.tess).await;
    let it = proposals(&app, visit).await.remove(0);
    assert_eq!((it.words.as_str(), it.cents, it.discount_percent), ("Gravel pad", Some(14_000), 0));
    assert_eq!(it.until.map(|day| day.to_string()).as_deref(), Some("2026-09-01"));
}

#[tokio::test]
async fn parts_and_refrigerant_are_kept_with_what_they_were() {
    let app = TestApp::new().await;
    let (place, visit) = begun(&app, ADDED).await;
    let parts = [("as_found.part.1", "Run capacitor"), ("as_found.part_count.1", "2")];
    app.enter(visit, app.tess, &parts).await;
    app.hand_in(visit, app.tess).await;
    let mut tx = app.read().await;
    let moved = tx.moved_on(visit).await.unwrap().remove(0);
    assert_eq!((moved.direction, moved.ounce_tenths), (Direction::Added, 240));
    assert_eq!((moved.refrigerant.as_str(), moved.cylinder.as_str()), ("R-410A", "R-410A no. 3"));
    assert_eq!(moved.system_id, place.system);
    let part = tx.parts_of(visit).await.unwrap().remove(0);
    assert_eq!((part.words.as_str(), part.count), ("Run capacitor", 2));
}

#[tokio::test]
async fn handed_in_twice_nothing_is_doubled() {
    let app = TestApp::new().await;
    let (_, visit) = begun(&app, ADDED).await;
    app.enter(visit, app.tess, &[("as_found.proposal.contactor", "open")]).await;
    app.enter(visit, app.tess, &[("as_found.part.1", "Contactor")]).await;
    app.hand_in(visit, app.tess).await;
    app.hand_in(visit, app.tess).await;
    send_back(&app, visit).await;
    app.hand_in(visit, app.tess).await;
    let mut tx = app.read().await;
    assert_eq!(tx.count_closing_rows(visit).await.unwrap(), (1, 1));
    let all = tx.proposals_of_visit(visit).await.unwrap();
    assert_eq!((all.len(), all[0].answer_number), (1, 1));
}

#[tokio::test]
async fn a_sheet_that_comes_in_again_adds_only_what_differs() {
    let app = TestApp::new().await;
    let (_, visit) = begun(&app, ADDED).await;
    let first = [("as_found.part.1", "Contactor"), ("as_found.part.2", "Wire nut")];
    app.enter(visit, app.tess, &first).await;
    app.hand_in(visit, app.tess).await;
    send_back(&app, visit).await;
    let second = [
        ("as_found.moved_oz.1", "12"),
        ("as_found.part.2", ""),
        ("as_found.moved.2", "recovered"),
        ("as_found.moved_oz.2", "3"),
        ("as_found.moved_cylinder.2", "Recovery"),
    ];
    app.enter(visit, app.tess, &second).await;
    app.hand_in(visit, app.tess).await;
    let mut tx = app.read().await;
    let moved = tx.moved_on(visit).await.unwrap();
    let amounts: Vec<i64> = moved.iter().map(|it| it.ounce_tenths).collect();
    assert_eq!(amounts, [280, 30]);
    let parts = tx.parts_of(visit).await.unwrap();
    assert_eq!(parts.len(), 1, "{parts:?}");
    // One line changed and one came; one part was taken back.
    assert_eq!(tx.count_closing_rows(visit).await.unwrap(), (3, 3));
}

#[tokio::test]
async fn a_line_that_is_taken_back_is_a_row_of_zero() {
    let app = TestApp::new().await;
    let (_, visit) = begun(&app, ADDED).await;
    app.hand_in(visit, app.tess).await;
    send_back(&app, visit).await;
    let none: Vec<(&str, &str)> = ADDED.iter().map(|it| (it.0, "")).collect();
    app.enter(visit, app.tess, &none).await;
    app.hand_in(visit, app.tess).await;
    let mut tx = app.read().await;
    assert_eq!(tx.moved_on(visit).await.unwrap(), []);
    assert_eq!(tx.moved().await.unwrap(), []);
    assert_eq!(tx.count_closing_rows(visit).await.unwrap().0, 2);
}

#[tokio::test]
async fn a_visit_keeps_the_prices_of_its_first_hand_in() {
    let app = TestApp::new().await;
    let (_, visit) = begun(&app, &[("as_found.proposal.run_capacitor", "open")]).await;
    app.hand_in(visit, app.tess).await;
    let dearer = item("Run capacitor", 19_900, &[DEVIATION]);
    app.change_price(PriceChange::Change("run_capacitor".to_owned(), dearer)).await;
    send_back(&app, visit).await;
    app.clock.advance(time::Duration::minutes(5));
    app.enter(visit, app.tess, &[("as_found.proposal.contactor", "open")]).await;
    app.hand_in(visit, app.tess).await;
    let all = proposals(&app, visit).await;
    let prices: Vec<Option<i64>> = all.iter().map(|it| it.cents).collect();
    assert_eq!(prices, [Some(18_900), Some(24_500)]);
}

#[tokio::test]
async fn what_is_no_longer_proposed_is_withdrawn_and_what_it_would_cost_otherwise_asked_anew() {
    let app = TestApp::new().await;
    let fields = [
        ("as_found.proposal.contactor", "open"),
        ("as_found.proposal_words.other_1", "Gravel pad"),
        ("as_found.proposal_price.other_1", "140"),
    ];
    let (_, visit) = begun(&app, &fields).await;
    app.hand_in(visit, app.tess).await;
    let before = proposals(&app, visit).await;
    send_back(&app, visit).await;
    let second = [("as_found.proposal.contactor", ""), ("as_found.proposal_price.other_1", "160")];
    app.enter(visit, app.tess, &second).await;
    app.hand_in(visit, app.tess).await;
    let after = proposals(&app, visit).await;
    assert_eq!((after.len(), after[0].cents), (1, Some(16_000)));
    assert!(before.iter().all(|it| it.id != after[0].id), "a new row");
    for old in &before {
        let events = app.read().await.events_of(old.id).await.unwrap();
        assert_eq!(events, ["propose", "withdraw"]);
    }
}

#[tokio::test]
async fn what_does_not_fit_together_can_t_be_handed_in_until_a_reason_is_there() {
    let app = TestApp::new().await;
    let (_, id) = begun(&app, &ADDED[..3]).await;
    let by = app.by(Some(app.tess));
    let mut tx = app.write().await;
    let visit = tx.visit(EVERYTHING, id).await.unwrap();
    let answer = actions::hand_in(&mut tx, &visit, by).await;
    let Err(ActionError::Refused(Refusal::DoesNotFit(sentence))) = answer else {
        panic!("{answer:?}")
    };
    assert!(sentence.contains("Cylinder of refrigerant 1"), "{sentence}");
    drop(tx);
    assert_eq!(app.visit(id).await.state, VisitState::UnderWay);
    app.enter(id, app.tess, &ADDED[3..]).await;
    app.hand_in(id, app.tess).await;
    assert_eq!(app.visit(id).await.state, VisitState::HandedIn);
}

#[tokio::test]
async fn an_impossible_amount_typed_over_a_good_one_does_not_leave_the_good_one_standing() {
    let app = TestApp::new().await;
    let (_, id) = begun(&app, ADDED).await;
    app.enter(id, app.tess, &[("as_found.moved_lb.1", "900"), ("as_found.moved_oz.1", "")]).await;
    let visit = app.visit(id).await;
    let faults = actions::closing_faults(&mut app.read().await, &visit).await.unwrap();
    assert_eq!(faults.len(), 1, "{faults:?}");
    assert_eq!(faults[0].0, "moved_lb.1");
}

#[tokio::test]
async fn a_correction_after_hand_in_reaches_the_log_too() {
    let app = TestApp::new().await;
    let (_, id) = begun(&app, ADDED).await;
    app.hand_in(id, app.tess).await;
    let mut tx = app.write().await;
    let visit = tx.visit(EVERYTHING, id).await.unwrap();
    let change = typed("as_found.moved_oz.1", "4");
    let by = app.by(Some(app.dispatcher));
    actions::correct(&mut tx, &visit, &change, "Read the scale wrongly", by).await.unwrap();
    tx.commit().await.unwrap();
    let mut tx = app.read().await;
    assert_eq!(tx.moved_on(id).await.unwrap()[0].ounce_tenths, 200);
    assert_eq!(tx.count_closing_rows(id).await.unwrap().0, 2, "both rows stay");
}

#[tokio::test]
async fn the_fields_are_read_as_found_only() {
    let app = TestApp::new().await;
    let (_, id) = begun(&app, &[]).await;
    let mut tx = app.write().await;
    let visit = tx.visit(EVERYTHING, id).await.unwrap();
    let by = app.by(Some(app.tess));
    let came_in =
        actions::enter(&mut tx, &visit, &[typed("as_left.part.1", "x")], by).await.unwrap();
    assert!(came_in[0].refusal.contains("no field"), "{}", came_in[0].refusal);
}

#[tokio::test]
async fn a_visit_without_a_price_list_is_handed_in_all_the_same() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let visit = app.booked(&place, app.tess).await;
    app.enter(visit, app.tess, NOMINAL).await;
    // Of a list that nobody here ever had.
    app.enter(visit, app.tess, &[("as_found.proposal.moon", "open")]).await;
    app.hand_in(visit, app.tess).await;
    assert_eq!(proposals(&app, visit).await, []);
    assert_eq!(app.read().await.price_list_of(visit).await.unwrap(), None);
}

#[tokio::test]
async fn what_waits_undecided_changes_nothing_of_what_closes_a_visit() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let id = app.booked(&place, app.tess).await;
    app.enter(id, app.tess, NOMINAL).await;
    let parts = [("as_found.part.1", "Contactor"), ("as_found.part_count.1", "2")];
    app.enter(id, app.tess, &parts).await;
    app.hand_in(id, app.tess).await;
    app.enter(id, app.tess, &[("as_found.part_count.1", "many")]).await;
    let mut tx = app.write().await;
    let visit = tx.visit(EVERYTHING, id).await.unwrap();
    let (change, by) = (typed("as_found.return_db_f", "75"), app.by(Some(app.tess)));
    actions::correct(&mut tx, &visit, &change, "Misread", by).await.unwrap();
    let counts: Vec<i64> = tx.parts_of(id).await.unwrap().iter().map(|it| it.count).collect();
    assert_eq!(counts, [2]);
}
