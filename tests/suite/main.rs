//! The one test binary: a tree that mirrors `src`.

mod commands;
mod engine;
mod formats;
mod published;
