//! The comparison of all explanations: how well each predicts the residuals, with its severity
//! integrated out, times what was believed beforehand.

use super::gaussian::{Factor, Matrix, Vector};
use super::observed::Observed;
use super::residuals::COUNT;
use super::signatures::{Action, Shift, actions, both, one};
use super::{CAUSES, CauseName};

/// How many explanations are compared.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Depth {
    /// None: measures and verdicts only.
    Measures,
    /// No fault and each cause alone.
    Singles,
    /// Two causes at once too.
    Pairs,
}

/// Severities of a single cause: a midpoint rule; twice as many change no probability of the
/// suite's cases by more than 0.01.
const SEVERITIES: u8 = 9;
/// Severities of each of two causes.
const SEVERITIES_OF_PAIRS: u8 = 4;
/// Of systems with a fault, the share that has two: judgement, no source. If faults came
/// independently of each other it would be twice as much.
const PAIRS_AMONG_FAULTS: f64 = 0.10;

/// What the residuals are compared with, apart from causes: covariance and centre of a healthy
/// system of this kind, or of this very system.
pub(super) struct Healthy {
    pub(super) centre: Vector,
    pub(super) covariance: Matrix,
}

/// One explanation after the comparison.
#[derive(Clone, Debug)]
pub(super) struct Explanation {
    /// Nothing for no fault.
    pub(super) first: Option<CauseName>,
    pub(super) second: Option<CauseName>,
    pub(super) probability: f64,
    /// Severity of a single cause with its variance, after the readings.
    pub(super) severity: Option<(f64, f64)>,
    /// What it does to each residual, after the readings.
    pub(super) shift: Shift,
    /// Squared distance of the readings from its best severity.
    pub(super) squared: f64,
}

impl Explanation {
    /// Whether one says the other too.
    pub(super) fn shares_a_cause_with(&self, other: &Self) -> bool {
        let has = |it: &Self, cause| it.first == cause || it.second == cause;
        has(other, self.first) || self.second.is_some() && has(other, self.second)
    }
}

/// The residuals of interest alone, so that what is missing costs nothing.
struct Compact {
    places: Vec<usize>,
    base: Matrix,
    residual: Vector,
}

/// One point of an explanation: a severity, or two.
struct Point {
    share: f64,
    severity: f64,
    shift: Shift,
}

/// Compares all explanations of the residuals.
///
/// - `shares`: probability of each cause beforehand, in the order of the causes
/// - result: explanations in a fixed order; their probabilities make one
/// - reference: Bayes' theorem; the severity integrated out by the midpoint rule
pub(super) fn compare(
    observed: &Observed,
    healthy: &Healthy,
    shares: &[f64; CAUSES.len()],
    depth: Depth,
) -> Vec<Explanation> {
    let compact = Compact::new(observed, healthy);
    let actions = actions(&observed.setting);
    let mut all = Vec::with_capacity(40);
    let mut weights = Vec::with_capacity(40);
    let mut weigh = |it: Option<(Explanation, f64)>, share: f64| {
        if let Some((explanation, log_evidence)) = it
            && 0.0 < share
        {
            all.push(explanation);
            weights.push(log_evidence + share.ln());
        }
    };
    let singles = if depth == Depth::Pairs { 1.0 - PAIRS_AMONG_FAULTS } else { 1.0 };
    let nothing = Shift { mean: [0.0; COUNT], variance: [0.0; COUNT] };
    let none = [Point { share: 1.0, severity: 0.0, shift: nothing }];
    weigh(compact.explain((None, None), &none, 0.0), shares[CauseName::NoFault as usize]);
    for action in &actions {
        let points: Vec<Point> = points_of(action, observed).collect();
        let explained =
            compact.explain((Some(action.cause), None), &points, action.step_variance(SEVERITIES));
        weigh(explained, shares[action.cause as usize] * singles);
    }
    if depth == Depth::Pairs {
        let share_of = pair_shares(&actions, shares);
        for (first, second, share) in share_of {
            let points = points_of_both(first, second, observed);
            let causes = (Some(first.cause), Some(second.cause));
            weigh(compact.explain(causes, &points, 0.0), share);
        }
    }
    normalise(&mut all, &weights);
    all
}

fn points_of(action: &Action, observed: &Observed) -> impl Iterator<Item = Point> {
    action.severities(SEVERITIES).map(move |(severity, share)| Point {
        share,
        severity,
        shift: one(action, severity, &observed.setting),
    })
}

fn points_of_both(first: &Action, second: &Action, observed: &Observed) -> Vec<Point> {
    let setting = &observed.setting;
    let of = |action: &Action| -> Vec<(f64, Shift)> {
        let all = action.severities(SEVERITIES_OF_PAIRS);
        all.map(|(severity, share)| (share, one(action, severity, setting))).collect()
    };
    let (of_first, of_second) = (of(first), of(second));
    let pairs = of_first.iter().flat_map(|it| of_second.iter().map(move |other| (it, other)));
    pairs
        .map(|((share, shift), (other_share, other))| Point {
            share: share * other_share,
            severity: 0.0,
            shift: both(shift, other, setting),
        })
        .collect()
}

/// Two causes that can stand beside each other, with the share of that beforehand: in proportion
/// to the product of theirs, as if they came independently.
fn pair_shares<'a>(
    actions: &'a [Action],
    shares: &[f64; CAUSES.len()],
) -> Vec<(&'a Action, &'a Action, f64)> {
    let mut pairs = Vec::with_capacity(28);
    for (index, first) in actions.iter().enumerate() {
        for second in actions.iter().skip(index + 1) {
            if !are_opposites(first.cause, second.cause) {
                let product = shares[first.cause as usize] * shares[second.cause as usize];
                pairs.push((first, second, product));
            }
        }
    }
    let sum: f64 = pairs.iter().map(|it| it.2).sum();
    let faults = 1.0 - shares[CauseName::NoFault as usize];
    let factor = if sum > 0.0 { PAIRS_AMONG_FAULTS * faults / sum } else { 0.0 };
    pairs.into_iter().map(|it| (it.0, it.1, it.2 * factor)).collect()
}

/// A charge can't be both too little and too much, nor a device too tight and too wide.
fn are_opposites(first: CauseName, second: CauseName) -> bool {
    use CauseName::{ExcessCharge, FeedRestriction, LowCharge, OverfeedingMetering};
    matches!((first, second), (LowCharge, ExcessCharge) | (FeedRestriction, OverfeedingMetering))
}

impl Compact {
    fn new(observed: &Observed, healthy: &Healthy) -> Self {
        let places = observed.used.clone();
        let mut base: Matrix = [[0.0; COUNT]; COUNT];
        let mut residual: Vector = [0.0; COUNT];
        for (row, place) in places.iter().enumerate() {
            for (column, other) in places.iter().enumerate().take(row + 1) {
                base[row][column] =
                    observed.measured[*place][*other] + healthy.covariance[*place][*other];
            }
            residual[row] = observed.value[*place] - healthy.centre[*place];
        }
        Self { places, base, residual }
    }

    /// Evidence of one explanation, its severity integrated out, and what the readings leave of
    /// its severity.
    fn explain(
        &self,
        (first, second): (Option<CauseName>, Option<CauseName>),
        points: &[Point],
        step_variance: f64,
    ) -> Option<(Explanation, f64)> {
        let count = self.places.len();
        let mut logs = Vec::with_capacity(points.len());
        let mut nearest = f64::INFINITY;
        for point in points {
            let mut covariance = self.base;
            let mut difference = self.residual;
            for (row, place) in self.places.iter().enumerate() {
                covariance[row][row] += point.shift.variance[*place];
                difference[row] -= point.shift.mean[*place];
            }
            let far = Factor::of(&covariance, count)?.distance(&difference)?;
            nearest = nearest.min(far.squared);
            logs.push(far.log_density(count) + point.share.ln());
        }
        let most = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let shares: Vec<f64> = logs.iter().map(|it| (it - most).exp()).collect();
        let sum: f64 = shares.iter().sum();
        let mean_of = |value: &dyn Fn(&Point) -> f64| -> f64 {
            points.iter().zip(&shares).map(|(it, share)| share * value(it)).sum::<f64>() / sum
        };
        let severity = mean_of(&|it| it.severity);
        let variance = mean_of(&|it| (it.severity - severity).powi(2)) + step_variance;
        let mean: Vector = std::array::from_fn(|place| mean_of(&|it| it.shift.mean[place]));
        let spread: Vector = std::array::from_fn(|place| {
            mean_of(&|it| it.shift.variance[place] + (it.shift.mean[place] - mean[place]).powi(2))
        });
        let is_single = first.is_some() && second.is_none();
        let explanation = Explanation {
            first,
            second,
            probability: 0.0,
            severity: is_single.then_some((severity, variance)),
            shift: Shift { mean, variance: spread },
            squared: nearest,
        };
        Some((explanation, most + sum.ln()))
    }
}

fn normalise(all: &mut [Explanation], weights: &[f64]) {
    let most = weights.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let sum: f64 = weights.iter().map(|it| (it - most).exp()).sum();
    for (explanation, weight) in all.iter_mut().zip(weights) {
        explanation.probability = (weight - most).exp() / sum;
    }
}
