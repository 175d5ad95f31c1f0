//! Evidence: how much one thing that was read or seen speaks for a condition, or against it.
//!
//! Each piece asks one question with two answers, such as "does the filter take more than its
//! limit?". How often the answer is yes where the condition holds, and how often where it doesn't,
//! stand beside it. The reading answers with a probability, not with yes or no: within its error
//! of the limit it says nearly nothing, and no reading says more than its two shares allow.

use super::seen::Seen;
use crate::engine::case::LookedAt;
use crate::engine::limits::LimitName;
use crate::engine::normal::upper_tail;
use crate::engine::points::PointKey;
use crate::engine::uncertainty::Estimate;
use crate::engine::validity::Procedure;

/// What a piece of evidence is read from, and what it is held against.
#[derive(Clone, Copy)]
pub(super) enum Held {
    /// The measure of its key, against the upper limit of its verdict.
    AboveLimit,
    /// The measure of its key, against the lower limit of its verdict.
    BelowLimit,
    /// The measure of its key, to either side of nothing: its size against a number.
    Apart(f64, Procedure),
    /// The measure of its key, against the upper side of a number.
    Above(f64, Procedure),
    /// The measure of its key, against the lower side of a number.
    Below(f64, Procedure),
    /// The measure of its key, against a limit of the book that its verdict does not have.
    AboveBook(LimitName, Procedure),
    /// The probability of a yes, worked out by a function from the place of its measure.
    Own(fn(&Seen, usize) -> Option<f64>, Procedure),
    /// Something that was looked at and found bad.
    FoundBad(LookedAt),
}

/// One piece of evidence.
#[derive(Clone, Copy)]
pub(super) struct Evidence {
    /// Measure or observation that it is read from.
    pub(super) key: &'static str,
    /// What it is held against.
    pub(super) held: Held,
    /// By how much healthy systems differ at the limit, in the unit of the measure: a limit is no
    /// cliff. Added to the instruments' error in squares.
    pub(super) spread: f64,
    /// How often the answer is yes where the condition holds.
    pub(super) if_holds: f64,
    /// How often the answer is yes where it doesn't.
    pub(super) if_not: f64,
    /// What else would explain a yes.
    pub(super) alibi: Option<fn(&Seen) -> Alibi>,
}

/// How far something else explains what was read.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Alibi {
    /// Probability that it does.
    pub(super) explained: f64,
    /// The reading that would tell, where it was not taken.
    pub(super) unread: Option<PointKey>,
}

/// Pieces that lean on one physical quantity. Their errors are not independent, so that only the
/// one that says most counts.
pub(super) struct Quantity(pub(super) &'static [Evidence]);

/// One thing that may have the condition; its quantities are independent of one another.
pub(super) struct Part(pub(super) &'static [Quantity]);

impl Evidence {
    /// A piece without anything that would explain it away.
    pub(super) const fn new(
        key: &'static str,
        held: Held,
        spread: f64,
        (if_holds, if_not): (f64, f64),
    ) -> Self {
        Self { key, held, spread, if_holds, if_not, alibi: None }
    }

    /// A piece whose probability of a yes a function works out, spread and all.
    pub(super) const fn own(
        key: &'static str,
        work_out: fn(&Seen, usize) -> Option<f64>,
        procedure: Procedure,
        shares: (f64, f64),
    ) -> Self {
        Self::new(key, Held::Own(work_out, procedure), 0.0, shares)
    }

    /// Something that was looked at.
    pub(super) const fn seen(at: LookedAt, shares: (f64, f64)) -> Self {
        Self::new(at.word(), Held::FoundBad(at), 0.0, shares)
    }

    /// The same with what else would explain it.
    pub(super) const fn unless(self, alibi: fn(&Seen) -> Alibi) -> Self {
        Self { alibi: Some(alibi), ..self }
    }

    /// How many times likelier the reading is where the condition holds than where it doesn't, or
    /// nothing where it was not taken or says nothing today.
    pub(super) fn ratio(&self, seen: &Seen, place: usize) -> Option<f64> {
        let yes = self.yes(seen, place)?;
        // What explains a high value makes a low one no less telling.
        let alibi = self.alibi.filter(|_| EVEN < yes);
        Some(self.ratio_of(yes, alibi.map_or(0.0, |it| it(seen).explained)))
    }

    /// The same of a probability that the answer is yes.
    ///
    /// - `yes`: 0 to 1; `explained`: probability that something else is there that makes it a yes,
    ///   whether the condition holds or not
    /// - result: between (1 − holds) / (1 − not) and holds / not; 1 at a half, and where all is
    ///   explained
    /// - reference: likelihood of uncertain evidence (Jeffrey 1965, from memory), for values that
    ///   are spread evenly to either side of the limit, wide against the error of reading
    pub(super) fn ratio_of(&self, yes: f64, explained: f64) -> f64 {
        let likely = |share: f64| {
            let share = explained * EXPLAINED_YES + (1.0 - explained) * share;
            share * yes + (1.0 - share) * (1.0 - yes)
        };
        likely(self.if_holds) / likely(self.if_not)
    }

    /// The procedure whose conditions must be met, where the verdict of its measure does not say.
    pub(super) fn procedure(&self) -> Option<Procedure> {
        match self.held {
            Held::Apart(_, it)
            | Held::Above(_, it)
            | Held::Below(_, it)
            | Held::AboveBook(_, it)
            | Held::Own(_, it) => Some(it),
            Held::AboveLimit | Held::BelowLimit | Held::FoundBad(_) => None,
        }
    }

    /// Probability that the answer is yes.
    pub(super) fn yes(&self, seen: &Seen, place: usize) -> Option<f64> {
        let yes = match self.held {
            Held::AboveLimit => {
                let verdict = seen.judged(place)?;
                self.beyond(verdict.value, verdict.u_margin.or(verdict.u), verdict.high, 1.0)
            }
            Held::BelowLimit => {
                let verdict = seen.judged(place)?;
                self.beyond(verdict.value, verdict.u_margin.or(verdict.u), verdict.low, -1.0)
            }
            Held::Apart(number, procedure) => {
                let Estimate { value, u } = seen.estimate(place, procedure)?;
                self.beyond(Some(value.abs()), Some(u), Some(number), 1.0)
            }
            Held::Above(number, procedure) => {
                let Estimate { value, u } = seen.estimate(place, procedure)?;
                self.beyond(Some(value), Some(u), Some(number), 1.0)
            }
            Held::Below(number, procedure) => {
                let Estimate { value, u } = seen.estimate(place, procedure)?;
                self.beyond(Some(value), Some(u), Some(number), -1.0)
            }
            Held::AboveBook(name, procedure) => {
                let Estimate { value, u } = seen.estimate(place, procedure)?;
                self.beyond(Some(value), Some(u), Some(seen.stage.book.value(name)), 1.0)
            }
            Held::Own(work_out, _) => work_out(seen, place),
            Held::FoundBad(at) => seen.was_bad(at).map(|it| f64::from(u8::from(it))),
        };
        yes.filter(|it| it.is_finite())
    }

    /// Probability that the true value lies beyond a limit, to the side of its sign.
    fn beyond(
        &self,
        value: Option<f64>,
        u: Option<f64>,
        limit: Option<f64>,
        side: f64,
    ) -> Option<f64> {
        Some(share_beyond(side * value?, u?, side * limit?, self.spread))
    }
}

/// Probability that the true value lies above a limit.
///
/// - `value`, `u`: with its standard uncertainty; `spread`: standard deviation of what the limit
///   means on one system or another; all in one unit
/// - result: 0 to 1, a half at the limit and for an error without end
/// - reference: JCGM 106:2012, 7.2.2, with the spread added in squares
pub(super) fn share_beyond(value: f64, u: f64, limit: f64, spread: f64) -> f64 {
    upper_tail((limit - value) / (u * u + spread * spread).sqrt())
}

/// The probability at which a reading says nothing.
const EVEN: f64 = 0.5;
/// How often the answer is yes where something else makes it one. Judgement, no source.
pub(super) const EXPLAINED_YES: f64 = 0.95;

/// Of two ratios the one that says more, for or against.
pub(super) fn more_telling(one: f64, other: f64) -> f64 {
    if one.max(one.recip()) < other.max(other.recip()) { other } else { one }
}

/// Odds as a probability.
pub(super) fn probability(odds: f64) -> f64 {
    odds / (1.0 + odds)
}

/// A probability as odds.
pub(super) fn odds(probability: f64) -> f64 {
    probability / (1.0 - probability)
}
