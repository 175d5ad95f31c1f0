//! What only a browser shows: real Chromium against the real service on a real port.

mod causes;
mod driver;
mod every_block;
mod every_page;
mod lost;
mod office;
mod offline;
mod on_site;
mod phone;
mod photo;
mod whole_visit;
