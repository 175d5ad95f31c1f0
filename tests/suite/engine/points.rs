//! The measuring points against the design's table.

use fairweather::engine::measures::MEASURES;
use fairweather::engine::points::{DefaultUncertainty, POINTS, PointKey, point};

use super::nominal_case::assert_near;
use crate::published;

#[test]
fn the_points_are_those_of_the_table() {
    let rows = published::text_rows("points.csv");
    // Ours beyond the table: the thermometer that the table's own words ask for.
    let of_table = POINTS.iter().filter(|it| it.key != "thermostat_beside_f");
    assert_eq!(rows.len() + 1, POINTS.len());
    for (row, point) in rows.iter().zip(of_table) {
        assert_eq!(
            (row[0].as_str(), row[1].as_str(), row[2].as_str()),
            (point.key, point.label, point.unit)
        );
        assert_near(point.low, row[3].parse().unwrap(), 0.0);
        assert_near(point.high, row[4].parse().unwrap(), 0.0);
        if let Ok(u) = row[5].parse::<f64>() {
            assert_eq!(point.default_u, DefaultUncertainty::Fixed(u), "{}", point.key);
        }
    }
}

#[test]
fn people_read_the_accepted_range_in_their_units() {
    assert_eq!(point("return_wb_f").unwrap().accepted(), "32 to 90 °F");
    assert_eq!(point("return_wb_f").unwrap().accepted_in_documents(), "32 to 90 degF");
}

#[test]
fn there_are_no_more_measures_than_a_set_has_places() {
    assert!(MEASURES.len() <= 128, "{}", MEASURES.len());
}

#[test]
fn every_measure_names_points_that_exist() {
    for measure in MEASURES {
        assert!(measure.scale.0 < measure.scale.1, "{}", measure.key);
        for key in measure.points {
            assert!(point(key).is_some(), "{}: {key}", measure.key);
        }
    }
}

#[test]
fn work_that_can_hurt_carries_its_caution() {
    for key in [
        "volts_outdoor_running",
        "capacitor_fan_uf",
        "suction_pressure_psig",
        "static_after_coil_inwc",
        "ambient_co_ppm",
    ] {
        let hazard = point(key).unwrap().hazard.expect("a hazard");
        assert!(!hazard.caution().is_empty());
    }
}

#[test]
fn the_table_stands_in_the_order_of_the_names() {
    assert_eq!(POINTS.len(), PointKey::ALL.len());
    for (point, key) in POINTS.iter().zip(PointKey::ALL) {
        assert_eq!((point.key, PointKey::of(point.key)), (key.key(), Some(*key)));
        assert_eq!(key.point(), point);
    }
}
