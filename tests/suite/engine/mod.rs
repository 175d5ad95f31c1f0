//! Tests of the engine.
