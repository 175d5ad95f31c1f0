//! Ways in which something typed could still be lost on the phone itself, each held shut.

use thirtyfour::prelude::*;

use super::phone::{Office, Phone};
use crate::builders::EVERYTHING;

const POINT: &str = "as_found.return_db_f";

/// Lets a hand type, without moving on.
async fn type_only(phone: &Phone, text: &str) {
    let script = format!(
        "const field = document.getElementById('{POINT}'); field.focus(); field.value = '{text}';
         field.dispatchEvent(new Event('input', {{ bubbles: true }}));"
    );
    phone.driver.execute(script, vec![]).await.unwrap();
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn what_a_phone_cannot_keep_is_not_called_saved() {
    let office = Office::open().await;
    let phone = Phone::open(&office.address()).await;
    let script = "const put = IDBObjectStore.prototype.put;
        IDBObjectStore.prototype.put = function (...all) {
          if (this.name === 'item') throw new DOMException('full', 'QuotaExceededError');
          return put.apply(this, all);
        };";
    phone.driver.cdp().page().add_script_to_evaluate_on_new_document(script).await.unwrap();
    phone.sign_in("tess@example.com").await;
    phone.open_sheet(office.visit, 10).await;
    type_only(&phone, "76").await;
    let moved_on = format!(
        "document.getElementById('{POINT}').blur();
         document.querySelector('#block-10 .foot button:last-child').click()"
    );
    phone.driver.execute(moved_on, vec![]).await.unwrap();
    // It says so, or the form has carried it to the office all the same.
    let is_there = format!("document.getElementById('{POINT}')?.getAttribute('value') === '76'");
    let says_so = "/keeps nothing by itself/.test(document.body.innerText)";
    phone.until(&format!("{is_there} || {says_so}")).await;
    phone.close().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn what_was_typed_and_undone_takes_nothing_back_later() {
    let office = Office::open().await;
    let (first, second) =
        (Phone::open(&office.address()).await, Phone::open(&office.address()).await);
    for phone in [&first, &second] {
        phone.sign_in("tess@example.com").await;
        phone.open_sheet(office.visit, 10).await;
    }
    for text in ["7", ""] {
        type_only(&first, text).await;
    }
    first.until(&format!("document.documentElement.dataset.draft === '{POINT}'")).await;
    first.driver.execute("document.activeElement.blur()", vec![]).await.unwrap();
    second.enter(POINT, "76").await;
    second.line_says("all saved").await;
    first.open_sheet(office.visit, 10).await;
    assert_eq!(first.value(POINT).await, "76");
    first.close().await;
    second.close().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn what_was_being_typed_as_the_battery_died_crosses_with_what_others_entered_since() {
    let mut office = Office::open().await;
    let mut first = Phone::open(&office.address()).await;
    let second = Phone::open(&office.address()).await;
    for phone in [&first, &second] {
        phone.sign_in("tess@example.com").await;
        phone.open_sheet(office.visit, 10).await;
    }
    type_only(&first, "71").await;
    first.until(&format!("document.documentElement.dataset.draft === '{POINT}'")).await;
    first.die_and_wake().await;
    second.enter(POINT, "76").await;
    second.line_says("all saved").await;
    first.sign_in("tess@example.com").await;
    first.open_sheet(office.visit, 10).await;
    first.line_says("all saved").await;
    first.close().await;
    second.close().await;
    let store = office.store().await;
    let mut tx = store.read().await.unwrap();
    let number = tx.visit(EVERYTHING, office.visit).await.unwrap().number;
    assert_eq!(tx.readings_of(number).await.unwrap()[0].value, Some(76.0));
    let held = tx.entries_held(number).await.unwrap();
    assert_eq!(held.iter().map(|it| it.entry.typed.as_str()).collect::<Vec<_>>(), ["71"]);
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_hazard_is_seen_from_the_sheet_too() {
    let office = Office::open().await;
    let (tess, dora) = (Phone::open(&office.address()).await, Phone::open(&office.address()).await);
    tess.sign_in("tess@example.com").await;
    tess.open_sheet(office.visit, 1).await;
    let tick = "document.querySelector(\"[data-stops='gas_smell']\").click()";
    tess.driver.execute(tick, vec![]).await.unwrap();
    tess.until("document.documentElement.dataset.kept").await;
    tess.line_says("all saved").await;
    tess.close().await;
    dora.sign_in("dora@example.com").await;
    dora.open_sheet(office.visit, 1).await;
    let seen = dora.driver.find(By::Css(".told button")).await.unwrap().to_json().unwrap();
    dora.driver.execute("arguments[0].click()", vec![seen]).await.unwrap();
    dora.until("!document.querySelector('.told')").await;
    dora.close().await;
}
