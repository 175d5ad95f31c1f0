//! Propagated uncertainties against a simulation with a fixed seed.

use fairweather::engine::assess;
use fairweather::engine::case::Case;
use fairweather::engine::limits::LimitBook;
use fairweather::engine::refrigerant::table;
use fairweather::units::Psia;
use rand::rngs::StdRng;
use rand::{Rng, SeedableRng};

use super::nominal_case::{assert_near, assessed, case, document, with};

const DRAWS: usize = 100_000;

/// A standard normal number; Box and Muller, Annals of Mathematical Statistics 29 (1958).
fn normal(chance: &mut StdRng) -> f64 {
    let radius = (-2.0 * (1.0 - chance.random::<f64>()).ln()).sqrt();
    radius * (std::f64::consts::TAU * chance.random::<f64>()).cos()
}

fn deviation(values: &[f64]) -> f64 {
    let count = f64::from(u32::try_from(values.len()).unwrap());
    let mean = values.iter().sum::<f64>() / count;
    (values.iter().map(|it| (it - mean).powi(2)).sum::<f64>() / (count - 1.0)).sqrt()
}

fn u_of(measure: &str) -> f64 {
    let stage = assessed(&document()).as_found;
    stage.measures.iter().find(|it| it.measure == measure).expect("the measure").u
}

/// Reached: 0.13 % and 0.24 % of the simulated deviation, which 100,000 draws know to 0.2 %.
#[test]
fn superheat_and_subcooling_spread_as_a_simulation_says() {
    let mut chance = StdRng::seed_from_u64(1);
    let line = table("R-410A").unwrap();
    let mut superheat = Vec::new();
    let mut subcooling = Vec::new();
    for _ in 0..DRAWS {
        let suction = 125.0 + 14.696 + normal(&mut chance);
        let dew = line.dew(Psia(suction)).unwrap().number() + 0.15 * normal(&mut chance);
        superheat.push(54.5 + 0.7 * normal(&mut chance) - dew);
        let liquid = 360.0 + 14.696 + 2.5 * normal(&mut chance);
        let bubble = line.bubble(Psia(liquid)).unwrap().number() + 0.15 * normal(&mut chance);
        subcooling.push(bubble - 98.5 - 0.7 * normal(&mut chance));
    }
    let (simulated, propagated) = (deviation(&superheat), u_of("superheat_f"));
    assert_near(propagated / simulated, 1.0, 0.03);
    let (simulated, propagated) = (deviation(&subcooling), u_of("subcooling_f"));
    assert_near(propagated / simulated, 1.0, 0.03);
}

/// The engine itself is asked for each draw, with everything shared left shared.
#[test]
fn the_target_of_a_fixed_orifice_spreads_as_a_simulation_says() {
    let document = with("/system/metering", "fixed_orifice");
    let document = super::nominal_case::changed(document, "/as_found/return_wb_f", 67.0);
    let book = LimitBook::default();
    let nominal = case(&document);
    let find = |case: &Case| {
        let stage = assess(case, &book).as_found;
        stage.verdicts.into_iter().find(|it| it.measure == "superheat_f").expect("a verdict")
    };
    let propagated = find(&nominal).u_margin.expect("a margin");
    let mut chance = StdRng::seed_from_u64(2);
    let mut margins = Vec::new();
    for _ in 0..4000 {
        let mut drawn = nominal.clone();
        for (key, u) in [
            ("outdoor_db_f", 0.5),
            ("return_wb_f", 0.7),
            ("suction_pressure_psig", 1.0),
            ("suction_line_f", 0.7),
        ] {
            *drawn.as_found.get_mut(key).expect("a reading") += u * normal(&mut chance);
        }
        let verdict = find(&drawn);
        // What no reading carries: the refrigerant's table and the chart's whole degrees.
        let unseen = 0.15 * normal(&mut chance) + (chance.random::<f64>() - 0.5);
        margins.push(verdict.value.unwrap() - verdict.target.unwrap() + unseen);
    }
    assert_near(propagated / deviation(&margins), 1.0, 0.04);
}

#[test]
fn the_instrument_on_record_goes_before_the_common_one() {
    let coarse = with("/instruments/suction_pressure_psig", 5.0);
    let stage = assessed(&coarse).as_found;
    let found = stage.measures.iter().find(|it| it.measure == "saturated_suction_f").unwrap();
    // 0.42 degF a psi at 125 psig of R-410A.
    assert_near(found.u, 5.0 * 0.424, 0.03);
}

#[test]
fn a_wet_bulb_from_humidity_carries_the_errors_of_both() {
    let humid = super::nominal_case::changed(
        with("/as_found/return_rh_pct", 48.0),
        "/as_found/return_wb_f",
        serde_json::Value::Null,
    );
    let stage = assessed(&humid).as_found;
    let found = stage.measures.iter().find(|it| it.measure == "target_split_f").unwrap();
    assert!(0.2 < found.u && found.u < 1.0, "{}", found.u);
}
