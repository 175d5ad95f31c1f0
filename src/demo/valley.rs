//! The valley: its customers, what they signed, and the equipment at their houses.

use time::Date;

use super::calendar::{Calendar, SEASONS};
use super::catalogue_table::{
    CHANGED_OVER, EVERYDAY, FADING, HEAT_PUMP, LEAKING_COIL, LINES, Line, THREE_PHASE,
};
use super::equipment::{Equipment, Site, Story};
use super::lots::Lots;
use super::names_table::{ACCESS, FIRMS, FIRST, LAST, NOTES, STREETS, TOWNS};
use super::office::Office;
use super::{SEED, Size, Truths};

/// How it stands between a customer and the company.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Bond {
    /// Under an agreement that holds.
    InForce,
    /// The agreement ends within weeks, and nobody has renewed it yet.
    InRenewal,
    /// The same, but the next one is agreed.
    Renewed,
    /// The last agreement ran out.
    Lapsed,
    /// The customer ended it.
    Ended,
    /// A newcomer who has not said yes yet.
    Draft,
}

/// A customer.
pub(super) struct Household {
    pub(super) name: String,
    pub(super) phone: String,
    pub(super) email: String,
    pub(super) note: &'static str,
    pub(super) sites: Vec<Site>,
    pub(super) bond: Bond,
    pub(super) early_plan: bool,
    /// The first season under agreement.
    pub(super) first_season: usize,
    /// How many days before the season's opening each year's term begins.
    pub(super) term_lead_days: i64,
}

/// The invented valley as a whole.
pub(super) struct Valley {
    pub(super) calendar: Calendar,
    pub(super) size: Size,
    pub(super) households: Vec<Household>,
    pub(super) equipment: Vec<Equipment>,
}

/// Which technician's meter reads high, among the four.
pub(super) const READS_HIGH: usize = 2;

impl Household {
    /// The seasons for which there are agreements (a draft's included).
    pub(super) fn seasons(&self) -> std::ops::Range<usize> {
        let end = if self.bond == Bond::Lapsed { SEASONS - 1 } else { SEASONS };
        self.first_season.min(end)..end
    }

    /// First day and day after the last of a season's term.
    pub(super) fn term(&self, calendar: Calendar, season: usize) -> (Date, Date) {
        let lead = time::Duration::days(self.term_lead_days);
        let begins = |season| calendar.opened(season).saturating_sub(lead);
        let next = if season + 1 < SEASONS {
            begins(season + 1)
        } else {
            begins(season).saturating_add(time::Duration::days(365))
        };
        (begins(season), next)
    }
}

impl Valley {
    /// The whole valley from the seed.
    pub(super) fn new(calendar: Calendar, size: Size) -> Self {
        let count = if size == Size::Whole { 120 } else { 12 };
        let mut valley = Self { calendar, size, households: Vec::new(), equipment: Vec::new() };
        for index in 0..count {
            let mut lots = Lots::of(SEED, index as u64);
            let mut household = household(index, size, &mut lots);
            for nth in 0..systems_of(index) {
                valley.add_system(index, household.sites.len().min(nth + 1) - 1, &household);
            }
            // Nobody signs before there is anything to maintain.
            let theirs = valley.equipment.iter().filter(|it| it.customer == index);
            if let Some(first) = theirs.map(|it| it.first_season).min() {
                household.first_season = first;
            }
            valley.households.push(household);
        }
        valley
    }

    fn add_system(&mut self, customer: usize, site: usize, household: &Household) {
        let index = self.equipment.len();
        let mut lots = Lots::of(SEED, 10_000 + index as u64);
        let story = story(index);
        let line = match story {
            // Every other, so that the coil and not one outdoor unit is what they share.
            Story::LeakingCoil if index.is_multiple_of(2) => &HEAT_PUMP,
            Story::LeakingCoil | Story::UnrepairedDucts => &EVERYDAY,
            Story::FadingCapacitor => &FADING,
            Story::Everyday if index == 7 => &THREE_PHASE,
            Story::Everyday if index == 9 => &CHANGED_OVER,
            Story::Everyday => line_by_share(&mut lots),
        };
        let place = &household.sites[site];
        let mut made = Equipment::new(index, story, line, (self.calendar, place), &mut lots);
        made.customer = customer;
        made.site = site;
        made.first_season = made.first_season.max(household.first_season);
        self.equipment.push(made);
    }

    /// The systems of a customer, by their place in the list.
    pub(super) fn systems_of(&self, customer: usize) -> Vec<usize> {
        let theirs = self.equipment.iter().filter(|it| it.customer == customer);
        theirs.map(|it| it.index).collect()
    }

    /// What a review should find.
    pub(super) fn truths(&self, office: &Office) -> Truths {
        let storied = self.equipment.iter().filter(|it| it.story != Story::Everyday);
        let ducts = self.equipment.iter().find(|it| it.story == Story::UnrepairedDucts);
        Truths {
            leaking_coil: (LEAKING_COIL.0.to_owned(), LEAKING_COIL.1.to_owned()),
            fading_unit: (FADING.make.to_owned(), FADING.model.to_owned()),
            technician_reading_high: office.technicians[READS_HIGH],
            unrepaired_ducts: ducts.map(|it| it.id).unwrap_or_default(),
            storied_systems: storied.map(|it| it.id).collect(),
        }
    }
}

/// About every eleventh system has a leaking coil, another eleventh fading capacitors.
fn story(index: usize) -> Story {
    match index % 11 {
        2 => Story::LeakingCoil,
        5 => Story::FadingCapacitor,
        _ if index == 4 => Story::UnrepairedDucts,
        _ => Story::Everyday,
    }
}

fn line_by_share(lots: &mut Lots) -> &'static Line {
    let mut left = lots.between(0.0, 100.0);
    for line in LINES {
        left -= f64::from(line.share);
        if left < 0.0 {
            return line;
        }
    }
    &EVERYDAY
}

/// 90 customers with one system, 24 with two, six with more: 160 systems.
fn systems_of(customer: usize) -> usize {
    match customer {
        60 | 100 => 5,
        _ if customer.is_multiple_of(20) => 3,
        _ if matches!(customer % 10, 3 | 7) => 2,
        _ => 1,
    }
}

fn household(index: usize, size: Size, lots: &mut Lots) -> Household {
    let is_firm = index.is_multiple_of(15);
    let first = FIRST[(index * 7) % FIRST.len()];
    let last = LAST[(index * 11 + index / 30) % LAST.len()];
    let name = if is_firm {
        FIRMS[(index / 15) % FIRMS.len()].to_owned()
    } else {
        format!("{first} {last}")
    };
    let box_name: String = name
        .to_lowercase()
        .chars()
        .map(|it| if it.is_ascii_alphanumeric() { it } else { '.' })
        .collect();
    let sites = 1 + usize::from(systems_of(index) > 2);
    let bond = match index {
        9 | 69 => Bond::Draft,
        33 => Bond::Ended,
        4 | 64 => Bond::Renewed,
        _ if index % 12 == 7 => Bond::Lapsed,
        _ if index % 12 == 4 => Bond::InRenewal,
        _ => Bond::InForce,
    };
    let near_the_end = matches!(bond, Bond::InRenewal | Bond::Renewed);
    let first_season = match bond {
        Bond::Draft => SEASONS - 1,
        _ if size == Size::Small => SEASONS - 3,
        _ if index % 4 == 3 => usize::try_from(lots.whole(1, 3)).unwrap_or(1),
        _ => 0,
    };
    Household {
        email: format!("{box_name}@example.com"),
        name,
        // A hundred fictional numbers for 120 customers: some share theirs.
        phone: format!("555-01{:02}", (index + 1) % 100),
        note: lots.one_of(NOTES),
        sites: (0..sites).map(|_| site(lots)).collect(),
        bond,
        early_plan: index % 5 == 1,
        first_season,
        term_lead_days: if near_the_end { lots.whole(227, 238) } else { lots.whole(10, 150) },
    }
}

fn site(lots: &mut Lots) -> Site {
    let (town, postal_code, elevation_ft, north, east) = lots.one_of(TOWNS);
    let street = lots.one_of(STREETS);
    Site {
        street: format!("{} {street}", lots.whole(1, 240)),
        town,
        postal_code,
        elevation_ft,
        latitude: 41.0 + north + lots.between(0.0, 0.02),
        longitude: -114.0 + east + lots.between(0.0, 0.02),
        access_note: lots.one_of(ACCESS),
    }
}
