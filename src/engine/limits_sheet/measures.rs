//! What is judged of a system, each measure with its ways, limits and conditions.

use serde::Serialize;

use super::procedures;
use super::term::Term;
use super::term_table::{ROWS, table_split};
use crate::engine::airflow;
use crate::engine::assessment::HURTS_PEOPLE;
use crate::engine::measures::MeasureInfo;
use crate::engine::needs::Needs;
use crate::engine::points::PointKey;
use crate::engine::reason;
use crate::engine::rules::{self, Band, LISTED, Limits, Rule, Shown};
use crate::engine::stage::{Moment, Stage};
use crate::engine::validity;
use crate::engine::verdict::CARBON_MONOXIDE_CAUTION;

/// One measure that is judged.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct SheetMeasure {
    /// Its key.
    pub measure: &'static str,
    /// Plain words for people.
    pub label: &'static str,
    /// Unit for people; empty for a plain ratio.
    pub unit: &'static str,
    /// Decimals for people.
    pub decimals: usize,
    /// How people read it where it is kept in percent: `shown[0] + shown[1] * value`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub shown: Option<[f64; 2]>,
    /// Name of the procedure whose conditions must hold.
    pub procedure: &'static str,
    /// The field under which it stands: the last of its points, of its first way where it has ways.
    pub field: String,
    /// Sets of points one of which must be read before anything is said of it; absent where it is
    /// always asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub only_with: Option<Vec<Vec<PointKey>>>,
    /// How it is worked out: the first way whose points were all read counts. None where it needs
    /// the network, or a fact of the plate.
    pub ways: Vec<SheetWay>,
    /// The readings that it leans on, where it has no way.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub points: Vec<&'static str>,
    /// Whether it isn't simple, so that only the engine can judge it.
    #[serde(skip_serializing_if = "is_false")]
    pub network: bool,
    /// Readings with which it is no longer simple.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub network_with: Vec<Network>,
    /// The fact of the plate that is missing, in plain words.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lacks: Option<&'static str>,
    /// The limits in words, as people read them; absent where they lie around a target.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub allowed: String,
    /// Lower limit.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub low: Option<f64>,
    /// Upper limit.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub high: Option<f64>,
    /// The target that is worked out from readings, with the limits around it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub around: Option<SheetTarget>,
    /// Why it has no answer although nothing is missing, and what to do.
    pub unanswered: &'static str,
    /// Why it is never valid on this system.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub never: Option<String>,
    /// The hazard that it is a sign of where it isn't surely within.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hazard: Option<&'static str>,
    /// What to do at once then.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub caution: Option<&'static str>,
}

/// One way to a value.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SheetWay {
    /// How it is worked out.
    pub term: Term,
    /// The points that must be read, in the order of the sheet.
    pub points: Vec<PointKey>,
    /// The tables whose own errors reach it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub tables: Vec<&'static str>,
}

/// A target that is worked out from readings.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SheetTarget {
    /// How it is worked out; its points must be read too.
    #[serde(flatten)]
    pub way: SheetWay,
    /// The limits lie so far to either side.
    pub tolerance: f64,
    /// Why it has no answer although nothing is missing.
    pub unanswered: &'static str,
}

/// Readings with which a measure is no longer simple.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Network {
    /// When all of these were read.
    pub all: Vec<PointKey>,
    /// Unless this one was read and waits for no repair.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub unless: Option<PointKey>,
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde asks for it so")]
fn is_false(it: &bool) -> bool {
    !*it
}

impl SheetMeasure {
    /// Every point that it leans on.
    pub(super) fn points(&self) -> impl Iterator<Item = &'static str> {
        let target = self.around.iter().map(|it| &it.way);
        let named = self.ways.iter().chain(target).flat_map(|it| &it.points);
        let network = self.network_with.iter().flat_map(|it| it.all.iter().chain(&it.unless));
        let only = self.only_with.iter().flatten().flatten();
        let keys = named.chain(network).chain(only).map(|it| it.key());
        keys.chain(self.points.iter().copied())
    }
}

/// Everything that is judged of this system, in the order of the sheet. The stage holds no reading.
pub(super) fn measures(stage: &Stage) -> Vec<SheetMeasure> {
    let mut full = stage.case.clone();
    full.as_found = PointKey::ALL.iter().map(|it| (*it, middle(*it))).collect();
    let full = Stage::new(&full, stage.book, Moment::AsFound);
    let rules = rules::JUDGED.iter().copied();
    rules.filter_map(|it| measure(stage, &full, it)).collect()
}

fn middle(key: PointKey) -> f64 {
    f64::midpoint(key.point().low, key.point().high)
}

/// One measure, or nothing where the system has no such thing. `full` holds every reading, so that
/// what is missing there is a fact.
fn measure(
    stage: &Stage,
    full: &Stage,
    (place, rule): (usize, &'static Rule),
) -> Option<SheetMeasure> {
    let listed = LISTED.get(place)?;
    let only_with = only_with(stage, full, rule, listed.info)?;
    let procedure = (rule.procedure)(stage);
    let info = listed.info;
    let mut sheet = SheetMeasure {
        measure: rule.measure,
        label: info.map_or(rule.measure, |it| it.label),
        unit: info.map_or("", |it| it.unit),
        decimals: info.map_or(2, |it| it.decimals),
        procedure: procedures::name(procedure),
        only_with: (!only_with.is_empty()).then_some(only_with),
        unanswered: listed.definition.unanswered,
        ..SheetMeasure::default()
    };
    let needs = (listed.definition.needs)(full);
    sheet.ways = ways(stage, rule.measure);
    hold_against(&mut sheet, &(rule.limits)(stage), (&needs, info));
    sheet.network = sheet.lacks.is_none() && sheet.ways.is_empty();
    if sheet.ways.is_empty() {
        let of_engine = needs.points().map(PointKey::key).collect();
        let of_pages = info.map_or_else(Vec::new, |it| it.points.to_vec());
        sheet.points = if sheet.network { of_pages } else { of_engine };
        sheet.around = None;
    }
    sheet.network_with = network_with(full, rule.measure);
    sheet.never = validity::wrong_port(full, &needs);
    sheet.field = field(&sheet, info);
    if rule.measure == HURTS_PEOPLE {
        sheet.hazard = Some(CARBON_MONOXIDE);
        sheet.caution = Some(CARBON_MONOXIDE_CAUTION);
    }
    Some(sheet)
}

/// The hazard of the check sheet that carbon monoxide in the room is a sign of.
const CARBON_MONOXIDE: &str = "carbon_monoxide";

fn ways(stage: &Stage, measure: &str) -> Vec<SheetWay> {
    let terms = ROWS.iter().find(|it| it.measure == measure).map(|it| (it.ways)(stage));
    terms.into_iter().flatten().map(way).collect()
}

fn way(term: Term) -> SheetWay {
    SheetWay { points: term.points(), tables: term.tables(), term }
}

/// Fills the limits in, or the fact that is missing. What no limit can be leaves it to the engine.
fn hold_against(
    sheet: &mut SheetMeasure,
    limits: &Limits,
    (needs, info): (&Needs, Option<&'static MeasureInfo>),
) {
    sheet.lacks = needs.missing.first().and_then(|it| it.fact());
    match *limits {
        Limits::Unknown(fact) => sheet.lacks = sheet.lacks.or(Some(fact)),
        Limits::Fixed(Band { target, low, high, shown, .. }) => {
            if [target, low, high].iter().flatten().any(|it| !it.is_finite()) {
                sheet.ways.clear();
            }
            (sheet.low, sheet.high) = (low, high);
            sheet.allowed = reason::allowed(info, shown, (low, high));
            if let Some(Shown { factor, offset, unit, decimals }) = shown {
                sheet.shown = Some([offset, factor]);
                (sheet.unit, sheet.decimals) = (unit, decimals);
            }
        }
        Limits::Around { target, tolerance, .. } => {
            // Of all targets that are worked out only the split's is a plain table.
            let listed = LISTED.get(target).map(|it| it.definition);
            let plain = listed.filter(|it| it.key == "target_split_f");
            if plain.is_none() {
                sheet.ways.clear();
            }
            sheet.around = plain.map(|it| SheetTarget {
                way: way(table_split()),
                tolerance,
                unanswered: it.unanswered,
            });
        }
    }
}

/// Where another reading makes the engine go another way than the sheet's.
fn network_with(full: &Stage, measure: &str) -> Vec<Network> {
    let [table, drop] = airflow::taps(full);
    let facts = full.facts();
    let has_other_ways = facts.airflow_table.is_some() || facts.coil_reference.is_some();
    let measured = || vec![PointKey::AirflowCfm];
    let sets = |sets: Vec<Option<Vec<PointKey>>>, unless: Option<PointKey>| {
        let all = sets.into_iter().flatten();
        all.map(|all| Network { all, unless }).collect::<Vec<_>>()
    };
    match measure {
        // At a known airflow the split is held against that airflow's own.
        "temperature_split_f" => {
            let humidity =
                Network { all: vec![PointKey::ReturnRhPct], unless: Some(PointKey::ReturnWbF) };
            let mut all = sets(vec![Some(measured()), table, drop], None);
            all.push(humidity);
            all
        }
        // Without a measured airflow there are other ways to one.
        "airflow_cfm_per_ton" | "blower_w_per_cfm" if has_other_ways => {
            sets(vec![Some(measured()), table, drop], Some(PointKey::AirflowCfm))
        }
        // At a known airflow the coil is held against its own table.
        "coil_drop_inwc" if facts.coil_reference.is_some() => {
            sets(vec![Some(measured()), table], None)
        }
        _ => Vec::new(),
    }
}

/// The last of the points in the order of the sheet; without any, where the breaker is looked at.
fn field(sheet: &SheetMeasure, info: Option<&'static MeasureInfo>) -> String {
    let target = sheet.around.iter().map(|it| &it.way);
    let of_ways = sheet.ways.first().into_iter().chain(target).flat_map(|it| &it.points);
    let of_info = info.into_iter().flat_map(|it| it.points).filter_map(|it| PointKey::of(it));
    let last = of_ways.copied().max().or_else(|| of_info.max());
    last.map_or_else(|| BREAKER.to_owned(), |it| it.key().to_owned())
}

/// Where the sheet asks for the breaker, which no reading belongs to.
const BREAKER: &str = "observe.breaker_size";

/// The smallest sets of readings with which the rule speaks of this system; empty where it always
/// does, and nothing where it never does.
fn only_with(
    stage: &Stage,
    full: &Stage,
    rule: &Rule,
    info: Option<&'static MeasureInfo>,
) -> Option<Vec<Vec<PointKey>>> {
    if (rule.applies)(stage) {
        return Some(Vec::new());
    }
    if !(rule.applies)(full) {
        return None;
    }
    let mut case = stage.case.clone();
    let mut with = |keys: &[PointKey]| {
        case.as_found = keys.iter().map(|it| (*it, middle(*it))).collect();
        (rule.applies)(&Stage::new(&case, stage.book, Moment::AsFound))
    };
    let mut sets: Vec<Vec<PointKey>> =
        PointKey::ALL.iter().map(|it| vec![*it]).filter(|it| with(it)).collect();
    let rest: Vec<PointKey> = PointKey::ALL
        .iter()
        .copied()
        .filter(|it| !sets.iter().any(|set| set.contains(it)))
        .collect();
    let own = info.into_iter().flat_map(|it| it.points).filter_map(|it| PointKey::of(it));
    for one in own.filter(|it| rest.contains(it)) {
        let pairs = rest.iter().filter(|it| **it != one).map(|it| vec![one, *it]);
        sets.extend(pairs.filter(|it| with(it)));
    }
    (!sets.is_empty()).then_some(sets)
}
