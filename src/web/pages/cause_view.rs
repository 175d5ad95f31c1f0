//! The causes of a visit as pages show them: the first with its evidence, the others in a row
//! each, and whether the repair did away with it.

use uuid::Uuid;

use super::likely::{LikelyView, percent};
use super::verdicts::sentence;
use crate::engine::assessment::{Assessment, Cause, Repair, StageAssessment};
use crate::engine::causes::compared::{self, Distance};
use crate::engine::causes::{CauseName, words};
use crate::engine::likely::Likelihood;
use crate::web::{display, marks};

/// Causes of a visit, ready to be shown by `parts/causes.html`.
#[derive(Clone, Debug, Default)]
pub(in crate::web) struct CausesView {
    pub(in crate::web) stages: Vec<StageCauses>,
    pub(in crate::web) repair: Option<RepairView>,
    /// Whether something was read again, but not what would tell whether the fault is gone.
    pub(in crate::web) is_repair_unread: bool,
}

/// Causes of one stage.
#[derive(Clone, Debug)]
pub(in crate::web) struct StageCauses {
    pub(in crate::web) stage: &'static str,
    /// Why no cause is named; empty where one is.
    pub(in crate::web) abstained: String,
    pub(in crate::web) first: Option<LikelyView>,
    pub(in crate::web) further: Vec<LikelyView>,
    /// What can't be told apart at the gauges.
    pub(in crate::web) alike: Vec<&'static str>,
    /// What the readings were compared with.
    pub(in crate::web) held_against: String,
    /// Why earlier visits were not.
    pub(in crate::web) left_out: Vec<String>,
}

/// What the work did about the likeliest cause.
#[derive(Clone, Debug)]
pub(in crate::web) struct RepairView {
    pub(in crate::web) class: &'static str,
    /// Word and shape.
    pub(in crate::web) mark: String,
    /// The word alone.
    outcome: &'static str,
    /// Which cause, and how much of it is gone.
    pub(in crate::web) cause: String,
    pub(in crate::web) gone: String,
    pub(in crate::web) distances: Vec<Distance>,
}

/// How much is told.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::web) enum Length {
    /// With evidence.
    Whole,
    /// What, how bad, and what would settle it.
    Short,
}

/// The causes of both stages. With the visit of an open sheet the next reading is a press away.
pub(in crate::web) fn causes(assessment: &Assessment, open: Option<Uuid>) -> CausesView {
    let (found, left) = (&assessment.as_found, &assessment.as_left);
    let mut stages = vec![of_found(found, Length::Whole, open)];
    stages.extend(of_left(left));
    let names_a_fault = found.causes.first().is_some_and(|it| is_fault(&it.cause));
    CausesView {
        stages,
        is_repair_unread: names_a_fault && !left.is_empty() && assessment.repair.is_none(),
        repair: assessment.repair.as_ref().map(repair),
    }
}

/// The causes so far on the sheet's own block, in short.
pub(in crate::web) fn causes_found(assessment: &Assessment, open: Uuid) -> CausesView {
    let stages = vec![of_found(&assessment.as_found, Length::Short, Some(open))];
    CausesView { stages, ..CausesView::default() }
}

/// The same of what was read again.
pub(in crate::web) fn causes_left(assessment: &Assessment) -> CausesView {
    let CausesView { repair, is_repair_unread, .. } = causes(assessment, None);
    let stages = of_left(&assessment.as_left).into_iter().collect();
    CausesView { stages, repair, is_repair_unread }
}

impl CausesView {
    /// Whether there is nothing to show.
    pub(in crate::web) fn is_empty(&self) -> bool {
        self.stages.is_empty() && self.repair.is_none() && !self.is_repair_unread
    }

    /// Whether any cause is named.
    pub(in crate::web) fn names_any(&self) -> bool {
        self.stages.iter().any(|it| it.first.is_some())
    }

    /// The last first cause in one line, or that none is named, and what the work did.
    pub(in crate::web) fn in_a_line(&self) -> String {
        let first = self.stages.iter().rev().find_map(|it| it.first.as_ref());
        let named = first.map_or_else(
            || "no cause is named yet".to_owned(),
            |it| format!("{}, {}", it.name, it.percent),
        );
        match &self.repair {
            Some(repair) => format!("{named}. Did it work? {}", repair.outcome),
            None => named,
        }
    }
}

/// What stands about a judgement of an older program.
const NOT_WEIGHED: &str = "This visit was judged before causes were weighed.";

fn of_found(found: &StageAssessment, length: Length, open: Option<Uuid>) -> StageCauses {
    let on_sheet = |it: LikelyView| match open {
        Some(visit) => it.on_sheet(visit),
        None => it,
    };
    let further = found.causes.iter().skip(1).filter(|it| words::TOLD_FROM <= it.probability);
    let is_weighed = found.abstained.is_some() || !found.causes.is_empty();
    let unweighed = || if is_weighed { String::new() } else { NOT_WEIGHED.to_owned() };
    StageCauses {
        stage: "As found",
        abstained: found.abstained.as_deref().map_or_else(unweighed, sentence),
        first: found.causes.first().map(|it| on_sheet(view(found, it, length))),
        further: further.map(brief).collect(),
        alike: words::alike(found),
        held_against: compared::held_against(found),
        left_out: if length == Length::Whole { compared::left_out(found) } else { Vec::new() },
    }
}

/// As left in short, and only where enough was read again to say anything.
fn of_left(left: &StageAssessment) -> Option<StageCauses> {
    if left.causes.is_empty() && left.expected.is_empty() {
        return None;
    }
    let first = left.causes.first().map(|it| {
        let mut view = view(left, it, Length::Short);
        view.next = None;
        view
    });
    Some(StageCauses {
        stage: "As left",
        abstained: left.abstained.as_deref().map(sentence).unwrap_or_default(),
        first,
        further: Vec::new(),
        alike: Vec::new(),
        held_against: String::new(),
        left_out: Vec::new(),
    })
}

/// Whether a word names a fault.
pub(in crate::web) fn is_fault(cause: &str) -> bool {
    cause != CauseName::NoFault.key()
}

/// One cause, with its evidence where it is told in whole.
pub(in crate::web) fn view(stage: &StageAssessment, cause: &Cause, length: Length) -> LikelyView {
    let beside = |keys: &[String]| -> Vec<String> {
        if length == Length::Short {
            return Vec::new();
        }
        keys.iter().map(|key| compared::beside_healthy(stage, key)).collect()
    };
    let evidence = (beside(&cause.evidence_for), beside(&cause.evidence_against));
    let name = words::label(&cause.cause);
    let mut view = LikelyView::new(name, cause.probability, evidence, cause.tell_apart.as_deref());
    view.class = class(cause);
    if let Some(severity) = &cause.severity {
        view.severity = sentence(&words::severity(&cause.cause, severity));
    }
    view
}

/// One cause without more than how likely it is.
fn brief(cause: &Cause) -> LikelyView {
    let evidence = (Vec::new(), Vec::new());
    let mut view = LikelyView::new(words::label(&cause.cause), cause.probability, evidence, None);
    view.class = class(cause);
    view
}

/// The likelier a fault, the louder its ink; that nothing is wrong stays quiet.
fn class(cause: &Cause) -> &'static str {
    if is_fault(&cause.cause) {
        marks::chance_class(Likelihood::of(cause.probability))
    } else {
        "within"
    }
}

fn repair(repair: &Repair) -> RepairView {
    let with_minus = |it: &str| it.replace('-', "−");
    let distances = compared::distances(repair).into_iter().map(|it| Distance {
        found: with_minus(&it.found),
        left: with_minus(&it.left),
        ..it
    });
    RepairView {
        class: marks::repair_class(repair.outcome),
        mark: marks::repair_mark(repair.outcome),
        outcome: compared::outcome_words(repair.outcome),
        cause: words::label(&repair.cause),
        gone: compared::gone(repair),
        distances: distances.collect(),
    }
}

/// The likeliest cause of a visit as found, for a column of visits.
#[derive(Clone, Debug)]
pub(in crate::web) struct Likeliest {
    pub(in crate::web) class: &'static str,
    pub(in crate::web) shape: &'static str,
    /// The word that goes with the shape.
    pub(in crate::web) word: String,
    pub(in crate::web) what: String,
    pub(in crate::web) percent: String,
}

/// The likeliest cause, if one is named.
pub(in crate::web) fn likeliest(assessment: &Assessment) -> Option<Likeliest> {
    let cause = assessment.as_found.causes.first()?;
    let likelihood = Likelihood::of(cause.probability);
    Some(Likeliest {
        class: class(cause),
        shape: marks::chance_shape(likelihood),
        word: display::capitalised(likelihood.words()),
        what: words::short_label(&cause.cause),
        percent: percent(cause.probability),
    })
}
