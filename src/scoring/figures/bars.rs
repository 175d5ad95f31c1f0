//! What came of the cases, one bar a kind, its parts told apart by pattern, place and figure.

use std::fmt::Write as _;

use super::{SHEET, percent};
use crate::scoring::outcome::Outcome;
use crate::scoring::score::{Line, Score};

/// Height of a bar with the space around it, and of the bar itself.
const ROW: f64 = 32.0;
const BAR: f64 = 22.0;
/// Height of the legend.
const LEGEND: f64 = 56.0;
/// Space for a bar's name on its left, and for its cases on its right.
const NAME: f64 = 210.0;
const CASES: f64 = 70.0;
/// The narrowest part that has room for its figure.
const LABELLED: f64 = 48.0;
/// Letters of the drawing.
const LETTERS: f64 = 15.0;

/// One look for outcomes that mean alike.
struct Look {
    words: &'static str,
    /// Its fill, and the pattern that it needs.
    fill: &'static str,
    pattern: &'static str,
}

/// In the order in which they stand in a bar and in the legend.
const LOOKS: [Look; 6] = [
    Look { words: "correct", fill: "currentColor", pattern: "" },
    Look {
        words: "in its group, or the pair 2nd or 3rd",
        fill: "url(#score-near)",
        pattern: r#"<pattern id="score-near" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><path d="M1.7 0V5" stroke="currentColor" stroke-width="3.4"/></pattern>"#,
    },
    Look {
        words: "one of two",
        fill: "url(#score-half)",
        pattern: r#"<pattern id="score-half" width="8" height="8" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><path d="M1 0V8" stroke="currentColor" stroke-width="2"/></pattern>"#,
    },
    Look {
        words: "misdiagnosis or false alarm",
        fill: "url(#score-wrong)",
        pattern: r#"<pattern id="score-wrong" width="7" height="7" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><path d="M1 0V7M0 1H7" stroke="currentColor" stroke-width="1.4"/></pattern>"#,
    },
    Look {
        words: "missed",
        fill: "url(#score-missed)",
        pattern: r#"<pattern id="score-missed" width="7" height="7" patternUnits="userSpaceOnUse"><circle cx="3.5" cy="3.5" r="1.5" fill="currentColor"/></pattern>"#,
    },
    Look { words: "no response", fill: "none", pattern: "" },
];

const fn look(outcome: Outcome) -> usize {
    match outcome {
        Outcome::Correct => 0,
        Outcome::WithinGroup | Outcome::AmongThree => 1,
        Outcome::OneOfTwo => 2,
        Outcome::Misdiagnosis | Outcome::FalseAlarm => 3,
        Outcome::Missed => 4,
        Outcome::NoResponse => 5,
    }
}

/// What has a bar: healthy cases, each cause, each cost, two faults at once.
fn rows(score: &Score) -> Vec<(&str, &Line)> {
    let one = score.by_cause.iter().chain(&score.by_impact).map(|it| (it.name.as_str(), it));
    let all = std::iter::once(("healthy", &score.healthy)).chain(one);
    all.chain([("two faults at once", &score.two_faults)]).filter(|(_, it)| it.cases > 0).collect()
}

/// How high the drawing is.
pub(super) fn height(score: &Score) -> f64 {
    LEGEND + ROW * f64::from(u32::try_from(rows(score).len()).unwrap_or(0))
}

/// What the bars show, for those who don't see them.
pub(super) fn in_words(score: &Score) -> String {
    let told = rows(score).into_iter().map(|(name, line)| {
        let shares = line.outcomes.iter().filter_map(|it| {
            let share = it.share.share.filter(|_| it.share.count > 0)?;
            Some(format!("{} {}", it.outcome.label(), percent(share)))
        });
        let shares: Vec<String> = shares.collect();
        format!("{name}, {} cases: {}", line.cases, shares.join(", "))
    });
    let told: Vec<String> = told.collect();
    if told.is_empty() {
        return "No case carried a truth.".to_owned();
    }
    format!("What came of all cases: {}.", told.join("; "))
}

/// Draws the bars, in a width.
pub(super) fn draw(svg: &mut String, score: &Score, width: f64) {
    svg.push_str("<defs>");
    for look in &LOOKS {
        svg.push_str(look.pattern);
    }
    svg.push_str("</defs>");
    draw_legend(svg);
    let mut top = LEGEND;
    for (name, line) in rows(score) {
        text(svg, (NAME - 8.0, top + 16.0), "end", name);
        draw_bar(svg, line, (top, width - NAME - CASES));
        text(svg, (width, top + 16.0), "end", &format!("n {}", line.cases));
        top += ROW;
    }
}

fn draw_legend(svg: &mut String) {
    // Three to a line, under one another.
    let columns = [0.0, 270.0, 600.0];
    let places = [0.0, 26.0].into_iter().flat_map(|y| columns.map(|x| (x, y)));
    for (look, (x, y)) in LOOKS.iter().zip(places) {
        let _ = write!(
            svg,
            r#"<rect x="{x}" y="{y}" width="26" height="16" fill="{}" stroke="currentColor"/>"#,
            look.fill
        );
        text(svg, (x + 34.0, y + 13.0), "start", look.words);
    }
}

fn draw_bar(svg: &mut String, line: &Line, (top, width): (f64, f64)) {
    let mut from = NAME;
    for part in &line.outcomes {
        let Some(share) = part.share.share.filter(|_| part.share.count > 0) else { continue };
        let (wide, look) = (share * width, look(part.outcome));
        let fill = LOOKS.get(look).map_or("none", |it| it.fill);
        let _ = write!(
            svg,
            r#"<rect x="{from:.1}" y="{top}" width="{wide:.1}" height="{BAR}" fill="{fill}" stroke="currentColor"/>"#
        );
        if wide >= LABELLED {
            // A figure in a pattern can't be read without paper under it.
            let middle = from + wide / 2.0;
            let _ = write!(
                svg,
                r#"<rect x="{:.1}" y="{}" width="44" height="18" fill="{SHEET}"/>"#,
                middle - 22.0,
                top + 2.0
            );
            text(svg, (middle, top + 16.0), "middle", &percent(share));
        }
        from += wide;
    }
}

fn text(svg: &mut String, (x, y): (f64, f64), anchor: &str, words: &str) {
    let _ = write!(
        svg,
        r#"<text x="{x:.1}" y="{y:.1}" font-size="{LETTERS}" text-anchor="{anchor}" fill="currentColor">{words}</text>"#
    );
}
