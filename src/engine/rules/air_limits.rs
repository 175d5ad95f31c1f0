//! What the air side is held against.

use super::{Band, Limits, around, at_least, near};
use crate::engine::air_side;
use crate::engine::airflow;
use crate::engine::limits::LimitName;
use crate::engine::stage::Stage;

pub(super) fn split(stage: &Stage) -> Limits {
    let tolerance = LimitName::SplitTolerance;
    let target = if air_side::is_by_airflow(stage) {
        ["published correlation at this airflow and weather, ", airflow::method_words(stage)]
            .concat()
    } else {
        "published temperature split table (from memory)".to_owned()
    };
    let source = [&target, "; ", stage.book.source(tolerance), stage.elevation_note()].concat();
    around("target_split_f", stage.book.value(tolerance), source)
}

pub(super) fn capacity_ratio(stage: &Stage) -> Limits {
    let limit = stage.book.limit(LimitName::CapacityRatioLow);
    Limits::Fixed(Band {
        low: Some(limit.value),
        source: [airflow::method_words(stage), "; ", &limit.source, stage.elevation_note()]
            .concat(),
        ..Band::default()
    })
}

pub(super) fn external_static(stage: &Stage) -> Limits {
    let Some(high) = stage.facts().max_external_static_inwc else {
        return Limits::Unknown("the plate's highest external static");
    };
    let source = "highest external static of the nameplate".to_owned();
    Limits::Fixed(Band { high: Some(high), source, ..Band::default() })
}

/// Around the design where it is written down, else over the published floor.
pub(super) fn airflow_per_ton(stage: &Stage) -> Limits {
    let words = airflow::method_words(stage);
    if let Some(design) = stage.facts().design_airflow_cfm_per_ton {
        let name = LimitName::AirflowDesignTolerance;
        let width = design * stage.book.value(name) / 100.0;
        return near(design, width, [words, "; ", stage.book.source(name)].concat());
    }
    match at_least(stage, LimitName::AirflowPerTonLow) {
        Limits::Fixed(band) => {
            Limits::Fixed(Band { source: [words, "; ", &band.source].concat(), ..band })
        }
        other => other,
    }
}

/// Warmer or colder than a thermometer beside it.
pub(super) fn thermostat_error(stage: &Stage) -> Limits {
    let limit = stage.book.limit(LimitName::ThermostatErrorHigh);
    Limits::Fixed(Band {
        low: Some(-limit.value),
        high: Some(limit.value),
        source: limit.source.clone(),
        ..Band::default()
    })
}
