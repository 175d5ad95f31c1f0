//! The verbs of the office. Each is one function in one transaction that its caller begins and
//! commits, takes who and when, records its event, and does no harm when done twice.

mod agreements;
mod book;
mod change_limit;
mod confirm_cause;
mod customers;
mod document;
mod enter;
mod hand_in;
mod judge;
mod judge_again;
mod people;
mod photos;
mod priors;
mod review_sheet;
mod standards;
mod systems;

pub use agreements::{accept_agreement, end_agreement, make_agreement, make_plan};
pub use book::{Booking, book_visit, call_off_visit, move_visit, note_no_access, start_visit};
pub use change_limit::{WantedLimit, book_of, change_limit, limit_book};
pub use confirm_cause::{Confirmation, confirm_cause};
pub use customers::{add_customer, add_site, change_customer, change_site};
pub use enter::{Typed, correct, enter};
pub use hand_in::hand_in;
pub use judge::judged;
pub use judge_again::{
    Again, CHANGED_SHOWN_MAX, ChangedVisit, History, Rejudged, history_again, judge_again,
    judge_history_again, judged_again,
};
pub use people::{add_person, change_password, let_go, reset_password, set_up};
pub use photos::{Remover, add_photo, photo_sent_before, remove_photo};
pub use priors::{priors, priors_of, reset_priors};
pub use review_sheet::{accept_visit, make_report_link, send_back_visit};
pub use standards::{Standards, standards};
pub use systems::{add_component, add_system, change_system, correct_plate, replace_component};

use crate::domain::refusal::Refusal;
use crate::store::StoreError;

/// Why an action was not done.
#[derive(Debug, thiserror::Error)]
pub enum ActionError {
    /// It is not lawful.
    #[error(transparent)]
    Refused(#[from] Refusal),
    /// The store could not do it.
    #[error(transparent)]
    Store(#[from] StoreError),
}
