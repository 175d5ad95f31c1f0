//! Published charts: target superheat and target temperature split.

use super::case::SuperheatChart;
use crate::units::{Fahrenheit, FahrenheitDifference};

/// Outdoor dry bulbs of the published chart, degF.
const OUTDOOR_F: [f64; 13] =
    [55.0, 60.0, 65.0, 70.0, 75.0, 80.0, 85.0, 90.0, 95.0, 100.0, 105.0, 110.0, 115.0];
/// Return wet bulbs of the published chart, degF.
const WET_BULB_F: [f64; 14] =
    [50.0, 52.0, 54.0, 56.0, 58.0, 60.0, 62.0, 64.0, 66.0, 68.0, 70.0, 72.0, 74.0, 76.0];

/// Target superheat at the suction port of a split system with a fixed orifice, degF.
///
/// Source: a maker's charging table (document 38VTA040, table 4), read from a stored copy. Its cell
/// at 80 degF and 70 degF wet bulb prints 26; the Celsius twin of the table gives 25, taken here.
/// Zero stands for a blank cell: charge nothing, liquid may reach the compressor.
#[rustfmt::skip]
const SUPERHEAT_F: [[u8; 14]; 13] = [
    [ 9, 12, 14, 17, 20, 23, 26, 29, 32, 35, 37, 40, 42, 45],
    [ 7, 10, 12, 15, 18, 21, 24, 27, 30, 33, 35, 38, 40, 43],
    [ 0,  6, 10, 13, 16, 19, 21, 24, 27, 30, 33, 36, 38, 41],
    [ 0,  0,  7, 10, 13, 16, 19, 21, 24, 27, 30, 33, 36, 39],
    [ 0,  0,  0,  6,  9, 12, 15, 18, 21, 24, 28, 31, 34, 37],
    [ 0,  0,  0,  0,  5,  8, 12, 15, 18, 21, 25, 28, 31, 35],
    [ 0,  0,  0,  0,  0,  0,  8, 11, 15, 19, 22, 26, 30, 33],
    [ 0,  0,  0,  0,  0,  0,  5,  9, 13, 16, 20, 24, 27, 31],
    [ 0,  0,  0,  0,  0,  0,  0,  6, 10, 14, 18, 22, 25, 29],
    [ 0,  0,  0,  0,  0,  0,  0,  0,  8, 12, 15, 20, 23, 27],
    [ 0,  0,  0,  0,  0,  0,  0,  0,  5,  9, 13, 17, 22, 26],
    [ 0,  0,  0,  0,  0,  0,  0,  0,  0,  6, 11, 15, 20, 25],
    [ 0,  0,  0,  0,  0,  0,  0,  0,  0,  0,  8, 14, 18, 23],
];

/// Target superheat from the published chart.
///
/// - `outdoor`: dry bulb at the condenser, degF, 55 to 115; `wet_bulb`: return, degF, 50 to 76
/// - result: degF between the chart's cells in straight lines, or nothing off the chart and
///   wherever a cell that it leans on is blank
/// - reference: the chart above
/// - known disagreement: (3 wet bulb - 80 - outdoor) / 2 (from memory) is 0.5 degF lower on the
///   mean and up to 6.5 degF lower in the hot and humid corner
#[must_use]
pub fn published_superheat(
    outdoor: Fahrenheit,
    wet_bulb: Fahrenheit,
) -> Option<FahrenheitDifference> {
    let cell = |row: usize, column: usize| {
        let printed = *SUPERHEAT_F.get(row)?.get(column)?;
        (printed > 0).then(|| f64::from(printed))
    };
    between(&OUTDOOR_F, &WET_BULB_F, (outdoor, wet_bulb), &cell)
}

/// Whether the published chart has rows and columns around these temperatures.
#[must_use]
pub fn is_on_published_grid(outdoor: Fahrenheit, wet_bulb: Fahrenheit) -> bool {
    place(&OUTDOOR_F, outdoor.number()).is_some() && place(&WET_BULB_F, wet_bulb.number()).is_some()
}

/// Target superheat by the closed form, for where the chart has no grid.
///
/// - `outdoor`: dry bulb at the condenser, degF; `wet_bulb`: return, degF
/// - result: degF, or nothing below zero
/// - reference: (3 wet bulb - 80 - outdoor) / 2 (from memory)
/// - known disagreement: against the published chart 0.5 degF lower on the mean, root mean square
///   1.6 degF over 118 cells, 6.5 degF lower in the hot and humid corner
#[must_use]
pub fn closed_form_superheat(
    outdoor: Fahrenheit,
    wet_bulb: Fahrenheit,
) -> Option<FahrenheitDifference> {
    let target = (3.0 * wet_bulb.number() - 80.0 - outdoor.number()) / 2.0;
    (0.0 <= target).then_some(FahrenheitDifference(target))
}

/// Target superheat from the maker's own chart.
///
/// - arguments and result as for the published chart, with the chart's own ranges
/// - reference: the system's own document
#[must_use]
pub fn makers_superheat(
    chart: &SuperheatChart,
    outdoor: Fahrenheit,
    wet_bulb: Fahrenheit,
) -> Option<FahrenheitDifference> {
    let cell = |row: usize, column: usize| *chart.superheat_f.get(row)?.get(column)?;
    between(&chart.outdoor_db_f, &chart.return_wb_f, (outdoor, wet_bulb), &cell)
}

fn between(
    rows: &[f64],
    columns: &[f64],
    (outdoor, wet_bulb): (Fahrenheit, Fahrenheit),
    cell: &dyn Fn(usize, usize) -> Option<f64>,
) -> Option<FahrenheitDifference> {
    let (row, down) = place(rows, outdoor.number())?;
    let (column, across) = place(columns, wet_bulb.number())?;
    let mut sum = 0.0;
    for (row, row_share) in [(row, 1.0 - down), (row + 1, down)] {
        for (column, column_share) in [(column, 1.0 - across), (column + 1, across)] {
            let share = row_share * column_share;
            // On a line of the chart the far cells have no say, so that they may be blank.
            if share > 0.0 {
                sum += share * cell(row, column)?;
            }
        }
    }
    Some(FahrenheitDifference(sum))
}

/// The line before a value, and how far on the value lies towards the next line.
fn place(axis: &[f64], value: f64) -> Option<(usize, f64)> {
    if axis.len() < 2 {
        return None;
    }
    let after = axis.partition_point(|it| *it <= value).clamp(1, axis.len() - 1);
    let (left, right) = (*axis.get(after - 1)?, *axis.get(after)?);
    (left <= value && value <= right).then(|| (after - 1, (value - left) / (right - left)))
}

/// Seasonal ratio of the older test for each unit of the newer (from memory): the newer one blows
/// against more static.
pub const SEER_PER_SEER2: f64 = 1.0 / 0.95;

/// Condensing temperature over outdoor air that a unit of this efficiency class has.
///
/// - `seer`: seasonal energy efficiency ratio of the plate, Btu/Wh
/// - result: degF: 30 up to 10, 25 below 13, 20 below 16, else 15
/// - reference: trade rule (from memory)
/// - known disagreement: units of one class differ by some 5 degF
#[must_use]
pub fn usual_condensing_over_ambient(seer: f64) -> FahrenheitDifference {
    FahrenheitDifference(match seer {
        it if it <= 10.0 => 30.0,
        it if it < 13.0 => 25.0,
        it if it < 16.0 => 20.0,
        _ => 15.0,
    })
}

/// Return wet bulbs for which the split is tabulated, degF.
pub const SPLIT_WET_BULB_F: std::ops::RangeInclusive<f64> = 50.0..=76.0;

/// Temperature split that a coil should give at the usual airflow.
///
/// - `dry_bulb`: return, degF, 70 to 84; `wet_bulb`: return, degF, 50 to 76
/// - result: degF between return and supply; the ranges are the verdict's to keep
/// - reference: form of table RA3.2-3 of a state energy code's appendix (from memory); every
///   cell of the recalled table fits within 0.05 degF
/// - known disagreement: a maker's printed table differs by 0.1 degF on the mean, 1.4 degF at most
#[must_use]
pub fn target_split(dry_bulb: Fahrenheit, wet_bulb: Fahrenheit) -> FahrenheitDifference {
    let wet = wet_bulb.number();
    FahrenheitDifference(
        -70.0386 + 0.544_231 * dry_bulb.number() + 2.196_898 * wet - 0.022_819_92 * wet * wet,
    )
}
