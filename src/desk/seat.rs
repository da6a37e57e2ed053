//! The job and the pass over it, as one: what is decided from here, and what others decided.

use super::error::Refused;
use super::view::Update;
use crate::confirm::{Change, ConfirmError, Describe, Session, keep, session_of};
use crate::job::{DETAIL_TITLE, Job, JobError};

/// The job with its pass.
#[derive(Debug)]
pub(crate) struct Seat {
    pub(crate) job: Job,
    pub(crate) session: Session,
    pub(crate) title: String,
}

/// How an action ended.
pub(crate) enum Acted {
    /// Kept; this is what it changed.
    Kept(Update),
    /// Refused, because the page knew an older list; this is what changed since.
    Stale(Update),
}

impl Seat {
    /// Reads the job.
    pub(crate) fn take(job: Job, describe: Describe) -> Result<Seat, JobError> {
        let session = session_of(&job, describe)?;
        let title = job.detail(DETAIL_TITLE)?.unwrap_or_else(|| {
            job.dir()
                .file_stem()
                .map_or(String::new(), |name| name.to_string_lossy().into_owned())
        });
        Ok(Seat {
            job,
            session,
            title,
        })
    }

    /// Takes in what other programs decided.
    pub(crate) fn refresh(&mut self) -> Result<(), JobError> {
        if self.job.last_event()? != self.session.last_event() {
            self.session = session_of(&self.job, self.session.describer())?;
        }
        Ok(())
    }

    /// Keeps a change asked for by a page that knew the list up to the event `after`.
    pub(crate) fn act(&mut self, after: i64, change: &Change, at: &str) -> Result<Acted, Refused> {
        self.refresh()?;
        if after != self.session.last_event() {
            return Ok(Acted::Stale(self.since(after)));
        }
        let before = self.session.list().clone();
        match keep(&mut self.job, &mut self.session, change, at) {
            Ok(told) => Ok(Acted::Kept(Update::between(&before, &self.session, told))),
            Err(ConfirmError::ReadAgain) => Ok(Acted::Stale(self.since(after))),
            Err(error) => Err(error.into()),
        }
    }

    /// Returns what changed since the event `after`.
    pub(crate) fn since(&self, after: i64) -> Update {
        let events = self.session.events();
        let known = events.partition_point(|event| event.id <= after);
        let told = self.session.told(&events[known..]);
        Update::between(&self.session.list_at(after), &self.session, told)
    }
}
