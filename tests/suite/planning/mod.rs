//! Tests of planning, with a fixed today.

mod due;
