//! The pages: each a struct that is filled and a template of the same name.

pub(super) mod account;
pub(super) mod agreement;
pub(super) mod booking;
pub(super) mod cause_view;
pub(super) mod customer;
pub(super) mod due;
pub(super) mod finding;
pub(super) mod health;
pub(super) mod judge_again;
pub(super) mod likely;
pub(super) mod limit_book;
pub(super) mod people;
pub(super) mod plan;
pub(super) mod points_to;
pub(super) mod report;
pub(super) mod review;
pub(super) mod review_sheet;
pub(super) mod sheet;
pub(super) mod sign_in;
pub(super) mod signature;
pub(super) mod site;
pub(super) mod system;
pub(super) mod today;
pub(super) mod verdicts;
pub(super) mod visit;
pub(super) mod week;
