//! Files given become recordings and words of the job, one after another.

use super::hear::{Heard, Listener};
use super::keep;
use super::sources::{self, Content, Source};
use crate::commands::error::{CliError, Exit};
use crate::commands::interrupt::Interrupt;
use crate::commands::take::AMERICAN;
use crate::commands::{processor, shared};
use crate::job::{DETAIL_REGION, Job};
use crate::lexicon::Lexicon;
use crate::speech::Model;
use std::path::{Path, PathBuf};

/// Files that were looked into, and what is needed to listen to them.
pub(crate) struct Intake {
    sources: Vec<Source>,
    listener: Option<Listener>,
    failures: Failures,
}

impl Intake {
    /// Looks into the files and makes the recogniser ready where one of them is sound. Nothing is
    /// written yet.
    ///
    /// # Errors
    /// Where none of the files can be used, or the model or processor cannot.
    pub(crate) fn prepare(files: &[PathBuf], model: Option<&Path>) -> Result<Intake, CliError> {
        let model = model.map(Model::from_file).transpose()?;
        Intake::with(files, model)
    }

    /// Returns the same for files to be heard with `model`; without one, with those of the program.
    ///
    /// # Errors
    /// As [`Intake::prepare`] has it.
    pub(crate) fn with(files: &[PathBuf], model: Option<Model>) -> Result<Intake, CliError> {
        let mut failures = Failures::new(files.len());
        let sources = sources::look_into(files, &mut failures);
        if sources.is_empty() {
            failures.result()?;
            return Err(CliError::input("no file was given"));
        }
        let mut listener = None;
        if sources.iter().any(Source::is_sound) {
            processor::check(&processor::features())?;
            let models = model.map_or_else(shared::models, |model| Ok(vec![model]))?;
            listener = Some(Listener::new(models, Interrupt::listen()?));
        }
        Ok(Intake {
            sources,
            listener,
            failures,
        })
    }

    /// Returns the visit that any of the files is from already; `None` where the job has none.
    ///
    /// # Errors
    /// As reading the job has it.
    pub(crate) fn known_visit(&self, job: &Job) -> Result<Option<u32>, CliError> {
        let recordings = job.recordings()?;
        let known = recordings.iter().find(|kept| {
            self.sources
                .iter()
                .any(|source| source.sha256 == kept.recording.sha256)
        });
        Ok(known.map(|kept| kept.visit))
    }

    /// Takes the files into the job, as recordings of `visit`, with the words of `lexicon` expected.
    ///
    /// # Errors
    /// Where none of them could be taken; with [`Exit::Interrupted`] where the user stopped it.
    pub(crate) fn into_job(
        mut self,
        job: &mut Job,
        visit: u32,
        lexicon: &Lexicon,
    ) -> Result<Failures, CliError> {
        if let Some(listener) = &mut self.listener {
            let american = job.detail(DETAIL_REGION)?.as_deref() == Some(AMERICAN);
            listener.expect(lexicon, american);
        }
        for source in &self.sources {
            match take_in(job, source, self.listener.as_mut(), visit) {
                Ok(()) => self.failures.taken += 1,
                Err(stop) if stop.exit == Exit::Interrupted => return Err(stop),
                Err(error) => self.failures.add(error),
            }
        }
        if self.failures.taken == 0 {
            self.failures.result()?;
            return Err(CliError::input("no file could be taken"));
        }
        Ok(self.failures)
    }
}

/// Takes one file into the job.
fn take_in(
    job: &mut Job,
    source: &Source,
    listener: Option<&mut Listener>,
    visit: u32,
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
    keep::keep(job, source, heard, visit)
}

/// Errors of single files. Among several files each is told at once, and the others go on.
pub(crate) struct Failures {
    files: usize,
    failed: usize,
    only: Option<CliError>,
    taken: usize,
}

impl Failures {
    fn new(files: usize) -> Self {
        Failures {
            files,
            failed: 0,
            only: None,
            taken: 0,
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

    /// Returns what the command ends with.
    pub(crate) fn result(self) -> Result<(), CliError> {
        match (self.only, self.failed, self.taken) {
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
