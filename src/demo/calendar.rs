//! The demo's calendar, laid around today, so that the company is always in its season.
//!
//! The valley lies where it is warm now: its cooling season opened eighty days ago, whatever
//! the month.

use time::{Date, Duration, OffsetDateTime, Time};

use crate::clock;
use crate::domain::agreement::Season;
use crate::domain::visit::VisitKind;

/// Seasons of the story, the present one included.
pub(super) const SEASONS: usize = 5;
/// The company's zone.
pub(super) const ZONE: &str = "America/Denver";
/// How long ago the present season opened.
const OPENED_DAYS_AGO: i64 = 80;
/// How long it still runs.
const CLOSES_IN_DAYS: i64 = 45;
/// How long ago the early plan's window closed.
pub(super) const EARLY_CLOSED_DAYS_AGO: i64 = 12;

/// Today, and what follows from it.
#[derive(Clone, Copy)]
pub(super) struct Calendar {
    pub(super) today: Date,
    pub(super) now: OffsetDateTime,
}

impl Calendar {
    /// The window of the plan that lasts the whole season.
    pub(super) fn whole_season(self) -> Season {
        self.season_until(self.after(CLOSES_IN_DAYS))
    }

    /// The window of the cheaper plan for the first weeks.
    pub(super) fn early_season(self) -> Season {
        self.season_until(self.after(-EARLY_CLOSED_DAYS_AGO))
    }

    fn season_until(self, last: Date) -> Season {
        let first = self.after(-OPENED_DAYS_AGO);
        Season {
            kind: VisitKind::CoolingMaintenance,
            first_month: first.month().into(),
            first_day: first.day(),
            last_month: last.month().into(),
            last_day: last.day(),
        }
    }

    /// Today and so many days.
    pub(super) fn after(self, days: i64) -> Date {
        self.today.saturating_add(Duration::days(days))
    }

    /// The year by which a season is counted.
    pub(super) fn year(self, season: usize) -> i32 {
        let back = i32::try_from(SEASONS - 1 - season.min(SEASONS - 1)).unwrap_or(0);
        self.after(-OPENED_DAYS_AGO).year() - back
    }

    /// The day on which a season opened.
    pub(super) fn opened(self, season: usize) -> Date {
        self.whole_season().window(self.year(season)).0
    }

    /// The instant of a local day and minute.
    pub(super) fn instant(day: Date, minute: i64) -> OffsetDateTime {
        let wanted = OffsetDateTime::new_utc(day, Time::MIDNIGHT) + Duration::minutes(minute);
        let (there_day, there_minute) = clock::local(wanted, ZONE);
        let there = OffsetDateTime::new_utc(there_day, Time::MIDNIGHT)
            + Duration::minutes(i64::from(there_minute));
        wanted + (wanted - there)
    }

    /// The same, but never after now: what has happened lies in the past.
    pub(super) fn past_instant(self, day: Date, minute: i64) -> OffsetDateTime {
        Self::instant(day, minute).min(self.now)
    }
}
