//! The program as its users meet it: started as a process, in an environment of its own.
//!
//! The snapshots are what a user sees; after a wanted change `INSTA_UPDATE=always` and a look at the
//! difference bring them up to date.

#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    reason = "helpers of tests; clippy allows both in test functions only"
)]

mod demo;
mod doctor;
mod errors;
mod export;
mod help;
mod killed;
mod learn;
#[path = "../../src/not_run.rs"]
mod not_run;
mod paper;
#[path = "../../src/photos/tests/samples.rs"]
#[allow(dead_code, reason = "the stages' own tests use the rest")]
mod photo_samples;
mod photos;
mod readers;
mod sandbox;
mod score;
mod second_visit;
mod terminal;
mod transcript;
mod vocabulary;
