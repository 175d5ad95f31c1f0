//! The score of many cases: outcomes by cause and by impact, calibration, severity.

use std::collections::BTreeMap;

use serde::Serialize;

use super::NamedCause;
use super::confusion::{Confusion, ConfusionTally};
use super::marking::{Mark, SeverityMark};
use super::outcome::{Impact, Outcome};
use super::reliability::{Reliability, ReliabilityTally};
use crate::engine::causes::{CAUSES, CauseName};
use crate::stats::{Share, clustered_share};

/// The whole score. Every share is of all its cases, also of those that got no response.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Score {
    /// How many cases carried a truth.
    pub cases: u32,
    /// Under how many operating conditions.
    pub conditions: u32,
    /// What matters most.
    pub headline: Headline,
    /// Healthy cases.
    pub healthy: Line,
    /// Cases with one fault, all together.
    pub one_fault: Line,
    /// Cases with one fault, by the fault.
    pub by_cause: Vec<Line>,
    /// Cases with one fault, by what it costs.
    pub by_impact: Vec<Line>,
    /// How many misdiagnoses named the one fault beside another that was not there.
    pub beside_another: u32,
    /// Cases with two faults, all together.
    pub two_faults: Line,
    /// Cases with two faults, by the faults.
    pub by_pair: Vec<Line>,
    /// What the probabilities were worth, by how many faults there were.
    pub probabilities: Vec<ProbabilityLine>,
    /// Of what was said to be so likely, how much was true.
    pub reliability: Reliability,
    /// The same without faults that cost less than 5 %: of those, that nothing is wrong is hardly
    /// untrue.
    pub reliability_of_costly: Reliability,
    /// How near the severities were, where the cause was right.
    pub severity: Vec<SeverityLine>,
    /// What it was against what was told first.
    pub confusion: Confusion,
}

/// What matters most.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Headline {
    /// A fault named first, of healthy cases.
    pub false_alarm: Share,
    /// The truth named first, of single faults that cost 5 % or more.
    pub correct: Share,
    /// The truth or one of its declared group, of the same.
    pub correct_or_group: Share,
    /// No fault named first, of the same.
    pub missed: Share,
    /// The right pair named first, of two faults at once.
    pub pair_first: Share,
    /// The right pair among the first three, of the same.
    pub pair_among_three: Share,
}

/// Cases of one kind and what came of them.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Line {
    /// What kind.
    pub name: String,
    /// How many cases.
    pub cases: u32,
    /// Each outcome that can be, as a share of them.
    pub outcomes: Vec<OutcomeShare>,
}

/// One outcome's share.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct OutcomeShare {
    /// Which.
    pub outcome: Outcome,
    /// How much.
    #[serde(flatten)]
    pub share: Share,
}

/// What the stated probabilities were worth.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ProbabilityLine {
    /// Of which cases.
    pub name: &'static str,
    /// How many.
    pub cases: u32,
    /// The mean logarithmic score; less is better.
    pub log: f64,
    /// The mean Brier score; less is better.
    pub brier: f64,
}

/// How near the severities of one cause were.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SeverityLine {
    /// Which cause.
    pub cause: &'static str,
    /// The unit of its severity.
    pub unit: &'static str,
    /// How many correct answers gave one where the truth did too.
    pub cases: u32,
    /// Mean of told minus true.
    pub mean_error: f64,
    /// Mean of the same without its sign.
    pub mean_absolute_error: f64,
    /// How many truths lay within two standard uncertainties of what was told.
    pub within_2u: u32,
}

/// What gathers case by case: counts only, whatever the documents' size.
#[derive(Clone, Debug, Default)]
pub struct ScoreTally {
    conditions: BTreeMap<String, u32>,
    cells: BTreeMap<Cell, u32>,
    beside_another: u32,
    probabilities: BTreeMap<Kind, Sums>,
    reliability: ReliabilityTally,
    reliability_of_costly: ReliabilityTally,
    severity: BTreeMap<CauseName, SeveritySums>,
    confusion: ConfusionTally,
}

/// Cases that are alike in all that is counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Cell {
    condition: u32,
    truth: NamedCause,
    impact: Impact,
    outcome: Outcome,
}

/// How many faults there were.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Kind {
    Healthy,
    OneFault,
    TwoFaults,
}

#[derive(Clone, Copy, Debug, Default)]
struct Sums {
    cases: u32,
    log: f64,
    brier: f64,
}

#[derive(Clone, Copy, Debug, Default)]
struct SeveritySums {
    cases: u32,
    error: f64,
    absolute_error: f64,
    within_2u: u32,
}

impl ScoreTally {
    /// Counts one case.
    pub fn add(&mut self, mark: &Mark) {
        let next = u32::try_from(self.conditions.len()).unwrap_or(u32::MAX);
        let condition = match self.conditions.get(&mark.condition) {
            Some(number) => *number,
            None => *self.conditions.entry(mark.condition.clone()).or_insert(next),
        };
        let (truth, impact, outcome) = (mark.row.truth, mark.impact, mark.outcome);
        *self.cells.entry(Cell { condition, truth, impact, outcome }).or_default() += 1;
        self.beside_another += u32::from(mark.is_beside_another && !truth.is_pair());
        let sums = self.probabilities.entry(Kind::of(truth)).or_default();
        sums.cases += 1;
        sums.log += mark.probabilities.log;
        sums.brier += mark.probabilities.brier;
        self.reliability.add(&mark.row);
        if Kind::of(truth) == Kind::Healthy || impact != Impact::Below5 {
            self.reliability_of_costly.add(&mark.row);
        }
        self.confusion.add(&mark.row);
        if let (Some(severity), Some(cause)) = (mark.severity, truth.alone()) {
            self.severity.entry(cause).or_default().add(severity);
        }
    }

    /// The score of what was counted.
    #[must_use]
    pub fn score(&self) -> Score {
        Score {
            cases: self.cells.values().sum(),
            conditions: u32::try_from(self.conditions.len()).unwrap_or(u32::MAX),
            headline: self.headline(),
            healthy: self.line("healthy", Outcome::HEALTHY, &|it| it.is_of(Kind::Healthy)),
            one_fault: self.line("all", Outcome::ONE_FAULT, &|it| it.is_of(Kind::OneFault)),
            by_cause: self.by_cause(),
            by_impact: self.by_impact(),
            beside_another: self.beside_another,
            two_faults: self.line("all", Outcome::TWO_FAULTS, &|it| it.is_of(Kind::TwoFaults)),
            by_pair: self.by_pair(),
            probabilities: self.probability_lines(),
            reliability: self.reliability.curve(),
            reliability_of_costly: self.reliability_of_costly.curve(),
            severity: self.severity.iter().map(|(cause, sums)| sums.line(*cause)).collect(),
            confusion: self.confusion.table(),
        }
    }

    /// Some outcomes as a share of the cases of some cells, over the operating conditions.
    fn share(&self, is_of: &dyn Fn(&Cell) -> bool, outcomes: &[Outcome]) -> Share {
        let mut clusters: BTreeMap<u32, (u32, u32)> = BTreeMap::new();
        for (cell, count) in self.cells.iter().filter(|(cell, _)| is_of(cell)) {
            let (its_count, its_of) = clusters.entry(cell.condition).or_default();
            *its_of += count;
            if outcomes.contains(&cell.outcome) {
                *its_count += count;
            }
        }
        clustered_share(clusters.values().copied())
    }

    fn headline(&self) -> Headline {
        let healthy = |it: &Cell| it.is_of(Kind::Healthy);
        let dear = |it: &Cell| it.is_of(Kind::OneFault) && it.impact.is_worth_finding();
        let two = |it: &Cell| it.is_of(Kind::TwoFaults);
        Headline {
            false_alarm: self.share(&healthy, &[Outcome::FalseAlarm]),
            correct: self.share(&dear, &[Outcome::Correct]),
            correct_or_group: self.share(&dear, &[Outcome::Correct, Outcome::WithinGroup]),
            missed: self.share(&dear, &[Outcome::Missed]),
            pair_first: self.share(&two, &[Outcome::Correct]),
            pair_among_three: self.share(&two, &[Outcome::Correct, Outcome::AmongThree]),
        }
    }

    fn line(&self, name: &str, outcomes: &[Outcome], is_of: &dyn Fn(&Cell) -> bool) -> Line {
        let share = |outcome: &Outcome| self.share(is_of, std::slice::from_ref(outcome));
        let outcomes: Vec<OutcomeShare> = outcomes
            .iter()
            .map(|outcome| OutcomeShare { outcome: *outcome, share: share(outcome) })
            .collect();
        let cases = outcomes.first().map_or(0, |it| it.share.of);
        Line { name: name.to_owned(), cases, outcomes }
    }

    fn by_cause(&self) -> Vec<Line> {
        let causes = CAUSES.iter().map(|it| NamedCause::one(it.name)).filter(|it| it.is_fault());
        let line = |truth: NamedCause| {
            self.line(&truth.word(), Outcome::ONE_FAULT, &|it| it.truth == truth)
        };
        causes.map(line).filter(|it| it.cases > 0).collect()
    }

    fn by_impact(&self) -> Vec<Line> {
        let line = |impact: Impact| {
            self.line(impact.label(), Outcome::ONE_FAULT, &|it| {
                it.is_of(Kind::OneFault) && it.impact == impact
            })
        };
        Impact::ALL.into_iter().map(line).filter(|it| it.cases > 0).collect()
    }

    fn by_pair(&self) -> Vec<Line> {
        let mut pairs: Vec<NamedCause> =
            self.cells.keys().map(|it| it.truth).filter(|it| it.is_pair()).collect();
        pairs.sort_unstable();
        pairs.dedup();
        let line = |truth: NamedCause| {
            self.line(&truth.word(), Outcome::TWO_FAULTS, &|it| it.truth == truth)
        };
        pairs.into_iter().map(line).collect()
    }

    fn probability_lines(&self) -> Vec<ProbabilityLine> {
        let mut all = Sums::default();
        for sums in self.probabilities.values() {
            all.cases += sums.cases;
            all.log += sums.log;
            all.brier += sums.brier;
        }
        let each = self.probabilities.iter().map(|(kind, sums)| (kind.label(), *sums));
        let lines = each.chain([("all", all)]).filter(|(_, sums)| sums.cases > 0);
        lines.map(|(name, sums)| sums.line(name)).collect()
    }
}

impl Cell {
    fn is_of(self, kind: Kind) -> bool {
        Kind::of(self.truth) == kind
    }
}

impl Kind {
    fn of(truth: NamedCause) -> Self {
        match (truth.is_fault(), truth.is_pair()) {
            (false, _) => Self::Healthy,
            (true, false) => Self::OneFault,
            (true, true) => Self::TwoFaults,
        }
    }

    const fn label(self) -> &'static str {
        match self {
            Self::Healthy => "healthy",
            Self::OneFault => "one fault",
            Self::TwoFaults => "two faults",
        }
    }
}

impl Sums {
    fn line(self, name: &'static str) -> ProbabilityLine {
        let cases = f64::from(self.cases);
        let (log, brier) = (self.log / cases, self.brier / cases);
        ProbabilityLine { name, cases: self.cases, log, brier }
    }
}

impl SeveritySums {
    fn add(&mut self, mark: SeverityMark) {
        let error = mark.told - mark.truth;
        self.cases += 1;
        self.error += error;
        self.absolute_error += error.abs();
        self.within_2u += u32::from(error.abs() <= 2.0 * mark.u);
    }

    fn line(self, cause: CauseName) -> SeverityLine {
        let cases = f64::from(self.cases);
        SeverityLine {
            cause: cause.key(),
            unit: cause.info().unit,
            cases: self.cases,
            mean_error: self.error / cases,
            mean_absolute_error: self.absolute_error / cases,
            within_2u: self.within_2u,
        }
    }
}
