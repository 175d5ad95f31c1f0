//! A hazard that was told, as the frame and the pages say it.

use time::{Duration, OffsetDateTime};
use uuid::Uuid;

use super::display;
use super::viewer::Viewer;
use crate::domain::hazard::hazard;
use crate::store::HazardReport;

/// A device's clock this far from ours is said beside it: the sheet was filled without network, or
/// the clock is wrong.
const APART: Duration = Duration::minutes(5);

/// One hazard, ready to be shown.
#[derive(Clone, Debug)]
pub(super) struct ToldHazard {
    pub(super) id: Uuid,
    pub(super) visit_id: Uuid,
    pub(super) street: String,
    pub(super) customer: String,
    pub(super) phone: String,
    /// The field of the sheet that tells it.
    pub(super) field: String,
    pub(super) words: String,
    /// `told 10:32 by Ansel`.
    pub(super) told: String,
    /// `taken back 10:40`; empty while it stands.
    pub(super) taken_back: String,
    /// `seen 10:35 by Dora`; empty if nobody of the office has.
    pub(super) seen: String,
    /// What the customer is told.
    pub(super) tell: &'static str,
}

impl ToldHazard {
    pub(super) fn new(report: &HazardReport, viewer: &Viewer) -> Self {
        let moment =
            |at: OffsetDateTime| display::moment(at, &viewer.company.time_zone, viewer.today);
        let by = |name: &Option<String>| {
            name.as_ref().map_or_else(String::new, |name| format!(" by {name}"))
        };
        let device = report.at.filter(|at| APART < (report.received_at - *at).abs());
        let device =
            device.map_or_else(String::new, |at| format!(" ({} by the device)", moment(at)));
        Self {
            id: report.id,
            visit_id: report.visit_id,
            street: report.street.clone(),
            customer: report.customer_name.clone(),
            phone: report.phone.clone(),
            field: report.field.clone(),
            words: report.words.clone(),
            told: format!("told {}{device}{}", moment(report.received_at), by(&report.person_name)),
            taken_back: report
                .taken_back_at
                .map_or_else(String::new, |at| format!("taken back {}", moment(at))),
            seen: report.seen_at.map_or_else(String::new, |at| {
                format!("seen {}{}", moment(at), by(&report.seen_by_name))
            }),
            tell: hazard(&report.field).tell,
        }
    }

    /// All of them, in their order.
    pub(super) fn all(reports: &[HazardReport], viewer: &Viewer) -> Vec<Self> {
        reports.iter().map(|it| Self::new(it, viewer)).collect()
    }
}
