//! Last year's sheet: which visit it is, and what stood in its fields.

use fairweather::actions::last_year;
use fairweather::domain::visit::VisitKind;
use fairweather::engine::assessment::Outcome;
use fairweather::store::Slot;
use time::Duration;
use uuid::Uuid;

use crate::app::{NOW, TestApp};
use crate::builders::{NOMINAL, Place};

impl TestApp {
    /// A nominal visit so many days ago, with some fields typed otherwise, handed in.
    pub async fn earlier(&self, place: &Place, days: i64, fields: &[(&str, &str)]) -> Uuid {
        let day = NOW.date() - Duration::days(days);
        let slot = Slot { day, start_minute: 13 * 60, minutes: 90 };
        let id = self.booked_at(place, self.theo, slot).await;
        self.enter(id, self.theo, NOMINAL).await;
        self.enter(id, self.theo, fields).await;
        self.hand_in(id, self.theo).await;
        id
    }
}

#[tokio::test]
async fn the_last_sheet_that_is_in_says_each_field_and_what_came_of_it() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let weak = [
        ("as_found.capacitor_compressor_uf", "38.3"),
        ("as_found.observe.coil_face", "attention"),
        ("as_left.capacitor_compressor_uf", "45.0"),
    ];
    let last = app.earlier(&place, 370, &weak).await;
    let id = app.booked(&place, app.tess).await;
    let visit = app.visit(id).await;
    let found = last_year(&mut app.read().await, &visit).await.unwrap().unwrap();
    assert_eq!((found.id, found.day), (last, NOW.date() - Duration::days(370)));
    let field = |name: &str| found.fields[name].clone();
    let weak = field("as_found.capacitor_compressor_uf");
    assert_eq!((weak.text.as_str(), weak.outcome), ("38.3 µF", Some(Outcome::Outside)));
    assert_eq!(field("as_left.capacitor_compressor_uf").outcome, Some(Outcome::Within));
    assert_eq!(field("as_found.observe.coil_face").text, "Needs attention");
    assert!(found.assessment.is_some());
}

#[tokio::test]
async fn a_system_without_an_earlier_sheet_has_none() {
    let app = TestApp::new().await;
    let (place, other) = (app.place("Ada Fenn").await, app.place("Bo Larch").await);
    app.earlier(&other, 370, &[]).await;
    let id = app.booked(&place, app.tess).await;
    app.enter(id, app.tess, NOMINAL).await;
    app.hand_in(id, app.tess).await;
    let visit = app.visit(id).await;
    assert_eq!(last_year(&mut app.read().await, &visit).await.unwrap(), None);
}

#[tokio::test]
async fn a_sheet_that_is_not_in_is_passed_over() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let in_order = app.earlier(&place, 370, &[]).await;
    let day = NOW.date() - Duration::days(20);
    let slot = Slot { day, start_minute: 540, minutes: 60 };
    let open = app.booked_at(&place, app.tess, slot).await;
    app.enter(open, app.tess, &[NOMINAL[1]]).await;
    let visit = app.visit(app.booked(&place, app.tess).await).await;
    let found = last_year(&mut app.read().await, &visit).await.unwrap().unwrap();
    assert_eq!(found.id, in_order);
}

#[tokio::test]
async fn the_yearly_visit_comes_before_a_later_repair() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let day = NOW.date() - Duration::days(20);
    let slot = Slot { day, start_minute: 540, minutes: 60 };
    let repair = app.booked_for(&place, app.tess, slot, (VisitKind::Repair, None)).await;
    app.enter(repair, app.tess, &[NOMINAL[1]]).await;
    app.hand_in(repair, app.tess).await;
    let visit = app.visit(app.booked(&place, app.tess).await).await;
    let last = async || last_year(&mut app.read().await, &visit).await.unwrap().unwrap().id;
    assert_eq!(last().await, repair, "where there is no yearly one, the last of any kind");
    let yearly = app.earlier(&place, 370, &[]).await;
    assert_eq!(last().await, yearly);
    assert_eq!(app.visit(repair).await.kind, VisitKind::Repair);
}
