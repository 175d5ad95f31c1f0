//! Where an agreement stands, from its dates alone.

use fairweather::domain::agreement::{Season, Standing, Term, standings};
use fairweather::domain::visit::VisitKind;
use time::macros::date;

const TERM: Term = Term {
    starts_on: date!(2026 - 03 - 01),
    ends_on: date!(2027 - 03 - 01),
    accepted_on: Some(date!(2026 - 02 - 10)),
    ended_on: None,
};

#[test]
fn an_agreements_standing_follows_from_its_dates() {
    for (today, standing) in [
        (date!(2026 - 02 - 28), Standing::Agreed),
        (date!(2026 - 03 - 01), Standing::InForce),
        (date!(2026 - 12 - 30), Standing::InForce),
        (date!(2026 - 12 - 31), Standing::InRenewal),
        (date!(2027 - 02 - 28), Standing::InRenewal),
        (date!(2027 - 03 - 01), Standing::Lapsed),
    ] {
        assert_eq!(TERM.standing(today), standing, "{today}");
    }
}

#[test]
fn without_a_yes_it_is_a_draft_and_ended_it_is_over() {
    let draft = Term { accepted_on: None, ..TERM };
    assert_eq!(draft.standing(date!(2026 - 06 - 01)), Standing::Draft);
    let ended = Term { ended_on: Some(date!(2026 - 05 - 01)), ..TERM };
    assert_eq!(ended.standing(date!(2026 - 04 - 30)), Standing::InForce);
    assert_eq!(ended.standing(date!(2026 - 05 - 01)), Standing::Ended);
}

#[test]
fn a_season_may_run_over_the_turn_of_the_year_and_ends_on_a_day_that_there_is() {
    let season = Season {
        kind: VisitKind::HeatingMaintenance,
        first_month: 11,
        first_day: 1,
        last_month: 2,
        last_day: 30,
    };
    assert_eq!(season.window(2026), (date!(2026 - 11 - 01), date!(2027 - 02 - 28)));
}

#[test]
fn a_term_that_another_followed_was_renewed_not_lapsed() {
    let next = Term { starts_on: date!(2027 - 03 - 01), ends_on: date!(2028 - 03 - 01), ..TERM };
    let today = date!(2027 - 05 - 01);
    assert_eq!(standings(&[TERM, next], today), [Standing::Renewed, Standing::InForce]);
    let draft = Term { accepted_on: None, ..next };
    assert_eq!(standings(&[TERM, draft], today), [Standing::Lapsed, Standing::Draft]);
}
