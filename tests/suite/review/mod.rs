//! Tests of what is counted over the whole base.

mod causes;
mod recurrence;
mod refrigerant;
mod rejudgement;
