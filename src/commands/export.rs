//! `callover export`: the list as documents.

use super::arguments::{By, Export};
use super::error::CliError;
use super::pictures::pictures;
use super::shared;
use crate::export::write::{prepare, write};
use crate::export::{Grouping, Options};
use crate::job::Job;

/// Writes every document asked for.
///
/// # Errors
/// Where the job cannot be read, or a file cannot be written; targets are checked before anything
/// is written.
pub(crate) fn run(arguments: &Export) -> Result<(), CliError> {
    let targets = prepare(&arguments.out)?;
    let job = Job::open_to_read(&arguments.job)?;
    let mut document = shared::document(&job)?;
    if targets.iter().any(|target| target.format.shows_photos()) {
        document.photos = pictures(&job, &document.items)?;
    }
    match arguments.as_of.as_deref() {
        Some("today") => document.as_of = Some(shared::today()),
        Some(date) => document.as_of = Some(date.to_owned()),
        None => {}
    }
    if arguments.outstanding {
        document.items.retain(|item| item.standing.is_outstanding());
    }
    let by = match arguments.by {
        By::Place => Grouping::Place,
        By::Trade => Grouping::Trade,
        By::Severity => Grouping::Severity,
    };
    let options = Options {
        by,
        include_rejected: arguments.with_rejected.then_some(true),
    };
    for target in &targets {
        write(target, &target.format.bytes(&document, &options)?)?;
        shared::say_written(target);
    }
    Ok(())
}
