//! What must hold of conditions whatever was read.

use fairweather::engine::conditions::ConditionName;
use fairweather::engine::points::PointKey;
use proptest::prelude::*;
use serde_json::Value;

use super::super::nominal_case::{changed, document, with};
use super::{found, share};

/// What a gauge or a clamp on the refrigerant's lines reads.
const OF_REFRIGERANT: [PointKey; 9] = [
    PointKey::SuctionPressurePsig,
    PointKey::LiquidPressurePsig,
    PointKey::SuctionLineF,
    PointKey::LiquidLineF,
    PointKey::DrierInF,
    PointKey::DrierOutF,
    PointKey::StandingPressurePsig,
    PointKey::DischargeLineF,
    PointKey::ReversingValveRiseF,
];

/// A system with all kinds of evidence on its ducts.
fn leaking() -> Value {
    let document = with("/observations/as_found/duct_gaps", "attention");
    let document = changed(document, "/as_found/return_grille_db_f", 73.5);
    changed(document, "/as_found/supply_register_db_f", 60.0)
}

/// Readings that grow worse, and what they speak for.
const WORSE: &[(&str, &[f64], ConditionName)] = &[
    (
        "static_after_filter_inwc",
        &[-0.12, -0.18, -0.2, -0.22, -0.25, -0.3, -0.4, -0.8, -2.0],
        ConditionName::DirtyFilter,
    ),
    (
        "static_before_coil_inwc",
        &[0.1, 0.25, 0.31, 0.35, 0.45, 0.6, 1.0, 2.5],
        ConditionName::RestrictedCoil,
    ),
    (
        "static_after_coil_inwc",
        &[0.02, 0.06, 0.1, 0.15, 0.2, 0.24],
        ConditionName::ClosedOrUndersizedDucts,
    ),
    ("return_grille_db_f", &[76.0, 74.0, 73.0, 72.0, 70.0, 66.0, 60.0], ConditionName::DuctLeakage),
    (
        "capacitor_compressor_uf",
        &[46.0, 43.0, 42.5, 42.0, 41.0, 38.0, 20.0, 8.0],
        ConditionName::WeakCapacitor,
    ),
    (
        "contactor_drop_mv",
        &[50.0, 250.0, 300.0, 350.0, 500.0, 2000.0],
        ConditionName::WornContactor,
    ),
    (
        "volts_outdoor_running",
        &[230.0, 190.0, 187.0, 186.0, 183.0, 170.0],
        ConditionName::LowLineVoltage,
    ),
    ("condenser_fan_amps", &[0.7, 0.95, 1.0, 1.05, 1.2, 2.0, 10.0], ConditionName::DraggingMotor),
];

#[test]
fn a_worse_reading_never_makes_its_condition_less_likely() {
    for (key, values, name) in WORSE {
        let shares: Vec<f64> = values
            .iter()
            .map(|value| share(&with(&format!("/as_found/{key}"), *value), *name))
            .collect();
        assert!(shares.is_sorted(), "{key}: {shares:?}");
        assert!(shares.first() < shares.last(), "{key}: {shares:?}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(100))]

    #[test]
    fn no_reading_of_the_refrigerant_says_anything_of_the_ducts(
        shares in prop::collection::vec(proptest::option::of(0.0..=1.0_f64), OF_REFRIGERANT.len()),
    ) {
        let mut bent = leaking();
        for (key, share) in OF_REFRIGERANT.into_iter().zip(shares) {
            let point = key.point();
            let value = share.map_or(Value::Null, |it| (point.low + it * (point.high - point.low)).into());
            bent = changed(bent, &format!("/as_found/{}", point.key), value);
        }
        let name = ConditionName::DuctLeakage;
        prop_assert_eq!(found(&bent, name), found(&leaking(), name));
    }

    #[test]
    fn a_higher_filter_drop_never_lowers_a_dirty_filter(
        after in -1.5..-0.11_f64,
        more in 0.0..1.0_f64,
        out in proptest::option::of(-0.5..-0.08_f64),
        seen in proptest::option::of(prop::sample::select(vec!["in_order", "attention"])),
    ) {
        let of = |after: f64| {
            let mut document = with("/as_found/static_after_filter_inwc", after);
            if let Some(out) = out {
                document = changed(document, "/as_found/static_filter_out_inwc", out);
            }
            if let Some(seen) = seen {
                document = changed(document, "/observations/as_found/filter_condition", seen);
            }
            share(&document, ConditionName::DirtyFilter)
        };
        prop_assert!(of(after) <= of(after - more) + 1e-12);
    }
}

#[test]
fn a_reading_that_can_be_anything_changes_next_to_nothing() {
    for (key, worst, witness, name) in [
        ("static_after_filter_inwc", -0.4, "filter_condition", ConditionName::DirtyFilter),
        ("static_before_coil_inwc", 0.6, "coil_face", ConditionName::RestrictedCoil),
        ("return_grille_db_f", 60.0, "duct_gaps", ConditionName::DuctLeakage),
        ("capacitor_compressor_uf", 20.0, "capacitor_can", ConditionName::WeakCapacitor),
        ("contactor_drop_mv", 800.0, "contactor_points", ConditionName::WornContactor),
        ("condenser_fan_amps", 1.6, "fan_blade", ConditionName::DraggingMotor),
    ] {
        let pointer = format!("/as_found/{key}");
        let seen = changed(document(), &format!("/observations/as_found/{witness}"), "attention");
        let without = share(&changed(seen.clone(), &pointer, Value::Null), name);
        let point = PointKey::of(key).unwrap().point();
        let vague = changed(seen.clone(), &format!("/instruments/{key}"), point.high - point.low);
        let vague = share(&changed(vague, &pointer, worst), name);
        assert!((vague - without).abs() < 0.04, "{key}: {vague} against {without}");
        let sharp = share(&changed(seen, &pointer, worst), name);
        assert!((sharp - without).abs() > 0.1, "{key}: {sharp} against {without}");
    }
}
