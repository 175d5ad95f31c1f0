//! The next reading that would settle a condition best, by the information to be expected of it.

use super::evidence::{EXPLAINED_YES, Evidence, Held, more_telling, odds, probability};
use super::seen::{Seen, rule_at};
use super::{Piece, Weighed, counted};
use crate::engine::needs::Missing;
use crate::engine::points::PointKey;
use crate::engine::rules::LISTED;
use crate::engine::validity::Procedure;

/// Bits that a reading must be expected to bring to be worth asking for. A choice, no source: a
/// fortieth of a plain question that nobody knows the answer of.
const WORTH_BITS: f64 = 0.025;
/// Readings that somebody is asked to take for one piece of evidence at most: the first of them is
/// named.
const MISSING_MAX: usize = 2;

/// What a reading may come to: how likely, and the ratio of its quantity then.
type Outcomes = [(f64, f64); 2];

/// A condition as it stands, but for one part.
struct Standing {
    /// Probability that no other part has it.
    others_sound: f64,
    /// Odds of this part.
    odds: f64,
}

/// The reading that was not taken and would tell most, if any tells enough.
pub(super) fn next_reading(weighed: &Weighed, seen: &Seen) -> Option<PointKey> {
    let is_fixed =
        |it: &Piece| matches!(it.evidence.held, Held::FoundBad(at) if seen.was_fixed(at));
    if weighed.parts.iter().flatten().flatten().any(is_fixed) {
        return None;
    }
    let odds: Vec<_> = weighed.parts.iter().map(|it| weighed.odds_of(it, seen)).collect();
    let sound = odds.iter().flatten().map(|it| 1.0 - probability(*it)).product::<f64>();
    let mut best: Option<(PointKey, f64)> = None;
    for (part, odds) in weighed.parts.iter().zip(odds) {
        // A part of which nothing is known is no part of what the condition says.
        let Some(odds) = odds else { continue };
        let standing = Standing { others_sound: sound / (1.0 - probability(odds)), odds };
        for quantity in part {
            let now = counted(quantity, seen).map_or(1.0, |it| it.1);
            for piece in quantity {
                let Some((key, outcomes)) = outcomes(piece, seen, (&standing, now)) else {
                    continue;
                };
                let bits = standing.information(now, outcomes);
                if WORTH_BITS <= bits && best.is_none_or(|it| it.1 < bits) {
                    best = Some((key, bits));
                }
            }
        }
    }
    best.map(|it| it.0)
}

/// What a piece of evidence could still come to: its own reading, or what would explain it.
fn outcomes(
    piece: &Piece,
    seen: &Seen,
    (standing, now): (&Standing, f64),
) -> Option<(PointKey, Outcomes)> {
    let evidence = piece.evidence;
    let Some(yes) = evidence.yes(seen, piece.place) else {
        let key = takeable(piece, seen)?;
        return Some((key, clear(evidence, probability(standing.odds), now)));
    };
    let alibi = (evidence.alibi?)(seen);
    let key = alibi.unread?;
    let before = probability(standing.odds / now);
    let share = before * evidence.if_holds + (1.0 - before) * evidence.if_not;
    // How likely the explanation is now that there is something to explain.
    let explained = probability(odds(alibi.explained) * EXPLAINED_YES / share);
    Some((key, [(explained, 1.0), (1.0 - explained, evidence.ratio_of(yes, 0.0))]))
}

/// What a clear reading would come to: beyond the limit or not.
fn clear(evidence: &Evidence, holds: f64, now: f64) -> Outcomes {
    let yes = holds * evidence.if_holds + (1.0 - holds) * evidence.if_not;
    [
        (yes, more_telling(now, evidence.ratio_of(1.0, 0.0))),
        (1.0 - yes, more_telling(now, evidence.ratio_of(0.0, 0.0))),
    ]
}

/// The first of the readings that a measure lacks, where nothing else keeps it from meaning
/// something today.
fn takeable(piece: &Piece, seen: &Seen) -> Option<PointKey> {
    let listed = LISTED.get(piece.place)?;
    if !(listed.is_measured)(seen.stage) {
        return None;
    }
    let needs = seen.stage.estimates.needs(piece.place)?;
    let is_much = MISSING_MAX < needs.missing.len();
    let is_read = needs.missing.iter().all(|it| matches!(it, Missing::Reading(_)));
    let procedure = piece.evidence.procedure().or_else(|| {
        let rule = rule_at(piece.place)?;
        Some((rule.procedure)(seen.stage))
    });
    let is_valid = seen.is_valid(procedure.unwrap_or(Procedure::Anytime), needs);
    if is_much || !is_read || !is_valid {
        return None;
    }
    needs.missing.iter().find_map(|it| match it {
        Missing::Reading(key) => Some(*key),
        Missing::Fact(_) => None,
    })
}

impl Standing {
    /// Bits by which a reading is expected to lessen what is not known of the condition.
    ///
    /// - `now`: the ratio of its quantity so far; `outcomes`: what it may come to
    /// - result: bits, 0 to 1
    /// - reference: expected information (Lindley 1956, from memory)
    fn information(&self, now: f64, outcomes: Outcomes) -> f64 {
        let left = outcomes.map(|(share, ratio)| share * entropy(self.with(now, ratio)));
        entropy(self.with(now, now)) - left.iter().sum::<f64>()
    }

    /// Probability of the condition with another ratio in place of the one so far.
    fn with(&self, now: f64, ratio: f64) -> f64 {
        1.0 - self.others_sound * (1.0 - probability(self.odds / now * ratio))
    }
}

/// Bits that are open at a probability.
fn entropy(probability: f64) -> f64 {
    let bits = |it: f64| if 0.0 < it { -it * it.log2() } else { 0.0 };
    bits(probability) + bits(1.0 - probability)
}
