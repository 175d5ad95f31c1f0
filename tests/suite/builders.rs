//! The nominal things that tests change one fact of: a customer, a system, a visit, a sheet.

use fairweather::actions::{self, Booking, Typed};
use fairweather::chance;
use fairweather::domain::nameplate::Part;
use fairweather::domain::visit::{Stage, VisitKind};
use fairweather::store::{Customer, Plate, Scope, Site, Slot, Visit};
use serde_json::{Value, json};
use uuid::Uuid;

use crate::app::{NOW, TestApp};

/// What the office may see.
pub const EVERYTHING: Scope = Scope::EVERYTHING;

/// A customer with one site and one system with all its plates.
pub struct Place {
    pub customer: Uuid,
    pub site: Uuid,
    pub system: Uuid,
    pub outdoor_unit: Uuid,
}

pub fn plate(model: &str, serial: &str, nameplate: Value) -> Plate {
    Plate {
        make: "Korvan".to_owned(),
        model: model.to_owned(),
        serial: serial.to_owned(),
        manufactured_on: None,
        warranty_until: None,
        nameplate,
        reason: String::new(),
    }
}

pub fn outdoor_plate() -> Value {
    json!({
        "refrigerant": "R-410A", "nominal_tons": 2.0, "rated_capacity_btuh": 24_000.0,
        "target_subcooling_f": 10.0, "volts_outdoor_rated": "208/230", "phases": 1,
        "compressor_rla": 10.9, "condenser_fan_fla": 0.8, "maximum_overcurrent_amps": 25.0,
        "breaker_amps": 25.0, "capacitor_compressor_rated_uf": 45.0,
        "capacitor_fan_rated_uf": 5.0, "capacitor_tolerance_pct": 6.0,
    })
}

/// The nominal parts, each with its plate.
fn parts(outdoor_unit: Uuid) -> [(Uuid, Part, Plate); 4] {
    let id = || chance::id(NOW);
    [
        (outdoor_unit, Part::OutdoorUnit, plate("KV-24", "SN-9001", outdoor_plate())),
        (
            id(),
            Part::IndoorCoil,
            plate(
                "KC-24",
                "SN-9002",
                json!({
                    "metering": "thermostatic_expansion"
                }),
            ),
        ),
        (
            id(),
            Part::AirMover,
            plate(
                "KF-60",
                "SN-9003",
                json!({
                    "cabinet": "furnace_with_cased_coil", "blower_kind": "psc",
                    "max_external_static_inwc": 0.5, "volts_indoor_rated": "115",
                    "blower_fla": 4.1, "capacitor_blower_rated_uf": 7.5
                }),
            ),
        ),
        (
            id(),
            Part::Filter,
            plate(
                "KP-1",
                "",
                json!({
                    "filter_location": "outside_cabinet", "filter_size": "16 × 25 × 1",
                    "filter_count": 1
                }),
            ),
        ),
    ]
}

impl TestApp {
    /// A customer named `name` with a nominal two-ton split system.
    pub async fn place(&self, name: &str) -> Place {
        let place = self.place_without_plates(name).await;
        let by = self.by(Some(self.dispatcher));
        let mut tx = self.write().await;
        for (component, part, plate) in parts(place.outdoor_unit) {
            let there = (place.system, part);
            actions::add_component(&mut tx, component, there, None, (&plate, by))
                .await
                .expect("a part");
        }
        tx.commit().await.expect("it is kept");
        place
    }

    /// The same, but nobody has written the plates down yet.
    pub async fn place_without_plates(&self, name: &str) -> Place {
        let by = self.by(Some(self.dispatcher));
        let id = || chance::id(NOW);
        let place = Place { customer: id(), site: id(), system: id(), outdoor_unit: id() };
        let mut tx = self.write().await;
        let customer = Customer {
            id: place.customer,
            name: name.to_owned(),
            phone: "555-0142".to_owned(),
            email: "customer@example.com".to_owned(),
            note: String::new(),
        };
        actions::add_customer(&mut tx, &customer, by).await.expect("a customer");
        let site = Site {
            id: place.site,
            customer_id: place.customer,
            street: "12 Quarry Lane".to_owned(),
            town: "Marrow Creek".to_owned(),
            postal_code: "00001".to_owned(),
            elevation_ft: 300.0,
            latitude: None,
            longitude: None,
            access_note: "Key under the blue pot".to_owned(),
        };
        actions::add_site(&mut tx, &site, by).await.expect("a site");
        let named = ("Upstairs", "split_air_conditioner");
        actions::add_system(&mut tx, place.system, place.site, named, by).await.expect("a system");
        tx.commit().await.expect("it is kept");
        place
    }

    /// A visit booked to a technician today at one.
    pub async fn booked(&self, place: &Place, technician: Uuid) -> Uuid {
        self.booked_at(
            place,
            technician,
            Slot { day: NOW.date(), start_minute: 13 * 60, minutes: 90 },
        )
        .await
    }

    /// A visit booked to a technician today at four.
    pub async fn booked_late(&self, place: &Place, technician: Uuid) -> Uuid {
        let slot = Slot { day: NOW.date(), start_minute: 16 * 60, minutes: 60 };
        self.booked_at(place, technician, slot).await
    }

    pub async fn booked_at(&self, place: &Place, technician: Uuid, slot: Slot) -> Uuid {
        self.booked_for(place, technician, slot, (VisitKind::CoolingMaintenance, None)).await
    }

    /// A visit of some kind, perhaps one that an agreement promised for a year.
    pub async fn booked_for(
        &self,
        place: &Place,
        technician: Uuid,
        slot: Slot,
        (kind, promise): (VisitKind, Option<(Uuid, i64)>),
    ) -> Uuid {
        let id = chance::id(NOW);
        let system_id = place.system;
        let booking = Booking { id, system_id, kind, technician_id: technician, slot, promise };
        let mut tx = self.write().await;
        actions::book_visit(&mut tx, &booking, self.by(Some(self.dispatcher)))
            .await
            .expect("it is booked");
        tx.commit().await.expect("it is kept");
        id
    }

    pub async fn visit(&self, id: Uuid) -> Visit {
        self.read().await.visit(EVERYTHING, id).await.expect("the visit")
    }

    /// Enters fields, as `(name, text)` with names such as `as_found.return_db_f`.
    pub async fn enter(&self, visit: Uuid, person: Uuid, fields: &[(&str, &str)]) {
        let mut tx = self.write().await;
        let visit = tx.visit(EVERYTHING, visit).await.expect("the visit");
        let typed: Vec<Typed> = fields.iter().map(|(name, text)| typed(name, text)).collect();
        actions::enter(&mut tx, &visit, &typed, self.by(Some(person))).await.expect("entered");
        tx.commit().await.expect("it is kept");
    }

    pub async fn hand_in(&self, visit: Uuid, person: Uuid) {
        let mut tx = self.write().await;
        let visit = tx.visit(EVERYTHING, visit).await.expect("the visit");
        actions::hand_in(&mut tx, &visit, self.by(Some(person))).await.expect("handed in");
        tx.commit().await.expect("it is kept");
    }
}

/// One field as a device would send it.
pub fn typed(name: &str, text: &str) -> Typed {
    let (stage, field) = name.split_once('.').expect("stage and field");
    Typed {
        id: chance::id(NOW),
        device: ("test".to_owned(), 1),
        base_number: 0,
        device_at: None,
        device_ahead_s: None,
        stage: Stage::of_key(stage).expect("a stage"),
        take: 1,
        field: field.to_owned(),
        text: text.to_owned(),
    }
}

/// What a healthy two-ton system shows on a warm day: everything that is judged is within.
pub const NOMINAL: &[(&str, &str)] = &[
    ("as_found.settled_min", "20"),
    ("as_found.outdoor_db_f", "88"),
    ("as_found.return_db_f", "76"),
    ("as_found.return_wb_f", "63"),
    ("as_found.supply_db_f", "57"),
    ("as_found.suction_pressure_psig", "125"),
    ("as_found.suction_line_f", "56"),
    ("as_found.liquid_pressure_psig", "320"),
    ("as_found.liquid_line_f", "90.5"),
    ("as_found.static_return_inwc", "-0.08"),
    ("as_found.static_after_filter_inwc", "-0.15"),
    ("as_found.static_before_coil_inwc", "0.30"),
    ("as_found.static_after_coil_inwc", "0.12"),
    ("as_found.volts_outdoor_idle", "238"),
    ("as_found.volts_outdoor_running", "235"),
    ("as_found.compressor_amps", "8.1"),
    ("as_found.condenser_fan_amps", "0.6"),
    ("as_found.capacitor_compressor_uf", "44.8"),
    ("as_found.capacitor_fan_uf", "4.98"),
    ("as_found.volts_indoor", "118"),
    ("as_found.volts_control", "26"),
];
