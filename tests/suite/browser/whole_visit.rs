//! One visit by hand: a technician on a phone, then the owner, then the report.

use fairweather::domain::visit::VisitState;
use thirtyfour::prelude::*;

use super::driver::{PHONE, Window};
use crate::app::TestApp;
use crate::builders::NOMINAL;

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_technician_fills_a_visit_on_a_phone_and_the_owner_takes_it() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let visit = app.booked(&place, app.tess).await;
    let window = Window::open(&app, PHONE).await;
    window.sign_in("tess@example.com").await;
    window.says("12 Quarry Lane").await;
    window.says("capacitor 45/5 µF").await;
    window.press("Open the sheet").await;
    window.says("1 Arrive").await;

    window.goto(&format!("/visits/{visit}/sheet#block-10")).await;
    window.fill("as_found.return_wb_f", "630").await;
    let on = window.driver.find(By::Css("#block-10 button[value='11']")).await.unwrap();
    on.click().await.unwrap();
    window.says("11 Outdoor leak search").await;
    window.goto(&format!("/visits/{visit}/sheet#block-10")).await;
    window.says("32 to 90 °F").await;
    let typed = window.driver.find(By::Id("as_found.return_wb_f")).await.unwrap();
    assert_eq!(typed.prop("value").await.unwrap().as_deref(), Some("630"), "the text stays");
    let ids = |number: usize| {
        let block = fairweather::domain::sheet::block(number).unwrap();
        block.fields.iter().map(|field| field.name()).collect::<Vec<_>>()
    };
    for number in [4, 7, 9, 10] {
        window.goto(&format!("/visits/{visit}/sheet#block-{number}")).await;
        let mine = ids(number);
        for (name, text) in NOMINAL.iter().filter(|it| mine.iter().any(|name| name == it.0)) {
            window.fill(name, text).await;
        }
    }
    window.says("all saved").await;
    window.says("Superheat").await;
    window.says("Within").await;
    window.goto(&format!("/visits/{visit}/sheet#block-2")).await;
    let attention = "//fieldset[legend='Filter condition']//label[.='Needs attention']";
    let choice = window.driver.find(By::XPath(attention)).await.unwrap();
    choice.scroll_into_view().await.unwrap();
    choice.click().await.unwrap();
    window.says("all saved").await;
    window.goto(&format!("/visits/{visit}/sheet#block-14")).await;
    window.press("Hand in").await;
    window.says("Hand in this sheet?").await;
    window.says("Needs attention").await;
    window.press("Hand in this sheet").await;
    window.says("Handed in").await;
    window.says("Verdicts").await;
    window.says("Subcooling").await;
    assert_eq!(app.visit(visit).await.state, VisitState::HandedIn);

    window.goto("/account").await;
    window.press("Sign out").await;
    window.sign_in("olive@example.com").await;
    window.press("Ada Fenn").await;
    window.press("Accept this sheet").await;
    window.says("In plain words").await;
    window.says("Filter condition").await;
    window.says("Every reading").await;
    assert_eq!(app.visit(visit).await.state, VisitState::Accepted);
    window.close().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn the_little_script_saves_a_field_as_the_hand_moves_on() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let id = app.booked(&place, app.tess).await;
    let window = Window::open(&app, PHONE).await;
    window.sign_in("tess@example.com").await;
    window.goto(&format!("/visits/{id}/sheet#block-10")).await;
    window.fill("as_found.outdoor_db_f", "88").await;
    window.fill("as_found.return_db_f", "76").await;
    // Leaving the second field is what saves it.
    let next = window.driver.find(By::Id("as_found.return_wb_f")).await.unwrap();
    next.click().await.unwrap();
    // The line says so before anything is typed, too.
    let kept = window.driver.query(By::Css("html[data-kept='as_found.return_db_f']"));
    kept.first().await.expect("it is kept");
    let saved = window.driver.query(By::Id("saved")).with_text("all saved");
    saved.first().await.expect("it says so");
    let number = app.visit(id).await.number;
    let readings = app.read().await.readings_of(number).await.unwrap();
    let values: Vec<Option<f64>> = readings.iter().map(|it| it.value).collect();
    assert_eq!(values, [Some(88.0), Some(76.0)]);
    window.close().await;
}
