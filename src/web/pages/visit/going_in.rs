//! What closes a sheet, in lines, as it is about to go in.

use super::super::proposal::answer_words;
use crate::actions::{self, ClosingPrices};
use crate::domain::closing::{self, Marked, Proposal, pounds_and_ounces};
use crate::domain::price_list::less_discount;
use crate::store::{Mark, Tx, Visit};
use crate::web::display;
use crate::web::error::Error;

/// What goes in beside readings and observations.
pub(super) struct GoingIn {
    /// Words, price and answer.
    pub(super) proposals: Vec<String>,
    pub(super) parts: Vec<String>,
    pub(super) moved: Vec<String>,
    pub(super) is_signed: bool,
    pub(super) photos: usize,
}

pub(super) async fn going_in(tx: &mut Tx, visit: &Visit, marks: &[Mark]) -> Result<GoingIn, Error> {
    let prices = actions::closing_prices(tx, visit).await?;
    let photos = tx.photos_of(visit.id).await?;
    let marks: Vec<Marked<'_>> =
        marks.iter().map(|it| (it.field.as_str(), it.value.as_str())).collect();
    let moved = closing::movements(&marks).into_iter().map(|it| {
        let amount = pounds_and_ounces(it.ounce_tenths);
        format!("{}: {amount}, cylinder {}", it.direction.words(), it.cylinder)
    });
    Ok(GoingIn {
        proposals: closing::proposals(&marks).iter().map(|it| proposed(it, &prices)).collect(),
        parts: closing::parts(&marks)
            .into_iter()
            .map(|it| format!("{} × {}", it.count, it.words))
            .collect(),
        moved: moved.collect(),
        is_signed: photos.iter().any(|it| it.field == "signature"),
        photos: photos.iter().filter(|it| it.field != "signature").count(),
    })
}

/// `Coil cleaned in place, $325.00: accepted`.
fn proposed(it: &Proposal, prices: &ClosingPrices) -> String {
    let listed = prices.list.item(&it.item);
    let words = listed.map_or(it.words.as_str(), |item| item.words.as_str());
    let listed = listed.map(|item| less_discount(item.cents, prices.discount_percent));
    let price = listed.or(it.cents).map_or("price not named".to_owned(), display::money);
    format!("{words}, {price}: {}", answer_words(it.answer, it.until).to_lowercase())
}
