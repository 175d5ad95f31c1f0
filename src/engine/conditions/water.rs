//! Condensate: what speaks for a drain at risk.
//!
//! All shares are judgement, no source. Who looks and finds it bad seldom errs; who finds it in
//! order may have missed it.

use super::evidence::{Evidence, Part, Quantity};
use crate::engine::case::LookedAt;

/// Each may be bad by itself, and each puts the drain at risk. The slope of the outdoor unit says
/// nothing of it.
pub(super) static DRAIN: &[Part] = &[
    Part(&[Quantity(&[Evidence::seen(LookedAt::PanSound, (0.9, 0.005))])]),
    Part(&[Quantity(&[Evidence::seen(LookedAt::DrainRuns, (0.9, 0.005))])]),
    Part(&[Quantity(&[Evidence::seen(LookedAt::DrainTrap, (0.7, 0.01))])]),
    Part(&[Quantity(&[Evidence::seen(LookedAt::DrainSecondary, (0.6, 0.02))])]),
    Part(&[Quantity(&[Evidence::seen(LookedAt::CondensatePump, (0.9, 0.005))])]),
    Part(&[Quantity(&[Evidence::seen(LookedAt::FloatSwitch, (0.9, 0.01))])]),
    // Tracks may be old, of something that was repaired since.
    Part(&[Quantity(&[Evidence::seen(LookedAt::WaterTracks, (0.8, 0.02))])]),
];
