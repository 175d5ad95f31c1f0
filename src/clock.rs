//! The only place that reads the time, and the company's days.

use std::sync::Arc;
use std::sync::atomic::{AtomicI64, Ordering};

use time::{Date, OffsetDateTime};

/// Where "now" comes from: the machine, or a test that holds it still.
#[derive(Clone, Debug)]
pub enum Clock {
    /// The machine's clock.
    Machine,
    /// A clock that moves only when told, in seconds since 1970.
    Held(Arc<AtomicI64>),
}

impl Clock {
    /// A clock that stands still at `at`.
    #[must_use]
    pub fn held(at: OffsetDateTime) -> Self {
        Self::Held(Arc::new(AtomicI64::new(at.unix_timestamp())))
    }

    /// Now, in UTC and whole seconds: sub-second text sorts wrongly on SQLite.
    #[must_use]
    pub fn now(&self) -> OffsetDateTime {
        let now = match self {
            Self::Machine => OffsetDateTime::now_utc(),
            Self::Held(seconds) => {
                OffsetDateTime::from_unix_timestamp(seconds.load(Ordering::Relaxed))
                    .unwrap_or(OffsetDateTime::UNIX_EPOCH)
            }
        };
        now.replace_nanosecond(0).unwrap_or(now)
    }

    /// Moves a held clock on; the machine's own can't be moved.
    pub fn advance(&self, by: time::Duration) {
        if let Self::Held(seconds) = self {
            seconds.fetch_add(by.whole_seconds(), Ordering::Relaxed);
        }
    }
}

/// Whether `name` is a time zone that the bundled zone rules know.
#[must_use]
pub fn is_zone(name: &str) -> bool {
    jiff::tz::TimeZone::get(name).is_ok()
}

/// The local day and minute of an instant in a zone; UTC if the zone is not known.
#[must_use]
pub fn local(at: OffsetDateTime, zone: &str) -> (Date, u16) {
    let zone = jiff::tz::TimeZone::get(zone).unwrap_or(jiff::tz::TimeZone::UTC);
    let instant = jiff::Timestamp::from_second(at.unix_timestamp()).unwrap_or_default();
    let there = zone.to_datetime(instant);
    let month = time::Month::try_from(u8::try_from(there.month()).unwrap_or(1))
        .unwrap_or(time::Month::January);
    let day = Date::from_calendar_date(
        i32::from(there.year()),
        month,
        u8::try_from(there.day()).unwrap_or(1),
    )
    .unwrap_or_else(|_| at.date());
    let minute = i16::from(there.hour()) * 60 + i16::from(there.minute());
    (day, u16::try_from(minute).unwrap_or(0))
}
