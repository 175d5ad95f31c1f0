//! What the readings with a meter are held against.

use super::{Band, Limits, Shown, at_most, between, source_of_both};
use crate::engine::case::RatedVolts;
use crate::engine::electrical;
use crate::engine::limits::LimitName;
use crate::engine::points::PointKey;
use crate::engine::stage::Stage;
use crate::units::{Percent, Volts};

/// The plate's amps are a ceiling, never what should flow: no lower limit.
pub(super) fn amps(stage: &Stage) -> Limits {
    at_most(stage, LimitName::AmpsHigh)
}

pub(super) fn control_volts(stage: &Stage) -> Limits {
    between(stage, LimitName::ControlVoltsLow, LimitName::ControlVoltsHigh)
}

/// The can's own tolerance, or else the book's.
fn capacitor_tolerance(stage: &Stage) -> (f64, String) {
    let name = LimitName::CapacitorTolerance;
    if let Some(printed) = stage.facts().capacitor_tolerance_pct {
        return (printed, "tolerance printed on the capacitor".to_owned());
    }
    let source = ["the can's tolerance is not on record; ", stage.book.source(name)];
    (stage.book.value(name), source.concat())
}

pub(super) fn capacitor(stage: &Stage, key: PointKey) -> Limits {
    let Some(rated) = electrical::rated_capacitance(stage, key) else {
        return Limits::Unknown("the capacitor's rating");
    };
    let (tolerance, source) = capacitor_tolerance(stage);
    Limits::Fixed(of_rating(rated.number(), tolerance, source))
}

/// The same where the motor's plate asks for another capacitor than the one that is in.
pub(super) fn required_capacitor(stage: &Stage, key: PointKey) -> Limits {
    let Some(required) = electrical::required_capacitance(stage, key) else {
        return Limits::Unknown("the capacitance that the motor asks for");
    };
    let (tolerance, source) = capacitor_tolerance(stage);
    let source = ["capacitance on the motor's plate; ", &source].concat();
    Limits::Fixed(of_rating(required.number(), tolerance, source))
}

/// A tolerance in percent, which people read in microfarads.
fn of_rating(rated: f64, tolerance: f64, source: String) -> Band {
    Band {
        target: None,
        low: Some(-tolerance),
        high: Some(tolerance),
        source,
        shown: Some(Shown { factor: rated / 100.0, offset: rated, unit: "µF", decimals: 1 }),
    }
}

pub(super) fn running_capacitor(stage: &Stage) -> Limits {
    let Some(rated) = stage.facts().capacitor_compressor_rated_uf else {
        return Limits::Unknown("the capacitor's rating");
    };
    let (tolerance, source) = capacitor_tolerance(stage);
    Limits::Fixed(Band {
        target: Some(rated),
        low: Some(rated * (1.0 - tolerance / 100.0)),
        high: Some(rated * (1.0 + tolerance / 100.0)),
        source,
        shown: None,
    })
}

pub(super) fn volts(stage: &Stage, rated: Option<RatedVolts>) -> Limits {
    let Some(rated) = rated else {
        return Limits::Unknown("the rated voltage");
    };
    let (low, high) = volts_range(stage, rated);
    let source = match rated {
        RatedVolts::V208Or230 => {
            source_of_both(stage, LimitName::DualVoltsLow, LimitName::DualVoltsHigh)
        }
        _ => stage.book.source(LimitName::VoltsTolerance).to_owned(),
    };
    let reference = electrical::rated_reference(rated).number();
    Limits::Fixed(Band {
        target: None,
        low: Some(electrical::volts_deviation(low, rated).number()),
        high: Some(electrical::volts_deviation(high, rated).number()),
        source,
        shown: Some(Shown { factor: reference / 100.0, offset: reference, unit: "V", decimals: 0 }),
    })
}

/// Range of line voltage for a rating, lower and upper.
fn volts_range(stage: &Stage, rated: RatedVolts) -> (Volts, Volts) {
    let book = stage.book;
    if rated == RatedVolts::V208Or230 {
        let (low, high) = (LimitName::DualVoltsLow, LimitName::DualVoltsHigh);
        return (Volts(book.value(low)), Volts(book.value(high)));
    }
    electrical::volts_range(rated, Percent(book.value(LimitName::VoltsTolerance)))
}

/// Between what the wires need and what the plate allows.
pub(super) fn breaker(stage: &Stage) -> Limits {
    let facts = stage.facts();
    if facts.maximum_overcurrent_amps.is_none() && facts.minimum_circuit_amps.is_none() {
        return Limits::Unknown("the plate's maximum overcurrent protection");
    }
    Limits::Fixed(Band {
        low: facts.minimum_circuit_amps,
        high: facts.maximum_overcurrent_amps,
        source: "minimum circuit ampacity and maximum overcurrent protection of the nameplate; \
                 check the local code"
            .to_owned(),
        ..Band::default()
    })
}
