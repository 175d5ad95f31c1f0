//! What has an error that reaches a measure, and sets of such.

use super::points::{POINTS, PointKey};

/// Something whose error reaches a measure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Input {
    /// A reading.
    Point(PointKey),
    /// The bubble line of the refrigerant.
    BubbleLine,
    /// The dew line of the refrigerant.
    DewLine,
    /// The target superheat chart, printed in whole degrees.
    Chart,
    /// The closed form that stands in where the chart ends.
    ClosedForm,
    /// The maker's airflow table, as a share of the airflow.
    AirflowTable,
    /// The airflow worked out from the coil's drop, as a share of the airflow.
    CoilReference,
    /// The published curve of capacity, as a share of the capacity.
    CapacityCurve,
    /// The published curve of energy input, as a share of the power.
    PowerCurve,
    /// The humidity of the house where nobody read it, in percent.
    AssumedHumidity,
}

/// What is no reading, in the order of its places in a set behind the points.
const MODELS: &[Input] = &[
    Input::BubbleLine,
    Input::DewLine,
    Input::Chart,
    Input::ClosedForm,
    Input::AirflowTable,
    Input::CoilReference,
    Input::CapacityCurve,
    Input::PowerCurve,
    Input::AssumedHumidity,
];

/// Places of a set.
pub(super) const PLACES: usize = 128;

const _: () = assert!(POINTS.len() + MODELS.len() <= PLACES, "each input has a place");

impl Input {
    pub(super) const fn place(self) -> usize {
        let models = POINTS.len();
        match self {
            Self::Point(key) => key as usize,
            Self::BubbleLine => models,
            Self::DewLine => models + 1,
            Self::Chart => models + 2,
            Self::ClosedForm => models + 3,
            Self::AirflowTable => models + 4,
            Self::CoilReference => models + 5,
            Self::CapacityCurve => models + 6,
            Self::PowerCurve => models + 7,
            Self::AssumedHumidity => models + 8,
        }
    }
}

/// A set of inputs: one bit each, for the engine asks thousands of times a visit.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct InputSet(u128);

impl InputSet {
    /// The set of these readings.
    pub(super) const fn of_points(keys: &[PointKey]) -> Self {
        let mut bits = 0;
        let mut index = 0;
        while index < keys.len() {
            bits |= 1 << keys[index] as usize;
            index += 1;
        }
        Self(bits)
    }

    pub(super) fn insert(&mut self, input: Input) {
        self.0 |= 1 << input.place();
    }

    pub(super) fn contains(self, input: Input) -> bool {
        self.0 & (1 << input.place()) != 0
    }

    pub(super) fn union(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }

    pub(super) fn iter(self) -> impl Iterator<Item = Input> {
        let mut rest = self.0;
        std::iter::from_fn(move || {
            // An empty rest has 128 trailing zeros, a place that nothing stands at.
            let place = rest.trailing_zeros() as usize;
            rest &= rest.wrapping_sub(1);
            let point = PointKey::ALL.get(place).map(|it| Input::Point(*it));
            point.or_else(|| MODELS.get(place.checked_sub(POINTS.len())?).copied())
        })
    }

    /// The readings among the inputs, in the order of the sheet.
    pub(super) fn points(self) -> impl Iterator<Item = PointKey> {
        self.iter().filter_map(|it| match it {
            Input::Point(key) => Some(key),
            _ => None,
        })
    }
}
