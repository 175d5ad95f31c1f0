//! Tests of what is counted over the whole base.

mod recurrence;
mod rejudgement;
