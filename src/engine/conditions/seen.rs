//! What was read and seen at a stage, as far as it means something today.

use crate::engine::assessment::{Outcome, Verdict};
use crate::engine::case::{CameTo, LookedAt};
use crate::engine::needs::Needs;
use crate::engine::points::PointKey;
use crate::engine::rules::{JUDGED, LISTED, Rule};
use crate::engine::stage::{Moment, Stage};
use crate::engine::uncertainty::Estimate;
use crate::engine::validity::{self, Procedure};

/// Measures of a list, as many as the engine's sets of them hold.
const MEASURES_MAX: usize = 128;

/// What was read and seen at a stage.
pub(super) struct Seen<'a> {
    pub(super) stage: &'a Stage<'a>,
    verdicts: &'a [Verdict],
    /// For each measure the number of its verdict, counted from one; none is nothing.
    numbers: [u8; MEASURES_MAX],
}

impl<'a> Seen<'a> {
    /// The stage with its verdicts, which stand in the order of the rules.
    pub(super) fn new(stage: &'a Stage<'a>, verdicts: &'a [Verdict]) -> Self {
        let mut numbers = [0; MEASURES_MAX];
        let mut rules = JUDGED.iter();
        for (verdict, number) in verdicts.iter().zip(1_u8..) {
            let place = rules.find(|(_, rule)| rule.measure == verdict.measure).map(|it| it.0);
            if let Some(at) = place.and_then(|it| numbers.get_mut(it)) {
                *at = number;
            }
        }
        Self { stage, verdicts, numbers }
    }

    /// The verdict on a measure whose value means something today.
    pub(super) fn judged(&self, place: usize) -> Option<&'a Verdict> {
        let number = usize::from(*self.numbers.get(place)?);
        let verdict = self.verdicts.get(number.checked_sub(1)?)?;
        let is_judged = !matches!(verdict.outcome, Outcome::NotValid | Outcome::NotTaken);
        is_judged.then_some(verdict)
    }

    /// A measure that has no verdict, where the procedure's conditions were met.
    pub(super) fn estimate(&self, place: usize, procedure: Procedure) -> Option<Estimate> {
        let estimate = self.stage.estimates.at(place).filter(|_| self.stage.speaks_of(place))?;
        let needs = self.stage.estimates.needs(place)?;
        self.is_valid(procedure, needs).then_some(estimate)
    }

    /// Whether a procedure's conditions are met today.
    pub(super) fn is_valid(&self, procedure: Procedure, needs: &Needs) -> bool {
        validity::too_cold(self.stage, procedure).is_none()
            && validity::other_refrigerant(self.stage, procedure).is_none()
            && validity::worthless_reading(self.stage, needs).is_none()
            && validity::unmet_condition(self.stage, procedure, needs).is_none()
    }

    /// Whether something that was looked at was bad; nothing where nobody could say.
    pub(super) fn was_bad(&self, at: LookedAt) -> Option<bool> {
        let both = &self.stage.case.observations;
        let (observations, is_fixed_bad) = match self.stage.moment {
            Moment::AsFound => (&both.as_found, true),
            // What was found bad and fixed is good as left.
            Moment::AsLeft => (&both.as_left, false),
        };
        match observations.get(&at)? {
            CameTo::InOrder => Some(false),
            CameTo::Fixed => Some(is_fixed_bad),
            CameTo::Attention => Some(true),
            CameTo::NotAccessible | CameTo::DoesNotApply => None,
        }
    }

    /// Whether something was bad and is so no more: it can't be read as it was found.
    pub(super) fn was_fixed(&self, at: LookedAt) -> bool {
        let observations = &self.stage.case.observations.as_found;
        self.stage.moment == Moment::AsFound && observations.get(&at) == Some(&CameTo::Fixed)
    }

    /// A reading that neither can't be nor waits for a repair.
    pub(super) fn usable(&self, key: PointKey) -> Option<f64> {
        let needs = Needs::default().point(self.stage, key);
        let is_worthless = validity::worthless_reading(self.stage, &needs).is_some();
        self.stage.reading(key).filter(|_| !is_worthless)
    }
}

/// The place of a measure in the list; beyond it, where nothing is ever found, of an unknown one.
pub(super) fn place_of(key: &str) -> usize {
    LISTED.iter().position(|it| it.definition.key == key).unwrap_or(usize::MAX)
}

/// The rule of a measure, where it has one.
pub(super) fn rule_at(place: usize) -> Option<&'static Rule> {
    JUDGED.iter().find(|it| it.0 == place).map(|it| it.1)
}
