//! What a measure needs of a stage, and what of that is missing.

use super::input::{Input, InputSet};
use super::points::PointKey;
use super::stage::Stage;

/// What a measure needs, and what of that is missing.
#[derive(Clone, Default)]
pub(super) struct Needs {
    pub(super) inputs: InputSet,
    pub(super) missing: Vec<Missing>,
}

/// Something that is not there, in the words of the sheet or of the plate.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Missing {
    /// A reading.
    Reading(PointKey),
    /// Something else, as it stands within a sentence.
    Fact(&'static str),
}

impl Missing {
    /// The words as they stand within a sentence.
    pub(super) fn words(self) -> String {
        match self {
            Self::Reading(key) => in_mid_sentence(key.point().label),
            Self::Fact(words) => words.to_owned(),
        }
    }

    /// The words of what is no reading.
    pub(super) fn fact(self) -> Option<&'static str> {
        match self {
            Self::Reading(_) => None,
            Self::Fact(words) => Some(words),
        }
    }
}

/// The points of one stream of air.
pub(super) struct AirStream {
    pub(super) dry_bulb: PointKey,
    pub(super) wet_bulb: PointKey,
    pub(super) relative: PointKey,
    humidity_words: &'static str,
}

/// Air on its way to the coil.
pub(super) static RETURN_AIR: AirStream = AirStream {
    dry_bulb: PointKey::ReturnDbF,
    wet_bulb: PointKey::ReturnWbF,
    relative: PointKey::ReturnRhPct,
    humidity_words: "return air wet bulb or humidity",
};

/// Air on its way to the rooms.
pub(super) static SUPPLY_AIR: AirStream = AirStream {
    dry_bulb: PointKey::SupplyDbF,
    wet_bulb: PointKey::SupplyWbF,
    relative: PointKey::SupplyRhPct,
    humidity_words: "supply air wet bulb or humidity",
};

impl Needs {
    pub(super) fn point(mut self, stage: &Stage, key: PointKey) -> Self {
        if stage.has(key) {
            self.inputs.insert(Input::Point(key));
        } else {
            self.lacks(Missing::Reading(key));
        }
        self
    }

    fn lacks(&mut self, missing: Missing) {
        if !self.missing.contains(&missing) {
            self.missing.push(missing);
        }
    }

    pub(super) fn pressure(self, stage: &Stage, key: PointKey, line: Input) -> Self {
        self.point(stage, key).model(line)
    }

    /// Something that is no reading and yet has an error.
    pub(super) fn model(mut self, input: Input) -> Self {
        self.inputs.insert(input);
        self
    }

    /// The wet bulb, or the humidity and dry bulb from which it is worked out.
    pub(super) fn wet_bulb(mut self, stage: &Stage, stream: &AirStream) -> Self {
        if stage.has(stream.wet_bulb) {
            self.inputs.insert(Input::Point(stream.wet_bulb));
            return self;
        }
        if stage.has(stream.relative) {
            self.inputs.insert(Input::Point(stream.relative));
            return self.point(stage, stream.dry_bulb);
        }
        self.lacks(Missing::Fact(stream.humidity_words));
        self
    }

    /// Dry bulb and humidity.
    pub(super) fn air(self, stage: &Stage, stream: &AirStream) -> Self {
        self.wet_bulb(stage, stream).point(stage, stream.dry_bulb)
    }

    pub(super) fn fact(mut self, is_known: bool, words: &'static str) -> Self {
        if !is_known {
            self.lacks(Missing::Fact(words));
        }
        self
    }

    /// The same with what another measure needs.
    pub(super) fn and(mut self, other: Self) -> Self {
        self.inputs = self.inputs.union(other.inputs);
        for missing in other.missing {
            self.lacks(missing);
        }
        self
    }

    /// The readings among the inputs.
    pub(super) fn points(&self) -> impl Iterator<Item = PointKey> {
        self.inputs.points()
    }
}

/// A label as it stands within a sentence.
pub(super) fn in_mid_sentence(label: &str) -> String {
    let mut letters = label.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().collect::<String>())
        + letters.as_str()
}
