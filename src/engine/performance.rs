//! Published correlations: what a healthy unit gives and draws at the day's conditions.

use crate::units::{CfmPerTon, Fahrenheit, FahrenheitDifference, Psia};

/// Whether the unit also heats: the published curves differ a little.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Equipment {
    /// It cools only.
    AirConditioner,
    /// It cools and heats.
    HeatPump,
}

/// Entering wet bulbs for which the curves hold, degF; where a public code base clamps them.
pub const CURVE_WET_BULB_F: std::ops::RangeInclusive<f64> = 57.0..=72.0;
/// Outdoor dry bulbs for which the curves hold, degF: the lower end where a public code base clamps
/// them, the upper end of the sample points that they are checked with.
pub const CURVE_OUTDOOR_F: std::ops::RangeInclusive<f64> = 75.0..=115.0;
/// Shares of the rated airflow for which the curves are taken to hold. Judgement, no source: the
/// sample points go from 0.75 to 1.1.
pub const CURVE_AIRFLOW: std::ops::RangeInclusive<f64> = 0.5..=1.3;

/// Outdoor dry bulbs of the sample points of the split correlation, degF.
pub const SPLIT_OUTDOOR_F: std::ops::RangeInclusive<f64> = 75.0..=115.0;
/// Return dry bulbs of the sample points of the split correlation, degF.
pub const SPLIT_DRY_BULB_F: std::ops::RangeInclusive<f64> = 70.0..=80.0;
/// Return wet bulbs of the sample points of the split correlation, degF.
pub const SPLIT_WET_BULB_F: std::ops::RangeInclusive<f64> = 58.0..=72.0;
/// Airflows of the split correlation, standard cfm a ton; the legal range of its source.
pub const SPLIT_AIRFLOW: std::ops::RangeInclusive<f64> = 150.0..=500.0;

/// Btu/h in a ton of cooling, by definition.
pub const BTUH_PER_TON: f64 = 12_000.0;
/// Btu/h in a watt; 1 W is 3.412142 Btu/h, by definition of the international Btu.
pub const BTUH_PER_WATT: f64 = 3.412_142;
/// Power of a blower, W for each cfm, where it was not read: the usual default of rating models,
/// read in two public code bases.
pub const FAN_WATTS_PER_CFM: f64 = 0.365;
/// Sensible heat of a cubic foot a minute of standard air, Btu/h for each degF: 60 min/h times
/// 0.075 lb/ft3 times 0.24 Btu/lb degF; printed as 1.08 by several makers.
pub const SENSIBLE_FACTOR: f64 = 1.08;

/// Coefficients of `c1 + c2 x + c3 x^2 + c4 y + c5 y^2 + c6 x y`.
struct Biquadratic([f64; 6]);

impl Biquadratic {
    fn at(&self, x: f64, y: f64) -> f64 {
        let [constant, x1, x2, y1, y2, xy] = self.0;
        constant + x1 * x + x2 * x * x + y1 * y + y2 * y * y + xy * x * y
    }
}

/// Coefficients of `c1 + c2 x + c3 x^2`.
struct Quadratic([f64; 3]);

impl Quadratic {
    fn at(&self, x: f64) -> f64 {
        let [constant, x1, x2] = self.0;
        constant + x1 * x + x2 * x * x
    }
}

/// The four curves of one kind of equipment.
struct Curves {
    capacity: Biquadratic,
    energy_input: Biquadratic,
    capacity_by_airflow: Quadratic,
    energy_input_by_airflow: Quadratic,
    rated_airflow: CfmPerTon,
}

/// Cutler and others 2013, NREL/TP-5500-56354, single-speed equipment in cooling; coefficients and
/// rated airflows read in public code bases that agree with each other.
static AIR_CONDITIONER: Curves = Curves {
    capacity: Biquadratic([
        3.670_270_705,
        -0.098_652_414,
        0.000_955_906,
        0.006_552_414,
        -1.56e-5,
        -0.000_131_877,
    ]),
    energy_input: Biquadratic([
        -3.302_695_861,
        0.137_871_531,
        -0.001_056_996,
        -0.012_573_945,
        0.000_214_638,
        -0.000_145_054,
    ]),
    capacity_by_airflow: Quadratic([0.718_605_468, 0.410_099_989, -0.128_705_457]),
    energy_input_by_airflow: Quadratic([1.322_999_05, -0.477_711_207, 0.154_712_157]),
    rated_airflow: CfmPerTon(386.1),
};

/// The same source, heat pump in cooling.
static HEAT_PUMP: Curves = Curves {
    capacity: Biquadratic([
        3.686_376_57,
        -0.098_352_478,
        0.000_956_357,
        0.005_838_141,
        -1.27e-5,
        -0.000_131_702,
    ]),
    energy_input: Biquadratic([
        -3.437_356_399,
        0.136_656_369,
        -0.001_049_231,
        -0.007_937_8,
        0.000_185_435,
        -0.000_144_1,
    ]),
    capacity_by_airflow: Quadratic([0.718_664_047, 0.417_974_09, -0.136_638_137]),
    energy_input_by_airflow: Quadratic([1.143_487_507, -0.139_439_72, -0.004_047_787]),
    rated_airflow: CfmPerTon(394.2),
};

/// The air that a unit works with.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Conditions {
    /// Dry bulb at the condenser.
    pub outdoor: Fahrenheit,
    /// Wet bulb entering the indoor coil.
    pub wet_bulb: Fahrenheit,
    /// Standard airflow over the indoor coil for each ton of rated capacity.
    pub airflow: CfmPerTon,
}

fn curves(equipment: Equipment) -> &'static Curves {
    match equipment {
        Equipment::AirConditioner => &AIR_CONDITIONER,
        Equipment::HeatPump => &HEAT_PUMP,
    }
}

/// Rated airflow that the curves are made for, standard cfm a ton.
#[must_use]
pub fn rated_airflow(equipment: Equipment) -> CfmPerTon {
    curves(equipment).rated_airflow
}

/// Gross capacity as a share of the rated one.
///
/// - `conditions`: outdoor 75 to 115 degF, wet bulb 57 to 72 degF, airflow half to 1.3 of rated
/// - result: a ratio, or nothing outside of those; not normalised, 0.994 at 95 and 67 degF
/// - reference: Cutler and others 2013, NREL/TP-5500-56354, coefficients as read in public code
/// - known disagreement: a single unit differs from the curves by some percent
#[must_use]
pub fn capacity_ratio(equipment: Equipment, conditions: Conditions) -> Option<f64> {
    let curves = curves(equipment);
    let share = airflow_share(curves, conditions)?;
    let (wet, outdoor) = (conditions.wet_bulb.number(), conditions.outdoor.number());
    Some(curves.capacity.at(wet, outdoor) * curves.capacity_by_airflow.at(share))
}

/// Electric power for each unit of capacity, as a share of the rated one.
///
/// - arguments, range, reference and disagreement as for the capacity
/// - result: a ratio; not normalised, 1.009 at 95 and 67 degF
#[must_use]
pub fn energy_input_ratio(equipment: Equipment, conditions: Conditions) -> Option<f64> {
    let curves = curves(equipment);
    let share = airflow_share(curves, conditions)?;
    let (wet, outdoor) = (conditions.wet_bulb.number(), conditions.outdoor.number());
    Some(curves.energy_input.at(wet, outdoor) * curves.energy_input_by_airflow.at(share))
}

/// Airflow over the rated one, or nothing where the curves don't hold.
fn airflow_share(curves: &Curves, conditions: Conditions) -> Option<f64> {
    let share = conditions.airflow.number() / curves.rated_airflow.number();
    let holds = CURVE_WET_BULB_F.contains(&conditions.wet_bulb.number())
        && CURVE_OUTDOOR_F.contains(&conditions.outdoor.number())
        && CURVE_AIRFLOW.contains(&share);
    holds.then_some(share)
}

/// Share of the gross capacity that lowers the air's temperature.
///
/// - `dry_bulb`: return, degF; `conditions`: as for the split
/// - result: a ratio of 1 at most; a coil can't take out less than no water
/// - reference: a state energy code's residential alternative calculation method, cooling
///   correlations (A. Conant), coefficients read in two public code bases
#[must_use]
pub fn sensible_heat_ratio(dry_bulb: Fahrenheit, conditions: Conditions) -> f64 {
    unbounded_sensible_heat_ratio(dry_bulb, conditions).min(1.0)
}

fn unbounded_sensible_heat_ratio(dry_bulb: Fahrenheit, conditions: Conditions) -> f64 {
    let Conditions { outdoor, wet_bulb, airflow } = conditions;
    let (wet, flow) = (wet_bulb.number(), airflow.number());
    0.024_202_0 * dry_bulb.number() - 0.059_215_3 * wet
        + 0.001_265_1 * outdoor.number()
        + 0.001_637_5 * flow
        - 0.000_016_5 * wet * flow
        + 0.000_202_1 * wet * wet
        + 1.508_528_5
}

/// Gross capacity as a share of that at 95, 80 and 67 degF and 400 cfm a ton.
///
/// - `dry_bulb`: return, degF; `conditions`: as for the split
/// - result: a ratio
/// - reference: as for the sensible heat ratio, of which it depends whether the coil is dry
#[must_use]
pub fn code_capacity_ratio(dry_bulb: Fahrenheit, conditions: Conditions) -> f64 {
    let Conditions { outdoor, wet_bulb, airflow } = conditions;
    let (dry, wet) = (dry_bulb.number(), wet_bulb.number());
    let (outdoor, flow) = (outdoor.number(), airflow.number());
    if unbounded_sensible_heat_ratio(dry_bulb, conditions) < 1.0 {
        return 0.009_645_9 * wet + 0.002_536_9 * outdoor + 0.000_171_5 * flow
            - 0.000_095_9 * wet * outdoor
            + 0.000_008_18 * wet * flow
            - 0.000_007_55 * outdoor * flow
            + 0.000_105_7 * wet * wet
            - 53.542_3 / flow
            + 0.381_567_15;
    }
    0.009_483_1 * dry - 0.000_600_6 * outdoor - 0.000_148_9 * flow - 0.000_032_6 * dry * outdoor
        + 0.000_011_9 * dry * flow
        - 0.000_005_05 * outdoor * flow
        - 52.561_74 / flow
        + 0.430_751_6
}

/// Fall of the air's temperature over the coil alone, before the blower warms it.
///
/// - `dry_bulb`: return, 70 to 80 degF; `conditions`: outdoor 75 to 115 degF, wet bulb 58 to 72 degF,
///   150 to 500 standard cfm a ton
/// - result: degF, or nothing outside of those ranges
/// - reference: the two correlations above: sensible share times capacity ratio times a ton, over
///   the heat that the air carries for each degF
#[must_use]
pub fn coil_split(dry_bulb: Fahrenheit, conditions: Conditions) -> Option<FahrenheitDifference> {
    let holds = SPLIT_DRY_BULB_F.contains(&dry_bulb.number())
        && SPLIT_OUTDOOR_F.contains(&conditions.outdoor.number())
        && SPLIT_WET_BULB_F.contains(&conditions.wet_bulb.number())
        && SPLIT_AIRFLOW.contains(&conditions.airflow.number());
    holds.then(|| {
        let share = sensible_heat_ratio(dry_bulb, conditions);
        let ratio = code_capacity_ratio(dry_bulb, conditions);
        let carried = SENSIBLE_FACTOR * conditions.airflow.number();
        FahrenheitDifference(share * ratio * BTUH_PER_TON / carried)
    })
}

/// What a wrong charge does to capacity and power in cooling.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ChargeEffect {
    /// Capacity over that with the right charge.
    pub capacity: f64,
    /// Power over that with the right charge.
    pub power: f64,
}

/// Effect of a charge that is off by a share of the right one.
///
/// - `off`: (actual - right) / right, -0.3 to 0.3; `indoor`, `outdoor`: dry bulbs, degF
/// - result: two multipliers, or nothing beyond 30 % either way
/// - reference: NIST Technical Note 1848 (2014), regression of a heat pump with an expansion valve;
///   coefficients read in a public code base
/// - known disagreement: a fixed orifice loses more, and sooner
#[must_use]
pub fn charge_effect(off: f64, indoor: Fahrenheit, outdoor: Fahrenheit) -> Option<ChargeEffect> {
    let celsius = |it: Fahrenheit| (it.number() - 32.0) / 1.8;
    let (indoor, outdoor) = (celsius(indoor), celsius(outdoor));
    let factor =
        |[a1, a2, a3, a4]: [f64; 4]| 1.0 + (a1 + a2 * indoor + a3 * outdoor + a4 * off) * off;
    let (capacity, power) = if off < 0.0 {
        ([-0.946, 0.0493, -0.001_18, -1.15], [-0.313, 0.0115, 0.002_66, -0.116])
    } else {
        ([-0.163, 0.0114, -0.000_21, -0.140], [0.219, -0.005_01, 0.000_989, 0.284])
    };
    (-0.3..=0.3)
        .contains(&off)
        .then(|| ChargeEffect { capacity: factor(capacity), power: factor(power) })
}

/// Degrees Fahrenheit between the scale's zero and absolute zero, by definition.
const ABSOLUTE_F: f64 = 459.67;

/// Exponent of the compression by refrigerant, computed as said at the compression.
static COMPRESSION: &[(&str, f64)] = &[
    ("R-22", 0.2060),
    ("R-32", 0.2442),
    ("R-134a", 0.1453),
    ("R-407C", 0.1692),
    ("R-410A", 0.1983),
    ("R-417A", 0.1430),
    ("R-421A", 0.1433),
    ("R-422B", 0.1434),
    ("R-422D", 0.1438),
    ("R-427A", 0.1623),
    ("R-452B", 0.2110),
    ("R-454A", 0.1727),
    ("R-454B", 0.2121),
    ("R-454C", 0.1559),
];

/// Temperature of a gas that an ordinary compressor has compressed.
///
/// - `refrigerant`: its designation; `suction`: temperature of the gas before, degF; `pressures`:
///   before and after, psia
/// - result: degF, or nothing for a refrigerant without an exponent and at vacuum
/// - reference: T2 = T1 (p2/p1)^n, absolute; n by refrigerant, computed with CoolProp 8.0.0 from
///   45 degF and 10 degF of superheat to 110 degF at an isentropic efficiency of 0.70
/// - known disagreement: at efficiencies of 0.6 and 0.8 it is 9 degF hotter and 7 degF cooler
#[must_use]
pub fn compressed(
    refrigerant: &str,
    suction: Fahrenheit,
    (low, high): (Psia, Psia),
) -> Option<Fahrenheit> {
    let exponent = COMPRESSION.iter().find(|it| it.0 == refrigerant)?.1;
    let ratio = high.number() / low.number();
    let absolute = suction.number() + ABSOLUTE_F;
    (ratio > 0.0 && ratio.is_finite())
        .then(|| Fahrenheit(absolute * ratio.powf(exponent) - ABSOLUTE_F))
}
