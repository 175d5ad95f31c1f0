//! Tests of what is counted over the whole base.

mod causes;
mod recurrence;
mod refrigerant;
mod rejudgement;
mod sheet_doubts;
mod side_by_side;
