//! From the instruments' uncertainties to those of the measures.
//!
//! Each input is moved once for all measures that use it, so that what they share is worked out
//! once a move and not once a measure.

use super::input::{Input, InputSet, PLACES};
use super::needs::Needs;
use super::rules::LISTED;
use super::stage::Stage;
use super::validity;
use super::view::View;

/// A measure's formula: nothing where it has no answer.
pub(super) type Formula = fn(&View) -> Option<f64>;

/// How a measure is worked out.
pub(super) struct Definition {
    /// Key of the measure.
    pub(super) key: &'static str,
    /// What it needs of a stage.
    pub(super) needs: fn(&Stage) -> Needs,
    /// The formula.
    pub(super) formula: Formula,
    /// Why it may have no answer although nothing is missing, and what to do.
    pub(super) unanswered: &'static str,
}

/// A value and its standard uncertainty.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Estimate {
    pub(super) value: f64,
    pub(super) u: f64,
}

/// By how much a measure changes as one input moves by its standard uncertainty.
struct Effect {
    place: usize,
    input: Input,
    half_change: f64,
}

/// Every measure of a stage that could be worked out, by its place in the list.
#[derive(Default)]
pub(super) struct Estimates {
    needs: Vec<Needs>,
    values: Vec<Option<Estimate>>,
    effects: Vec<Effect>,
}

impl Estimates {
    /// Follows each input's standard uncertainty through every formula that uses it.
    ///
    /// - result: value and combined standard uncertainty of each measure, in its own unit
    /// - reference: JCGM 100:2008 (GUM), 5.1.2 with the note to 5.1.3: half the change of the result
    ///   as each input moves by its standard uncertainty to either side, added in squares
    /// - range: errors small against the curve of the formula; the tests compare with a simulation
    pub(super) fn work_out(stage: &Stage) -> Self {
        let unmoved = View::unmoved(stage);
        let needs: Vec<Needs> = LISTED.iter().map(|it| (it.definition.needs)(stage)).collect();
        let mut values: Vec<Option<Estimate>> = LISTED
            .iter()
            .zip(&needs)
            .map(|(it, needs)| {
                let can = (it.is_measured)(stage)
                    && needs.missing.is_empty()
                    && validity::worthless_reading(stage, needs).is_none();
                let value = if can { answer(it.definition, &unmoved) } else { None };
                value.map(|value| Estimate { value, u: 0.0 })
            })
            .collect();
        let mut effects = Vec::with_capacity(EFFECTS_USUAL);
        let mut users = [0_u128; PLACES];
        for (place, needs) in needs.iter().enumerate().filter(|(it, _)| values[*it].is_some()) {
            needs.inputs.iter().for_each(|input| users[input.place()] |= 1 << place);
        }
        let all = needs.iter().fold(InputSet::default(), |all, it| all.union(it.inputs));
        for input in all.iter() {
            follow(stage, (input, users[input.place()]), &mut values, &mut effects);
        }
        for effect in &effects {
            if let Some(estimate) = &mut values[effect.place] {
                estimate.u += effect.half_change * effect.half_change;
            }
        }
        for value in &mut values {
            *value =
                value.map(|it| Estimate { u: it.u.sqrt(), ..it }).filter(|it| it.u.is_finite());
        }
        Self { needs, values, effects }
    }

    /// A measure with its uncertainty, where it has an answer.
    pub(super) fn at(&self, place: usize) -> Option<Estimate> {
        self.values.get(place).copied().flatten()
    }

    /// What a measure needs of the stage.
    pub(super) fn needs(&self, place: usize) -> Option<&Needs> {
        self.needs.get(place)
    }

    /// What each input's standard uncertainty does to the measures from a place on, input by input.
    pub(super) fn effects_from(&self, first: usize) -> impl Iterator<Item = (usize, Input, f64)> {
        let all = self.effects.iter().filter(move |it| first <= it.place);
        all.map(|it| (it.place, it.input, it.half_change))
    }

    fn of(&self, place: usize) -> impl Iterator<Item = &Effect> {
        self.effects.iter().filter(move |it| it.place == place)
    }

    fn effect(&self, place: usize, input: Input) -> f64 {
        self.of(place).find(|it| it.input == input).map_or(0.0, |it| it.half_change)
    }

    /// Standard uncertainty of one measure less another: what both use counts once.
    pub(super) fn u_of_difference(&self, place: usize, less: usize) -> f64 {
        let own = self.of(place).map(|it| it.half_change - self.effect(less, it.input));
        let is_shared = |it: &&Effect| self.of(place).any(|own| own.input == it.input);
        let only_other = self.of(less).filter(|it| !is_shared(it)).map(|it| it.half_change);
        own.chain(only_other).map(|it| it * it).sum::<f64>().sqrt()
    }

    /// Standard uncertainty of a measure less what it was before: what both stages share counts
    /// once, all else twice.
    pub(super) fn u_of_change(
        &self,
        before: &Self,
        place: usize,
        is_shared: impl Fn(Input) -> bool,
    ) -> f64 {
        let after = self.of(place).map(|it| {
            let earlier = if is_shared(it.input) { before.effect(place, it.input) } else { 0.0 };
            it.half_change - earlier
        });
        let both = |input| is_shared(input) && self.of(place).any(|it| it.input == input);
        let earlier = before.of(place).filter(|it| !both(it.input)).map(|it| it.half_change);
        after.chain(earlier).map(|it| it * it).sum::<f64>().sqrt()
    }
}

/// Room for the effects of a full visit, so that they grow in one piece.
const EFFECTS_USUAL: usize = 384;

fn answer(definition: &Definition, view: &View) -> Option<f64> {
    (definition.formula)(view).filter(|it| it.is_finite())
}

/// Moves one input to either side and notes what that does to every measure that uses it, one bit
/// each; where neither side has an answer, the measure has none.
fn follow(
    stage: &Stage,
    (input, mut users): (Input, u128),
    values: &mut [Option<Estimate>],
    effects: &mut Vec<Effect>,
) {
    let u = stage.u_of(input);
    let (more, less) = (View::moved(stage, input, u), View::moved(stage, input, -u));
    while users != 0 {
        let place = users.trailing_zeros() as usize;
        users &= users - 1;
        let (Some(Estimate { value, .. }), Some(listed)) = (values[place], LISTED.get(place))
        else {
            continue;
        };
        let sides = (answer(listed.definition, &more), answer(listed.definition, &less));
        match half_change(value, sides) {
            Some(half_change) => effects.push(Effect { place, input, half_change }),
            None => values[place] = None,
        }
    }
}

fn half_change(value: f64, sides: (Option<f64>, Option<f64>)) -> Option<f64> {
    match sides {
        // Both on one side of the value: a kink, as where phases are in balance.
        (Some(up), Some(down)) if 0.0 < (up - value) * (down - value) => {
            Some((up - value).abs().max((down - value).abs()))
        }
        (Some(up), Some(down)) => Some(f64::midpoint(up, -down)),
        // At the edge of a table only one side has an answer.
        (Some(up), None) => Some(up - value),
        (None, Some(down)) => Some(value - down),
        (None, None) => None,
    }
}
