//! Who goes where and when: the rounds of five seasons.

use std::collections::BTreeMap;

use time::{Date, Duration, Weekday};

use super::calendar::{Calendar, SEASONS};
use super::lots::Lots;
use super::valley::{Bond, Household, Valley};
use super::{SEED, Size};

/// How a round ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Ending {
    Accepted,
    AcceptedCold,
    HandedIn,
    SentBack,
    UnderWay,
    Booked,
    NoAccess,
    Cancelled,
}

/// One visit to one system.
pub(super) struct Round {
    pub(super) equipment: usize,
    pub(super) season: usize,
    pub(super) technician: usize,
    pub(super) day: Date,
    pub(super) start_minute: i64,
    pub(super) ending: Ending,
}

/// What is done for a customer this season.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Errand {
    Done,
    DoneInTheCold,
    InOffice,
    SentBack,
    Soon,
    NotYet,
    NobodyHome,
    CalledOff,
}

/// Technicians of the company.
pub(super) const TECHNICIANS: usize = 4;
/// Minutes of a maintenance visit.
pub(super) const VISIT_MINUTES: i64 = 105;
/// When the day's visits start.
const STARTS: [i64; 4] = [8 * 60, 10 * 60, 12 * 60 + 45, 14 * 60 + 45];
/// Days searched for a free hour.
const DAYS_SEARCHED_MAX: i64 = 60;

/// Every round, in the order of time.
pub(super) fn rounds(valley: &Valley) -> Vec<Round> {
    let mut book = Book { calendar: valley.calendar, taken: BTreeMap::new(), rounds: Vec::new() };
    let mut soon = Vec::new();
    for season in 0..SEASONS {
        for (customer, household) in valley.households.iter().enumerate() {
            if household.bond == Bond::Draft || !household.seasons().contains(&season) {
                continue;
            }
            let systems: Vec<usize> = valley
                .systems_of(customer)
                .into_iter()
                .filter(|it| valley.equipment[*it].first_season <= season)
                .collect();
            let mut lots = Lots::of(SEED, 30_000 + (customer * SEASONS + season) as u64);
            let errand = if season + 1 == SEASONS {
                errand(valley.size, customer, household)
            } else {
                past_errand(&mut lots)
            };
            if errand == Errand::Soon {
                soon.extend(systems.iter().copied());
                continue;
            }
            let technician = usual_technician(customer, &mut lots);
            if let Some((day, ending)) =
                day_of(valley.calendar, (season, household), errand, &mut lots)
            {
                book.put_in((day, technician), season, &systems, ending);
            }
        }
    }
    book.put_in_soon(&soon, valley.size);
    book.rounds.sort_by_key(|it| (it.day, it.start_minute, it.technician));
    book.rounds
}

/// Most customers see the same face every year.
fn usual_technician(customer: usize, lots: &mut Lots) -> usize {
    if lots.happens(0.7) { customer % TECHNICIANS } else { lots.one_of(&[0, 1, 2, 3]) }
}

fn past_errand(lots: &mut Lots) -> Errand {
    if lots.happens(0.03) { Errand::NotYet } else { Errand::Done }
}

/// What this season has brought so far, spread over the customers.
fn errand(size: Size, customer: usize, household: &Household) -> Errand {
    use Errand::{CalledOff, Done, DoneInTheCold, InOffice, NobodyHome, NotYet, SentBack, Soon};
    const SMALL: [Errand; 12] = [
        DoneInTheCold,
        Done,
        Done,
        SentBack,
        Done,
        InOffice,
        Soon,
        Done,
        Soon,
        Done,
        NobodyHome,
        NotYet,
    ];
    if household.bond == Bond::Ended {
        return Done;
    }
    if size == Size::Small {
        return SMALL[customer % SMALL.len()];
    }
    match (customer, customer % 20) {
        (18, _) => NobodyHome,
        (39, _) => SentBack,
        (59, _) => CalledOff,
        (98 | 99, _) => DoneInTheCold,
        (_, 8) if customer < 60 => InOffice,
        (_, 9) => InOffice,
        (_, 10..=13) => Soon,
        (_, 14..=17) => NotYet,
        _ => Done,
    }
}

fn day_of(
    calendar: Calendar,
    (season, household): (usize, &Household),
    errand: Errand,
    lots: &mut Lots,
) -> Option<(Date, Ending)> {
    let opened = calendar.opened(season);
    let is_past = season + 1 < SEASONS;
    let last = match (is_past, household.early_plan) {
        (true, false) => 115,
        (_, true) => 60,
        (false, false) => 70,
    };
    let some_day = opened.saturating_add(Duration::days(lots.whole(3, last)));
    Some(match errand {
        Errand::Done => (some_day, Ending::Accepted),
        Errand::DoneInTheCold => (opened.saturating_add(Duration::days(4)), Ending::AcceptedCold),
        Errand::InOffice => (calendar.after(-lots.whole(2, 5)), Ending::HandedIn),
        Errand::SentBack => (calendar.after(-5), Ending::SentBack),
        Errand::NobodyHome => (calendar.after(-6), Ending::NoAccess),
        Errand::CalledOff => (calendar.after(-7), Ending::Cancelled),
        Errand::NotYet | Errand::Soon => return None,
    })
}

/// The appointment book while it fills.
struct Book {
    calendar: Calendar,
    taken: BTreeMap<(usize, Date), usize>,
    rounds: Vec<Round>,
}

impl Book {
    /// The next start that a technician has free on or after a day.
    fn next_start(&mut self, technician: usize, from: Date) -> (Date, i64) {
        for days in 0..DAYS_SEARCHED_MAX {
            let day = from.saturating_add(Duration::days(days));
            if matches!(day.weekday(), Weekday::Saturday | Weekday::Sunday) {
                continue;
            }
            let taken = self.taken.entry((technician, day)).or_insert(0);
            if let Some(start) = STARTS.get(*taken) {
                *taken += 1;
                return (day, *start);
            }
        }
        // Never reached by the demo's few visits; the store would refuse a double booking.
        (from, STARTS[0])
    }

    fn put_in(
        &mut self,
        (day, technician): (Date, usize),
        season: usize,
        systems: &[usize],
        ending: Ending,
    ) {
        for equipment in systems {
            let (mut day, start_minute) = self.next_start(technician, day);
            if ending != Ending::Booked && self.calendar.today <= day {
                // A weekend pushed it past today: it was done on the last day before instead.
                day = self.calendar.after(-1);
            }
            self.rounds.push(Round {
                equipment: *equipment,
                season,
                technician,
                day,
                start_minute,
                ending,
            });
        }
    }

    /// Today and tomorrow for every technician, whatever weekday it is; then the next days.
    fn put_in_soon(&mut self, systems: &[usize], size: Size) {
        let (today, tomorrow) = if size == Size::Whole { (12, 8) } else { (2, 1) };
        for (place, equipment) in systems.iter().enumerate() {
            let technician = place % TECHNICIANS;
            let (day, start) = if place < today {
                (self.calendar.today, STARTS[place / TECHNICIANS])
            } else if place < today + tomorrow {
                (self.calendar.after(1), STARTS[(place - today) / TECHNICIANS])
            } else {
                self.next_start(technician, self.calendar.after(2))
            };
            let is_first = place == 0;
            self.rounds.push(Round {
                equipment: *equipment,
                season: SEASONS - 1,
                technician,
                day,
                start_minute: start,
                ending: if is_first { Ending::UnderWay } else { Ending::Booked },
            });
        }
    }
}
