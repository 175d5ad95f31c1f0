//! Every page in a phone's and a desk's width, light and dark: no fault that a checker finds, and
//! nothing that must be pushed sideways.

use super::driver::{DESK, PHONE, Window};
use crate::app::TestApp;
use crate::builders::NOMINAL;

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn no_page_has_an_accessibility_fault_or_is_wider_than_its_window() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let open = app.booked(&place, app.tess).await;
    let done = app.place("Bo Larch").await;
    let visit = app.booked_late(&done, app.theo).await;
    let mut fields = NOMINAL.to_vec();
    fields.push(("as_found.observe.coil_face", "attention"));
    fields.push(("as_found.remark.coil_face", "Dust on the upper third"));
    fields.push(("as_left.capacitor_fan_uf", "5.0"));
    // Something very likely and something likely, beside the coil face that is merely possible.
    fields.push(("as_found.capacitor_compressor_uf", "36"));
    fields.push(("as_found.observe.duct_gaps", "attention"));
    fields.push(("as_found.room_difference_f", "9"));
    app.enter(visit, app.theo, &fields).await;
    app.enter(open, app.tess, &[NOMINAL[3], ("as_found.hazard.gas_smell", "yes")]).await;
    app.price("Drain rebuilt", 27_500, &[]).await;
    app.price("Contactor", 24_500, &[]).await;
    let closing = [
        ("as_found.proposal.contactor", "deferred"),
        ("as_found.part.1", "Contactor"),
        ("as_found.part_count.1", "many"),
        ("as_found.moved.1", "added"),
        ("as_found.moved_lb.1", "2"),
        ("as_found.proposal_words.other_1", "Gravel pad"),
    ];
    app.enter(open, app.tess, &closing).await;
    app.hand_in(visit, app.theo).await;
    let mut faults = Vec::new();
    for (name, size) in [("phone", PHONE), ("desk", DESK)] {
        let window = Window::open(&app, size).await;
        look(&window, (name, "nobody"), &["/sign-in".to_owned()], &mut faults).await;
        window.sign_in("tess@example.com").await;
        let pages = ["/today".to_owned(), format!("/visits/{open}/hand-in")];
        look(&window, (name, "technician"), &pages, &mut faults).await;
        window.goto("/account").await;
        window.press("Sign out").await;
        window.sign_in("olive@example.com").await;
        let pages = [
            "/sheets-to-review".to_owned(),
            "/people".to_owned(),
            "/account".to_owned(),
            "/customers".to_owned(),
            "/customers/new".to_owned(),
            format!("/customers/{}", done.customer),
            format!("/customers/{}/edit", done.customer),
            format!("/sites/{}/edit", done.site),
            format!("/systems/{}", done.system),
            format!("/systems/{}/measures/superheat_f", done.system),
            format!("/systems/{}/components/new?part=condensate_path", done.system),
            format!("/components/{}/plate", done.outdoor_unit),
            format!("/components/{}/replacement", done.outdoor_unit),
            format!("/visits/{visit}"),
            format!("/visits/{visit}/correction?field=as_found.return_wb_f"),
            format!("/visits/{visit}/report"),
            "/findings".to_owned(),
            "/nowhere".to_owned(),
        ];
        look(&window, (name, "owner"), &pages, &mut faults).await;
        window.close().await;
    }
    assert!(faults.is_empty(), "\n{}", faults.join("\n"));
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn the_first_page_and_a_customers_report_have_none_either() {
    let empty = TestApp::empty().await;
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let visit = app.booked(&place, app.tess).await;
    app.enter(visit, app.tess, NOMINAL).await;
    app.hand_in(visit, app.tess).await;
    let owner = app.browser(app.owner).await;
    owner.post(&format!("/visits/{visit}/acceptance"), &[]).await.way_on();
    let page = owner.post(&format!("/visits/{visit}/report-link"), &[]).await.shown();
    let token = page.body.split("/reports/").nth(1).expect("a link")[..32].to_owned();
    let mut faults = Vec::new();
    for (name, size) in [("phone", PHONE), ("desk", DESK)] {
        let window = Window::open(&empty, size).await;
        look(&window, (name, "first"), &["/set-up".to_owned()], &mut faults).await;
        window.close().await;
        let window = Window::open(&app, size).await;
        look(&window, (name, "customer"), &[format!("/reports/{token}")], &mut faults).await;
        window.close().await;
    }
    assert!(faults.is_empty(), "\n{}", faults.join("\n"));
}

pub async fn look(
    window: &Window,
    (name, who): (&str, &str),
    pages: &[String],
    faults: &mut Vec<String>,
) {
    // Who stands in the sun has a theme of their own.
    let themes: &[&str] =
        if who == "technician" { &["light", "dark", "sun"] } else { &["light", "dark"] };
    for theme in themes {
        window.goto(&pages[0]).await;
        let cookie = format!("document.cookie = 'theme={theme}; path=/'");
        window.driver.execute(cookie, vec![]).await.expect("a cookie");
        for (number, page) in pages.iter().enumerate() {
            window.goto(page).await;
            window.picture(&format!("{name}-{who}-{number:02}-{theme}")).await;
            if window.is_too_wide().await {
                faults.push(format!("{who} {page}: wider than the window"));
            }
            let found = window.accessibility_faults().await;
            faults.extend(found.into_iter().map(|it| format!("{who} {page} {theme}: {it}")));
        }
    }
}
