//! Looking back: over the whole base at what fails again and again, at a sheet before it is
//! accepted. Pure.

pub mod causes;
pub mod recurrence;
pub mod refrigerant;
pub mod rejudgement;
pub mod sheet_doubts;
pub mod side_by_side;
