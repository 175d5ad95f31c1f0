//! What came of one case: right, wrong, missed or silent, and what its fault cost.

use serde::Serialize;

use super::NamedCause;
use crate::engine::causes::is_confusable;

/// What came of one case. Each case has one, whether the engine answered or not.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Outcome {
    /// The first cause is the truth; of two faults, both.
    Correct,
    /// The first cause is one that can't be told from the truth at the gauges, as declared.
    WithinGroup,
    /// Both of two faults stand second or third.
    AmongThree,
    /// Of two faults the first cause names one.
    OneOfTwo,
    /// The first cause is another fault.
    Misdiagnosis,
    /// There was a fault, and the first cause is that there is none.
    Missed,
    /// There was no fault, and the first cause is one.
    FalseAlarm,
    /// No cause was named.
    NoResponse,
}

/// How many of the likeliest causes may hold the right pair.
const AMONG: usize = 3;

impl Outcome {
    /// What can come of a healthy case.
    pub const HEALTHY: &[Self] = &[Self::Correct, Self::FalseAlarm, Self::NoResponse];
    /// What can come of a case with one fault.
    pub const ONE_FAULT: &[Self] =
        &[Self::Correct, Self::WithinGroup, Self::Misdiagnosis, Self::Missed, Self::NoResponse];
    /// What can come of a case with two faults.
    pub const TWO_FAULTS: &[Self] = &[
        Self::Correct,
        Self::AmongThree,
        Self::OneOfTwo,
        Self::Misdiagnosis,
        Self::Missed,
        Self::NoResponse,
    ];

    /// What came of a case: `named` are the causes, the likeliest first, none where the engine
    /// kept silent.
    #[must_use]
    pub fn of(truth: NamedCause, named: &[NamedCause], knows_plate_subcooling: bool) -> Self {
        let Some(first) = named.first().copied() else { return Self::NoResponse };
        if first == truth {
            return Self::Correct;
        }
        if !truth.is_fault() {
            return Self::FalseAlarm;
        }
        if truth.is_pair() {
            return Self::of_two(truth, first, named);
        }
        match (truth.alone(), first.alone()) {
            _ if !first.is_fault() => Self::Missed,
            (Some(truth), Some(first)) if is_confusable(truth, first, knows_plate_subcooling) => {
                Self::WithinGroup
            }
            _ => Self::Misdiagnosis,
        }
    }

    fn of_two(truth: NamedCause, first: NamedCause, named: &[NamedCause]) -> Self {
        if named.iter().take(AMONG).any(|it| *it == truth) {
            return Self::AmongThree;
        }
        match first.is_fault() {
            false => Self::Missed,
            true if first.shares_a_fault_with(truth) => Self::OneOfTwo,
            true => Self::Misdiagnosis,
        }
    }

    /// Plain words, as heads of columns.
    #[must_use]
    pub const fn label(self) -> &'static str {
        match self {
            Self::Correct => "correct",
            Self::WithinGroup => "in its group",
            Self::AmongThree => "2nd or 3rd",
            Self::OneOfTwo => "one of two",
            Self::Misdiagnosis => "misdiagnosis",
            Self::Missed => "missed",
            Self::FalseAlarm => "false alarm",
            Self::NoResponse => "no response",
        }
    }
}

/// What a fault costs: the larger loss of capacity or efficiency against the same system without
/// it at the same conditions, as published evaluations count it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Impact {
    /// Less than 5 %, or even a gain.
    Below5,
    /// 5 % to less than 10 %.
    From5,
    /// 10 % to less than 20 %.
    From10,
    /// 20 % and more.
    From20,
    /// The document doesn't say.
    NotGiven,
}

/// Parts of a percent that count: less is what computing leaves behind.
const STEPS_OF_A_PERCENT: f64 = 1e6;

impl Impact {
    /// Every one, in order.
    pub const ALL: [Self; 5] =
        [Self::Below5, Self::From5, Self::From10, Self::From20, Self::NotGiven];

    /// That of a capacity and an efficiency, each with the fault by that without it.
    ///
    /// - result: by `100 · (1 − min(capacity, efficiency))`, with whichever is known
    /// - reference: the fault impact ratio of Yuill and Braun, HVAC&R Research 19 (2013)
    ///   (from memory); the bins are the project's own
    #[must_use]
    pub fn of_ratios(ratios: [Option<f64>; 2]) -> Self {
        let Some(worst) = ratios.into_iter().flatten().reduce(f64::min) else {
            return Self::NotGiven;
        };
        let cost = (100.0 * (1.0 - worst) * STEPS_OF_A_PERCENT).round() / STEPS_OF_A_PERCENT;
        match cost {
            _ if cost < 5.0 => Self::Below5,
            _ if cost < 10.0 => Self::From5,
            _ if cost < 20.0 => Self::From10,
            _ => Self::From20,
        }
    }

    /// Whether the fault is known to cost enough that it should be found.
    #[must_use]
    pub const fn is_worth_finding(self) -> bool {
        matches!(self, Self::From5 | Self::From10 | Self::From20)
    }

    /// Plain words.
    #[must_use]
    pub const fn label(self) -> &'static str {
        match self {
            Self::Below5 => "costs below 5 %",
            Self::From5 => "costs 5 to 10 %",
            Self::From10 => "costs 10 to 20 %",
            Self::From20 => "costs over 20 %",
            Self::NotGiven => "cost not given",
        }
    }
}
