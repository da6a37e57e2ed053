//! The `callover` program.

use callover::commands::{Arguments, report, run};
use clap::Parser;
use std::process::ExitCode;

fn main() -> ExitCode {
    match run(&Arguments::parse()) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => report(&error),
    }
}
