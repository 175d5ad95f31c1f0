//! Tests of the verbs.

mod book;
mod change_limit;
mod closing;
mod confirm_cause;
mod decide;
mod document;
mod enter;
mod hand_in;
mod judge_again;
mod last_visit;
mod phones;
mod photos;
mod price_list;
mod priors;
mod proposal;
mod report_hazard;
mod requirement;
mod review_sheet;
