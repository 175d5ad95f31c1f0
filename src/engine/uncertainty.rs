//! From the instruments' uncertainties to that of a measure.

use super::input::{Input, InputSet};
use super::needs::Needs;
use super::stage::Stage;
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

/// Follows each input's standard uncertainty through a formula.
///
/// - `inputs`: what the formula uses, each with an error of its own
/// - result: value and combined standard uncertainty, in the formula's unit
/// - reference: JCGM 100:2008 (GUM), 5.1.2 with the note to 5.1.3: half the change of the result
///   as each input moves by its standard uncertainty to either side, added in squares
/// - range: errors small against the curve of the formula; the tests compare with a simulation
pub(super) fn propagate(
    stage: &Stage,
    inputs: InputSet,
    formula: &dyn Fn(&View) -> Option<f64>,
) -> Option<Estimate> {
    let answer =
        |moved: Option<(Input, f64)>| formula(&View { stage, moved }).filter(|it| it.is_finite());
    let value = answer(None)?;
    let mut squares = 0.0;
    for input in inputs.iter() {
        let u = stage.u_of(input);
        let half_change = match (answer(Some((input, u))), answer(Some((input, -u)))) {
            // Both on one side of the value: a kink, as where phases are in balance.
            (Some(up), Some(down)) if 0.0 < (up - value) * (down - value) => {
                (up - value).abs().max((down - value).abs())
            }
            (Some(up), Some(down)) => f64::midpoint(up, -down),
            // At the edge of a table only one side has an answer.
            (Some(one), None) | (None, Some(one)) => one - value,
            (None, None) => return None,
        };
        squares += half_change * half_change;
    }
    let u = squares.sqrt();
    u.is_finite().then_some(Estimate { value, u })
}

/// Value and uncertainty of a measure, or nothing where something is missing or unanswered.
pub(super) fn estimate(stage: &Stage, definition: &Definition) -> Option<Estimate> {
    let needs = (definition.needs)(stage);
    if !needs.missing.is_empty() || needs.points().any(|it| stage.impossible.contains_key(&it)) {
        return None;
    }
    propagate(stage, needs.inputs, &definition.formula)
}
