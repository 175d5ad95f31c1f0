//! What a technician finds, does and writes on one visit.

use time::Date;

use super::closing;
use super::conditions::{Condition, Weather};
use super::equipment::{Equipment, Story};
use super::gauges;
use super::lots::Lots;
use super::meters::{self, MeterError};
use super::names_table::{COMPLAINTS, DEFECTS, LOOKED_AT};
use super::prices_table::{DUCTS_SEALED, INDOOR_COIL, LEAK_SEARCH, RUN_CAPACITOR};
use super::written::Sheet;
use crate::domain::closing::{Answer, Direction};
use crate::domain::visit::Stage;

/// Missing charge that shows at the gauges.
const CHARGE_SHORT_SEEN: f64 = 0.08;
/// Pounds of refrigerant in a system for each ton, about (common practice, no source).
const POUNDS_A_TON: f64 = 2.2;
/// A capacitor section this weak, in percent, is noticed without doubt.
const WEAK_CAPACITOR_PCT: f64 = -8.6;

/// The technician at the door.
#[derive(Clone, Copy)]
pub(super) struct Caller {
    pub(super) meter: MeterError,
    pub(super) weather: Weather,
    pub(super) is_cold: bool,
    pub(super) day: Date,
    pub(super) technician: usize,
}

/// A maintenance visit from the door to the last tick; what was repaired stays repaired.
pub(super) fn maintenance(
    equipment: &Equipment,
    condition: &mut Condition,
    caller: Caller,
    lots: &mut Lots,
) -> Sheet {
    let mut sheet = Sheet::default();
    arrive(&mut sheet, equipment, lots);
    look_around(&mut sheet, lots);
    filter_and_ducts(&mut sheet, equipment, condition, lots);
    if equipment.story == Story::UnrepairedDucts {
        // They want to wait every year: no, or next season.
        let is_odd = caller.day.year() % 2 != 0;
        let said = if is_odd { Answer::Declined } else { Answer::Deferred };
        closing::propose(&mut sheet, DUCTS_SEALED, said, caller.day);
    }
    sheet.read(Stage::AsFound, &meters::indoors(equipment, condition, caller.meter, lots));
    let outdoors = meters::outdoors(equipment, condition, (caller.weather, caller.meter), lots);
    sheet.read(Stage::AsFound, &outdoors);
    let settled = if caller.is_cold { 9.0 } else { lots.between(16.0, 26.0) };
    sheet.read(Stage::AsFound, &[("settled_min", settled)]);
    sheet.read(Stage::AsFound, &gauges::read(equipment, condition, caller.weather, lots));
    capacitor(&mut sheet, equipment, condition, (caller, lots));
    outdoor_coil(&mut sheet, condition, lots);
    if caller.is_cold {
        sheet.say(
            "customer_told",
            "Too cold today to judge the charge; we come again in the warmth.",
        );
    } else {
        charge(&mut sheet, equipment, condition, (caller, lots));
    }
    closing::propose_the_rest(&mut sheet, equipment, caller);
    sheet
}

fn arrive(sheet: &mut Sheet, equipment: &Equipment, lots: &mut Lots) {
    let habits = &equipment.habits;
    let setting = lots.whole(72, 76);
    #[expect(clippy::cast_precision_loss, reason = "two figures")]
    let setting = setting as f64;
    sheet.read(
        Stage::AsFound,
        &[
            ("room_difference_f", (habits.room_difference_f + lots.near(0.0, 0.3)).max(0.2)),
            ("thermostat_setting_f", setting),
            ("thermostat_reading_f", setting + lots.near(0.2, 0.4)),
            ("thermostat_beside_f", setting + lots.near(0.1, 0.4)),
        ],
    );
    if equipment.story == Story::UnrepairedDucts {
        sheet.say("complaint", "The two rooms at the end of the hall never get cool.");
        sheet.say("rooms", "End of the hall: 8 to 9 °F warmer than the living room.");
    } else if lots.happens(0.3) {
        sheet.say("complaint", lots.one_of(COMPLAINTS));
    }
}

/// Most things are in order; now and then one is not.
fn look_around(sheet: &mut Sheet, lots: &mut Lots) {
    for key in LOOKED_AT {
        sheet.observe(key, "in_order");
    }
    for (key, remark, share, is_fixed_at_once) in DEFECTS {
        if lots.happens(*share) {
            let outcome = if *is_fixed_at_once { "fixed" } else { "attention" };
            sheet.remark(key, outcome, remark);
        }
    }
}

fn filter_and_ducts(
    sheet: &mut Sheet,
    equipment: &Equipment,
    condition: &mut Condition,
    lots: &mut Lots,
) {
    sheet.read(Stage::AsFound, &meters::statics(equipment, condition.filter_load, lots));
    sheet.observe("filter_condition", "in_order");
    if 1.8 < condition.filter_load {
        sheet.remark("filter_condition", "fixed", "Loaded with lint; a new one went in.");
    }
    if 1.15 < condition.filter_load {
        sheet.tick("work.filter_replaced");
        condition.filter_load = 1.0;
        sheet.read(Stage::AsLeft, &meters::statics(equipment, 1.0, lots));
    }
    if equipment.story == Story::UnrepairedDucts {
        let remark = "Trunk pulled apart behind the second branch; air blows into the crawl space.";
        sheet.remark("duct_gaps", "attention", remark);
        sheet.remark("duct_insulation", "attention", "Hangs down along the trunk.");
        sheet.say("duct_places", "Crawl space, trunk behind the second branch.");
        sheet.say("customer_told", "Duct repair offered again; they want to wait.");
    }
}

fn capacitor(
    sheet: &mut Sheet,
    equipment: &Equipment,
    condition: &mut Condition,
    (caller, lots): (Caller, &mut Lots),
) {
    let is_weak = condition.compressor_capacitor_pct < WEAK_CAPACITOR_PCT;
    if !is_weak || equipment.line.phases == 3 {
        return;
    }
    if !lots.happens(0.6) {
        sheet.say("customer_told", "The capacitor is weak; they want to think about a new one.");
        closing::propose(sheet, RUN_CAPACITOR, Answer::Open, caller.day);
        return;
    }
    closing::propose(sheet, RUN_CAPACITOR, Answer::Accepted, caller.day);
    condition.compressor_capacitor_pct = lots.near(0.4, 0.4);
    condition.fade_pct = lots.between(0.05, 0.3);
    let section =
        meters::capacitance(equipment.compressor_uf, condition.compressor_capacitor_pct, lots);
    sheet.read(Stage::AsLeft, &[("capacitor_compressor_uf", section * caller.meter.capacitance)]);
    let part = format!("Run capacitor {:.0}/{:.1} µF", equipment.compressor_uf, equipment.fan_uf);
    closing::part(sheet, 1, part.clone());
    sheet.say("parts_used", part);
}

fn outdoor_coil(sheet: &mut Sheet, condition: &mut Condition, lots: &mut Lots) {
    sheet.observe("outdoor_coil", "in_order");
    if 0.1 < condition.outdoor_dirt {
        sheet.remark("outdoor_coil", "fixed", "Matted with seed fluff; washed until it ran clear.");
    }
    if 0.1 < condition.outdoor_dirt || lots.happens(0.5) {
        sheet.tick("work.outdoor_coil_washed");
        condition.outdoor_dirt = 0.0;
    } else {
        sheet.lack("as_found.work.outdoor_coil_washed", "Clean; it did not need washing.");
    }
    sheet.read(
        Stage::AsFound,
        &[
            ("unit_slope_side_in_per_ft", lots.between(0.0, 0.12)),
            ("unit_slope_front_in_per_ft", lots.between(0.0, 0.12)),
        ],
    );
}

/// A leak is looked for before anything is added; then it is read again.
fn charge(
    sheet: &mut Sheet,
    equipment: &Equipment,
    condition: &mut Condition,
    (caller, lots): (Caller, &mut Lots),
) {
    if condition.charge_short < CHARGE_SHORT_SEEN {
        return;
    }
    if equipment.story == Story::LeakingCoil {
        let remark = "Oil at the lower bends of the coil; the detector sounds there.";
        sheet.remark("leak_coil_indoors", "attention", remark);
    }
    sheet.say("leak_indoors_method", "Electronic detector, then soap at joints and bends.");
    if !lots.happens(0.8) {
        sheet.say("customer_told", "The charge is low; leak repair offered, nothing added.");
        closing::propose(sheet, LEAK_SEARCH, Answer::Deferred, caller.day);
        return;
    }
    closing::propose(sheet, LEAK_SEARCH, Answer::Accepted, caller.day);
    let pounds = condition.charge_short * equipment.tons * POUNDS_A_TON;
    let way = (1, Direction::Added);
    closing::moved(sheet, way, pounds, &closing::cylinder(equipment, caller));
    if equipment.story == Story::LeakingCoil && 1 <= condition.topped_up {
        // The second time, a new coil is talked about.
        closing::propose(sheet, INDOOR_COIL, Answer::Open, caller.day);
    }
    sheet.say("parts_used", format!("{pounds:.1} lb of {}", equipment.line.refrigerant));
    condition.charge_short = 0.0;
    condition.topped_up += 1;
    read_again(sheet, equipment, condition, (caller, lots));
}

/// The gauges as left, after whatever changed them.
fn read_again(
    sheet: &mut Sheet,
    equipment: &Equipment,
    condition: &Condition,
    (caller, lots): (Caller, &mut Lots),
) {
    let mut weather = caller.weather;
    weather.outdoor_f += lots.between(0.2, 1.4);
    weather.return_f -= lots.between(0.1, 0.6);
    let readings = gauges::read(equipment, condition, weather, lots);
    sheet.read(Stage::AsLeft, &[("settled_min", lots.between(16.0, 20.0))]);
    sheet.read(Stage::AsLeft, &readings);
}

/// The repair visit on which a leaking coil is replaced.
pub(super) fn coil_replacement(
    equipment: &Equipment,
    condition: &mut Condition,
    caller: Caller,
    lots: &mut Lots,
) -> Sheet {
    let mut sheet = Sheet::default();
    let full = equipment.tons * POUNDS_A_TON;
    let left = full * (1.0 - condition.charge_short);
    let into = closing::recovery_cylinder(caller);
    closing::moved(&mut sheet, (1, Direction::Recovered), left, &into);
    closing::moved(&mut sheet, (2, Direction::Added), full, &closing::cylinder(equipment, caller));
    closing::part(&mut sheet, 1, "Indoor coil");
    closing::part(&mut sheet, 2, "Filter drier");
    condition.charge_short = 0.0;
    condition.leak_rate = 0.0;
    sheet.observe("leak_joints_indoors", "in_order");
    sheet.observe("leak_coil_indoors", "in_order");
    sheet.observe("drain_runs", "in_order");
    sheet.say("leak_indoors_method", "Held under nitrogen for half an hour, then vacuum.");
    sheet
        .say("parts_used", format!("Indoor coil, drier, {} by weight", equipment.line.refrigerant));
    read_again(&mut sheet, equipment, condition, (caller, lots));
    for key in ["close_filter", "close_panels", "close_disconnect", "close_running"] {
        sheet.observe(key, "in_order");
    }
    sheet
}
