//! Nothing that a technician typed is lost or doubled, whatever happens to phone, network or server:
//! what is stored is compared with what was typed, exactly.

use fairweather::domain::visit::{Stage, VisitState};
use thirtyfour::prelude::*;

use super::phone::{Office, Phone, Way};
use crate::builders::{EVERYTHING, NOMINAL};

/// What counts on the visit, as (field, value), and how many rows were ever stored.
pub async fn stored(office: &mut Office) -> (Vec<(String, f64)>, i64) {
    let store = office.store().await;
    let mut tx = store.read().await.unwrap();
    let number = tx.visit(EVERYTHING, office.visit).await.unwrap().number;
    let readings = tx.readings_of(number).await.unwrap();
    let values = readings
        .into_iter()
        .filter_map(|it| Some((format!("{}.{}", it.stage.key(), it.point), it.value?)))
        .collect();
    let rows = tx.count_readings(number).await.unwrap();
    drop(tx);
    store.close().await;
    (values, rows)
}

/// The nominal readings as they should be stored.
fn nominal() -> Vec<(String, f64)> {
    let mut all: Vec<(String, f64)> =
        NOMINAL.iter().map(|(name, text)| ((*name).to_owned(), text.parse().unwrap())).collect();
    all.sort_by(|a, b| a.0.cmp(&b.0));
    all
}

async fn type_nominal(phone: &Phone) {
    let block_of = |name: &str| {
        let blocks = fairweather::domain::sheet::BLOCKS.iter();
        let has = |fields: &[fairweather::domain::sheet::Field]| {
            fields.iter().any(|it| it.name() == name && it.stage() == Stage::AsFound)
        };
        blocks.into_iter().find(|it| has(it.fields)).unwrap().number
    };
    let mut here = 0;
    for (name, text) in NOMINAL {
        let block = block_of(name);
        if block != here {
            phone.block(block).await;
            here = block;
        }
        phone.enter(name, text).await;
    }
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_whole_visit_without_network_comes_in_when_there_is_network() {
    let mut office = Office::open().await;
    let mut phone = Phone::open(&office.address()).await;
    phone.sign_in("tess@example.com").await;
    phone.take_along().await;
    office.kill();
    phone.is_offline(true).await;
    phone.open_sheet(office.visit, 10).await;
    type_nominal(&phone).await;
    phone.line_says(&format!("{} waiting", NOMINAL.len())).await;
    phone.die_and_wake().await;
    phone.is_offline(true).await;
    phone.open_sheet(office.visit, 10).await;
    phone.line_says(&format!("{} waiting", NOMINAL.len())).await;
    assert_eq!(phone.value("as_found.liquid_line_f").await, "90.5");
    office.start();
    phone.is_offline(false).await;
    // The browser died before it had written its newest cookie down.
    phone.sign_in("tess@example.com").await;
    phone.line_says("all saved").await;
    phone.close().await;
    let (values, rows) = stored(&mut office).await;
    assert_eq!(values, nominal());
    assert_eq!(usize::try_from(rows).unwrap(), NOMINAL.len());
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn what_is_being_typed_as_the_battery_dies_is_there_when_the_phone_wakes() {
    let mut office = Office::open().await;
    let mut phone = Phone::open(&office.address()).await;
    phone.sign_in("tess@example.com").await;
    phone.take_along().await;
    office.kill();
    phone.open_sheet(office.visit, 10).await;
    phone.enter("as_found.return_db_f", "76").await;
    phone.line_says("1 waiting").await;
    let field = phone.driver.find(By::Id("as_found.return_wb_f")).await.unwrap();
    field.send_keys("63").await.unwrap();
    phone.until("document.documentElement.dataset.draft === 'as_found.return_wb_f'").await;
    phone.die_and_wake().await;
    phone.open_sheet(office.visit, 10).await;
    assert_eq!(phone.value("as_found.return_wb_f").await, "63");
    phone.line_says("2 waiting").await;
    office.start();
    phone.sign_in("tess@example.com").await;
    phone.line_says("all saved").await;
    phone.close().await;
    let (values, rows) = stored(&mut office).await;
    let found =
        [("as_found.return_db_f".to_owned(), 76.0), ("as_found.return_wb_f".to_owned(), 63.0)];
    assert_eq!((values.as_slice(), rows), (found.as_slice(), 2));
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_server_killed_between_receipt_and_answer_doubles_nothing() {
    let mut office = Office::open().await;
    let way = Way::to(&office);
    let phone = Phone::open(&format!("http://127.0.0.1:{}", way.port)).await;
    phone.sign_in("tess@example.com").await;
    phone.open_sheet(office.visit, 10).await;
    way.swallow_next();
    phone.enter("as_found.return_db_f", "76").await;
    way.has_swallowed().await;
    office.kill();
    phone.enter("as_found.return_wb_f", "63").await;
    phone.line_says("2 waiting").await;
    office.start();
    way.mend();
    phone.line_says("all saved").await;
    phone.close().await;
    let (values, rows) = stored(&mut office).await;
    let found =
        [("as_found.return_db_f".to_owned(), 76.0), ("as_found.return_wb_f".to_owned(), 63.0)];
    assert_eq!((values.as_slice(), rows), (found.as_slice(), 2));
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn two_hundred_changes_in_a_row_are_two_hundred_rows_in_order() {
    let mut office = Office::open().await;
    let phone = Phone::open(&office.address()).await;
    phone.sign_in("tess@example.com").await;
    phone.open_sheet(office.visit, 10).await;
    let script = "const field = document.getElementById('as_found.return_db_f');
        for (let change = 1; change <= 200; change += 1) {
          field.value = String(60 + change / 10);
          field.dispatchEvent(new Event('input', { bubbles: true }));
          field.dispatchEvent(new Event('change', { bubbles: true }));
        }";
    phone.driver.execute(script, vec![]).await.unwrap();
    phone.line_says("waiting").await;
    phone.line_says("all saved").await;
    phone.close().await;
    let (values, rows) = stored(&mut office).await;
    assert_eq!((values, rows), (vec![("as_found.return_db_f".to_owned(), 80.0)], 200));
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn two_phones_on_one_visit_are_decided_by_a_person_and_both_values_stay() {
    let mut office = Office::open().await;
    let (first, second) =
        (Phone::open(&office.address()).await, Phone::open(&office.address()).await);
    for phone in [&first, &second] {
        phone.sign_in("tess@example.com").await;
        phone.open_sheet(office.visit, 10).await;
    }
    first.enter("as_found.return_db_f", "76").await;
    first.line_says("all saved").await;
    second.enter("as_found.return_db_f", "71").await;
    second.until("document.getElementById('held').innerText.includes('Take 71')").await;
    first.enter("as_found.return_wb_f", "63").await;
    first.until("document.getElementById('held').innerText.includes('Keep 76')").await;
    let keep = first.driver.find(By::XPath("//button[.='Keep 76']")).await.unwrap();
    keep.scroll_into_view().await.unwrap();
    keep.click().await.unwrap();
    first.until("document.getElementById('held').innerText === ''").await;
    first.close().await;
    second.open_sheet(office.visit, 10).await;
    assert_eq!(second.value("as_found.return_db_f").await, "76");
    second.close().await;
    let (values, rows) = stored(&mut office).await;
    let found =
        [("as_found.return_db_f".to_owned(), 76.0), ("as_found.return_wb_f".to_owned(), 63.0)];
    assert_eq!(values, found);
    assert_eq!(rows, 3, "76, 63, and 76 once more by whoever decided");
    let store = office.store().await;
    let mut tx = store.read().await.unwrap();
    let number = tx.visit(EVERYTHING, office.visit).await.unwrap().number;
    let held = tx.entries_held(number).await.unwrap();
    assert_eq!((held.len(), held[0].entry.typed.as_str(), held[0].is_decided), (1, "71", true));
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_phone_whose_clock_is_a_day_off_still_tells_when_it_was_read() {
    let mut office = Office::open().await;
    let phone = Phone::open(&office.address()).await;
    let script = "const now = Date.now; Date.now = () => now() + 86_400_000;";
    phone
        .driver
        .cdp()
        .page()
        .add_script_to_evaluate_on_new_document(script)
        .await
        .expect("the clock is turned");
    phone.sign_in("tess@example.com").await;
    phone.open_sheet(office.visit, 10).await;
    let before = time::OffsetDateTime::now_utc();
    phone.enter("as_found.return_db_f", "76").await;
    phone.line_says("all saved").await;
    phone.close().await;
    let store = office.store().await;
    let mut tx = store.read().await.unwrap();
    let number = tx.visit(EVERYTHING, office.visit).await.unwrap().number;
    let readings = tx.readings_of(number).await.unwrap();
    let off = readings[0].taken_at - before;
    assert!(off.abs() < time::Duration::minutes(2), "{off}");
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn entries_wait_for_their_author_when_the_session_is_over_and_somebody_else_signs_in() {
    let mut office = Office::open().await;
    let phone = Phone::open(&office.address()).await;
    phone.sign_in("tess@example.com").await;
    phone.take_along().await;
    phone.open_sheet(office.visit, 10).await;
    phone.driver.delete_all_cookies().await.unwrap();
    phone.enter("as_found.return_db_f", "76").await;
    phone.line_says("sign in again to send, 1 waiting").await;
    phone.sign_in("theo@example.com").await;
    phone.line_says("1 waiting").await;
    let kept = "caches.open('pages').then(it => it.keys()).then(it =>
        { window.kept = it.filter(page => page.url.includes('/sheet')).length })";
    phone.driver.execute(kept, vec![]).await.unwrap();
    phone.until("window.kept === 0").await;
    phone.sign_in("tess@example.com").await;
    phone.line_says("all saved").await;
    phone.close().await;
    let (values, rows) = stored(&mut office).await;
    assert_eq!((values, rows), (vec![("as_found.return_db_f".to_owned(), 76.0)], 1));
    let store = office.store().await;
    let mut tx = store.read().await.unwrap();
    let number = tx.visit(EVERYTHING, office.visit).await.unwrap().number;
    let entries = tx.entries_of(number).await.unwrap();
    assert_eq!(entries[0].person_name.as_deref(), Some("Tess"));
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_hazard_stops_the_sheet_without_network_too() {
    let mut office = Office::open().await;
    let phone = Phone::open(&office.address()).await;
    phone.sign_in("tess@example.com").await;
    phone.take_along().await;
    office.kill();
    phone.is_offline(true).await;
    phone.open_sheet(office.visit, 1).await;
    phone.enter("as_found.thermostat_setting_f", "75").await;
    let tick = phone.driver.find(By::Css("[data-stops='gas_smell']")).await.unwrap();
    let script = "arguments[0].scrollIntoView({ block: 'center' })";
    phone.driver.execute(script, vec![tick.to_json().unwrap()]).await.unwrap();
    tick.click().await.unwrap();
    phone
        .until("document.getElementById('hazards').innerText.includes('Stop. Smell of gas')")
        .await;
    phone.line_says("2 waiting").await;
    office.start();
    phone.is_offline(false).await;
    phone.line_says("all saved").await;
    phone.close().await;
    let store = office.store().await;
    let mut tx = store.read().await.unwrap();
    let number = tx.visit(EVERYTHING, office.visit).await.unwrap().number;
    let entries = tx.entries_of(number).await.unwrap();
    let fields: Vec<&str> = entries.iter().map(|it| it.field.as_str()).collect();
    assert_eq!(fields, ["hazard.gas_smell", "thermostat_setting_f"], "the hazard goes first");
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn signing_out_leaves_nothing_of_the_day_on_the_phone() {
    let mut office = Office::open().await;
    let phone = Phone::open(&office.address()).await;
    phone.sign_in("tess@example.com").await;
    phone.take_along().await;
    phone.goto("/account").await;
    let out = phone.driver.find(By::XPath("//button[.='Sign out']")).await.unwrap();
    out.click().await.unwrap();
    phone.until("location.pathname === '/sign-in'").await;
    office.kill();
    phone.is_offline(true).await;
    for path in ["/today".to_owned(), format!("/visits/{}/sheet", office.visit)] {
        phone.goto(&path).await;
        phone.until("document.body.innerText.includes('This page was not taken along')").await;
    }
    phone.close().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn without_network_verdicts_are_provisional_and_with_it_the_engines() {
    let mut office = Office::open().await;
    let phone = Phone::open(&office.address()).await;
    phone.sign_in("tess@example.com").await;
    phone.take_along().await;
    office.kill();
    phone.is_offline(true).await;
    phone.open_sheet(office.visit, 9).await;
    let said = "document.getElementById('answer-as_found.capacitor_compressor_uf').innerText";
    for (text, verdict) in [("44.8", "Within"), ("42.3", "Too close to call"), ("36", "Outside")] {
        phone.enter("as_found.capacitor_compressor_uf", text).await;
        phone.until(&format!("{said}.includes('{verdict}')")).await;
        phone.until(&format!("{said}.includes('Provisional.')")).await;
    }
    phone.enter("as_found.capacitor_compressor_uf", "4 5x").await;
    phone.until(&format!("!{said}.includes('Outside')")).await;
    phone.enter("as_found.capacitor_compressor_uf", "36").await;
    office.start();
    phone.is_offline(false).await;
    phone.until(&format!("{said}.includes('Outside') && !{said}.includes('Provisional')")).await;
    phone.close().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_sheet_is_handed_in_without_network_and_goes_in_by_itself_once() {
    let mut office = Office::open().await;
    let phone = Phone::open(&office.address()).await;
    phone.sign_in("tess@example.com").await;
    phone.take_along().await;
    office.kill();
    phone.is_offline(true).await;
    phone.open_sheet(office.visit, 9).await;
    phone.enter("as_found.capacitor_compressor_uf", "36").await;
    phone.block(14).await;
    for (button, then) in [
        ("#block-14 .foot button[value='hand-in']", "location.hash === '#block-hand-in'"),
        ("#hand-in button", "location.pathname === '/today'"),
    ] {
        let button = phone.driver.query(By::Css(button)).first().await.unwrap();
        let element = button.to_json().unwrap();
        phone.driver.execute("arguments[0].click()", vec![element]).await.unwrap();
        phone.until(then).await;
    }
    phone.line_says("2 waiting").await;
    office.start();
    phone.is_offline(false).await;
    phone.line_says("all saved").await;
    phone.close().await;
    let store = office.store().await;
    let mut tx = store.read().await.unwrap();
    let visit = tx.visit(EVERYTHING, office.visit).await.unwrap();
    assert_eq!(visit.state, VisitState::HandedIn);
    let events = tx.events_of(office.visit).await.unwrap();
    assert_eq!(events.iter().filter(|it| *it == "hand_in").count(), 1, "{events:?}");
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_photo_of_twelve_megapixels_waits_small_and_comes_in_once() {
    let mut office = Office::open().await;
    let file = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("twelve.jpg");
    let picture = image::RgbImage::from_fn(4_000, 3_000, |x, y| {
        image::Rgb([x, y, x / 16 + y / 16].map(|it| it.to_le_bytes()[0]))
    });
    picture.save(&file).unwrap();
    let phone = Phone::open(&office.address()).await;
    phone.sign_in("tess@example.com").await;
    phone.take_along().await;
    office.kill();
    phone.is_offline(true).await;
    phone.open_sheet(office.visit, 6).await;
    let input = phone.driver.find(By::Css("[data-photo='observe.coil_face']")).await.unwrap();
    input.send_keys(file.to_string_lossy()).await.unwrap();
    phone.line_says("1 waiting").await;
    office.start();
    phone.is_offline(false).await;
    phone.line_says("all saved").await;
    phone.close().await;
    let store = office.store().await;
    let photos = store.read().await.unwrap().photos_of(office.visit).await.unwrap();
    let sizes: Vec<_> = photos.iter().map(|it| (it.field.as_str(), it.width, it.height)).collect();
    assert_eq!(sizes, [("observe.coil_face", 1600, 1200)]);
}
