//! A stage with at most one input moved, which is how errors are followed through a formula.
//!
//! What several formulas lean on is worked out once a stage, and once more a move where one of
//! its own inputs is moved.

use std::cell::OnceCell;

use super::air;
use super::input::{Input, InputSet};
use super::needs::{AirStream, RETURN_AIR, SUPPLY_AIR};
use super::points::PointKey;
use super::stage::Stage;
use crate::units::{
    BtuPerPound, CubicFeetPerPound, Fahrenheit, HumidityRatio, Psia, Psig, RelativeHumidity,
};

/// A stage with at most one input moved.
pub(super) struct View<'a> {
    pub(super) stage: &'a Stage<'a>,
    moved: Option<(Input, f64)>,
    shared: Shared,
}

/// What several formulas lean on, each once it was asked for.
#[derive(Default)]
pub(super) struct Shared {
    dew: OnceCell<Option<Fahrenheit>>,
    bubble: OnceCell<Option<Fahrenheit>>,
    return_air: OnceCell<Option<MoistAir>>,
    supply_air: OnceCell<Option<MoistAir>>,
    return_wet_bulb: OnceCell<Option<Fahrenheit>>,
    airflow: OnceCell<Option<f64>>,
    curves: OnceCell<Option<(f64, f64)>>,
}

/// One stream of air in full.
#[derive(Clone, Copy)]
pub(super) struct MoistAir {
    pub(super) ratio: HumidityRatio,
    pub(super) enthalpy: BtuPerPound,
    pub(super) volume: CubicFeetPerPound,
}

const SUCTION: InputSet = InputSet::of_points(&[PointKey::SuctionPressurePsig]);
const LIQUID: InputSet = InputSet::of_points(&[PointKey::LiquidPressurePsig]);
const RETURN_POINTS: InputSet =
    InputSet::of_points(&[PointKey::ReturnDbF, PointKey::ReturnWbF, PointKey::ReturnRhPct]);
const SUPPLY_POINTS: InputSet =
    InputSet::of_points(&[PointKey::SupplyDbF, PointKey::SupplyWbF, PointKey::SupplyRhPct]);

impl<'a> View<'a> {
    /// The stage as it is.
    pub(super) fn unmoved(stage: &'a Stage<'a>) -> Self {
        Self { stage, moved: None, shared: Shared::default() }
    }

    /// The stage with one input moved.
    pub(super) fn moved(stage: &'a Stage<'a>, input: Input, by: f64) -> Self {
        Self { stage, moved: Some((input, by)), shared: Shared::default() }
    }

    /// Where something that leans on these inputs is kept.
    fn shared(&self, inputs: InputSet) -> &Shared {
        if self.is_moved_in(inputs) { &self.shared } else { &self.stage.unmoved }
    }

    /// By how much one input is moved.
    pub(super) fn shift(&self, input: Input) -> f64 {
        match self.moved {
            Some((moved, by)) if moved == input => by,
            _ => 0.0,
        }
    }

    /// Whether something of this set is moved.
    fn is_moved_in(&self, inputs: InputSet) -> bool {
        self.moved.is_some_and(|(moved, _)| inputs.contains(moved))
    }

    /// A reading, as moved.
    pub(super) fn reading(&self, key: PointKey) -> Option<f64> {
        self.stage.reading(key).map(|it| it + self.shift(Input::Point(key)))
    }

    pub(super) fn temperature(&self, key: PointKey) -> Option<Fahrenheit> {
        self.reading(key).map(Fahrenheit)
    }

    pub(super) fn barometric(&self) -> Option<Psia> {
        self.stage.barometric
    }

    pub(super) fn absolute(&self, key: PointKey) -> Option<Psia> {
        Some(Psig(self.reading(key)?).over_vacuum(self.barometric()?))
    }

    /// Dew temperature at the suction port.
    pub(super) fn suction_dew(&self) -> Option<Fahrenheit> {
        let work_out = || self.stage.table?.dew(self.absolute(PointKey::SuctionPressurePsig)?);
        let at = *self.shared(SUCTION).dew.get_or_init(work_out);
        Some(Fahrenheit(at?.number() + self.shift(Input::DewLine)))
    }

    /// Bubble temperature at the liquid port.
    pub(super) fn liquid_bubble(&self) -> Option<Fahrenheit> {
        let work_out = || self.stage.table?.bubble(self.absolute(PointKey::LiquidPressurePsig)?);
        let at = *self.shared(LIQUID).bubble.get_or_init(work_out);
        Some(Fahrenheit(at?.number() + self.shift(Input::BubbleLine)))
    }

    /// Dew temperature at any pressure reading.
    pub(super) fn dew(&self, key: PointKey) -> Option<Fahrenheit> {
        let at = self.stage.table?.dew(self.absolute(key)?)?;
        Some(Fahrenheit(at.number() + self.shift(Input::DewLine)))
    }

    /// Bubble temperature at any pressure reading.
    pub(super) fn bubble(&self, key: PointKey) -> Option<Fahrenheit> {
        let at = self.stage.table?.bubble(self.absolute(key)?)?;
        Some(Fahrenheit(at.number() + self.shift(Input::BubbleLine)))
    }

    /// Air on its way to the coil.
    pub(super) fn return_air(&self) -> Option<MoistAir> {
        let cell = &self.shared(RETURN_POINTS).return_air;
        *cell.get_or_init(|| self.moist_air(&RETURN_AIR))
    }

    /// Air on its way to the rooms.
    pub(super) fn supply_air(&self) -> Option<MoistAir> {
        let cell = &self.shared(SUPPLY_POINTS).supply_air;
        *cell.get_or_init(|| self.moist_air(&SUPPLY_AIR))
    }

    /// Wet bulb of the return air: as read, or worked out from the humidity.
    pub(super) fn return_wet_bulb(&self) -> Option<Fahrenheit> {
        if let Some(wet) = self.temperature(RETURN_AIR.wet_bulb) {
            return Some(wet);
        }
        let cell = &self.shared(RETURN_POINTS).return_wet_bulb;
        *cell.get_or_init(|| {
            let dry = self.temperature(RETURN_AIR.dry_bulb)?;
            air::wet_bulb(dry, self.return_air()?.ratio, self.barometric()?)
        })
    }

    /// Airflow by the stage's method, which leans on these inputs.
    pub(super) fn airflow(
        &self,
        inputs: InputSet,
        work_out: impl FnOnce() -> Option<f64>,
    ) -> Option<f64> {
        *self.shared(inputs).airflow.get_or_init(work_out)
    }

    /// Capacity and power of the published curves over the rated ones, which lean on these inputs.
    pub(super) fn curves(
        &self,
        inputs: InputSet,
        work_out: impl FnOnce() -> Option<(f64, f64)>,
    ) -> Option<(f64, f64)> {
        *self.shared(inputs).curves.get_or_init(work_out)
    }

    /// One stream in full: from the wet bulb if read, else from the humidity.
    fn moist_air(&self, stream: &AirStream) -> Option<MoistAir> {
        let dry = self.temperature(stream.dry_bulb)?;
        let ratio = self.humidity_ratio(stream)?;
        let volume = air::specific_volume(dry, ratio, self.barometric()?)?;
        Some(MoistAir { ratio, enthalpy: air::enthalpy(dry, ratio), volume })
    }

    /// Humidity ratio of one stream.
    pub(super) fn humidity_ratio(&self, stream: &AirStream) -> Option<HumidityRatio> {
        let dry = self.temperature(stream.dry_bulb)?;
        let barometric = self.barometric()?;
        if let Some(wet) = self.temperature(stream.wet_bulb) {
            return air::humidity_ratio(dry, wet, barometric);
        }
        let relative = RelativeHumidity(self.reading(stream.relative)?);
        air::humidity_ratio_of_relative(dry, relative, barometric)
    }
}
