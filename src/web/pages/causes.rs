//! How often the causes were right at this company. For the owner.

use std::collections::BTreeSet;

use askama::Template;
use axum::extract::State;
use axum::response::Response;
use serde::Deserialize;

use crate::domain::confirmed_cause::words;
use crate::review::causes::{ANSWERS_MIN, Answer, HowOften, JudgedBy, how_often, tellable};
use crate::scoring::confusion::{Column, ConfusionRow};
use crate::scoring::figures::reliability_figure;
use crate::scoring::outcome::Outcome;
use crate::scoring::reliability::Bin;
use crate::scoring::{NamedCause, Told};
use crate::stats::Interval;
use crate::store::Answered;
use crate::web::App;
use crate::web::display::percent;
use crate::web::error::Error;
use crate::web::frame::{Frame, page};
use crate::web::viewer::Owner;

/// Versions of the priors that are named one by one.
const PRIORS_NAMED_MAX: usize = 3;

#[derive(Template)]
#[template(path = "pages/causes.html")]
struct CausesPage {
    frame: Frame,
    all: HowOften,
    right: String,
    outcomes: Vec<(&'static str, u32, u32)>,
    figure: String,
    bins: Vec<BinLine>,
    columns: Vec<&'static str>,
    rows: Vec<FoundLine>,
    judged_by: Vec<String>,
}

/// One bin of the stated probability.
struct BinLine {
    said: String,
    count: u32,
    mean: String,
    right: String,
    interval: String,
}

/// One thing that was found, against every column that came up.
struct FoundLine {
    found: String,
    total: u32,
    /// How often, and whether that column is the right one.
    counts: Vec<(u32, bool)>,
}

/// The part of a judgement that was predicted.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
struct Said {
    as_found: SaidStage,
}

#[derive(Debug, Default, Deserialize)]
#[serde(default)]
struct SaidStage {
    abstained: Option<String>,
    causes: Vec<SaidCause>,
}

#[derive(Debug, Deserialize)]
struct SaidCause {
    cause: String,
    probability: f64,
}

/// The part of what the engine was given that decides what can be told apart.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
struct Given {
    system: GivenSystem,
}

#[derive(Debug, Default, Deserialize)]
#[serde(default)]
struct GivenSystem {
    target_subcooling_f: Option<f64>,
}

pub(in crate::web) async fn show_causes(
    State(app): State<App>,
    Owner(viewer): Owner,
) -> Result<Response, Error> {
    let answered = app.store.read().await?.answered_visits().await?;
    let answers: Vec<Answer> = answered.iter().filter_map(answer).collect();
    let all = how_often(&answers);
    let curve = tellable(&all.reliability);
    let columns: BTreeSet<Column> = all.confusion.rows.iter().flat_map(met).collect();
    page(&CausesPage {
        frame: Frame::new(&viewer, "How often was it right"),
        right: right(&all),
        outcomes: all
            .outcomes
            .iter()
            .map(|it| (in_words(it.outcome), it.with_a_fault, it.without))
            .collect(),
        figure: reliability_figure(&curve),
        bins: curve.bins.iter().filter(|it| it.count > 0).map(bin_line).collect(),
        columns: columns.iter().map(|it| it.label()).collect(),
        rows: all.confusion.rows.iter().map(|it| found_line(it, &columns)).collect(),
        judged_by: all.judged_by.iter().map(judged_by).collect(),
        all,
    })
}

/// What was predicted and found; none where a later program's word was found.
fn answer(answered: &Answered) -> Option<Answer> {
    // A judgement of an old shape, or none at all, predicted nothing.
    let said = answered.output.as_ref().and_then(|it| serde_json::from_str(it.0.get()).ok());
    let said: Said = said.unwrap_or_default();
    let given = answered.input.as_ref().and_then(|it| serde_json::from_str(it.0.get()).ok());
    let given: Given = given.unwrap_or_default();
    let causes = said.as_found.causes.iter().filter(|_| said.as_found.abstained.is_none());
    let told = causes.filter_map(|it| {
        Some(Told { cause: NamedCause::of_word(&it.cause)?, probability: it.probability })
    });
    Some(Answer {
        told: told.collect(),
        found: NamedCause::of_word(&answered.cause)?,
        knows_plate_subcooling: given.system.target_subcooling_f.is_some(),
        engine: answered.engine.clone(),
        priors: answered.priors.clone().unwrap_or_default(),
    })
}

/// `Engine 0.1.0: 12 visits, by the priors default-1, priors-2`; of many only the ends are named.
fn judged_by(by: &JudgedBy) -> String {
    let visits = if by.visits == 1 { "visit" } else { "visits" };
    let Some(engine) = &by.engine else {
        return format!("Could not be judged: {} {visits}", by.visits);
    };
    let priors = match by.priors.as_slice() {
        [] => "before there were priors".to_owned(),
        [first, .., last] if PRIORS_NAMED_MAX < by.priors.len() => {
            format!("by {} versions of the priors, {first} to {last}", by.priors.len())
        }
        named => format!("by the priors {}", named.join(", ")),
    };
    format!("Engine {engine}: {} {visits}, {priors}", by.visits)
}

fn right(all: &HowOften) -> String {
    let Some(interval) = all.interval.filter(|_| ANSWERS_MIN <= all.answered) else {
        return "too few to tell a share".to_owned();
    };
    let share = f64::from(all.right) / f64::from(all.answered.max(1));
    format!("{}; 95 % interval {}", percent(share), interval_words(interval))
}

fn interval_words(interval: Interval) -> String {
    format!("{} to {}", percent(interval.low), percent(interval.high))
}

/// What came of a visit, in words.
fn in_words(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Correct => "The first cause was what was found",
        Outcome::WithinGroup => "The first cause shows alike at the gauges",
        Outcome::AmongThree => "The two causes stood second or third",
        Outcome::OneOfTwo => "One of the two causes was named",
        Outcome::Misdiagnosis => "Another cause was named",
        Outcome::Missed => "Nothing was said to be wrong",
        Outcome::FalseAlarm => "A cause was named",
        Outcome::NoResponse => "No cause was named",
    }
}

fn bin_line(bin: &Bin) -> BinLine {
    let tell = |it: Option<f64>| it.map_or_else(|| "n too small".to_owned(), percent);
    BinLine {
        said: format!("{:.0} to {:.0} %", 100.0 * bin.from, 100.0 * bin.to),
        count: bin.count,
        mean: bin.mean_stated.map_or_else(String::new, percent),
        right: tell(bin.share_true),
        interval: bin.interval.map_or_else(String::new, interval_words),
    }
}

/// The columns that came up in a row.
fn met(row: &ConfusionRow) -> impl Iterator<Item = Column> {
    Column::all().zip(&row.counts).filter(|(_, count)| **count > 0).map(|(column, _)| column)
}

fn found_line(row: &ConfusionRow, columns: &BTreeSet<Column>) -> FoundLine {
    let is_right = |column: Column| {
        // Two causes share one column: what was right of them is in the table above.
        matches!(column, Column::One(cause) if row.truth == NamedCause::one(cause))
    };
    let shown = Column::all().zip(&row.counts).filter(|(column, _)| columns.contains(column));
    FoundLine {
        found: words(&row.truth.word()),
        total: row.total,
        counts: shown.map(|(column, count)| (*count, is_right(column))).collect(),
    }
}
