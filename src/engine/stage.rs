//! One stage of a visit as the formulas see it: readings, facts and what they need.

use std::collections::BTreeMap;

use super::air;
use super::case::{Case, Readings, SystemFacts};
use super::limits::LimitBook;
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
}

/// Standard uncertainty of a chart printed in whole degrees: 0.5 degF over the root of three,
/// for a rounding error is as likely anywhere between; JCGM 100:2008, 4.3.7.
const CHART_ROUNDING_U: f64 = 0.288_675;

/// One stage of a visit.
pub(super) struct Stage<'a> {
    pub(super) case: &'a Case,
    pub(super) book: &'a LimitBook,
    pub(super) moment: Moment,
    pub(super) readings: Readings,
    /// Readings that can't be, with the reason.
    pub(super) impossible: BTreeMap<&'static str, String>,
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
        Self { case, book, moment, readings, impossible: BTreeMap::new() }
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
    fn shift(&self, input: Input) -> f64 {
        self.moved.filter(|(it, _)| *it == input).map_or(0.0, |(_, by)| by)
    }

    /// A reading, as moved.
    pub(super) fn reading(&self, key: &'static str) -> Option<f64> {
        self.stage.reading(key).map(|it| it + self.shift(Input::Point(key)))
    }

    pub(super) fn temperature(&self, key: &'static str) -> Option<Fahrenheit> {
        self.reading(key).map(Fahrenheit)
    }

    pub(super) fn chart_shift(&self) -> f64 {
        self.shift(Input::Chart)
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

    pub(super) fn chart(mut self) -> Self {
        self.inputs.push(Input::Chart);
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
        self.missing.extend(other.missing);
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
