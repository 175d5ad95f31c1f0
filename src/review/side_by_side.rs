//! This visit's sheet beside the last one of the same system: every field by block, and what moved.

use std::collections::BTreeMap;

use crate::domain::form;
use crate::domain::last_visit::{LastField, shown_at};
use crate::domain::sheet::{self, BLOCKS, Block, Field};
use crate::domain::visit::Stage;
use crate::engine::assessment::{Assessment, Outcome, Verdict};
use crate::engine::measures;
use crate::engine::points::{self, PointKey};

/// What stands in each field of a sheet, by its name.
pub type Fields = BTreeMap<String, LastField>;

/// One thing of the sheet, as it was last time, as it was found, and as it was left.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// The field as found.
    pub field: Field,
    /// Last time, as found.
    pub last: Option<LastField>,
    /// Last time, as left, where it was read again.
    pub last_left: Option<LastField>,
    /// This time, as found.
    pub found: Option<LastField>,
    /// This time, as left.
    pub left: Option<LastField>,
    /// What moved much, in words.
    pub moved: Vec<String>,
}

impl Line {
    /// Whether anything stands there, this time or last time.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        [&self.last, &self.last_left, &self.found, &self.left].into_iter().all(Option::is_none)
    }
}

/// A difference of a steady reading counts from so many standard uncertainties of it (judgement,
/// no source).
const SURE: f64 = 3.0;
/// And from that share of what it was (judgement, no source).
const SHARE: f64 = 0.10;

/// Both sheets, every field by block: what was read again as left stands beside as found. Without
/// a last visit nothing has moved.
#[must_use]
pub fn side_by_side(
    (last, last_judged): (&Fields, Option<&Assessment>),
    (now, judged): (&Fields, Option<&Assessment>),
) -> Vec<(&'static Block, Vec<Line>)> {
    let mut seen: Vec<String> = Vec::new();
    let mut blocks = Vec::new();
    for block in BLOCKS {
        let mut lines = Vec::new();
        for field in block.fields {
            let key = field.key();
            if seen.contains(&key) {
                continue;
            }
            let mut line = line(*field, &key, last, now);
            if !last.is_empty() {
                line.moved = moved(&line);
            }
            lines.push(line);
            seen.push(key);
        }
        blocks.push((block, lines));
    }
    if let (Some(last_judged), Some(judged)) = (last_judged, judged) {
        let measured = measures_moved(last_judged, judged, now);
        // What a steady reading says of itself its measure need not say again.
        let lines = blocks.iter_mut().flat_map(|it| &mut it.1);
        for line in lines.filter(|it| !it.moved.iter().any(|words| words.ends_with('%'))) {
            let name = format!("{}.{}", Stage::AsFound.key(), line.field.key());
            line.moved.extend(measured.get(&name).into_iter().flatten().cloned());
        }
    }
    blocks
}

fn line(field: Field, key: &str, last: &Fields, now: &Fields) -> Line {
    let of = |fields: &Fields, stage: Stage| fields.get(&format!("{}.{key}", stage.key())).cloned();
    Line {
        field,
        last: of(last, Stage::AsFound),
        last_left: of(last, Stage::AsLeft),
        found: of(now, Stage::AsFound),
        left: of(now, Stage::AsLeft),
        moved: Vec::new(),
    }
}

/// What moved in a field itself, from how it was left behind to how it was found.
fn moved(line: &Line) -> Vec<String> {
    let was = line.last_left.as_ref().or(line.last.as_ref());
    let is = line.found.as_ref().or(line.left.as_ref());
    match (line.field, was, is) {
        (Field::Reading(..) | Field::Observation(..), Some(_), None) => {
            vec!["not looked at this time".to_owned()]
        }
        (Field::Observation(..), Some(was), Some(is)) => {
            observation_moved(&was.text, &is.text).into_iter().map(ToOwned::to_owned).collect()
        }
        (Field::Reading(point, _), Some(was), Some(is)) => {
            let outcome = outcome_moved(was.outcome, is.outcome).map(ToOwned::to_owned);
            outcome.into_iter().chain(reading_moved(point, &was.text, &is.text)).collect()
        }
        _ => Vec::new(),
    }
}

fn observation_moved(was: &str, is: &str) -> Option<&'static str> {
    let key = |words: &str| sheet::OUTCOMES.iter().find(|it| it.1 == words).map(|it| it.0);
    match (key(was)?, key(is)?) {
        ("attention", "attention") => Some("needs attention again"),
        ("attention", "in_order") => Some("in order now"),
        ("fixed", "fixed" | "attention") => Some("bad again since it was fixed"),
        ("in_order", "fixed" | "attention") => Some("was in order"),
        _ => None,
    }
}

fn outcome_moved(was: Option<Outcome>, is: Option<Outcome>) -> Option<&'static str> {
    match (was?, is?) {
        (Outcome::Within, Outcome::Outside) => Some("was within, is outside"),
        (Outcome::Outside, Outcome::Outside) => Some("outside again"),
        (Outcome::Outside, Outcome::Within) => Some("was outside, is within"),
        _ => None,
    }
}

/// How far a reading moved that the weather leaves alone.
fn reading_moved(point: &str, was: &str, is: &str) -> Option<String> {
    let known = points::point(point).filter(|it| PointKey::of(it.key).is_some_and(is_steady))?;
    let number = |text: &str| form::number(text.split_whitespace().next()?);
    let (was, is) = (number(was)?, number(is)?);
    let (u_was, u_is) = (known.default_u.at(was), known.default_u.at(is));
    let change = is - was;
    let is_sure = SURE * u_was.hypot(u_is) < change.abs();
    let is_much = SHARE * was.abs() < change.abs();
    (is_sure && is_much).then(|| amount(change, was, known.unit_for_people()))
}

/// Readings of parts and ducts, which should be next year what they are this year. Temperatures
/// and pressures of the cycle follow the day; they are held against each other by their measures.
fn is_steady(point: PointKey) -> bool {
    use PointKey as Key;
    matches!(
        point,
        Key::StaticReturnInwc
            | Key::StaticAfterFilterInwc
            | Key::StaticFilterOutInwc
            | Key::StaticBlowerInletInwc
            | Key::StaticBeforeCoilInwc
            | Key::StaticAfterCoilInwc
            | Key::VoltsControl
            | Key::BlowerAmps
            | Key::BlowerWatts
            | Key::CondenserFanAmps
            | Key::CapacitorBlowerUf
            | Key::CapacitorCompressorUf
            | Key::CapacitorFanUf
            | Key::ContactorDropMv
            | Key::CrankcaseHeaterAmps
            | Key::UnitSlopeSideInPerFt
            | Key::UnitSlopeFrontInPerFt
    )
}

/// `up 18 %`, or by the amount where it was nothing before.
fn amount(change: f64, was: f64, unit: &str) -> String {
    let way = if change > 0.0 { "up" } else { "down" };
    if was.abs() < f64::EPSILON {
        return format!("{way} by {:.2} {unit}", change.abs()).trim_end().to_owned();
    }
    format!("{way} {:.0} %", 100.0 * (change / was).abs())
}

/// The measures that moved, at the readings where they are shown as found: against their targets
/// where they have one, for those follow the day.
fn measures_moved(
    last: &Assessment,
    now: &Assessment,
    fields: &Fields,
) -> BTreeMap<String, Vec<String>> {
    let is_read =
        |stage: Stage, point: &str| fields.contains_key(&format!("{}.{point}", stage.key()));
    let shown = shown_at(now, is_read);
    let mut moved: BTreeMap<String, Vec<String>> = BTreeMap::new();
    let found = shown.into_iter().filter(|it| it.0.starts_with(Stage::AsFound.key()));
    for (name, verdicts) in found {
        for verdict in verdicts {
            let stages = [&last.as_left, &last.as_found];
            let same = |it: &&Verdict| it.measure == verdict.measure && judged(it).is_some();
            let Some(was) = stages.iter().find_map(|it| it.verdicts.iter().find(same)) else {
                continue;
            };
            moved.entry(name.clone()).or_default().extend(measure_moved(was, verdict));
        }
    }
    moved
}

/// The value of a verdict against its target, with its uncertainty, where it was judged.
fn judged(verdict: &Verdict) -> Option<(f64, f64)> {
    let is_judged =
        matches!(verdict.outcome, Outcome::Within | Outcome::TooClose | Outcome::Outside);
    let value = verdict.value.filter(|_| is_judged)?;
    Some((value - verdict.target.unwrap_or(0.0), verdict.u_margin.or(verdict.u)?))
}

fn measure_moved(was: &Verdict, is: &Verdict) -> Option<String> {
    let info = measures::measure(&is.measure)?;
    let ((before, u_before), (after, u_after)) = (judged(was)?, judged(is)?);
    if was.target.is_some() != is.target.is_some() {
        return None;
    }
    let change = after - before;
    // What is much is a third of the band; of a one-sided limit, a third of the limit.
    let room = match (is.low, is.high) {
        (Some(low), Some(high)) => high - low,
        (Some(one), None) | (None, Some(one)) => one.abs(),
        (None, None) => return None,
    };
    let is_moved = SURE * u_before.hypot(u_after) < change.abs() && room / 3.0 < change.abs();
    is_moved.then(|| {
        let way = if change > 0.0 { "up" } else { "down" };
        let size = format!("{:.*}", info.decimals, change.abs());
        format!("{}: {way} by {size} {}", info.label, info.unit).trim_end().to_owned()
    })
}
