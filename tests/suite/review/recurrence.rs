//! Rates with their uncertainty, against published values, and what is counted.

use fairweather::domain::nameplate::Part;
use fairweather::review::recurrence::{
    Found, InPlace, by_model, by_subject, poisson_interval, rate,
};
use time::macros::date;
use uuid::Uuid;

/// Exact 95 % limits of a Poisson mean for counts of events, from the widely printed table after
/// Garwood (1936), to the decimals printed there (typed from memory; the test below asks the
/// Poisson sums themselves).
const PUBLISHED: &[(u32, f64, f64, f64)] = &[
    (0, 0.0, 3.689, 0.0005),
    (1, 0.0253, 5.572, 0.0005),
    (2, 0.242, 7.225, 0.0005),
    (3, 0.619, 8.767, 0.0005),
    (5, 1.623, 11.668, 0.0005),
    (10, 4.795, 18.39, 0.005),
    (20, 12.217, 30.888, 0.0005),
    (50, 37.11, 65.92, 0.005),
    (100, 81.36, 121.63, 0.005),
];

#[test]
fn the_interval_is_the_published_one() {
    for (count, low, high, tolerance) in PUBLISHED {
        let (is_low, is_high) = poisson_interval(*count).unwrap();
        assert!((is_low - low).abs() <= *tolerance, "{count}: {is_low} for {low}");
        assert!((is_high - high).abs() <= *tolerance, "{count}: {is_high} for {high}");
    }
}

#[test]
fn the_ends_of_the_interval_leave_out_a_fortieth_on_each_side() {
    for count in [1_u32, 2, 7, 30, 200, 1_000] {
        let (low, high) = poisson_interval(count).unwrap();
        assert!((at_most(count, high) - 0.025).abs() < 1e-6, "{count}");
        assert!((1.0 - at_most(count - 1, low) - 0.025).abs() < 1e-6, "{count}");
    }
}

/// The chance of at most `count` events, added up term by term in logarithms.
fn at_most(count: u32, mean: f64) -> f64 {
    let mut logarithm = -mean;
    let mut sum = logarithm.exp();
    for number in 1..=count {
        logarithm += (mean / f64::from(number)).ln();
        sum += logarithm.exp();
    }
    sum
}

#[test]
fn a_rate_needs_time() {
    assert_eq!(rate(3, 0.0), None);
    let it = rate(10, 5.0).unwrap();
    assert!((it.a_year - 2.0).abs() < 1e-12);
    assert!((it.low - 0.959).abs() < 1e-3 && (it.high - 3.678).abs() < 1e-3);
}

fn component(number: u128, model: &str) -> InPlace {
    InPlace {
        component: Uuid::from_u128(number),
        system: Uuid::from_u128(1_000 + number),
        part: Part::IndoorCoil,
        make: "Korvan".to_owned(),
        model: model.to_owned(),
        installed_on: None,
        first_visit: date!(2022 - 05 - 10),
        last_visit: date!(2026 - 05 - 10),
    }
}

fn found(component: u128, visit: u128, subject: &str) -> Found {
    Found {
        component: Uuid::from_u128(component),
        visit: Uuid::from_u128(visit),
        subject: subject.to_owned(),
    }
}

#[test]
fn exposure_runs_from_a_year_before_the_first_visit_to_the_last() {
    let nominal = component(1, "KC-24");
    for (installed_on, years) in [
        (None, 5.0),
        (Some(date!(2005 - 01 - 01)), 5.0),
        (Some(date!(2021 - 11 - 10)), 4.5),
        (Some(date!(2022 - 05 - 10)), 4.0),
    ] {
        let it = InPlace { installed_on, ..nominal.clone() };
        assert!((it.years() - years).abs() < 0.01, "{installed_on:?}: {}", it.years());
    }
    let once = InPlace { last_visit: nominal.first_visit, ..nominal };
    assert!((once.years() - 1.0).abs() < 0.01, "one visit speaks for the year before it");
}

#[test]
fn a_subject_counts_once_a_component_and_visit_whatever_raised_it() {
    let there = [component(1, "KC-24"), component(2, "kc-24 "), component(3, "KC-36")];
    let all = [
        found(1, 50, "Coil face dirty"),
        found(1, 50, "Coil face dirty"),
        found(1, 50, "Leak at the coil"),
        found(1, 51, "Coil face dirty"),
        found(3, 52, "Coil face dirty"),
        found(99, 53, "Coil face dirty"),
    ];
    let rows = by_model(&there, &all);
    assert_eq!(rows.len(), 2, "the size of letters makes no model");
    let first = &rows[0];
    assert_eq!((first.model.as_str(), first.findings), ("KC-24", 3));
    assert_eq!((first.systems, first.components, first.systems_with), (2, 2, 1));
    assert!((first.system_years - 10.0).abs() < 0.01);
    assert_eq!((rows[1].findings, rows[1].systems_with), (1, 1));

    let subjects = by_subject(&there, &all);
    let counted: Vec<_> = subjects.iter().map(|it| (it.subject.as_str(), it.findings)).collect();
    assert_eq!(counted, [("Coil face dirty", 3), ("Leak at the coil", 1)]);
}

#[test]
fn the_row_that_surely_recurs_outranks_the_one_with_the_higher_rate() {
    let mut there: Vec<InPlace> = (1..=8).map(|number| component(number, "KC-24")).collect();
    let young = InPlace {
        installed_on: Some(date!(2026 - 04 - 10)),
        first_visit: date!(2026 - 05 - 10),
        ..component(20, "KC-18")
    };
    there.push(young);
    there.push(component(30, "KC-36"));
    let mut all: Vec<Found> =
        (1..=8).flat_map(|it| [100, 200, 300].map(|visit| found(it, visit + it, "Leak"))).collect();
    all.push(found(20, 400, "Leak"));
    let rows = by_model(&there, &all);
    let models: Vec<&str> = rows.iter().map(|row| row.model.as_str()).collect();
    assert_eq!(models, ["KC-24", "KC-18", "KC-36"]);
    let rates: Vec<f64> = rows.iter().map(|row| row.rate.unwrap().a_year).collect();
    assert!(rates[0] < rates[1], "one finding in a month is a high rate and proves little");
    let mut backwards = there.clone();
    backwards.reverse();
    all.reverse();
    assert_eq!(by_model(&backwards, &all), rows, "the order of the rows in does not matter");
}

#[test]
fn a_component_put_in_on_the_day_of_its_only_visit_has_no_rate_yet() {
    let day = date!(2026 - 05 - 10);
    let it = InPlace {
        installed_on: Some(day),
        first_visit: day,
        last_visit: day,
        ..component(1, "KC-24")
    };
    let rows = by_model(&[it], &[found(1, 50, "Leak")]);
    assert_eq!((rows[0].findings, rows[0].rate), (1, None));
}
