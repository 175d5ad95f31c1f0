//! One stage of a visit as the formulas see it: readings, their errors, facts, limits.

use std::cell::{Cell, OnceCell};
use std::collections::BTreeMap;

use super::air;
use super::airflow::Method;
use super::case::{Case, SystemFacts};
use super::input::{Input, InputSet};
use super::limits::{LIMITS, Limit, LimitBook, LimitName};
use super::points::{DefaultUncertainty, POINTS, PointKey};
use super::refrigerant::{self, SaturationTable};
use super::uncertainty::Estimates;
use super::view::Shared;
use crate::units::{Feet, Psia};

/// Whether the readings were taken before or after the work.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Moment {
    /// Before anything was touched.
    AsFound,
    /// After cleaning and repair.
    AsLeft,
}

/// Standard uncertainty of a chart printed in whole degrees: 0.5 degF over the root of three,
/// for a rounding error is as likely anywhere between; JCGM 100:2008, 4.3.7.
const CHART_ROUNDING_U: f64 = 0.288_675;
/// Standard uncertainty of the closed form against a maker's printed chart, degF: root mean square
/// over its 118 cells, computed.
const CLOSED_FORM_U: f64 = 1.6;
/// Standard uncertainty of an airflow from a maker's table, as a share. Judgement, no source: the
/// table is for one motor, a clean wheel and the tap that is believed to be wired.
const AIRFLOW_TABLE_U: f64 = 0.08;
/// Standard uncertainty of an airflow from the coil's drop, as a share. Judgement, no source: a
/// coil that is dirty or drier than in its table reads wrong.
const COIL_REFERENCE_U: f64 = 0.10;
/// Standard uncertainty of the published curves for a unit that they were not made for, as a share
/// of capacity and of power. Judgement, no source.
const CURVE_U: f64 = 0.05;

/// Standard uncertainty of the humidity of a cooled house that nobody measured, %. Judgement, no
/// source: 36 to 64 % are as likely anywhere within.
const ASSUMED_HUMIDITY_U: f64 = 8.0;

/// The limit book as one visit uses it: it notes what was looked up.
pub(super) struct UsedBook<'a> {
    book: &'a LimitBook,
    used: Cell<u64>,
}

impl<'a> UsedBook<'a> {
    pub(super) fn new(book: &'a LimitBook) -> Self {
        Self { book, used: Cell::new(0) }
    }

    pub(super) fn version(&self) -> &str {
        &self.book.version
    }

    fn note(&self, name: LimitName) {
        self.used.set(self.used.get() | 1 << name as u32);
    }

    pub(super) fn value(&self, name: LimitName) -> f64 {
        self.note(name);
        self.book.value(name)
    }

    pub(super) fn source(&self, name: LimitName) -> &str {
        self.note(name);
        self.book.source(name)
    }

    pub(super) fn limit(&self, name: LimitName) -> &Limit {
        self.note(name);
        self.book.limit(name)
    }

    /// What was looked up so far, with the numbers found.
    pub(super) fn used(&self) -> BTreeMap<LimitName, f64> {
        let used = self.used.get();
        let names = LIMITS.iter().map(|it| it.name).filter(|it| used & (1 << *it as u32) != 0);
        names.map(|it| (it, self.book.value(it))).collect()
    }
}

/// One stage of a visit.
pub(super) struct Stage<'a> {
    pub(super) case: &'a Case,
    pub(super) book: &'a UsedBook<'a>,
    pub(super) moment: Moment,
    /// Readings that can't be, with the reason.
    pub(super) impossible: BTreeMap<PointKey, String>,
    /// Why the refrigerant on record may not be the one inside, if so.
    pub(super) other_refrigerant: Option<String>,
    pub(super) table: Option<&'static SaturationTable>,
    pub(super) barometric: Option<Psia>,
    /// Which way leads to the airflow, once it was asked for.
    pub(super) airflow_way: OnceCell<Option<(Method, InputSet)>>,
    /// Whether the target split is that of the day's own airflow, once it was asked for.
    pub(super) is_split_by_airflow: OnceCell<bool>,
    /// Whether the target superheat comes from the closed form, once it was asked for.
    pub(super) is_by_closed_form: OnceCell<bool>,
    /// Whether the residuals that causes are told by are worked out too.
    pub(super) names_causes: bool,
    /// Every measure that could be worked out, by its place in the list.
    pub(super) estimates: Estimates,
    /// What the readings give as they are, once it was asked for.
    pub(super) unmoved: Shared,
    readings: [Option<f64>; POINTS.len()],
}

impl<'a> Stage<'a> {
    /// The stage of a case: as left also holds the as-found readings that nothing touched.
    pub(super) fn new(case: &'a Case, book: &'a UsedBook<'a>, moment: Moment) -> Self {
        let mut readings = [None; POINTS.len()];
        let mut take = |key: PointKey, value: f64| {
            // A case may be built by hand, so that what no document could hold is dropped here.
            if key.point().accepts(value) {
                readings[key as usize] = Some(value);
            }
        };
        if moment == Moment::AsLeft {
            for key in &case.unchanged {
                if let Some(value) = case.as_found.get(key) {
                    take(*key, *value);
                }
            }
        }
        let own = match moment {
            Moment::AsFound => &case.as_found,
            Moment::AsLeft => &case.as_left,
        };
        for (key, value) in own {
            take(*key, *value);
        }
        Self {
            case,
            book,
            moment,
            impossible: BTreeMap::new(),
            other_refrigerant: None,
            table: refrigerant::table(&case.system.refrigerant),
            barometric: air::barometric_pressure(Feet(case.site.elevation_ft.unwrap_or(0.0))),
            airflow_way: OnceCell::new(),
            is_split_by_airflow: OnceCell::new(),
            is_by_closed_form: OnceCell::new(),
            names_causes: true,
            estimates: Estimates::default(),
            unmoved: Shared::default(),
            readings,
        }
    }

    /// When a reading was taken: one that was carried over keeps the moment it came from.
    pub(super) fn taken_at(&self, key: PointKey) -> Moment {
        let is_carried = self.moment == Moment::AsLeft && !self.case.as_left.contains_key(&key);
        if is_carried { Moment::AsFound } else { self.moment }
    }

    /// Minutes since arrival at which a reading was taken, where that was noted.
    pub(super) fn taken_min(&self, key: PointKey) -> Option<f64> {
        let both = &self.case.taken_min;
        match self.taken_at(key) {
            Moment::AsFound => both.as_found.get(&key).copied(),
            Moment::AsLeft => both.as_left.get(&key).copied(),
        }
    }

    pub(super) fn facts(&self) -> &SystemFacts {
        &self.case.system
    }

    pub(super) fn reading(&self, key: PointKey) -> Option<f64> {
        self.readings[key as usize]
    }

    pub(super) fn has(&self, key: PointKey) -> bool {
        self.readings[key as usize].is_some()
    }

    /// Whether a measure is spoken of: as left only where something of it was read, for of all the
    /// rest it was said as found that nobody read it.
    pub(super) fn speaks_of(&self, place: usize) -> bool {
        let needs = self.estimates.needs(place);
        self.moment == Moment::AsFound || needs.is_some_and(|it| it.points().next().is_some())
    }

    /// Standard uncertainty of one input.
    pub(super) fn u_of(&self, input: Input) -> f64 {
        match input {
            Input::Point(key) => self.u_of_reading(key),
            Input::BubbleLine => self.table.map_or(0.0, |it| it.uncertainty().bubble.number()),
            Input::DewLine => self.table.map_or(0.0, |it| it.uncertainty().dew.number()),
            Input::Chart => CHART_ROUNDING_U,
            Input::ClosedForm => CLOSED_FORM_U,
            Input::AirflowTable => AIRFLOW_TABLE_U,
            Input::CoilReference => COIL_REFERENCE_U,
            Input::CapacityCurve | Input::PowerCurve => CURVE_U,
            Input::AssumedHumidity => ASSUMED_HUMIDITY_U,
        }
    }

    /// That of the instrument on record, or else of a common one.
    pub(super) fn u_of_reading(&self, key: PointKey) -> f64 {
        self.u_at(key).at(self.reading(key).unwrap_or(0.0))
    }

    /// The same at any value.
    pub(super) fn u_at(&self, key: PointKey) -> DefaultUncertainty {
        let on_record = self.case.instruments.get(&key).copied();
        let possible = on_record.filter(|it| it.is_finite() && 0.0 <= *it);
        possible.map_or(key.point().default_u, DefaultUncertainty::Fixed)
    }

    /// What a limit's source says where the elevation had to be taken for granted.
    pub(super) fn elevation_note(&self) -> &'static str {
        match self.case.site.elevation_ft {
            Some(_) => "",
            None => "; the site's elevation is not given, sea level taken",
        }
    }
}
