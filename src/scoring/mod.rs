//! How often the causes were right: what was told against what was true. Pure.
//!
//! It works on rows of what came first and what it really was, wherever they come from: documents
//! that carry their truth, or findings that a repair confirmed.

use serde::{Serialize, Serializer};

use crate::engine::causes::{CauseName, causes_of};

pub mod confusion;
pub mod figures;
pub mod marking;
pub mod outcome;
pub mod reliability;
pub mod score;
pub mod text;
pub mod truth;

/// What the word of a cause names: one cause, or two at once.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct NamedCause {
    first: CauseName,
    second: Option<CauseName>,
}

impl NamedCause {
    /// Nothing is wrong.
    pub const NO_FAULT: Self = Self::one(CauseName::NoFault);

    /// One cause alone.
    #[must_use]
    pub const fn one(cause: CauseName) -> Self {
        Self { first: cause, second: None }
    }

    /// What a word such as `low_charge`, or `low_charge+low_indoor_airflow` in either order,
    /// stands for; nothing where it is no cause.
    #[must_use]
    pub fn of_word(word: &str) -> Option<Self> {
        causes_of(word).map(|(first, second)| Self { first, second })
    }

    /// Its word in documents.
    #[must_use]
    pub fn word(self) -> String {
        match self.second {
            Some(second) => format!("{}+{}", self.first.key(), second.key()),
            None => self.first.key().to_owned(),
        }
    }

    /// The cause, where it is one alone.
    #[must_use]
    pub fn alone(self) -> Option<CauseName> {
        self.second.is_none().then_some(self.first)
    }

    /// The one or two causes of which it is made.
    pub fn parts(self) -> impl Iterator<Item = CauseName> {
        std::iter::once(self.first).chain(self.second)
    }

    /// Whether it is two causes at once.
    #[must_use]
    pub const fn is_pair(self) -> bool {
        self.second.is_some()
    }

    /// Whether something is wrong.
    #[must_use]
    pub fn is_fault(self) -> bool {
        self != Self::NO_FAULT
    }

    /// Whether both have a fault in common.
    #[must_use]
    pub fn shares_a_fault_with(self, other: Self) -> bool {
        self.is_fault() && self.parts().any(|it| other.parts().any(|its| its == it))
    }
}

impl Serialize for NamedCause {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.word())
    }
}

/// The cause that was told first, and how likely it was said to be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Told {
    /// The cause.
    pub cause: NamedCause,
    /// Its stated probability, 0 to 1.
    pub probability: f64,
}

impl Told {
    /// The stated probability as one: a number that is none states nothing.
    #[must_use]
    pub fn stated(self) -> f64 {
        if self.probability.is_nan() { 0.0 } else { self.probability.clamp(0.0, 1.0) }
    }
}

/// One case: what was told and what was true.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Row {
    /// The first cause; none where the engine named none.
    pub told: Option<Told>,
    /// What it really was.
    pub truth: NamedCause,
}
