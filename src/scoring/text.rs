//! The score as plain tables of at most a hundred columns.

use std::fmt::Write as _;

use super::confusion::{Column, Confusion};
use super::marking::PROBABILITY_FLOOR;
use super::outcome::Outcome;
use super::reliability::{Bin, Reliability};
use super::score::{Headline, Line, ProbabilityLine, Score, SeverityLine};
use crate::engine::causes::CAUSES;
use crate::stats::{Interval, Share};

/// Width of the widest line.
const WIDTH: usize = 100;

/// How a table is set: the width of the name, and of the figures to its right, of which the last
/// width goes on.
#[derive(Clone, Copy)]
struct Grid {
    name: usize,
    figures: &'static [usize],
}

const HEADLINE: Grid = Grid { name: 49, figures: &[8, 18, 8, 12] };
const OUTCOMES: Grid = Grid { name: 23, figures: &[6, 14] };
const PAIRS: Grid = Grid { name: 38, figures: &[6, 9] };
const PROBABILITIES: Grid = Grid { name: 23, figures: &[6, 14, 14] };
const RELIABILITY: Grid = Grid { name: 23, figures: &[6, 14, 14, 18] };
const SEVERITY: Grid = Grid { name: 23, figures: &[6, 14, 16, 14, 14] };
const CONFUSION: Grid = Grid { name: 26, figures: &[6] };

impl Grid {
    fn row(self, text: &mut String, name: &str, figures: impl IntoIterator<Item = String>) {
        // Writing to a String can't fail.
        let mut row = format!("{name:<0$}", self.name);
        let last = self.figures.last().copied().unwrap_or(0);
        let widths = self.figures.iter().copied().chain(std::iter::repeat(last));
        for (figure, width) in figures.into_iter().zip(widths) {
            let _ = write!(row, "{figure:>width$}");
        }
        line(text, &row);
    }

    fn heads(self, text: &mut String, name: &str, heads: &[&str]) {
        self.row(text, name, heads.iter().map(|it| (*it).to_owned()));
    }
}

/// The whole score.
#[must_use]
pub fn score_text(score: &Score) -> String {
    let mut text = String::new();
    headline(&mut text, &score.headline);
    outcomes(&mut text, score);
    pairs(&mut text, score);
    probabilities(&mut text, &score.probabilities);
    reliability(&mut text, "Said to be so likely", &score.reliability);
    if score.reliability_of_costly.answers < score.reliability.answers {
        let name = "  and cost 5 % or more";
        reliability(&mut text, name, &score.reliability_of_costly);
    }
    severity(&mut text, &score.severity);
    confusion(&mut text, &score.confusion);
    text
}

fn line(text: &mut String, content: &str) {
    text.push_str(content.trim_end());
    text.push('\n');
}

fn title(text: &mut String, content: &str) {
    text.push('\n');
    line(text, content);
}

fn headline(text: &mut String, it: &Headline) {
    text.push('\n');
    HEADLINE.heads(text, "Headline", &["share", "95 % interval", "cases", "conditions"]);
    let rows = [
        ("False alarm, of healthy cases", it.false_alarm),
        ("Correct first, of single faults that cost >= 5 %", it.correct),
        ("  or one of its declared group", it.correct_or_group),
        ("Missed, of the same", it.missed),
        ("Right pair first, of two faults at once", it.pair_first),
        ("  or among the first three", it.pair_among_three),
    ];
    for (name, share) in rows {
        let range = match (share.share, share.interval) {
            (Some(_), None) => "n too small".to_owned(),
            (_, interval) => interval.map_or_else(String::new, interval_words),
        };
        let value = share.share.map_or_else(|| "no case".to_owned(), percent);
        HEADLINE.row(text, name, [value, range, share.of.to_string(), share.clusters.to_string()]);
    }
}

/// Healthy cases and those with one fault.
fn outcomes(text: &mut String, score: &Score) {
    if score.healthy.cases > 0 {
        title(text, "Healthy cases, % of all of them (95 % interval)");
        outcome_heads(text, Outcome::HEALTHY);
        outcome_row(text, &score.healthy);
    }
    if score.one_fault.cases > 0 {
        title(text, "One fault, % of all cases of the row (95 % interval)");
        outcome_heads(text, Outcome::ONE_FAULT);
        for one in score.by_cause.iter().chain(&score.by_impact).chain([&score.one_fault]) {
            outcome_row(text, one);
        }
        line(text, "In its group: a cause declared not to be told from it at the gauges.");
    }
    if score.beside_another > 0 {
        let sentence = "misdiagnoses named the fault beside another that was not there.";
        line(text, &format!("{} {sentence}", score.beside_another));
    }
    line(
        text,
        "Intervals take the cases of one operating condition together; n small: n too small for",
    );
    line(text, "an interval, all cases lie in one condition.");
}

fn outcome_heads(text: &mut String, outcomes: &[Outcome]) {
    let heads: Vec<&str> =
        std::iter::once("cases").chain(outcomes.iter().map(|it| it.label())).collect();
    OUTCOMES.heads(text, "", &heads);
}

fn outcome_row(text: &mut String, one: &Line) {
    let cells = one.outcomes.iter().map(|it| outcome_cell(&it.share));
    OUTCOMES.row(text, &one.name, std::iter::once(one.cases.to_string()).chain(cells));
}

/// A share in whole percents with its interval.
fn outcome_cell(share: &Share) -> String {
    match (share.share, share.interval) {
        (None, _) => String::new(),
        (Some(it), None) => format!("{:.0} (n small)", 100.0 * it),
        (Some(it), Some(Interval { low, high })) => {
            format!("{:.0} ({:.0}-{:.0})", 100.0 * it, 100.0 * low, 100.0 * high)
        }
    }
}

fn pairs(text: &mut String, score: &Score) {
    if score.two_faults.cases == 0 {
        return;
    }
    title(text, "Two faults at once, % of all cases of the row");
    let heads = ["cases", "first", "2nd, 3rd", "one of", "mistaken", "missed", "silent"];
    PAIRS.heads(text, "", &heads);
    for one in score.by_pair.iter().chain([&score.two_faults]) {
        let mut name = one.name.clone();
        // The longest pairs have a line of their own above their figures.
        if name.len() >= PAIRS.name {
            line(text, &name);
            name.clear();
        }
        let shares = one.outcomes.iter().filter_map(|it| it.share.share);
        let cells = shares.map(|it| format!("{:.0}", 100.0 * it));
        PAIRS.row(text, &name, std::iter::once(one.cases.to_string()).chain(cells));
    }
    line(text, "One of: the first cause names one of the two. Silent: no response.");
}

fn probabilities(text: &mut String, lines: &[ProbabilityLine]) {
    if lines.is_empty() {
        return;
    }
    text.push('\n');
    PROBABILITIES.heads(text, "Given to the truth", &["cases", "log score", "Brier"]);
    for it in lines {
        let scores = [it.cases.to_string(), format!("{:.3}", it.log), format!("{:.3}", it.brier)];
        PROBABILITIES.row(text, it.name, scores);
    }
    line(
        text,
        "Less is better. Log score: mean of -ln(probability of the truth). Silence counts as the same",
    );
    line(
        text,
        "share for each of the nine causes (2.197), with two faults for each pair as well (3.611);",
    );
    line(text, &format!("a probability counts as {PROBABILITY_FLOOR:e} at least."));
}

fn reliability(text: &mut String, name: &str, curve: &Reliability) {
    if curve.answers == 0 {
        return;
    }
    text.push('\n');
    let heads = ["cases", "mean said", "true", "95 % interval"];
    RELIABILITY.heads(text, name, &heads);
    for bin in curve.bins.iter().filter(|it| it.count > 0) {
        reliability_row(text, bin);
    }
    if let Some(error) = curve.expected_error {
        line(text, &format!("Expected calibration error {}.", percent(error)));
    }
    line(text, "These intervals take each case for itself.");
}

fn reliability_row(text: &mut String, bin: &Bin) {
    let name = format!("{:.0} to {:.0} %", 100.0 * bin.from, 100.0 * bin.to);
    let said = bin.mean_stated.map_or_else(String::new, percent);
    let share = bin.share_true.map_or_else(String::new, percent);
    let range = bin.interval.map_or_else(String::new, interval_words);
    RELIABILITY.row(text, &name, [bin.count.to_string(), said, share, range]);
}

fn severity(text: &mut String, lines: &[SeverityLine]) {
    if lines.is_empty() {
        return;
    }
    text.push('\n');
    let heads = ["cases", "mean error", "mean |error|", "within 2 u", "unit"];
    SEVERITY.heads(text, "Severity where right", &heads);
    for it in lines {
        let within = format!("{:.0} %", 100.0 * f64::from(it.within_2u) / f64::from(it.cases));
        let (error, size) = (it.mean_error, it.mean_absolute_error);
        let (error, size) = (format!("{error:+.1}"), format!("{size:.1}"));
        let figures = [it.cases.to_string(), error, size, within, it.unit.to_owned()];
        SEVERITY.row(text, it.cause, figures);
    }
}

fn confusion(text: &mut String, table: &Confusion) {
    if table.rows.is_empty() {
        return;
    }
    title(text, "What it was (rows) and what was told first (columns, by the number of the cause)");
    let heads = table.columns.iter().map(|it| head(*it));
    CONFUSION.row(text, "", heads.chain(["cases".to_owned()]));
    for row in &table.rows {
        let numbers: Vec<String> = row.truth.parts().map(|it| head(Column::One(it))).collect();
        let word = if row.truth.is_pair() { String::new() } else { row.truth.word() };
        let figures = row.counts.iter().chain([&row.total]).map(ToString::to_string);
        CONFUSION.row(text, &format!("{} {word}", numbers.join("+")), figures);
    }
    let names = CAUSES.iter().map(|it| format!("{} {}", head(Column::One(it.name)), it.key));
    for wrapped in wrapped(names) {
        line(text, &wrapped);
    }
}

/// The head of a column: the number of the cause from 0, `two`, or `none`.
fn head(column: Column) -> String {
    match column {
        Column::One(cause) => (cause as usize).to_string(),
        Column::TwoAtOnce => "two".to_owned(),
        Column::NothingNamed => "none".to_owned(),
    }
}

fn percent(share: f64) -> String {
    format!("{:.1} %", 100.0 * share)
}

fn interval_words(it: Interval) -> String {
    format!("{:.1} to {:.1} %", 100.0 * it.low, 100.0 * it.high)
}

/// Words joined by commas, in lines that fit.
fn wrapped(words: impl Iterator<Item = String>) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in words {
        match lines.last_mut().filter(|it| it.len() + word.len() + 2 <= WIDTH) {
            Some(last) => {
                last.push_str(", ");
                last.push_str(&word);
            }
            None => lines.push(word),
        }
    }
    lines
}
