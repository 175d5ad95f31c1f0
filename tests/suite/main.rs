//! The one test binary: a tree that mirrors `src`.
#![expect(
    clippy::expect_used,
    clippy::panic,
    clippy::unwrap_used,
    reason = "a test that can't go on stops, in its builders too"
)]

mod app;
mod builders;
mod pictures;
mod planted;
mod promises;
mod s3;

mod actions;
mod architecture;
mod browser;
mod commands;
mod demo;
mod domain;
mod engine;
mod formats;
mod imaging;
mod instructions;
mod outside;
mod pages;
mod planning;
mod published;
mod review;
mod scoring;
mod stats;
mod store;
