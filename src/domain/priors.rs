//! The company's own priors of causes: the published ones, moved by what repairs found.
//!
//! Two questions are learnt apart, for those who confirm choose what they confirm. **Which fault,
//! where there is one**: a Dirichlet distribution whose mean is the published split and to which
//! each confirmed fault adds one. **How often there is none**: an unanswered visit may have had a
//! fault or not, so that the share moves only as far as the answers leave no other choice. Where
//! every visit was answered, both together are one Dirichlet over all nine.

use crate::engine::causes::{CAUSES, CauseName, Priors, causes_of};

/// How many causes are weighed.
const COUNT: usize = CAUSES.len();

/// For how many visits of one's own the published figures stand (judgement, no source): a company
/// that confirms a handful of repairs barely moves them; some forty outweigh them.
pub const STRENGTH_VISITS: f64 = 40.0;

/// Why there is a version.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PriorWhy {
    /// Somebody confirmed a cause.
    Confirmation,
    /// The owner began again from the published figures.
    Reset,
}

impl PriorWhy {
    /// The word in the store.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Confirmation => "confirmation",
            Self::Reset => "reset",
        }
    }

    /// The reason of that word.
    #[must_use]
    pub fn of_key(key: &str) -> Option<Self> {
        [Self::Confirmation, Self::Reset].into_iter().find(|it| it.key() == key)
    }
}

/// What the company's own people found, and among how many visits.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Evidence {
    /// Confirmations of each cause, in the order of [`CAUSES`]; a pair is half to each.
    pub counts: [f64; COUNT],
    /// Judged visits of the same time, confirmed or not.
    pub visits: f64,
}

impl Evidence {
    /// Counts what was found, each by its word and how often; a word that this program doesn't
    /// know is left out.
    pub fn of<'a>(found: impl IntoIterator<Item = (&'a str, u32)>, visits: u32) -> Self {
        let mut evidence = Self { visits: f64::from(visits), ..Self::default() };
        for (word, times) in found {
            let Some((first, second)) = causes_of(word) else { continue };
            let share = if second.is_some() { 0.5 } else { 1.0 };
            for cause in [Some(first), second].into_iter().flatten() {
                if let Some(count) = evidence.counts.get_mut(cause as usize) {
                    *count += share * f64::from(times);
                }
            }
        }
        evidence
    }

    /// How many visits were confirmed.
    #[must_use]
    pub fn confirmed(&self) -> f64 {
        self.counts.iter().sum()
    }

    /// Probability of each cause before anything is read, in the order of [`CAUSES`]; together
    /// one, and none of them ever zero.
    ///
    /// - share without a fault: the published one, kept between (S·p₀ + n₀)/(S + N), as if every
    ///   unanswered visit had a fault, and (S·p₀ + N − n₁)/(S + N), as if none had
    /// - share of fault k: what is left, times (S·pₖ + cₖ)/(S·(1 − p₀) + n₁)
    /// - with S the strength, p the published shares, N the visits, n₀ and n₁ those confirmed
    ///   without and with a fault, cₖ the confirmations of the fault
    /// - reference: the means of a beta and a Dirichlet distribution; the bounds are those of an
    ///   unknown choice of the answered (Manski, American Economic Review 80, 1990, 319–323, from
    ///   memory)
    #[must_use]
    pub fn shares(&self) -> [f64; COUNT] {
        let published = CAUSES.each_ref().map(|it| it.prior);
        let of_none = |all: &[f64; COUNT]| all.get(CauseName::NoFault as usize).copied();
        let without = of_none(&self.counts).unwrap_or(0.0);
        let with = self.confirmed() - without;
        let visits = self.visits.max(without + with);
        let published_without = of_none(&published).unwrap_or(0.0);
        let own = STRENGTH_VISITS * published_without;
        let lowest = (own + without) / (STRENGTH_VISITS + visits);
        let highest = (own + visits - with) / (STRENGTH_VISITS + visits);
        // The two ends meet where every visit was answered; `max` last, for they may cross there
        // by the last bit of a sum.
        let none = published_without.min(highest).max(lowest);
        let faults = STRENGTH_VISITS * (1.0 - published_without) + with;
        let mut shares = published;
        for ((share, count), cause) in shares.iter_mut().zip(self.counts).zip(&CAUSES) {
            *share = if cause.name == CauseName::NoFault {
                none
            } else {
                (1.0 - none) * (STRENGTH_VISITS * cause.prior + count) / faults
            };
        }
        shares
    }
}

/// The name of a version, as judgements carry it.
#[must_use]
pub fn version(number: i64) -> String {
    format!("priors-{number}")
}

/// The shares under the name of their version, as the engine takes them.
#[must_use]
pub fn named(number: i64, shares: &[f64; COUNT]) -> Priors {
    let mut priors = Priors { version: Some(version(number)), ..Priors::default() };
    for (cause, share) in CAUSES.iter().zip(shares) {
        priors.set(cause.name, *share);
    }
    priors
}
