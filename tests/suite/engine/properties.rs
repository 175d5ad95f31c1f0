//! Anything in, finite numbers and five outcomes out.

use fairweather::engine::assess;
use fairweather::engine::assessment::{Outcome, Repair, StageAssessment};
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
    check_conditions(stage)?;
    check_causes(stage)
}

fn check_causes(stage: &StageAssessment) -> Result<(), TestCaseError> {
    prop_assert_eq!(stage.causes.is_empty(), stage.abstained.is_some() || stage.is_empty());
    let mut sum = 0.0;
    for cause in &stage.causes {
        prop_assert!((0.0..=1.0).contains(&cause.probability), "{cause:?}");
        let severity = cause.severity.as_ref();
        prop_assert!(severity.is_none_or(|it| it.value.is_finite() && 0.0 < it.u), "{cause:?}");
        let both = |it: &String| cause.evidence_against.contains(it);
        prop_assert!(!cause.evidence_for.iter().any(both), "{cause:?}");
        sum += cause.probability;
    }
    prop_assert!(stage.causes.is_empty() || (sum - 1.0).abs() < 1e-9, "{sum}");
    for expected in &stage.expected {
        prop_assert!(expected.value.is_finite() && 0.0 < expected.u, "{expected:?}");
    }
    Ok(())
}

fn check_repair(repair: Option<&Repair>) -> Result<(), TestCaseError> {
    let Some(repair) = repair else { return Ok(()) };
    prop_assert!((0.0..=1.0).contains(&repair.probability), "{repair:?}");
    prop_assert!(repair.share.is_finite() && 0.0 < repair.u && repair.u.is_finite(), "{repair:?}");
    let is_finite = |it: f64| it.is_finite();
    let mut all = repair.residuals.iter();
    prop_assert!(
        all.all(|it| is_finite(it.as_found) && is_finite(it.as_left) && is_finite(it.u)),
        "{repair:?}"
    );
    Ok(())
}

fn check_conditions(stage: &StageAssessment) -> Result<(), TestCaseError> {
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
        check_repair(assessment.repair.as_ref())?;
        for verdict in &assessment.as_found.verdicts {
            prop_assert!(verdict.reason.chars().count() < 140, "{verdict:?}");
        }
        prop_assert_eq!(&assessment, &assess(&case, &LimitBook::default()), "deterministic");
    }

    #[test]
    fn any_numbers_at_all_give_finite_numbers(case in any_case(wild_readings().boxed(), any::<f64>().boxed())) {
        check(&assess(&case, &LimitBook::default()).as_found)?;
    }

    /// Readings around those of a running system, so that causes are weighed and not kept back.
    #[test]
    fn readings_of_any_running_system_give_finite_causes(
        shares in prop::collection::vec(0.0..=1.0_f64, 12),
        metering in select(Metering::ALL),
        refrigerant in select(designations().collect::<Vec<_>>()),
        history in 0..3_usize,
        is_left in any::<bool>(),
    ) {
        let between = |index: usize, low: f64, high: f64| low + shares[index] * (high - low);
        let readings = Readings::from([
            (PointKey::OutdoorDbF, between(0, 56.0, 115.0)),
            (PointKey::ReturnDbF, between(1, 70.0, 84.0)),
            (PointKey::ReturnWbF, between(2, 55.0, 70.0)),
            (PointKey::SupplyDbF, between(3, 40.0, 75.0)),
            (PointKey::SuctionPressurePsig, between(4, 20.0, 180.0)),
            (PointKey::LiquidPressurePsig, between(5, 150.0, 550.0)),
            (PointKey::SuctionLineF, between(6, 20.0, 100.0)),
            (PointKey::LiquidLineF, between(7, 60.0, 130.0)),
            (PointKey::DischargeLineF, between(8, 100.0, 280.0)),
            (PointKey::CondenserLeavingF, between(9, 60.0, 140.0)),
            (PointKey::StandingPressurePsig, between(10, 50.0, 350.0)),
            (PointKey::SettledMin, 20.0),
        ]);
        let mut case = Case { as_found: readings.clone(), ..Case::default() };
        case.system.metering = metering;
        refrigerant.clone_into(&mut case.system.refrigerant);
        let earlier = serde_json::to_value(&case).expect("a document");
        case.history = vec![earlier; history];
        if is_left {
            case.as_left = readings.iter().map(|(key, it)| (*key, it * 0.98)).collect();
            case.as_left.insert(PointKey::SettledMin, 20.0);
        }
        let assessment = assess(&case, &LimitBook::default());
        check(&assessment.as_found)?;
        check(&assessment.as_left)?;
        check_repair(assessment.repair.as_ref())?;
        let used = assessment.as_found.history_used + assessment.as_found.history_left_out.len();
        prop_assert_eq!(used, history);
    }
}
