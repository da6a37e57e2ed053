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
mod errors;
mod help;
mod paper;
mod sandbox;
mod score;
mod transcript;
mod vocabulary;
