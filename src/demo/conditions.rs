//! The state of a system from visit to visit, and the weather in which it is met.

use super::equipment::{Equipment, Story};
use super::lots::Lots;

/// What has worn, leaked or clogged by now.
#[derive(Clone, Copy, Debug)]
pub(super) struct Condition {
    /// Share of the charge that is missing.
    pub(super) charge_short: f64,
    /// How much of the charge leaks away in a season.
    pub(super) leak_rate: f64,
    /// Compressor section of the capacitor, percent off its rating.
    pub(super) compressor_capacitor_pct: f64,
    /// Fan section, percent off its rating.
    pub(super) fan_capacitor_pct: f64,
    /// Blower's capacitor, percent off its rating.
    pub(super) blower_capacitor_pct: f64,
    /// Percent that the compressor section loses in a season.
    pub(super) fade_pct: f64,
    /// By how many times the filter's clean drop has grown.
    pub(super) filter_load: f64,
    /// Share of the outdoor air that dirt keeps away.
    pub(super) outdoor_dirt: f64,
    /// Volts lost over the contactor, in mV.
    pub(super) contactor_mv: f64,
    /// How often its leak was topped up.
    pub(super) topped_up: u32,
}

/// The air outdoors and at the return.
#[derive(Clone, Copy, Debug)]
pub(super) struct Weather {
    pub(super) outdoor_f: f64,
    pub(super) return_f: f64,
    pub(super) relative_pct: f64,
}

impl Condition {
    /// As it was when the company first came.
    pub(super) fn first(equipment: &Equipment, lots: &mut Lots) -> Self {
        let leaks = equipment.story == Story::LeakingCoil;
        let fades = equipment.story == Story::FadingCapacitor;
        // A few everyday systems leak or fade a little too, or a review would have it easy.
        let slow_leak = if lots.happens(0.09) { lots.between(0.02, 0.06) } else { 0.0 };
        let slow_fade =
            if lots.happens(0.06) { lots.between(1.2, 2.0) } else { lots.between(0.05, 0.35) };
        Self {
            charge_short: 0.0,
            leak_rate: if leaks { lots.between(0.10, 0.19) } else { slow_leak },
            compressor_capacitor_pct: lots.near(-0.2, 0.6) - if fades { 3.0 } else { 0.0 },
            fan_capacitor_pct: lots.near(-0.3, 0.7),
            blower_capacitor_pct: lots.near(-0.4, 0.7),
            fade_pct: if fades { lots.between(3.0, 4.4) } else { slow_fade },
            filter_load: 1.0,
            outdoor_dirt: 0.0,
            contactor_mv: if lots.happens(0.05) { 240.0 } else { lots.between(40.0, 110.0) },
            topped_up: 0,
        }
    }

    /// What a year does to it.
    pub(super) fn wear(&mut self, lots: &mut Lots) {
        self.charge_short = (self.charge_short + self.leak_rate * lots.between(0.8, 1.2)).min(0.38);
        self.compressor_capacitor_pct -= self.fade_pct * lots.between(0.8, 1.2);
        self.fan_capacitor_pct -= lots.between(0.05, 0.5);
        self.blower_capacitor_pct -= lots.between(0.05, 0.4);
        self.filter_load =
            if lots.happens(0.22) { lots.between(2.2, 3.8) } else { lots.between(1.0, 1.4) };
        self.outdoor_dirt = if lots.happens(0.12) { lots.between(0.15, 0.35) } else { 0.0 };
        self.contactor_mv += lots.between(2.0, 14.0);
    }
}

impl Weather {
    /// A day of the season: cooler higher up, and damp or dry indoors as it happens.
    pub(super) fn warm(elevation_ft: f64, lots: &mut Lots) -> Self {
        let outdoor_f = lots.near(88.0 - elevation_ft / 1_000.0, 5.5).clamp(66.0, 108.0);
        Self {
            outdoor_f,
            return_f: lots.near(76.0, 1.2).clamp(72.0, 81.0),
            relative_pct: lots.near(52.0, 4.0).clamp(38.0, 66.0),
        }
    }

    /// A spring day on which the charge can't be judged.
    pub(super) fn cold(lots: &mut Lots) -> Self {
        Self { outdoor_f: lots.near(47.0, 1.5), return_f: 71.5, relative_pct: 41.0 }
    }
}
