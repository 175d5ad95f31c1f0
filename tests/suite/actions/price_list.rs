//! The price list changed by its owner: versions, what is harmless, what is refused.

use fairweather::actions::{self, ActionError, WantedPrices, change_prices, price_list};
use fairweather::chance;
use fairweather::domain::price_list::{PriceChange, WrittenItem};
use fairweather::domain::refusal::Refusal;

use crate::app::{NOW, TestApp};

pub fn item(words: &str, cents: i64, answers: &[&str]) -> WrittenItem {
    let answers = answers.iter().map(|it| (*it).to_owned()).collect();
    WrittenItem { words: words.to_owned(), cents, answers, place: None }
}

impl TestApp {
    /// Adds an item to the price list as the owner.
    pub async fn price(&self, words: &str, cents: i64, answers: &[&str]) {
        self.change_price(PriceChange::Add(item(words, cents, answers))).await;
    }

    /// Changes the price list as the owner.
    pub async fn change_price(&self, change: PriceChange) {
        let seen = price_list(&mut self.read().await).await.expect("the list").number;
        let wanted = WantedPrices { id: chance::id(NOW), seen, change };
        self.try_price(wanted).await.expect("it is changed");
    }

    async fn try_price(&self, wanted: WantedPrices) -> Result<(), ActionError> {
        let mut tx = self.write().await;
        change_prices(&mut tx, wanted, self.by(Some(self.owner))).await?;
        tx.commit().await?;
        Ok(())
    }
}

#[tokio::test]
async fn each_change_is_a_version_with_who_and_when_and_the_old_ones_stay() {
    let app = TestApp::new().await;
    assert_eq!(price_list(&mut app.read().await).await.unwrap().number, 0);
    app.price("Contactor", 24_500, &["contactor_drop_mv"]).await;
    app.price("Drain", 27_500, &[]).await;
    let change = PriceChange::Change("contactor".to_owned(), item("Contactor", 25_900, &[]));
    app.change_price(change).await;
    app.change_price(PriceChange::Retire("drain".to_owned())).await;
    let mut tx = app.read().await;
    let list = price_list(&mut tx).await.unwrap();
    assert_eq!((list.number, list.items.len(), list.items[0].cents), (4, 1, 25_900));
    let first = tx.price_items(1).await.unwrap();
    assert_eq!((first.len(), first[0].cents), (1, 24_500));
    assert_eq!(first[0].answers, ["contactor_drop_mv"]);
    let versions = tx.price_list_versions().await.unwrap();
    let changes: Vec<(i64, &str, Option<i64>)> =
        versions.iter().map(|it| (it.number, it.change.as_str(), it.cents)).collect();
    let expected = [
        (4, "retire", None),
        (3, "change", Some(25_900)),
        (2, "add", Some(27_500)),
        (1, "add", Some(24_500)),
    ];
    assert_eq!(changes, expected);
    assert_eq!(versions[0].person_name.as_deref(), Some("Olive"));
    assert_eq!(tx.events_of(versions[0].id).await.unwrap(), ["change_prices"]);
    let gone = tx.price_item_ever("drain").await.unwrap().unwrap();
    assert_eq!(gone.cents, 27_500, "what was retired can still be explained");
}

#[tokio::test]
async fn the_same_form_twice_is_one_version_and_what_is_so_already_none() {
    let app = TestApp::new().await;
    let change = PriceChange::Add(item("Contactor", 24_500, &[]));
    let wanted = WantedPrices { id: chance::id(NOW), seen: 0, change };
    for _ in 0..2 {
        app.try_price(wanted.clone()).await.unwrap();
    }
    let same = PriceChange::Change("contactor".to_owned(), item("Contactor", 24_500, &[]));
    app.change_price(same).await;
    assert_eq!(price_list(&mut app.read().await).await.unwrap().number, 1);
}

#[tokio::test]
async fn two_owners_at_once_are_told_of_each_other() {
    let app = TestApp::new().await;
    app.price("Contactor", 24_500, &[]).await;
    let change = PriceChange::Add(item("Drain", 27_500, &[]));
    let wanted = WantedPrices { id: chance::id(NOW), seen: 0, change };
    let answer = app.try_price(wanted).await;
    assert!(matches!(answer, Err(ActionError::Refused(Refusal::PricesChanged))), "{answer:?}");
}

#[tokio::test]
async fn an_open_visit_goes_by_the_list_in_force_and_knows_what_it_proposes_already() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let id = app.booked(&place, app.tess).await;
    app.price("Contactor", 24_500, &[]).await;
    app.price("Drain", 27_500, &[]).await;
    app.enter(id, app.tess, &[("as_found.proposal.drain", "open")]).await;
    app.change_price(PriceChange::Retire("drain".to_owned())).await;
    app.agreement(&place, app.plan().await).await;
    let visit = app.visit(id).await;
    let prices = actions::closing_prices(&mut app.read().await, &visit).await.unwrap();
    assert_eq!((prices.list.number, prices.discount_percent), (3, 10));
    let keys: Vec<&str> = prices.list.items.iter().map(|it| it.key.as_str()).collect();
    assert_eq!(keys, ["contactor", "drain"], "retired, but on this sheet");
}
