//! Who is due: what agreements promise, less what was kept, in the windows around today.

use time::{Date, Duration};
use uuid::Uuid;

use crate::domain::agreement::{Season, Standing as AgreementStanding, Term};
use crate::domain::visit::{VisitKind, VisitState};

/// How many days before its window opens a visit is listed, so that it can be booked in time.
const COMING_DAYS: i64 = 30;
/// Half a year in days, so that a term counts as the nearest whole number of years.
const HALF_YEAR_DAYS: i64 = 182;
/// A year in days.
const YEAR_DAYS: i64 = 365;

/// One system under one agreement, with what is promised for it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Promise {
    /// The agreement.
    pub agreement: Uuid,
    /// The system.
    pub system: Uuid,
    /// The name that the list is sorted by.
    pub name: String,
    /// The agreement's dates.
    pub term: Term,
    /// The visits of a year.
    pub seasons: Vec<Season>,
}

/// A visit that stands for a promise.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct KeptBy {
    /// The visit.
    pub visit: Uuid,
    /// The agreement.
    pub agreement: Uuid,
    /// The system.
    pub system: Uuid,
    /// What kind.
    pub kind: VisitKind,
    /// The year in which the window of its season opens.
    pub season_year: i64,
    /// Where the visit stands; one that was called off keeps nothing.
    pub state: VisitState,
    /// Its day.
    pub day: Date,
}

/// How urgent it is, the most urgent first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Standing {
    /// The window closed without a visit.
    Overdue,
    /// The window is open.
    DueNow,
    /// The window opens soon.
    ComingUp,
}

/// A visit that is due.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Due {
    /// The agreement that promises it.
    pub agreement: Uuid,
    /// The system.
    pub system: Uuid,
    /// The name that the list is sorted by.
    pub name: String,
    /// What kind of visit.
    pub kind: VisitKind,
    /// The year in which the window opens.
    pub season_year: i32,
    /// First day of the window.
    pub first: Date,
    /// Last day of the window.
    pub last: Date,
    /// How urgent it is.
    pub standing: Standing,
    /// The visit that is booked for it, with its day.
    pub booked: Option<(Uuid, Date)>,
}

/// What is due on a day: overdue first, then by the end of the window, then by name; what is
/// booked already comes last.
///
/// Of each season the window that is open counts, or else the last one that closed: a missed
/// season stays overdue until its next window opens, for one visit then does for both. An
/// agreement that was ended owes nothing more; one whose term ran out still owes what it promised.
#[must_use]
pub fn due(promises: &[Promise], kept: &[KeptBy], today: Date) -> Vec<Due> {
    let mut all: Vec<Due> = promises
        .iter()
        .filter(|it| promises_something(&it.term, today))
        .flat_map(|promise| promise.seasons.iter().map(move |season| (promise, *season)))
        .flat_map(|(promise, season)| due_of(promise, season, kept, today))
        .collect();
    all.sort_by(|a, b| {
        let key = |it: &Due| (it.booked.is_some(), it.standing, it.last);
        key(a)
            .cmp(&key(b))
            .then_with(|| a.name.cmp(&b.name))
            .then_with(|| (a.system, a.agreement).cmp(&(b.system, b.agreement)))
    });
    all
}

/// A draft promises nothing yet, and one that was ended nothing more.
fn promises_something(term: &Term, today: Date) -> bool {
    !matches!(term.standing(today), AgreementStanding::Draft | AgreementStanding::Ended)
}

/// What one season of one promise comes to today.
fn due_of(promise: &Promise, season: Season, kept: &[KeptBy], today: Date) -> Vec<Due> {
    let windows = windows_around(season, today);
    let open = windows.iter().find(|it| it.first <= today && today <= it.last);
    let closed = windows.iter().rfind(|it| it.last < today);
    let coming = windows
        .iter()
        .find(|it| today < it.first && it.first - today <= Duration::days(COMING_DAYS));
    let now = match open {
        Some(window) => Some((window, Standing::DueNow)),
        None => closed.map(|window| (window, Standing::Overdue)),
    };
    let coming = coming.map(|window| (window, Standing::ComingUp));
    now.into_iter()
        .chain(coming)
        .filter(|(window, _)| is_promised(&promise.term, season, window.year))
        .filter_map(|(window, standing)| {
            let keeps = |it: &&KeptBy| {
                (it.agreement, it.system, it.kind)
                    == (promise.agreement, promise.system, season.kind)
                    && it.season_year == i64::from(window.year)
                    && !it.state.is_void()
            };
            let visit = kept.iter().find(keeps);
            if visit.is_some_and(|it| it.state != VisitState::Booked) {
                return None;
            }
            Some(Due {
                agreement: promise.agreement,
                system: promise.system,
                name: promise.name.clone(),
                kind: season.kind,
                season_year: window.year,
                first: window.first,
                last: window.last,
                standing,
                booked: visit.map(|it| (it.visit, it.day)),
            })
        })
        .collect()
}

/// A season's window in one year.
#[derive(Clone, Copy, Debug)]
struct Window {
    year: i32,
    first: Date,
    last: Date,
}

fn window(season: Season, year: i32) -> Window {
    let (first, last) = season.window(year);
    Window { year, first, last }
}

/// The windows of two years before and one after: one that runs over the turn of the year and
/// closed last spring opened two years ago.
fn windows_around(season: Season, today: Date) -> Vec<Window> {
    (today.year() - 2..=today.year() + 1).map(|year| window(season, year)).collect()
}

/// Whether an agreement promises the visit of the window that opens in a year: it holds on some
/// day of it and began before its end. A term promises as many visits of a season as it has years, the earliest ones:
/// a year from May to May touches two springs but pays for one, and the second is the renewal's.
#[must_use]
pub fn is_promised(term: &Term, season: Season, year: i32) -> bool {
    let ends_on = term.ended_on.map_or(term.ends_on, |ended| ended.min(term.ends_on));
    let touches = |it: &Window| term.starts_on < it.last && it.first < ends_on;
    if !touches(&window(season, year)) {
        return false;
    }
    let years = ((term.ends_on - term.starts_on).whole_days() + HALF_YEAR_DAYS) / YEAR_DAYS;
    let before = (term.starts_on.year() - 1..year)
        .filter(|earlier| touches(&window(season, *earlier)))
        .count();
    i64::try_from(before).is_ok_and(|before| before < years.max(1))
}
