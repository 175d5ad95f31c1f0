//! The words of a document: each list of choices as a type.

use serde::{Deserialize, Serialize};

macro_rules! words {
    ($(#[$comment:meta])* $name:ident { $($variant:ident = $word:literal: $meaning:literal),+ $(,)? }) => {
        $(#[$comment])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
        pub enum $name {
            #[default]
            $(#[doc = $meaning] #[serde(rename = $word)] $variant,)+
        }

        impl $name {
            /// Every word that a document may use here.
            pub const WORDS: &[&str] = &[$($word),+];

            /// Every value, in the same order.
            pub const ALL: &[Self] = &[$(Self::$variant),+];

            /// The word of the document.
            #[must_use]
            pub const fn word(self) -> &'static str {
                match self { $(Self::$variant => $word),+ }
            }

            /// The meaning for people.
            #[must_use]
            pub const fn label(self) -> &'static str {
                match self { $(Self::$variant => $meaning),+ }
            }
        }
    };
}

words! {
    /// What the system was doing.
    Mode { Cooling = "cooling": "cooling" }
}

words! {
    /// How the system is built.
    SystemKind {
        SplitAirConditioner = "split_air_conditioner": "split air conditioner",
        SplitHeatPump = "split_heat_pump": "split heat pump",
        PackagedAirConditioner = "packaged_air_conditioner": "packaged air conditioner",
        PackagedHeatPump = "packaged_heat_pump": "packaged heat pump",
        Ductless = "ductless": "ductless",
    }
}

words! {
    /// What the rated external static is measured over.
    Cabinet {
        FurnaceWithCasedCoil = "furnace_with_cased_coil": "furnace with a cased coil on it",
        AirHandler = "air_handler": "air handler",
        BlowerWithUpstreamCoil = "blower_with_upstream_coil": "blower with the coil before it",
        Packaged = "packaged": "packaged unit",
    }
}

words! {
    /// Where the filter sits.
    FilterLocation {
        OutsideCabinet = "outside_cabinet": "outside the cabinet",
        InsideCabinet = "inside_cabinet": "inside the cabinet",
    }
}

words! {
    /// The metering device.
    Metering {
        ThermostaticExpansion = "thermostatic_expansion": "thermostatic expansion valve",
        ElectronicExpansion = "electronic_expansion": "electronic expansion valve",
        FixedOrifice = "fixed_orifice": "fixed orifice",
        Capillary = "capillary": "capillary tube",
    }
}

words! {
    /// Where the high side pressure is read.
    LiquidPort {
        Liquid = "liquid": "liquid line port",
        Discharge = "discharge": "discharge port",
    }
}

words! {
    /// Where the low side pressure is read.
    SuctionPort {
        Vapor = "vapor": "vapor line port",
        Suction = "suction": "suction port at the compressor",
    }
}

words! {
    /// The compressor stage at which readings are taken.
    RunningStage {
        Full = "full": "full stage",
        Low = "low": "low stage",
    }
}

words! {
    /// How the blower motor answers to a duct.
    BlowerKind {
        Psc = "psc": "permanent split capacitor",
        ConstantTorque = "constant_torque": "constant torque",
        ConstantAirflow = "constant_airflow": "constant airflow",
    }
}

words! {
    /// The voltage on the nameplate.
    RatedVolts {
        V115 = "115": "115 V",
        V120 = "120": "120 V",
        V208 = "208": "208 V",
        V208Or230 = "208/230": "208/230 V",
        V230 = "230": "230 V",
        V240 = "240": "240 V",
        V460 = "460": "460 V",
    }
}

words! {
    /// What spoils some of the readings.
    Circumstance {
        CondenserCoilWet = "condenser_coil_wet": "the outdoor coil is wet",
        IndoorCoilWetFromWashing = "indoor_coil_wet_from_washing": "the indoor coil is wet from washing",
        PanelsOff = "panels_off": "panels are off",
        StageLow = "stage_low": "it runs in low stage",
        ChargeJustChanged = "charge_just_changed": "the charge was just changed",
        StripHeatOn = "strip_heat_on": "the electric heat is on",
        Defrost = "defrost": "it is in defrost",
    }
}

words! {
    /// Something on the sheet that is looked at and that a condition leans on.
    LookedAt {
        FilterCondition = "filter_condition": "Filter condition",
        CabinetJoints = "cabinet_joints": "Duct joints at the cabinet",
        DuctGaps = "duct_gaps": "Gaps and loose fittings of the ducts",
        DuctDampers = "duct_dampers": "Dampers and their locks",
        DuctSmokeTest = "duct_smoke_test": "Smoke test at the joints",
        PanSound = "pan_sound": "Pan in a fill test",
        DrainRuns = "drain_runs": "Drain and its slope",
        DrainTrap = "drain_trap": "Trap of the drain",
        DrainSecondary = "drain_secondary": "Secondary drain or pan",
        CondensatePump = "condensate_pump": "Condensate pump",
        FloatSwitch = "float_switch": "Float switch",
        WaterTracks = "water_tracks": "Water tracks",
        CoilFace = "coil_face": "Coil face",
        BlowerHousing = "blower_housing": "Blower housing and mounts",
        BreakerSize = "breaker_size": "Breaker or fuse against the plate",
        ContactorPoints = "contactor_points": "Contactor points",
        CapacitorCan = "capacitor_can": "Capacitor can",
        FanBlade = "fan_blade": "Fan blade and bearing",
    }
}

words! {
    /// What came of looking at something.
    CameTo {
        InOrder = "in_order": "in order",
        Fixed = "fixed": "found bad and fixed",
        Attention = "attention": "needs attention",
        NotAccessible = "not_accessible": "not accessible",
        DoesNotApply = "does_not_apply": "does not apply",
    }
}
