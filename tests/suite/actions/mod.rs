//! Tests of the verbs.

mod book;
mod change_limit;
mod confirm_cause;
mod document;
mod enter;
mod judge_again;
mod last_visit;
mod priors;
mod report_hazard;
mod requirement;
mod review_sheet;
