//! What both faces share: keeping a change in the job before it shows, and their options.

use super::{Around, Change, Describe, Move, Player, Progress, Refusal, Session};
use crate::job::{Job, JobError, PHOTOS_FOLDER};
use crate::lexicon::Lexicon;
use crate::limits::Yardstick;
use crate::speech::Recording;
use std::path::Path;
use std::sync::Arc;
use std::{fs, io};

/// What a face needs beside the job.
#[derive(Debug, Clone)]
pub struct Options {
    /// Writes an item's sentence when its facts change.
    pub describe: Describe,
    /// The vocabulary, for completing what is typed and for what follows from it.
    pub lexicon: Option<Arc<Lexicon>>,
    /// Published limits that measurements are held against.
    pub yardstick: Option<Arc<Yardstick>>,
    /// Accept all undecided items of at least this confidence, 0 to 1, before the pass begins.
    pub accept_above: Option<f64>,
    /// Plays the moment behind an item; `None` where no player is installed.
    pub player: Option<Player>,
    /// Use colours; to be false where the variable `NO_COLOR` is set and not empty
    /// (<https://no-color.org>).
    pub colour: bool,
    /// Plain face: print a prompt before each command; for people, not for scripts.
    pub prompt: bool,
}

/// How a pass ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Outcome {
    /// How far the list is now.
    pub progress: Progress,
    /// Lessons that were asked for.
    pub lessons: usize,
    /// Commands of the plain face that were refused; a script wants to know.
    pub refused: usize,
}

/// Why a pass could not go on, or one change could not be kept.
#[derive(Debug, thiserror::Error)]
pub enum ConfirmError {
    /// The change makes no sense for the list as it stands.
    #[error(transparent)]
    Refused(#[from] Refusal),
    /// The job could not be read or written.
    #[error(transparent)]
    Job(#[from] JobError),
    /// Another program decided meanwhile; the session was read again from the job.
    #[error(
        "another program changed the list, so it was read again: look and repeat your last key"
    )]
    ReadAgain,
    /// The terminal or the pipe failed.
    #[error("cannot {doing}")]
    Terminal {
        /// What was tried.
        doing: &'static str,
        /// Why.
        source: io::Error,
    },
}

/// Decides, keeps in the job, and only then applies to the session. Returns what was done as one
/// short line. `at` is the time as text.
///
/// # Errors
/// [`ConfirmError`]; session and job then stand as before, except for
/// [`ConfirmError::ReadAgain`], where the session has taken in what the other program decided.
pub fn keep(
    job: &mut Job,
    session: &mut Session,
    change: &Change,
    at: &str,
) -> Result<String, ConfirmError> {
    let decisions = session.decide(change)?;
    match job.append(session.last_event(), &decisions, at) {
        Ok(events) => {
            session.apply(events.clone());
            Ok(session.told(&events))
        }
        Err(JobError::ChangedElsewhere { .. }) => {
            let shown = session.current().map(|item| item.number);
            let filter = session.filter().clone();
            *session = session_of(job, session.describer(), session.around())?;
            // Where nothing would be shown any more, everything is.
            let _ = session.show(filter);
            if let Some(number) = shown {
                // The item may be gone; then the first undecided one is shown.
                let _ = session.go(Move::Number(number));
            }
            Err(ConfirmError::ReadAgain)
        }
        Err(error) => Err(error.into()),
    }
}

/// What a face begins with.
pub(super) struct Start {
    pub(super) session: Session,
    pub(super) title: String,
    pub(super) recordings: Vec<Recording>,
    /// What was done by way of [`Options::accept_above`], in words; empty where nothing was.
    pub(super) told: String,
}

/// Reads the job and accepts what the options ask for.
pub(super) fn start(
    job: &mut Job,
    options: &Options,
    clock: &dyn Fn() -> String,
) -> Result<Start, ConfirmError> {
    let around = Around {
        lexicon: options.lexicon.clone(),
        yardstick: options.yardstick.clone(),
        ..Around::default()
    };
    let mut session = session_of(job, options.describe, &around)?;
    let mut told = session.list().problems.join("; ");
    if let Some(confidence) = options.accept_above {
        told = match keep(
            job,
            &mut session,
            &Change::AcceptAbove { confidence },
            &clock(),
        ) {
            Ok(told) => told,
            // Nothing to accept is no reason to stop: the same command may be run again.
            Err(ConfirmError::Refused(refusal @ Refusal::NoneAbove(_))) => refusal.to_string(),
            Err(error) => return Err(error),
        };
    }
    let title = job.title()?;
    let recordings = job
        .recordings()?
        .into_iter()
        .map(|kept| kept.recording)
        .collect();
    Ok(Start {
        session,
        title,
        recordings,
        told,
    })
}

/// Returns a session over the job as it stands now, with the vocabulary and the limits of `around`.
///
/// # Errors
/// As reading has it.
pub fn session_of(job: &Job, describe: Describe, around: &Around) -> Result<Session, JobError> {
    let proposal = job.proposal()?;
    let around = Around {
        words: job.transcript()?.words,
        unplaced: proposal.unplaced,
        photos: photo_names(&job.dir().join(PHOTOS_FOLDER)),
        lexicon: around.lexicon.clone(),
        yardstick: around.yardstick.clone(),
    };
    let session = Session::new(proposal.items, job.events()?, describe);
    Ok(session.with(Arc::new(around)))
}

/// Names of the files in a folder, in order; none where it cannot be read: a job may have no photos.
fn photo_names(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    let files = entries.filter(|entry| entry.file_type().is_ok_and(|kind| kind.is_file()));
    let mut names: Vec<String> = files
        .map(|entry| entry.file_name().to_string_lossy().into_owned())
        .filter(|name| !name.starts_with('.'))
        .collect();
    names.sort();
    names
}
