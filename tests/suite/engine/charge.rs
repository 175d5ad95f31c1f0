//! Superheat, subcooling and what they are held against.

use fairweather::engine::assessment::{Outcome, Side};
use serde_json::json;

use crate::published;

use super::nominal_case::{
    assert_near, assessed, changed, document, value, verdict, verdict_in, with, without,
};

#[test]
fn the_healthy_system_is_within_everywhere() {
    let verdicts = assessed(&document()).as_found.verdicts;
    let strays: Vec<_> = verdicts.iter().filter(|it| it.outcome != Outcome::Within).collect();
    assert!(strays.is_empty(), "{strays:#?}");
    assert_eq!(verdicts.len(), 32);
}

/// 125 psig of R-410A at sea level boils at 42.8 degF dew; 360 psig bubbles at 108.7 degF.
#[test]
fn superheat_counts_from_dew_and_subcooling_from_bubble() {
    let document = with("/system/refrigerant", "R-407C");
    let document = changed(document, "/as_found/suction_pressure_psig", 63.2);
    let document = changed(document, "/as_found/liquid_pressure_psig", 225.5);
    // Property library, printed to 0.1 psi: 63.2 psig is dew of 40, 225.5 psig bubble of 100 degF.
    assert_near(value(&document, "superheat_f").unwrap(), 14.5, 0.05);
    assert_near(value(&document, "subcooling_f").unwrap(), 1.5, 0.05);
}

/// Reached: 0.01 degF, what 0.005 psi of rounding makes of it.
#[test]
fn superheat_and_subcooling_agree_with_the_property_library() {
    let rows = published::text_rows("superheat_subcooling_CoolProp_COMPUTED.csv");
    assert_eq!(rows.len(), 5);
    for row in rows {
        let cell = |index: usize| row[index].parse::<f64>().unwrap();
        let mut document = with("/system/refrigerant", row[0].as_str());
        for (index, point) in
            ["suction_pressure_psig", "suction_line_f", "liquid_pressure_psig", "liquid_line_f"]
                .into_iter()
                .enumerate()
        {
            document = changed(document, &format!("/as_found/{point}"), cell(index + 1));
        }
        assert_near(value(&document, "superheat_f").unwrap(), 10.0, 0.01);
        assert_near(value(&document, "subcooling_f").unwrap(), 10.0, 0.01);
    }
}

#[test]
fn the_same_gauge_reading_boils_colder_where_the_air_is_thinner() {
    let high = with("/site/elevation_ft", 5000.0);
    let sea = value(&document(), "saturated_suction_f").unwrap();
    // 2.47 psi less air at 5,000 ft, 0.42 degF a psi there.
    assert_near(sea - value(&high, "saturated_suction_f").unwrap(), 1.04, 0.03);
}

#[test]
fn an_unknown_elevation_is_said_to_be_taken_for_sea_level() {
    let unknown = verdict(&without("/site"), "subcooling_f");
    assert!(unknown.source.contains("sea level taken"), "{}", unknown.source);
    assert!(!verdict(&document(), "subcooling_f").source.contains("sea level"));
}

#[test]
fn a_starved_coil_shows_a_superheat_above_the_band() {
    let verdict = verdict(&with("/as_found/suction_line_f", 74.0), "superheat_f");
    assert_eq!((verdict.outcome, verdict.side), (Outcome::Outside, Some(Side::High)));
    assert_eq!(verdict.reason, "Superheat 31.1 °F is above 25.0.");
}

#[test]
fn an_expansion_valve_has_no_target_superheat() {
    assert_eq!(value(&document(), "target_superheat_f"), None);
    assert_eq!(verdict(&document(), "superheat_f").target, None);
}

fn fixed_orifice() -> serde_json::Value {
    let document = with("/system/metering", "fixed_orifice");
    let document = changed(document, "/as_found/return_wb_f", 66.0);
    changed(document, "/as_found/outdoor_db_f", 85.0)
}

#[test]
fn a_fixed_orifice_is_held_against_the_charts_target() {
    let verdict = verdict(&fixed_orifice(), "superheat_f");
    // The chart prints 15 at 85 and 66 degF; the superheat is 11.7.
    assert_eq!(verdict.target, Some(15.0));
    assert_eq!((verdict.low, verdict.high), (Some(10.0), Some(20.0)));
    let u = verdict.u.unwrap();
    assert!(u < verdict.u_margin.unwrap(), "the target's own uncertainty counts");
    assert_eq!(verdict.outcome, Outcome::TooClose);
}

#[test]
fn a_fixed_orifice_has_no_subcooling_verdict() {
    let stage = assessed(&fixed_orifice()).as_found;
    assert_eq!(verdict_in(&stage, "subcooling_f"), None);
}

#[test]
fn the_makers_own_chart_goes_before_the_published_one() {
    let chart = json!({"outdoor_db_f": [80, 90], "return_wb_f": [60, 70],
        "superheat_f": [[12, 12], [12, 12]]});
    let verdict =
        verdict(&changed(fixed_orifice(), "/system/superheat_chart", chart), "superheat_f");
    assert_eq!(verdict.target, Some(12.0));
    assert!(verdict.source.starts_with("the maker's own chart"));
    assert_eq!(verdict.outcome, Outcome::Within);
}

#[test]
fn a_target_below_five_degrees_can_not_be_charged_to() {
    let chart = json!({"outdoor_db_f": [80, 90], "return_wb_f": [60, 70],
        "superheat_f": [[3, 3], [3, 3]]});
    let verdict =
        verdict(&changed(fixed_orifice(), "/system/superheat_chart", chart), "superheat_f");
    assert_eq!(verdict.outcome, Outcome::NotValid);
    assert!(verdict.reason.contains("warm the house"), "{}", verdict.reason);
}

#[test]
fn a_blank_cell_of_the_chart_is_not_valid() {
    let dry = changed(fixed_orifice(), "/as_found/return_wb_f", 58.0);
    let verdict = verdict(&dry, "superheat_f");
    assert_eq!(verdict.outcome, Outcome::NotValid);
    assert!(verdict.reason.contains("charge nothing"), "{}", verdict.reason);
}

#[test]
fn a_humidity_serves_in_place_of_the_wet_bulb() {
    let humid = changed(fixed_orifice(), "/as_found/return_wb_f", serde_json::Value::Null);
    let humid = changed(humid, "/as_found/return_rh_pct", 60.0);
    // 76 degF at 60 % is 66.2 degF wet bulb at sea level: property library for moist air.
    assert_near(value(&humid, "target_superheat_f").unwrap(), 15.4, 0.25);
}

#[test]
fn low_subcooling_is_outside_on_its_low_side() {
    let verdict = verdict(&with("/as_found/liquid_line_f", 104.0), "subcooling_f");
    assert_eq!((verdict.outcome, verdict.side), (Outcome::Outside, Some(Side::Low)));
    assert_eq!((verdict.target, verdict.low, verdict.high), (Some(10.0), Some(7.0), Some(13.0)));
    assert!(verdict.p_within.unwrap() < 0.1);
}

#[test]
fn without_a_target_on_the_plate_the_subcooling_is_not_taken() {
    let verdict = verdict(&without("/system/target_subcooling_f"), "subcooling_f");
    assert_eq!(verdict.outcome, Outcome::NotTaken);
    assert!(verdict.reason.contains("target subcooling"), "{}", verdict.reason);
}

#[test]
fn metered_outdoors_there_is_no_subcooling_to_judge() {
    let stage = assessed(&with("/system/kind", "ductless")).as_found;
    assert_eq!(verdict_in(&stage, "subcooling_f"), None);
    assert!(stage.measures.iter().all(|it| it.measure != "subcooling_f"));
}

#[test]
fn a_gauge_on_the_discharge_port_can_not_judge_the_subcooling() {
    let verdict = verdict(&with("/system/liquid_port", "discharge"), "subcooling_f");
    assert_eq!(verdict.outcome, Outcome::NotValid);
}

#[test]
fn an_approach_is_judged_only_where_the_maker_gives_one() {
    assert_eq!(verdict_in(&assessed(&document()).as_found, "approach_f"), None);
    let verdict = verdict(&with("/system/target_approach_f", 10.0), "approach_f");
    assert_eq!(verdict.outcome, Outcome::Within);
}

#[test]
fn a_pressure_beyond_the_refrigerants_table_is_not_judged() {
    let verdict = verdict(&with("/as_found/liquid_pressure_psig", 690.0), "subcooling_f");
    assert_eq!(verdict.outcome, Outcome::NotValid);
    assert_eq!(verdict.value, None);
}

#[test]
fn the_compression_ratio_is_one_of_absolute_pressures() {
    let ratio = value(&document(), "compression_ratio").unwrap();
    assert_near(ratio, (360.0 + 14.696) / (125.0 + 14.696), 1e-12);
}

#[test]
fn off_the_charts_grid_the_closed_form_stands_in_and_says_so() {
    // (3 * 77 - 80 - 85) / 2, beyond the chart's 76 degF wet bulb.
    let humid = changed(fixed_orifice(), "/as_found/return_wb_f", 77.0);
    let humid = changed(humid, "/as_found/return_db_f", 82.0);
    let humid = changed(humid, "/as_found/suction_line_f", 75.0);
    let judged = verdict(&humid, "superheat_f");
    assert_eq!(judged.target, Some(33.0));
    assert!(judged.source.contains("closed form"), "{}", judged.source);
    // Its own spread against the chart, 1.6 degF, is among the errors.
    assert!(1.6 < judged.u_margin.unwrap(), "{judged:?}");
    let on_grid = verdict(&fixed_orifice(), "superheat_f");
    assert!(!on_grid.source.contains("closed form"), "{}", on_grid.source);
}

#[test]
fn the_makers_own_chart_has_no_closed_form_beyond_it() {
    let chart = json!({"outdoor_db_f": [90, 100], "return_wb_f": [60, 70],
        "superheat_f": [[12, 12], [12, 12]]});
    let beyond = changed(fixed_orifice(), "/system/superheat_chart", chart);
    assert_eq!(verdict(&beyond, "superheat_f").outcome, Outcome::NotValid);
}

#[test]
fn a_coil_below_freezing_is_outside() {
    let cold = with("/as_found/suction_pressure_psig", 90.0);
    let cold = changed(cold, "/as_found/suction_line_f", 40.0);
    let judged = verdict(&cold, "saturated_suction_f");
    assert_eq!((judged.outcome, judged.side), (Outcome::Outside, Some(Side::Low)));
    assert!(judged.reason.ends_with("The coil may ice up."), "{}", judged.reason);
    assert_eq!(verdict(&cold, "return_minus_saturation_f").side, Some(Side::High));
}

#[test]
fn a_choked_condenser_shows_over_the_outdoor_air() {
    let hot = with("/as_found/liquid_pressure_psig", 480.0);
    let judged = verdict(&hot, "condensing_over_ambient_f");
    assert_eq!((judged.outcome, judged.side), (Outcome::Outside, Some(Side::High)));
    // The efficiency class of SEER 14 usually has 20.
    assert_eq!((judged.target, judged.high), (Some(20.0), Some(30.0)));
    let ratio = verdict(&hot, "compression_ratio");
    assert_near(ratio.value.unwrap(), 494.696 / 139.696, 1e-9);
}

#[test]
fn the_newer_seasonal_rating_serves_for_the_older() {
    let newer = changed(without("/system/seer"), "/system/seer2", 15.3);
    // 15.3 / 0.95 is 16.1: the class of 15 degF.
    assert_eq!(verdict(&newer, "condensing_over_ambient_f").target, Some(15.0));
    let neither = verdict(&without("/system/seer"), "condensing_over_ambient_f");
    assert_eq!(neither.outcome, Outcome::NotTaken);
}

#[test]
fn a_discharge_line_near_saturation_warns_of_liquid() {
    let judged = verdict(&with("/as_found/discharge_line_f", 118.0), "discharge_superheat_f");
    assert_eq!((judged.outcome, judged.side), (Outcome::Outside, Some(Side::Low)));
    assert!(judged.reason.contains("Liquid may reach the compressor"), "{}", judged.reason);
}

#[test]
fn a_standing_pressure_above_that_of_the_air_is_outside() {
    // R-410A at 88 degF stands at some 265 psig.
    let calm = with("/as_found/standing_pressure_psig", 264.0);
    assert_eq!(verdict(&calm, "standing_over_ambient_f").outcome, Outcome::Within);
    let gassy = with("/as_found/standing_pressure_psig", 310.0);
    assert_eq!(verdict(&gassy, "standing_over_ambient_f").outcome, Outcome::Outside);
}

#[test]
fn a_rise_over_the_reversing_valve_is_judged_where_it_was_read() {
    let judged = verdict(&with("/as_found/reversing_valve_rise_f", 12.0), "reversing_valve_rise_f");
    assert_eq!(judged.outcome, Outcome::Outside);
    assert_eq!(verdict_in(&assessed(&document()).as_found, "reversing_valve_rise_f"), None);
}
