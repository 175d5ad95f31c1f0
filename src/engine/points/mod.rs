//! The measuring points: key, unit, possible range, and how well a common instrument reads there.

mod point_key;
mod point_table;

pub use point_key::PointKey;
pub use point_table::POINTS;

/// A place and quantity that a technician can measure.
#[derive(Clone, Debug, PartialEq)]
pub struct Point {
    /// Name in the document, the store and the API.
    pub key: &'static str,
    /// Plain words for people.
    pub label: &'static str,
    /// Unit as documents write it.
    pub unit: &'static str,
    /// Below this the value is impossible and refused.
    pub low: f64,
    /// Above this the value is impossible and refused.
    pub high: f64,
    /// Standard uncertainty of a common field instrument.
    pub default_u: DefaultUncertainty,
    /// Where and how to read it.
    pub how: &'static str,
    /// What can hurt at this point.
    pub hazard: Option<Hazard>,
}

/// Standard uncertainty (k = 1) of a common field instrument, in the unit of its point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum DefaultUncertainty {
    /// The same over the whole range.
    Fixed(f64),
    /// A share of the value, and a bit more.
    Share {
        /// Part of the value, 0.02 for 2 %.
        of_value: f64,
        /// Added to that, in the unit of the point.
        plus: f64,
    },
}

/// What can hurt somebody at a measuring point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hazard {
    /// Conductors under voltage.
    LiveCircuit,
    /// A capacitor that was not discharged.
    StoredCharge,
    /// Refrigerant that escapes under pressure.
    RefrigerantPressure,
    /// A hole drilled where something lies behind the sheet metal.
    Drilling,
    /// A pipe hot enough to burn.
    HotLine,
    /// Air that may poison.
    CarbonMonoxide,
}

/// The point of this key.
#[must_use]
pub fn point(key: &str) -> Option<&'static Point> {
    PointKey::of(key).map(PointKey::point)
}

impl DefaultUncertainty {
    /// The standard uncertainty at one value.
    #[must_use]
    pub fn at(self, value: f64) -> f64 {
        match self {
            Self::Fixed(u) => u,
            Self::Share { of_value, plus } => of_value * value.abs() + plus,
        }
    }
}

impl Hazard {
    /// The usual caution, in one sentence for the sheet.
    #[must_use]
    pub fn caution(self) -> &'static str {
        match self {
            Self::LiveCircuit => {
                "Live circuit: qualified people only, rated meter, volts range first, one hand."
            }
            Self::StoredCharge => {
                "Pull the disconnect, prove it dead, discharge the capacitor, then touch it."
            }
            Self::RefrigerantPressure => {
                "Refrigerant under pressure: glasses and gloves, certified handling, no flame."
            }
            Self::Drilling => {
                "Know what lies behind before drilling: coil, wires, gas or heat exchanger."
            }
            Self::HotLine => "The discharge line can burn: clamp it while cold or wear gloves.",
            Self::CarbonMonoxide => {
                "Carbon monoxide can kill: at an alarming reading get everyone out and ventilate."
            }
        }
    }
}

impl Point {
    /// The accepted range in words for people, such as `32 to 90 °F`.
    #[must_use]
    pub fn accepted(&self) -> String {
        format!("{} to {} {}", self.low, self.high, self.unit_for_people())
    }

    /// The accepted range with the unit as documents write it, such as `32 to 90 degF`.
    #[must_use]
    pub fn accepted_in_documents(&self) -> String {
        format!("{} to {} {}", self.low, self.high, self.unit)
    }

    /// Whether a value is possible at all; one that is not a number is not.
    #[must_use]
    pub fn accepts(&self, value: f64) -> bool {
        (self.low..=self.high).contains(&value)
    }

    /// The unit as people write it.
    #[must_use]
    pub fn unit_for_people(&self) -> &'static str {
        match self.unit {
            "degF" => "°F",
            "uF" => "µF",
            "ft3/min" => "cfm",
            "in/ft" => "in. per ft",
            other => other,
        }
    }
}
