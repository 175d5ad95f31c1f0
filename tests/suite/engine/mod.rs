//! Tests of the engine.

mod air;
mod airflow;
mod capacity;
mod case;
mod case_text;
pub mod causes;
mod charge;
mod charts;
mod conditions;
mod doubts;
mod electrical;
mod fixed;
mod limits;
mod limits_sheet;
mod moving;
mod mutation;
pub mod nominal_case;
mod normal;
mod performance;
mod points;
mod properties;
mod refrigerant;
mod stages;
mod statics;
mod uncertainty;
mod validity;
mod verdict;
