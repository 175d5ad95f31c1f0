//! From a value and its uncertainty to one of the five outcomes.

use super::airflow;
use super::assessment::{Outcome, Side, Verdict};
use super::limits::LimitName;
use super::meanings;
use super::measures::MeasureInfo;
use super::needs::Needs;
use super::normal::probability_between;
use super::points::PointKey;
use super::reason::{self, Told};
use super::rules::{self, Band, Limits, Rule, Shown};
use super::stage::Stage;
use super::uncertainty::Estimate;
use super::validity::{self, Procedure};

/// What to do at once. The level is where published action lists send people out, 70 to 100 ppm.
pub(super) const CARBON_MONOXIDE_CAUTION: &str =
    " Air the room, find the source; from 70 ppm get everyone out.";

/// A value with everything that it is held against.
struct Judged {
    value: Estimate,
    /// Standard uncertainty against the limits.
    u_margin: f64,
    /// Whether the target comes from readings, with errors of its own.
    has_own_target: bool,
    target: Option<f64>,
    low: Option<f64>,
    high: Option<f64>,
    shown: Option<Shown>,
}

/// The verdict of one rule, or nothing where the system has no such thing.
pub(super) fn judge(stage: &Stage, (place, rule): (usize, &'static Rule)) -> Option<Verdict> {
    if !(rule.applies)(stage) {
        return None;
    }
    let limits = (rule.limits)(stage);
    let mut verdict = blank(rule.measure);
    if let Err((outcome, reason)) = weigh(stage, (place, rule), &limits, &mut verdict) {
        verdict.outcome = outcome;
        verdict.reason = reason;
    }
    verdict.source = source_of(limits);
    Some(verdict)
}

/// Fills the verdict in, or says what keeps the value from being judged.
fn weigh(
    stage: &Stage,
    (place, rule): (usize, &'static Rule),
    limits: &Limits,
    verdict: &mut Verdict,
) -> Result<(), (Outcome, String)> {
    let procedure = (rule.procedure)(stage);
    let valid = |reason: Option<String>| match reason {
        Some(reason) => Err((Outcome::NotValid, reason)),
        None => Ok(()),
    };
    valid(validity::too_cold(stage, procedure))?;
    valid(validity::other_refrigerant(stage, procedure))?;
    let needs = needs_of(stage, place, limits, procedure);
    if !needs.missing.is_empty() {
        return Err((Outcome::NotTaken, reason::missing_sentence(&needs.missing)));
    }
    valid(validity::worthless_reading(stage, &needs))?;
    let info = rules::LISTED.get(place).and_then(|it| it.info);
    let judged = held_against(stage, place, limits).and_then(finite).map_err(|why| {
        let label = info.map_or(rule.measure, |it| it.label);
        (Outcome::NotValid, format!("{label}: {why}."))
    })?;
    fill(verdict, &judged);
    valid(validity::unmet_condition(stage, procedure, &needs))?;
    valid(target_too_low(stage, procedure, &judged))?;
    valid(airflow_first(stage, procedure))?;
    decide(stage, verdict, (&judged, rule.measure, info), procedure);
    Ok(())
}

fn blank(measure: &'static str) -> Verdict {
    Verdict {
        measure: measure.into(),
        outcome: Outcome::NotTaken,
        value: None,
        u: None,
        target: None,
        u_margin: None,
        low: None,
        high: None,
        p_within: None,
        side: None,
        source: String::new(),
        reason: String::new(),
    }
}

fn source_of(limits: Limits) -> String {
    match limits {
        Limits::Fixed(band) => band.source,
        Limits::Around { source, .. } => source,
        Limits::Unknown(_) => "the nameplate, where it is written down".to_owned(),
    }
}

/// Everything that the verdict leans on: the measure, its target, and the weather.
fn needs_of(stage: &Stage, place: usize, limits: &Limits, procedure: Procedure) -> Needs {
    let of = |place: usize| stage.estimates.needs(place).cloned().unwrap_or_default();
    let mut needs = of(place);
    match limits {
        Limits::Around { target, .. } => needs = needs.and(of(*target)),
        Limits::Unknown(fact) if needs.missing.is_empty() => needs = needs.fact(false, fact),
        Limits::Unknown(_) | Limits::Fixed(_) => {}
    }
    if procedure.needs_warmth() && !stage.has(PointKey::OutdoorDbF) && needs.missing.is_empty() {
        needs = needs.fact(false, "outdoor air dry bulb, which says whether it is valid");
    }
    needs
}

fn held_against(stage: &Stage, place: usize, limits: &Limits) -> Result<Judged, &'static str> {
    let unanswered =
        |place: usize| rules::LISTED.get(place).map_or("", |it| it.definition.unanswered);
    let answer = |place: usize| stage.estimates.at(place).ok_or_else(|| unanswered(place));
    let value = answer(place)?;
    match limits {
        Limits::Fixed(band) => {
            let Band { target, low, high, shown, .. } = *band;
            Ok(Judged { value, u_margin: value.u, has_own_target: false, target, low, high, shown })
        }
        Limits::Around { target, tolerance, .. } => {
            let Estimate { value: centre, .. } = answer(*target)?;
            Ok(Judged {
                value,
                u_margin: stage.estimates.u_of_difference(place, *target),
                has_own_target: true,
                target: Some(centre),
                low: Some(centre - tolerance),
                high: Some(centre + tolerance),
                shown: None,
            })
        }
        Limits::Unknown(_) => Err("its limit is not known"),
    }
}

/// A fact that a program handed over unread may be no number at all.
fn finite(judged: Judged) -> Result<Judged, &'static str> {
    let numbers = [judged.target, judged.low, judged.high];
    let is_finite = numbers.iter().flatten().all(|it| it.is_finite());
    if is_finite { Ok(judged) } else { Err("a fact of the nameplate is no possible number") }
}

fn fill(verdict: &mut Verdict, judged: &Judged) {
    verdict.value = Some(judged.value.value);
    verdict.u = Some(judged.value.u);
    verdict.u_margin = judged.has_own_target.then_some(judged.u_margin);
    verdict.target = judged.target;
    verdict.low = judged.low;
    verdict.high = judged.high;
}

/// A maker's chart may go where nothing can be charged any more.
fn target_too_low(stage: &Stage, procedure: Procedure, judged: &Judged) -> Option<String> {
    if procedure != Procedure::ChargeBySuperheat {
        return None;
    }
    let lowest = stage.book.value(LimitName::TargetSuperheatLowest);
    let target = judged.target?;
    (target < lowest).then(|| {
        format!(
            "Target superheat {target:.1} °F is below {lowest:.0}: warm the house or return \
             another day{}.",
            procedure.alternative()
        )
    })
}

/// A charge by superheat means something only at an acceptable airflow: of the airflow itself, or
/// of the split where no airflow is known apart from the coil's own drop, which dirt raises too.
/// Reference: published charge verification procedure, appendix RA3.2.2.7, which asks for either
/// before the charge.
fn airflow_first(stage: &Stage, procedure: Procedure) -> Option<String> {
    if procedure != Procedure::ChargeBySuperheat {
        return None;
    }
    let judged = |measure: &str| {
        let verdict = judge(stage, rules::rule(measure)?)?;
        let is_judged = !matches!(verdict.outcome, Outcome::NotTaken | Outcome::NotValid);
        is_judged.then_some(verdict)
    };
    let airflow =
        if airflow::is_by_coil_drop(stage) { None } else { judged("airflow_cfm_per_ton") };
    if let Some(Verdict { value: Some(flow), low: Some(low), .. }) = airflow {
        return (flow < low).then(|| {
            format!(
                "Airflow is {flow:.0} cfm per ton, {low:.0} at least: put that right first, then \
                 read it again."
            )
        });
    }
    let Some(Verdict { value: Some(split), high: Some(high), .. }) = judged("temperature_split_f")
    else {
        let why = "The airflow could not be checked; read the airflow or the split first.";
        return Some(why.to_owned());
    };
    (high < split).then(|| {
        format!(
            "The split is {split:.1} °F, {high:.1} at most: put the airflow right first, then read \
             it again."
        )
    })
}

/// The decision rule of JCGM 106:2012, 8.3, with the book's two probabilities.
fn decide(
    stage: &Stage,
    verdict: &mut Verdict,
    (judged, measure, info): (&Judged, &'static str, Option<&'static MeasureInfo>),
    procedure: Procedure,
) {
    let Estimate { value, .. } = judged.value;
    let enough = stage.book.value(LimitName::WithinProbability);
    let (low, high) = (judged.low, judged.high);
    let within = probability_between(value, judged.u_margin, low, high);
    verdict.p_within = Some(within);
    verdict.outcome = if enough <= within {
        Outcome::Within
    } else if within <= 1.0 - enough {
        Outcome::Outside
    } else {
        Outcome::TooClose
    };
    if verdict.outcome != Outcome::Within {
        verdict.side = nearer_side(value, low, high);
    }
    // Whether even the middle of the band would be too close matters only where the value is.
    let is_too_coarse = match (verdict.outcome, low, high) {
        (Outcome::TooClose, Some(least), Some(most)) => {
            let middle = f64::midpoint(least, most);
            probability_between(middle, judged.u_margin, low, high) < enough
        }
        _ => false,
    };
    verdict.reason = reason::sentence(&Told {
        measure,
        info,
        outcome: verdict.outcome,
        side: verdict.side,
        value,
        u: judged.u_margin,
        low,
        high,
        target: judged.target,
        shown: judged.shown,
        is_too_coarse,
    });
    if let (Outcome::Outside, Some(side)) = (verdict.outcome, verdict.side) {
        verdict.reason.push_str(meanings::meaning(stage, measure, side));
    }
    if measure == "ambient_co_ppm" && verdict.outcome != Outcome::Within {
        verdict.reason.push_str(CARBON_MONOXIDE_CAUTION);
    }
    verdict.reason.push_str(&validity::unnoted(stage, procedure));
}

fn nearer_side(value: f64, low: Option<f64>, high: Option<f64>) -> Option<Side> {
    match (low, high) {
        (Some(low), Some(high)) if value < f64::midpoint(low, high) => Some(Side::Low),
        (_, Some(_)) => Some(Side::High),
        (Some(_), None) => Some(Side::Low),
        (None, None) => None,
    }
}
