//! The job and the pass over it, as one: what is decided from here, and what others decided.

use super::error::Refused;
use super::view::Update;
use crate::confirm::{Around, Change, ConfirmError, Describe, Session, keep, session_of};
use crate::items::Item;
use crate::job::{Decision, Field, Job, JobError, KeptPhoto};

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
    pub(crate) fn take(job: Job, describe: Describe, around: &Around) -> Result<Seat, JobError> {
        let session = session_of(&job, describe, around)?;
        let title = job.title()?;
        Ok(Seat {
            job,
            session,
            title,
        })
    }

    /// Takes in what other programs decided.
    pub(crate) fn refresh(&mut self) -> Result<(), JobError> {
        let known = self.session.last_event();
        if self.job.last_event()? == known {
            return Ok(());
        }
        let mut events = self.job.events()?;
        events.retain(|event| event.id > known);
        let proposed = |decision: &Decision| matches!(decision, Decision::Proposed { .. });
        if events.iter().any(|event| proposed(&event.decision)) {
            // The items themselves are others now.
            let session = &self.session;
            self.session = session_of(&self.job, session.describer(), session.around())?;
        } else {
            self.session.apply(events);
        }
        Ok(())
    }

    /// Keeps a change asked for by a page that knew the list up to the event `after`.
    pub(crate) fn act(&mut self, after: i64, change: &Change, at: &str) -> Result<Acted, Refused> {
        self.refresh()?;
        if after != self.session.last_event() {
            return Ok(Acted::Stale(self.since(after)));
        }
        match keep(&mut self.job, &mut self.session, change, at) {
            Ok(_) => Ok(Acted::Kept(self.since(after))),
            Err(ConfirmError::ReadAgain) => Ok(Acted::Stale(self.since(after))),
            Err(error) => Err(error.into()),
        }
    }

    /// Returns what changed since the event `after`.
    pub(crate) fn since(&self, after: i64) -> Update {
        let events = self.session.events();
        let known = events.partition_point(|event| event.id <= after);
        Update::by(&events[known..], &self.session)
    }

    /// Keeps what is known of a photo that was taken in. No decision, so that it does not matter what
    /// others decide meanwhile.
    pub(crate) fn keep_photo(&mut self, photo: &KeptPhoto, at: &str) -> Result<(), JobError> {
        loop {
            let after = self.job.last_event()?;
            match self
                .job
                .keep_photos(after, std::slice::from_ref(photo), &[], at)
            {
                Err(JobError::ChangedElsewhere { .. }) => {}
                kept => return kept.map(|_| ()),
            }
        }
    }

    /// Returns texts for a field, the best first: of the item with this number, or else of a new one.
    pub(crate) fn complete(&self, field: Field, typed: &str, number: Option<u32>) -> Vec<String> {
        let list = self.session.list();
        let existing = number.and_then(|number| list.numbered(number));
        match existing.cloned().or_else(|| list.items.first().map(blank)) {
            Some(item) => self.session.complete(field, typed, &item),
            None => Vec::new(),
        }
    }
}

/// An item of which nothing is known yet.
fn blank(any: &Item) -> Item {
    let mut item = any.clone();
    for text in [&mut item.place, &mut item.element, &mut item.defect] {
        text.clear();
    }
    (item.position, item.remedy, item.trade) = (None, None, None);
    item.evidence.quote.clear();
    (item.evidence.words, item.evidence.span) = (None, None);
    item.evidence.terms.clear();
    item
}
