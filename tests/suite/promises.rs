//! A plan and an agreement by it, as tests of the office need them.

use fairweather::actions;
use fairweather::chance;
use fairweather::domain::agreement::Season;
use fairweather::domain::visit::VisitKind;
use fairweather::store::{NewAgreement, NewPlan};
use time::macros::date;
use uuid::Uuid;

use crate::app::{NOW, TestApp};
use crate::builders::Place;

impl TestApp {
    /// A plan of one cooling visit between March and June.
    pub async fn plan(&self) -> Uuid {
        let id = chance::id(NOW);
        let plan = NewPlan {
            name: "Spring round".to_owned(),
            price_cents: 18_900,
            discount_percent: 10,
            seasons: vec![Season {
                kind: VisitKind::CoolingMaintenance,
                first_month: 3,
                first_day: 1,
                last_month: 6,
                last_day: 30,
            }],
            required: Vec::new(),
        };
        let mut tx = self.write().await;
        actions::make_plan(&mut tx, id, 1, &plan, self.by(Some(self.owner))).await.expect("a plan");
        tx.commit().await.expect("it is kept");
        id
    }

    /// An agreement by that plan for the calendar year 2026, accepted on its first day.
    pub async fn agreement(&self, place: &Place, plan: Uuid) -> Uuid {
        self.agreement_by(place, (plan, 1)).await
    }

    /// The same by a version of the plan.
    pub async fn agreement_by(&self, place: &Place, plan: (Uuid, i64)) -> Uuid {
        let id = chance::id(NOW);
        let agreement = NewAgreement {
            id,
            customer_id: place.customer,
            plan,
            starts_on: date!(2026 - 01 - 01),
            ends_on: date!(2027 - 01 - 01),
            accepted_on: Some(date!(2026 - 01 - 01)),
            systems: vec![place.system],
        };
        let mut tx = self.write().await;
        let by = self.by(Some(self.dispatcher));
        actions::make_agreement(&mut tx, &agreement, by).await.expect("an agreement");
        tx.commit().await.expect("it is kept");
        id
    }
}
