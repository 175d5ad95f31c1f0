//! What goes wrong on site beside the network: browsers without this or that, two hands on one field,
//! a full phone, an update of the program at noon.

use fairweather::domain::visit::{Stage, VisitState};

use super::offline::stored;
use super::phone::{Office, Phone, Way};
use crate::builders::EVERYTHING;

/// Notes whatever no script of ours has caught.
const WATCH: &str = "window.faults = [];
    for (const kind of ['error', 'unhandledrejection']) {
      addEventListener(kind, (it) => window.faults.push(String(it.reason ?? it.message)));
    }";

fn readings(of: &[(&str, f64)]) -> Vec<(String, f64)> {
    of.iter().map(|(name, value)| ((*name).to_owned(), *value)).collect()
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn without_https_nothing_breaks_and_the_sheet_saves_as_ever() {
    let mut office = Office::open().await;
    let phone = Phone::open(&office.untrusted_address()).await;
    phone.before_pages(WATCH).await;
    phone.sign_in("tess@example.com").await;
    phone.until("!('serviceWorker' in navigator) && !window.caches && !navigator.locks").await;
    phone.open_sheet(office.visit, 10).await;
    phone.enter("as_found.return_db_f", "76").await;
    phone.line_says("all saved").await;
    phone.until("window.faults.length === 0").await;
    phone.goto("/account").await;
    phone.press("form[action='/sign-out'] button").await;
    phone.until("location.pathname === '/sign-in' && window.faults.length === 0").await;
    phone.close().await;
    let (values, rows) = stored(&mut office).await;
    assert_eq!((values, rows), (readings(&[("as_found.return_db_f", 76.0)]), 1));
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_browser_that_keeps_nothing_says_so_and_its_plain_forms_save() {
    let mut office = Office::open().await;
    let phone = Phone::open(&office.address()).await;
    let refuse = "IDBFactory.prototype.open = () => {
      throw new DOMException('not here', 'SecurityError');
    };";
    phone.before_pages(refuse).await;
    phone.sign_in("tess@example.com").await;
    phone.goto(&format!("/visits/{}/sheet#block-10", office.visit)).await;
    phone.line_says("this phone keeps nothing by itself: press Save").await;
    phone.type_into("as_found.return_db_f", "76").await;
    phone.run("window.isOld = true").await;
    phone.press("#block-10 .save").await;
    phone.until("!window.isOld && document.getElementById('saved').innerText").await;
    assert_eq!(phone.value("as_found.return_db_f").await, "76");
    phone.close().await;
    let (values, rows) = stored(&mut office).await;
    assert_eq!((values, rows), (readings(&[("as_found.return_db_f", 76.0)]), 1));
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_store_that_fails_at_noon_gives_the_plain_form_back() {
    let mut office = Office::open().await;
    let phone = Phone::open(&office.address()).await;
    phone.sign_in("tess@example.com").await;
    phone.open_sheet(office.visit, 10).await;
    let fail = "IDBObjectStore.prototype.put = () => {
      throw new DOMException('full', 'QuotaExceededError');
    };";
    phone.run(fail).await;
    phone.type_into("as_found.return_db_f", "76").await;
    phone.line_says("this phone keeps nothing by itself: press Save").await;
    phone.run("window.isOld = true").await;
    phone.press("#block-10 .save").await;
    phone.until("!window.isOld && document.documentElement.classList.contains('ready')").await;
    assert_eq!(phone.value("as_found.return_db_f").await, "76");
    phone.close().await;
    let (values, rows) = stored(&mut office).await;
    assert_eq!((values, rows), (readings(&[("as_found.return_db_f", 76.0)]), 1));
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn typing_never_waits_for_a_network_that_hangs() {
    let mut office = Office::open().await;
    let way = Way::to(&office);
    let phone = Phone::open(&format!("http://127.0.0.1:{}", way.port)).await;
    phone.sign_in("tess@example.com").await;
    phone.open_sheet(office.visit, 9).await;
    phone.line_says("all saved").await;
    way.hang();
    let said = "document.getElementById('answer-as_found.capacitor_compressor_uf').innerText";
    phone.enter("as_found.capacitor_compressor_uf", "36").await;
    phone.enter("as_found.capacitor_fan_uf", "5").await;
    phone.line_says("2 waiting").await;
    phone.until(&format!("{said}.includes('Outside') && {said}.includes('Provisional.')")).await;
    way.mend();
    phone.until(&format!("{said}.includes('Outside') && !{said}.includes('Provisional.')")).await;
    phone.line_says("all saved").await;
    phone.close().await;
    assert_eq!(stored(&mut office).await.1, 2);
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn what_is_typed_before_the_script_has_come_is_kept_too() {
    let mut office = Office::open().await;
    let phone = Phone::open(&office.address()).await;
    phone.sign_in("tess@example.com").await;
    let hasty = "document.addEventListener('readystatechange', () => {
          const field = document.getElementById('as_found.return_db_f');
          if (document.readyState === 'interactive' && field) field.value = '76';
        });";
    phone.before_pages(hasty).await;
    phone.open_sheet(office.visit, 10).await;
    phone.has_kept("as_found.return_db_f").await;
    phone.line_says("all saved").await;
    phone.close().await;
    let (values, rows) = stored(&mut office).await;
    assert_eq!((values, rows), (readings(&[("as_found.return_db_f", 76.0)]), 1));
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn what_others_enter_does_not_overwrite_what_is_being_typed() {
    let mut office = Office::open().await;
    let (first, second) =
        (Phone::open(&office.address()).await, Phone::open(&office.address()).await);
    for phone in [&first, &second] {
        phone.sign_in("tess@example.com").await;
        phone.open_sheet(office.visit, 10).await;
    }
    second.type_into("as_found.return_db_f", "7").await;
    first.enter("as_found.return_db_f", "76").await;
    first.enter("as_found.return_wb_f", "63").await;
    first.line_says("all saved").await;
    second.type_into("as_found.return_db_f", "1").await;
    second.until("document.getElementById('as_found.return_wb_f').value === '63'").await;
    assert_eq!(second.value("as_found.return_db_f").await, "71");
    // Typed back to what stood there: it gives way to what was entered meanwhile.
    second.run("document.getElementById('as_found.return_db_f').value = ''").await;
    second.type_into("as_found.outdoor_db_f", "95").await;
    second.until("document.getElementById('as_found.return_db_f').value === '76'").await;
    let read = "document.querySelector('[id=\"field-as_found.return_db_f\"] time').innerText";
    second.until(&format!("{read}.startsWith('read ')")).await;
    first.close().await;
    second.close().await;
    let (values, _) = stored(&mut office).await;
    assert!(values.contains(&("as_found.return_db_f".to_owned(), 76.0)), "{values:?}");
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_draft_that_was_emptied_or_typed_back_does_not_come_again() {
    let mut office = Office::open().await;
    let mut phone = Phone::open(&office.address()).await;
    phone.sign_in("tess@example.com").await;
    phone.take_along().await;
    phone.open_sheet(office.visit, 10).await;
    phone.enter("as_found.return_wb_f", "63").await;
    phone.line_says("all saved").await;
    phone.is_offline(true).await;
    phone.type_into("as_found.return_db_f", "7").await;
    phone.type_into("as_found.return_db_f", "\u{e003}").await;
    let empty = "const field = document.getElementById('as_found.return_wb_f');
        field.value = '';
        field.dispatchEvent(new Event('input', { bubbles: true }));
        delete document.documentElement.dataset.draft;
        field.dispatchEvent(new Event('input', { bubbles: true }));";
    phone.run(empty).await;
    phone.until("document.documentElement.dataset.draft === 'as_found.return_wb_f'").await;
    phone.die_and_wake().await;
    phone.sign_in("tess@example.com").await;
    phone.open_sheet(office.visit, 10).await;
    assert_eq!(phone.value("as_found.return_wb_f").await, "", "as it was emptied");
    assert_eq!(phone.value("as_found.return_db_f").await, "");
    phone.line_says("all saved").await;
    phone.close().await;
    let (values, rows) = stored(&mut office).await;
    assert_eq!((values, rows), (vec![], 2), "63, and that it was taken back");
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn the_sign_turns_whatever_minus_and_comma_were_typed_and_the_hand_stays_in_the_field() {
    let office = Office::open().await;
    let phone = Phone::open(&office.address()).await;
    phone.sign_in("tess@example.com").await;
    phone.open_sheet(office.visit, 10).await;
    let field = "document.querySelector('#block-10 .sign + input')";
    phone.run(&format!("{field}.focus()")).await;
    for (typed, turned) in
        [("−3,5", "3,5"), ("3,5", "-3,5"), (" -3.5", "3.5"), ("+4", "-4"), ("", "-")]
    {
        phone.run(&format!("{field}.value = {typed:?}")).await;
        phone.press("#block-10 .entry:focus-within .sign").await;
        phone.until(&format!("{field}.value === {turned:?}")).await;
        phone.until(&format!("document.activeElement === {field}")).await;
    }
    phone.until(&format!("{field}.inputMode === 'decimal'")).await;
    phone.until("document.getElementById('as_found.part.1').inputMode === 'text'").await;
    phone.close().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_button_of_the_office_above_the_sheet_does_what_it_says() {
    let office = Office::open().await;
    let phone = Phone::open(&office.address()).await;
    phone.sign_in("tess@example.com").await;
    phone.open_sheet(office.visit, 1).await;
    phone.press("[data-stops='gas_smell']").await;
    phone.has_kept("as_found.hazard.gas_smell").await;
    phone.line_says("all saved").await;
    phone.sign_in("olive@example.com").await;
    phone.open_sheet(office.visit, 1).await;
    phone.press(".told button").await;
    phone.until("!document.querySelector('.told')").await;
    phone.close().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_hazard_that_is_unticked_without_network_stops_nothing_any_more() {
    let mut office = Office::open().await;
    let phone = Phone::open(&office.address()).await;
    phone.sign_in("tess@example.com").await;
    phone.open_sheet(office.visit, 1).await;
    office.kill();
    phone.is_offline(true).await;
    phone.press("[data-stops='gas_smell']").await;
    phone.until("document.getElementById('hazards').innerText.includes('Smell of gas')").await;
    phone.press("[data-stops='gas_smell']").await;
    phone.until("document.getElementById('hazards').innerText.trim() === ''").await;
    phone.close().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn what_waits_for_a_decision_is_decided_on_the_sheet_and_without_network_later() {
    let mut office = Office::open().await;
    let (first, second) =
        (Phone::open(&office.address()).await, Phone::open(&office.address()).await);
    for phone in [&first, &second] {
        phone.sign_in("tess@example.com").await;
        phone.open_sheet(office.visit, 10).await;
    }
    first.enter("as_found.return_db_f", "76").await;
    first.line_says("all saved").await;
    first.close().await;
    second.enter("as_found.return_db_f", "71").await;
    second.until("document.getElementById('held').innerText.includes('Take 71')").await;
    office.kill();
    second.press("#held [name='take']").await;
    second.until("document.getElementById('held').innerText.includes('decide later')").await;
    office.start();
    second.press("#held [name='take']").await;
    second.until("document.getElementById('held').innerText.trim() === ''").await;
    second.until("location.hash === '#block-10' && document.activeElement.id === 'held'").await;
    second.until("document.getElementById('as_found.return_db_f').value === '71'").await;
    second.close().await;
    let (values, rows) = stored(&mut office).await;
    assert_eq!((values, rows), (readings(&[("as_found.return_db_f", 71.0)]), 2));
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_block_is_read_once_more_without_network_and_both_readings_stay() {
    let mut office = Office::open().await;
    let phone = Phone::open(&office.address()).await;
    phone.sign_in("tess@example.com").await;
    phone.open_sheet(office.visit, 7).await;
    phone.run("document.querySelector('#block-7 details').open = true").await;
    phone.enter("as_left.volts_control", "25").await;
    phone.line_says("all saved").await;
    phone.open_sheet(office.visit, 7).await;
    office.kill();
    phone.press("#block-7 [name='again']").await;
    phone.until("document.getElementById('as_left.volts_control').value === ''").await;
    phone.enter("as_left.volts_control", "26").await;
    phone.line_says("2 waiting").await;
    office.start();
    phone.line_says("all saved").await;
    phone.close().await;
    let store = office.store().await;
    let mut tx = store.read().await.unwrap();
    let number = tx.visit(EVERYTHING, office.visit).await.unwrap().number;
    let all = tx.readings_of(number).await.unwrap().into_iter();
    let left: Vec<_> = all.map(|it| (it.stage, it.take, it.value)).collect();
    assert_eq!(left, [(Stage::AsLeft, 1, Some(25.0)), (Stage::AsLeft, 2, Some(26.0))]);
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_sheet_with_nothing_waiting_is_handed_in_without_network_once_its_reasons_are_there() {
    let mut office = Office::open_asking_for(&["as_found.return_wb_f"]).await;
    let phone = Phone::open(&office.address()).await;
    phone.sign_in("tess@example.com").await;
    phone.take_along().await;
    phone.open_sheet(office.visit, 9).await;
    phone.enter("as_found.capacitor_compressor_uf", "36").await;
    phone.line_says("all saved").await;
    office.kill();
    phone.block(14).await;
    phone.press("#block-14 .foot button[value='hand-in']").await;
    phone.until("location.hash === '#block-hand-in'").await;
    phone.until("document.getElementById('told').innerText.includes('Outside')").await;
    phone.press("#hand-in button").await;
    phone.until("document.querySelector('#hand-in :invalid')").await;
    phone.enter("as_found.missing.as_found.return_wb_f", "No port for the probe").await;
    phone.press("#hand-in button").await;
    phone.until("location.pathname === '/today'").await;
    phone.line_says("2 waiting").await;
    office.start();
    phone.line_says("all saved").await;
    phone.close().await;
    let store = office.store().await;
    let visit = store.read().await.unwrap().visit(EVERYTHING, office.visit).await.unwrap();
    assert_eq!(visit.state, VisitState::HandedIn);
}

/// Lets a camera give two pictures at once.
const TWO_PICTURES: &str = "const input = document.querySelector('[data-photo]');
    const canvas = Object.assign(document.createElement('canvas'), { width: 40, height: 30 });
    canvas.getContext('2d').fillRect(0, 0, 20, 30);
    canvas.toBlob((blob) => {
      const both = new DataTransfer();
      for (const name of ['a.png', 'b.png']) both.items.add(new File([blob, name], name, { type: 'image/png' }));
      input.files = both.files;
      input.dispatchEvent(new Event('change', { bubbles: true }));
    });";

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_photo_that_fails_keeps_neither_other_photos_nor_entries_waiting() {
    let mut office = Office::open().await;
    let phone = Phone::open(&office.address()).await;
    phone.sign_in("tess@example.com").await;
    phone.open_sheet(office.visit, 10).await;
    let fail_first = "const fetched = window.fetched = window.fetch;
        window.fetch = (address, ...rest) => {
          if (!address.includes('/photos/')) return fetched(address, ...rest);
          const [photo] = address.split('?');
          window.failing ??= photo;
          return window.failing === photo ? Promise.reject(new Error('gone')) : fetched(address, ...rest);
        };";
    phone.run(fail_first).await;
    phone.run(TWO_PICTURES).await;
    phone.enter("as_found.return_db_f", "76").await;
    phone.until("document.getElementById('saved').innerText.endsWith(' 1 waiting')").await;
    phone.run("window.fetch = window.fetched; window.failing = ''").await;
    phone.run("dispatchEvent(new Event('online'))").await;
    phone.line_says("all saved").await;
    phone.close().await;
    let (values, _) = stored(&mut office).await;
    assert_eq!(values, readings(&[("as_found.return_db_f", 76.0)]));
    let store = office.store().await;
    assert_eq!(store.read().await.unwrap().photos_of(office.visit).await.unwrap().len(), 2);
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_photo_that_finds_no_room_is_said_so_and_the_next_one_is_kept() {
    let mut office = Office::open().await;
    let phone = Phone::open(&office.address()).await;
    phone.before_pages(WATCH).await;
    phone.sign_in("tess@example.com").await;
    phone.open_sheet(office.visit, 6).await;
    let full = "const put = IDBObjectStore.prototype.put;
        IDBObjectStore.prototype.put = function (value, ...rest) {
          if (!value.blob || window.isFull) return put.call(this, value, ...rest);
          window.isFull = true;
          throw new DOMException('full', 'QuotaExceededError');
        };";
    phone.run(full).await;
    phone.run(TWO_PICTURES).await;
    phone.until("document.body.textContent.includes('This could not be kept')").await;
    phone.until("document.body.textContent.includes('Kept.')").await;
    phone.line_says("all saved").await;
    phone.until("window.faults.length === 0").await;
    phone.close().await;
    let store = office.store().await;
    assert_eq!(store.read().await.unwrap().photos_of(office.visit).await.unwrap().len(), 1);
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_page_of_before_an_update_keeps_its_files_until_it_is_replaced() {
    let office = Office::open().await;
    let phone = Phone::open(&office.address()).await;
    phone.sign_in("tess@example.com").await;
    phone.take_along().await;
    let update = "(async () => {
          const pages = await caches.open('pages');
          await pages.put('/visits/old/sheet', new Response('<script src=\"/static/0123abcd/app.js\">'));
          await caches.open('0123abcd');
          await caches.open('4567cdef');
          for (const it of await navigator.serviceWorker.getRegistrations()) await it.unregister();
          window.isReady = true;
        })()";
    phone.run(update).await;
    phone.until("window.isReady").await;
    // A worker that comes anew is what an update is to the browser.
    phone.goto("/account").await;
    let looks = "(async () => {
          do window.left = await caches.keys(); while (window.left.includes('4567cdef'));
        })()";
    phone.run(looks).await;
    phone.until("window.left && !window.left.includes('4567cdef')").await;
    phone.until("window.left.includes('0123abcd') && window.left.includes('pages')").await;
    phone.until("window.left.length === 3").await;
    phone.close().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn the_day_is_along_only_when_all_of_it_is() {
    let office = Office::open().await;
    let phone = Phone::open(&office.address()).await;
    phone.sign_in("tess@example.com").await;
    let without_sheet = "const fetched = window.fetch;
        window.fetch = (address, ...rest) => (/\\/sheet$/.test(address)
          ? Promise.reject(new Error('gone')) : fetched(address, ...rest));";
    phone.before_pages(without_sheet).await;
    phone.goto("/today").await;
    let looks = "(async () => {
          for (let has = false; !has;) {
            const pages = await (await caches.open('pages')).keys();
            has = pages.some((it) => it.url.includes('/systems/'));
          }
          setTimeout(() => { window.looked = true; }, 300);
        })()";
    phone.run(looks).await;
    phone.until("window.looked").await;
    phone.until("!document.documentElement.classList.contains('along')").await;
    phone.close().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn the_watch_counts_the_minutes_and_can_be_begun_anew() {
    let mut office = Office::open().await;
    let phone = Phone::open(&office.address()).await;
    phone.sign_in("tess@example.com").await;
    phone.open_sheet(office.visit, 10).await;
    let timer = "#block-10 .timer";
    phone.until(&format!("document.querySelector('{timer} button + button').hidden")).await;
    let passes = |minutes: u32| {
        format!("const now = window.now ??= Date.now; Date.now = () => now() + {minutes} * 60_000;")
    };
    phone.press(&format!("{timer} button")).await;
    phone.until(&format!("!document.querySelector('{timer} button + button').hidden")).await;
    phone.run(&passes(30)).await;
    phone.press(&format!("{timer} button")).await;
    phone.run(&passes(47)).await;
    phone
        .until(&format!(
            "document.querySelector('{timer} button + button').innerText === 'Take 17 min'"
        ))
        .await;
    phone.press(&format!("{timer} button + button")).await;
    phone.has_kept("as_found.settled_min").await;
    phone.line_says("all saved").await;
    phone.close().await;
    let (values, _) = stored(&mut office).await;
    assert_eq!(values, readings(&[("as_found.settled_min", 17.0)]));
}
