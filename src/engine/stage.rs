//! One stage of a visit as the formulas see it: readings, facts and what they need.

use std::cell::Cell;
use std::collections::BTreeMap;

use super::air;
use super::case::{Case, Readings, SystemFacts};
use super::limits::{LIMITS, Limit, LimitBook, LimitName};
use super::points;
use super::refrigerant::{self, SaturationTable};
use crate::units::{Fahrenheit, Feet, HumidityRatio, Psia, Psig, RelativeHumidity};

/// Whether the readings were taken before or after the work.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Moment {
    /// Before anything was touched.
    AsFound,
    /// After cleaning and repair.
    AsLeft,
}

/// Something whose error reaches a measure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Input {
    /// A reading.
    Point(&'static str),
    /// The bubble line of the refrigerant.
    BubbleLine,
    /// The dew line of the refrigerant.
    DewLine,
    /// The target superheat chart, printed in whole degrees.
    Chart,
    /// The closed form that stands in where the chart ends.
    ClosedForm,
    /// The maker's airflow table, as a share of the airflow.
    AirflowTable,
    /// The airflow worked out from the coil's drop, as a share of the airflow.
    CoilReference,
    /// The published curve of capacity, as a share of the capacity.
    CapacityCurve,
    /// The published curve of energy input, as a share of the power.
    PowerCurve,
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

/// The limit book as one stage uses it: it notes what was looked up.
pub(super) struct UsedBook<'a> {
    book: &'a LimitBook,
    used: Cell<u64>,
}

impl UsedBook<'_> {
    fn note(&self, name: LimitName) {
        self.used.set(self.used.get() | 1 << name as u32);
    }

    pub(super) fn value(&self, name: LimitName) -> f64 {
        self.note(name);
        self.book.value(name)
    }

    pub(super) fn source(&self, name: LimitName) -> String {
        self.note(name);
        self.book.source(name)
    }

    pub(super) fn limit(&self, name: LimitName) -> Limit {
        self.note(name);
        self.book.limit(name)
    }

    /// What was looked up so far, with the numbers found.
    pub(super) fn used(&self) -> impl Iterator<Item = (LimitName, f64)> + '_ {
        let used = self.used.get();
        let names = LIMITS.iter().map(|it| it.name);
        names.filter(move |it| used & (1 << *it as u32) != 0).map(|it| (it, self.book.value(it)))
    }
}

/// One stage of a visit.
pub(super) struct Stage<'a> {
    pub(super) case: &'a Case,
    pub(super) book: UsedBook<'a>,
    pub(super) moment: Moment,
    pub(super) readings: Readings,
    /// Readings that can't be, with the reason.
    pub(super) impossible: BTreeMap<&'static str, String>,
    /// Why the refrigerant on record may not be the one inside, if so.
    pub(super) other_refrigerant: Option<String>,
}

impl<'a> Stage<'a> {
    /// The stage of a case: as left also holds the as-found readings that nothing touched.
    pub(super) fn new(case: &'a Case, book: &'a LimitBook, moment: Moment) -> Self {
        let mut readings = match moment {
            Moment::AsFound => case.as_found.clone(),
            Moment::AsLeft => case.as_left.clone(),
        };
        if moment == Moment::AsLeft {
            for key in &case.unchanged {
                if let Some(value) = case.as_found.get(key) {
                    readings.entry(key.clone()).or_insert(*value);
                }
            }
        }
        // A case may be built by hand, so that what no document could hold is dropped here.
        readings.retain(|key, value| points::point(key).is_some_and(|it| it.accepts(*value)));
        let book = UsedBook { book, used: Cell::new(0) };
        let impossible = BTreeMap::new();
        Self { case, book, moment, readings, impossible, other_refrigerant: None }
    }

    /// When a reading was taken: one that was carried over keeps the moment it came from.
    pub(super) fn taken_at(&self, key: &str) -> Moment {
        let is_carried = self.moment == Moment::AsLeft && !self.case.as_left.contains_key(key);
        if is_carried { Moment::AsFound } else { self.moment }
    }

    pub(super) fn facts(&self) -> &SystemFacts {
        &self.case.system
    }

    pub(super) fn reading(&self, key: &str) -> Option<f64> {
        self.readings.get(key).copied()
    }

    pub(super) fn has(&self, key: &str) -> bool {
        self.readings.contains_key(key)
    }

    pub(super) fn table(&self) -> Option<&'static SaturationTable> {
        refrigerant::table(&self.facts().refrigerant)
    }

    /// Standard uncertainty of one input.
    pub(super) fn u_of(&self, input: Input) -> f64 {
        match input {
            Input::Point(key) => self.u_of_reading(key),
            Input::BubbleLine => self.table().map_or(0.0, |it| it.uncertainty().bubble.number()),
            Input::DewLine => self.table().map_or(0.0, |it| it.uncertainty().dew.number()),
            Input::Chart => CHART_ROUNDING_U,
            Input::ClosedForm => CLOSED_FORM_U,
            Input::AirflowTable => AIRFLOW_TABLE_U,
            Input::CoilReference => COIL_REFERENCE_U,
            Input::CapacityCurve | Input::PowerCurve => CURVE_U,
        }
    }

    /// That of the instrument on record, or else of a common one.
    pub(super) fn u_of_reading(&self, key: &str) -> f64 {
        let on_record = self.case.instruments.get(key).copied();
        on_record.filter(|it| it.is_finite() && 0.0 <= *it).unwrap_or_else(|| {
            let value = self.reading(key).unwrap_or(0.0);
            points::point(key).map_or(0.0, |it| it.default_u.at(value))
        })
    }

    /// What a limit's source says where the elevation had to be taken for granted.
    pub(super) fn elevation_note(&self) -> &'static str {
        match self.case.site.elevation_ft {
            Some(_) => "",
            None => "; the site's elevation is not given, sea level taken",
        }
    }
}

/// A stage with at most one input moved, which is how errors are followed through a formula.
pub(super) struct View<'a> {
    pub(super) stage: &'a Stage<'a>,
    pub(super) moved: Option<(Input, f64)>,
}

impl View<'_> {
    /// By how much one input is moved.
    pub(super) fn shift(&self, input: Input) -> f64 {
        self.moved.filter(|(it, _)| *it == input).map_or(0.0, |(_, by)| by)
    }

    /// A reading, as moved.
    pub(super) fn reading(&self, key: &'static str) -> Option<f64> {
        self.stage.reading(key).map(|it| it + self.shift(Input::Point(key)))
    }

    pub(super) fn temperature(&self, key: &'static str) -> Option<Fahrenheit> {
        self.reading(key).map(Fahrenheit)
    }

    pub(super) fn barometric(&self) -> Option<Psia> {
        air::barometric_pressure(Feet(self.stage.case.site.elevation_ft.unwrap_or(0.0)))
    }

    pub(super) fn absolute(&self, key: &'static str) -> Option<Psia> {
        Some(Psig(self.reading(key)?).over_vacuum(self.barometric()?))
    }

    /// Dew temperature at a pressure reading.
    pub(super) fn dew(&self, key: &'static str) -> Option<Fahrenheit> {
        let at = self.stage.table()?.dew(self.absolute(key)?)?;
        Some(Fahrenheit(at.number() + self.shift(Input::DewLine)))
    }

    /// Bubble temperature at a pressure reading.
    pub(super) fn bubble(&self, key: &'static str) -> Option<Fahrenheit> {
        let at = self.stage.table()?.bubble(self.absolute(key)?)?;
        Some(Fahrenheit(at.number() + self.shift(Input::BubbleLine)))
    }

    /// Humidity ratio of one air stream: from the wet bulb if read, else from the humidity.
    pub(super) fn humidity_ratio(&self, stream: &AirStream) -> Option<HumidityRatio> {
        let dry = self.temperature(stream.dry_bulb)?;
        let barometric = self.barometric()?;
        if let Some(wet) = self.temperature(stream.wet_bulb) {
            return air::humidity_ratio(dry, wet, barometric);
        }
        let relative = RelativeHumidity(self.reading(stream.relative)?);
        air::humidity_ratio_of_relative(dry, relative, barometric)
    }

    /// Wet bulb of one air stream: as read, or worked out from the humidity.
    pub(super) fn wet_bulb(&self, stream: &AirStream) -> Option<Fahrenheit> {
        if let Some(wet) = self.temperature(stream.wet_bulb) {
            return Some(wet);
        }
        let ratio = self.humidity_ratio(stream)?;
        air::wet_bulb(self.temperature(stream.dry_bulb)?, ratio, self.barometric()?)
    }
}

/// The points of one stream of air.
pub(super) struct AirStream {
    pub(super) dry_bulb: &'static str,
    pub(super) wet_bulb: &'static str,
    pub(super) relative: &'static str,
    humidity_label: &'static str,
}

/// Air on its way to the coil.
pub(super) const RETURN_AIR: AirStream = AirStream {
    dry_bulb: "return_db_f",
    wet_bulb: "return_wb_f",
    relative: "return_rh_pct",
    humidity_label: "return air wet bulb or humidity",
};

/// Air on its way to the rooms.
pub(super) const SUPPLY_AIR: AirStream = AirStream {
    dry_bulb: "supply_db_f",
    wet_bulb: "supply_wb_f",
    relative: "supply_rh_pct",
    humidity_label: "supply air wet bulb or humidity",
};

/// What a measure needs, and what of that is missing.
#[derive(Default)]
pub(super) struct Needs {
    pub(super) inputs: Vec<Input>,
    pub(super) missing: Vec<String>,
}

impl Needs {
    pub(super) fn point(mut self, stage: &Stage, key: &'static str) -> Self {
        if stage.has(key) {
            self.inputs.push(Input::Point(key));
        } else {
            let label = points::point(key).map_or(key, |it| it.label);
            self.missing.push(in_mid_sentence(label));
        }
        self
    }

    pub(super) fn pressure(self, stage: &Stage, key: &'static str, line: Input) -> Self {
        let mut needs = self.point(stage, key);
        needs.inputs.push(line);
        needs
    }

    /// Something that is no reading and yet has an error.
    pub(super) fn model(mut self, input: Input) -> Self {
        self.inputs.push(input);
        self
    }

    /// The wet bulb, or the humidity and dry bulb from which it is worked out.
    pub(super) fn wet_bulb(mut self, stage: &Stage, stream: &AirStream) -> Self {
        if stage.has(stream.wet_bulb) {
            self.inputs.push(Input::Point(stream.wet_bulb));
            return self;
        }
        if stage.has(stream.relative) {
            self.inputs.push(Input::Point(stream.relative));
            return self.point(stage, stream.dry_bulb);
        }
        self.missing.push(stream.humidity_label.to_owned());
        self
    }

    /// Dry bulb and humidity.
    pub(super) fn air(self, stage: &Stage, stream: &AirStream) -> Self {
        let needs = self.wet_bulb(stage, stream);
        if needs.inputs.contains(&Input::Point(stream.dry_bulb)) {
            return needs;
        }
        needs.point(stage, stream.dry_bulb)
    }

    pub(super) fn fact(mut self, is_known: bool, label: &str) -> Self {
        if !is_known {
            self.missing.push(label.to_owned());
        }
        self
    }

    /// The same with what another measure needs.
    pub(super) fn and(mut self, other: Self) -> Self {
        for input in other.inputs {
            if !self.inputs.contains(&input) {
                self.inputs.push(input);
            }
        }
        for label in other.missing {
            if !self.missing.contains(&label) {
                self.missing.push(label);
            }
        }
        self
    }

    /// The readings among the inputs.
    pub(super) fn points(&self) -> impl Iterator<Item = &'static str> + '_ {
        self.inputs.iter().filter_map(|it| match it {
            Input::Point(key) => Some(*key),
            _ => None,
        })
    }
}

/// A label as it stands within a sentence.
pub(super) fn in_mid_sentence(label: &str) -> String {
    let mut letters = label.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().collect::<String>())
        + letters.as_str()
}
