//! Every block of a sheet on which much happened, in a phone's and a desk's width, light, dark and in
//! the sun, with the engine's answers and with the phone's own: no fault that a checker finds,
//! nothing that must be pushed sideways, and nothing that a thumb can't hit.

use thirtyfour::cdp::domains::network::NetworkConditions;
use uuid::Uuid;

use super::driver::{DESK, PHONE, Window};
use crate::app::TestApp;
use crate::builders::NOMINAL;

/// What a thumb can't hit, as name and height. Links inside a sentence are no targets of their own.
const TOO_SMALL: &str = "return [...document.querySelectorAll('main :is(a, button, input, textarea, select, summary)')]
    .filter(it => it.type !== 'hidden' && it.checkVisibility() && !it.closest('p, li, [aria-hidden]'))
    .map(it => [it, (it.closest('label') ?? it).getBoundingClientRect()])
    .filter(([, box]) => box.width > 1 && box.height < 47.5)
    .map(([it, box]) => `${it.name || it.textContent.trim()}: ${box.height} px`)";

/// A sheet with answers of every kind, a hazard, a repair that was agreed, something read again and
/// something to decide.
async fn full_sheet(app: &TestApp) -> Uuid {
    let place = app.place("Ada Fenn").await;
    app.earlier(&place, 370, &[("as_found.capacitor_compressor_uf", "44.9")]).await;
    app.require(&["as_found.observe.drain_runs", "as_found.return_wb_f"]).await;
    app.price("Coil cleaned in place", 32_500, &["observe.coil_face"]).await;
    let visit = app.booked(&place, app.tess).await;
    app.enter(visit, app.tess, NOMINAL).await;
    let more = [
        ("as_found.capacitor_compressor_uf", "36"),
        ("as_found.room_difference_f", "7"),
        ("as_found.capacitor_fan_uf", "4.72"),
        ("as_found.discharge_line_f", "900"),
        ("as_found.observe.coil_face", "attention"),
        ("as_found.observe.duct_gaps", "attention"),
        ("as_found.behind.duct_gaps", "yes"),
        ("as_found.consent.duct_gaps", "agreed"),
        ("as_found.hazard.gas_smell", "yes"),
        ("as_left.static_return_inwc", "-0.10"),
        ("as_left.capacitor_compressor_uf", "45"),
        ("as_left.return_db_f", "75"),
        ("as_left.unchanged.return_wb_f", "yes"),
        ("as_found.proposal.coil_cleaned_in_place", "deferred"),
        ("as_found.part.1", "Contactor"),
        ("as_found.part_count.1", "many"),
        ("as_found.moved.1", "added"),
    ];
    app.enter(visit, app.tess, &more).await;
    let tess = app.browser(app.tess).await;
    let older = tess.get(&format!("/visits/{visit}/sheet")).await.shown();
    let (entries, device) = (older.hidden("entries"), older.hidden("device"));
    app.enter(visit, app.tess, &[("as_found.thermostat_setting_f", "74")]).await;
    let late = [
        ("entries", entries.as_str()),
        ("device", device.as_str()),
        ("as_found.thermostat_setting_f", "71"),
        // A box that isn't sent is taken back.
        ("as_found.hazard.gas_smell", "yes"),
    ];
    tess.post(&format!("/visits/{visit}/sheet/1"), &late).await.way_on();
    visit
}

/// Looks at some places of the sheet that is open.
async fn look(
    window: &Window,
    sheet: &str,
    (name, places): (&str, &[String]),
    all: &mut Vec<String>,
) {
    for place in places {
        window.goto(&format!("{sheet}#{place}")).await;
        window.picture(&format!("{name}-{place}")).await;
        if window.is_too_wide().await {
            all.push(format!("{name} {place}: wider than the window"));
        }
        let found = window.accessibility_faults().await;
        all.extend(found.into_iter().map(|it| format!("{name} {place}: {it}")));
        let small = window.driver.execute(TOO_SMALL, vec![]).await.expect("it runs");
        let small: Vec<String> = small.convert().expect("a list");
        all.extend(small.into_iter().map(|it| format!("{name} {place}: too small: {it}")));
    }
}

async fn is_offline(window: &Window, offline: bool) {
    let conditions = NetworkConditions {
        offline,
        latency: 0,
        download_throughput: -1,
        upload_throughput: -1,
        ..Default::default()
    };
    let cdp = window.driver.cdp();
    cdp.network().emulate_network_conditions(conditions).await.expect("it is emulated");
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn no_block_has_an_accessibility_fault_is_too_wide_or_too_small_for_a_thumb() {
    let app = TestApp::new().await;
    let visit = full_sheet(&app).await;
    let sheet = format!("/visits/{visit}/sheet");
    let mut places: Vec<String> = (1..=14).map(|block| format!("block-{block}")).collect();
    places.push("all-blocks".to_owned());
    let alone = [1, 4, 9, 10].map(|block| format!("block-{block}"));
    let alone: Vec<String> = alone.into_iter().chain(["block-hand-in".to_owned()]).collect();
    let mut faults = Vec::new();
    for (name, size) in [("sheet-phone", PHONE), ("sheet-desk", DESK)] {
        let window = Window::open(&app, size).await;
        window.sign_in("tess@example.com").await;
        for theme in ["light", "dark", "sun"] {
            window.goto("/today").await;
            let cookie = format!("document.cookie = 'theme={theme}; path=/'");
            window.driver.execute(cookie, vec![]).await.expect("a cookie");
            window.goto(&sheet).await;
            window.until("document.documentElement.classList.contains('ready')").await;
            let open = "document.querySelectorAll('details').forEach(it => { it.open = true })";
            window.driver.execute(open, vec![]).await.expect("all is open");
            window.until("document.querySelector('#hazards .hazard') && document.querySelector('#held form')").await;
            look(&window, &sheet, (&format!("{name}-{theme}"), &places), &mut faults).await;
            is_offline(&window, true).await;
            window.until("document.querySelector('.provisional')").await;
            look(&window, &sheet, (&format!("{name}-{theme}-alone"), &alone), &mut faults).await;
            is_offline(&window, false).await;
        }
        window.close().await;
    }
    assert!(faults.is_empty(), "\n{}", faults.join("\n"));
}
