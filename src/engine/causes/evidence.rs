//! What speaks for an explanation, what against it, and which reading would tell two apart.

use super::compare::Healthy;
use super::observed::Observed;
use super::residuals::{ALL, Residual, ResidualInfo};
use super::signatures::Shift;
use crate::engine::points::PointKey;
use crate::engine::stage::Stage;

/// A reading counts as evidence where it makes an explanation this much likelier or less likely
/// against its rival, as a natural logarithm: a factor of 1.6. Judgement, no source.
const COUNTS_FROM: f64 = 0.5;

/// Measures that speak for and against an explanation, the strongest first.
#[derive(Debug, Default, PartialEq)]
pub(super) struct Evidence {
    pub(super) speaks_for: Vec<String>,
    pub(super) speaks_against: Vec<String>,
}

/// Compares what each residual by itself says of an explanation against its rival.
pub(super) fn evidence(
    observed: &Observed,
    healthy: &Healthy,
    explanation: &Shift,
    rival: &Shift,
) -> Evidence {
    let mut all: Vec<(f64, &ResidualInfo)> = observed
        .used
        .iter()
        .map(|place| {
            let log = |it: &Shift| log_density_of_one(observed, healthy, it, *place);
            (log(explanation) - log(rival), &ALL[*place])
        })
        .collect();
    all.sort_by(|one, other| other.0.abs().total_cmp(&one.0.abs()));
    let named = |keep: &dyn Fn(f64) -> bool| {
        all.iter().filter(|it| keep(it.0)).map(|it| it.1.measure.to_owned()).collect()
    };
    Evidence {
        speaks_for: named(&|it| COUNTS_FROM <= it),
        speaks_against: named(&|it| it <= -COUNTS_FROM),
    }
}

fn log_density_of_one(
    observed: &Observed,
    healthy: &Healthy,
    explanation: &Shift,
    place: usize,
) -> f64 {
    let centre = healthy.centre[place] + explanation.mean[place];
    let variance = variance_of_one(observed, healthy, explanation, place);
    -0.5 * ((observed.value[place] - centre).powi(2) / variance + variance.ln())
}

fn variance_of_one(
    observed: &Observed,
    healthy: &Healthy,
    explanation: &Shift,
    place: usize,
) -> f64 {
    observed.measured_u(place).powi(2)
        + healthy.covariance[place][place]
        + explanation.variance[place]
}

/// Least expected information for which a reading is worth the way to it, in natural units of at
/// most 0.69. Judgement, no source.
const WORTH_FROM: f64 = 0.01;

/// The reading not taken yet from which most is to be expected about two explanations.
///
/// - `one`, `other`: probability and shift of each
/// - result: a point, or nothing where no practical reading would tell
/// - reference: mutual information of the explanation and the reading (Lindley 1956), the
///   reading normal under each
pub(super) fn tell_apart(
    stage: &Stage,
    observed: &Observed,
    healthy: &Healthy,
    (one, other): ((f64, &Shift), (f64, &Shift)),
) -> Option<PointKey> {
    let weight = one.0 / (one.0 + other.0);
    let candidates = ALL.iter().enumerate().filter(|(_, it)| is_open(stage, observed, it));
    let mut best: Option<(f64, &ResidualInfo)> = None;
    for (place, info) in candidates {
        let predicted = |it: &Shift| {
            let u = variance_of_one(observed, healthy, it, place).sqrt();
            (it.mean[place], u)
        };
        let (one, other) = (predicted(one.1), predicted(other.1));
        if are_alike(one, other) {
            continue;
        }
        let worth = information(weight, one, other);
        if WORTH_FROM <= worth && best.is_none_or(|(most, _)| most < worth) {
            best = Some((worth, info));
        }
    }
    best.map(|(_, info)| next_reading(stage, info))
}

/// Whether a reading was not taken and could be: where the system has the thing to be read.
fn is_open(stage: &Stage, observed: &Observed, info: &ResidualInfo) -> bool {
    if observed.uses(info.residual) || stage.has(info.reading) {
        return false;
    }
    let facts = stage.facts();
    match info.residual {
        Residual::CompressorAmps => facts.rated_eer.is_some() && facts.phases != Some(3),
        Residual::Airflow => facts.kind.is_ducted(),
        _ => true,
    }
}

/// Of the readings that a residual needs, the one to take.
fn next_reading(stage: &Stage, info: &ResidualInfo) -> PointKey {
    match info.residual {
        Residual::DrierDrop if !stage.has(PointKey::DrierInF) && stage.has(PointKey::DrierOutF) => {
            PointKey::DrierInF
        }
        _ => info.reading,
    }
}

/// Whether two predictions are so near each other that a reading would tell next to nothing: the
/// information is an eighth of the squared distance at most.
fn are_alike(one: (f64, f64), other: (f64, f64)) -> bool {
    let distance = (one.0 - other.0).powi(2) / (one.1 * other.1);
    let ratio = one.1 / other.1;
    distance < 8.0 * WORTH_FROM && (0.8..=1.25).contains(&ratio)
}

/// Steps of the integral over what may be read, and how far it reaches in standard uncertainties.
const STEPS: u8 = 24;
const REACH: f64 = 4.0;

/// Expected information of a reading about which of two is true.
///
/// - `weight`: probability of the first; each: mean and standard uncertainty of what would be read
/// - result: natural units, 0 to the entropy of the weight
fn information(weight: f64, first: (f64, f64), second: (f64, f64)) -> f64 {
    let low = (first.0 - REACH * first.1).min(second.0 - REACH * second.1);
    let high = (first.0 + REACH * first.1).max(second.0 + REACH * second.1);
    let step = (high - low) / f64::from(STEPS);
    let density = |(mean, u): (f64, f64), at: f64| {
        (-0.5 * ((at - mean) / u).powi(2)).exp() / (u * std::f64::consts::TAU.sqrt())
    };
    let part = |share: f64, of: f64, both: f64| {
        if share * of > 0.0 && both > 0.0 { share * of * (of / both).ln() } else { 0.0 }
    };
    let all = (0..STEPS).map(|it| {
        let at = low + step * (f64::from(it) + 0.5);
        let (one, other) = (density(first, at), density(second, at));
        let both = weight * one + (1.0 - weight) * other;
        part(weight, one, both) + part(1.0 - weight, other, both)
    });
    let sum = all.sum::<f64>() * step;
    if sum.is_finite() { sum.max(0.0) } else { 0.0 }
}
