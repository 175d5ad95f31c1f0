//! Fairweather: the yearly-maintenance program of a small air-conditioning contractor.
//!
//! The modules in reading order: pure ones first, then the store, the verbs, the doors.

pub mod stats;
pub mod units;

pub mod engine;

pub mod scoring;

pub mod domain;

pub mod imaging;

pub mod formats;

pub mod planning;
pub mod review;

pub mod chance;
pub mod clock;
pub mod config;
pub mod secret;

pub mod store;

pub mod actions;

pub mod demo;

pub mod outside;

pub mod web;

pub mod commands;
