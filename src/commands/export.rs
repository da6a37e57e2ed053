//! `callover export`: the list as documents.

use super::arguments::{By, Export};
use super::error::CliError;
use super::pictures::pictures;
use super::shared;
use crate::export::write::{prepare, write};
use crate::export::{Grouping, Options, Template, TemplateProblem};
use crate::job::Job;
use std::path::Path;

/// Writes every document asked for.
///
/// # Errors
/// Where the job cannot be read, or a file cannot be written; targets are checked before anything
/// is written.
pub(crate) fn run(arguments: &Export) -> Result<(), CliError> {
    let targets = prepare(&arguments.out)?;
    let template = arguments.template.as_deref().map(template).transpose()?;
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
        template: template.unwrap_or_default(),
    };
    for target in &targets {
        write(target, &target.format.bytes(&document, &options)?)?;
        shared::say_written(target);
    }
    Ok(())
}

/// Returns the user's own paper, and says what could be better about it.
///
/// # Errors
/// Every problem of the file, each with its line and field.
fn template(path: &Path) -> Result<Template, CliError> {
    let text = std::fs::read_to_string(path).map_err(|error| {
        CliError::input(format_args!("{}: cannot read: {error}", path.display()))
    })?;
    let lines = |problems: &[TemplateProblem]| {
        let lines: Vec<String> = problems.iter().map(ToString::to_string).collect();
        lines.join("\n")
    };
    let (template, warnings) = Template::parse(path, &text, |file| std::fs::read(file))
        .map_err(|problems| CliError::input(lines(&problems)))?;
    for warning in &warnings {
        shared::say(format_args!("warning: {warning}"));
    }
    Ok(template)
}
