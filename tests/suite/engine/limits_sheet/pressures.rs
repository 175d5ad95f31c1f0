//! Pressures at which a refrigerant boils, for drawing gauges around them.

use fairweather::engine::refrigerant::table;
use fairweather::units::{Fahrenheit, Psia};

/// The two lines of a refrigerant.
#[derive(Clone, Copy)]
pub enum Line {
    Dew,
    Bubble,
}

/// The pressure at which it boils there, psia, found by halving.
pub fn pressure(refrigerant: &str, line: Line, at: f64) -> f64 {
    let table = table(refrigerant).expect("a refrigerant");
    let (mut low, mut high) = (5.0_f64, 900.0_f64);
    for _ in 0..50 {
        let middle = f64::midpoint(low, high);
        let found = match line {
            Line::Dew => table.dew(Psia(middle)),
            Line::Bubble => table.bubble(Psia(middle)),
        };
        // Beyond the table it is either colder than anything or warmer than anything.
        let beyond = if middle < 60.0 { -100.0 } else { 200.0 };
        if found.map_or(beyond, Fahrenheit::number) < at { low = middle } else { high = middle }
    }
    low
}
