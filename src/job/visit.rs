//! Later visits in the log: what was heard, and what the inspector decided about it.
//!
//! A finding that was heard is a proposal. It becomes part of an item's history when the inspector
//! accepts it ([`Found`]); it can be dismissed ([`Unfound`]) and both can be undone.

use super::{Decision, Event, Job, JobError};
use crate::items::{Item, Seen, Standing, Status};
use crate::recheck::{Finding, LaterVisit};
use crate::speech::Transcript;
use rusqlite::params;
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};

/// The first visit: the walk-round that made the list.
pub const FIRST_VISIT: u32 = 1;

/// A later visit was heard, or heard anew: its findings replace those proposed for it before.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Visited {
    /// Which visit.
    pub visit: LaterVisit,
    /// What was heard about the items.
    pub findings: Vec<Finding>,
}

/// What a later visit found about an item, as the inspector has it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Found {
    /// Which item.
    pub item: String,
    /// What was found; its words and time are those of the proposal, if there was one.
    pub seen: Seen,
}

/// What was proposed about an item does not hold; the item stands as before.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Unfound {
    /// Which item.
    pub item: String,
    /// Number of the visit.
    pub visit: u32,
}

/// A detail of the job has another value. No step for undo: the earlier value can be set again.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Detailed {
    /// The detail's key.
    pub key: String,
    /// Its value before; `None` where it had none.
    pub from: Option<String>,
    /// Its value after; `None` where it was taken out.
    pub to: Option<String>,
}

/// The later visits, and what is still to be decided about them.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Visits {
    /// The later visits, by number.
    pub held: Vec<LaterVisit>,
    proposed: Vec<Finding>,
    decided: BTreeSet<(String, u32)>,
}

impl Visits {
    /// Takes in what was heard on a visit in place of what was heard on it before.
    pub(super) fn take_in(&mut self, visited: &Visited) {
        let number = visited.visit.number;
        self.held.retain(|visit| visit.number != number);
        self.held.push(visited.visit.clone());
        self.held.sort_by_key(|visit| visit.number);
        self.proposed.retain(|finding| finding.seen.visit != number);
        self.proposed.extend(visited.findings.iter().cloned());
    }

    /// Writes what was found into the item: the same visit has one entry in its history, and the
    /// last visit's standing is the item's.
    pub(super) fn found(&mut self, item: &mut Item, seen: &Seen) {
        self.decided.insert((item.id.clone(), seen.visit));
        item.history.retain(|one| one.visit != seen.visit);
        item.history.push(seen.clone());
        item.history.sort_by_key(|one| one.visit);
        item.standing = item
            .history
            .last()
            .map_or(Standing::Open, |last| last.standing);
    }

    /// Notes that what was proposed does not hold.
    pub(super) fn unfound(&mut self, unfound: &Unfound) {
        self.decided.insert((unfound.item.clone(), unfound.visit));
    }

    /// Returns what was proposed about the item and not decided yet, of the earliest such visit.
    /// Items that are not confirmed have nothing to decide: they come first.
    pub fn pending(&self, item: &Item) -> Option<&Finding> {
        self.proposed
            .iter()
            .filter(|finding| finding.item == item.id && item.status == Status::Confirmed)
            .filter(|finding| {
                !self
                    .decided
                    .contains(&(finding.item.clone(), finding.seen.visit))
            })
            .min_by_key(|finding| finding.seen.visit)
    }

    /// Returns the last later visit.
    pub fn last(&self) -> Option<&LaterVisit> {
        self.held.last()
    }
}

impl Job {
    /// Takes a recording into a later visit, as [`Job::add_recording`] does for the first one. A
    /// recording that is in the job already keeps its visit.
    ///
    /// # Errors
    /// As writing has it.
    pub fn add_later_recording(
        &mut self,
        visit: u32,
        file: &str,
        sha256: &str,
        original_path: &str,
    ) -> Result<u32, JobError> {
        self.insert_recording(visit, file, sha256, original_path)
    }

    /// Returns the recordings and words of one visit, and for each word its place among all words
    /// of the job.
    ///
    /// # Errors
    /// As reading has it.
    pub fn transcript_of(&self, visit: u32) -> Result<(Transcript, Vec<usize>), JobError> {
        let recordings = self.recordings()?;
        let of_visit: BTreeMap<u32, bool> = recordings
            .iter()
            .map(|kept| (kept.recording.id, kept.visit == visit))
            .collect();
        let all = self.transcript()?;
        let belongs = |id: u32| of_visit.get(&id) == Some(&true);
        let (places, words) = all
            .words
            .into_iter()
            .enumerate()
            .filter(|(_, word)| belongs(word.recording))
            .unzip();
        let recordings = all.recordings.into_iter();
        let transcript = Transcript {
            recordings: recordings.filter(|one| belongs(one.id)).collect(),
            words,
        };
        Ok((transcript, places))
    }

    /// Keeps what was heard on a later visit, unless that is what was kept last. Returns the event,
    /// if one was needed. `at` is the time as text.
    ///
    /// # Errors
    /// As writing has it.
    pub fn visited(&mut self, visited: Visited, at: &str) -> Result<Option<Event>, JobError> {
        let events = self.events()?;
        let last = events.iter().rev().find_map(|event| match &event.decision {
            Decision::Visited(one) if one.visit.number == visited.visit.number => Some(one),
            _ => None,
        });
        if last == Some(&visited) {
            return Ok(None);
        }
        let after = events.last().map_or(0, |event| event.id);
        let mut kept = self.append(after, &[Decision::Visited(visited)], at)?;
        Ok(kept.pop())
    }

    /// Sets details, and keeps in the log what they were before; `None` takes a detail out. Returns
    /// those that changed.
    ///
    /// # Errors
    /// As writing has it; all are set or none.
    pub fn describe(
        &mut self,
        details: &[(String, Option<String>)],
        at: &str,
    ) -> Result<Vec<Detailed>, JobError> {
        let path = self.file();
        let before = self.details()?;
        let changes: Vec<Detailed> = details
            .iter()
            .map(|(key, to)| Detailed {
                key: key.clone(),
                from: before.get(key).cloned(),
                to: to.clone(),
            })
            .filter(|change| change.from != change.to)
            .collect();
        let failed = |source| JobError::sqlite("keep the details", &path, source);
        let transaction = self.begin("keep the details")?;
        for change in &changes {
            match &change.to {
                Some(value) => transaction.execute(
                    "INSERT OR REPLACE INTO details VALUES (?1, ?2)",
                    params![change.key, value],
                ),
                None => transaction.execute("DELETE FROM details WHERE key = ?1", [&change.key]),
            }
            .map_err(failed)?;
            super::log::insert_event(&transaction, &path, &Decision::Detail(change.clone()), at)?;
        }
        transaction.commit().map_err(failed)?;
        Ok(changes)
    }
}
