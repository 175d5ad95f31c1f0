//! From a stage to its causes, or to a plain word on why none is named.

use std::cell::OnceCell;

use super::compare::{Comparison, Depth, Explanation, Healthy};
use super::evidence::{Evidence, evidence, tell_apart};
use super::history::History;
use super::observed::{Observed, observe, what_spoils};
use super::repair::{self, Read};
use super::residuals::{ALL, Residual};
use super::signatures::Shift;
use super::words;
use super::{CauseName, Priors};
use crate::engine::assessment::{Cause, Expected, Repair, Severity};
use crate::engine::case::SystemKind;
use crate::engine::measures;
use crate::engine::needs::in_mid_sentence;
use crate::engine::points::PointKey;
use crate::engine::stage::Stage;

/// Residuals that must be usable before any cause is named: judgement, no source. Of two, nearly
/// everything could be explained by several causes alike.
const RESIDUALS_LEAST: usize = 3;
/// A fault must be at least this likely to be named, and so much likelier than that nothing is wrong:
/// it sends somebody to look, which costs less than to send nobody. Judgement, no source; 0.4 was
/// chosen among 0.4, 0.5 and 0.6 with the simulated set in view.
const NAMED_FROM: f64 = 0.40;
const BEATS_NO_FAULT: f64 = 1.1;
/// That nothing is wrong must be likelier than all faults together.
const CLEARED_FROM: f64 = 0.5;
/// Pairs below this are left out of the list, and their share goes to the rest: a dozen pairs of
/// next to nothing would hide what matters.
const PAIRS_LISTED_FROM: f64 = 0.01;
/// Evidence is worked out for explanations from this probability on.
const EVIDENCE_FROM: f64 = 0.05;
/// Standard normal value that one of ten thousand exceeds.
const ONE_OF_TEN_THOUSAND: f64 = 3.72;

/// What is said of one stage's causes.
#[derive(Default)]
pub(in crate::engine) struct Explained {
    pub(in crate::engine) abstained: Option<String>,
    pub(in crate::engine) causes: Vec<Cause>,
    pub(in crate::engine) expected: Vec<Expected>,
    observed: Option<Observed>,
    likeliest: Option<Likeliest>,
}

/// The likeliest explanation where it is a fault: what a repair is held against.
struct Likeliest {
    word: String,
    shift: Shift,
}

/// Why no cause is named where nobody asked for one.
const LEFT_OUT: &str = "causes were left out, as asked";

impl Explained {
    /// Of a stage whose causes nobody asked for.
    pub(in crate::engine) fn left_out() -> Self {
        Self { abstained: Some(LEFT_OUT.to_owned()), ..Self::default() }
    }
}

/// Weighs the causes of a stage whose measures were worked out.
pub(in crate::engine) fn explain(stage: &Stage, history: &History, depth: Depth) -> Explained {
    let abstained = |why: String| Explained {
        abstained: Some(format!("Can't tell: {why}")),
        ..Explained::default()
    };
    let facts = stage.facts();
    if facts.kind == SystemKind::Ductless {
        return abstained(
            "a ductless unit meters its refrigerant outdoors and runs at any speed; nobody \
             publishes what a healthy one would show"
                .to_owned(),
        );
    }
    let observed = observe(stage);
    if facts.compressor_stages.is_some_and(|it| 1 < it) && facts.running_stage.is_none() {
        return abstained(UNKNOWN_STAGE.to_owned());
    }
    let has_gauges =
        [Residual::Superheat, Residual::Subcooling].iter().any(|it| observed.uses(*it));
    if observed.used.len() < RESIDUALS_LEAST || !has_gauges {
        return abstained(too_little(stage, &observed));
    }
    let healthy = history.healthy(&observed);
    let shares =
        stage.case.priors.as_ref().map_or_else(|| Priors::default().shares(), Priors::shares);
    let mut comparison = Comparison::of(&observed, &healthy, &shares, depth);
    comparison.explanations.sort_by(|one, other| other.probability.total_cmp(&one.probability));
    let weighed = Weighing::new(stage, &observed, &healthy, &comparison);
    let expected = expected(&observed, &healthy);
    if let Some(why) = weighed.undecided() {
        return Explained { expected, ..abstained(why) };
    }
    let causes = weighed.listed();
    let likeliest = weighed.likeliest();
    Explained { abstained: None, causes, expected, observed: Some(observed), likeliest }
}

/// A comparison with all that its answer leans on.
struct Weighing<'a> {
    stage: &'a Stage<'a>,
    observed: &'a Observed,
    healthy: &'a Healthy,
    comparison: &'a Comparison,
    /// What each explanation does to the residuals, once it was asked for: of most it never is.
    shifts: Vec<OnceCell<Shift>>,
}

const UNKNOWN_STAGE: &str = "the compressor has more than one stage, and nobody noted at which it \
    ran; in a low one a healthy unit looks like a weak one. Note the stage, or bring it to full \
    stage and read again";

const FITS_NOTHING: &str = "the readings fit neither a healthy system nor any cause; look at the \
    doubts, check gauges, clamps and the refrigerant on the plate, and read them again";

/// One reading that fits nothing else, and without which nothing is wrong.
fn stands_alone(place: usize) -> String {
    let info = &ALL[place];
    let what = measures::measure(info.measure).map_or(info.reading.point().label, |it| it.label);
    format!(
        "nothing would be wrong but for one measure that stands alone ({}); read {} again, with \
         another instrument or at another place",
        in_mid_sentence(what),
        in_mid_sentence(info.reading.point().label)
    )
}

/// Whether readings lie further from their likeliest explanation than one of ten thousand would, if
/// they were normal.
///
/// - reference: chi-squared quantile by Wilson and Hilferty 1931, good to a percent from three
///   residuals on; a library's quantile searches for it
#[expect(clippy::cast_precision_loss, reason = "a count of a dozen")]
fn is_far(squared: f64, count: usize) -> bool {
    let part = 2.0 / (9.0 * count as f64);
    squared > count as f64 * (1.0 - part + ONE_OF_TEN_THOUSAND * part.sqrt()).powi(3)
}

/// Why too little can be used, and what is needed.
fn too_little(stage: &Stage, observed: &Observed) -> String {
    let open: Vec<Residual> =
        ALL.iter().map(|it| it.residual).filter(|it| !observed.uses(*it)).collect();
    if let Some(why) = open.iter().find_map(|it| what_spoils(stage, *it)) {
        return format!("too few readings can be used. {why}");
    }
    let needed = [
        PointKey::OutdoorDbF,
        PointKey::ReturnDbF,
        PointKey::SuctionPressurePsig,
        PointKey::SuctionLineF,
        PointKey::LiquidPressurePsig,
        PointKey::LiquidLineF,
    ];
    let missing: Vec<String> = needed
        .iter()
        .filter(|it| !stage.has(**it))
        .map(|it| in_mid_sentence(it.point().label))
        .collect();
    let list = missing.join(", ");
    format!("too few of the readings that causes are told by were taken; needed: {list}")
}

impl<'a> Weighing<'a> {
    fn new(
        stage: &'a Stage<'a>,
        observed: &'a Observed,
        healthy: &'a Healthy,
        comparison: &'a Comparison,
    ) -> Self {
        let shifts = vec![OnceCell::new(); comparison.explanations.len()];
        Self { stage, observed, healthy, comparison, shifts }
    }

    fn all(&self) -> &[Explanation] {
        &self.comparison.explanations
    }

    /// Probability and shift of an explanation.
    fn known(&self, index: usize) -> Option<(f64, &Shift)> {
        let explanation = self.all().get(index)?;
        let shift = self.shifts.get(index)?.get_or_init(|| self.comparison.shift(explanation));
        Some((explanation.probability, shift))
    }

    /// The likeliest explanation that says something else than this one.
    fn rival(&self, index: usize) -> Option<usize> {
        let explanation = self.all().get(index)?;
        self.all().iter().position(|other| !explanation.shares_a_cause_with(other))
    }

    /// The reading that would tell an explanation from its rival.
    fn tell_apart(&self, index: usize) -> Option<PointKey> {
        let both = (self.known(index)?, self.known(self.rival(index)?)?);
        tell_apart(self.stage, self.observed, self.healthy, both)
    }

    /// The word of the likeliest explanation and what it does.
    fn likeliest(&self) -> Option<Likeliest> {
        let first = self.all().first().filter(|it| it.first.is_some())?;
        Some(Likeliest { word: word(first), shift: self.shift_of_this_system(self.known(0)?.1) })
    }

    /// What a cause did to this very system: the table's shift, moved by what was read of each
    /// residual as far as the table is less sure than the reading.
    ///
    /// - reference: linear update of a normal mean, each residual for itself
    fn shift_of_this_system(&self, tabled: &Shift) -> Shift {
        let mut shift = *tabled;
        for place in &self.observed.used {
            let spread = self.healthy.covariance[*place][*place];
            let noise = self.observed.measured[*place][*place] + spread;
            let gain = tabled.variance[*place] / (tabled.variance[*place] + noise);
            let centre = self.healthy.centre[*place] + tabled.mean[*place];
            shift.mean[*place] += gain * (self.observed.value[*place] - centre);
            shift.variance[*place] *= 1.0 - gain;
        }
        shift
    }

    /// Why nothing is named although there are readings enough, if nothing is.
    fn undecided(&self) -> Option<String> {
        let (first, second) = (self.all().first()?, self.all().get(1)?);
        if is_far(first.squared, self.observed.used.len()) {
            return Some(FITS_NOTHING.to_owned());
        }
        if first.first.is_none() && CLEARED_FROM <= first.probability {
            return self.comparison.doubtful.map(stands_alone);
        }
        let no_fault = self.all().iter().find(|it| it.first.is_none());
        let least = no_fault.map_or(0.0, |it| BEATS_NO_FAULT * it.probability).max(NAMED_FROM);
        if first.first.is_some() && least <= first.probability {
            return None;
        }
        let percent = |it: &Explanation| 100.0 * it.probability;
        let next = self.tell_apart(0).map_or_else(
            || "no further reading would settle it".to_owned(),
            |it| format!("{} would tell most", in_mid_sentence(it.point().label)),
        );
        Some(format!(
            "the readings fit several causes alike: {} ({:.0} %), {} ({:.0} %); {next}",
            in_mid_sentence(&label(first)),
            percent(first),
            in_mid_sentence(&label(second)),
            percent(second),
        ))
    }

    fn listed(&self) -> Vec<Cause> {
        let is_listed =
            |it: &Explanation| it.second.is_none() || PAIRS_LISTED_FROM <= it.probability;
        let listed = self.all().iter().enumerate().filter(|(_, it)| is_listed(it));
        let sum: f64 = listed.clone().map(|(_, it)| it.probability).sum();
        listed.map(|(index, it)| self.cause(index, it, sum)).collect()
    }

    fn cause(&self, index: usize, explanation: &Explanation, sum: f64) -> Cause {
        let is_told = index == 0 || EVIDENCE_FROM <= explanation.probability;
        let rival = self.rival(index).filter(|_| is_told).and_then(|it| self.known(it));
        let evidence = match (self.known_if(is_told, index), rival) {
            (Some(known), Some(rival)) => evidence(self.observed, self.healthy, known.1, rival.1),
            _ => Evidence::default(),
        };
        let next = if is_told { self.tell_apart(index) } else { None };
        Cause {
            cause: word(explanation),
            probability: explanation.probability / sum,
            severity: severity(explanation),
            evidence_for: evidence.speaks_for,
            evidence_against: evidence.speaks_against,
            tell_apart: next.map(|it| it.key().to_owned()),
        }
    }

    fn known_if(&self, is_told: bool, index: usize) -> Option<(f64, &Shift)> {
        if is_told { self.known(index) } else { None }
    }
}

/// An explanation in plain words.
fn label(explanation: &Explanation) -> String {
    words::label(&word(explanation))
}

/// An explanation's word in documents.
fn word(explanation: &Explanation) -> String {
    match (explanation.first, explanation.second) {
        (Some(first), Some(second)) => format!("{}+{}", first.key(), second.key()),
        (first, _) => first.unwrap_or(CauseName::NoFault).key().to_owned(),
    }
}

/// How bad a single cause is: what is short of what there should be is negative.
fn severity(explanation: &Explanation) -> Option<Severity> {
    let (value, variance) = explanation.severity?;
    let cause = explanation.first?;
    let sign = if cause.is_a_lack() { -1.0 } else { 1.0 };
    Some(Severity { value: sign * value, u: variance.sqrt(), unit: cause.info().unit.to_owned() })
}

/// What a healthy system would show, in the measures' own units.
fn expected(observed: &Observed, healthy: &Healthy) -> Vec<Expected> {
    let of = |place: &usize| {
        let info = &ALL[*place];
        let kind = observed.setting.expected[*place];
        let centre = info.back(kind, healthy.centre[*place]);
        Expected {
            measure: info.measure.into(),
            value: centre,
            u: info.in_own_unit(healthy.covariance[*place][*place].sqrt(), kind),
        }
    };
    observed.used.iter().map(of).collect()
}

/// Whether the work did away with the likeliest cause as found.
pub(in crate::engine) fn did_it_work(
    (found, before): (&Stage, &Explained),
    left: &Stage,
) -> Option<Repair> {
    let likeliest = before.likeliest.as_ref()?;
    let found = Read { stage: found, observed: before.observed.as_ref()? };
    let after = observe(left);
    let left = Read { stage: left, observed: &after };
    repair::did_it_work(&likeliest.word, &likeliest.shift, (&found, &left))
}
