//! The reliability curve: in each column where the share of true answers should lie, and where it
//! lies.

use std::fmt::Write as _;

use super::percent;
use crate::scoring::reliability::{Bin, Reliability};

/// Width and height of the drawing in its own units.
pub(super) const SIZE: (f64, f64) = (600.0, 420.0);
/// Space left, right, above and below of the columns.
const MARGIN: (f64, f64, f64, f64) = (56.0, 24.0, 40.0, 72.0);
/// Letters of the drawing.
const LETTERS: f64 = 15.0;
/// Free space on both sides of a column's band, and beside its mark.
const GAP: f64 = 4.0;
const BESIDE: f64 = 9.0;

/// The curve for a page: it takes the page's ink (`currentColor`) and can be told otherwise by
/// the classes `reliability`, `axis`, `band`, `target`, `bar` and `value`. A column is one bin of
/// the stated probability; its band is the bin itself, its dashed line the mean that was stated,
/// its mark the share that was true, with the 95 % interval as a whisker.
#[must_use]
pub fn reliability_figure(curve: &Reliability) -> String {
    let (width, height) = SIZE;
    let mut svg = format!(r#"<svg class="reliability" viewBox="0 0 {width} {height}" role="img">"#);
    let _ = write!(
        svg,
        "<title>How often the first cause was true</title><desc>{}</desc>",
        in_words(curve)
    );
    draw(&mut svg, curve, "All answers");
    svg.push_str("</svg>");
    svg
}

/// What the curve shows, for those who don't see it.
pub(super) fn in_words(curve: &Reliability) -> String {
    let bins = curve.bins.iter().filter_map(bin_in_words);
    let told: Vec<String> = bins.collect();
    if told.is_empty() {
        return "No cause was named yet.".to_owned();
    }
    format!("Of what was said to be so likely, how much was true: {}.", told.join("; "))
}

fn bin_in_words(bin: &Bin) -> Option<String> {
    let (share, interval) = (bin.share_true?, bin.interval?);
    let (from, to) = (100.0 * bin.from, 100.0 * bin.to);
    let (low, high) = (100.0 * interval.low, 100.0 * interval.high);
    Some(format!(
        "said {from:.0} to {to:.0} %, {} true of {} ({}, 95 % interval {low:.0} to {high:.0} %)",
        bin.right,
        bin.count,
        percent(share)
    ))
}

/// Draws the curve without a frame of its own.
pub(super) fn draw(svg: &mut String, curve: &Reliability, of_what: &str) {
    let (left, right, ..) = MARGIN;
    draw_axes(svg, of_what);
    let columns = u32::try_from(curve.bins.len()).unwrap_or(1).max(1);
    let width = (SIZE.0 - left - right) / f64::from(columns);
    let mut from = left;
    for bin in &curve.bins {
        draw_bin(svg, bin, from, width);
        from += width;
    }
}

/// Where a share lies.
fn y(share: f64) -> f64 {
    let (.., top, bottom) = MARGIN;
    SIZE.1 - bottom - share * (SIZE.1 - top - bottom)
}

fn draw_axes(svg: &mut String, of_what: &str) {
    let (left, right, _, bottom) = MARGIN;
    let _ = write!(
        svg,
        r#"<text x="0" y="{LETTERS}" font-size="{LETTERS}" fill="currentColor">{of_what}: true, with 95 % interval (band: as said; dashed: mean said)</text>"#
    );
    for step in 0..=4 {
        let share = f64::from(step) / 4.0;
        let here = y(share);
        let _ = write!(
            svg,
            r#"<line class="axis" x1="{left}" x2="{}" y1="{here:.1}" y2="{here:.1}" stroke="currentColor" stroke-opacity="0.25"/>"#,
            SIZE.0 - right
        );
        let words = percent(share);
        label(svg, (left - 8.0, here + 5.0), "end", &words);
    }
    let middle = f64::midpoint(left, SIZE.0 - right);
    label(svg, (middle, SIZE.1 - bottom + 62.0), "middle", "Said to be so likely");
}

fn draw_bin(svg: &mut String, bin: &Bin, from: f64, width: f64) {
    let middle = from + width / 2.0;
    let floor = SIZE.1 - MARGIN.3;
    let _ = write!(
        svg,
        r#"<rect class="band" x="{:.1}" y="{:.1}" width="{:.1}" height="{:.1}" fill="currentColor" fill-opacity="0.12"/>"#,
        from + GAP,
        y(bin.to),
        width - 2.0 * GAP,
        y(bin.from) - y(bin.to)
    );
    let said = format!("{:.0}–{:.0} %", 100.0 * bin.from, 100.0 * bin.to);
    label(svg, (middle, floor + 20.0), "middle", &said);
    let count = if bin.count == 0 { "none".to_owned() } else { format!("n {}", bin.count) };
    label(svg, (middle, floor + 40.0), "middle", &count);
    if let Some(mean) = bin.mean_stated {
        let _ = write!(
            svg,
            r#"<line class="target" x1="{:.1}" x2="{:.1}" y1="{2:.1}" y2="{2:.1}" stroke="currentColor" stroke-width="1.5" stroke-dasharray="5 3"/>"#,
            from + GAP,
            from + width - GAP,
            y(mean)
        );
    }
    let (Some(share), Some(interval)) = (bin.share_true, bin.interval) else { return };
    let _ = write!(
        svg,
        r#"<line class="bar" x1="{middle:.1}" x2="{middle:.1}" y1="{:.1}" y2="{:.1}" stroke="currentColor" stroke-width="2"/><circle class="value" cx="{middle:.1}" cy="{:.1}" r="5" fill="currentColor"/>"#,
        y(interval.low),
        y(interval.high),
        y(share)
    );
    // Beside the mark, and above it so that the dashed line doesn't run through the figure.
    label(svg, (middle + BESIDE, y(share) - 5.0), "start", &percent(share));
}

fn label(svg: &mut String, (x, y): (f64, f64), anchor: &str, words: &str) {
    let _ = write!(
        svg,
        r#"<text x="{x:.1}" y="{y:.1}" font-size="{LETTERS}" text-anchor="{anchor}" fill="currentColor">{words}</text>"#
    );
}
