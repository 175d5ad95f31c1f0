//! Whether a repair did what it should: the change of each residual against the change that would
//! take the cause away.
//!
//! What is strange about a system cancels in its own change, so that this is surer than any
//! comparison with other systems.

use super::gaussian::{COUNT, Factor, Matrix, Vector};
use super::observed::{Observed, effects_by_input};
use super::residuals::ALL;
use super::signatures::Shift;
use crate::engine::assessment::{Repair, RepairOutcome, ResidualChange};
use crate::engine::input::Input;
use crate::engine::normal::upper_tail;
use crate::engine::stage::{Moment, Stage};

/// One stage with its residuals.
pub(super) struct Read<'a> {
    pub(super) stage: &'a Stage<'a>,
    pub(super) observed: &'a Observed,
}

/// Share of the cause that must be gone for the repair to have worked. Judgement, no source.
const WORKED_FROM: f64 = 0.5;
/// Probability from which it is said to have worked, and below whose complement to have not.
const SURE_FROM: f64 = 0.9;

/// What the repair did about a cause that shifted the residuals as found.
///
/// - result: nothing where no residual was read at both stages
/// - reference: generalised least squares for the share of the cause that is gone (Aitken 1936)
pub(super) fn did_it_work(
    cause: &str,
    shift: &Shift,
    (found, left): (&Read, &Read),
) -> Option<Repair> {
    let both: Vec<usize> =
        found.observed.used.iter().copied().filter(|it| left.observed.used.contains(it)).collect();
    let noise = covariance(&both, found, left);
    let mut covariance: Matrix = [[0.0; COUNT]; COUNT];
    let (mut change, mut wanted): (Vector, Vector) = ([0.0; COUNT], [0.0; COUNT]);
    for (row, place) in both.iter().enumerate() {
        covariance[row] = noise[row];
        covariance[row][row] += shift.variance[*place];
        change[row] = left.observed.value[*place] - found.observed.value[*place];
        wanted[row] = -shift.mean[*place];
    }
    let factor = Factor::of(&covariance, both.len())?;
    let weights = factor.solve(&wanted);
    let dot = |it: &Vector| -> f64 { weights.iter().zip(it).map(|(one, other)| one * other).sum() };
    let information = dot(&wanted);
    if information.is_nan() || information <= 0.0 {
        return None;
    }
    let (share, u) = (dot(&change) / information, information.sqrt().recip());
    let probability = upper_tail((WORKED_FROM - share) / u);
    let outcome = match probability {
        it if SURE_FROM <= it => RepairOutcome::Worked,
        it if it <= 1.0 - SURE_FROM => RepairOutcome::DidNotWork,
        _ => RepairOutcome::TooClose,
    };
    let residuals = both.iter().enumerate().map(|(row, place)| ResidualChange {
        measure: ALL[*place].measure.to_owned(),
        as_found: found.observed.value[*place],
        as_left: left.observed.value[*place],
        u: noise[row][row].sqrt(),
    });
    (share.is_finite() && u.is_finite()).then(|| Repair {
        cause: cause.to_owned(),
        outcome,
        probability,
        share,
        u,
        residuals: residuals.collect(),
    })
}

/// Covariance of the residuals' changes from the instruments, in the order of `both`: what was
/// carried over and what a table errs counts once, all else twice; half of what stays between two
/// days stays between two hours. The half is judgement, no source.
fn covariance(both: &[usize], found: &Read, left: &Read) -> Matrix {
    let (before, after) = (effects_by_input(found.stage), effects_by_input(left.stage));
    let is_shared = |input: Input| match input {
        Input::Point(key) => left.stage.taken_at(key) == Moment::AsFound,
        _ => true,
    };
    let mut all: Matrix = [[0.0; COUNT]; COUNT];
    let mut add = |effects: &Vector| {
        for (row, place) in both.iter().enumerate() {
            for (column, other) in both.iter().enumerate().take(row + 1) {
                all[row][column] += effects[*place] * effects[*other];
            }
        }
    };
    for (input, effects) in after.iter() {
        let earlier = before.of(*input).filter(|_| is_shared(*input));
        add(&std::array::from_fn(|it| effects[it] - earlier.map_or(0.0, |of| of[it])));
    }
    for (input, effects) in before.iter() {
        if !(is_shared(*input) && after.of(*input).is_some()) {
            add(effects);
        }
    }
    for (row, place) in both.iter().enumerate() {
        all[row][row] += (0.5 * found.observed.spread[*place].day).powi(2);
    }
    all
}
