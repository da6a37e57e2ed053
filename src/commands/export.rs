//! `callover export`: the list as documents.

mod sound;

use super::arguments::{Bcf, By, Export};
use super::error::CliError;
use super::pictures::pictures;
use super::shared;
use crate::export::write::prepare;
use crate::export::{BcfVersion, Format, Grouping, Options, Template, TemplateProblem};
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
    let job = Job::open_current(&arguments.job)?;
    let mut document = shared::document(&job)?;
    if targets.iter().any(|target| target.format.shows_photos()) {
        document.photos = pictures(&job, &document.items)?;
    }
    match arguments.as_of.as_deref() {
        Some("today") => document.as_of = Some(shared::today()),
        Some(date) => document.as_of = Some(date.to_owned()),
        None => {}
    }
    let options = Options {
        by: match arguments.by {
            By::Place => Grouping::Place,
            By::Trade => Grouping::Trade,
            By::Severity => Grouping::Severity,
        },
        include_rejected: arguments.with_rejected.then_some(true),
        outstanding: arguments.outstanding,
        bcf: match arguments.bcf {
            Bcf::V2_1 => BcfVersion::V2_1,
            Bcf::V3_0 => BcfVersion::V3_0,
        },
        template: template.unwrap_or_default(),
        ..Options::default()
    };
    if arguments.with_sound {
        if !targets.iter().any(|target| target.format == Format::Html) {
            return Err(
                CliError::input("--with-sound needs a page to put the sound into")
                    .hint("add a file with the ending .html to --out"),
            );
        }
        document.clips = sound::clips(&job, &document, &options)?;
    }
    for target in &targets {
        shared::write_document(target, &document, &options)?;
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
