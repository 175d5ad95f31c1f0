//! What gauges and clamps would read: the refrigerant circuit, turned round from the engine's own
//! saturation tables.
//!
//! How a missing charge shifts the readings follows the simulated residuals of a three-ton unit
//! (our own runs of an open heat pump model); everything else is judgement, no source.

use super::air::{self, Air};
use super::conditions::{Condition, Weather};
use super::equipment::Equipment;
use super::lots::Lots;
use crate::engine::charts;
use crate::engine::performance;
use crate::engine::refrigerant;
use crate::units::{Fahrenheit, Psia};

/// Readings by point.
pub(super) type Read = Vec<(&'static str, f64)>;

/// Halvings of a pressure search from 5 to 900 psia: 40 leave far less than any gauge shows.
const HALVINGS_MAX: usize = 40;

/// How the circuit departs from health, in degF.
struct Shift {
    superheat: f64,
    subcooling: f64,
    evaporating: f64,
    condensing: f64,
    split: f64,
}

/// All readings of block 10.
pub(super) fn read(
    equipment: &Equipment,
    condition: &Condition,
    weather: Weather,
    lots: &mut Lots,
) -> Read {
    let split = shift(equipment, condition).split;
    let mut all = air::read(equipment, condition, (weather, split), lots);
    all.extend(circuit_readings(equipment, condition, weather, lots));
    all
}

fn shift(equipment: &Equipment, condition: &Condition) -> Shift {
    let tenths = condition.charge_short * 10.0;
    // Beyond a fifth an expansion valve has nothing left to give.
    let starved = (tenths - 2.0).max(0.0);
    let dirt = condition.outdoor_dirt * 5.0;
    if equipment.has_expansion_valve() {
        return Shift {
            superheat: 5.4 * starved,
            subcooling: -5.2 * tenths + 1.1 * dirt,
            evaporating: 0.2 * tenths - 1.5 * starved,
            condensing: -1.6 * tenths + 2.5 * dirt,
            split: -0.25 * tenths - 1.4 * starved,
        };
    }
    Shift {
        superheat: 8.8 * tenths - 2.9 * dirt,
        subcooling: -3.8 * tenths + 0.7 * dirt,
        evaporating: -1.6 * tenths + 0.5 * dirt,
        condensing: -1.6 * tenths + 2.4 * dirt,
        split: -1.2 * tenths,
    }
}

fn circuit_readings(
    equipment: &Equipment,
    condition: &Condition,
    weather: Weather,
    lots: &mut Lots,
) -> Read {
    let Air { barometric, wet_bulb_f: wet, .. } = Air::new(equipment, weather);
    let shift = shift(equipment, condition);
    let usual = if equipment.has_expansion_valve() {
        equipment.habits.superheat_f
    } else {
        // Where the chart is blank the unit runs near flooding all the same.
        charts::published_superheat(Fahrenheit(weather.outdoor_f), Fahrenheit(wet))
            .map_or(6.0, |target| target.number() + equipment.habits.subcooling_offset_f)
    };
    let superheat = (usual + shift.superheat + lots.near(0.0, 0.5)).max(1.0);
    let evaporating =
        weather.return_f - 34.0 + 0.3 * (wet - 63.0) + shift.evaporating + lots.near(0.0, 0.4);
    let over = equipment.habits.condensing_over_f + shift.condensing + lots.near(0.0, 0.5);
    let condensing = weather.outdoor_f + over.max(6.0);
    // Liquid that boils in the line is about saturated, whatever more is missing.
    let subcooling = (equipment.line.target_subcooling_f
        + equipment.habits.subcooling_offset_f
        + shift.subcooling)
        .clamp(1.2, over.max(6.0) - 1.0)
        + lots.near(0.0, 0.35);
    let liquid_line = condensing - subcooling;
    // Of a clean coil two thirds of the difference, as in the same simulation; the same heat in less
    // air warms it the more.
    let rise = 0.67 * equipment.habits.condensing_over_f / (1.0 - condition.outdoor_dirt);
    let Some(table) = refrigerant::table(equipment.line.refrigerant) else { return Vec::new() };
    let dew = |pressure| table.dew(pressure);
    let bubble = |pressure| table.bubble(pressure);
    let (low, high) = (boiling_at(dew, evaporating), boiling_at(bubble, condensing));
    let suction = Fahrenheit(evaporating + superheat);
    let pressures = (Psia(low), Psia(high));
    let discharge = performance::compressed(equipment.line.refrigerant, suction, pressures)
        .map_or(condensing + 55.0, Fahrenheit::number);
    let mut all = vec![
        ("suction_pressure_psig", low - barometric.number()),
        ("suction_line_f", suction.number()),
        ("liquid_pressure_psig", high - barometric.number()),
        ("liquid_line_f", liquid_line),
        ("discharge_line_f", discharge + lots.near(0.0, 1.5)),
        ("condenser_leaving_f", weather.outdoor_f + rise + lots.near(0.0, 0.5)),
    ];
    if equipment.index % 4 == 1 {
        all.push(("drier_in_f", liquid_line));
        all.push(("drier_out_f", liquid_line - lots.between(0.0, 0.5)));
    }
    if equipment.line.kind.ends_with("heat_pump") {
        all.push(("reversing_valve_rise_f", lots.between(1.0, 3.0)));
    }
    all
}

/// The absolute pressure at which a saturation line reaches a temperature, by halving.
fn boiling_at(line: impl Fn(Psia) -> Option<Fahrenheit>, temperature: f64) -> f64 {
    let (mut low, mut high) = (5.0, 900.0);
    for _ in 0..HALVINGS_MAX {
        let middle = f64::midpoint(low, high);
        // Beyond its ends a table is silent: low pressures are too cold, high ones too hot.
        let is_colder = line(Psia(middle)).map_or(middle < 60.0, |it| it.number() < temperature);
        if is_colder { low = middle } else { high = middle }
    }
    f64::midpoint(low, high)
}
