//! Visits with a known truth, as sheets are typed: readings of the published table of simulated
//! faults, rounded as a technician writes them down.

use uuid::Uuid;

use crate::app::TestApp;
use crate::builders::Place;
use crate::engine::causes::simulated;

/// A fault of the simulation and how much of it, on an expansion valve; and the healthy system.
pub type Planted = (&'static str, f64);
pub const HEALTHY: Planted = ("none", 0.0);
/// A quarter of the charge is missing.
pub const LOW_CHARGE: Planted = ("undercharge", 0.75);
/// Three tenths of the indoor air are missing.
pub const LOW_INDOOR_AIR: Planted = ("low_indoor_airflow", 0.7);
/// Eight bar are lost in the liquid line.
pub const FEED_HELD_BACK: Planted = ("liquid_line_restriction", 800_000.0);
/// Four tenths of the outdoor air are missing.
pub const LOW_OUTDOOR_AIR: Planted = ("low_outdoor_airflow", 0.6);

/// The fields of a stage, with names such as `as_found.return_db_f`.
pub fn fields((fault, level): Planted, stage: &str) -> Vec<(String, String)> {
    let row = simulated::rows().into_iter().find(|it| {
        let is_level = (simulated::number(it, "level") - level).abs() < 1e-9;
        it["device"] == "txv" && it["fault"] == fault && is_level
    });
    let readings = simulated::readings(&row.expect("a row"));
    let typed = readings.iter().map(|(key, it)| (format!("{stage}.{key}"), format!("{it:.1}")));
    typed.chain([(format!("{stage}.settled_min"), "20".to_owned())]).collect()
}

impl TestApp {
    /// A visit at which this was typed, still open.
    pub async fn typed_visit(
        &self,
        place: &Place,
        technician: Uuid,
        fields: &[(String, String)],
    ) -> Uuid {
        let visit = self.booked(place, technician).await;
        let fields: Vec<(&str, &str)> =
            fields.iter().map(|(name, text)| (name.as_str(), text.as_str())).collect();
        self.enter(visit, technician, &fields).await;
        visit
    }

    /// A handed-in visit at which this was found, and then left if anything was read again.
    pub async fn planted(
        &self,
        place: &Place,
        technician: Uuid,
        (found, left): (Planted, Option<Planted>),
    ) -> Uuid {
        let mut all = fields(found, "as_found");
        all.extend(left.into_iter().flat_map(|it| fields(it, "as_left")));
        let visit = self.typed_visit(place, technician, &all).await;
        self.hand_in(visit, technician).await;
        visit
    }
}
