//! What a healthy system would show, learnt from this system's own earlier healthy visits.

use serde_json::Value;

use super::compare::{Comparison, Depth, Healthy};
use super::gaussian::{COUNT, Factor, Matrix, Vector};
use super::observed::{Observed, observe};
use super::residuals::Residual;
use super::{CauseName, Priors, causes_of};
use crate::engine::case::{Case, SystemFacts, read_case};
use crate::engine::prepare;
use crate::engine::stage::{Moment, Stage, UsedBook};

/// Earlier visits that are looked at, the first ones of the document: more would hardly narrow
/// anything, for a system is not the same for ever.
const VISITS_MAX: usize = 10;
/// An earlier visit of which nobody confirmed that nothing was wrong counts as healthy from this
/// probability on, judged by what its kind would show. Judgement, no source: higher, and few
/// healthy visits would pass, for small faults are never ruled out.
const HEALTHY_FROM: f64 = 0.6;

/// One of which somebody confirmed that nothing was wrong is believed from this probability on: who
/// repaired something and wrote down that nothing was wrong must not teach the fault as healthy.
/// Judgement, no source.
const BELIEVED_FROM: f64 = 0.05;

/// The system's own earlier readings, as far as they serve.
#[derive(Default)]
pub(in crate::engine) struct History {
    healthy: Vec<Observed>,
    /// Why the others were left out, one sentence each.
    pub(in crate::engine) left_out: Vec<String>,
}

impl History {
    /// Of a document's earlier visits.
    pub(in crate::engine) fn of(case: &Case, book: &UsedBook) -> Self {
        let mut history = Self::default();
        for (index, earlier) in case.history.iter().take(VISITS_MAX).enumerate() {
            let visit = if case.history.iter().take(index).any(|it| it == earlier) {
                Err("the same visit once more".to_owned())
            } else {
                healthy_visit(earlier, case, book)
            };
            match visit {
                Ok(observed) => history.healthy.push(observed),
                Err(why) => history.left_out.push(format!("history[{index}]: {why}")),
            }
        }
        if VISITS_MAX < case.history.len() {
            let why = format!("history: no more than {VISITS_MAX} visits are looked at");
            history.left_out.push(why);
        }
        history
    }

    /// How many visits serve.
    pub(in crate::engine) fn used(&self) -> usize {
        self.healthy.len()
    }

    /// Centre and covariance of what this system would show today if nothing were wrong.
    ///
    /// - result: those of its kind, narrowed by every earlier healthy visit
    /// - reference: linear update of a normal mean (Gelman and others, Bayesian Data Analysis, 3rd
    ///   edition, equation 3.13), with what stays between two days of one system as its noise
    pub(super) fn healthy(&self, today: &Observed) -> Healthy {
        let mut healthy = Healthy { centre: [0.0; COUNT], covariance: full(&today.of_kind()) };
        for earlier in &self.healthy {
            update(&mut healthy, earlier);
        }
        for (place, row) in healthy.covariance.iter_mut().enumerate() {
            row[place] += today.spread[place].day.powi(2);
        }
        healthy
    }
}

/// The same with its upper triangle.
fn full(lower: &Matrix) -> Matrix {
    std::array::from_fn(|row| std::array::from_fn(|column| lower[row.max(column)][row.min(column)]))
}

fn update(healthy: &mut Healthy, earlier: &Observed) {
    let count = earlier.used.len();
    let mut covariance: Matrix = [[0.0; COUNT]; COUNT];
    let mut surprise: Vector = [0.0; COUNT];
    for (row, place) in earlier.used.iter().enumerate() {
        for (column, other) in earlier.used.iter().enumerate().take(row + 1) {
            covariance[row][column] =
                healthy.covariance[*place][*other] + earlier.measured[*place][*other];
        }
        covariance[row][row] += earlier.spread[*place].day.powi(2);
        surprise[row] = earlier.value[*place] - healthy.centre[*place];
    }
    let Some(factor) = Factor::of(&covariance, count) else { return };
    // Covariance of every residual with those that were read.
    let gathered: Matrix = std::array::from_fn(|place| {
        std::array::from_fn(|it| {
            earlier.used.get(it).map_or(0.0, |other| healthy.covariance[place][*other])
        })
    });
    let solved = factor.solve(&surprise);
    let dot = |left: &Vector, right: &Vector| -> f64 {
        left.iter().zip(right).map(|(one, other)| one * other).sum()
    };
    for place in 0..COUNT {
        healthy.centre[place] += dot(&gathered[place], &solved);
        let gain = factor.solve(&gathered[place]);
        for (entry, of_other) in healthy.covariance[place].iter_mut().zip(&gathered) {
            *entry -= dot(of_other, &gain);
        }
    }
}

/// What makes an earlier visit's system another one than today's, if anything does.
fn what_differs(earlier: &SystemFacts, today: &SystemFacts) -> Option<&'static str> {
    let is_other = |one: Option<f64>, other: Option<f64>| {
        one.zip(other).is_some_and(|(one, other)| SAME_WITHIN < (one - other).abs())
    };
    [
        (earlier.kind != today.kind, "kind of system"),
        (earlier.refrigerant != today.refrigerant, "refrigerant"),
        (earlier.metering != today.metering, "metering device"),
        (is_other(earlier.nominal_tons, today.nominal_tons), "size"),
        (is_other(earlier.seer, today.seer), "seasonal efficiency"),
        (is_other(earlier.target_subcooling_f, today.target_subcooling_f), "target subcooling"),
    ]
    .into_iter()
    .find_map(|(is_other, what)| is_other.then_some(what))
}

/// Plates that differ by less say the same, in tons, Btu/Wh and degF alike.
const SAME_WITHIN: f64 = 0.05;

/// What an earlier document shows of the healthy system, or why nothing.
fn healthy_visit(earlier: &Value, today: &Case, book: &UsedBook) -> Result<Observed, String> {
    let document = without_what_is_not_read(earlier);
    let case = read_case(&document).map_err(|fault| fault.message)?;
    let confirmed = confirmed(earlier)?;
    if let Some(what) = what_differs(&case.system, &today.system) {
        return Err(format!("another {what}: it was another unit"));
    }
    let mut left = Stage::new(&case, book, Moment::AsLeft);
    prepare(&mut left);
    let observed = observe(&left);
    if serves(&observed) && HEALTHY_FROM <= no_fault(&observed) {
        return Ok(observed);
    }
    if confirmed == Confirmed::SomeFault {
        return Err("something was wrong as found, and nothing healthy was read as left".to_owned());
    }
    let mut found = Stage::new(&case, book, Moment::AsFound);
    prepare(&mut found);
    let observed = observe(&found);
    if !serves(&observed) {
        return Err("too few readings that can be used".to_owned());
    }
    let (least, why) = match confirmed {
        Confirmed::NoFault => (
            BELIEVED_FROM,
            "somebody confirmed that nothing was wrong, but its readings say otherwise",
        ),
        _ => (HEALTHY_FROM, "it doesn't look healthy by itself, and nobody confirmed that it was"),
    };
    if least <= no_fault(&observed) { Ok(observed) } else { Err(why.to_owned()) }
}

/// Whether it has anything of the refrigerant circuit.
fn serves(observed: &Observed) -> bool {
    [Residual::Superheat, Residual::Subcooling].iter().any(|it| observed.uses(*it))
}

/// How likely nothing was wrong, by what the kind of system would show alone.
fn no_fault(observed: &Observed) -> f64 {
    let healthy = History::default().healthy(observed);
    let shares = Priors::default().shares();
    let all = Comparison::of(observed, &healthy, &shares, Depth::Singles).explanations;
    let no_fault = all.iter().find(|it| it.first.is_none());
    no_fault.map_or(0.0, |it| it.probability)
}

/// What a person confirmed of an earlier visit.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Confirmed {
    Nothing,
    NoFault,
    SomeFault,
}

fn confirmed(earlier: &Value) -> Result<Confirmed, String> {
    let Some(truth) = earlier.get("truth").filter(|it| !it.is_null()) else {
        return Ok(Confirmed::Nothing);
    };
    let word = truth.as_str().or_else(|| truth.get("cause")?.as_str());
    match word.and_then(causes_of) {
        None => Err("its truth is no cause that is known".to_owned()),
        Some((CauseName::NoFault, None)) => Ok(Confirmed::NoFault),
        Some(_) => Ok(Confirmed::SomeFault),
    }
}

/// The document alone: what earlier visits found stands beside it, and history has no history.
fn without_what_is_not_read(earlier: &Value) -> Value {
    let mut document = earlier.clone();
    if let Some(object) = document.as_object_mut() {
        for field in ["findings", "history", "priors", "truth"] {
            object.remove(field);
        }
    }
    document
}
