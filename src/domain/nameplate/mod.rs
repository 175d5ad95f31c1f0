//! What is printed on the plates of a system's parts, and how it becomes the engine's facts.
//!
//! One table drives the form, its checks and the document: a field is added in one place.

mod plate_table;

use serde_json::{Map, Value, json};

use super::form::{Form, number};

pub use plate_table::PLATE_FIELDS;

/// The parts of a system.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Part {
    /// Compressor, condenser and their fan; of a packaged unit, the whole cabinet.
    OutdoorUnit,
    /// The coil indoors and its metering device.
    IndoorCoil,
    /// What moves the air: a furnace or an air handler.
    AirMover,
    /// The air filter.
    Filter,
    /// The thermostat.
    Thermostat,
    /// Pan, drain, trap, pump.
    CondensatePath,
    /// Anything else.
    Other,
}

impl Part {
    /// All of them, from the outside in.
    pub const ALL: [Self; 7] = [
        Self::OutdoorUnit,
        Self::IndoorCoil,
        Self::AirMover,
        Self::Filter,
        Self::Thermostat,
        Self::CondensatePath,
        Self::Other,
    ];

    /// The word in the store and in addresses.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::OutdoorUnit => "outdoor_unit",
            Self::IndoorCoil => "indoor_coil",
            Self::AirMover => "air_mover",
            Self::Filter => "filter",
            Self::Thermostat => "thermostat",
            Self::CondensatePath => "condensate_path",
            Self::Other => "other",
        }
    }

    /// The word for people.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::OutdoorUnit => "Outdoor unit",
            Self::IndoorCoil => "Indoor coil",
            Self::AirMover => "Furnace or air handler",
            Self::Filter => "Filter",
            Self::Thermostat => "Thermostat",
            Self::CondensatePath => "Condensate path",
            Self::Other => "Other part",
        }
    }

    /// The part of that word.
    #[must_use]
    pub fn of_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|part| part.key() == key)
    }
}

/// The kinds of system and their words.
pub const SYSTEM_KINDS: &[(&str, &str)] = &[
    ("split_air_conditioner", "Split air conditioner"),
    ("split_heat_pump", "Split heat pump"),
    ("packaged_air_conditioner", "Packaged air conditioner"),
    ("packaged_heat_pump", "Packaged heat pump"),
    ("ductless", "Ductless"),
];

/// How a field of a plate is typed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum PlateKind {
    /// A number in the unit printed on the plate.
    Number {
        /// Unit for people.
        unit: &'static str,
        /// Least and greatest that can be.
        bounds: (f64, f64),
        /// The document wants a whole number.
        whole: bool,
    },
    /// A charge, as plates print it: `86 oz`, `5 lb 6 oz`, `5.4 lb`; kept in ounces.
    Charge,
    /// One of several, as (word in the document, word for people).
    Choice(&'static [(&'static str, &'static str)]),
    /// A line of text that the engine doesn't read.
    Text,
    /// A table, one row a line: `tap static cfm`.
    AirflowTable,
    /// The maker's charging chart, one row a line: `outdoor wet-bulb superheat`.
    SuperheatChart,
}

/// One field of a plate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlateField {
    /// Its key in the assess document (or of our own, for what the engine doesn't read).
    pub key: &'static str,
    /// Its words.
    pub label: &'static str,
    /// On which part's plate it stands.
    pub part: Part,
    /// How it is typed.
    pub kind: PlateKind,
    /// A word of help, or empty.
    pub hint: &'static str,
}

/// The fields of one part's plate.
pub fn fields_of(part: Part) -> impl Iterator<Item = &'static PlateField> {
    PLATE_FIELDS.iter().filter(move |field| field.part == part)
}

/// Reads a part's plate from a form; what can't be is refused at its field.
pub fn read(form: &mut Form, part: Part) -> Map<String, Value> {
    let mut plate = Map::new();
    for field in fields_of(part) {
        if let Some(value) = read_field(form, field) {
            plate.insert(field.key.to_owned(), value);
        }
    }
    plate
}

fn read_field(form: &mut Form, field: &PlateField) -> Option<Value> {
    let typed = form.typed(field.key).to_owned();
    if typed.is_empty() {
        return None;
    }
    match field.kind {
        PlateKind::Number { bounds, whole, .. } => {
            let value = form.number(field.key, field.label, bounds)?;
            if whole && value.fract() != 0.0 {
                form.refuse(field.key, format!("{}: a whole number, please.", field.label));
            }
            Some(plate_number(value, whole))
        }
        PlateKind::Charge => {
            let ounces = ounces(&typed).filter(|it| CHARGE_OZ.contains(it));
            if ounces.is_none() {
                form.refuse(
                    field.key,
                    format!("{}: can't read “{typed}”. {}", field.label, field.hint),
                );
            }
            ounces.map(|it| json!(it))
        }
        PlateKind::Choice(choices) => {
            let keys: Vec<&str> = choices.iter().map(|choice| choice.0).collect();
            Some(Value::String(form.choice(field.key, field.label, &keys)))
        }
        PlateKind::Text => Some(Value::String(form.line(field.key, field.label))),
        PlateKind::AirflowTable => table(form, field, &typed, airflow_row),
        PlateKind::SuperheatChart => table(form, field, &typed, chart_row),
    }
}

/// What a factory charge can be, in ounces.
const CHARGE_OZ: std::ops::RangeInclusive<f64> = 1.0..=2_000.0;

/// A weight in pounds and ounces, or in either, as ounces.
fn ounces(typed: &str) -> Option<f64> {
    let text = typed.to_lowercase().replace("lbs", "lb");
    let spaced = text.replace("lb", " lb ").replace("oz", " oz ");
    let words: Vec<&str> = spaced.split_whitespace().collect();
    match words[..] {
        [weight] | [weight, "oz"] => number(weight),
        [weight, "lb"] => Some(number(weight)? * 16.0),
        [pounds, "lb", ounces, "oz"] => Some(number(pounds)? * 16.0 + number(ounces)?),
        _ => None,
    }
}

#[expect(clippy::cast_possible_truncation, reason = "bounds of whole fields are below 400")]
fn plate_number(value: f64, whole: bool) -> Value {
    if whole { json!(value as i64) } else { json!(value) }
}

fn table(
    form: &mut Form,
    field: &PlateField,
    typed: &str,
    row: fn(&[&str]) -> Option<Value>,
) -> Option<Value> {
    let mut rows = Vec::new();
    for line in typed.lines().filter(|line| !line.trim().is_empty()) {
        let words: Vec<&str> = line.split_whitespace().collect();
        let Some(value) = row(&words) else {
            form.refuse(field.key, format!("{}: can't read “{line}”. {}", field.label, field.hint));
            return None;
        };
        rows.push(value);
    }
    Some(Value::Array(rows))
}

fn airflow_row(words: &[&str]) -> Option<Value> {
    let [tap @ .., drop, flow] = words else { return None };
    let (drop, flow) = (number(drop)?, number(flow)?);
    if tap.is_empty() || !(0.0..=3.0).contains(&drop) || !(50.0..=6_000.0).contains(&flow) {
        return None;
    }
    Some(json!({"tap": tap.join(" "), "static_inwc": drop, "cfm": flow}))
}

fn chart_row(words: &[&str]) -> Option<Value> {
    let [outdoor, wet_bulb, superheat] = words else { return None };
    let row = (number(outdoor)?, number(wet_bulb)?, number(superheat)?);
    if !(-30.0..=130.0).contains(&row.0)
        || !(32.0..=90.0).contains(&row.1)
        || !(0.0..=60.0).contains(&row.2)
    {
        return None;
    }
    Some(json!({"outdoor_db_f": row.0, "return_wb_f": row.1, "superheat_f": row.2}))
}

/// A value of a plate as it was typed, to stand in a form again.
#[must_use]
pub fn typed_again(value: &Value) -> String {
    match value {
        Value::String(text) => text.clone(),
        Value::Array(rows) => rows.iter().map(row_again).collect::<Vec<_>>().join("\n"),
        // 45.0 is printed as 45 on the plate.
        other => other.to_string().trim_end_matches(".0").to_owned(),
    }
}

fn row_again(row: &Value) -> String {
    let order = ["tap", "static_inwc", "cfm", "outdoor_db_f", "return_wb_f", "superheat_f"];
    let cells = order.iter().filter_map(|key| row.get(*key)).map(typed_again);
    cells.collect::<Vec<_>>().join(" ")
}

/// A value of a plate in words, for a page.
#[must_use]
pub fn in_words(field: &PlateField, value: &Value) -> String {
    let typed = typed_again(value);
    match field.kind {
        PlateKind::Number { unit, .. } if !unit.is_empty() => {
            format!("{typed} {unit}")
        }
        PlateKind::Charge => format!("{typed} oz"),
        PlateKind::Choice(choices) => choices
            .iter()
            .find(|choice| choice.0 == typed)
            .map_or(typed, |choice| choice.1.to_owned()),
        _ => typed,
    }
}

/// Fields that the engine does not read.
const NOT_FOR_THE_ENGINE: &[&str] = &[
    "filter_size",
    "filter_count",
    "filter_class",
    "thermostat_place",
    "test_holes",
    "drain_clean_out",
    // These three the engine takes in another form.
    "coil_reference_cfm",
    "coil_reference_drop_wet_inwc",
    "superheat_chart",
];

/// The chart's rows as the engine's grid; cells that no row names stay blank.
fn chart_grid(rows: &[Value]) -> Value {
    let cell = |row: &Value, key: &str| row.get(key).and_then(Value::as_f64).unwrap_or(f64::NAN);
    let axis = |key: &str| {
        let mut values: Vec<f64> = rows.iter().map(|row| cell(row, key)).collect();
        values.sort_by(f64::total_cmp);
        values.dedup_by(|a, b| a.total_cmp(b).is_eq());
        values
    };
    let (outdoor, wet_bulb) = (axis("outdoor_db_f"), axis("return_wb_f"));
    let at = |outdoor: f64, wet_bulb: f64| {
        let is_here = |row: &&Value| {
            cell(row, "outdoor_db_f").total_cmp(&outdoor).is_eq()
                && cell(row, "return_wb_f").total_cmp(&wet_bulb).is_eq()
        };
        rows.iter().find(is_here).map(|row| cell(row, "superheat_f"))
    };
    let grid: Vec<Vec<Option<f64>>> = outdoor
        .iter()
        .map(|here| wet_bulb.iter().map(|there| at(*here, *there)).collect())
        .collect();
    json!({"outdoor_db_f": outdoor, "return_wb_f": wet_bulb, "superheat_f": grid})
}

/// The `system` part of an assess document from the plates of the parts in place.
#[must_use]
pub fn system_facts<'a>(kind: &str, plates: impl IntoIterator<Item = &'a Value>) -> Value {
    let mut all = Map::new();
    for plate in plates.into_iter().filter_map(Value::as_object) {
        all.extend(plate.iter().map(|(key, value)| (key.clone(), value.clone())));
    }
    let reference = (all.get("coil_reference_cfm"), all.get("coil_reference_drop_wet_inwc"));
    let mut facts = Map::new();
    facts.insert("kind".into(), json!(kind));
    if let (Some(cfm), Some(drop)) = reference {
        facts.insert("coil_reference".into(), json!({"cfm": cfm, "drop_wet_inwc": drop}));
    }
    if let Some(Value::Array(rows)) = all.get("superheat_chart") {
        facts.insert("superheat_chart".into(), chart_grid(rows));
    }
    if kind.starts_with("packaged") {
        facts.insert("cabinet".into(), json!("packaged"));
    }
    let known = |key: &str| PLATE_FIELDS.iter().any(|field| field.key == key);
    for (key, value) in all {
        if known(&key) && !NOT_FOR_THE_ENGINE.contains(&key.as_str()) {
            facts.insert(key, value);
        }
    }
    Value::Object(facts)
}
