//! The office's side: people, plans, customers with their equipment, and the agreements.

use std::collections::BTreeMap;

use time::OffsetDateTime;
use uuid::Uuid;

use super::calendar::{Calendar, SEASONS, ZONE};
use super::closing;
use super::equipment::Equipment;
use super::lots::Lots;
use super::valley::{Bond, Household, Valley};
use super::{DemoError, LOGINS, SEED};
use crate::actions::{self, WantedLimit};
use crate::domain::person::Role;
use crate::engine::limits::LimitName;
use crate::store::{By, Company, Customer, NewAgreement, NewPerson, NewPlan, Site, Tx};

/// Who and what the office knows by now.
pub(super) struct Office {
    pub(super) owner: Uuid,
    pub(super) dispatcher: Uuid,
    pub(super) technicians: Vec<Uuid>,
    pub(super) customers: Vec<Uuid>,
    /// The agreement of a customer for a season.
    pub(super) agreements: BTreeMap<(usize, usize), Uuid>,
    plans: [Uuid; 2],
}

/// Opens the company and writes down who its customers are.
pub(super) async fn open(tx: &mut Tx, valley: &Valley, hash: &str) -> Result<Office, DemoError> {
    let mut lots = Lots::of(SEED, 5_000);
    let calendar = valley.calendar;
    let began =
        Calendar::instant(calendar.opened(0).saturating_sub(time::Duration::days(300)), 540);
    let mut office = people(tx, hash, (began, &mut lots)).await?;
    office.plans =
        plans(tx, valley, By { person: Some(office.owner), at: began }, &mut lots).await?;
    own_limits(tx, By { person: Some(office.owner), at: began }).await?;
    closing::write_prices(tx, By { person: Some(office.owner), at: began }).await?;
    own_requirements(tx, By { person: Some(office.owner), at: began }).await?;
    for (index, household) in valley.households.iter().enumerate() {
        let joined = household.term(calendar, household.first_season).0;
        let at = calendar.past_instant(joined.saturating_sub(time::Duration::days(30)), 600);
        let by = By { person: Some(office.dispatcher), at };
        let id = add_household(tx, household, by, &mut lots).await?;
        office.customers.push(id.0);
        for equipment in valley.equipment.iter().filter(|it| it.customer == index) {
            add_equipment(tx, equipment, id.1[equipment.site], (valley, by)).await?;
        }
    }
    for season in 0..SEASONS {
        office.sell(tx, valley, season, &mut lots).await?;
    }
    Ok(office)
}

async fn people(
    tx: &mut Tx,
    hash: &str,
    (at, lots): (OffsetDateTime, &mut Lots),
) -> Result<Office, DemoError> {
    let company = Company {
        name: "Brindlemoor Air and Cooling".to_owned(),
        phone: "555-0100".to_owned(),
        email: "office@example.com".to_owned(),
        time_zone: ZONE.to_owned(),
    };
    let mut ids = BTreeMap::new();
    let (mut owner, mut dispatcher, mut technicians) = (Uuid::nil(), Uuid::nil(), Vec::new());
    for login in LOGINS {
        let person = NewPerson {
            id: lots.id(at),
            name: login.name.to_owned(),
            email: login.email.to_owned(),
            role: login.role,
            password_hash: hash.to_owned(),
        };
        ids.insert(login.email, person.id);
        match login.role {
            Role::Owner => {
                owner = person.id;
                actions::set_up(tx, &company, &person, By { person: None, at }).await?;
                continue;
            }
            Role::Dispatcher => dispatcher = person.id,
            Role::Technician => technicians.push(person.id),
        }
        actions::add_person(tx, &person, By { person: Some(owner), at }).await?;
    }
    Ok(Office {
        owner,
        dispatcher,
        technicians,
        customers: Vec::new(),
        agreements: BTreeMap::new(),
        plans: [Uuid::nil(); 2],
    })
}

/// What the owner set otherwise than the program before the first round, and why.
async fn own_limits(tx: &mut Tx, by: By) -> Result<(), DemoError> {
    let own = [
        (
            LimitName::FilterDropHigh,
            0.15,
            "The pleated filters that we fit read 0.11 to 0.13 when they are new. At 0.10 nearly \
             every clean house was flagged, and nobody looked at the flag any more.",
        ),
        (
            LimitName::VoltsSagHigh,
            4.0,
            "The lines up the valley are long. We want to hear of a soft supply before the \
             compressors do.",
        ),
    ];
    for (name, value, reason) in own {
        let wanted = WantedLimit { name, value: Some(value), reason: reason.to_owned(), seen: 0 };
        actions::change_limit(tx, &wanted, by).await?;
    }
    Ok(())
}

/// What the owner wants to see on every yearly sheet.
async fn own_requirements(tx: &mut Tx, by: By) -> Result<(), DemoError> {
    let fields = [
        "as_found.static_return_inwc",
        "as_found.observe.drain_runs",
        "as_found.observe.float_switch",
        "as_found.return_wb_f",
        "as_found.suction_pressure_psig",
        "as_found.liquid_pressure_psig",
        "as_found.work.outdoor_coil_washed",
    ];
    let fields = fields.map(ToOwned::to_owned);
    Ok(actions::require_fields(tx, &fields, 0, by).await?)
}

async fn plans(
    tx: &mut Tx,
    valley: &Valley,
    by: By,
    lots: &mut Lots,
) -> Result<[Uuid; 2], DemoError> {
    let ids = [lots.id(by.at), lots.id(by.at)];
    let sold = [
        ("Summer round", 21_900, 10, valley.calendar.whole_season()),
        ("Early summer round", 17_900, 5, valley.calendar.early_season()),
    ];
    for (id, (name, price_cents, discount_percent, season)) in ids.into_iter().zip(sold) {
        let plan = NewPlan {
            name: name.to_owned(),
            price_cents,
            discount_percent,
            seasons: vec![season],
            required: Vec::new(),
        };
        actions::make_plan(tx, id, 1, &plan, by).await?;
    }
    Ok(ids)
}

async fn add_household(
    tx: &mut Tx,
    household: &Household,
    by: By,
    lots: &mut Lots,
) -> Result<(Uuid, Vec<Uuid>), DemoError> {
    let customer = Customer {
        id: lots.id(by.at),
        name: household.name.clone(),
        phone: household.phone.clone(),
        email: household.email.clone(),
        note: household.note.to_owned(),
    };
    actions::add_customer(tx, &customer, by).await?;
    let mut sites = Vec::new();
    for place in &household.sites {
        let site = Site {
            id: lots.id(by.at),
            customer_id: customer.id,
            street: place.street.clone(),
            town: place.town.to_owned(),
            postal_code: place.postal_code.to_owned(),
            elevation_ft: place.elevation_ft,
            latitude: Some(place.latitude),
            longitude: Some(place.longitude),
            access_note: place.access_note.to_owned(),
        };
        actions::add_site(tx, &site, by).await?;
        sites.push(site.id);
    }
    Ok((customer.id, sites))
}

async fn add_equipment(
    tx: &mut Tx,
    equipment: &Equipment,
    site: Uuid,
    (valley, by): (&Valley, By),
) -> Result<(), DemoError> {
    // A system that came later is written down when it was put in.
    let installed = valley.calendar.past_instant(equipment.installed_on, 900);
    let by = By { at: by.at.max(installed), ..by };
    let name_and_kind = (equipment.name, equipment.line.kind);
    actions::add_system(tx, equipment.id, site, name_and_kind, by).await?;
    for part in &equipment.parts {
        let system_and_part = (equipment.id, part.part);
        let installed_on = Some(part.installed_on);
        actions::add_component(tx, part.id, system_and_part, installed_on, (&part.plate, by))
            .await?;
    }
    Ok(())
}

impl Office {
    /// Sells the agreements of one season.
    async fn sell(
        &mut self,
        tx: &mut Tx,
        valley: &Valley,
        season: usize,
        lots: &mut Lots,
    ) -> Result<(), DemoError> {
        for (customer, household) in valley.households.iter().enumerate() {
            if household.seasons().contains(&season) {
                let id = self.offer(tx, valley, (customer, season), lots).await?;
                if household.bond != Bond::Draft {
                    let (starts_on, _) = household.term(valley.calendar, season);
                    self.note_yes(tx, valley, (id, starts_on)).await?;
                }
            }
        }
        Ok(())
    }

    /// Writes an agreement for all systems that a customer has in that season.
    async fn offer(
        &mut self,
        tx: &mut Tx,
        valley: &Valley,
        (customer, season): (usize, usize),
        lots: &mut Lots,
    ) -> Result<Uuid, DemoError> {
        let household = &valley.households[customer];
        let (mut starts_on, mut ends_on) = household.term(valley.calendar, season.min(SEASONS - 1));
        if SEASONS <= season {
            // The term after the present one.
            starts_on = ends_on;
            ends_on = starts_on.saturating_add(time::Duration::days(365));
        }
        if household.bond == Bond::Draft {
            starts_on = valley.calendar.after(10);
            ends_on = starts_on.saturating_add(time::Duration::days(365));
        }
        let offered = starts_on.saturating_sub(time::Duration::days(20));
        let by =
            By { person: Some(self.dispatcher), at: valley.calendar.past_instant(offered, 660) };
        let systems = valley.systems_of(customer).into_iter().map(|it| &valley.equipment[it]);
        let agreement = NewAgreement {
            id: lots.id(by.at),
            customer_id: self.customers[customer],
            plan: (self.plans[usize::from(household.early_plan)], 1),
            starts_on,
            ends_on,
            accepted_on: None,
            systems: systems.filter(|it| it.first_season <= season).map(|it| it.id).collect(),
        };
        actions::make_agreement(tx, &agreement, by).await?;
        self.agreements.insert((customer, season), agreement.id);
        Ok(agreement.id)
    }

    async fn note_yes(
        &self,
        tx: &mut Tx,
        valley: &Valley,
        (id, starts_on): (Uuid, time::Date),
    ) -> Result<(), DemoError> {
        let day = starts_on.saturating_sub(time::Duration::days(8)).min(valley.calendar.today);
        let at = valley.calendar.past_instant(day, 700);
        let by = By { person: Some(self.dispatcher), at };
        Ok(actions::accept_agreement(tx, id, day, by).await?)
    }

    /// What is under way with agreements today: the next terms, and one that was ended.
    pub(super) async fn look_ahead(
        &mut self,
        tx: &mut Tx,
        valley: &Valley,
    ) -> Result<(), DemoError> {
        let mut lots = Lots::of(SEED, 6_000);
        for (customer, household) in valley.households.iter().enumerate() {
            match household.bond {
                Bond::Renewed => {
                    let id = self.offer(tx, valley, (customer, SEASONS), &mut lots).await?;
                    let begins = household.term(valley.calendar, SEASONS - 1).1;
                    self.note_yes(tx, valley, (id, begins)).await?;
                }
                Bond::InRenewal if customer % 24 == 4 => {
                    self.offer(tx, valley, (customer, SEASONS), &mut lots).await?;
                }
                Bond::Ended => {
                    if let Some(id) = self.agreements.get(&(customer, SEASONS - 1)) {
                        let on = valley.calendar.after(-2);
                        let at = valley.calendar.past_instant(on, 800);
                        let by = By { person: Some(self.dispatcher), at };
                        actions::end_agreement(tx, *id, on, by).await?;
                    }
                }
                _ => {}
            }
        }
        Ok(())
    }
}
