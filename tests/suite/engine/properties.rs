//! Anything in, finite numbers and five outcomes out.

use fairweather::engine::assess;
use fairweather::engine::assessment::{Outcome, StageAssessment};
use fairweather::engine::case::{
    AirflowRow, BlowerKind, Cabinet, CameTo, Case, Circumstance, CoilReference, FilterLocation,
    LookedAt, Metering, RatedVolts, Readings, SuperheatChart, SystemKind,
};
use fairweather::engine::conditions::LISTED_FROM;
use fairweather::engine::likely::label;
use fairweather::engine::limits::LimitBook;
use fairweather::engine::points::{POINTS, PointKey};
use fairweather::engine::refrigerant::designations;
use proptest::prelude::*;
use proptest::sample::{select, subsequence};
use serde_json::json;

/// A reading anywhere in its point's range, with its edges.
fn possible_readings() -> impl Strategy<Value = Readings> {
    let keys = subsequence((0..POINTS.len()).collect::<Vec<_>>(), 0..=POINTS.len());
    (keys, prop::collection::vec(0.0..=1.0_f64, POINTS.len())).prop_map(|(keys, shares)| {
        let reading = |index: usize| {
            let point = &POINTS[index];
            (PointKey::ALL[index], point.low + shares[index] * (point.high - point.low))
        };
        keys.into_iter().map(reading).collect()
    })
}

/// What no document could hold, but a program might hand over.
fn wild_readings() -> impl Strategy<Value = Readings> {
    prop::collection::vec(any::<f64>(), POINTS.len())
        .prop_map(|values| PointKey::ALL.iter().copied().zip(values).collect())
}

prop_compose! {
    fn any_case(as_found: BoxedStrategy<Readings>, number: BoxedStrategy<f64>)(
        as_found in as_found,
        as_left in possible_readings(),
        kind in select(SystemKind::ALL),
        metering in select(Metering::ALL),
        cabinet in proptest::option::of(select(Cabinet::ALL)),
        filter_location in proptest::option::of(select(FilterLocation::ALL)),
        volts in proptest::option::of(select(RatedVolts::ALL)),
        phases in select(vec![None, Some(1), Some(3)]),
        refrigerant in select(designations().chain(["R-0"]).collect::<Vec<_>>()),
        facts in prop::collection::vec(proptest::option::of(number.clone()), 24),
        circumstances in subsequence(Circumstance::ALL, 0..=2),
        instruments in prop::collection::vec(number.clone(), POINTS.len()),
        rows in prop::collection::vec((select(vec!["med", "high"]), number.clone(), number), 0..4),
        (blower, tap) in (
            proptest::option::of(select(BlowerKind::ALL)),
            proptest::option::of(select(vec!["med", "none"])),
        ),
        minutes in prop::collection::vec(0.0..2400.0_f64, POINTS.len()),
        (has_chart, has_history) in any::<(bool, bool)>(),
        observed in prop::collection::btree_map(select(LookedAt::ALL), select(CameTo::ALL), 0..6),
    ) -> Case {
        let mut case = Case { as_found, as_left, ..Case::default() };
        let system = &mut case.system;
        system.kind = kind;
        system.metering = metering;
        system.cabinet = cabinet;
        system.filter_location = filter_location;
        system.volts_outdoor_rated = volts;
        system.volts_indoor_rated = volts;
        system.phases = phases;
        refrigerant.clone_into(&mut system.refrigerant);
        system.target_subcooling_f = facts[0];
        system.target_approach_f = facts[1];
        system.max_external_static_inwc = facts[2];
        system.compressor_rla = facts[3];
        system.capacitor_compressor_rated_uf = facts[4];
        system.capacitor_fan_rated_uf = facts[5];
        system.capacitor_tolerance_pct = facts[6];
        system.superheat_chart = has_chart.then(|| SuperheatChart {
            outdoor_db_f: vec![f64::NAN],
            return_wb_f: vec![],
            superheat_f: vec![vec![]],
        });
        case.site.elevation_ft = facts[7];
        system.blower_kind = blower;
        system.blower_tap = tap.map(str::to_owned);
        system.airflow_table = facts[8].map(|_| {
            let row = |(tap, static_inwc, cfm): (&str, f64, f64)| AirflowRow {
                tap: tap.to_owned(), static_inwc, cfm,
            };
            rows.into_iter().map(row).collect()
        });
        system.coil_reference = facts[9].map(|cfm| CoilReference {
            cfm, drop_wet_inwc: facts[10].unwrap_or(0.2),
        });
        system.nominal_tons = facts[11];
        system.rated_capacity_btuh = facts[12].map(|it| it * 1000.0);
        system.rated_eer = facts[13];
        system.seer = facts[14];
        system.seer2 = facts[15];
        system.design_airflow_cfm_per_ton = facts[16];
        system.minimum_circuit_amps = facts[17];
        system.maximum_overcurrent_amps = facts[18];
        system.breaker_amps = facts[19];
        system.capacitor_fan_required_uf = facts[20];
        system.factory_charge_oz = facts[21];
        system.compressor_mcc = facts[22];
        system.condenser_fan_fla = facts[23];
        system.capacitor_compressor_required_uf = facts[22];
        system.blower_fla = facts[21];
        case.taken_min.as_found = PointKey::ALL.iter().copied().zip(minutes).collect();
        case.circumstances.as_found = circumstances.into_iter().collect();
        case.observations.as_found = observed.clone();
        case.observations.as_left = observed;
        let earlier = json!({"as_found": case.as_found.clone(), "as_left": case.as_left.clone()});
        case.history = has_history.then_some(earlier).into_iter().collect();
        case.instruments =
            PointKey::ALL.iter().copied().zip(instruments).collect();
        case
    }
}

fn check(stage: &StageAssessment) -> Result<(), TestCaseError> {
    for measure in &stage.measures {
        prop_assert!(measure.value.is_finite() && measure.u.is_finite(), "{measure:?}");
        prop_assert!(0.0 <= measure.u, "{measure:?}");
    }
    for verdict in &stage.verdicts {
        let numbers = [
            verdict.value,
            verdict.u,
            verdict.target,
            verdict.u_margin,
            verdict.low,
            verdict.high,
            verdict.p_within,
        ];
        prop_assert!(numbers.iter().flatten().all(|it| it.is_finite()), "{verdict:?}");
        let is_judged =
            matches!(verdict.outcome, Outcome::Within | Outcome::TooClose | Outcome::Outside);
        prop_assert_eq!(is_judged, verdict.p_within.is_some(), "{:?}", verdict);
        prop_assert!(verdict.p_within.is_none_or(|it| (0.0..=1.0).contains(&it)), "{verdict:?}");
        prop_assert_eq!(
            verdict.side.is_some(),
            matches!(verdict.outcome, Outcome::TooClose | Outcome::Outside),
            "{:?}",
            verdict
        );
        prop_assert!(!verdict.reason.is_empty());
    }
    for condition in &stage.conditions {
        prop_assert!((LISTED_FROM..=1.0).contains(&condition.probability), "{condition:?}");
        prop_assert!(!condition.evidence_for.is_empty(), "{condition:?}");
        let next = condition.tell_apart.as_deref();
        prop_assert!(next.is_none_or(|it| PointKey::of(it).is_some()), "{condition:?}");
        prop_assert!(condition.evidence_for.iter().all(|it| label(it).is_some()), "{condition:?}");
    }
    prop_assert!(
        stage.conditions.is_sorted_by(|one, other| one.probability >= other.probability),
        "{:?}",
        stage.conditions
    );
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn any_possible_readings_give_finite_numbers(case in any_case(possible_readings().boxed(), (0.1..100.0_f64).boxed())) {
        let assessment = assess(&case, &LimitBook::default());
        check(&assessment.as_found)?;
        check(&assessment.as_left)?;
        for verdict in &assessment.as_found.verdicts {
            prop_assert!(verdict.reason.chars().count() < 140, "{verdict:?}");
        }
        prop_assert_eq!(&assessment, &assess(&case, &LimitBook::default()), "deterministic");
    }

    #[test]
    fn any_numbers_at_all_give_finite_numbers(case in any_case(wild_readings().boxed(), any::<f64>().boxed())) {
        check(&assess(&case, &LimitBook::default()).as_found)?;
    }
}
