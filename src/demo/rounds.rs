//! The rounds as they are made: booked, entered, handed in, accepted, through the actions alone.

use time::{Date, Duration, OffsetDateTime};
use uuid::Uuid;

use super::answers::{self, Answers, LEAKED, Truth};
use super::calendar::{Calendar, SEASONS};
use super::closing;
use super::conditions::{Condition, Weather};
use super::equipment::{Equipment, Story};
use super::lots::Lots;
use super::meters::MeterError;
use super::office::Office;
use super::plan::{Ending, Round, VISIT_MINUTES};
use super::prices_table::INDOOR_COIL;
use super::sheets::{self, Caller};
use super::valley::{READS_HIGH, Valley};
use super::written::Sheet;
use super::{DemoError, LOGINS, SEED};
use crate::actions::{self, Booking, Typed};
use crate::domain::closing::is_field;
use crate::domain::nameplate::Part;
use crate::domain::refusal::Refusal;
use crate::domain::sheet::BLOCKS;
use crate::domain::visit::{VisitKind, VisitState};
use crate::store::{By, Scope, Slot, Tx, Visit};

/// Minutes after arrival at which each block is written.
const BLOCK_MINUTES: [i64; 14] = [1, 6, 10, 15, 24, 31, 36, 41, 46, 66, 72, 76, 96, 100];
/// The last block that the visit under way has reached.
const UNDER_WAY_BLOCK: usize = 7;
/// How long ago the visit under way began, in minutes.
const UNDER_WAY_MINUTES: i64 = 42;

/// The work of all rounds, one after the other.
pub(super) struct Work<'a> {
    valley: &'a Valley,
    office: &'a Office,
    conditions: Vec<Condition>,
    lots: Vec<Lots>,
    /// Entries that each technician's device has sent.
    sent: Vec<i64>,
    answers: Answers,
    answer_lots: Lots,
    closing_lots: Lots,
}

/// A visit with where and when its sheet is written.
struct AtWork<'a> {
    equipment: &'a Equipment,
    technician: usize,
    arrived: OffsetDateTime,
    blocks: usize,
}

impl<'a> Work<'a> {
    pub(super) fn new(valley: &'a Valley, office: &'a Office) -> Self {
        let mut lots: Vec<Lots> =
            valley.equipment.iter().map(|it| Lots::of(SEED, 20_000 + it.index as u64)).collect();
        let conditions = valley
            .equipment
            .iter()
            .zip(&mut lots)
            .map(|(equipment, lots)| Condition::first(equipment, lots))
            .collect();
        let sent = vec![0; office.technicians.len()];
        let (answers, answer_lots) = (Answers::default(), Lots::of(SEED, 40_000));
        let closing_lots = Lots::of(SEED, 50_000);
        Self { valley, office, conditions, lots, sent, answers, answer_lots, closing_lots }
    }

    fn calendar(&self) -> Calendar {
        self.valley.calendar
    }

    /// One round from the booking to wherever it stands today.
    pub(super) async fn make(&mut self, tx: &mut Tx, round: &Round) -> Result<(), DemoError> {
        let begins = Calendar::instant(round.day, round.start_minute);
        self.answers.give_before(tx, begins, &mut self.answer_lots).await?;
        if round.season + 1 == SEASONS {
            let at = self.calendar().past_instant(self.calendar().opened(round.season), 500);
            closing::raise_a_price(tx, By { person: Some(self.office.owner), at }).await?;
        }
        let visit = self.book(tx, round).await?;
        let on_the_day = self.calendar().past_instant(round.day, round.start_minute + 20);
        let by = By { person: Some(self.office.technicians[round.technician]), at: on_the_day };
        match round.ending {
            Ending::Booked => return Ok(()),
            Ending::NoAccess => return Ok(actions::note_no_access(tx, &visit, by).await?),
            Ending::Cancelled => {
                let by = By { person: Some(self.office.dispatcher), ..by };
                return Ok(actions::call_off_visit(tx, &visit, by).await?);
            }
            _ => {}
        }
        let equipment = &self.valley.equipment[round.equipment];
        let is_under_way = round.ending == Ending::UnderWay;
        let arrived = if is_under_way {
            self.calendar().now - Duration::minutes(UNDER_WAY_MINUTES)
        } else {
            self.calendar().past_instant(round.day, round.start_minute)
        };
        let blocks = if is_under_way { UNDER_WAY_BLOCK } else { BLOCKS.len() };
        let at_work = AtWork { equipment, technician: round.technician, arrived, blocks };
        let (sheet, truth) = self.maintain(round);
        self.write(tx, &visit, &at_work, &sheet).await?;
        if is_under_way {
            return Ok(());
        }
        self.hand_in(tx, visit.id, &at_work).await?;
        self.review(tx, visit.id, round).await?;
        if round.ending == Ending::Accepted {
            // The truck is loaded again the next evening, and what was found is written down.
            let evening = self.evening_after(round.day);
            let by = (self.office.technicians[round.technician], evening);
            self.answers.perhaps(visit.id, truth, by, &mut self.answer_lots);
            let caller = (round.day, self.office.dispatcher, self.calendar());
            closing::call_about(tx, visit.id, caller).await?;
        }
        self.follow_up(tx, visit.id, round).await
    }

    /// The answers that nobody has waited for yet.
    pub(super) async fn give_last_answers(&mut self, tx: &mut Tx) -> Result<(), DemoError> {
        let soon = self.calendar().now + Duration::seconds(1);
        self.answers.give_before(tx, soon, &mut self.answer_lots).await
    }

    /// When the day's work is written up, after the owner took the sheets of the day before.
    fn evening_after(&self, day: Date) -> OffsetDateTime {
        self.calendar().past_instant(day.saturating_add(Duration::days(1)), 20 * 60)
    }

    async fn book(&mut self, tx: &mut Tx, round: &Round) -> Result<Visit, DemoError> {
        let equipment = &self.valley.equipment[round.equipment];
        let lots = &mut self.lots[round.equipment];
        let ahead = Duration::days(lots.whole(5, 24));
        let calendar = self.valley.calendar;
        let yesterday = calendar.now - Duration::days(1);
        let at = Calendar::instant(round.day.saturating_sub(ahead), 615).min(yesterday);
        let promise = self.office.agreements.get(&(equipment.customer, round.season));
        let year = i64::from(calendar.year(round.season));
        let booking = Booking {
            id: lots.id(at),
            system_id: equipment.id,
            kind: VisitKind::CoolingMaintenance,
            technician_id: self.office.technicians[round.technician],
            slot: Slot { day: round.day, start_minute: round.start_minute, minutes: VISIT_MINUTES },
            promise: promise.map(|id| (*id, year)),
        };
        let by = By { person: Some(self.office.dispatcher), at };
        actions::book_visit(tx, &booking, by).await?;
        Ok(tx.visit(Scope::EVERYTHING, booking.id).await?)
    }

    /// What the technician finds and writes, and what was really the matter.
    fn maintain(&mut self, round: &Round) -> (Sheet, Option<Truth>) {
        let equipment = &self.valley.equipment[round.equipment];
        let lots = &mut self.lots[round.equipment];
        let condition = &mut self.conditions[round.equipment];
        condition.wear(lots);
        let truth = answers::truth(condition);
        let is_cold = round.ending == Ending::AcceptedCold;
        let weather =
            if is_cold { Weather::cold(lots) } else { Weather::warm(equipment.elevation_ft, lots) };
        let (meter, technician) = (meter_of(round.technician), round.technician);
        let caller = Caller { meter, weather, is_cold, day: round.day, technician };
        (sheets::maintenance(equipment, condition, caller, lots), truth)
    }

    /// Enters a sheet block by block, as the device sends it.
    async fn write(
        &mut self,
        tx: &mut Tx,
        visit: &Visit,
        at_work: &AtWork<'_>,
        sheet: &Sheet,
    ) -> Result<(), DemoError> {
        if let Some(field) = sheet.misplaced() {
            return Err(Refusal::NoSuchField(field).into());
        }
        let mut visit = visit.clone();
        let mut known = 0;
        for (block, minutes) in BLOCKS.iter().zip(BLOCK_MINUTES).take(at_work.blocks) {
            let begun = at_work.arrived + Duration::minutes(minutes);
            let typed: Vec<Typed> = sheet
                .block(block)
                .into_iter()
                .zip(0..)
                .map(|(written, nth)| {
                    self.sent[at_work.technician] += 1;
                    let device_at = begun + Duration::seconds(7 * nth);
                    // What closes a sheet draws lots of its own, so that no story depends on it.
                    let lots = if is_field(&written.field) {
                        &mut self.closing_lots
                    } else {
                        &mut self.lots[at_work.equipment.index]
                    };
                    Typed {
                        id: lots.id(device_at),
                        device: (device(at_work.technician), self.sent[at_work.technician]),
                        base_number: known,
                        device_at: Some(device_at),
                        device_ahead_s: None,
                        stage: written.stage,
                        take: 1,
                        field: written.field,
                        text: written.text,
                    }
                })
                .collect();
            let seconds = 7 * i64::try_from(typed.len()).unwrap_or(0);
            let by = By {
                person: Some(self.office.technicians[at_work.technician]),
                at: begun + Duration::seconds(seconds),
            };
            actions::enter(tx, &visit, &typed, by).await?;
            known += i64::try_from(typed.len()).unwrap_or(0);
            if visit.state == VisitState::Booked && !typed.is_empty() {
                visit.state = VisitState::UnderWay;
            }
        }
        Ok(())
    }

    async fn hand_in(
        &self,
        tx: &mut Tx,
        visit: Uuid,
        at_work: &AtWork<'_>,
    ) -> Result<(), DemoError> {
        let visit = tx.visit(Scope::EVERYTHING, visit).await?;
        let by = By {
            person: Some(self.office.technicians[at_work.technician]),
            at: at_work.arrived + Duration::minutes(VISIT_MINUTES),
        };
        Ok(actions::hand_in(tx, &visit, by).await?)
    }

    /// What the owner did with the sheet in the evening of the next day.
    async fn review(&self, tx: &mut Tx, visit: Uuid, round: &Round) -> Result<(), DemoError> {
        let visit = tx.visit(Scope::EVERYTHING, visit).await?;
        let next_day = round.day.saturating_add(Duration::days(1));
        let at = self.calendar().past_instant(next_day, 19 * 60 + 30);
        let by = By { person: Some(self.office.owner), at };
        match round.ending {
            Ending::Accepted | Ending::AcceptedCold => {
                Ok(actions::accept_visit(tx, &visit, by).await?)
            }
            Ending::SentBack => {
                let (field, text) = (
                    "as_found.liquid_line_f",
                    "Was the clamp insulated? It reads warmer than last year. Please look again.",
                );
                Ok(actions::send_back_visit(tx, &visit, &[(field, text)], by).await?)
            }
            _ => Ok(()),
        }
    }

    /// What is replaced in the days after: a coil that leaked twice, now and then a thermostat.
    async fn follow_up(
        &mut self,
        tx: &mut Tx,
        visit: Uuid,
        round: &Round,
    ) -> Result<(), DemoError> {
        let equipment = &self.valley.equipment[round.equipment];
        let on = round.day.saturating_add(Duration::days(9));
        if self.calendar().today <= on || round.ending != Ending::Accepted {
            return Ok(());
        }
        let lots = &mut self.lots[round.equipment];
        let leaks = equipment.story == Story::LeakingCoil;
        let condition = &self.conditions[round.equipment];
        if leaks && condition.leak_rate > 0.0 && condition.topped_up >= 2 && lots.happens(0.35) {
            let made_on = on.saturating_sub(Duration::days(90));
            let plate = equipment.sound_coil(made_on, lots);
            let at = self.calendar().past_instant(on.saturating_sub(Duration::days(2)), 600);
            let heard = (INDOOR_COIL, self.office.dispatcher);
            closing::agreed(tx, visit, heard, at).await?;
            self.replace(tx, (round, on), Part::IndoorCoil, &plate).await?;
            let evening = self.calendar().past_instant(on, 20 * 60);
            let by = (self.office.technicians[round.technician], evening);
            self.answers.surely(visit, LEAKED, by);
            return self.coil_visit(tx, round, on).await;
        }
        if lots.happens(0.03) && round.season + 1 < SEASONS {
            let plate = Equipment::new_thermostat(on.saturating_sub(Duration::days(60)), lots);
            return self.replace(tx, (round, on), Part::Thermostat, &plate).await;
        }
        Ok(())
    }

    async fn replace(
        &mut self,
        tx: &mut Tx,
        (round, on): (&Round, Date),
        part: Part,
        plate: &crate::store::Plate,
    ) -> Result<(), DemoError> {
        let equipment = &self.valley.equipment[round.equipment];
        let components = tx.components_of(equipment.id).await?;
        let Some(old) = components.iter().find(|it| it.part == part && it.removed_on.is_none())
        else {
            return Ok(());
        };
        let at = self.calendar().past_instant(on, 16 * 60);
        let new = self.lots[round.equipment].id(at);
        let by = By { person: Some(self.office.dispatcher), at };
        Ok(actions::replace_component(tx, old.id, new, on, (plate, by)).await?)
    }

    /// The repair visit of a coil: the technician was there anyhow, so nobody booked it.
    async fn coil_visit(&mut self, tx: &mut Tx, round: &Round, on: Date) -> Result<(), DemoError> {
        let equipment = &self.valley.equipment[round.equipment];
        let arrived = self.calendar().past_instant(on, 13 * 60);
        let id = self.lots[round.equipment].id(arrived);
        let technician_id = self.office.technicians[round.technician];
        let booking = Booking {
            id,
            system_id: equipment.id,
            kind: VisitKind::Repair,
            technician_id,
            slot: Slot { day: on, start_minute: 13 * 60, minutes: 0 },
            promise: None,
        };
        let by = By { person: Some(technician_id), at: arrived };
        actions::start_visit(tx, Scope::EVERYTHING, &booking, by).await?;
        let lots = &mut self.lots[round.equipment];
        let weather = Weather::warm(equipment.elevation_ft, lots);
        let (meter, technician) = (meter_of(round.technician), round.technician);
        let caller = Caller { meter, weather, is_cold: false, day: on, technician };
        let condition = &mut self.conditions[round.equipment];
        let sheet = sheets::coil_replacement(equipment, condition, caller, lots);
        let visit = tx.visit(Scope::EVERYTHING, id).await?;
        let at_work =
            AtWork { equipment, technician: round.technician, arrived, blocks: BLOCKS.len() };
        self.write(tx, &visit, &at_work, &sheet).await?;
        self.hand_in(tx, id, &at_work).await?;
        let as_accepted = Round { day: on, ..*round };
        self.review(tx, id, &as_accepted).await
    }
}

fn meter_of(technician: usize) -> MeterError {
    if technician == READS_HIGH { MeterError::HIGH } else { MeterError::NONE }
}

/// The name that a technician's device goes by.
fn device(technician: usize) -> String {
    let technicians = LOGINS.iter().filter(|it| it.email != "owner@example.com");
    let email = technicians.skip(1).nth(technician).map_or("", |it| it.email);
    format!("tablet-{}", email.split('@').next().unwrap_or(""))
}
