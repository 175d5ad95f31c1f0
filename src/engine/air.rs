//! Moist air: humidity, enthalpy and wet bulb at the site's own barometric pressure.
//!
//! Every equation is of the ASHRAE Handbook Fundamentals 2017 (IP edition), chapter 1, whose
//! numbering is given beside each. Known disagreement: the printed tables there come from a real
//! gas model; the ideal-gas equations stay within 0.7 % of it between -60 and 120 degF.

use crate::units::{
    BtuPerPound, CubicFeetPerPound, Fahrenheit, Feet, HumidityRatio, Psia, RelativeHumidity,
};

/// Barometric pressure at sea level, psia; chapter 1, equation 3.
const SEA_LEVEL_PSIA: f64 = 14.696;
/// Ratio of the molar masses of water and dry air; chapter 1, equation 20.
const MOLAR_MASS_RATIO: f64 = 0.621_945;
/// Where ice and water are in balance, degF: equation 5 holds below, equation 6 above.
pub(super) const TRIPLE_POINT_F: f64 = 32.018;
/// Freezing at one atmosphere, degF: equation 35 holds below, equation 33 from here up.
pub(super) const FREEZING_F: f64 = 32.0;
/// Heat that warms a pound of dry air by a degree, Btu; equations 30, 33 and 35.
const HEAT_OF_AIR: f64 = 0.240;
/// Heights for which equation 3 is stated, ft: 0 to 30,000 and a little below the sea.
const ELEVATION_FT: std::ops::RangeInclusive<f64> = -1500.0..=30_000.0;
/// Temperatures for which equations 5 and 6 are stated, degF.
const SATURATION_F: std::ops::RangeInclusive<f64> = -148.0..=392.0;
/// Steps of the wet bulb search at most: were each a halving, 60 would leave under 1e-15 degF.
const STEPS_MAX: usize = 60;
/// A step shorter than this ends the search, degF.
const SHORTEST_STEP_F: f64 = 1e-10;
/// Width over which the slope is taken, degF.
const SLOPE_WIDTH_F: f64 = 1e-3;

/// Barometric pressure of the standard atmosphere.
///
/// - `elevation`: height over sea level, ft
/// - result: psia, or nothing outside -1,500 to 30,000 ft
/// - reference: ASHRAE Fundamentals 2017, chapter 1, equation 3
/// - known disagreement: weather moves the true pressure by some 0.15 psi (from memory)
#[must_use]
pub fn barometric_pressure(elevation: Feet) -> Option<Psia> {
    if !ELEVATION_FT.contains(&elevation.number()) {
        return None;
    }
    Some(Psia(SEA_LEVEL_PSIA * (1.0 - 6.8754e-6 * elevation.number()).powf(5.2559)))
}

/// Pressure of saturated water vapour over ice or water.
///
/// - `temperature`: degF
/// - result: psia, or nothing outside -148 to 392 degF
/// - reference: ASHRAE Fundamentals 2017, chapter 1, equations 5 (ice) and 6 (water)
#[must_use]
pub fn saturation_pressure(temperature: Fahrenheit) -> Option<Psia> {
    if !SATURATION_F.contains(&temperature.number()) {
        return None;
    }
    let rankine = temperature.rankine();
    let logarithm = if temperature.number() <= TRIPLE_POINT_F {
        -1.021_416_5e4 / rankine - 4.893_242_8 - 5.376_579_4e-3 * rankine
            + 1.920_237_7e-7 * rankine.powi(2)
            + 3.557_583_2e-10 * rankine.powi(3)
            - 9.034_468_8e-14 * rankine.powi(4)
            + 4.163_501_9 * rankine.ln()
    } else {
        -1.044_039_7e4 / rankine - 1.129_465_0e1 - 2.702_235_5e-2 * rankine
            + 1.289_036_0e-5 * rankine.powi(2)
            - 2.478_068_1e-9 * rankine.powi(3)
            + 6.545_967_3 * rankine.ln()
    };
    Some(Psia(logarithm.exp()))
}

/// Humidity ratio of saturated air.
///
/// - `temperature`: degF; `barometric`: psia
/// - result: lb water / lb dry air, or nothing where water would boil
/// - reference: ASHRAE Fundamentals 2017, chapter 1, equation 21
#[must_use]
pub fn saturation_humidity_ratio(
    temperature: Fahrenheit,
    barometric: Psia,
) -> Option<HumidityRatio> {
    let vapour = saturation_pressure(temperature)?.number();
    humidity_ratio_of_vapour_pressure(vapour, barometric)
}

fn humidity_ratio_of_vapour_pressure(vapour: f64, barometric: Psia) -> Option<HumidityRatio> {
    let dry = barometric.number() - vapour;
    (dry > 0.0).then(|| HumidityRatio(MOLAR_MASS_RATIO * vapour / dry))
}

/// Humidity ratio from dry and wet bulb.
///
/// - `dry_bulb`, `wet_bulb`: degF; `barometric`: psia
/// - result: lb water / lb dry air, or nothing where no air has both temperatures (a wet bulb
///   above the dry bulb, or so far below it that the air would hold less than no water)
/// - reference: ASHRAE Fundamentals 2017, chapter 1, equations 33 (water) and 35 (ice)
/// - known disagreement: `PsychroLib` lifts a negative result to 1e-7; here it is refused
#[must_use]
pub fn humidity_ratio(
    dry_bulb: Fahrenheit,
    wet_bulb: Fahrenheit,
    barometric: Psia,
) -> Option<HumidityRatio> {
    let is_possible = wet_bulb.number() <= dry_bulb.number();
    let ratio = ratio_of_wet_bulb(dry_bulb, wet_bulb, barometric).filter(|_| is_possible)?;
    (ratio >= 0.0).then_some(HumidityRatio(ratio))
}

/// Equations 33 and 35 wherever they have a number, below nothing too.
fn ratio_of_wet_bulb(dry_bulb: Fahrenheit, wet_bulb: Fahrenheit, barometric: Psia) -> Option<f64> {
    let (dry, wet) = (dry_bulb.number(), wet_bulb.number());
    let saturated = saturation_humidity_ratio(wet_bulb, barometric)?.number();
    let held = heat_of_water(wet) * saturated - HEAT_OF_AIR * (dry - wet);
    let ratio = if wet >= FREEZING_F {
        held / (1093.0 + 0.444 * dry - wet)
    } else {
        held / (1220.0 + 0.444 * dry - 0.48 * wet)
    };
    ratio.is_finite().then_some(ratio)
}

/// Heat that a pound of water takes as it leaves the wick, Btu; equations 33 (water) and 35 (ice).
fn heat_of_water(wet: f64) -> f64 {
    if wet >= FREEZING_F { 1093.0 - 0.556 * wet } else { 1220.0 - 0.04 * wet }
}

/// Dry bulb of air that holds no water at all: no air of this wet bulb is warmer.
///
/// - `wet_bulb`: degF; `barometric`: psia
/// - result: degF, or nothing where water would boil
/// - reference: ASHRAE Fundamentals 2017, chapter 1, equations 33 and 35, solved for no humidity
#[must_use]
pub fn warmest_dry_bulb(wet_bulb: Fahrenheit, barometric: Psia) -> Option<Fahrenheit> {
    let wet = wet_bulb.number();
    let saturated = saturation_humidity_ratio(wet_bulb, barometric)?.number();
    Some(Fahrenheit(wet + heat_of_water(wet) * saturated / HEAT_OF_AIR))
}

/// Humidity ratio from dry bulb and relative humidity.
///
/// - `dry_bulb`: degF; `relative`: percent, 0 to 100; `barometric`: psia
/// - result: lb water / lb dry air
/// - reference: ASHRAE Fundamentals 2017, chapter 1, equations 12 and 20
#[must_use]
pub fn humidity_ratio_of_relative(
    dry_bulb: Fahrenheit,
    relative: RelativeHumidity,
    barometric: Psia,
) -> Option<HumidityRatio> {
    if !(0.0..=100.0).contains(&relative.number()) {
        return None;
    }
    let vapour = saturation_pressure(dry_bulb)?.number() * relative.number() / 100.0;
    humidity_ratio_of_vapour_pressure(vapour, barometric)
}

/// Wet bulb of air whose humidity ratio is known.
///
/// - `dry_bulb`: degF; `ratio`: lb / lb; `barometric`: psia
/// - result: degF, or nothing for more water than the air can hold
/// - reference: ASHRAE Fundamentals 2017, chapter 1, equations 33 and 35, solved along the slope and
///   by halving where the slope leads astray
/// - known disagreement: at the switch from ice to water two wet bulbs can belong to one
///   humidity ratio between 32.0 and 33.3 degF; the search then gives one of the two
#[must_use]
pub fn wet_bulb(
    dry_bulb: Fahrenheit,
    ratio: HumidityRatio,
    barometric: Psia,
) -> Option<Fahrenheit> {
    let saturated = saturation_humidity_ratio(dry_bulb, barometric)?;
    if !(0.0..=saturated.number() * (1.0 + 1e-9)).contains(&ratio.number()) {
        return None;
    }
    let over =
        |wet: f64| Some(ratio_of_wet_bulb(dry_bulb, Fahrenheit(wet), barometric)? - ratio.number());
    let (mut low, mut high) = (*SATURATION_F.start(), dry_bulb.number());
    let mut wet = high;
    for _ in 0..STEPS_MAX {
        let here = over(wet)?;
        if here < 0.0 {
            low = wet;
        } else {
            high = wet;
        }
        let slope = (here - over(wet - SLOPE_WIDTH_F)?) / SLOPE_WIDTH_F;
        let along = wet - here / slope;
        let next = if low < along && along < high { along } else { f64::midpoint(low, high) };
        let step = (next - wet).abs();
        wet = next;
        if step < SHORTEST_STEP_F {
            break;
        }
    }
    Some(Fahrenheit(wet))
}

/// Volume of moist air.
///
/// - `dry_bulb`: degF; `ratio`: lb water / lb dry air; `barometric`: psia, above nothing
/// - result: ft3 / lb dry air, or nothing without air
/// - reference: ASHRAE Fundamentals 2017, chapter 1, equation 26
#[must_use]
pub fn specific_volume(
    dry_bulb: Fahrenheit,
    ratio: HumidityRatio,
    barometric: Psia,
) -> Option<CubicFeetPerPound> {
    let moisture = 1.0 + 1.607_858 * ratio.number();
    let volume = 0.370_486 * dry_bulb.rankine() * moisture / barometric.number();
    (volume.is_finite() && volume > 0.0).then_some(CubicFeetPerPound(volume))
}

/// Enthalpy of moist air.
///
/// - `dry_bulb`: degF; `ratio`: lb water / lb dry air
/// - result: Btu / lb dry air
/// - reference: ASHRAE Fundamentals 2017, chapter 1, equation 30
#[must_use]
pub fn enthalpy(dry_bulb: Fahrenheit, ratio: HumidityRatio) -> BtuPerPound {
    let dry = dry_bulb.number();
    BtuPerPound(0.240 * dry + ratio.number() * (1061.0 + 0.444 * dry))
}
