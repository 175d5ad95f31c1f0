//! Conditions that a meter tells: what speaks for them.
//!
//! All shares and spreads here are judgement, no source: how often the answer is yes where the
//! condition holds, and where it doesn't.

use std::sync::LazyLock;

use super::evidence::{Alibi, Evidence, Held, Part, Quantity, share_beyond};
use super::seen::{Seen, place_of};
use crate::engine::case::{BlowerKind, LookedAt};
use crate::engine::doubts::are_sections_swapped;
use crate::engine::electrical::{capacitor_deviation, rated_capacitance, required_capacitance};
use crate::engine::limits::LimitName;
use crate::engine::points::PointKey;
use crate::engine::rules::LISTED;
use crate::engine::stage::Stage;
use crate::engine::validity::Procedure;

/// A capacitance below its tolerance is what weak means; what misleads is a rating that was noted
/// wrongly or a section that was not isolated, which the second reading would repeat.
const WEAK: (f64, f64) = (0.97, 0.01);
/// By how much a tolerance that is printed in whole percent may be meant otherwise, %.
const CAPACITOR_SPREAD_PCT: f64 = 0.5;

/// Each capacitor may be weak by itself.
pub(super) static WEAK_CAPACITOR: &[Part] = &[
    Part(&[
        Quantity(&[Evidence::new(
            "capacitor_compressor_deviation_pct",
            Held::BelowLimit,
            CAPACITOR_SPREAD_PCT,
            WEAK,
        )
        .unless(sections_swapped)]),
        // Another instrument, so that its errors are its own; the rating is the same one.
        Quantity(&[Evidence::new("capacitor_running_uf", Held::BelowLimit, 0.5, (0.9, 0.05))]),
        Quantity(&[Evidence::seen(LookedAt::CapacitorCan, (0.3, 0.02))]),
    ]),
    Part(&[Quantity(&[Evidence::new(
        "capacitor_fan_deviation_pct",
        Held::BelowLimit,
        CAPACITOR_SPREAD_PCT,
        WEAK,
    )
    .unless(sections_swapped)])]),
    Part(&[Quantity(&[Evidence::new(
        "capacitor_blower_deviation_pct",
        Held::BelowLimit,
        CAPACITOR_SPREAD_PCT,
        WEAK,
    )])]),
];

/// Two sections that read as each other's rating are likelier swapped than faded.
fn sections_swapped(seen: &Seen) -> Alibi {
    let explained = if are_sections_swapped(seen.stage) { 1.0 } else { 0.0 };
    Alibi { explained, unread: None }
}

/// What the can says against what the motor's plate asks for: a mistake only where one of the two
/// was noted wrongly.
const OTHER_RATING: (f64, f64) = (0.95, 0.005);
/// The capacitance that was read against the motor's plate: a weak one of the right rating reads
/// so too.
const OTHER_READING: (f64, f64) = (0.9, 0.15);

macro_rules! wrong_capacitor {
    ($measure:literal) => {
        Part(&[
            Quantity(&[Evidence::own(
                $measure,
                is_rated_otherwise,
                Procedure::Anytime,
                OTHER_RATING,
            )]),
            Quantity(&[Evidence::own(
                $measure,
                reads_otherwise,
                Procedure::Anytime,
                OTHER_READING,
            )]),
        ])
    };
}

/// Each capacitor may be the wrong one by itself.
pub(super) static WRONG_CAPACITOR: &[Part] = &[
    wrong_capacitor!("capacitor_compressor_required_deviation_pct"),
    wrong_capacitor!("capacitor_fan_required_deviation_pct"),
    wrong_capacitor!("capacitor_blower_required_deviation_pct"),
];

/// The capacitor that a measure speaks of.
fn section_of(place: usize) -> Option<PointKey> {
    match LISTED.get(place)?.definition.key {
        "capacitor_compressor_required_deviation_pct" => Some(PointKey::CapacitorCompressorUf),
        "capacitor_fan_required_deviation_pct" => Some(PointKey::CapacitorFanUf),
        "capacitor_blower_required_deviation_pct" => Some(PointKey::CapacitorBlowerUf),
        _ => None,
    }
}

/// Probability that the capacitor on record is rated outside of the motor's tolerance.
fn is_rated_otherwise(seen: &Seen, place: usize) -> Option<f64> {
    let section = section_of(place).filter(|_| seen.stage.speaks_of(place))?;
    let rated = rated_capacitance(seen.stage, section)?;
    let required = required_capacitance(seen.stage, section)?;
    let apart = capacitor_deviation(rated, required).number().abs();
    let tolerance = tolerance_pct(seen.stage);
    let yes = share_beyond(apart, 0.0, tolerance, CAPACITOR_SPREAD_PCT);
    (apart.is_finite() && tolerance.is_finite()).then_some(yes)
}

/// Probability that what was read lies outside of the motor's tolerance, on either side.
fn reads_otherwise(seen: &Seen, place: usize) -> Option<f64> {
    let verdict = seen.judged(place)?;
    let (value, u) = (verdict.value?, verdict.u?);
    Some(share_beyond(value.abs(), u, verdict.high?, CAPACITOR_SPREAD_PCT))
}

fn tolerance_pct(stage: &Stage) -> f64 {
    let printed = stage.facts().capacitor_tolerance_pct;
    printed.unwrap_or_else(|| stage.book.value(LimitName::CapacitorTolerance))
}

/// Points that are pitted drop more only once they are worn far.
pub(super) static CONTACTOR: &[Part] = &[Part(&[
    Quantity(&[Evidence::new("contactor_drop_mv", Held::AboveLimit, 50.0, (0.85, 0.03))]),
    Quantity(&[Evidence::seen(LookedAt::ContactorPoints, (0.75, 0.08))]),
])];

/// Volts below the range are what low means; what misleads is a plate that was noted wrongly.
const LOW: (f64, f64) = (0.97, 0.003);

/// Each supply may be low by itself. Low at rest already stands in for low while running where
/// only that was read; a deep fall under load tells of the wiring, and a small one of nothing.
pub(super) static LINE_VOLTAGE: &[Part] = &[
    Part(&[
        Quantity(&[Evidence::new(
            "volts_outdoor_deviation_pct",
            Held::BelowLimit,
            VOLTS_SPREAD_PCT,
            LOW,
        )]),
        Quantity(&[Evidence::new("volts_sag_pct", Held::AboveLimit, 1.0, (0.3, 0.1))]),
    ]),
    Part(&[
        Quantity(&[Evidence::new(
            "volts_indoor_deviation_pct",
            Held::BelowLimit,
            VOLTS_SPREAD_PCT,
            LOW,
        )]),
        // The transformer passes on what it gets; it may be overloaded too.
        Quantity(&[Evidence::new("volts_control", Held::BelowLimit, 1.0, (0.3, 0.03))]),
    ]),
];

/// By how much the volts of one supply wander within a visit, %.
const VOLTS_SPREAD_PCT: f64 = 0.5;
/// By how much sound motors differ against their plate, %.
const AMPS_SPREAD_PCT: f64 = 5.0;

/// Compressor, outdoor fan, blower: each may drag by itself. Amps above the plate count only as
/// far as neither low volts nor the load explains them.
pub(super) static MOTORS: &[Part] = &[
    Part(&[Quantity(&[Evidence::new(
        "compressor_amps_pct_of_rla",
        Held::AboveLimit,
        AMPS_SPREAD_PCT,
        (0.6, 0.02),
    )
    .unless(compressor_load)])]),
    Part(&[
        Quantity(&[Evidence::new(
            "condenser_fan_amps_pct_of_fla",
            Held::AboveLimit,
            AMPS_SPREAD_PCT,
            (0.6, 0.02),
        )
        .unless(low_volts_outdoors)]),
        Quantity(&[Evidence::seen(LookedAt::FanBlade, (0.6, 0.03))]),
    ]),
    Part(&[
        Quantity(&[Evidence::new(
            "blower_amps_pct_of_fla",
            Held::AboveLimit,
            AMPS_SPREAD_PCT,
            (0.6, 0.02),
        )
        .unless(blower_load)]),
        Quantity(&[Evidence::seen(LookedAt::BlowerHousing, (0.3, 0.03))]),
    ]),
];

/// Probability of low volts where none were read: that of low line voltage beforehand.
const LOW_VOLTS_UNREAD: f64 = 0.04;
/// Probability that a compressor condenses hot enough for its amps where nobody read it.
const LOAD_UNREAD: f64 = 0.1;
/// Probability of a high external static where it is not known; the amps of a blower that keeps
/// its airflow rise with it.
const STATIC_UNREAD: f64 = 0.3;
/// Condensing temperature from which a compressor's amps are the load's, degF: where ratings of
/// compressors are stated, 120 to 130 degF (from memory).
const CONDENSING_HOT_F: f64 = 125.0;
/// By how much compressors differ in that, degF.
const CONDENSING_SPREAD_F: f64 = 5.0;

/// Places of what explains high amps.
struct Explaining {
    volts_outdoor: usize,
    volts_indoor: usize,
    condensing: usize,
    over_ambient: usize,
    external_static: usize,
}

static EXPLAINING: LazyLock<Explaining> = LazyLock::new(|| Explaining {
    volts_outdoor: place_of("volts_outdoor_deviation_pct"),
    volts_indoor: place_of("volts_indoor_deviation_pct"),
    condensing: place_of("saturated_liquid_f"),
    over_ambient: place_of("condensing_over_ambient_f"),
    external_static: place_of("external_static_inwc"),
});

fn low_volts_outdoors(seen: &Seen) -> Alibi {
    low_volts(seen, EXPLAINING.volts_outdoor, PointKey::VoltsOutdoorRunning)
}

fn low_volts(seen: &Seen, place: usize, point: PointKey) -> Alibi {
    let low = seen
        .judged(place)
        .and_then(|it| Some(share_beyond(-it.value?, it.u?, -it.low?, VOLTS_SPREAD_PCT)));
    let unread = (!seen.stage.has(point)).then_some(point);
    match low {
        Some(explained) => Alibi { explained, unread: None },
        None => Alibi { explained: LOW_VOLTS_UNREAD, unread },
    }
}

/// A compressor that condenses hot works hard, and no motor of it drags.
fn compressor_load(seen: &Seen) -> Alibi {
    let volts = low_volts_outdoors(seen);
    let hot = seen
        .estimate(EXPLAINING.condensing, Procedure::CompressorLoad)
        .filter(|_| seen.stage.other_refrigerant.is_none())
        .map(|it| share_beyond(it.value, it.u, CONDENSING_HOT_F, CONDENSING_SPREAD_F));
    let over = seen
        .judged(EXPLAINING.over_ambient)
        .and_then(|it| Some(share_beyond(it.value?, it.u?, it.high?, CONDENSING_SPREAD_F)));
    let point = PointKey::LiquidPressurePsig;
    let load = match (hot, over) {
        (Some(hot), over) => Alibi { explained: hot.max(over.unwrap_or(0.0)), unread: None },
        (None, _) => {
            Alibi { explained: LOAD_UNREAD, unread: (!seen.stage.has(point)).then_some(point) }
        }
    };
    either(load, volts)
}

fn blower_load(seen: &Seen) -> Alibi {
    let volts = low_volts(seen, EXPLAINING.volts_indoor, PointKey::VoltsIndoor);
    if seen.stage.facts().blower_kind != Some(BlowerKind::ConstantAirflow) {
        return volts;
    }
    let high = seen
        .judged(EXPLAINING.external_static)
        .and_then(|it| Some(share_beyond(it.value?, it.u?, it.high?, 0.03)));
    let explained = high.unwrap_or(STATIC_UNREAD);
    either(Alibi { explained, unread: None }, volts)
}

/// Two explanations that hold independently; what is unread of the first is asked for first.
fn either(one: Alibi, other: Alibi) -> Alibi {
    let explained = 1.0 - (1.0 - one.explained) * (1.0 - other.explained);
    Alibi { explained, unread: one.unread.or(other.unread) }
}

/// Amps are written on the breaker and on the plate: only a slip misleads.
pub(super) static BREAKER: &[Part] = &[Part(&[
    Quantity(&[Evidence::new("breaker_amps", Held::AboveLimit, 0.5, (0.97, 0.003))]),
    // It may be smaller than the plate asks for just as well.
    Quantity(&[Evidence::seen(LookedAt::BreakerSize, (0.8, 0.05))]),
])];

/// Hot gas that leaks over warms the suction gas behind the valve.
pub(super) static REVERSING_VALVE: &[Part] = &[Part(&[Quantity(&[Evidence::new(
    "reversing_valve_rise_f",
    Held::AboveLimit,
    1.5,
    (0.9, 0.02),
)])])];
