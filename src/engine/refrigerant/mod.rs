//! Saturation of each refrigerant: from a pressure to the temperature at which it boils.
//!
//! Knots of ln p and 1/T every 5 degF, joined by cubic Hermite pieces. Reference: `CoolProp`
//! 8.0.0; the pieces stay within 0.01 degF of it from -40 to 150 degF (the tests say how near).
//! What no table knows: a blend that leaked unevenly, air in it, oil.

use crate::units::{Fahrenheit, FahrenheitDifference, Psia};

#[rustfmt::skip]
#[expect(clippy::unreadable_literal, reason = "generated numbers, one knot a line")]
mod saturation_tables;

use saturation_tables::TABLES;

/// One knot of a saturation line.
struct Knot {
    /// Natural logarithm of the pressure in psia.
    log_pressure: f64,
    /// One over the temperature in kelvins.
    inverse_kelvin: f64,
    /// Slope of `inverse_kelvin` over `log_pressure`.
    slope: f64,
}

/// The two saturation lines of one refrigerant; a pure one has twice the same.
pub struct SaturationTable {
    designation: &'static str,
    bubble: &'static [Knot],
    dew: &'static [Knot],
}

/// How far a table is trusted against the real refrigerant, as standard uncertainties.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TableUncertainty {
    /// Of the bubble line.
    pub bubble: FahrenheitDifference,
    /// Of the dew line.
    pub dew: FahrenheitDifference,
}

/// Every refrigerant that has a table, in the order of the lists shown to people.
pub fn designations() -> impl Iterator<Item = &'static str> {
    TABLES.iter().map(|it| it.designation)
}

/// The table of a refrigerant by its ASHRAE Standard 34 designation, such as `R-410A`.
#[must_use]
pub fn table(designation: &str) -> Option<&'static SaturationTable> {
    TABLES.iter().find(|it| it.designation == designation)
}

impl SaturationTable {
    /// Temperature at which the last drop of liquid has boiled: for superheat.
    ///
    /// - `pressure`: psia
    /// - result: degF, or nothing outside the table (-60 to 155 degF); never extrapolated
    #[must_use]
    pub fn dew(&self, pressure: Psia) -> Option<Fahrenheit> {
        temperature_on(self.dew, pressure)
    }

    /// Temperature at which the first bubble forms: for subcooling.
    ///
    /// - `pressure`: psia
    /// - result: degF, or nothing outside the table (-60 to 155 degF); never extrapolated
    #[must_use]
    pub fn bubble(&self, pressure: Psia) -> Option<Fahrenheit> {
        temperature_on(self.bubble, pressure)
    }

    /// The knots of the bubble line, each ln psia, 1/K and the slope between them.
    pub(in crate::engine) fn bubble_knots(&self) -> impl Iterator<Item = [f64; 3]> {
        self.bubble.iter().map(Knot::numbers)
    }

    /// The same of the dew line.
    pub(in crate::engine) fn dew_knots(&self) -> impl Iterator<Item = [f64; 3]> {
        self.dew.iter().map(Knot::numbers)
    }

    /// Standard uncertainty of the table against the real refrigerant.
    ///
    /// Half of the residuals found by comparing `CoolProp` 8.0.0 with published charts (0.3 degF
    /// for the well-known ones, 0.6 degF R-454B and R-452B, 1 to 2 degF the dew of R-454A and
    /// R-454C, 2 degF R-417A and R-422B), which are taken as twice the standard uncertainty.
    /// Judgement, no source: R-421A, R-422D and R-427A, for which few charts were seen.
    #[must_use]
    pub fn uncertainty(&self) -> TableUncertainty {
        let (bubble, dew) = match self.designation {
            "R-22" | "R-32" | "R-134a" | "R-407C" | "R-410A" => (0.15, 0.15),
            "R-452B" | "R-454B" => (0.3, 0.3),
            "R-454A" | "R-454C" => (0.3, 0.75),
            "R-421A" | "R-422D" | "R-427A" => (0.5, 0.5),
            _ => (1.0, 1.0),
        };
        TableUncertainty { bubble: FahrenheitDifference(bubble), dew: FahrenheitDifference(dew) }
    }
}

impl Knot {
    fn numbers(&self) -> [f64; 3] {
        [self.log_pressure, self.inverse_kelvin, self.slope]
    }
}

/// Cubic Hermite piece between the two knots around the pressure.
fn temperature_on(knots: &[Knot], pressure: Psia) -> Option<Fahrenheit> {
    // A pressure of nothing or less has no logarithm; it falls out of the table by this test too.
    let target = pressure.number().ln();
    let after = knots.partition_point(|it| it.log_pressure < target).max(1);
    let (left, right) = (knots.get(after - 1)?, knots.get(after)?);
    if !(left.log_pressure..=right.log_pressure).contains(&target) {
        return None;
    }
    let width = right.log_pressure - left.log_pressure;
    let along = (target - left.log_pressure) / width;
    let rest = 1.0 - along;
    let inverse = rest * rest * (1.0 + 2.0 * along) * left.inverse_kelvin
        + along * along * (3.0 - 2.0 * along) * right.inverse_kelvin
        + width * along * rest * (rest * left.slope - along * right.slope);
    Some(Fahrenheit::from_kelvin(1.0 / inverse))
}
