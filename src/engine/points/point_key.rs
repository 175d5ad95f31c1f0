//! The measuring points as names, in the order of their table.

use std::fmt;

use serde::de::{Error, Visitor};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::{POINTS, Point};

macro_rules! point_keys {
    ($($name:ident = $key:literal),+ $(,)?) => {
        /// The name of a measuring point.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
        #[expect(missing_docs, reason = "the names are those of the points, which say what they are")]
        pub enum PointKey {
            $($name),+
        }

        impl PointKey {
            /// Every name, in the order of the table.
            pub const ALL: &[Self] = &[$(Self::$name),+];

            /// The key of documents, store and API.
            #[must_use]
            pub const fn key(self) -> &'static str {
                match self { $(Self::$name => $key),+ }
            }

            /// The point of this key.
            #[must_use]
            pub fn of(key: &str) -> Option<Self> {
                match key { $($key => Some(Self::$name),)+ _ => None }
            }
        }
    };
}

point_keys! {
    OutdoorDbF = "outdoor_db_f",
    ReturnDbF = "return_db_f",
    ReturnWbF = "return_wb_f",
    ReturnRhPct = "return_rh_pct",
    ReturnGrilleDbF = "return_grille_db_f",
    SupplyDbF = "supply_db_f",
    SupplyWbF = "supply_wb_f",
    SupplyRhPct = "supply_rh_pct",
    SupplyRegisterDbF = "supply_register_db_f",
    StaticReturnInwc = "static_return_inwc",
    StaticAfterFilterInwc = "static_after_filter_inwc",
    StaticFilterOutInwc = "static_filter_out_inwc",
    StaticBlowerInletInwc = "static_blower_inlet_inwc",
    StaticBeforeCoilInwc = "static_before_coil_inwc",
    StaticAfterCoilInwc = "static_after_coil_inwc",
    AirflowCfm = "airflow_cfm",
    RoomDifferenceF = "room_difference_f",
    ThermostatSettingF = "thermostat_setting_f",
    ThermostatReadingF = "thermostat_reading_f",
    ThermostatBesideF = "thermostat_beside_f",
    SuctionPressurePsig = "suction_pressure_psig",
    LiquidPressurePsig = "liquid_pressure_psig",
    SuctionLineF = "suction_line_f",
    LiquidLineF = "liquid_line_f",
    DrierInF = "drier_in_f",
    DrierOutF = "drier_out_f",
    StandingPressurePsig = "standing_pressure_psig",
    DischargeLineF = "discharge_line_f",
    CondenserLeavingF = "condenser_leaving_f",
    SettledMin = "settled_min",
    VoltsOutdoorIdle = "volts_outdoor_idle",
    VoltsOutdoorRunning = "volts_outdoor_running",
    VoltsL1L2 = "volts_l1_l2",
    VoltsL2L3 = "volts_l2_l3",
    VoltsL3L1 = "volts_l3_l1",
    ContactorDropMv = "contactor_drop_mv",
    CompressorAmps = "compressor_amps",
    CompressorAmpsL1 = "compressor_amps_l1",
    CompressorAmpsL2 = "compressor_amps_l2",
    CompressorAmpsL3 = "compressor_amps_l3",
    StartWindingAmps = "start_winding_amps",
    CapacitorRunningVolts = "capacitor_running_volts",
    CondenserFanAmps = "condenser_fan_amps",
    CapacitorCompressorUf = "capacitor_compressor_uf",
    CapacitorFanUf = "capacitor_fan_uf",
    VoltsIndoor = "volts_indoor",
    VoltsControl = "volts_control",
    BlowerAmps = "blower_amps",
    BlowerWatts = "blower_watts",
    StripHeatAmps = "strip_heat_amps",
    CrankcaseHeaterAmps = "crankcase_heater_amps",
    CapacitorBlowerUf = "capacitor_blower_uf",
    PumpFillS = "pump_fill_s",
    ReversingValveRiseF = "reversing_valve_rise_f",
    AmbientCoPpm = "ambient_co_ppm",
    UnitSlopeSideInPerFt = "unit_slope_side_in_per_ft",
    UnitSlopeFrontInPerFt = "unit_slope_front_in_per_ft",
}

impl PointKey {
    /// What is known of the point.
    #[must_use]
    pub fn point(self) -> &'static Point {
        // The table stands in the order of the names; a test compares the two.
        &POINTS[self as usize]
    }
}

impl Serialize for PointKey {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.key())
    }
}

impl<'de> Deserialize<'de> for PointKey {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_str(KeyVisitor)
    }
}

struct KeyVisitor;

impl Visitor<'_> for KeyVisitor {
    type Value = PointKey;

    fn expecting(&self, out: &mut fmt::Formatter) -> fmt::Result {
        out.write_str("the key of a measuring point")
    }

    fn visit_str<E: Error>(self, key: &str) -> Result<PointKey, E> {
        PointKey::of(key).ok_or_else(|| E::custom("no such measuring point"))
    }
}
