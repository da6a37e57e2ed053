//! The command line: one file per subcommand.
//!
//! The only part of the program, beside thin adapters, that reads the clock, the environment and
//! the terminal. Results go to standard output, everything else to standard error.

mod arguments;
mod confirm;
mod counted;
mod desk;
mod details;
mod doctor;
mod error;
mod export;
mod interrupt;
mod keep_file;
mod learn;
mod lexicon;
mod listing;
mod photos;
mod pictures;
mod processor;
mod recheck;
mod score;
mod shared;
mod take;

pub use arguments::{
    Arguments, By, Command, Confirm, Desk, DetailOptions, Details, Doctor, Export, Learn,
    LexiconArguments, LexiconCommand, Photos, Recheck, Score, Take,
};
pub(crate) use error::with_causes;
pub use error::{CliError, Exit};

use std::process::ExitCode;

/// Does what the command line asks for.
///
/// # Errors
/// [`CliError`] with the exit code and what to do next.
pub fn run(arguments: &Arguments) -> Result<(), CliError> {
    match &arguments.command {
        Command::Take(take) => take::run(take),
        Command::Confirm(confirm) => confirm::run(confirm),
        Command::Desk(desk) => desk::run(desk),
        Command::Photos(arguments) => photos::run(arguments),
        Command::Recheck(recheck) => recheck::run(recheck),
        Command::Details(details) => details::run(details),
        Command::Export(export) => export::run(export),
        Command::Learn(learn) => learn::run(learn),
        Command::Score(score) => score::run(score),
        Command::Lexicon(lexicon) => lexicon::run(lexicon),
        Command::Doctor(doctor) => doctor::run(doctor),
    }
}

/// Tells the user about the error and returns the exit code that goes with it.
pub fn report(error: &CliError) -> ExitCode {
    shared::say(error);
    ExitCode::from(error.exit as u8)
}
