//! Word and shape of what is likely and of what a repair did, and the bar of chance.

use std::fmt::Write as _;

use super::display;
use super::drawing::{EDGE, STRIP, class, place, shape};
use crate::engine::assessment::{Outcome, RepairOutcome};
use crate::engine::causes::compared;
use crate::engine::likely::{Likelihood, in_hundred};

/// Height of a bar of chance; it is as wide as a limit strip.
const CHANCE_HEIGHT: f64 = 14.0;

/// The class of a repair's outcome: what worked is as quiet as what is within.
pub(super) fn repair_class(outcome: RepairOutcome) -> &'static str {
    class(as_verdict(outcome))
}

/// Word and shape of a repair's outcome together, as markup.
pub(super) fn repair_mark(outcome: RepairOutcome) -> String {
    let words = compared::outcome_words(outcome);
    format!(r#"<span class="verdict">{}{words}</span>"#, shape(as_verdict(outcome)))
}

fn as_verdict(outcome: RepairOutcome) -> Outcome {
    match outcome {
        RepairOutcome::Worked => Outcome::Within,
        RepairOutcome::DidNotWork | RepairOutcome::Overshot => Outcome::Outside,
        RepairOutcome::TooClose => Outcome::TooClose,
    }
}

/// The class that gives a likelihood of something bad its ink.
pub(super) fn chance_class(likelihood: Likelihood) -> &'static str {
    match likelihood {
        Likelihood::VeryLikely => "outside",
        Likelihood::Likely => "close",
        Likelihood::Possible => "void",
        Likelihood::Unlikely => "open",
    }
}

/// The shape of a likelihood: a square, the fuller the likelier; verdicts have no squares.
pub(super) fn chance_shape(likelihood: Likelihood) -> &'static str {
    match likelihood {
        Likelihood::VeryLikely => {
            r#"<svg viewBox="0 0 10 10" aria-hidden="true"><path d="M.5.5h9v9h-9z" fill="currentColor"/></svg>"#
        }
        Likelihood::Likely => {
            r#"<svg viewBox="0 0 10 10" aria-hidden="true"><path d="M1 1h8v8H1z" fill="none" stroke="currentColor" stroke-width="1.4"/><path d="M1 1h4v8H1z" fill="currentColor"/></svg>"#
        }
        Likelihood::Possible => {
            r#"<svg viewBox="0 0 10 10" aria-hidden="true"><path d="M1 1h8v8H1z" fill="none" stroke="currentColor" stroke-width="1.4"/></svg>"#
        }
        Likelihood::Unlikely => {
            r#"<svg viewBox="0 0 10 10" aria-hidden="true"><path d="M1 1h8v8H1z" fill="none" stroke="currentColor" stroke-width="1" stroke-dasharray="1.5 1.5"/></svg>"#
        }
    }
}

/// Word and shape of a likelihood together, as markup.
pub(super) fn chance_mark(likelihood: Likelihood) -> String {
    let word = display::capitalised(likelihood.words());
    format!(r#"<span class="verdict">{}{word}</span>"#, chance_shape(likelihood))
}

/// A probability as a small bar on a line from never to always, with the borders of the words.
pub(super) fn chance_bar(probability: f64) -> String {
    let at = |share: f64| place((0.0, 1.0), share, STRIP.0);
    let middle = CHANCE_HEIGHT / 2.0;
    let mut svg = format!(
        r#"<svg class="chance" viewBox="0 0 {} {CHANCE_HEIGHT}" preserveAspectRatio="none" role="img" aria-label="{} %"><line class="track" x1="{EDGE}" x2="{}" y1="{middle}" y2="{middle}"/>"#,
        STRIP.0,
        in_hundred(probability),
        STRIP.0 - EDGE,
    );
    for border in Likelihood::BORDERS {
        let x = at(border);
        // Writing to a String can't fail.
        let _ = write!(svg, r#"<line class="border" x1="{x:.1}" x2="{x:.1}" y1="1" y2="13"/>"#);
    }
    let width = at(probability) - EDGE;
    let _ = write!(svg, r#"<rect class="value" x="{EDGE}" y="4" width="{width:.1}" height="6"/>"#);
    svg.push_str("</svg>");
    svg
}
