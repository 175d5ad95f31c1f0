//! What fails again and again: findings against the years that parts were there to fail.

use std::collections::{BTreeMap, BTreeSet};

use statrs::distribution::{ContinuousCDF, Gamma};
use time::Date;
use uuid::Uuid;

use crate::domain::nameplate::Part;
use crate::domain::person::folded;

/// Half of what a 95 % interval leaves out, on each side.
const TAIL: f64 = 0.025;
/// How far the first visit looks back: the yearly visit speaks for the year before it.
const LOOK_BACK_DAYS: i64 = 365;
/// Days of a year, over the leap years.
const YEAR_DAYS: f64 = 365.25;

/// A component that visits could find something on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct InPlace {
    /// The component.
    pub component: Uuid,
    /// Its system.
    pub system: Uuid,
    /// Which part it is.
    pub part: Part,
    /// Make as on the plate; may be empty.
    pub make: String,
    /// Model as on the plate; may be empty.
    pub model: String,
    /// When it was put in, if known.
    pub installed_on: Option<Date>,
    /// The first judged visit while it was in place.
    pub first_visit: Date,
    /// The last one.
    pub last_visit: Date,
}

impl InPlace {
    /// For how many years something could have been found on it: from its first to its last
    /// visit, and the year before the first, or since it was put in if that is shorter. Years
    /// before anybody looked count for nothing, nor do those after the last visit.
    #[must_use]
    pub fn years(&self) -> f64 {
        let before = self.installed_on.map_or(LOOK_BACK_DAYS, |installed| {
            (self.first_visit - installed).whole_days().clamp(0, LOOK_BACK_DAYS)
        });
        let between = (self.last_visit - self.first_visit).whole_days().max(0);
        let days = i32::try_from(before + between).unwrap_or(i32::MAX);
        f64::from(days) / YEAR_DAYS
    }

    /// By what it is counted: part, make and model, whatever the letters' size.
    #[must_use]
    pub fn kind(&self) -> (Part, String, String) {
        (self.part, folded(&self.make), folded(&self.model))
    }
}

/// Something that was found on a component at a visit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Found {
    /// The component.
    pub component: Uuid,
    /// The visit.
    pub visit: Uuid,
    /// What it is.
    pub subject: String,
}

/// Findings a year, and from where to where the true rate may lie.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rate {
    /// Findings by years.
    pub a_year: f64,
    /// The lower end of the 95 % interval.
    pub low: f64,
    /// The upper end.
    pub high: f64,
}

/// The mean of a Poisson count, from the count alone: the exact central 95 % interval.
///
/// `low = χ²(0.025; 2n) / 2`, 0 for n = 0; `high = χ²(0.975; 2n + 2) / 2`. Half a χ² of 2k
/// degrees of freedom is a gamma variable of shape k, which is what is asked for here.
/// Garwood, Biometrika 28 (1936) 437–442. It covers the true mean in at least 95 of 100 cases
/// whatever that mean is; for small counts it is wider than need be.
///
/// None where the library can't make the distribution, which no count that fits in memory does.
#[must_use]
pub fn poisson_interval(count: u32) -> Option<(f64, f64)> {
    let quantile =
        |shape: f64, share: f64| Gamma::new(shape, 1.0).ok().map(|gamma| gamma.inverse_cdf(share));
    let count = f64::from(count);
    let low = if count < 1.0 { 0.0 } else { quantile(count, TAIL)? };
    Some((low, quantile(count + 1.0, 1.0 - TAIL)?))
}

/// The rate of a count over some years; none without a day of exposure.
#[must_use]
pub fn rate(count: usize, years: f64) -> Option<Rate> {
    if years <= 0.0 {
        return None;
    }
    let count = u32::try_from(count).ok()?;
    let (low, high) = poisson_interval(count)?;
    Some(Rate { a_year: f64::from(count) / years, low: low / years, high: high / years })
}

/// One make and model of a part, over the whole base.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Which part.
    pub part: Part,
    /// Make as it was first written.
    pub make: String,
    /// Model as it was first written.
    pub model: String,
    /// How many systems have or had one.
    pub systems: usize,
    /// How many there are or were.
    pub components: usize,
    /// Years in which something could have been found, added up.
    pub system_years: f64,
    /// What was found: a subject counts once a component and visit.
    pub findings: usize,
    /// How many systems it was found on.
    pub systems_with: usize,
    /// Findings a year.
    pub rate: Option<Rate>,
}

/// One subject on one part, over the whole base.
#[derive(Clone, Debug, PartialEq)]
pub struct SubjectRow {
    /// What it is.
    pub subject: String,
    /// On which part.
    pub part: Part,
    /// How often it was found.
    pub findings: usize,
    /// On how many systems.
    pub systems_with: usize,
    /// Years of all such parts.
    pub system_years: f64,
    /// Findings a year.
    pub rate: Option<Rate>,
}

/// What gathers while counting.
#[derive(Default)]
struct Tally<'a> {
    systems: BTreeSet<Uuid>,
    components: usize,
    years: f64,
    found: BTreeSet<(Uuid, Uuid, &'a str)>,
    with: BTreeSet<Uuid>,
}

/// Findings by part, make and model, those that surely fail most first: sorted by the lower end
/// of the rate, so that one finding in one short year does not outrank twenty in forty.
#[must_use]
pub fn by_model(in_place: &[InPlace], found: &[Found]) -> Vec<Row> {
    let mut tallies: BTreeMap<(Part, String, String), (&InPlace, Tally)> = BTreeMap::new();
    let mut of_component: BTreeMap<Uuid, &InPlace> = BTreeMap::new();
    for it in in_place {
        of_component.insert(it.component, it);
        let (_, tally) = tallies.entry(it.kind()).or_insert_with(|| (it, Tally::default()));
        tally.systems.insert(it.system);
        tally.components += 1;
        tally.years += it.years();
    }
    for it in found {
        let Some(there) = of_component.get(&it.component) else { continue };
        if let Some((_, tally)) = tallies.get_mut(&there.kind()) {
            tally.found.insert((it.component, it.visit, &it.subject));
            tally.with.insert(there.system);
        }
    }
    let mut rows: Vec<Row> = tallies
        .into_values()
        .map(|(first, tally)| Row {
            part: first.part,
            make: first.make.clone(),
            model: first.model.clone(),
            systems: tally.systems.len(),
            components: tally.components,
            system_years: tally.years,
            findings: tally.found.len(),
            systems_with: tally.with.len(),
            rate: rate(tally.found.len(), tally.years),
        })
        .collect();
    rows.sort_by(|a, b| {
        low(b.rate)
            .total_cmp(&low(a.rate))
            .then_with(|| b.findings.cmp(&a.findings))
            .then_with(|| (a.part, &a.make, &a.model).cmp(&(b.part, &b.make, &b.model)))
    });
    rows
}

/// Findings by subject and part, sorted in the same way.
#[must_use]
pub fn by_subject(in_place: &[InPlace], found: &[Found]) -> Vec<SubjectRow> {
    let mut of_component: BTreeMap<Uuid, &InPlace> = BTreeMap::new();
    let mut years: BTreeMap<Part, f64> = BTreeMap::new();
    for it in in_place {
        of_component.insert(it.component, it);
        *years.entry(it.part).or_default() += it.years();
    }
    let mut tallies: BTreeMap<(&str, Part), Tally> = BTreeMap::new();
    for it in found {
        let Some(there) = of_component.get(&it.component) else { continue };
        let tally = tallies.entry((&it.subject, there.part)).or_default();
        tally.found.insert((it.component, it.visit, &it.subject));
        tally.with.insert(there.system);
    }
    let mut rows: Vec<SubjectRow> = tallies
        .into_iter()
        .map(|((subject, part), tally)| {
            let system_years = years.get(&part).copied().unwrap_or_default();
            SubjectRow {
                subject: subject.to_owned(),
                part,
                findings: tally.found.len(),
                systems_with: tally.with.len(),
                system_years,
                rate: rate(tally.found.len(), system_years),
            }
        })
        .collect();
    rows.sort_by(|a, b| {
        low(b.rate)
            .total_cmp(&low(a.rate))
            .then_with(|| b.findings.cmp(&a.findings))
            .then_with(|| (&a.subject, a.part).cmp(&(&b.subject, b.part)))
    });
    rows
}

/// Without a rate nothing is sure, so it comes last.
fn low(rate: Option<Rate>) -> f64 {
    rate.map_or(-1.0, |it| it.low)
}
