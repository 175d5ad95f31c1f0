//! Who is due, by tables: one agreement, one fact changed, one day.

use fairweather::domain::agreement::{Season, Term};
use fairweather::domain::visit::{VisitKind, VisitState};
use fairweather::planning::due::{Due, KeptBy, Promise, Standing, due, is_promised};
use time::macros::date;
use time::{Date, Duration};
use uuid::Uuid;

const AGREEMENT: Uuid = Uuid::from_u128(1);
const SYSTEM: Uuid = Uuid::from_u128(2);
const VISIT: Uuid = Uuid::from_u128(3);

/// Cooling maintenance from 1 March to 30 June.
const SPRING: Season = Season {
    kind: VisitKind::CoolingMaintenance,
    first_month: 3,
    first_day: 1,
    last_month: 6,
    last_day: 30,
};

/// Heating maintenance from 1 November to 31 January: over the turn of the year.
const WINTER: Season = Season {
    kind: VisitKind::HeatingMaintenance,
    first_month: 11,
    first_day: 1,
    last_month: 1,
    last_day: 31,
};

fn term(starts_on: Date, ends_on: Date) -> Term {
    Term { starts_on, ends_on, accepted_on: Some(starts_on), ended_on: None }
}

/// From July 2025 for a year: the spring of 2026 is its own.
fn nominal() -> Promise {
    Promise {
        agreement: AGREEMENT,
        system: SYSTEM,
        name: "Ada Fenn".to_owned(),
        term: term(date!(2025 - 07 - 01), date!(2026 - 07 - 01)),
        seasons: vec![SPRING],
    }
}

fn kept(state: VisitState, season_year: i64) -> KeptBy {
    KeptBy {
        visit: VISIT,
        agreement: AGREEMENT,
        system: SYSTEM,
        kind: VisitKind::CoolingMaintenance,
        season_year,
        state,
        day: date!(2026 - 05 - 05),
    }
}

fn standings(promise: &Promise, today: Date) -> Vec<(Standing, i32)> {
    let all = due(std::slice::from_ref(promise), &[], today);
    all.iter().map(|it| (it.standing, it.season_year)).collect()
}

#[test]
fn a_visit_comes_up_falls_due_and_is_overdue_by_the_day() {
    for (today, expected) in [
        (date!(2026 - 01 - 29), None),
        (date!(2026 - 01 - 30), Some(Standing::ComingUp)),
        (date!(2026 - 02 - 28), Some(Standing::ComingUp)),
        (date!(2026 - 03 - 01), Some(Standing::DueNow)),
        (date!(2026 - 06 - 30), Some(Standing::DueNow)),
        (date!(2026 - 07 - 01), Some(Standing::Overdue)),
        (date!(2027 - 02 - 28), Some(Standing::Overdue)),
        (date!(2027 - 03 - 01), None),
    ] {
        let expected: Vec<_> = expected.into_iter().map(|standing| (standing, 2026)).collect();
        assert_eq!(standings(&nominal(), today), expected, "{today}");
    }
}

#[test]
fn a_window_over_the_turn_of_the_year_is_one_window() {
    let mut promise = nominal();
    promise.seasons = vec![WINTER];
    for (today, expected) in [
        (date!(2025 - 10 - 01), None),
        (date!(2025 - 10 - 02), Some(Standing::ComingUp)),
        (date!(2025 - 12 - 31), Some(Standing::DueNow)),
        (date!(2026 - 01 - 01), Some(Standing::DueNow)),
        (date!(2026 - 01 - 31), Some(Standing::DueNow)),
        (date!(2026 - 02 - 01), Some(Standing::Overdue)),
        (date!(2026 - 10 - 31), Some(Standing::Overdue)),
        (date!(2026 - 11 - 01), None),
    ] {
        let expected: Vec<_> = expected.into_iter().map(|standing| (standing, 2025)).collect();
        assert_eq!(standings(&promise, today), expected, "{today}");
    }
}

#[test]
fn what_was_kept_is_not_due_and_what_was_called_off_is_due_again() {
    let today = date!(2026 - 05 - 01);
    for (state, is_due) in [
        (VisitState::Booked, true),
        (VisitState::UnderWay, false),
        (VisitState::HandedIn, false),
        (VisitState::SentBack, false),
        (VisitState::Accepted, false),
        (VisitState::Cancelled, true),
        (VisitState::NoAccess, true),
    ] {
        let all = due(&[nominal()], &[kept(state, 2026)], today);
        assert_eq!(!all.is_empty(), is_due, "{state:?}");
        let booked = all.first().and_then(|it| it.booked).is_some();
        assert_eq!(booked, state == VisitState::Booked, "{state:?}");
    }
}

#[test]
fn only_the_very_promise_is_kept() {
    let today = date!(2026 - 05 - 01);
    let right = kept(VisitState::Accepted, 2026);
    for (other, what) in [
        (KeptBy { season_year: 2025, ..right }, "another season"),
        (KeptBy { system: Uuid::from_u128(9), ..right }, "another system"),
        (KeptBy { agreement: Uuid::from_u128(9), ..right }, "another agreement"),
        (KeptBy { kind: VisitKind::ChargeCheck, ..right }, "another kind"),
    ] {
        assert_eq!(due(&[nominal()], &[other], today).len(), 1, "{what} keeps nothing");
    }
    assert_eq!(due(&[nominal()], &[right], today), []);
}

#[test]
fn drafts_and_ended_agreements_owe_nothing_and_lapsed_ones_their_last_season() {
    let in_window = date!(2026 - 05 - 01);
    let mut draft = nominal();
    draft.term.accepted_on = None;
    assert_eq!(standings(&draft, in_window), []);

    let mut ended = nominal();
    ended.term.ended_on = Some(in_window);
    assert_eq!(standings(&ended, in_window), []);
    ended.term.ended_on = Some(date!(2026 - 05 - 02));
    assert_eq!(standings(&ended, in_window), [(Standing::DueNow, 2026)], "it holds today");

    let lapsed = date!(2026 - 08 - 01);
    assert_eq!(standings(&nominal(), lapsed), [(Standing::Overdue, 2026)]);
}

#[test]
fn an_agreement_that_began_after_the_window_does_not_owe_it() {
    for (starts_on, owes) in [
        (date!(2026 - 02 - 01), true),
        (date!(2026 - 06 - 29), true),
        (date!(2026 - 06 - 30), false),
        (date!(2026 - 07 - 15), false),
    ] {
        let mut promise = nominal();
        promise.term = term(starts_on, starts_on.replace_year(2027).unwrap());
        let overdue = standings(&promise, date!(2026 - 08 - 01));
        assert_eq!(overdue == [(Standing::Overdue, 2026)], owes, "{starts_on}");
    }
}

#[test]
fn a_year_from_may_to_may_pays_for_one_spring_and_the_renewal_for_the_next() {
    let first = term(date!(2026 - 05 - 01), date!(2027 - 05 - 01));
    let renewal = term(date!(2027 - 05 - 01), date!(2028 - 05 - 01));
    let of = |term: &Term| -> Vec<i32> {
        (2024..2031).filter(|year| is_promised(term, SPRING, *year)).collect()
    };
    assert_eq!(of(&first), [2026]);
    assert_eq!(of(&renewal), [2027]);
    assert_eq!(of(&term(date!(2026 - 05 - 01), date!(2029 - 05 - 01))), [2026, 2027, 2028]);
    let leap = term(date!(2027 - 05 - 01), date!(2028 - 05 - 01));
    assert_eq!(of(&leap), [2027], "a year of 366 days is still one year");
}

#[test]
fn overdue_comes_first_then_the_end_of_the_window_then_the_name_and_booked_last() {
    let mut promises = Vec::new();
    for (number, name, season) in [
        (10, "Cleo Marsh", SPRING),
        (11, "Abel Stone", SPRING),
        (12, "Bea Holt", WINTER),
        (13, "Booked Bill", SPRING),
        (14, "Early Eve", Season { last_month: 5, ..SPRING }),
    ] {
        promises.push(Promise {
            system: Uuid::from_u128(number),
            name: name.to_owned(),
            seasons: vec![season],
            ..nominal()
        });
    }
    let booked = KeptBy { system: Uuid::from_u128(13), ..kept(VisitState::Booked, 2026) };
    let all = due(&promises, &[booked], date!(2026 - 05 - 04));
    let names: Vec<&str> = all.iter().map(|it| it.name.as_str()).collect();
    assert_eq!(names, ["Bea Holt", "Early Eve", "Abel Stone", "Cleo Marsh", "Booked Bill"]);
    assert_eq!(all.last().and_then(|it| it.booked), Some((VISIT, date!(2026 - 05 - 05))));
}

#[test]
fn on_no_day_of_four_years_is_one_promise_listed_twice_or_outside_its_window() {
    let mut promise = nominal();
    promise.term.ends_on = date!(2028 - 07 - 01);
    promise.seasons = vec![SPRING, WINTER];
    let mut today = date!(2025 - 01 - 01);
    while today < date!(2029 - 01 - 01) {
        let all = due(std::slice::from_ref(&promise), &[], today);
        let mut keys: Vec<_> = all.iter().map(|it| (it.kind.key(), it.season_year)).collect();
        keys.dedup();
        assert_eq!(keys.len(), all.len(), "{today}: {all:?}");
        for it in &all {
            assert_eq!(it.standing, by_days(it, today), "{today}: {it:?}");
        }
        today += Duration::days(1);
    }
}

fn by_days(it: &Due, today: Date) -> Standing {
    if today > it.last {
        Standing::Overdue
    } else if today < it.first {
        Standing::ComingUp
    } else {
        Standing::DueNow
    }
}
