//! From rows to the document that the engine sees.

use fairweather::domain::sheet;
use fairweather::domain::visit::Stage;
use fairweather::domain::visit_document::{Taken, Ticked, document};
use fairweather::engine::case::{CameTo, LookedAt, read_case};
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
        ticked(Stage::AsFound, "after_repair.static_after_coil_inwc"),
        ticked(Stage::AsLeft, "circumstance.defrost"),
        ticked(Stage::AsFound, "work.filter_replaced"),
    ];
    let document = document("1", facts(), 0.0, (&[], None), &ticks);
    assert_eq!(document["circumstances"]["as_found"], json!(["panels_off"]));
    assert_eq!(document["circumstances"]["as_left"], json!(["defrost"]));
    assert_eq!(document["read_after_repair"]["as_found"], json!(["static_after_coil_inwc"]));
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
