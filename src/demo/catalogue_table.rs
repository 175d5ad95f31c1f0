//! The invented makers' catalogue: lines of outdoor units, coils and air movers.

/// A line of outdoor units, with what stands behind it indoors.
#[derive(Debug)]
pub(super) struct Line {
    pub(super) make: &'static str,
    pub(super) model: &'static str,
    pub(super) kind: &'static str,
    pub(super) refrigerant: &'static str,
    pub(super) metering: &'static str,
    pub(super) cabinet: &'static str,
    pub(super) blower: &'static str,
    pub(super) seer: f64,
    pub(super) target_subcooling_f: f64,
    /// How far a clean condenser's bubble point stands over the outdoor air.
    pub(super) condensing_over_f: f64,
    /// Youngest and oldest in days.
    pub(super) age_days: (i64, i64),
    pub(super) phases: i64,
    /// How many of a hundred systems are of it.
    pub(super) share: u32,
}

/// The line whose capacitors fade; it comes in one size.
pub(super) const FADING: Line = Line {
    make: "VO Thistledown",
    model: "TD14-30",
    kind: "split_air_conditioner",
    refrigerant: "R-410A",
    metering: "thermostatic_expansion",
    cabinet: "furnace_with_cased_coil",
    blower: "constant_torque",
    seer: 14.0,
    target_subcooling_f: 10.0,
    condensing_over_f: 20.0,
    age_days: (1_860, 2_300),
    phases: 1,
    share: 0,
};

/// Make and model of the coils of which a batch leaks.
pub(super) const LEAKING_COIL: (&str, &str) = ("OT Lacewing", "LW-36B");

/// The only three-phase line.
pub(super) const THREE_PHASE: Line = Line {
    make: "QM Fernbridge",
    model: "FB3",
    kind: "split_air_conditioner",
    refrigerant: "R-410A",
    metering: "thermostatic_expansion",
    cabinet: "air_handler",
    blower: "constant_airflow",
    seer: 13.0,
    target_subcooling_f: 11.0,
    condensing_over_f: 21.0,
    age_days: (2_400, 2_900),
    phases: 3,
    share: 0,
};

/// The only line with R-407C.
pub(super) const CHANGED_OVER: Line = Line {
    make: "ZW Curlew",
    model: "CW11",
    kind: "split_air_conditioner",
    refrigerant: "R-407C",
    metering: "fixed_orifice",
    cabinet: "blower_with_upstream_coil",
    blower: "psc",
    seer: 11.0,
    target_subcooling_f: 10.0,
    condensing_over_f: 24.0,
    age_days: (4_800, 5_200),
    phases: 1,
    share: 0,
};

/// The everyday line, on which the leaking coils sit too.
pub(super) const EVERYDAY: Line = Line {
    make: "KJ Plover",
    model: "PL14",
    kind: "split_air_conditioner",
    refrigerant: "R-410A",
    metering: "thermostatic_expansion",
    cabinet: "furnace_with_cased_coil",
    blower: "constant_torque",
    seer: 14.0,
    target_subcooling_f: 10.0,
    condensing_over_f: 20.0,
    age_days: (1_850, 4_600),
    phases: 1,
    share: 36,
};

/// The everyday heat pump; leaking coils sit on it as well, so that no outdoor unit is blamed.
pub(super) const HEAT_PUMP: Line = Line {
    make: "KJ Plover",
    model: "PLH15",
    kind: "split_heat_pump",
    refrigerant: "R-410A",
    metering: "thermostatic_expansion",
    cabinet: "air_handler",
    blower: "constant_torque",
    seer: 15.0,
    target_subcooling_f: 8.0,
    condensing_over_f: 18.0,
    age_days: (1_850, 3_600),
    phases: 1,
    share: 14,
};

/// The other lines.
pub(super) const LINES: &[Line] = &[
    EVERYDAY,
    Line {
        make: "ZW Curlew",
        model: "CW10",
        kind: "split_air_conditioner",
        refrigerant: "R-22",
        metering: "fixed_orifice",
        cabinet: "furnace_with_cased_coil",
        blower: "psc",
        seer: 10.0,
        target_subcooling_f: 10.0,
        condensing_over_f: 26.0,
        age_days: (6_000, 8_400),
        phases: 1,
        share: 16,
    },
    Line {
        make: "ZW Curlew",
        model: "CW12",
        kind: "split_air_conditioner",
        refrigerant: "R-22",
        metering: "fixed_orifice",
        cabinet: "blower_with_upstream_coil",
        blower: "psc",
        seer: 12.0,
        target_subcooling_f: 10.0,
        condensing_over_f: 23.0,
        age_days: (5_600, 6_600),
        phases: 1,
        share: 5,
    },
    Line {
        make: "EY Sandglass",
        model: "SG54",
        kind: "split_air_conditioner",
        refrigerant: "R-454B",
        metering: "thermostatic_expansion",
        cabinet: "furnace_with_cased_coil",
        blower: "constant_airflow",
        seer: 15.0,
        target_subcooling_f: 9.0,
        condensing_over_f: 17.0,
        age_days: (420, 1_150),
        phases: 1,
        share: 9,
    },
    HEAT_PUMP,
    Line {
        make: "VO Thistledown",
        model: "TS32",
        kind: "split_heat_pump",
        refrigerant: "R-32",
        metering: "electronic_expansion",
        cabinet: "air_handler",
        blower: "constant_airflow",
        seer: 16.0,
        target_subcooling_f: 8.0,
        condensing_over_f: 17.0,
        age_days: (500, 1_800),
        phases: 1,
        share: 8,
    },
    Line {
        make: "QM Fernbridge",
        model: "FP12",
        kind: "packaged_air_conditioner",
        refrigerant: "R-410A",
        metering: "fixed_orifice",
        cabinet: "packaged",
        blower: "psc",
        seer: 12.0,
        target_subcooling_f: 10.0,
        condensing_over_f: 23.0,
        age_days: (2_400, 4_800),
        phases: 1,
        share: 7,
    },
    Line {
        make: "QM Fernbridge",
        model: "FPH13",
        kind: "packaged_heat_pump",
        refrigerant: "R-410A",
        metering: "thermostatic_expansion",
        cabinet: "packaged",
        blower: "constant_torque",
        seer: 13.0,
        target_subcooling_f: 10.0,
        condensing_over_f: 21.0,
        age_days: (1_900, 3_800),
        phases: 1,
        share: 5,
    },
];

/// Makes and model beginnings of coils that give no trouble.
pub(super) const COILS: &[(&str, &str)] =
    &[("OT Lacewing", "LW-A"), ("IU Bramblefold", "BF"), ("OT Lacewing", "LW-C")];

/// Makes and model beginnings of furnaces and air handlers.
pub(super) const AIR_MOVERS: &[(&str, &str)] =
    &[("RY Hollowmere", "HM80"), ("KJ Plover", "PLF"), ("RY Hollowmere", "HM95")];

/// Makes and models of thermostats.
pub(super) const THERMOSTATS: &[(&str, &str)] =
    &[("UB Dormouse", "D-7"), ("UB Dormouse", "D-9W"), ("XI Candlewick", "C2")];

/// Nominal tons with the compressor's and the fan's capacitor in microfarads.
pub(super) const SIZES: &[(f64, f64, f64)] = &[
    (2.0, 35.0, 5.0),
    (2.5, 40.0, 5.0),
    (3.0, 45.0, 5.0),
    (3.5, 45.0, 5.0),
    (4.0, 60.0, 7.5),
    (5.0, 70.0, 10.0),
];

/// Filter sizes.
pub(super) const FILTERS: &[&str] = &["16x25x1", "20x20x1", "20x25x4", "16x20x1", "20x25x1"];
