//! The equipment at the houses: plates of every part, and how each system runs when all is well.

use serde_json::{Value, json};
use time::{Date, Duration};
use uuid::Uuid;

use super::calendar::{Calendar, SEASONS};
use super::catalogue_table::{
    AIR_MOVERS, COILS, FADING, FILTERS, LEAKING_COIL, Line, SIZES, THERMOSTATS,
};
use super::lots::Lots;
use crate::domain::nameplate::Part;
use crate::store::Plate;

/// Where equipment stands.
pub(super) struct Site {
    pub(super) street: String,
    pub(super) town: &'static str,
    pub(super) postal_code: &'static str,
    pub(super) elevation_ft: f64,
    pub(super) latitude: f64,
    pub(super) longitude: f64,
    pub(super) access_note: &'static str,
}

/// What is hidden in a system.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Story {
    /// Nothing but everyday wear.
    Everyday,
    /// Its coil is of the batch that leaks.
    LeakingCoil,
    /// Its outdoor unit came with a capacitor that fades.
    FadingCapacitor,
    /// Its ducts were never repaired.
    UnrepairedDucts,
}

/// A part with its plate.
pub(super) struct PartInPlace {
    pub(super) id: Uuid,
    pub(super) part: Part,
    pub(super) installed_on: Date,
    pub(super) plate: Plate,
}

/// How a system runs when all is well; each a little differently.
pub(super) struct Habits {
    pub(super) superheat_f: f64,
    pub(super) subcooling_offset_f: f64,
    pub(super) condensing_over_f: f64,
    pub(super) split_offset_f: f64,
    pub(super) return_static: f64,
    pub(super) filter_drop: f64,
    pub(super) coil_drop: f64,
    pub(super) supply_static: f64,
    pub(super) volts: f64,
    pub(super) load_share: f64,
    pub(super) fan_share: f64,
    pub(super) blower_share: f64,
    pub(super) room_difference_f: f64,
}

/// A system with all that stands on its plates.
pub(super) struct Equipment {
    pub(super) index: usize,
    pub(super) id: Uuid,
    pub(super) name: &'static str,
    pub(super) customer: usize,
    pub(super) site: usize,
    pub(super) elevation_ft: f64,
    pub(super) story: Story,
    pub(super) line: &'static Line,
    pub(super) filter_inside: bool,
    pub(super) tons: f64,
    pub(super) compressor_uf: f64,
    pub(super) fan_uf: f64,
    pub(super) compressor_rla: f64,
    pub(super) fan_fla: f64,
    pub(super) blower_fla: f64,
    pub(super) installed_on: Date,
    pub(super) first_season: usize,
    pub(super) parts: Vec<PartInPlace>,
    pub(super) habits: Habits,
}

impl Equipment {
    /// What the blower moves with a clean filter.
    pub(super) fn airflow_cfm(&self) -> f64 {
        let habits = &self.habits;
        let coil = if self.line.cabinet == "packaged" { 0.0 } else { habits.coil_drop };
        let filter = if self.filter_inside { 0.0 } else { habits.filter_drop };
        let external = habits.supply_static + habits.return_static + filter + coil;
        let mut pairs = AIRFLOW_ROWS.iter().zip(AIRFLOW_ROWS.iter().skip(1));
        let share = pairs
            .rfind(|(low, _)| low.0 <= external)
            .map(|(low, high)| low.1 + (high.1 - low.1) * (external - low.0) / (high.0 - low.0));
        self.tons * 400.0 * share.unwrap_or(1.08)
    }

    /// One system of a line.
    pub(super) fn new(
        index: usize,
        story: Story,
        line: &'static Line,
        (calendar, site): (Calendar, &Site),
        lots: &mut Lots,
    ) -> Self {
        let (tons, compressor_uf, fan_uf) = match story {
            Story::FadingCapacitor => SIZES[1],
            Story::LeakingCoil => SIZES[2],
            _ if line.phases == 3 => SIZES[5],
            _ => lots.one_of(SIZES),
        };
        let (youngest, oldest) = line.age_days;
        // The batch and the fading units were all put in within one year.
        let oldest = if story == Story::Everyday { oldest } else { youngest + 330 };
        let installed_on = calendar.after(-lots.whole(youngest, oldest));
        let per_ton = if line.phases == 3 { 3.4 } else { 5.3 };
        let mut made = Self {
            index,
            id: lots.id(Calendar::instant(installed_on, 720)),
            name: lots.one_of(&["Whole house", "Main floor", "Upstairs", "Living rooms"]),
            customer: 0,
            site: 0,
            elevation_ft: site.elevation_ft,
            story,
            line,
            filter_inside: lots.happens(0.3),
            tons,
            compressor_uf,
            fan_uf,
            compressor_rla: tenth(tons * per_ton + lots.between(-0.4, 0.6)),
            fan_fla: tenth(0.5 + 0.3 * tons),
            blower_fla: tenth(2.2 + 1.1 * tons),
            installed_on,
            first_season: first_season(calendar, installed_on),
            parts: Vec::new(),
            habits: habits(line, story, lots),
        };
        made.parts = parts(&made, lots);
        made
    }

    /// Whether it takes an expansion valve's targets.
    pub(super) fn has_expansion_valve(&self) -> bool {
        self.line.metering.ends_with("expansion")
    }

    /// A coil of the same size that gives no trouble, to replace a leaking one.
    pub(super) fn sound_coil(&self, made_on: Date, lots: &mut Lots) -> Plate {
        coil_plate(self, ("IU Bramblefold", "BF"), made_on, lots)
    }

    /// A new thermostat.
    pub(super) fn new_thermostat(made_on: Date, lots: &mut Lots) -> Plate {
        thermostat_plate(made_on, lots)
    }
}

fn tenth(value: f64) -> f64 {
    (value * 10.0).round() / 10.0
}

fn first_season(calendar: Calendar, installed_on: Date) -> usize {
    (0..SEASONS).find(|season| installed_on < calendar.opened(*season)).unwrap_or(SEASONS - 1)
}

fn habits(line: &Line, story: Story, lots: &mut Lots) -> Habits {
    let stays_open = if story == Story::UnrepairedDucts { 0.27 } else { 0.0 };
    // Some ducts were always a little small.
    let is_tight = lots.happens(0.07);
    Habits {
        superheat_f: lots.between(8.0, 13.0),
        subcooling_offset_f: lots.near(0.0, 0.5),
        condensing_over_f: line.condensing_over_f + lots.near(0.0, 0.8),
        split_offset_f: lots.near(0.0, 0.3),
        return_static: lots.between(0.06, 0.10) + stays_open * 0.5,
        filter_drop: lots.between(0.040, 0.060),
        coil_drop: lots.between(0.13, 0.18),
        supply_static: lots.between(0.07, 0.11) + stays_open + if is_tight { 0.12 } else { 0.0 },
        volts: lots.between(236.0, 244.0),
        load_share: lots.between(0.70, 0.80),
        fan_share: lots.between(0.80, 0.89),
        blower_share: lots.between(0.72, 0.86),
        room_difference_f: if stays_open > 0.0 { 8.5 } else { lots.between(1.5, 4.0) },
    }
}

fn parts(made: &Equipment, lots: &mut Lots) -> Vec<PartInPlace> {
    let installed_on = made.installed_on;
    let made_on = installed_on.saturating_sub(Duration::days(lots.whole(40, 160)));
    let at = Calendar::instant(installed_on, 720);
    let coil = match made.story {
        Story::LeakingCoil => LEAKING_COIL,
        _ => lots.one_of(COILS),
    };
    let mut plates = vec![
        (Part::OutdoorUnit, outdoor_plate(made, made_on, lots)),
        (Part::IndoorCoil, coil_plate(made, coil, made_on, lots)),
        (Part::AirMover, air_mover_plate(made, made_on, lots)),
        (Part::Filter, filter_plate(made, lots)),
        (Part::Thermostat, thermostat_plate(made_on, lots)),
        (Part::CondensatePath, condensate_plate(lots)),
    ];
    plates
        .drain(..)
        .map(|(part, plate)| PartInPlace { id: lots.id(at), part, installed_on, plate })
        .collect()
}

fn plate(make_and_model: (&str, String), made_on: Date, values: Value, lots: &mut Lots) -> Plate {
    Plate {
        make: make_and_model.0.to_owned(),
        model: make_and_model.1,
        serial: format!(
            "{:02}{:03}-{:05}",
            made_on.year() % 100,
            made_on.ordinal(),
            lots.whole(1, 99_999)
        ),
        manufactured_on: Some(made_on),
        warranty_until: Some(made_on.saturating_add(Duration::days(3_652))),
        nameplate: values,
        reason: String::new(),
    }
}

fn outdoor_plate(made: &Equipment, made_on: Date, lots: &mut Lots) -> Plate {
    let line = made.line;
    let size = format!("{:02.0}", made.tons * 12.0);
    // The fading line's name carries its one size.
    let model = if made.story == Story::FadingCapacitor {
        FADING.model.to_owned()
    } else {
        format!("{}-{size}", line.model)
    };
    let circuit = 1.25 * made.compressor_rla + made.fan_fla;
    let breaker = ((1.75 * made.compressor_rla + made.fan_fla) / 5.0).floor() * 5.0;
    let mut values = json!({
        "refrigerant": line.refrigerant,
        "factory_charge_oz": (made.tons * 28.0 + lots.between(0.0, 12.0)).round(),
        "line_set_ft": lots.whole(3, 12) * 5,
        "nominal_tons": made.tons,
        "rated_capacity_btuh": made.tons * 12_000.0 - 200.0,
        "rated_eer": line.seer * 0.85,
        "seer": line.seer,
        "compressor_stages": 1,
        "liquid_port": "liquid",
        "suction_port": "vapor",
        "volts_outdoor_rated": "208/230",
        "phases": line.phases,
        "compressor_rla": made.compressor_rla,
        "condenser_fan_fla": made.fan_fla,
        "minimum_circuit_amps": tenth(circuit),
        "maximum_overcurrent_amps": breaker,
        "breaker_amps": breaker,
        "capacitor_fan_rated_uf": made.fan_uf,
        "capacitor_fan_required_uf": made.fan_uf,
        "capacitor_tolerance_pct": 6.0,
    });
    if made.has_expansion_valve() {
        values["target_subcooling_f"] = json!(line.target_subcooling_f);
    }
    if line.phases == 1 {
        values["capacitor_compressor_rated_uf"] = json!(made.compressor_uf);
        values["capacitor_compressor_required_uf"] = json!(made.compressor_uf);
    }
    plate((line.make, model), made_on, values, lots)
}

fn coil_plate(
    made: &Equipment,
    (make, model): (&str, &str),
    made_on: Date,
    lots: &mut Lots,
) -> Plate {
    let cfm = made.tons * 400.0;
    let values = json!({
        "metering": made.line.metering,
        "coil_reference_cfm": cfm,
        "coil_reference_drop_wet_inwc": 0.20,
    });
    // The leaking batch is one model; the others are named by size.
    let model = if (make, model) == LEAKING_COIL {
        model.to_owned()
    } else {
        format!("{model}{:.0}", made.tons * 12.0)
    };
    plate((make, model), made_on, values, lots)
}

/// External static, in. w.c., and the share of 400 cfm a ton that the blower moves against it.
const AIRFLOW_ROWS: &[(f64, f64)] =
    &[(0.1, 1.08), (0.3, 1.04), (0.5, 0.97), (0.7, 0.86), (0.9, 0.70), (1.1, 0.52)];

fn air_mover_plate(made: &Equipment, made_on: Date, lots: &mut Lots) -> Plate {
    let (make, model) = lots.one_of(AIR_MOVERS);
    let volts = if made.line.cabinet == "furnace_with_cased_coil" { "115" } else { "208/230" };
    let row = |(external, share): &(f64, f64)| {
        let cfm = (made.tons * 400.0 * share).round();
        json!({"tap": "med", "static_inwc": external, "cfm": cfm})
    };
    let mut values = json!({
        "cabinet": made.line.cabinet,
        "blower_kind": made.line.blower,
        "max_external_static_inwc": 0.5,
        "design_airflow_cfm_per_ton": 400.0,
        "blower_tap": "med",
        "airflow_table": AIRFLOW_ROWS.iter().map(row).collect::<Vec<_>>(),
        "volts_indoor_rated": volts,
        "blower_fla": made.blower_fla,
    });
    if made.line.blower == "psc" {
        values["capacitor_blower_rated_uf"] = json!(10.0);
    }
    plate((make, format!("{model}-{:02.0}", made.tons * 12.0)), made_on, values, lots)
}

fn filter_plate(made: &Equipment, lots: &mut Lots) -> Plate {
    let place = if made.filter_inside { "inside_cabinet" } else { "outside_cabinet" };
    let values = json!({
        "filter_location": place,
        "filter_size": lots.one_of(FILTERS),
        "filter_count": 1,
        "filter_class": lots.one_of(&["MERV 8", "MERV 11"]),
    });
    Plate {
        make: "LE Sparrowhatch".to_owned(),
        model: "pleated".to_owned(),
        serial: String::new(),
        manufactured_on: None,
        warranty_until: None,
        nameplate: values,
        reason: String::new(),
    }
}

fn thermostat_plate(made_on: Date, lots: &mut Lots) -> Plate {
    let (make, model) = lots.one_of(THERMOSTATS);
    let place = lots.one_of(&["Hall", "Living room", "Landing", "Dining room"]);
    plate((make, model.to_owned()), made_on, json!({"thermostat_place": place}), lots)
}

fn condensate_plate(lots: &mut Lots) -> Plate {
    let holes = lots.one_of(&["Left of the filter rack and over the coil", "Front, both plugged"]);
    let clean_out = lots.one_of(&["Behind the cabinet", "At the tee by the floor drain"]);
    Plate {
        make: String::new(),
        model: String::new(),
        serial: String::new(),
        manufactured_on: None,
        warranty_until: None,
        nameplate: json!({"test_holes": holes, "drain_clean_out": clean_out}),
        reason: String::new(),
    }
}
