//! The page read aloud: printing it, and taking in how it was heard.

use super::super::error::CliError;
use super::super::shared;
use super::super::take::{Intake, default_folder};
use crate::job::{DETAIL_PROPOSAL, FIRST_VISIT, Job};
use crate::learn::{Lived, page, read_aloud};
use crate::lexicon::Lexicon;
use crate::speech::Transcript;
use std::path::{Path, PathBuf};

/// Key of the detail of a job that is a reading of the page, not a walk-round.
const DETAIL_READ_ALOUD: &str = "read_aloud";

/// Prints the page, and says what to do with it.
pub(super) fn print_page() {
    shared::print(&page());
    shared::say(
        "read it once into what you take round, at your usual pace, without the numbers (about 7 \
         minutes), then: callover learn --read-aloud RECORDING",
    );
}

/// Takes in a recording or a transcript of the page, or opens the job that was made of it; returns the
/// job's folder. A recording that was heard is not heard again.
///
/// # Errors
/// As taking files in has it, and where something else was heard.
pub(super) fn take_in(file: &Path) -> Result<PathBuf, CliError> {
    let (folder, mut job) = if file.is_dir() {
        (file.to_path_buf(), Job::open(file)?)
    } else {
        listen(file)?
    };
    let (heard, _) = job.transcript_of(FIRST_VISIT)?;
    reading(&folder, "reading", heard)?;
    job.set_detail(DETAIL_READ_ALOUD, "page")?;
    Ok(folder)
}

/// Takes the file into the job that is named after it.
fn listen(file: &Path) -> Result<(PathBuf, Job), CliError> {
    let files = [file.to_path_buf()];
    let intake = Intake::prepare(&files, None)?;
    let folder = default_folder(&files);
    let mut job = Job::open_or_create(&folder)?;
    if job.detail(DETAIL_PROPOSAL)?.is_some() {
        return Err(CliError::input(format_args!(
            "{}: is the job of a walk-round already",
            folder.display()
        ))
        .hint(
            "give that folder if it is the page that was recorded, or the recording another name",
        ));
    }
    intake
        .into_job(&mut job, FIRST_VISIT, &shared::lexicon(&[])?)?
        .result()?;
    Ok((folder, job))
}

/// Returns true for a job that is a reading of the page.
///
/// # Errors
/// As reading the job has it.
pub(super) fn is_reading(job: &Job) -> Result<bool, CliError> {
    Ok(job.detail(DETAIL_READ_ALOUD)?.is_some())
}

/// Returns the vocabulary as it comes with the program.
///
/// # Errors
/// Where that has errors, which a test rules out.
pub(super) fn lexicon() -> Result<&'static Lexicon, CliError> {
    Lexicon::embedded()
        .ok_or_else(|| CliError::input("the vocabulary that comes with the program has errors"))
}

/// Returns the reading as a confirmed job. What the page says is understood with the vocabulary as it
/// comes, whatever was learnt since.
///
/// # Errors
/// Where something else was heard.
pub(super) fn reading(folder: &Path, name: &str, heard: Transcript) -> Result<Lived, CliError> {
    read_aloud(lexicon()?, name, heard).map_err(|error| {
        CliError::input(format_args!("{}: {error}", folder.display())).hint(
            "callover learn --read-aloud prints the page; record nothing else with it, and read it to its end",
        )
    })
}
