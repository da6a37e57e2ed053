//! `callover take`: recordings or transcripts become a proposed list, kept in a job.
//!
//! # Steps
//! 1. `targets`: what is to be written is checked before any slow work.
//! 2. `sources`: each file is looked into, and known again by its content.
//! 3. `hear`: sound becomes words, window by window, each kept at once; `intake` leads through both.
//! 4. `keep`: the file itself and its words go into the job.
//! 5. The words become the proposal; it is kept, printed and written.
//! 6. `expect`: what was not reached is told.

mod expect;
mod hear;
mod intake;
mod keep;
mod notes;
mod progress;
mod retake;
mod sources;
mod targets;

use super::arguments::Take;
use super::error::CliError;
use super::pictures::pictures;
use super::{details, listing, recheck, shared};
use crate::export::write::{Destination, prepare};
use crate::export::{Document, Options};
use crate::hexadecimal::hexadecimal;
use crate::items::{self, Proposal, Understood};
use crate::job::{DETAIL_PROPOSAL, DETAIL_REGION, DETAIL_TITLE, FIRST_VISIT, Job};
use crate::lexicon::Lexicon;
use sha2::{Digest, Sha256};
use std::path::{Path, PathBuf};

pub(crate) use intake::Intake;
pub(crate) use progress::Steps;

/// Ending of a job's folder.
const JOB_ENDING: &str = "job";
/// The region of those who speak American.
const AMERICAN: &str = "en-US";
/// Key of the job's detail that tells when the proposal was made.
const DETAIL_CREATED: &str = "created";

/// Takes in the files and proposes the list.
///
/// # Errors
/// What was given and cannot be used; [`Exit::Partly`] where some of the files failed;
/// [`Exit::Interrupted`] where the user stopped it.
pub(crate) fn run(arguments: &Take) -> Result<(), CliError> {
    if let Some(folder) = &arguments.retake {
        return retake::run(folder, arguments);
    }
    let out = prepare(&arguments.out)?;
    let transcripts = targets::prepare(&arguments.transcript_out, &arguments.out)?;
    let changes = details::changes(&arguments.details)?;
    let expected = expect::read(arguments)?;
    let mut lexicon = shared::lexicon(&arguments.lexicon)?;
    let intake = Intake::prepare(&arguments.files, arguments.model.as_deref())?;
    let mut job = open_job(arguments, &changes)?;
    expected.keep(&mut job)?;
    lexicon = with_plan(&job, lexicon, &arguments.lexicon)?;
    let failures = intake.into_job(&mut job, FIRST_VISIT, &lexicon)?;
    settle_region(&mut job, &lexicon)?;
    let understood = propose(&mut job, &lexicon)?;
    let mut document = shared::document(&job)?;
    if out.iter().any(|target| target.format.shows_photos()) {
        document.photos = pictures(&job, &document.items)?;
    }
    let on_stdout = out.iter().any(|target| target.place == Destination::Stdout);
    if !arguments.quiet && !on_stdout {
        shared::print(&listing::text(&document));
    }
    for target in &out {
        shared::write_document(target, &document, &Options::default())?;
    }
    targets::write(&transcripts, &job.transcript()?)?;
    let report = expect::report(&job, &understood)?;
    if !arguments.quiet && !report.is_empty() {
        shared::say(report);
    }
    say_next(&document, &job);
    failures.result()
}

/// Returns the lexicon with the places of the job's plan that it does not know.
fn with_plan(job: &Job, lexicon: Lexicon, more: &[PathBuf]) -> Result<Lexicon, CliError> {
    let plan = expect::plan(job)?;
    match plan.and_then(|plan| expect::as_vocabulary(&lexicon, &plan)) {
        Some(places) => shared::lexicon_with(more, Some(places)),
        None => Ok(lexicon),
    }
}

/// Opens the job or makes it, and says which.
fn open_job(arguments: &Take, changes: &[(String, Option<String>)]) -> Result<Job, CliError> {
    let folder = arguments
        .job
        .clone()
        .unwrap_or_else(|| default_folder(&arguments.files));
    let mut job = Job::open_or_create(&folder)?;
    let recordings = job.recordings()?.len();
    let shown = folder.display();
    match (recordings, &arguments.job) {
        (0, Some(_)) => {}
        (0, None) => shared::say(format_args!("job folder: {shown}")),
        (1, _) => shared::say(format_args!(
            "job folder: {shown}, which has one recording already"
        )),
        (n, _) => shared::say(format_args!(
            "job folder: {shown}, which has {n} recordings already"
        )),
    }
    details::set(&mut job, changes)?;
    if job.detail(DETAIL_TITLE)?.is_none() {
        job.set_detail(DETAIL_TITLE, &stem(&arguments.files))?;
    }
    Ok(job)
}

/// Keeps the region that the speaker's words tell of, where none was given.
fn settle_region(job: &mut Job, lexicon: &Lexicon) -> Result<(), CliError> {
    let (heard, _) = job.transcript_of(FIRST_VISIT)?;
    if job.detail(DETAIL_REGION)?.is_none() && lexicon.speaks_american(&heard.words) {
        job.set_detail(DETAIL_REGION, AMERICAN)?;
        shared::say(
            "the words are American, so limits, cautions and names are too (callover details \
             --region says otherwise)",
        );
    }
    Ok(())
}

/// Returns the first file's name without its ending.
fn stem(files: &[PathBuf]) -> String {
    files.first().and_then(|file| file.file_stem()).map_or_else(
        || "walk-round".into(),
        |stem| stem.to_string_lossy().into_owned(),
    )
}

/// Returns the folder of the job that is made of these files, where none is given.
pub(crate) fn default_folder(files: &[PathBuf]) -> PathBuf {
    Path::new(&format!("{}.{JOB_ENDING}", stem(files))).to_path_buf()
}

/// Makes the proposal of everything in the job and keeps it, unless it is the one kept already.
///
/// # Errors
/// As reading and writing the job has it.
pub(crate) fn propose(job: &mut Job, lexicon: &Lexicon) -> Result<Understood, CliError> {
    let (understood, proposal) = proposal(job, lexicon)?;
    let mark = fingerprint(&proposal)?;
    if job.detail(DETAIL_PROPOSAL)?.as_ref() == Some(&mark) {
        return Ok(understood);
    }
    let now = shared::now();
    job.propose(proposal, &now)?;
    job.set_detail(DETAIL_CREATED, &now)?;
    job.set_detail(DETAIL_PROPOSAL, &mark)?;
    Ok(understood)
}

/// Makes the proposal of everything in the job.
fn proposal(job: &Job, lexicon: &Lexicon) -> Result<(Understood, Proposal), CliError> {
    let (first, places) = job.transcript_of(FIRST_VISIT)?;
    let understood = items::understand(lexicon, &first, &shared::yardstick(job)?);
    let mut proposal = understood.proposal.clone();
    recheck::renumber_words(&mut proposal, &places);
    for visit in job.list()?.visits.held {
        recheck::add_new(&mut proposal, recheck::heard(job, lexicon, &visit)?.fresh);
    }
    proposal.unplaced.extend(keep::notes(job)?);
    proposal.unplaced.sort_by_key(|u| (u.recording, u.span));
    Ok((understood, proposal))
}

fn fingerprint(proposal: &Proposal) -> Result<String, CliError> {
    let json = serde_json::to_vec(proposal)?;
    Ok(hexadecimal(&Sha256::digest(&json)))
}

/// Says what the inspector does next.
fn say_next(document: &Document, job: &Job) {
    let folder = shared::quoted(job.dir());
    if document.items.is_empty() {
        shared::say("the list is empty: no defect was understood in what was said");
    } else {
        shared::say(format_args!("next: callover confirm {folder}"));
    }
}
