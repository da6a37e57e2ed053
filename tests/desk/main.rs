//! The desk as a browser meets it: requests byte by byte, and the page in Chromium.

#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    reason = "helpers of tests; clippy allows both in test functions only"
)]

mod figures;
#[path = "../../src/not_run.rs"]
mod not_run;
mod pages;
mod requests;
mod running;
mod sample;
mod sound;
