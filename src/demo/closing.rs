//! What closes the demo's visits: the price list, what is proposed and answered, parts used, and
//! refrigerant moved as the stories have it. Draws no lots, so that no story depends on it.

use time::{Date, Duration, OffsetDateTime};
use uuid::Uuid;

use super::DemoError;
use super::calendar::Calendar;
use super::equipment::Equipment;
use super::prices_table::{PRICES, RUN_CAPACITOR};
use super::sheets::Caller;
use super::written::Sheet;
use crate::actions::{self, Heard, WantedPrices};
use crate::chance;
use crate::domain::closing::{Answer, Direction};
use crate::domain::price_list::{PriceChange, WrittenItem};
use crate::domain::refusal::Refusal;
use crate::store::{By, Proposal, Scope, Tx};

/// Until when something is put off: the next season.
const PUT_OFF_DAYS: i64 = 330;
/// How long the office waits before it calls about what is open.
const CALL_DAYS: i64 = 6;
/// What the run capacitor costs since the last season, in cents.
const RAISED_CENTS: i64 = 19_900;

/// Writes the price list, an item a version, as the owner did before the first round.
pub(super) async fn write_prices(tx: &mut Tx, by: By) -> Result<(), DemoError> {
    for (key, words, cents, answers) in PRICES {
        let written = WrittenItem {
            words: (*words).to_owned(),
            cents: *cents,
            answers: answers.iter().map(|it| (*it).to_owned()).collect(),
            place: None,
        };
        let seen = actions::price_list(tx).await?.number;
        let change = PriceChange::Add(written);
        let wanted = WantedPrices { id: chance::id(by.at), seen, change };
        actions::change_prices(tx, wanted, by).await?;
        if actions::price_list(tx).await?.item(key).is_none() {
            // The table says a key that the program would not give: nothing could be proposed.
            return Err(Refusal::NoSuchItem.into());
        }
    }
    Ok(())
}

/// The suppliers raise a price, and so does the owner; done twice, it is so already.
pub(super) async fn raise_a_price(tx: &mut Tx, by: By) -> Result<(), DemoError> {
    let list = actions::price_list(tx).await?;
    let item = list.item(RUN_CAPACITOR).ok_or(Refusal::NoSuchItem)?;
    let written = WrittenItem {
        words: item.words.clone(),
        cents: RAISED_CENTS,
        answers: item.answers.clone(),
        place: None,
    };
    let change = PriceChange::Change(item.key.clone(), written);
    let wanted = WantedPrices { id: chance::id(by.at), seen: list.number, change };
    Ok(actions::change_prices(tx, wanted, by).await?)
}

/// Proposes an item.
pub(super) fn propose(sheet: &mut Sheet, item: &str, answer: Answer, day: Date) {
    sheet.close(format!("proposal.{item}"), answer.key());
    if answer == Answer::Deferred {
        let until = day.saturating_add(Duration::days(PUT_OFF_DAYS));
        sheet.close(format!("proposal_until.{item}"), until.to_string());
    }
}

/// Proposes what was seen and left as it is; what the customers say goes round.
pub(super) fn propose_the_rest(sheet: &mut Sheet, equipment: &Equipment, caller: Caller) {
    let turn = equipment.index + usize::from(caller.day.ordinal());
    for (place, (item, _, _, answers)) in PRICES.iter().enumerate() {
        if answers.iter().any(|it| sheet.wants_attention(it)) && !sheet.proposes(item) {
            let said = Answer::ALL[(turn + place) % Answer::ALL.len()];
            propose(sheet, item, said, caller.day);
        }
    }
    // Now and then there is something that no list has.
    if turn.is_multiple_of(23) {
        sheet.close("proposal_words.other_1", "Gravel pad under the outdoor unit levelled");
        sheet.close("proposal_price.other_1", "140");
        sheet.close("proposal.other_1", Answer::Open.key());
    }
}

/// A part that went in.
pub(super) fn part(sheet: &mut Sheet, line: i64, words: impl Into<String>) {
    sheet.close(format!("part.{line}"), words);
    sheet.close(format!("part_count.{line}"), "1");
}

/// Refrigerant that went in or came out, by the scale.
pub(super) fn moved(
    sheet: &mut Sheet,
    (line, direction): (i64, Direction),
    pounds: f64,
    cylinder: &str,
) {
    #[expect(clippy::cast_possible_truncation, reason = "some pounds")]
    let ounces = (pounds * 16.0).round() as i64;
    if ounces < 1 {
        return;
    }
    sheet.close(format!("moved.{line}"), direction.key());
    sheet.close(format!("moved_lb.{line}"), (ounces / 16).to_string());
    sheet.close(format!("moved_oz.{line}"), (ounces % 16).to_string());
    sheet.close(format!("moved_cylinder.{line}"), cylinder);
}

/// The cylinder on a technician's truck.
pub(super) fn cylinder(equipment: &Equipment, caller: Caller) -> String {
    format!("{} no. {}", equipment.line.refrigerant, caller.technician + 1)
}

/// The cylinder into which they recover.
pub(super) fn recovery_cylinder(caller: Caller) -> String {
    format!("Recovery no. {}", caller.technician + 1)
}

/// What the office heard when it called about what was open: every other customer has decided.
pub(super) async fn call_about(
    tx: &mut Tx,
    visit: Uuid,
    (day, person, calendar): (Date, Uuid, Calendar),
) -> Result<(), DemoError> {
    let on = day.saturating_add(Duration::days(CALL_DAYS));
    if calendar.today <= on {
        return Ok(());
    }
    let at = Calendar::instant(on, 15 * 60 + 20);
    let proposals = tx.proposals_of_visit(visit).await?;
    for (place, it) in proposals.iter().filter(|it| it.answer == Answer::Open).enumerate() {
        let said = match (usize::from(day.ordinal()) + place) % 4 {
            0 => Answer::Accepted,
            1 => Answer::Declined,
            _ => continue,
        };
        heard(tx, it, said, By { person: Some(person), at }).await?;
    }
    Ok(())
}

/// The customer agreed to the repair that follows.
pub(super) async fn agreed(
    tx: &mut Tx,
    visit: Uuid,
    (item, person): (&str, Uuid),
    at: OffsetDateTime,
) -> Result<(), DemoError> {
    let proposals = tx.proposals_of_visit(visit).await?;
    match proposals.iter().find(|it| it.item == item) {
        Some(it) => heard(tx, it, Answer::Accepted, By { person: Some(person), at }).await,
        None => Ok(()),
    }
}

async fn heard(tx: &mut Tx, it: &Proposal, answer: Answer, by: By) -> Result<(), DemoError> {
    // As it stands by now: the office may have called before.
    let now = tx.proposal(Scope::EVERYTHING, it.id).await?;
    let heard = Heard { id: chance::id(by.at), answer, until: None, seen: now.answer_number };
    Ok(actions::answer_proposal(tx, &now, &heard, by).await?)
}
