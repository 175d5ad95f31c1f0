//! The refrigerant log's sums, and which systems deserve a leak search.

use fairweather::domain::closing::Direction;
use fairweather::review::refrigerant::{MovedRow, by_cylinder, by_system};
use time::macros::date;
use time::{Date, Duration};
use uuid::Uuid;

const TODAY: Date = date!(2026 - 06 - 15);

/// One pound into the first system today.
fn row() -> MovedRow {
    MovedRow {
        visit: Uuid::from_u128(7),
        system: Uuid::from_u128(1),
        day: TODAY,
        direction: Direction::Added,
        ounce_tenths: 160,
        refrigerant: "R-410A".to_owned(),
        cylinder: "No. 3".to_owned(),
    }
}

#[test]
fn sums_are_kept_apart_by_direction_system_and_cylinder() {
    let rows = [
        row(),
        MovedRow { cylinder: "no. 3 ".to_owned(), ounce_tenths: 5, ..row() },
        MovedRow { direction: Direction::Recovered, cylinder: "Recovery".to_owned(), ..row() },
        MovedRow { system: Uuid::from_u128(2), refrigerant: "R-22".to_owned(), ..row() },
    ];
    let cylinders: Vec<(String, String, i64, i64)> = by_cylinder(&rows)
        .into_iter()
        .map(|it| (it.refrigerant, it.cylinder, it.sum.added, it.sum.recovered))
        .collect();
    let of = |refrigerant: &str, cylinder: &str, added, recovered| {
        (refrigerant.to_owned(), cylinder.to_owned(), added, recovered)
    };
    assert_eq!(
        cylinders,
        [
            of("R-22", "No. 3", 160, 0),
            of("R-410A", "No. 3", 165, 0),
            of("R-410A", "Recovery", 0, 160)
        ]
    );
    let systems: Vec<(u128, i64, i64)> = by_system(&rows, TODAY)
        .into_iter()
        .map(|it| (it.system.as_u128(), it.sum.added, it.sum.recovered))
        .collect();
    assert_eq!(systems, [(2, 160, 0), (1, 165, 160)], "what is to be searched comes first");
}

#[test]
fn a_pound_within_twelve_months_deserves_a_search() {
    assert!(by_system(&[row()], TODAY)[0].deserves_a_search());
}

#[test]
fn less_than_a_pound_does_not() {
    let less = MovedRow { ounce_tenths: 159, ..row() };
    assert!(!by_system(&[less], TODAY)[0].deserves_a_search());
}

#[test]
fn a_pound_of_more_than_a_year_ago_does_not() {
    let old = MovedRow { day: TODAY - Duration::days(365), ..row() };
    let sums = by_system(&[old], TODAY);
    assert!(!sums[0].deserves_a_search());
    assert_eq!((sums[0].made_up_of_year, sums[0].sum.added), (0, 160));
}

#[test]
fn what_came_out_does_not() {
    let out = MovedRow { direction: Direction::Recovered, ..row() };
    assert!(!by_system(&[out], TODAY)[0].deserves_a_search());
}

#[test]
fn systems_that_deserve_a_search_come_first() {
    let newer = MovedRow { system: Uuid::from_u128(2), ounce_tenths: 10, ..row() };
    let older = MovedRow { day: TODAY - Duration::days(90), ..row() };
    let systems: Vec<u128> =
        by_system(&[newer, older], TODAY).iter().map(|it| it.system.as_u128()).collect();
    assert_eq!(systems, [1, 2]);
}

#[test]
fn what_came_out_on_the_same_visit_was_not_missing() {
    let out = MovedRow { direction: Direction::Recovered, ounce_tenths: 120, ..row() };
    let sums = by_system(&[row(), out.clone()], TODAY);
    assert_eq!(sums[0].made_up_of_year, 40, "a coil was replaced");
    let on_another = MovedRow { visit: Uuid::from_u128(8), ..out };
    assert_eq!(by_system(&[row(), on_another], TODAY)[0].made_up_of_year, 160);
}
