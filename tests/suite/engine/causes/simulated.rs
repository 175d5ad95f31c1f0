//! The simulated faults of the published table as visits, with the errors of instruments added.
//!
//! The table is our own run of an open simulation (three tons, R-410A, single faults); it is kept
//! with the domain's notes and says how it was made. `tests/causes.py` makes the same visits for
//! the figures of the README.

use std::collections::BTreeMap;

use rand::rngs::StdRng;
use rand::{Rng as _, SeedableRng as _};
use serde_json::{Value, json};

/// One row of the table, by column.
pub type Row = BTreeMap<&'static str, &'static str>;

const TABLE: &str = include_str!("../../../published/simulated_faults_r410a_3ton.csv");
const PSI_PER_KPA: f64 = 0.145_037_738;

/// Standard uncertainties of a set of instruments.
#[derive(Clone, Copy)]
pub struct Instruments {
    temperature_f: f64,
    suction_psi: f64,
    liquid_psi: f64,
    leaving_f: f64,
}

/// A state energy code's minimum: 1.3 degF and 0.1 %, 3.5 and 7 psi (California RA3.2.2.2.2), as
/// likely anywhere within. Condenser discharge air is uneven: judgement, no source.
pub const CODE_MINIMUM: Instruments =
    Instruments { temperature_f: 0.81, suction_psi: 2.02, liquid_psi: 4.04, leaving_f: 1.8 };
/// Good digital ones: 1 and 2.5 psi, 0.9 degF.
pub const GOOD: Instruments =
    Instruments { temperature_f: 0.5, suction_psi: 0.6, liquid_psi: 1.4, leaving_f: 1.2 };

pub fn rows() -> Vec<Row> {
    let mut lines = TABLE.lines();
    let names: Vec<&str> = lines.next().expect("a header").split(',').collect();
    lines.map(|line| names.iter().copied().zip(line.split(',')).collect()).collect()
}

pub fn number(row: &Row, column: &str) -> f64 {
    row[column].parse().expect("a number")
}

/// The cause that documents have for the simulation's fault.
pub fn cause(row: &Row) -> &'static str {
    match row["fault"] {
        "none" => "no_fault",
        "undercharge" => "low_charge",
        "overcharge" => "excess_charge",
        "liquid_line_restriction" | "meter_underfeed" => "feed_restriction",
        "meter_overfeed" => "overfeeding_metering",
        "noncondensables" => "non_condensables",
        "valve_leak" => "compressor_not_pumping",
        same => same,
    }
}

/// Percent of capacity or efficiency that the fault costs, whichever is more.
pub fn cost(row: &Row) -> f64 {
    let capacity = 1.0 + number(row, "d_Q") / 100.0;
    let efficiency = capacity / (1.0 + number(row, "d_Wcomp") / 100.0);
    100.0 * (1.0 - capacity.min(efficiency))
}

pub fn is_at_the_same_conditions(one: &Row, other: &Row) -> bool {
    ["device", "Tod", "Tid"].iter().all(|it| one[it] == other[it])
}

/// What perfect instruments would show.
pub fn readings(row: &Row) -> BTreeMap<&'static str, f64> {
    let fahrenheit = |column: &str| number(row, column) * 1.8 + 32.0;
    let gauge = |column: &str| number(row, column) * PSI_PER_KPA - 14.696;
    // Wet bulb of the two indoor states: HAPropsSI of CoolProp 8.0.0 at 101325 Pa.
    let wet_bulb = if row["Tid"] == "23.3" { 61.676 } else { 66.878 };
    BTreeMap::from([
        ("outdoor_db_f", fahrenheit("Tod")),
        ("return_db_f", fahrenheit("Tid")),
        ("return_wb_f", wet_bulb),
        ("supply_db_f", fahrenheit("Tair_evap_out")),
        ("suction_pressure_psig", gauge("Psuc_kPa")),
        ("liquid_pressure_psig", gauge("Pliq_kPa")),
        ("suction_line_f", fahrenheit("Tsuc_line")),
        ("liquid_line_f", fahrenheit("Tliq_line")),
        ("discharge_line_f", fahrenheit("Tdis")),
        ("condenser_leaving_f", fahrenheit("Tair_cond_out")),
    ])
}

/// Errors of instruments, from a seed.
pub struct Errors {
    instruments: Instruments,
    lots: StdRng,
}

impl Errors {
    pub fn new(instruments: Instruments, seed: u64) -> Self {
        Self { instruments, lots: StdRng::seed_from_u64(seed) }
    }

    fn u_of(&self, point: &str) -> f64 {
        match point {
            "suction_pressure_psig" => self.instruments.suction_psi,
            "liquid_pressure_psig" => self.instruments.liquid_psi,
            "condenser_leaving_f" => self.instruments.leaving_f,
            _ => self.instruments.temperature_f,
        }
    }

    /// A standard normal number: twelve even ones added, less six.
    fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.lots.random_range(0.0..1.0)).sum::<f64>() - 6.0
    }

    /// A visit that reads this.
    pub fn visit(&mut self, row: &Row, readings: &BTreeMap<&'static str, f64>) -> Value {
        let metering =
            if row["device"] == "txv" { "thermostatic_expansion" } else { "fixed_orifice" };
        let u: BTreeMap<_, _> = readings.keys().map(|it| (*it, self.u_of(it))).collect();
        let noisy: BTreeMap<_, _> =
            readings.iter().map(|(key, it)| (*key, it + u[key] * self.normal())).collect();
        json!({
            "system": {
                "kind": "split_air_conditioner", "refrigerant": "R-410A", "metering": metering,
                "liquid_port": "liquid", "nominal_tons": 3, "seer": 14,
                "target_subcooling_f": 12,
            },
            "site": {"elevation_ft": 0},
            "instruments": u,
            "as_found": noisy,
        })
    }
}
