//! The demo company: the same each time, healthy where no story is told, and telling its stories.

use std::collections::BTreeMap;

use fairweather::actions::{self, WantedLimit};
use fairweather::demo::{self, Size, Truths};
use fairweather::domain::closing::{Answer, Direction};
use fairweather::engine::assessment::{Assessment, Outcome};
use fairweather::engine::causes::CauseName;
use fairweather::engine::limits::LimitName;
use fairweather::store::{By, FoundOn, Moved, Scope, Store, TimeInPlace, Tx, Visit};
use time::macros::date;
use time::{Date, Duration};
use uuid::Uuid;

use crate::app::{Home, NOW};

const TODAY: Date = date!(2026 - 06 - 15);

/// A small demo company in a store of its own.
struct Demo {
    store: Store,
    truths: Truths,
    _home: Home,
}

async fn small() -> Demo {
    let home = Home::new().await;
    let store = Store::open(&home.settings).await.unwrap();
    let truths = demo::fill(&store, (TODAY, NOW), Size::Small, |_, _| {}).await.unwrap();
    Demo { store, truths, _home: home }
}

async fn all_visits(tx: &mut Tx) -> Vec<Visit> {
    let mut visits = Vec::new();
    for year in 0..6 {
        let last = TODAY + Duration::days(100 - 365 * year);
        let first = last - Duration::days(364);
        visits.extend(tx.visits_between(first, last).await.unwrap());
    }
    visits
}

/// Everything of a company that does not come from the store's own chance.
async fn told(demo: &Demo) -> Vec<String> {
    let mut tx = demo.store.read().await.unwrap();
    let mut lines = Vec::new();
    for visit in all_visits(&mut tx).await {
        lines.push(format!(
            "{} {:?} {} {} {:?} {}",
            visit.day, visit.state, visit.system_id, visit.customer_name, visit.kind, visit.entries
        ));
        for reading in tx.readings_of(visit.number).await.unwrap() {
            let (point, at) = (reading.point, reading.taken_at);
            lines.push(format!("{point} {:?} {:?} {at}", reading.stage, reading.value));
        }
        let mut findings = tx.findings_of_visit(visit.id).await.unwrap();
        findings.sort_by(|one, other| one.raised_by.cmp(&other.raised_by));
        lines.extend(findings.into_iter().map(|it| format!("{} {}", it.raised_by, it.text)));
        let answers = tx.confirmed_causes_of(visit.number).await.unwrap();
        lines.extend(answers.into_iter().map(|it| format!("{} {} {}", it.cause, it.remark, it.at)));
    }
    lines
}

#[tokio::test]
async fn the_same_seed_makes_the_same_company() {
    let (one, other) = (small().await, small().await);
    let (lines, again) = (told(&one).await, told(&other).await);
    assert!(lines.len() > 1_000, "only {} lines", lines.len());
    assert_eq!(lines, again);
    assert_eq!(one.truths, other.truths);
}

#[tokio::test]
async fn a_store_with_a_company_is_left_as_it_is() {
    let demo = small().await;
    let before = told(&demo).await;
    let again = demo::fill(&demo.store, (TODAY, NOW), Size::Small, |_, _| {}).await;
    assert!(again.is_err());
    assert_eq!(told(&demo).await, before);
}

/// Findings of one subject for each year in which a part was looked at, by make and model.
fn rates(
    times: &[TimeInPlace],
    found: &[FoundOn],
    subject: &str,
) -> BTreeMap<(String, String), f64> {
    let mut years: BTreeMap<(String, String), (f64, f64)> = BTreeMap::new();
    for time in times {
        let end = time.removed_on.map_or(time.last_visit, |it| it.min(time.last_visit));
        let counted = found
            .iter()
            .filter(|it| it.component_id == Some(time.component_id) && it.subject == subject);
        let entry = years.entry((time.make.clone(), time.model.clone())).or_default();
        #[expect(clippy::cast_precision_loss, reason = "a few hundred at most")]
        {
            entry.0 += counted.count() as f64;
            entry.1 += (end - time.first_visit).whole_days() as f64 / 365.0 + 1.0;
        }
    }
    years.into_iter().map(|(model, (count, years))| (model, count / years)).collect()
}

fn stands_out(rates: &BTreeMap<(String, String), f64>, truth: &(String, String)) {
    let theirs = rates[truth];
    let others = rates.iter().filter(|it| it.0 != truth).map(|it| *it.1).fold(0.0, f64::max);
    assert!(theirs > 0.3, "{truth:?} has only {theirs:.2} a year");
    assert!(theirs > 1.5 * others, "{truth:?} has {theirs:.2} a year, another model {others:.2}");
}

#[tokio::test]
async fn the_findings_tell_the_hidden_stories() {
    let demo = small().await;
    let mut tx = demo.store.read().await.unwrap();
    let times = tx.times_in_place().await.unwrap();
    let found = tx.found_on_components().await.unwrap();
    let leaks = rates(&times, &found, "Coil: oil, rust, detector");
    stands_out(&leaks, &demo.truths.leaking_coil);
    let weak = rates(&times, &found, "Compressor capacitor out of tolerance");
    stands_out(&weak, &demo.truths.fading_unit);
    let visits = tx.visits_of_system(demo.truths.unrepaired_ducts).await.unwrap();
    let findings = tx.findings_of_system(demo.truths.unrepaired_ducts).await.unwrap();
    for raised_by in ["external_static_inwc", "observe.duct_gaps"] {
        let count = findings.iter().filter(|it| it.raised_by == raised_by).count();
        let handed_in = visits.iter().filter(|it| it.handed_in_at.is_some()).count();
        assert_eq!(count, handed_in, "{raised_by} in every year");
        assert!(count >= 2, "{raised_by}: only {count}");
    }
}

#[tokio::test]
async fn one_technicians_capacitor_meter_reads_high() {
    let demo = small().await;
    let mut tx = demo.store.read().await.unwrap();
    let mut deviations: BTreeMap<Uuid, Vec<f64>> = BTreeMap::new();
    for visit in all_visits(&mut tx).await {
        let Some(judgement) = tx.judgement_of(visit.number).await.unwrap() else { continue };
        let assessment: Assessment = serde_json::from_value(judgement.output.0).unwrap();
        let fan = |it: &&fairweather::engine::assessment::Measure| {
            it.measure == "capacitor_fan_deviation_pct"
        };
        let values = assessment.as_found.measures.iter().filter(fan).map(|it| it.value);
        deviations.entry(visit.technician_id.unwrap()).or_default().extend(values);
    }
    #[expect(clippy::cast_precision_loss, reason = "a few hundred at most")]
    let mean = |values: &Vec<f64>| values.iter().sum::<f64>() / values.len() as f64;
    let theirs = mean(&deviations[&demo.truths.technician_reading_high]);
    for (technician, values) in &deviations {
        if *technician != demo.truths.technician_reading_high {
            let usual = mean(values);
            assert!(theirs > usual + 3.0, "{theirs:.1} % against {usual:.1} %");
        }
    }
}

#[tokio::test]
async fn systems_without_a_story_are_mostly_within() {
    let demo = small().await;
    let mut tx = demo.store.read().await.unwrap();
    let (mut good, mut outside) = (0, 0);
    for visit in all_visits(&mut tx).await {
        if demo.truths.storied_systems.contains(&visit.system_id) {
            continue;
        }
        let Some(judgement) = tx.judgement_of(visit.number).await.unwrap() else { continue };
        let assessment: Assessment = serde_json::from_value(judgement.output.0).unwrap();
        for verdict in assessment.as_found.verdicts {
            match verdict.outcome {
                Outcome::Within | Outcome::TooClose => good += 1,
                Outcome::Outside => outside += 1,
                Outcome::NotValid | Outcome::NotTaken => {}
            }
        }
    }
    let judged = good + outside;
    println!("{good} of {judged} judged verdicts are within or too close to call");
    assert!(judged > 300, "only {judged} were judged");
    assert!(good * 100 >= judged * 85, "{good} of {judged}");
    // A demo in which nothing is ever wrong would teach nothing.
    assert!(outside > 0);
}

#[tokio::test]
async fn every_phone_and_address_is_a_fictional_one() {
    let demo = small().await;
    let mut tx = demo.store.read().await.unwrap();
    let company = tx.company().await.unwrap().unwrap();
    let mut phones = vec![company.phone];
    let mut mails = vec![company.email];
    mails.extend(tx.people().await.unwrap().into_iter().map(|it| it.email));
    for visit in all_visits(&mut tx).await {
        let customer = tx.customer(Scope::EVERYTHING, visit.customer_id).await.unwrap();
        phones.push(customer.phone);
        mails.push(customer.email);
    }
    assert!(phones.len() > 20);
    for phone in phones {
        let last = phone.strip_prefix("555-01").unwrap_or_else(|| panic!("{phone}"));
        assert!(last.len() == 2 && last.chars().all(|it| it.is_ascii_digit()), "{phone}");
    }
    for mail in mails {
        assert!(mail.ends_with("@example.com"), "{mail}");
    }
}

#[tokio::test]
async fn today_has_something_in_every_state() {
    use fairweather::domain::visit::VisitState;
    let demo = small().await;
    let mut tx = demo.store.read().await.unwrap();
    let visits = all_visits(&mut tx).await;
    for state in VisitState::ALL.into_iter().filter(|it| *it != VisitState::Cancelled) {
        assert!(visits.iter().any(|it| it.state == state), "no visit is {state:?}");
    }
    let late = visits.iter().find(|it| it.handed_in_at.is_some_and(|at| at > NOW));
    assert!(late.is_none(), "a sheet came in after now: {late:?}");
    assert!(visits.iter().any(|it| it.day == TODAY && it.state == VisitState::UnderWay));
}

#[tokio::test]
async fn the_owner_has_limits_of_their_own_and_the_whole_history_goes_by_them() {
    let demo = small().await;
    let mut tx = demo.store.read().await.unwrap();
    let own = tx.newest_limit_changes().await.unwrap();
    assert!(own.iter().all(|it| it.value.is_some() && !it.reason.is_empty()), "{own:?}");
    assert!(own.iter().any(|it| it.name == "filter_drop_high"));
    let look = actions::history_again(&mut tx).await.unwrap();
    println!("{} sheets are in", look.looked_at);
    assert!(look.looked_at > 30, "only {}", look.looked_at);
    // Priors have learnt since the first visits, so that a likeliest cause may be another by now.
    assert_eq!(look.decided_otherwise, 0, "{:?}", look.shown.first());
    assert_eq!(look.changed, look.other_causes, "{:?}", look.shown.first());
}

#[tokio::test]
async fn people_say_what_was_the_matter_where_the_story_knows_it() {
    let demo = small().await;
    let mut tx = demo.store.read().await.unwrap();
    let mut answered: BTreeMap<String, usize> = BTreeMap::new();
    for visit in all_visits(&mut tx).await {
        for answer in tx.confirmed_causes_of(visit.number).await.unwrap() {
            assert!(answer.assessment_number.is_some(), "{} was not judged", visit.id);
            assert!(visit.handed_in_at.is_some_and(|at| at < answer.at && answer.at <= NOW));
            *answered.entry(answer.cause).or_default() += 1;
        }
    }
    println!("{answered:?}");
    for cause in ["low_charge", "low_outdoor_airflow", "no_fault"] {
        assert!(answered.contains_key(cause), "{cause} is never confirmed");
    }
    let versions = tx.prior_versions().await.unwrap();
    let all: usize = answered.values().sum();
    assert_eq!(versions.len(), all, "each answer made a version");
    let priors = actions::priors(&mut tx).await.unwrap().expect("priors of its own");
    let low = CauseName::LowCharge;
    assert!(priors.given(low) > Some(low.info().prior), "the batch that leaks shows");
    let findings = tx.findings(Scope::EVERYTHING, None).await.unwrap();
    assert!(findings.iter().any(|it| it.answer.is_some()), "none stands on a finding");
}

#[tokio::test]
async fn another_limit_judges_the_whole_history_again_chunk_by_chunk() {
    let demo = small().await;
    let mut tx = demo.store.write().await.unwrap();
    let by = By { person: None, at: NOW };
    let wanted = WantedLimit {
        name: LimitName::FilterDropHigh,
        value: Some(0.1),
        reason: "To see what it does".to_owned(),
        seen: 1,
    };
    actions::change_limit(&mut tx, &wanted, by).await.unwrap();
    let look = actions::history_again(&mut tx).await.unwrap();
    assert!(look.decided_otherwise > 0 && look.decided_otherwise < look.looked_at);
    let (mut stored, mut after, mut chunks) = (0, 0, 0);
    loop {
        let chunk =
            actions::judge_history_again(&mut tx, after, &look.standards, by).await.unwrap();
        stored += chunk.stored;
        let Some(next) = chunk.next else { break };
        (after, chunks) = (next, chunks + 1);
    }
    assert_eq!(stored, look.changed, "the look and the storing go by the same");
    assert!(chunks > 1, "the small company fits into one chunk, so that nothing is shown");
    assert_eq!(actions::history_again(&mut tx).await.unwrap().changed, 0);
}

#[tokio::test]
async fn it_can_be_made_on_any_day_of_the_year() {
    // The turn of the year, the leap day, and a Sunday.
    for today in [date!(2026 - 01 - 04), date!(2028 - 02 - 29), date!(2026 - 12 - 31)] {
        let home = Home::new().await;
        let store = Store::open(&home.settings).await.unwrap();
        let now = today.with_hms(18, 0, 0).unwrap().assume_utc();
        demo::fill(&store, (today, now), Size::Small, |_, _| {}).await.unwrap();
        let mut tx = store.read().await.unwrap();
        let visits = tx.visits_between(today, today).await.unwrap();
        assert!(!visits.is_empty(), "nothing on {today}");
    }
}

/// What the engine said of each judged visit of a system, or of those without a story.
async fn judged(
    demo: &Demo,
    is_wanted: impl Fn(Uuid) -> bool,
) -> Vec<fairweather::engine::assessment::StageAssessment> {
    let mut tx = demo.store.read().await.unwrap();
    let mut stages = Vec::new();
    for visit in all_visits(&mut tx).await {
        if !is_wanted(visit.system_id) {
            continue;
        }
        let Some(judgement) = tx.judgement_of(visit.number).await.unwrap() else { continue };
        let assessment: Assessment = serde_json::from_value(judgement.output.0).unwrap();
        stages.push(assessment.as_found);
    }
    stages
}

#[tokio::test]
async fn ducts_that_were_never_repaired_show_every_year_and_explain_the_warm_rooms() {
    let demo = small().await;
    let stages = judged(&demo, |it| it == demo.truths.unrepaired_ducts).await;
    assert!(stages.len() >= 2, "only {}", stages.len());
    for stage in stages {
        let likely = stage.conditions.iter().filter(|it| it.probability >= 0.5);
        let likely: Vec<_> = likely.map(|it| it.condition.as_str()).collect();
        assert!(likely.contains(&"duct_leakage"), "{:?}", stage.conditions);
        assert!(likely.contains(&"closed_or_undersized_ducts"), "{:?}", stage.conditions);
        let warm = stage.complaints.iter().find(|it| it.complaint == "warm_room").unwrap();
        assert!(warm.explained_by.len() >= 2, "{warm:?}");
    }
}

#[tokio::test]
async fn systems_without_a_story_seldom_have_a_likely_condition() {
    let demo = small().await;
    let storied = &demo.truths.storied_systems;
    let stages = judged(&demo, |it| !storied.contains(&it)).await;
    let mut counts: BTreeMap<String, usize> = BTreeMap::new();
    for condition in stages.iter().flat_map(|it| &it.conditions) {
        if condition.probability >= 0.5 {
            *counts.entry(condition.condition.clone()).or_default() += 1;
        }
    }
    println!("{} visits: {counts:?}", stages.len());
    // Now and then a filter is loaded or a drain is slow: the demo has everyday defects too.
    assert!(counts.values().all(|it| it * 3 < stages.len()), "{counts:?} of {}", stages.len());
    assert!(
        !counts.contains_key("restricted_coil") || counts["restricted_coil"] * 10 < stages.len()
    );
}

#[tokio::test]
async fn proposals_are_answered_in_every_way_by_the_list_that_was_in_force() {
    let demo = small().await;
    let mut tx = demo.store.read().await.unwrap();
    let (mut answers, mut lists) = (BTreeMap::new(), BTreeMap::new());
    let (mut from_the_office, mut discounted, mut free) = (0, 0, 0);
    for visit in all_visits(&mut tx).await {
        let Some(list) = tx.price_list_of(visit.id).await.unwrap() else { continue };
        *lists.entry(list).or_insert(0) += 1;
        for it in tx.proposals_of_visit(visit.id).await.unwrap() {
            *answers.entry(it.answer.key()).or_insert(0) += 1;
            assert_eq!(it.until.is_some(), it.answer == Answer::Deferred, "{it:?}");
            discounted += usize::from(it.list_cents != it.cents);
            free += usize::from(it.item.starts_with("other_"));
            for said in tx.answers_of(it.id).await.unwrap() {
                assert!(said.at <= NOW, "{said:?}");
                from_the_office += usize::from(!said.from_sheet);
            }
        }
    }
    println!("{answers:?} by lists {lists:?}, {from_the_office} from the office, {free} free");
    assert_eq!(answers.len(), 4, "{answers:?}");
    assert_eq!(lists.len(), 2, "before and after the rise: {lists:?}");
    assert!(from_the_office > 0 && discounted > 0 && free > 0);
    let linked = tx.proposals_for_findings(Scope::EVERYTHING).await.unwrap();
    assert!(linked.len() > 5, "only {}", linked.len());
}

#[tokio::test]
async fn refrigerant_goes_where_the_stories_have_it() {
    let demo = small().await;
    let mut tx = demo.store.read().await.unwrap();
    let moved = tx.moved().await.unwrap();
    // The small company has few leaks and may have no replacement; the whole one has both.
    assert!(!moved.is_empty(), "nothing leaked");
    for it in &moved {
        assert!(!it.refrigerant.is_empty() && !it.cylinder.is_empty(), "{it:?}");
        assert_eq!(it.direction == Direction::Recovered, it.cylinder.starts_with("Recovery"));
    }
    let storied = &demo.truths.storied_systems;
    let is_storied = |it: &&Moved| storied.contains(&it.system_id);
    assert!(moved.iter().filter(is_storied).count() * 2 > moved.len(), "the batch leaks most");
    for it in moved.iter().filter(|it| it.direction == Direction::Recovered) {
        let same = moved.iter().filter(|other| other.visit_id == it.visit_id);
        let into = same.filter(|other| other.direction == Direction::Added);
        assert_eq!(into.count(), 1, "a coil was replaced there");
        let parts = tx.parts_of(it.visit_id).await.unwrap();
        assert!(parts.iter().any(|part| part.words == "Indoor coil"), "{parts:?}");
    }
}
