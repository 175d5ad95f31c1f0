//! The score as drawings: plain SVG in ink on paper, no script, no style, no font from outside.

use std::fmt::Write as _;

use super::reliability::Reliability;
use super::score::Score;

mod bars;
mod curve;

pub use curve::reliability_figure;

/// Ink, paper and sheet of the look, for a file that stands alone.
const INK: &str = "#1c2730";
const PAPER: &str = "#f6f4ee";
const SHEET: &str = "#fffefb";
/// The own face first, then whatever the machine has.
const FACE: &str = "Atkinson Hyperlegible Next, system-ui, sans-serif";

/// Width of the file, and the space around what it holds.
const WIDTH: f64 = 900.0;
const EDGE: f64 = 24.0;
/// Height of its heading.
const HEADING: f64 = 56.0;

/// The whole score as one file: outcomes by cause, and the reliability curve below.
#[must_use]
pub fn score_figure(score: &Score) -> String {
    let bars_height = bars::height(score);
    let height = HEADING + bars_height + curve::SIZE.1 + 2.0 * EDGE;
    let (curve_drawn, of_what) = curve_of(score);
    let mut svg = format!(
        r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {height}" width="{WIDTH}" height="{height}" color="{INK}" font-family="{FACE}" role="img">"#
    );
    let _ = write!(
        svg,
        "<title>How often the causes were right</title><desc>{} {of_what}: {}</desc>",
        bars::in_words(score),
        curve::in_words(curve_drawn)
    );
    let _ = write!(
        svg,
        r#"<rect width="{WIDTH}" height="{height}" fill="{PAPER}"/><rect x="8" y="8" width="{}" height="{}" fill="{SHEET}" stroke="{INK}" stroke-opacity="0.25"/>"#,
        WIDTH - 16.0,
        height - 16.0
    );
    let _ = write!(
        svg,
        r#"<text x="{EDGE}" y="40" font-size="22" font-weight="700" fill="currentColor">How often the causes were right</text><text x="{}" y="40" font-size="15" text-anchor="end" fill="currentColor">{} cases, {} operating conditions</text>"#,
        WIDTH - EDGE,
        score.cases,
        score.conditions
    );
    let _ = write!(svg, r#"<g transform="translate({EDGE} {HEADING})">"#);
    bars::draw(&mut svg, score, WIDTH - 2.0 * EDGE);
    let left = (WIDTH - curve::SIZE.0) / 2.0;
    let top = HEADING + bars_height + EDGE;
    let _ = write!(svg, r#"</g><g transform="translate({left} {top})">"#);
    curve::draw(&mut svg, curve_drawn, of_what);
    svg.push_str("</g></svg>\n");
    svg
}

/// The curve that is drawn, and of which cases: without faults that cost little where there are
/// such, for that nothing is wrong is hardly untrue of those.
fn curve_of(score: &Score) -> (&Reliability, &'static str) {
    let costly = &score.reliability_of_costly;
    if costly.answers < score.reliability.answers && 0 < costly.answers {
        return (costly, "Without faults that cost less than 5 %");
    }
    (&score.reliability, "All cases")
}

/// A share in whole percents.
fn percent(share: f64) -> String {
    format!("{:.0} %", 100.0 * share)
}
