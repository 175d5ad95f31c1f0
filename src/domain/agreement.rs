//! What a customer was promised, for how long, and in which weeks of the year.

use serde::{Deserialize, Serialize};
use time::{Date, Month};

use super::visit::VisitKind;

/// One visit a year that a plan promises, and the window in which its readings mean something.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Season {
    /// What kind of visit.
    pub kind: VisitKind,
    /// Month of the first day, 1 to 12.
    pub first_month: u8,
    /// First day.
    pub first_day: u8,
    /// Month of the last day.
    pub last_month: u8,
    /// Last day, itself in the window.
    pub last_day: u8,
}

impl Season {
    /// First and last day of this season's window that opens in `year`. A window that ends
    /// earlier in the year than it begins runs over the turn of the year.
    #[must_use]
    pub fn window(&self, year: i32) -> (Date, Date) {
        let first = day_in(year, self.first_month, self.first_day);
        let last = day_in(year, self.last_month, self.last_day);
        if last < first {
            return (first, day_in(year + 1, self.last_month, self.last_day));
        }
        (first, last)
    }
}

/// That day, or the month's last day if it has fewer.
fn day_in(year: i32, month: u8, day: u8) -> Date {
    let month = Month::try_from(month).unwrap_or(Month::January);
    let day = day.clamp(1, month.length(year));
    Date::from_calendar_date(year, month, day).unwrap_or(Date::MIN)
}

/// Where an agreement stands: worked out from its dates, never typed in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// Not accepted by the customer yet.
    Draft,
    /// Accepted, begins later.
    Agreed,
    /// Holds today.
    InForce,
    /// Holds, and ends within sixty days.
    InRenewal,
    /// Its term is over, and the customer has a later one.
    Renewed,
    /// Its term is over, and no other followed.
    Lapsed,
    /// Ended before its term.
    Ended,
}

/// How long before its end an agreement counts as in renewal (common practice, no source).
const RENEWAL_DAYS: i64 = 60;

/// The dates of an agreement.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Term {
    /// First day.
    pub starts_on: Date,
    /// First day on which it no longer holds.
    pub ends_on: Date,
    /// When the customer said yes.
    pub accepted_on: Option<Date>,
    /// When it was ended before its time.
    pub ended_on: Option<Date>,
}

impl Term {
    /// Where it stands on a day.
    #[must_use]
    pub fn standing(&self, today: Date) -> Standing {
        if self.ended_on.is_some_and(|ended| ended <= today) {
            return Standing::Ended;
        }
        if self.accepted_on.is_none() {
            return Standing::Draft;
        }
        if today < self.starts_on {
            return Standing::Agreed;
        }
        if today >= self.ends_on {
            return Standing::Lapsed;
        }
        if (self.ends_on - today).whole_days() <= RENEWAL_DAYS {
            return Standing::InRenewal;
        }
        Standing::InForce
    }

    /// Whether visits fall due under it on a day.
    #[must_use]
    pub fn holds(&self, day: Date) -> bool {
        matches!(self.standing(day), Standing::InForce | Standing::InRenewal)
    }
}

/// Where several agreements of one customer stand, in their order: a lapsed one that a later
/// accepted term followed was renewed, and nobody was lost.
#[must_use]
pub fn standings(terms: &[Term], today: Date) -> Vec<Standing> {
    let followed = |term: &Term| {
        terms.iter().any(|other| other.accepted_on.is_some() && other.ends_on > term.ends_on)
    };
    let standing = |term: &Term| match term.standing(today) {
        Standing::Lapsed if followed(term) => Standing::Renewed,
        standing => standing,
    };
    terms.iter().map(standing).collect()
}

impl Standing {
    /// In the words of the office.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Draft => "Draft",
            Self::Agreed => "Agreed, not begun",
            Self::InForce => "In force",
            Self::InRenewal => "In renewal",
            Self::Renewed => "Renewed since",
            Self::Lapsed => "Lapsed",
            Self::Ended => "Ended",
        }
    }
}
