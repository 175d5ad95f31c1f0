//! The store: the only SQL of the program, on SQLite or on PostgreSQL.

mod agreement;
mod booking;
mod company;
mod customer;
mod dialect;
mod entry;
mod error;
mod finding;
mod judgement;
mod limit_change;
mod on_record;
mod open;
mod person;
mod plan;
mod remark;
mod system;
mod visit;

pub use agreement::{AGREEMENTS_MAX, Agreement, Covered, CoveredSystem, Kept, NewAgreement};
pub use booking::{BookedAs, NewVisit, Slot};
pub use company::{By, Company, Event};
pub use customer::{Customer, Found, PAGE_ROWS_MAX, Site};
pub use dialect::Tx;
pub use entry::{Entered, Mark, NewEntry, Reading, SheetIs};
pub use error::StoreError;
pub use finding::{Finding, FoundOn, NewFinding, TimeInPlace};
pub use judgement::{Judgement, VisitJudgement};
pub use limit_change::{LimitChange, NewLimitChange};
pub use open::{Store, StoreSettings, sqlite_file};
pub use person::{Credentials, NewPerson, Person, Scope, Session};
pub use plan::{NewPlan, Plan};
pub use remark::Remark;
pub use system::{Component, Plate, System};
pub use visit::Visit;
