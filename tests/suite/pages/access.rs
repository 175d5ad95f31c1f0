//! Who may see and do what: every address as every role and as nobody, against one table.

use std::collections::BTreeSet;

use axum::http::StatusCode;
use axum::http::header::LOCATION;
use fairweather::actions;
use fairweather::chance;
use fairweather::domain::agreement::Season;
use fairweather::domain::visit::VisitKind;
use fairweather::store::{NewAgreement, NewPlan};
use time::macros::date;
use uuid::Uuid;

use crate::app::{Browser, NOW, Page, TestApp};
use crate::builders::{NOMINAL, Place};

/// Address, which thing its id names, and what comes back to: the owner, the dispatcher, the
/// technician whose visit it is, another technician, nobody. `ok` is shown, `on` sends on after a
/// change or to where one belongs, `ask` comes back with what is wrong, `no` is not for the role,
/// `404` is not there for this person, `in` asks to sign in.
const TABLE: &[(&str, &str, &str, &str)] = &[
    ("GET", "/", "", "on on on on in"),
    ("GET", "/health", "", "ok ok ok ok ok"),
    ("GET", "/static/{checksum}/{name}", "", "404 404 404 404 404"),
    ("GET", "/set-up", "", "on on on on on"),
    ("POST", "/set-up", "", "ask ask ask ask ask"),
    ("GET", "/sign-in", "", "ok ok ok ok ok"),
    ("POST", "/sign-in", "", "ask ask ask ask ask"),
    ("GET", "/reports/{token}", "", "404 404 404 404 404"),
    ("GET", "/reports/{token}/photos/{photo}", "", "404 404 404 404 404"),
    ("POST", "/sign-out", "", "on on on on in"),
    ("GET", "/account", "", "ok ok ok ok in"),
    ("POST", "/account/password", "", "ask ask ask ask in"),
    ("POST", "/account/theme", "", "on on on on in"),
    ("GET", "/customers", "", "ok ok ok ok in"),
    ("GET", "/customers/{id}", "customer", "ok ok ok 404 in"),
    ("GET", "/systems/{id}", "system", "ok ok ok 404 in"),
    ("GET", "/systems/{id}/measures/{measure}", "system", "ok ok ok 404 in"),
    ("GET", "/findings", "", "ok ok ok ok in"),
    ("GET", "/today", "", "ok ok ok ok in"),
    ("POST", "/systems/{id}/visits", "system", "ask ask ask ask in"),
    ("GET", "/visits/{id}", "open", "ok ok ok 404 in"),
    ("GET", "/visits/{id}/sheet", "open", "ok ok ok 404 in"),
    ("GET", "/visits/{id}/sheet/{block}", "open", "on on on 404 in"),
    ("POST", "/visits/{id}/entries", "open", "bad bad bad bad in"),
    ("POST", "/visits/{id}/decision", "open", "bad bad bad bad in"),
    ("POST", "/visits/{id}/opening", "open", "on on no no in"),
    ("GET", "/sw.js", "", "ok ok ok ok ok"),
    ("GET", "/app.webmanifest", "", "ok ok ok ok ok"),
    ("GET", "/offline", "", "ok ok ok ok ok"),
    ("POST", "/visits/{id}/sheet/{block}", "open", "on on on 404 in"),
    ("GET", "/visits/{id}/hand-in", "open", "ok ok ok 404 in"),
    ("POST", "/visits/{id}/hand-in", "open", "on on on 404 in"),
    ("POST", "/visits/{id}/no-access", "booked", "on on on 404 in"),
    ("GET", "/visits/{id}/correction", "handed", "ok ok ok 404 in"),
    ("POST", "/visits/{id}/correction", "handed", "ask ask ask 404 in"),
    ("POST", "/visits/{id}/confirmed-cause", "handed", "ask ask ask 404 in"),
    ("GET", "/visits/{id}/report", "handed", "ok ok ok 404 in"),
    ("GET", "/proposals/{id}", "proposal", "ok ok ok 404 in"),
    ("POST", "/proposals/{id}/answer", "proposal", "ask ask ask 404 in"),
    ("GET", "/visits/{id}/photos", "open", "ok ok ok 404 in"),
    ("POST", "/visits/{id}/photos", "open", "bad bad bad 404 in"),
    ("GET", "/visits/{id}/photos/{photo}", "open", "ok ok ok 404 in"),
    ("POST", "/visits/{id}/photos/{photo}", "open", "409 409 409 404 in"),
    ("POST", "/visits/{id}/photos/{photo}/removal", "open", "on on on 404 in"),
    ("GET", "/customers/new", "", "ok ok no no in"),
    ("POST", "/customers/new", "", "ask ask no no in"),
    ("GET", "/customers/{id}/edit", "customer", "ok ok no no in"),
    ("POST", "/customers/{id}/edit", "customer", "ask ask no no in"),
    ("GET", "/customers/{id}/sites/new", "customer", "ok ok no no in"),
    ("POST", "/customers/{id}/sites/new", "customer", "ask ask no no in"),
    ("GET", "/sites/{id}/edit", "site", "ok ok no no in"),
    ("POST", "/sites/{id}/edit", "site", "ask ask no no in"),
    ("GET", "/sites/{id}/systems/new", "site", "ok ok no no in"),
    ("POST", "/sites/{id}/systems/new", "site", "ask ask no no in"),
    ("GET", "/systems/{id}/edit", "system", "ok ok no no in"),
    ("POST", "/systems/{id}/edit", "system", "ask ask no no in"),
    ("GET", "/systems/{id}/components/new", "system", "ok ok no no in"),
    ("POST", "/systems/{id}/components/new", "system", "404 404 no no in"),
    ("GET", "/components/{id}/plate", "component", "ok ok no no in"),
    ("POST", "/components/{id}/plate", "component", "ask ask no no in"),
    ("GET", "/components/{id}/replacement", "component", "ok ok no no in"),
    ("POST", "/components/{id}/replacement", "component", "ask ask no no in"),
    ("GET", "/agreements", "", "ok ok no no in"),
    ("GET", "/agreements/new", "", "ok ok no no in"),
    ("POST", "/agreements/new", "", "bad bad no no in"),
    ("GET", "/agreements/{id}", "agreement", "ok ok no no in"),
    ("POST", "/agreements/{id}/acceptance", "agreement", "ask ask no no in"),
    ("POST", "/agreements/{id}/ending", "agreement", "ask ask no no in"),
    ("GET", "/due", "", "ok ok no no in"),
    ("GET", "/week", "", "ok ok no no in"),
    ("GET", "/visits/new", "", "ok ok no no in"),
    ("POST", "/visits/new", "", "bad bad no no in"),
    ("GET", "/visits/{id}/booking", "booked", "ok ok no no in"),
    ("POST", "/visits/{id}/booking", "booked", "ask ask no no in"),
    ("POST", "/visits/{id}/cancellation", "booked", "on on no no in"),
    ("GET", "/visits/{id}/judgement", "handed", "ok ok no no in"),
    ("POST", "/visits/{id}/judgement", "handed", "on on no no in"),
    ("POST", "/visits/{id}/report-link", "handed", "ask ask no no in"),
    ("GET", "/refrigerant-log", "", "ok ok no no in"),
    ("POST", "/hazards/{id}/seen", "hazard", "on on no no in"),
    ("GET", "/sheets-to-review", "", "ok no no no in"),
    ("GET", "/visits/{id}/review", "handed", "ok no no no in"),
    ("GET", "/sheet-requirements", "", "ok no no no in"),
    ("POST", "/sheet-requirements", "", "bad no no no in"),
    ("POST", "/visits/{id}/acceptance", "handed", "on no no no in"),
    ("POST", "/visits/{id}/sending-back", "handed", "ask no no no in"),
    ("GET", "/review", "", "ok no no no in"),
    ("GET", "/review/causes", "", "ok no no no in"),
    ("GET", "/review/{part}", "", "ok no no no in"),
    ("GET", "/priors", "", "ok no no no in"),
    ("GET", "/priors/reset", "", "ok no no no in"),
    ("POST", "/priors/reset", "", "on no no no in"),
    ("GET", "/limit-book", "", "ok no no no in"),
    ("GET", "/signatures", "", "ok no no no in"),
    ("GET", "/limit-book/{limit}", "", "ok no no no in"),
    ("POST", "/limit-book/{limit}", "", "ask no no no in"),
    ("GET", "/judge-again", "", "ok no no no in"),
    ("POST", "/judge-again", "", "ask no no no in"),
    ("GET", "/plans", "", "ok no no no in"),
    ("GET", "/plans/new", "", "ok no no no in"),
    ("POST", "/plans/new", "", "bad no no no in"),
    ("GET", "/plans/{id}/version", "plan", "ok no no no in"),
    ("POST", "/plans/{id}/version", "plan", "bad no no no in"),
    ("GET", "/prices", "", "ok no no no in"),
    ("GET", "/prices/new", "", "ok no no no in"),
    ("POST", "/prices/new", "", "ask no no no in"),
    ("GET", "/prices/{item}", "", "ok no no no in"),
    ("POST", "/prices/{item}", "", "ask no no no in"),
    ("POST", "/prices/{item}/retirement", "", "bad no no no in"),
    ("GET", "/people", "", "ok no no no in"),
    ("POST", "/people", "", "ask no no no in"),
    ("POST", "/people/{id}/password", "person", "ask no no no in"),
    ("POST", "/people/{id}/departure", "person", "on no no no in"),
];

#[test]
fn the_table_has_every_address_of_the_service() {
    let routes = std::fs::read_to_string("src/web/routes.rs").unwrap();
    let mut wanted = BTreeSet::new();
    for route in routes.split(".route(").skip(1) {
        let mut parts = route.splitn(3, '"');
        let path = parts.nth(1).unwrap();
        let handlers = parts.next().unwrap();
        let mine = handlers.split(".route(").next().unwrap();
        if mine.contains("get(") {
            wanted.insert(format!("GET {path}"));
        }
        if mine.contains("post(") {
            wanted.insert(format!("POST {path}"));
        }
    }
    let table: BTreeSet<String> = TABLE.iter().map(|row| format!("{} {}", row.0, row.1)).collect();
    assert!(wanted.len() > 60, "only {} were read", wanted.len());
    assert_eq!(table, wanted);
}

/// What every address needs to name something.
struct Things {
    place: Place,
    booked: Uuid,
    open: Uuid,
    handed: Uuid,
    agreement: Uuid,
    plan: Uuid,
    proposal: Uuid,
    hazard: Uuid,
    photo: Uuid,
}

async fn things(app: &TestApp) -> Things {
    let place = app.place("Ada Fenn").await;
    let handed = app.booked(&place, app.tess).await;
    app.enter(handed, app.tess, NOMINAL).await;
    app.price("Run capacitor", 18_900, &[]).await;
    app.enter(handed, app.tess, &[("as_found.proposal.run_capacitor", "open")]).await;
    app.hand_in(handed, app.tess).await;
    let proposal = app.read().await.proposals_of_visit(handed).await.unwrap()[0].id;
    let open = app.booked_late(&place, app.tess).await;
    app.enter(open, app.tess, &[NOMINAL[1], ("as_found.hazard.gas_smell", "yes")]).await;
    let hazard = app.read().await.unseen_hazards().await.unwrap()[0].id;
    let slot = fairweather::store::Slot { day: NOW.date(), start_minute: 480, minutes: 60 };
    let booked = app.booked_at(&place, app.tess, slot).await;
    let (agreement, plan) = (chance::id(NOW), chance::id(NOW));
    let mut tx = app.write().await;
    let sold = NewPlan {
        name: "Yearly".to_owned(),
        price_cents: 18_900,
        discount_percent: 10,
        seasons: vec![Season {
            kind: VisitKind::CoolingMaintenance,
            first_month: 4,
            first_day: 1,
            last_month: 7,
            last_day: 31,
        }],
        required: Vec::new(),
    };
    actions::make_plan(&mut tx, plan, 1, &sold, app.by(Some(app.owner))).await.unwrap();
    let draft = NewAgreement {
        id: agreement,
        customer_id: place.customer,
        plan: (plan, 1),
        starts_on: date!(2026 - 01 - 01),
        ends_on: date!(2027 - 01 - 01),
        accepted_on: None,
        systems: vec![place.system],
    };
    actions::make_agreement(&mut tx, &draft, app.by(Some(app.owner))).await.unwrap();
    tx.commit().await.unwrap();
    let photo = app.photo(open, "observe.coil_face", 1).await;
    Things { place, booked, open, handed, agreement, plan, proposal, hazard, photo }
}

fn address(app: &TestApp, things: &Things, pattern: &str, noun: &str) -> String {
    let id = match noun {
        "customer" => things.place.customer,
        "site" => things.place.site,
        "system" => things.place.system,
        "component" => things.place.outdoor_unit,
        "booked" => things.booked,
        "open" => things.open,
        "handed" => things.handed,
        "agreement" => things.agreement,
        "plan" => things.plan,
        "proposal" => things.proposal,
        "hazard" => things.hazard,
        "person" => app.theo,
        _ => Uuid::nil(),
    };
    let path = pattern
        .replace("{id}", &id.to_string())
        .replace("{block}", "10")
        .replace("{measure}", "superheat_f")
        .replace("{part}", "outdoor_unit")
        .replace("{limit}", "filter_drop_high")
        .replace("{item}", "run_capacitor")
        .replace("{photo}", &things.photo.to_string())
        .replace("{token}", "00000000000000000000000000000000")
        .replace("{checksum}", "0")
        .replace("{name}", "app.css");
    match pattern {
        "/visits/{id}/correction" => format!("{path}?field=as_found.return_wb_f"),
        "/agreements/new" => format!("{path}?customer={}", things.place.customer),
        "/visits/new" => format!("{path}?system={}&kind=cooling_maintenance", things.place.system),
        "/review/{part}" => format!("{path}?make=Korvan&model=KV-24"),
        _ => path,
    }
}

fn came_back(page: &Page) -> &'static str {
    let to = page.headers.get(LOCATION).and_then(|it| it.to_str().ok()).unwrap_or("");
    match page.status {
        StatusCode::OK => "ok",
        StatusCode::SEE_OTHER if to.starts_with("/sign-in?") || to == "/sign-in" => "in",
        StatusCode::SEE_OTHER => "on",
        StatusCode::UNPROCESSABLE_ENTITY => "ask",
        StatusCode::BAD_REQUEST => "bad",
        StatusCode::FORBIDDEN => "no",
        StatusCode::NOT_FOUND => "404",
        // Another photo stands there.
        StatusCode::CONFLICT => "409",
        // A script is not led to a page but told.
        StatusCode::UNAUTHORIZED => "in",
        _ => "?",
    }
}

#[tokio::test]
async fn each_address_gives_each_role_what_the_table_says() {
    let mut faults = Vec::new();
    for (method, pattern, noun, expected) in TABLE {
        // Each address has a world of its own, for what one role does another would find done.
        let app = TestApp::new().await;
        let things = things(&app).await;
        let path = address(&app, &things, pattern, noun);
        let viewers: [(&str, Browser); 5] = [
            ("nobody", app.nobody()),
            ("another technician", app.browser(app.theo).await),
            ("the technician", app.browser(app.tess).await),
            ("the dispatcher", app.browser(app.dispatcher).await),
            ("the owner", app.browser(app.owner).await),
        ];
        // The least rights first, so that a leak is not hidden by what the owner did before.
        for ((who, browser), expected) in viewers.iter().zip(expected.split(' ').rev()) {
            let page = if *method == "GET" {
                browser.get(&path).await
            } else {
                browser.post(&path, &[]).await
            };
            let mut got = came_back(&page);
            // Signing out and the pages for nobody lead to the sign-in page on purpose.
            let leads_there = matches!(*pattern, "/sign-out" | "/set-up");
            if leads_there && got == "in" && !(*who == "nobody" && *pattern == "/sign-out") {
                got = "on";
            }
            if got != expected {
                faults.push(format!(
                    "{method} {path} as {who}: {got} ({}), not {expected}",
                    page.status
                ));
            }
        }
    }
    assert!(faults.is_empty(), "\n{}", faults.join("\n"));
}
