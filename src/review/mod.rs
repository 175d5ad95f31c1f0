//! Looking back over the whole base: what fails again and again. Pure.

pub mod causes;
pub mod recurrence;
pub mod refrigerant;
pub mod rejudgement;
