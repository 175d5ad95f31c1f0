//! The comparison of all explanations: how well each predicts the residuals, with its severity
//! integrated out, times what was believed beforehand.

use super::gaussian::{Augmented, COUNT, Matrix, Vector};
use super::observed::Observed;
use super::signatures::{Action, Setting, Shift, Weighed, actions, both, one};
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

/// Severities of a single cause, by a midpoint rule. Twice as many here and of pairs, tried on one draw
/// of the simulated set: no other first cause, probabilities by 0.001 on the median, 0.05 at most.
const SEVERITIES: u8 = 9;
/// Severities of each of two causes.
const SEVERITIES_OF_PAIRS: u8 = 4;
/// One residual in fifty is wrong by itself, for a clamp was loose or a number slipped, and lies
/// then anywhere within five times its usual spread. Judgement, no source: it keeps one odd reading
/// from condemning a part that all others speak for.
const MISREAD: f64 = 0.02;
const MISREAD_SPREAD: f64 = 5.0;
/// Of systems with a fault, the share that has two: judgement, no source. If faults came
/// independently of each other, at the published priors it would be three to four times as much.
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
    /// Squared distance of the readings from its best severity.
    pub(super) squared: f64,
}

/// All explanations of one stage's residuals.
pub(super) struct Comparison {
    setting: Setting,
    compact: Compact,
    actions: Vec<Action>,
    /// Place of the one residual that would have to be misread if nothing were wrong, if that is
    /// likelier than all other ways to nothing wrong.
    pub(super) doubtful: Option<usize>,
    /// In a fixed order, or the likeliest first once they were sorted.
    pub(super) explanations: Vec<Explanation>,
}

/// The residuals that can be used alone, so that what is missing costs nothing.
struct Compact {
    places: Vec<usize>,
    base: Augmented,
}

/// How well one severity, or two, explain the readings.
#[derive(Clone, Copy)]
struct Fit {
    /// Logarithm of the density times what was believed of the severity.
    log: f64,
    squared: f64,
}

/// Explanations of a full comparison: no fault, eight causes and their pairs.
const EXPLANATIONS_USUAL: usize = 36;

impl Comparison {
    /// Compares all explanations of the residuals.
    ///
    /// - `shares`: probability of each cause beforehand, in the order of the causes
    /// - result: explanations in a fixed order; their probabilities make one
    /// - reference: Bayes' theorem; the severity integrated out by the midpoint rule
    pub(super) fn of(
        observed: &Observed,
        healthy: &Healthy,
        shares: &[f64; CAUSES.len()],
        depth: Depth,
    ) -> Self {
        let setting = observed.setting.around(&healthy.centre);
        let compact = Compact::new(observed, healthy);
        let actions = actions(&setting);
        let explanations = Vec::with_capacity(EXPLANATIONS_USUAL);
        let mut all = Self { setting, compact, actions, doubtful: None, explanations };
        let mut weights = Vec::with_capacity(EXPLANATIONS_USUAL);
        all.weigh_singles(shares, depth, &mut weights);
        if depth == Depth::Pairs {
            all.weigh_pairs(shares, &mut weights);
        }
        normalise(&mut all.explanations, &weights);
        all
    }

    fn weigh_singles(
        &mut self,
        shares: &[f64; CAUSES.len()],
        depth: Depth,
        weights: &mut Vec<f64>,
    ) {
        let alone = if depth == Depth::Pairs { 1.0 - PAIRS_AMONG_FAULTS } else { 1.0 };
        let of_no_fault = shares[CauseName::NoFault as usize];
        if let Some((log, squared)) = self.weigh_no_fault().filter(|_| 0.0 < of_no_fault) {
            self.explanations.push(Explanation::of((None, None), squared));
            weights.push(log + of_no_fault.ln());
        }
        // What is ruled out beforehand is no explanation.
        for action in self.actions.iter().filter(|it| 0.0 < shares[it.cause as usize]) {
            let points: Vec<(Weighed, Fit)> = self.fits_of(action).map(|it| (it.0, it.1)).collect();
            let fits = points.iter().map(|it| it.1);
            let Some((log, squared)) = evidence_of(fits) else { continue };
            let mut explanation = Explanation::of((Some(action.cause), None), squared);
            let mean_of = |value: &dyn Fn(&Weighed) -> f64| -> f64 {
                points.iter().map(|(it, fit)| (fit.log - log).exp() * value(it)).sum()
            };
            let mean = mean_of(&|it| it.severity);
            let variance = mean_of(&|it| (it.severity - mean).powi(2) + it.variance);
            explanation.severity = Some((mean, variance));
            self.explanations.push(explanation);
            weights.push(log + (shares[action.cause as usize] * alone).ln());
        }
    }

    /// Nothing is wrong: neither with the system nor, but for a small share each, with a reading.
    fn weigh_no_fault(&mut self) -> Option<(f64, f64)> {
        let count = self.compact.places.len();
        let shares = (0..count).map(|_| MISREAD);
        let rest = 1.0 - shares.sum::<f64>();
        let right = self.compact.fit(&NOTHING, rest.ln())?;
        let misread: Vec<Fit> =
            (0..count).filter_map(|row| self.compact.fit_without(row, MISREAD.ln())).collect();
        let all = std::iter::once(right).chain(misread.iter().copied());
        let evidence = evidence_of(all)?;
        let worst =
            misread.iter().enumerate().max_by(|one, other| one.1.log.total_cmp(&other.1.log));
        self.doubtful = worst
            .filter(|(_, it)| 0.5 < (it.log - evidence.0).exp())
            .and_then(|(row, _)| self.compact.places.get(row).copied());
        Some(evidence)
    }

    fn weigh_pairs(&mut self, shares: &[f64; CAUSES.len()], weights: &mut Vec<f64>) {
        let points: Vec<Vec<(f64, Shift)>> =
            self.actions.iter().map(|it| self.shifts(it)).collect();
        let shifts = |action: &Action| {
            let index = self.actions.iter().position(|it| it.cause == action.cause);
            index.and_then(|it| points.get(it)).map_or(&[][..], Vec::as_slice)
        };
        let mut found = Vec::with_capacity(EXPLANATIONS_USUAL);
        for (first, second, share) in pair_shares(&self.actions, shares) {
            let fits = self.fits_of_both(shifts(first), shifts(second)).map(|it| it.0);
            if let Some((log, squared)) = evidence_of(fits) {
                let causes = (Some(first.cause), Some(second.cause));
                found.push((Explanation::of(causes, squared), log + share.ln()));
            }
        }
        for (explanation, weight) in found {
            self.explanations.push(explanation);
            weights.push(weight);
        }
    }

    /// Each severity of one cause with its fit and shift.
    fn fits_of(&self, action: &Action) -> impl Iterator<Item = (Weighed, Fit, Shift)> {
        action.severities(SEVERITIES).filter_map(|it| {
            let shift = one(action, it.severity, &self.setting);
            Some((it, self.compact.fit(&shift, it.share.ln())?, shift))
        })
    }

    /// What the severities of one of two causes do, with the logarithm of each one's share.
    fn shifts(&self, action: &Action) -> Vec<(f64, Shift)> {
        let all = action.severities(SEVERITIES_OF_PAIRS);
        all.map(|it| (it.share.ln(), one(action, it.severity, &self.setting))).collect()
    }

    fn fits_of_both<'b>(
        &self,
        first: &'b [(f64, Shift)],
        second: &'b [(f64, Shift)],
    ) -> impl Iterator<Item = (Fit, Shift)> {
        let pairs = first.iter().flat_map(move |it| second.iter().map(move |other| (it, other)));
        pairs.filter_map(|(it, other)| {
            let shift = both(&it.1, &other.1, &self.setting);
            Some((self.compact.fit(&shift, it.0 + other.0)?, shift))
        })
    }

    /// What an explanation does to each residual, after the readings: mean and variance.
    pub(super) fn shift(&self, explanation: &Explanation) -> Shift {
        let action = |cause| self.actions.iter().find(|it| Some(it.cause) == cause);
        let Some(first) = action(explanation.first) else { return NOTHING };
        let points: Vec<(Fit, Shift)> = match action(explanation.second) {
            None => self.fits_of(first).map(|it| (it.1, it.2)).collect(),
            Some(second) => self.fits_of_both(&self.shifts(first), &self.shifts(second)).collect(),
        };
        let log = evidence_of(points.iter().map(|it| it.0)).map_or(0.0, |it| it.0);
        let mut mean = NOTHING;
        for (fit, shift) in &points {
            let share = (fit.log - log).exp();
            for place in 0..COUNT {
                mean.mean[place] += share * shift.mean[place];
                mean.variance[place] += share * (shift.variance[place] + shift.mean[place].powi(2));
            }
        }
        for place in 0..COUNT {
            let square = mean.mean[place].powi(2);
            mean.variance[place] = (mean.variance[place] - square).max(0.0);
        }
        mean
    }
}

/// What no cause does.
const NOTHING: Shift = Shift { mean: [0.0; COUNT], variance: [0.0; COUNT] };

/// Logarithm of the sum over all severities, and the nearest one's squared distance.
fn evidence_of(fits: impl Iterator<Item = Fit>) -> Option<(f64, f64)> {
    let all: Vec<Fit> = fits.collect();
    let most = all.iter().map(|it| it.log).fold(f64::NEG_INFINITY, f64::max);
    let sum: f64 = all.iter().map(|it| (it.log - most).exp()).sum();
    let nearest = all.iter().map(|it| it.squared).fold(f64::INFINITY, f64::min);
    let log = most + sum.ln();
    log.is_finite().then_some((log, nearest))
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
            let product = shares[first.cause as usize] * shares[second.cause as usize];
            if 0.0 < product && !are_opposites(first.cause, second.cause) {
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

impl Explanation {
    fn of((first, second): (Option<CauseName>, Option<CauseName>), squared: f64) -> Self {
        Self { first, second, probability: 0.0, severity: None, squared }
    }

    /// Whether one says the other too.
    pub(super) fn shares_a_cause_with(&self, other: &Self) -> bool {
        let has = |it: &Self, cause| it.first == cause || it.second == cause;
        has(other, self.first) || self.second.is_some() && has(other, self.second)
    }
}

impl Compact {
    fn new(observed: &Observed, healthy: &Healthy) -> Self {
        let places = observed.used.clone();
        let mut base = Augmented::default();
        for (row, place) in places.iter().enumerate() {
            for (column, other) in places.iter().enumerate().take(row + 1) {
                let measured = observed.measured[*place][*other];
                base.set(row, column, measured + healthy.covariance[*place][*other]);
            }
            base.shift(row, healthy.centre[*place] - observed.value[*place], 0.0);
        }
        Self { places, base }
    }

    /// How well no fault explains the readings where one of them was misread.
    fn fit_without(&self, row: usize, log_share: f64) -> Option<Fit> {
        let mut widened = self.base;
        let usual = widened.variance(row);
        widened.shift(row, 0.0, (MISREAD_SPREAD * MISREAD_SPREAD - 1.0) * usual);
        let count = self.places.len();
        let far = widened.distance(count)?;
        Some(Fit { log: far.log_density(count) + log_share, squared: far.squared })
    }

    /// How well a shift explains the readings.
    fn fit(&self, shift: &Shift, log_share: f64) -> Option<Fit> {
        let mut shifted = self.base;
        for (row, place) in self.places.iter().enumerate() {
            shifted.shift(row, shift.mean[*place], shift.variance[*place]);
        }
        let count = self.places.len();
        let far = shifted.distance(count)?;
        Some(Fit { log: far.log_density(count) + log_share, squared: far.squared })
    }
}

fn normalise(all: &mut [Explanation], weights: &[f64]) {
    let most = weights.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let sum: f64 = weights.iter().map(|it| (it - most).exp()).sum();
    for (explanation, weight) in all.iter_mut().zip(weights) {
        explanation.probability = (weight - most).exp() / sum;
    }
}
