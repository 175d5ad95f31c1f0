//! A visit: its kind, its states, and which may follow which.

use serde::{Deserialize, Serialize};
use time::{Duration, OffsetDateTime};

/// What the visit is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum VisitKind {
    /// The yearly visit in the cooling season.
    CoolingMaintenance,
    /// The yearly visit in the heating season.
    HeatingMaintenance,
    /// A second look at the charge when it is warm.
    ChargeCheck,
    /// A repair that was agreed.
    Repair,
    /// Back again for the same trouble.
    Callback,
}

impl VisitKind {
    /// All of them.
    pub const ALL: [Self; 5] = [
        Self::CoolingMaintenance,
        Self::HeatingMaintenance,
        Self::ChargeCheck,
        Self::Repair,
        Self::Callback,
    ];

    /// Those that can be promised and booked: the heating sheet, its own sequence, is to come, and
    /// a promise without a sheet could not be kept.
    pub const WITH_SHEET: [Self; 4] =
        [Self::CoolingMaintenance, Self::ChargeCheck, Self::Repair, Self::Callback];

    /// The word in the store and in addresses.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::CoolingMaintenance => "cooling_maintenance",
            Self::HeatingMaintenance => "heating_maintenance",
            Self::ChargeCheck => "charge_check",
            Self::Repair => "repair",
            Self::Callback => "callback",
        }
    }

    /// The word for people.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::CoolingMaintenance => "Cooling maintenance",
            Self::HeatingMaintenance => "Heating maintenance",
            Self::ChargeCheck => "Charge check",
            Self::Repair => "Repair",
            Self::Callback => "Callback",
        }
    }

    /// The kind of that word.
    #[must_use]
    pub fn of_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.key() == key)
    }

    /// Whether the cooling sheet is filled on it. The heating sheet is its own sequence.
    #[must_use]
    pub fn has_cooling_sheet(self) -> bool {
        self != Self::HeatingMaintenance
    }
}

/// Where a visit stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum VisitState {
    /// It has a technician, a day and a time.
    Booked,
    /// The technician has begun the sheet.
    UnderWay,
    /// The sheet is with the office.
    HandedIn,
    /// The owner took it.
    Accepted,
    /// The owner wants something looked at again.
    SentBack,
    /// Called off before anybody went.
    Cancelled,
    /// Somebody went and nobody opened.
    NoAccess,
}

impl VisitState {
    /// All of them.
    pub const ALL: [Self; 7] = [
        Self::Booked,
        Self::UnderWay,
        Self::HandedIn,
        Self::Accepted,
        Self::SentBack,
        Self::Cancelled,
        Self::NoAccess,
    ];

    /// The word in the store.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Booked => "booked",
            Self::UnderWay => "under_way",
            Self::HandedIn => "handed_in",
            Self::Accepted => "accepted",
            Self::SentBack => "sent_back",
            Self::Cancelled => "cancelled",
            Self::NoAccess => "no_access",
        }
    }

    /// The word for people.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Booked => "Booked",
            Self::UnderWay => "Under way",
            Self::HandedIn => "Handed in",
            Self::Accepted => "Accepted",
            Self::SentBack => "Sent back",
            Self::Cancelled => "Cancelled",
            Self::NoAccess => "No access",
        }
    }

    /// The state of that word.
    #[must_use]
    pub fn of_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|state| state.key() == key)
    }

    /// Whether the sheet is with the technician, so that a new value simply follows.
    #[must_use]
    pub fn is_open(self) -> bool {
        matches!(self, Self::Booked | Self::UnderWay | Self::SentBack)
    }

    /// Whether the sheet is in, so that a change is a correction with a reason.
    #[must_use]
    pub fn is_in(self) -> bool {
        matches!(self, Self::HandedIn | Self::Accepted)
    }

    /// Whether it was called off or came to nothing.
    #[must_use]
    pub fn is_void(self) -> bool {
        matches!(self, Self::Cancelled | Self::NoAccess)
    }

    /// Whether `next` may follow.
    #[must_use]
    pub fn may_become(self, next: Self) -> bool {
        use VisitState::{Accepted, Booked, Cancelled, HandedIn, NoAccess, SentBack, UnderWay};
        matches!(
            (self, next),
            (Booked, UnderWay | Cancelled | NoAccess)
                | (UnderWay, HandedIn | Cancelled | NoAccess)
                | (SentBack, HandedIn)
                | (HandedIn, Accepted | SentBack)
                | (Cancelled | NoAccess, UnderWay)
        )
    }
}

/// As it was met, or as it was left behind.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Stage {
    /// Before anything was touched.
    AsFound,
    /// After cleaning and repair.
    AsLeft,
}

impl Stage {
    /// The word in the store, in forms and in assess documents.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::AsFound => "as_found",
            Self::AsLeft => "as_left",
        }
    }

    /// The stage of that word.
    #[must_use]
    pub fn of_key(key: &str) -> Option<Self> {
        [Self::AsFound, Self::AsLeft].into_iter().find(|stage| stage.key() == key)
    }
}

/// No entry waits so long on a phone: what seems older was typed by a clock that had lost the time
/// (judgement, no source).
const WAITED_MAX: Duration = Duration::days(90);

/// When something was typed, by our clock: a device's may be wrong by days, so that what it is
/// ahead of ours as it sends is taken off again. Nothing is typed after it came; what a clock that
/// began anew at 1970 says, and was set right before it sent, is no time at all.
#[must_use]
pub fn typed_at(
    (device_at, ahead_s): (Option<OffsetDateTime>, Option<i64>),
    received_at: OffsetDateTime,
) -> OffsetDateTime {
    let ahead = Duration::seconds(ahead_s.unwrap_or(0));
    let at = device_at.and_then(|it| it.checked_sub(ahead)).map(|it| it.min(received_at));
    at.filter(|it| received_at - *it <= WAITED_MAX).unwrap_or(received_at)
}
