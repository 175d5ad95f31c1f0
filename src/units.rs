//! Quantities as types, so that a gauge pressure is never taken for an absolute one.

use std::ops::{Add, Sub};

macro_rules! quantity {
    ($(#[$comment:meta])* $name:ident) => {
        $(#[$comment])*
        #[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
        pub struct $name(pub f64);

        impl $name {
            /// The bare number, in the unit of the type.
            #[must_use]
            pub const fn number(self) -> f64 {
                self.0
            }
        }
    };
}

quantity! {
    /// A temperature in degrees Fahrenheit.
    Fahrenheit
}
quantity! {
    /// A difference of two temperatures in degrees Fahrenheit.
    FahrenheitDifference
}
quantity! {
    /// A pressure over that of the surrounding air, in pounds per square inch.
    Psig
}
quantity! {
    /// A pressure over vacuum, in pounds per square inch.
    Psia
}
quantity! {
    /// A static pressure in inches of water column, over that of the surrounding air.
    InWc
}
quantity! {
    /// A height over sea level in feet.
    Feet
}
quantity! {
    /// Pounds of water vapour in a pound of dry air.
    HumidityRatio
}
quantity! {
    /// Enthalpy of moist air in Btu in a pound of dry air, zero for dry air at 0 degF.
    BtuPerPound
}
quantity! {
    /// Relative humidity in percent.
    RelativeHumidity
}
quantity! {
    /// Alternating voltage between two conductors.
    Volts
}
quantity! {
    /// Alternating current.
    Amps
}
quantity! {
    /// Capacitance in millionths of a farad.
    Microfarads
}
quantity! {
    /// A part of a whole in percent.
    Percent
}

quantity! {
    /// A volume flow of air in cubic feet a minute, at its own density.
    Cfm
}
quantity! {
    /// A flow of standard air in cubic feet a minute for each ton of rated capacity.
    CfmPerTon
}
quantity! {
    /// Volume of moist air in cubic feet for each pound of dry air in it.
    CubicFeetPerPound
}
quantity! {
    /// A flow of heat in Btu an hour.
    BtuPerHour
}

/// Rankine at 0 degF; ASHRAE Handbook Fundamentals 2017, chapter 1.
const RANKINE_AT_ZERO_FAHRENHEIT: f64 = 459.67;
/// Rankine in a kelvin, exact by definition.
const RANKINE_PER_KELVIN: f64 = 1.8;

impl Fahrenheit {
    /// The same temperature from absolute zero, in degrees Rankine.
    #[must_use]
    pub fn rankine(self) -> f64 {
        self.0 + RANKINE_AT_ZERO_FAHRENHEIT
    }

    /// The temperature of a number of kelvins.
    #[must_use]
    pub fn from_kelvin(kelvin: f64) -> Self {
        Self(kelvin * RANKINE_PER_KELVIN - RANKINE_AT_ZERO_FAHRENHEIT)
    }
}

impl Sub for Fahrenheit {
    type Output = FahrenheitDifference;

    fn sub(self, other: Self) -> FahrenheitDifference {
        FahrenheitDifference(self.0 - other.0)
    }
}

impl Add<FahrenheitDifference> for Fahrenheit {
    type Output = Self;

    fn add(self, difference: FahrenheitDifference) -> Self {
        Self(self.0 + difference.0)
    }
}

impl Psig {
    /// The pressure over vacuum, where the surrounding air has `barometric`.
    #[must_use]
    pub fn over_vacuum(self, barometric: Psia) -> Psia {
        Psia(self.0 + barometric.0)
    }
}

impl Sub for InWc {
    type Output = Self;

    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}
