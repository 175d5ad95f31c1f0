//! Tests of the engine.

mod air;
mod airflow;
mod case;
mod case_text;
mod charge;
mod charts;
mod doubts;
mod electrical;
mod limits;
mod moving;
mod mutation;
mod nominal_case;
mod normal;
mod points;
mod properties;
mod refrigerant;
mod stages;
mod uncertainty;
mod validity;
mod verdict;
