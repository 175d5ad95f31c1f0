//! The one test binary: a tree that mirrors `src`.

mod engine;
