//! Which fields a system has: by its kind, its metering device and what its plates say.
//!
//! What is not known is asked for: a plate that nobody wrote down must not hide a reading.

use serde_json::Value;

use super::Field;

/// What decides which fields there are, read once from the `system` part of a document.
struct Facts<'a> {
    system: &'a Value,
    kind: &'a str,
    cabinet: &'a str,
}

/// Whether a system has what a field asks for. `system` is that part of the assess document.
#[must_use]
pub fn fits(field: Field, system: &Value) -> bool {
    let word = |key: &str| system.get(key).and_then(Value::as_str).unwrap_or("");
    let facts = Facts { system, kind: word("kind"), cabinet: word("cabinet") };
    match field {
        Field::Reading(point, _) => facts.has_point(point),
        Field::Observation(key, _) => facts.has_observation(key),
        Field::Hazard("heat_exchanger", _) => facts.may_burn_fuel(),
        Field::Circumstance("defrost", ..) => facts.is_heat_pump(),
        Field::Circumstance("strip_heat_on", ..) => facts.may_heat_by_wire(),
        Field::Circumstance("stage_low", ..) => facts.may_have_stages(),
        _ => true,
    }
}

impl Facts<'_> {
    fn says(&self, key: &str) -> bool {
        self.system.get(key).is_some_and(|it| !it.is_null())
    }

    fn is_ductless(&self) -> bool {
        self.kind == "ductless"
    }

    fn is_heat_pump(&self) -> bool {
        self.kind.ends_with("heat_pump") || self.is_ductless()
    }

    fn has_three_phases(&self) -> bool {
        self.system.get("phases").and_then(Value::as_f64) == Some(3.0)
    }

    /// A furnace heats by fuel, and a packaged unit may.
    fn may_burn_fuel(&self) -> bool {
        !self.is_ductless() && self.cabinet != "air_handler"
    }

    /// Where no furnace heats, a wire may.
    fn may_heat_by_wire(&self) -> bool {
        !self.is_ductless() && self.cabinet != "furnace_with_cased_coil"
    }

    fn may_have_stages(&self) -> bool {
        self.system.get("compressor_stages").and_then(Value::as_f64) != Some(1.0)
    }

    fn may_have_blower_capacitor(&self) -> bool {
        let kind = self.system.get("blower_kind").and_then(Value::as_str);
        let usual = kind.is_none_or(|it| it == "psc") && !self.is_ductless();
        usual || self.says("capacitor_blower_rated_uf")
    }

    fn has_point(&self, point: &str) -> bool {
        match point {
            "volts_l1_l2" | "volts_l2_l3" | "volts_l3_l1" | "compressor_amps_l1"
            | "compressor_amps_l2" | "compressor_amps_l3" => self.has_three_phases(),
            "compressor_amps" => !self.has_three_phases(),
            // A three-phase compressor has no run capacitor, nor has one behind an inverter.
            "capacitor_compressor_uf" | "start_winding_amps" | "capacitor_running_volts" => {
                (!self.has_three_phases() && !self.is_ductless())
                    || self.says("capacitor_compressor_rated_uf")
            }
            "capacitor_fan_uf" => !self.is_ductless() || self.says("capacitor_fan_rated_uf"),
            "capacitor_blower_uf" => self.may_have_blower_capacitor(),
            // A packaged unit has one supply, unless somebody wrote down a second one.
            "volts_indoor" => !self.kind.starts_with("packaged") || self.says("volts_indoor_rated"),
            "reversing_valve_rise_f" => self.is_heat_pump(),
            "strip_heat_amps" => self.may_heat_by_wire(),
            "ambient_co_ppm" => self.may_burn_fuel(),
            "static_before_coil_inwc" => {
                !self.is_ductless() && matches!(self.cabinet, "" | "furnace_with_cased_coil")
            }
            "static_blower_inlet_inwc" => {
                !self.is_ductless() && matches!(self.cabinet, "" | "blower_with_upstream_coil")
            }
            _ if point.starts_with("static_") => !self.is_ductless(),
            "return_grille_db_f" | "supply_register_db_f" | "airflow_cfm" | "blower_watts" => {
                !self.is_ductless()
            }
            _ => true,
        }
    }

    fn has_observation(&self, key: &str) -> bool {
        let is_of_ducts = key.starts_with("duct_")
            || matches!(key, "filter_bypass" | "filter_slot_cover" | "cabinet_joints")
            || matches!(key, "coil_case" | "test_holes_plugged" | "airflow_setting");
        let is_of_single_phase = matches!(key, "start_kit");
        !(is_of_ducts && self.is_ductless())
            && !(is_of_single_phase && (self.has_three_phases() || self.is_ductless()))
    }
}
