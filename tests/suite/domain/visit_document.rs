//! From rows to the document that the engine sees.

use fairweather::domain::priors::{Evidence, named};
use fairweather::domain::sheet;
use fairweather::domain::visit::Stage;
use fairweather::domain::visit_document::{
    Taken, Ticked, as_history, document, with_what_was_known,
};
use fairweather::engine::case::{CameTo, LookedAt, read_case};
use fairweather::engine::causes::CauseName;
use serde_json::json;
use time::macros::datetime;

fn taken(stage: Stage, take: i64, point: &str, value: f64, minute: u8) -> Taken<'_> {
    let at = datetime!(2026-06-15 15:00 UTC) + time::Duration::minutes(i64::from(minute));
    Taken { stage, take, point, value, at }
}

fn facts() -> serde_json::Value {
    json!({"kind": "split_air_conditioner", "refrigerant": "R-410A",
           "metering": "thermostatic_expansion"})
}

#[test]
fn of_several_takes_the_last_counts_and_minutes_run_from_the_first_reading() {
    let readings = [
        taken(Stage::AsFound, 1, "return_db_f", 76.0, 12),
        taken(Stage::AsLeft, 1, "return_db_f", 75.0, 60),
        taken(Stage::AsLeft, 2, "return_db_f", 74.0, 80),
        taken(Stage::AsFound, 1, "static_return_inwc", -0.1, 0),
    ];
    let document = document("1", facts(), 300.0, (&readings, None), &[]);
    assert_eq!(document["as_left"], json!({"return_db_f": 74.0}));
    assert_eq!(document["taken_min"]["as_found"]["return_db_f"], json!(12.0));
    assert_eq!(document["taken_min"]["as_left"]["return_db_f"], json!(80.0));
    read_case(&document).expect("the engine takes it");
}

#[test]
fn what_was_read_again_or_never_is_not_called_unchanged() {
    let readings = [
        taken(Stage::AsFound, 1, "outdoor_db_f", 88.0, 0),
        taken(Stage::AsFound, 1, "return_db_f", 76.0, 0),
        taken(Stage::AsLeft, 1, "return_db_f", 75.0, 60),
    ];
    let tick = |field| Ticked { stage: Stage::AsLeft, field, value: "yes" };
    let ticks = [
        tick("unchanged.outdoor_db_f"),
        tick("unchanged.return_db_f"),
        tick("unchanged.return_wb_f"),
    ];
    let document = document("1", facts(), 300.0, (&readings, None), &ticks);
    assert_eq!(document["unchanged"], json!(["outdoor_db_f"]));
    read_case(&document).expect("the engine takes it");
}

#[test]
fn ticks_go_to_their_stage_and_to_nothing_else() {
    let ticked = |stage, field| Ticked { stage, field, value: "yes" };
    let ticks = [
        ticked(Stage::AsFound, "circumstance.panels_off"),
        ticked(Stage::AsFound, "behind.filter_bypass"),
        ticked(Stage::AsLeft, "circumstance.defrost"),
        ticked(Stage::AsFound, "work.filter_replaced"),
    ];
    let document = document("1", facts(), 0.0, (&[], None), &ticks);
    assert_eq!(document["circumstances"]["as_found"], json!(["panels_off"]));
    assert_eq!(document["circumstances"]["as_left"], json!(["defrost"]));
    assert_eq!(
        document["read_after_repair"]["as_found"],
        json!(["static_after_filter_inwc", "static_filter_out_inwc", "static_return_inwc"])
    );
}

#[test]
fn what_a_correction_added_has_no_minute_for_it_was_not_read_then() {
    let readings = [
        taken(Stage::AsFound, 1, "return_db_f", 76.0, 0),
        taken(Stage::AsFound, 1, "return_wb_f", 63.0, 200),
    ];
    let handed_in = Some(datetime!(2026-06-15 16:00 UTC));
    let document = document("1", facts(), 0.0, (&readings, handed_in), &[]);
    assert_eq!(document["taken_min"]["as_found"], json!({"return_db_f": 0.0}));
    assert_eq!(document["as_found"]["return_wb_f"], json!(63.0));
}

#[test]
fn what_was_looked_at_reaches_the_engine_as_far_as_it_leans_on_it() {
    let seen = |field, value| Ticked { stage: Stage::AsFound, field, value };
    let ticks = [
        seen("observe.duct_smoke_test", "attention"),
        seen("observe.pan_sound", "not_accessible"),
        // The engine leans on neither: one is another thing, the other no outcome.
        seen("observe.clearances", "attention"),
        seen("observe.drain_runs", "perhaps"),
        seen("remark.duct_smoke_test", "At the boot of the hall."),
    ];
    let document = document("1", facts(), 0.0, (&[], None), &ticks);
    let found = json!({"duct_smoke_test": "attention", "pan_sound": "not_accessible"});
    assert_eq!(document["observations"], json!({"as_found": found, "as_left": {}}));
    let case = read_case(&document).expect("the engine takes it");
    assert_eq!(case.observations.as_found[&LookedAt::PanSound], CameTo::NotAccessible);
}

#[test]
fn the_engine_and_the_sheet_look_at_the_same_things_and_come_to_the_same() {
    for at in LookedAt::WORDS {
        assert!(sheet::words_of(&format!("observe.{at}")).is_some(), "{at} is not on the sheet");
    }
    let outcomes: Vec<_> = sheet::OUTCOMES.iter().map(|it| it.0).collect();
    assert_eq!(CameTo::WORDS, outcomes);
}

/// A visit with something of everything.
fn whole() -> serde_json::Value {
    let readings = [
        taken(Stage::AsFound, 1, "ambient_co_ppm", 1.0, 0),
        taken(Stage::AsFound, 1, "return_db_f", 76.0, 7),
        taken(Stage::AsFound, 1, "outdoor_db_f", 88.0, 8),
        taken(Stage::AsFound, 1, "capacitor_fan_uf", 5.0, 9),
    ];
    let ticks = [
        Ticked { stage: Stage::AsFound, field: "circumstance.panels_off", value: "yes" },
        Ticked { stage: Stage::AsFound, field: "behind.capacitor_can", value: "yes" },
        Ticked { stage: Stage::AsLeft, field: "unchanged.outdoor_db_f", value: "yes" },
        Ticked { stage: Stage::AsLeft, field: "unchanged.ambient_co_ppm", value: "yes" },
    ];
    document("1", facts(), 300.0, (&readings, None), &ticks)
}

#[test]
fn history_carries_what_causes_are_told_by_and_nothing_else() {
    let earlier = as_history(whole(), None);
    assert_eq!(earlier["as_found"], json!({"return_db_f": 76.0, "outdoor_db_f": 88.0}));
    assert_eq!(earlier["taken_min"]["as_found"], json!({"return_db_f": 7.0, "outdoor_db_f": 8.0}));
    assert_eq!(earlier["circumstances"]["as_found"], json!(["panels_off"]));
    assert_eq!(earlier["unchanged"], json!(["outdoor_db_f"]));
    let gone = ["read_after_repair", "as_left", "truth"];
    assert!(gone.iter().all(|it| earlier.get(it).is_none()), "{earlier}");
    read_case(&earlier).expect("the engine takes it as a document of its own");
}

#[test]
fn what_a_repair_found_stands_beside_an_earlier_visit() {
    let earlier = as_history(whole(), Some("low_charge"));
    assert_eq!(earlier["truth"], json!({"cause": "low_charge"}));
    read_case(&earlier).expect("the engine takes it");
}

#[test]
fn without_earlier_visits_and_own_priors_the_document_stays_as_it_is() {
    assert_eq!(with_what_was_known(whole(), Vec::new(), None), whole());
}

#[test]
fn the_engine_reads_the_history_and_the_priors_of_a_document() {
    let priors = named(3, &Evidence::of([("low_charge", 4)], 9).shares());
    let history = vec![as_history(whole(), Some("no_fault")), as_history(whole(), None)];
    let document = with_what_was_known(whole(), history, Some(&priors));
    let case = read_case(&document).expect("the engine takes it");
    assert_eq!(case.history.len(), 2);
    let given = case.priors.expect("priors");
    assert_eq!(given.version(), "priors-3");
    assert_eq!(given.given(CauseName::LowCharge), priors.low_charge);
}
