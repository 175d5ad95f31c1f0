//! The store: the only SQL of the program, on SQLite or on PostgreSQL.

mod company;
mod customer;
mod dialect;
mod error;
mod open;
mod person;
mod system;

pub use company::{By, Company, Event};
pub use customer::{Customer, Found, PAGE_ROWS_MAX, Site};
pub use dialect::Tx;
pub use error::StoreError;
pub use open::{Store, StoreSettings, sqlite_file};
pub use person::{Credentials, NewPerson, Person, Scope, Session};
pub use system::{Component, Plate, System};
