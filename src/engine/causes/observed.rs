//! The residuals of one stage with the covariance that the instruments give them, and what keeps
//! the others from being used.

use super::gaussian::{COUNT, Matrix, Vector};
use super::residuals::{self, ALL, Residual};
use super::signature_table::Device;
use super::signatures::Setting;
use super::spread::{Spread, spread};
use crate::engine::input::Input;
use crate::engine::needs::Needs;
use crate::engine::points::PointKey;
use crate::engine::rules::LISTED;
use crate::engine::stage::Stage;
use crate::engine::validity;
use crate::engine::view::View;
use crate::units::{Fahrenheit, Psia};

/// The residuals of one stage.
pub(super) struct Observed {
    /// Places of the residuals that can be used, rising.
    pub(super) used: Vec<usize>,
    /// Every residual, nothing where it can't be used.
    pub(super) value: Vector,
    /// Covariance from the instruments, of those that can be used.
    pub(super) measured: Matrix,
    /// Spread of healthy systems.
    pub(super) spread: [Spread; COUNT],
    pub(super) setting: Setting,
}

/// Pressures that may drive the flow through a metering device, psi: beyond them the readings are
/// no running system's, and the tabled one stands in.
const DRIVING_PSI: std::ops::RangeInclusive<f64> = 40.0..=500.0;
/// Pressure difference and saturation slope where nothing was read: R-410A at 45 and 110 degF.
const USUAL_DRIVING_PSI: f64 = 236.0;
const USUAL_SATURATION_SLOPE: f64 = 0.198;
/// Half of the pressure step by which the saturation's slope is taken, psi.
const SLOPE_STEP_PSI: f64 = 5.0;

/// Where the residuals begin in the list of measures: they are its last.
pub(super) fn first_place() -> usize {
    LISTED.len().saturating_sub(COUNT)
}

/// The residuals of a stage whose measures were worked out.
pub(super) fn observe(stage: &Stage) -> Observed {
    let first = first_place();
    let mut value = [0.0; COUNT];
    let mut used = Vec::with_capacity(COUNT);
    for (place, info) in ALL.iter().enumerate() {
        let Some(found) = stage.estimates.at(first + place) else { continue };
        let needs = stage.estimates.needs(first + place);
        if needs.is_some_and(|it| unusable(stage, info.procedure, it).is_none()) {
            value[place] = found.value;
            used.push(place);
        }
    }
    let setting = setting(stage);
    let facts = stage.facts();
    let spread = std::array::from_fn(|it| spread(ALL[it].residual, facts, setting.expected[it]));
    Observed { measured: covariance(stage, &used), used, value, spread, setting }
}

/// Why a residual can't be used although it could be worked out.
fn unusable(stage: &Stage, procedure: validity::Procedure, needs: &Needs) -> Option<String> {
    validity::too_cold(stage, procedure)
        .or_else(|| validity::other_refrigerant(stage, procedure))
        .or_else(|| validity::unmet_condition(stage, procedure, needs))
}

/// What keeps a residual from being used, in a sentence, if it is not a missing reading.
pub(super) fn what_spoils(stage: &Stage, residual: Residual) -> Option<String> {
    let info = &ALL[residual as usize];
    let needs = stage.estimates.needs(first_place() + residual as usize)?;
    unusable(stage, info.procedure, needs).or_else(|| validity::worthless_reading(stage, needs))
}

/// What the instruments' errors do to all residuals together.
///
/// - result: covariance in the residuals' units
/// - reference: JCGM 102:2011, 6.2.1.3: the effects of each input, multiplied pair by pair
fn covariance(stage: &Stage, used: &[usize]) -> Matrix {
    let mut all: Matrix = [[0.0; COUNT]; COUNT];
    for effects in effects_by_input(stage).values() {
        for row in used {
            for column in used.iter().take_while(|it| *it <= row) {
                all[*row][*column] += effects[*row] * effects[*column];
            }
        }
    }
    all
}

/// What each input's standard uncertainty does to every residual, by the input's place.
pub(super) fn effects_by_input(stage: &Stage) -> EffectsByInput {
    let first = first_place();
    let mut all = EffectsByInput::default();
    for (place, input, effect) in stage.estimates.effects_from(first) {
        all.add(input, place - first, effect);
    }
    all
}

/// Effects of a handful of inputs, in the order in which they came.
#[derive(Default)]
pub(super) struct EffectsByInput(Vec<(Input, Vector)>);

impl EffectsByInput {
    fn add(&mut self, input: Input, place: usize, effect: f64) {
        // They come input by input.
        if self.0.last().is_none_or(|it| it.0 != input) {
            self.0.push((input, [0.0; COUNT]));
        }
        if let Some(last) = self.0.last_mut() {
            last.1[place] = effect;
        }
    }

    pub(super) fn values(&self) -> impl Iterator<Item = &Vector> {
        self.0.iter().map(|it| &it.1)
    }

    pub(super) fn iter(&self) -> impl Iterator<Item = &(Input, Vector)> {
        self.0.iter()
    }

    pub(super) fn of(&self, input: Input) -> Option<&Vector> {
        self.0.iter().find(|it| it.0 == input).map(|it| &it.1)
    }
}

fn setting(stage: &Stage) -> Setting {
    let view = View::unmoved(stage);
    let expected = std::array::from_fn(|it| {
        (ALL[it].expected)(&view).filter(|it| it.is_finite()).unwrap_or(0.0)
    });
    let pressure = |key| view.reading(key);
    let driving = pressure(PointKey::LiquidPressurePsig)
        .zip(pressure(PointKey::SuctionPressurePsig))
        .map(|(liquid, suction)| liquid - suction)
        .filter(|it| DRIVING_PSI.contains(it));
    let is_valve = stage.facts().metering.is_expansion_valve();
    Setting {
        device: if is_valve { Device::Valve } else { Device::Fixed },
        expected,
        driving_psi: driving.unwrap_or(USUAL_DRIVING_PSI),
        saturation_slope: saturation_slope(stage, &view).unwrap_or(USUAL_SATURATION_SLOPE),
    }
}

/// Degrees of saturation for each psi at the liquid pressure.
fn saturation_slope(stage: &Stage, view: &View) -> Option<f64> {
    let liquid = view.absolute(PointKey::LiquidPressurePsig)?.number();
    let at = |psia: f64| stage.table?.bubble(Psia(psia)).map(Fahrenheit::number);
    let slope =
        (at(liquid + SLOPE_STEP_PSI)? - at(liquid - SLOPE_STEP_PSI)?) / (2.0 * SLOPE_STEP_PSI);
    (slope.is_finite() && 0.0 < slope).then_some(slope)
}

impl Observed {
    pub(super) fn uses(&self, residual: Residual) -> bool {
        self.used.contains(&(residual as usize))
    }

    /// Covariance of healthy systems of this kind, of all residuals.
    pub(super) fn of_kind(&self) -> Matrix {
        let mut all: Matrix = [[0.0; COUNT]; COUNT];
        for (row, of_row) in self.spread.iter().enumerate() {
            for (column, of_column) in self.spread.iter().enumerate().take(row + 1) {
                all[row][column] = of_row.condenser * of_column.condenser;
            }
            all[row][row] += of_row.own * of_row.own;
        }
        all
    }

    /// Standard uncertainty of a residual from the instruments: as read, or a common one's.
    pub(super) fn measured_u(&self, place: usize) -> f64 {
        let is_used = self.used.contains(&place);
        if is_used { self.measured[place][place].sqrt() } else { residuals::ALL[place].usual_u }
    }
}
