//! The verbs of the office. Each is one function in one transaction that its caller begins and
//! commits, takes who and when, records its event, and does no harm when done twice.

mod agreements;
mod book;
mod change_limit;
mod closing;
mod confirm_cause;
mod customers;
mod decide;
mod document;
mod enter;
mod hand_in;
mod judge;
mod judge_again;
mod last_visit;
mod meaning;
mod people;
mod photos;
mod price_list;
mod priors;
mod proposal;
mod report_hazard;
mod requirement;
mod review_sheet;
mod sheet_doubts;
mod standards;
mod systems;

pub use agreements::{accept_agreement, end_agreement, make_agreement, make_plan};
pub use book::{
    Booking, book_visit, call_off_visit, move_visit, note_no_access, open_again, start_visit,
};
pub use change_limit::{WantedLimit, book_of, change_limit, limit_book};
pub use closing::closing_faults;
pub use confirm_cause::{Confirmation, confirm_cause};
pub use customers::{add_customer, add_site, change_customer, change_site};
pub use decide::{Choice, decide_held, waiting};
pub use enter::{CameIn, Typed, correct, enter, keep_late};
pub use hand_in::{hand_in, hand_in_once};
pub use judge::{judged, judged_as_typed, limits_sheet_of};
pub use judge_again::{
    Again, CHANGED_SHOWN_MAX, ChangedVisit, History, Rejudged, history_again, judge_again,
    judge_history_again, judged_again,
};
pub use last_visit::{LastVisit, assessment_of, fields_of_sheet, last_year};
pub use people::{add_person, change_password, let_go, reset_password, set_up};
pub use photos::{Remover, add_photo, photo_sent_before, remove_photo};
pub use price_list::{ClosingPrices, WantedPrices, change_prices, closing_prices, price_list};
pub use priors::{priors, priors_of, reset_priors};
pub use proposal::{Heard, answer_proposal};
pub use report_hazard::{raise_hazards, see_hazard, take_hazards_back};
pub use requirement::{Needed, missing, require_fields, required_of};
pub use review_sheet::{accept_visit, make_report_link, send_back_visit};
pub use sheet_doubts::{InReview, in_review, sheets_to_review};
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
