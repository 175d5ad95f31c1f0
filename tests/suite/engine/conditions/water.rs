//! The condensate drain.

use fairweather::engine::case::LookedAt;
use fairweather::engine::conditions::ConditionName::DrainAtRisk;

use super::super::nominal_case::{changed, with};
use super::{found, is_unsaid, seen, share};

#[test]
fn one_bad_part_puts_the_drain_at_risk_whatever_else_is_in_order() {
    let pan = seen(LookedAt::PanSound, "attention");
    let alone = found(&pan, DrainAtRisk);
    assert!(alone.probability > 0.8, "{alone:?}");
    let others = ["drain_runs", "drain_trap", "float_switch", "water_tracks"];
    let all = others.into_iter().fold(pan, |document, key| {
        changed(document, &format!("/observations/as_found/{key}"), "in_order")
    });
    assert!(share(&all, DrainAtRisk) >= alone.probability);
    assert_eq!(found(&all, DrainAtRisk).evidence_for, ["pan_sound"]);
}

#[test]
fn two_bad_parts_are_worse_than_one() {
    let one = seen(LookedAt::WaterTracks, "attention");
    let two = changed(one.clone(), "/observations/as_found/float_switch", "fixed");
    assert!(share(&one, DrainAtRisk) < share(&two, DrainAtRisk));
}

#[test]
fn the_slope_of_the_outdoor_unit_says_nothing_of_the_drain() {
    assert!(is_unsaid(&with("/as_found/unit_slope_side_in_per_ft", 1.5), DrainAtRisk));
}
