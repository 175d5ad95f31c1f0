//! Moist air against a published library, and against itself.

use fairweather::engine::air;
use fairweather::units::{Fahrenheit, Feet, HumidityRatio, Psia, RelativeHumidity};
use proptest::prelude::*;

use super::nominal_case::assert_near;
use crate::published;

/// Reached against `PsychroLib` 2.5.0: humidity ratio 5e-9 of the value (the oracle's printed
/// digits), enthalpy 5e-8 Btu/lb, relative humidity 5e-8 %, pressure 5e-9 psia.
#[test]
fn moist_air_agrees_with_the_published_library() {
    for row in published::rows("moist_air_PsychroLib_COMPUTED.csv") {
        let cell = |index: usize| row[index].expect("a number");
        let (dry, wet) = (Fahrenheit(cell(0)), Fahrenheit(cell(1)));
        let barometric = air::barometric_pressure(Feet(cell(2))).unwrap();
        assert_near(barometric.number(), cell(3), 1e-7);
        let ratio = air::humidity_ratio(dry, wet, barometric).unwrap();
        assert_near(ratio.number(), cell(4), cell(4) * 1e-8);
        assert_near(air::enthalpy(dry, ratio).number(), cell(5), 1e-7);
        let relative = RelativeHumidity(cell(6));
        let again = air::humidity_ratio_of_relative(dry, relative, barometric).unwrap();
        assert_near(again.number(), cell(4), cell(4) * 1e-7);
    }
}

/// Reached: the last digit that is printed.
#[test]
fn the_everyday_states_agree_with_the_printed_ones() {
    for row in published::rows("moist_air_states_PsychroLib_COMPUTED.csv") {
        let cell = |index: usize| row[index].expect("a number");
        let (dry, wet) = (Fahrenheit(cell(0)), Fahrenheit(cell(1)));
        let barometric = air::barometric_pressure(Feet(cell(2))).unwrap();
        let ratio = air::humidity_ratio(dry, wet, barometric).unwrap();
        assert_near(ratio.number(), cell(3), 5.1e-7);
        assert_near(air::enthalpy(dry, ratio).number(), cell(4), 5.1e-4);
        assert_near(
            air::specific_volume(dry, ratio, barometric).unwrap().number(),
            cell(5),
            5.1e-4,
        );
    }
}

/// Printed whole: barometric pressure to 0.001 psia, from 0 to 10,000 ft.
#[test]
fn barometric_pressure_agrees_with_the_altitude_table() {
    for row in published::rows("altitude_air_factors_COMPUTED.csv") {
        let pressure = air::barometric_pressure(Feet(row[0].unwrap())).unwrap();
        assert_near(pressure.number(), row[2].unwrap(), 1.1e-3);
    }
}

#[test]
fn a_wet_bulb_above_the_dry_bulb_has_no_humidity() {
    assert_eq!(air::humidity_ratio(Fahrenheit(60.0), Fahrenheit(60.1), Psia(14.696)), None);
}

#[test]
fn a_wet_bulb_too_far_below_the_dry_bulb_has_no_humidity() {
    assert_eq!(air::humidity_ratio(Fahrenheit(100.0), Fahrenheit(40.0), Psia(14.696)), None);
}

proptest! {
    #[test]
    fn the_wet_bulb_comes_back_from_the_humidity_it_gave(
        dry in 40.0..110.0_f64, below in 0.0..20.0_f64, feet in 0.0..9000.0_f64
    ) {
        // Between 30 and 34 degF two wet bulbs can belong to one humidity ratio.
        let wet = dry - below;
        prop_assume!(34.0 < wet);
        let barometric = air::barometric_pressure(Feet(feet)).unwrap();
        if let Some(ratio) = air::humidity_ratio(Fahrenheit(dry), Fahrenheit(wet), barometric) {
            let again = air::wet_bulb(Fahrenheit(dry), ratio, barometric).unwrap();
            prop_assert!((again.number() - wet).abs() < 1e-8, "{} is not {wet}", again.number());
        }
    }

    #[test]
    fn moist_air_gives_finite_numbers_or_nothing(
        dry in any::<f64>(), wet in any::<f64>(), pressure in any::<f64>(), ratio in any::<f64>()
    ) {
        let (dry, wet, pressure) = (Fahrenheit(dry), Fahrenheit(wet), Psia(pressure));
        let humidity = air::humidity_ratio(dry, wet, pressure);
        prop_assert!(humidity.is_none_or(|it| it.number().is_finite()));
        let bulb = air::wet_bulb(dry, HumidityRatio(ratio), pressure);
        prop_assert!(bulb.is_none_or(|it| it.number().is_finite()));
    }
}
