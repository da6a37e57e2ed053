//! `callover take`: recordings or transcripts become a proposed list, kept in a job.
//!
//! # Steps
//! 1. `targets`: what is to be written is checked before any slow work.
//! 2. `sources`: each file is looked into, and known again by its content.
//! 3. `hear`: sound becomes words, window by window, each kept at once.
//! 4. `keep`: the file itself and its words go into the job.
//! 5. The words become the proposal; it is kept, printed and written.

mod hear;
mod keep;
mod progress;
mod sources;
mod targets;

use super::arguments::Take;
use super::error::{CliError, Exit};
use super::interrupt::Interrupt;
use super::pictures::pictures;
use super::{listing, processor, shared};
use crate::export::write::{Destination, prepare, write};
use crate::export::{Document, Options};
use crate::items::{self, Proposal};
use crate::job::{DETAIL_TITLE, Job};
use crate::lexicon::Lexicon;
use crate::speech::Model;
use hear::{Heard, Listener};
use sha2::{Digest, Sha256};
use sources::{Content, Source};
use std::path::{Path, PathBuf};

/// Ending of a job's folder.
const JOB_ENDING: &str = "job";
/// Key of the job's detail that tells when the proposal was made.
const DETAIL_CREATED: &str = "created";
/// Key of the job's detail by which an unchanged proposal is known.
const DETAIL_PROPOSAL: &str = "proposal_sha256";

/// Takes in the files and proposes the list.
///
/// # Errors
/// What was given and cannot be used; [`Exit::Partly`] where some of the files failed;
/// [`Exit::Interrupted`] where the user stopped it.
pub(crate) fn run(arguments: &Take) -> Result<(), CliError> {
    let out = prepare(&arguments.out)?;
    let transcripts = targets::prepare(&arguments.transcript_out, &arguments.out)?;
    let own_model = arguments
        .model
        .as_deref()
        .map(Model::from_file)
        .transpose()?;
    let lexicon = shared::lexicon(&arguments.lexicon)?;
    let mut failures = Failures::new(arguments.files.len());
    let sources = sources::look_into(&arguments.files, &mut failures);
    if sources.is_empty() {
        return failures.result(0);
    }
    let mut listener = None;
    if sources.iter().any(Source::is_sound) {
        processor::check(&processor::features())?;
        let model = own_model.map_or_else(Model::embedded, Ok)?;
        listener = Some(Listener::new(model, Interrupt::listen()?));
    }
    let mut job = open_job(arguments)?;
    let mut taken = 0;
    for source in &sources {
        match take_in(&mut job, source, listener.as_mut()) {
            Ok(()) => taken += 1,
            Err(stop) if stop.exit == Exit::Interrupted => return Err(stop),
            Err(error) => failures.add(error),
        }
    }
    if taken == 0 {
        return failures.result(taken);
    }
    propose(&mut job, &lexicon)?;
    let mut document = shared::document(&job)?;
    if out.iter().any(|target| target.format.shows_photos()) {
        document.photos = pictures(&job, &document.items)?;
    }
    let on_stdout = out.iter().any(|target| target.place == Destination::Stdout);
    if !arguments.quiet && !on_stdout {
        shared::print(&listing::text(&document));
    }
    for target in &out {
        write(
            target,
            &target.format.bytes(&document, &Options::default())?,
        )?;
        shared::say_written(target);
    }
    targets::write(&transcripts, &job.transcript()?)?;
    say_next(&document, &job);
    failures.result(taken)
}

/// Errors of single files. Among several files each is told at once, and the others go on.
pub(crate) struct Failures {
    files: usize,
    failed: usize,
    only: Option<CliError>,
}

impl Failures {
    fn new(files: usize) -> Self {
        Failures {
            files,
            failed: 0,
            only: None,
        }
    }

    /// Takes note of one more file that failed.
    pub(crate) fn add(&mut self, error: CliError) {
        self.failed += 1;
        if self.files == 1 {
            self.only = Some(error);
        } else {
            shared::say(error);
        }
    }

    /// Returns what the command ends with once `taken` files were taken.
    fn result(self, taken: usize) -> Result<(), CliError> {
        match (self.only, self.failed, taken) {
            (Some(error), ..) => Err(error),
            (None, 0, _) => Ok(()),
            (None, _, 0) => Err(CliError::input(
                "none of the files could be used; no list was made",
            )),
            (None, failed, _) => Err(CliError::input(format_args!(
                "{failed} of {} files could not be used; the list was made without them",
                self.files
            ))
            .exit(Exit::Partly)),
        }
    }
}

/// Opens the job or makes it, and says which.
fn open_job(arguments: &Take) -> Result<Job, CliError> {
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
    match &arguments.title {
        Some(title) => job.set_detail(DETAIL_TITLE, title)?,
        None if job.detail(DETAIL_TITLE)?.is_none() => {
            job.set_detail(DETAIL_TITLE, &stem(&arguments.files))?;
        }
        None => {}
    }
    Ok(job)
}

/// Returns the first file's name without its ending.
fn stem(files: &[PathBuf]) -> String {
    files.first().and_then(|file| file.file_stem()).map_or_else(
        || "walk-round".into(),
        |stem| stem.to_string_lossy().into_owned(),
    )
}

fn default_folder(files: &[PathBuf]) -> PathBuf {
    Path::new(&format!("{}.{JOB_ENDING}", stem(files))).to_path_buf()
}

/// Takes one file into the job.
fn take_in(
    job: &mut Job,
    source: &Source,
    listener: Option<&mut Listener>,
) -> Result<(), CliError> {
    keep::refuse_changed(job, source)?;
    let heard = match (&source.content, listener) {
        (Content::Transcript(transcript), _) => Heard::read(transcript),
        (Content::Sound, Some(listener)) => {
            if keep::is_taken(job, source, &listener.key())? {
                shared::say(format_args!(
                    "{}: taken already, nothing to do",
                    source.shown()
                ));
                return Ok(());
            }
            listener.hear(job, source)?
        }
        (Content::Sound, None) => {
            return Err(CliError::input(format_args!(
                "{}: no speech recogniser was made ready for it",
                source.shown()
            )));
        }
    };
    keep::keep(job, source, heard)
}

/// Makes the proposal of everything in the job and keeps it, unless it is the one kept already.
fn propose(job: &mut Job, lexicon: &Lexicon) -> Result<(), CliError> {
    let mut proposal = items::propose(lexicon, &job.transcript()?);
    proposal.unplaced.extend(keep::notes(job)?);
    proposal.unplaced.sort_by_key(|u| (u.recording, u.span));
    let mark = fingerprint(&proposal)?;
    if job.detail(DETAIL_PROPOSAL)?.as_ref() == Some(&mark) {
        return Ok(());
    }
    let now = shared::now();
    job.propose(proposal, &now)?;
    job.set_detail(DETAIL_CREATED, &now)?;
    job.set_detail(DETAIL_PROPOSAL, &mark)?;
    Ok(())
}

fn fingerprint(proposal: &Proposal) -> Result<String, CliError> {
    let json = serde_json::to_vec(proposal)?;
    Ok(Sha256::digest(&json)
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect())
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
