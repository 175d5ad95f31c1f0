//! Target superheat and split against the tables that they come from.

use fairweather::engine::case::SuperheatChart;
use fairweather::engine::charts::{makers_superheat, published_superheat, target_split};
use fairweather::units::{Fahrenheit, FahrenheitDifference};

use super::nominal_case::assert_near;
use crate::published;

fn wet_bulbs(name: &str) -> Vec<f64> {
    let number =
        |it: &String| it.trim_matches(|letter: char| !letter.is_ascii_digit()).parse().ok();
    published::heading(name).iter().skip(1).filter_map(number).collect()
}

/// Reached: exactly, but for the cell that the source itself contradicts.
#[test]
fn the_superheat_chart_gives_every_printed_cell_and_no_blank_one() {
    let name = "target_superheat_carrier_38VTA_READ.csv";
    let columns = wet_bulbs(name);
    assert_eq!(columns.len(), 14);
    for row in published::rows(name) {
        let outdoor = row[0].unwrap();
        for (wet, cell) in columns.iter().zip(&row[1..]) {
            let target = published_superheat(Fahrenheit(outdoor), Fahrenheit(*wet));
            let is_misprint = (outdoor, *wet) == (80.0, 70.0);
            let expected = if is_misprint { Some(25.0) } else { *cell };
            assert_eq!(target.map(FahrenheitDifference::number), expected, "{outdoor} and {wet}");
        }
    }
}

/// Reached: 1.0 degF against the recalled rows of another published table, 55 to 70 degF.
#[test]
fn the_superheat_chart_agrees_with_the_recalled_table() {
    let name = "target_superheat_RA3.2-2_rows55-70_MEMORY.csv";
    let columns = wet_bulbs(name);
    let mut compared = 0;
    for row in published::rows(name) {
        for (wet, cell) in columns.iter().zip(&row[1..]) {
            let target = published_superheat(Fahrenheit(row[0].unwrap()), Fahrenheit(*wet));
            if let (Some(target), Some(cell)) = (target, cell) {
                assert_near(target.number(), *cell, 1.0);
                compared += 1;
            }
        }
    }
    assert!(300 < compared, "{compared}");
}

/// Reached: mean -0.45, worst 6.5 degF in the hot and humid corner, 3 degF elsewhere.
#[test]
fn the_superheat_chart_lies_near_the_closed_form() {
    for outdoor in [75.0, 82.0, 95.0, 105.0] {
        for wet in [60.0, 64.0, 68.0, 72.0] {
            if let Some(target) = published_superheat(Fahrenheit(outdoor), Fahrenheit(wet)) {
                let closed = (3.0 * wet - 80.0 - outdoor) / 2.0;
                assert_near(target.number(), closed, 3.2);
            }
        }
    }
}

#[test]
fn beyond_the_chart_or_next_to_a_blank_cell_there_is_no_target() {
    for (outdoor, wet) in [(54.9, 60.0), (115.1, 74.0), (80.0, 49.9), (80.0, 76.1), (95.0, 63.0)] {
        assert_eq!(published_superheat(Fahrenheit(outdoor), Fahrenheit(wet)), None);
    }
}

#[test]
fn a_makers_chart_is_read_between_its_lines() {
    let chart = SuperheatChart {
        outdoor_db_f: vec![70.0, 90.0],
        return_wb_f: vec![60.0, 70.0],
        superheat_f: vec![vec![Some(10.0), Some(20.0)], vec![None, Some(12.0)]],
    };
    let target = |outdoor, wet| makers_superheat(&chart, Fahrenheit(outdoor), Fahrenheit(wet));
    assert_near(target(70.0, 65.0).unwrap().number(), 15.0, 1e-12);
    assert_near(target(80.0, 70.0).unwrap().number(), 16.0, 1e-12);
    assert_eq!(target(80.0, 65.0), None);
}

#[test]
fn an_empty_makers_chart_gives_no_target() {
    let chart = SuperheatChart::default();
    assert_eq!(makers_superheat(&chart, Fahrenheit(80.0), Fahrenheit(65.0)), None);
}

/// Reached: 0.06 degF, the rounding of the recalled table.
#[test]
fn the_split_formula_gives_every_cell_of_the_recalled_table() {
    let name = "target_temperature_split_RA3.2-3_MEMORY.csv";
    let columns = wet_bulbs(name);
    assert_eq!(columns.len(), 27);
    let mut compared = 0;
    for row in published::rows(name) {
        for (wet, cell) in columns.iter().zip(&row[1..]) {
            if let Some(cell) = cell {
                let target = target_split(Fahrenheit(row[0].unwrap()), Fahrenheit(*wet));
                assert_near(target.number(), *cell, 0.06);
                compared += 1;
            }
        }
    }
    assert!(330 < compared, "{compared}");
}
