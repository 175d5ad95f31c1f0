//! The one drawing that is everywhere: the limit strip, and its quarter turn, the trend.
//!
//! Scales are fixed per measure, so that strips can be compared down a column and over the years.

use std::fmt::Write as _;

use super::display;
use crate::engine::assessment::{Outcome, Verdict};
use crate::engine::measures::MeasureInfo;

/// Width and height of a strip in its own units; the page stretches it.
pub(super) const STRIP: (f64, f64) = (200.0, 26.0);
/// Free space at both ends of a strip.
pub(super) const EDGE: f64 = 4.0;

/// The word, the class and the shape of an outcome; always all three.
pub(super) fn word(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Within => "Within",
        Outcome::TooClose => "Too close to call",
        Outcome::Outside => "Outside",
        Outcome::NotValid => "Not valid today",
        Outcome::NotTaken => "Not taken",
    }
}

/// The class that gives the outcome its ink.
pub(super) fn class(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Within => "within",
        Outcome::TooClose => "close",
        Outcome::Outside => "outside",
        Outcome::NotValid => "void",
        Outcome::NotTaken => "open",
    }
}

/// The shape of the outcome, drawn.
pub(super) fn shape(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Within => {
            r#"<svg viewBox="0 0 10 10" aria-hidden="true"><circle cx="5" cy="5" r="4.5" fill="currentColor"/></svg>"#
        }
        Outcome::TooClose => {
            r#"<svg viewBox="0 0 10 10" aria-hidden="true"><circle cx="5" cy="5" r="4" fill="none" stroke="currentColor" stroke-width="1.6"/><path d="M5 .6a4.4 4.4 0 0 1 0 8.8z" fill="currentColor"/></svg>"#
        }
        Outcome::Outside => {
            r#"<svg viewBox="0 0 10 10" aria-hidden="true"><path d="M5 .3 9.8 9.4H.2z" fill="currentColor"/></svg>"#
        }
        Outcome::NotValid => {
            r#"<svg viewBox="0 0 10 10" aria-hidden="true"><path d="M1 4.2h8v1.6H1z" fill="currentColor"/></svg>"#
        }
        Outcome::NotTaken => {
            r#"<svg viewBox="0 0 10 10" aria-hidden="true"><circle cx="5" cy="5" r="4" fill="none" stroke="currentColor" stroke-width="1" stroke-dasharray="1.5 1.5"/></svg>"#
        }
    }
}

/// Within, as long as only the phone says so: open where the engine's is full.
pub(super) const HOLLOW: &str = r#"<svg viewBox="0 0 10 10" aria-hidden="true"><circle cx="5" cy="5" r="4" fill="none" stroke="currentColor" stroke-width="1.6" stroke-dasharray="2.2 1.4"/></svg>"#;

/// Word and shape together, as markup.
pub(super) fn mark(outcome: Outcome) -> String {
    format!(r#"<span class="verdict">{}{}</span>"#, shape(outcome), word(outcome))
}

/// What a strip shows, in words, for those who don't see it.
fn in_words(info: &MeasureInfo, verdict: &Verdict, value: f64) -> String {
    let number = |it: f64| display::with_unit(it, info.decimals, info.unit);
    let limits = match (verdict.low, verdict.high) {
        (Some(low), Some(high)) => format!(", allowed {} to {}", number(low), number(high)),
        (Some(low), None) => format!(", at least {}", number(low)),
        (None, Some(high)) => format!(", at most {}", number(high)),
        (None, None) => String::new(),
    };
    let spread = verdict.u.map_or_else(String::new, |u| {
        let end = |it: f64| display::number(it, info.decimals);
        format!(", whisker from {} to {}", end(value - 2.0 * u), end(value + 2.0 * u))
    });
    format!("{} {}{limits}{spread}", info.label, number(value))
}

/// The strip of a judged measure: band, value, whisker of two standard uncertainties, target.
/// Empty where there is no value to show.
pub(super) fn strip(info: &MeasureInfo, verdict: &Verdict) -> String {
    let Some(value) = verdict.value.filter(|value| value.is_finite()) else {
        return String::new();
    };
    let at = |number: f64| place(info.scale, number, STRIP.0);
    let middle = STRIP.1 / 2.0;
    let mut svg = format!(
        r#"<svg class="limit" viewBox="0 0 {} {}" preserveAspectRatio="none" role="img" aria-label="{}"><line class="track" x1="{EDGE}" x2="{}" y1="{middle}" y2="{middle}"/>"#,
        STRIP.0,
        STRIP.1,
        escaped(&in_words(info, verdict, value)),
        STRIP.0 - EDGE,
    );
    if verdict.low.is_some() || verdict.high.is_some() {
        let (from, to) = (verdict.low.map_or(EDGE, &at), verdict.high.map_or(STRIP.0 - EDGE, &at));
        let width = (to - from).max(1.0);
        // Writing to a String can't fail.
        let _ = write!(
            svg,
            r#"<rect class="band" x="{from:.1}" y="6" width="{width:.1}" height="14"/>"#
        );
    }
    if let Some(target) = verdict.target {
        let x = at(target);
        let _ = write!(svg, r#"<line class="target" x1="{x:.1}" x2="{x:.1}" y1="2" y2="24"/>"#);
    }
    if let Some(u) = verdict.u {
        let (from, to) = (at(value - 2.0 * u), at(value + 2.0 * u));
        let _ = write!(
            svg,
            r#"<line class="u" x1="{from:.1}" x2="{to:.1}" y1="{middle}" y2="{middle}"/>"#
        );
    }
    let x = at(value);
    // Beyond the scale the mark is an arrow at the edge, so that it is never taken for the value.
    let _ = if value < info.scale.0 {
        write!(svg, r#"<path class="value" d="M{EDGE} 13l8-9v18z"/></svg>"#)
    } else if value > info.scale.1 {
        write!(svg, r#"<path class="value" d="M{} 13l-8-9v18z"/></svg>"#, STRIP.0 - EDGE)
    } else {
        let left = x - 2.0;
        write!(svg, r#"<rect class="value" x="{left:.1}" y="3" width="4" height="20"/></svg>"#)
    };
    svg
}

/// Where a number lies between two ends, within the edges of a drawing.
pub(super) fn place(scale: (f64, f64), number: f64, width: f64) -> f64 {
    let span = scale.1 - scale.0;
    let share = if span > 0.0 { ((number - scale.0) / span).clamp(0.0, 1.0) } else { 0.5 };
    EDGE + share * (width - 2.0 * EDGE)
}

/// One visit's point on a trend.
#[derive(Clone, Debug)]
pub(super) struct TrendPoint {
    /// Year and share of the year: 2026.37.
    pub(super) when: f64,
    /// In words.
    pub(super) day: String,
    /// The judgement.
    pub(super) verdict: Verdict,
}

/// An event beside the trend: a replaced part.
#[derive(Clone, Debug)]
pub(super) struct TrendEvent {
    pub(super) when: f64,
    pub(super) words: String,
}

/// Width and height of the trend.
const TREND: (f64, f64) = (900.0, 320.0);
/// Left, right, top, bottom margins of the trend.
const MARGIN: (f64, f64, f64, f64) = (64.0, 16.0, 16.0, 40.0);

/// A measure over the years: band across, whiskers up, events as dashed lines. Points in the order
/// of time; those without a value are left out.
pub(super) fn trend(info: &MeasureInfo, points: &[TrendPoint], events: &[TrendEvent]) -> String {
    let shown: Vec<&TrendPoint> =
        points.iter().filter(|it| it.verdict.value.is_some_and(f64::is_finite)).collect();
    let (Some(first), Some(last)) = (shown.first(), shown.last()) else { return String::new() };
    let years = (first.when.floor(), last.when.ceil().max(first.when.floor() + 1.0));
    let scale = trend_scale(info, &shown);
    let (left, right, top, bottom) = MARGIN;
    let x = |when: f64| left + (when - years.0) / (years.1 - years.0) * (TREND.0 - left - right);
    let y = |number: f64| {
        let share = ((number - scale.0) / (scale.1 - scale.0)).clamp(0.0, 1.0);
        TREND.1 - bottom - share * (TREND.1 - top - bottom)
    };
    let words = trend_words(info, &shown);
    let mut svg = format!(
        r#"<svg class="trend" viewBox="0 0 {} {}" role="img" aria-label="{}">"#,
        TREND.0,
        TREND.1,
        escaped(&words)
    );
    draw_bands(&mut svg, &shown, (&x, &y), (scale, years));
    draw_axes(&mut svg, info, (&x, &y), (scale, years));
    for event in events.iter().filter(|it| it.when >= years.0 && it.when <= years.1) {
        let here = x(event.when);
        // The words stand on the side where there is room for them.
        let (beside, anchor) = if here > TREND.0 / 2.0 { (-6.0, "end") } else { (6.0, "start") };
        let _ = write!(
            svg,
            r#"<line class="event" x1="{here:.1}" x2="{here:.1}" y1="{top}" y2="{:.1}"/><text x="{:.1}" y="{:.1}" text-anchor="{anchor}">{}</text>"#,
            TREND.1 - bottom,
            here + beside,
            top + 12.0,
            escaped(&event.words)
        );
    }
    draw_points(&mut svg, &shown, (&x, &y));
    svg.push_str("</svg>");
    svg
}

type To<'a> = &'a dyn Fn(f64) -> f64;

/// The measure's own scale, widened where a value lies beyond it.
fn trend_scale(info: &MeasureInfo, shown: &[&TrendPoint]) -> (f64, f64) {
    let values = || shown.iter().filter_map(|it| it.verdict.value);
    let low = values().fold(info.scale.0, f64::min);
    let high = values().fold(info.scale.1, f64::max);
    if high > low { (low, high) } else { (low - 1.0, high + 1.0) }
}

fn trend_words(info: &MeasureInfo, shown: &[&TrendPoint]) -> String {
    let each: Vec<String> = shown
        .iter()
        .filter_map(|it| {
            let value = display::with_unit(it.verdict.value?, info.decimals, info.unit);
            Some(format!("{} {value}, {}", it.day, word(it.verdict.outcome).to_lowercase()))
        })
        .collect();
    format!("{} by visit: {}", info.label, each.join("; "))
}

/// Each visit keeps the band that it was judged by: a stretch from half way to the visit before
/// to half way to the next.
fn draw_bands(
    svg: &mut String,
    shown: &[&TrendPoint],
    (x, y): (To<'_>, To<'_>),
    (scale, years): ((f64, f64), (f64, f64)),
) {
    for (index, point) in shown.iter().enumerate() {
        let verdict = &point.verdict;
        if verdict.low.is_none() && verdict.high.is_none() {
            continue;
        }
        let half = |other: Option<&&TrendPoint>, end: f64| {
            other.map_or(end, |other| f64::midpoint(other.when, point.when))
        };
        let before = index.checked_sub(1).and_then(|at| shown.get(at));
        let (from, to) = (x(half(before, years.0)), x(half(shown.get(index + 1), years.1)));
        let (floor, ceiling) =
            (y(verdict.low.unwrap_or(scale.0)), y(verdict.high.unwrap_or(scale.1)));
        let _ = write!(
            svg,
            r#"<rect class="band" x="{from:.1}" y="{ceiling:.1}" width="{:.1}" height="{:.1}"/>"#,
            (to - from).max(0.0),
            (floor - ceiling).max(0.0)
        );
    }
}

fn draw_axes(
    svg: &mut String,
    info: &MeasureInfo,
    (x, y): (To<'_>, To<'_>),
    (scale, years): ((f64, f64), (f64, f64)),
) {
    let (left, right, top, bottom) = MARGIN;
    let floor = TREND.1 - bottom;
    for step in 0..=4 {
        let number = scale.0 + (scale.1 - scale.0) * f64::from(step) / 4.0;
        let height = y(number);
        let _ = write!(
            svg,
            r#"<line class="axis" x1="{left}" x2="{:.1}" y1="{height:.1}" y2="{height:.1}"/><text x="{:.1}" y="{:.1}" text-anchor="end">{}</text>"#,
            TREND.0 - right,
            left - 8.0,
            height + 6.0,
            display::number(number, info.decimals)
        );
    }
    let mut year = years.0;
    // Labels must not run into one another: every second year where there are many.
    let stride = ((years.1 - years.0) / 8.0).ceil().max(1.0);
    while year < years.1 {
        let _ = write!(
            svg,
            r#"<line class="axis" x1="{0:.1}" x2="{0:.1}" y1="{top}" y2="{floor}"/><text x="{1:.1}" y="{2:.1}">{3:.0}</text>"#,
            x(year),
            x(year) + 4.0,
            TREND.1 - 12.0,
            year
        );
        year += stride;
    }
}

fn draw_points(svg: &mut String, shown: &[&TrendPoint], (x, y): (To<'_>, To<'_>)) {
    let line: Vec<String> = shown
        .iter()
        // What was not valid stands there but leads nowhere.
        .filter(|it| it.verdict.outcome != Outcome::NotValid)
        .filter_map(|it| Some(format!("{:.1},{:.1}", x(it.when), y(it.verdict.value?))))
        .collect();
    let _ = write!(svg, r#"<polyline class="line" points="{}"/>"#, line.join(" "));
    for point in shown {
        let Some(value) = point.verdict.value else { continue };
        let (here, there) = (x(point.when), y(value));
        if let Some(u) = point.verdict.u {
            let _ = write!(
                svg,
                r#"<line class="bar" x1="{here:.1}" x2="{here:.1}" y1="{:.1}" y2="{:.1}"/>"#,
                y(value - 2.0 * u),
                y(value + 2.0 * u)
            );
        }
        let outcome = point.verdict.outcome;
        let _ = write!(
            svg,
            r#"<svg class="{}" x="{:.1}" y="{:.1}" width="16" height="16"><title>{}</title>{}</svg>"#,
            class(outcome),
            here - 8.0,
            there - 8.0,
            escaped(&format!("{}: {}", point.day, word(outcome))),
            shape(outcome)
        );
    }
}

/// Text made safe for an attribute or an element.
fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}
