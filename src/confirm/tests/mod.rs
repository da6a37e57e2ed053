//! What the confirm pass promises.

mod lessons;
mod operations;
mod plain;
mod properties;
mod screen;
mod state;

use super::{Change, Move, Options, Refusal, Session};
use crate::items::Item;
use crate::job::samples::{proposal, walk};
use crate::job::{Event, Job};

/// A stand-in for the real sentence writer: its output shows which facts it was given.
pub(super) fn describe(item: &Item) -> String {
    format!(
        "<{} {} in {}, {}>",
        item.element, item.defect, item.place, item.count
    )
}

/// Decides, keeps in memory as a job would, applies; returns the kept events.
pub(super) fn act(
    session: &mut Session,
    log: &mut Vec<Event>,
    change: &Change,
) -> Result<Vec<Event>, Refusal> {
    let decisions = session.decide(change)?;
    let first = log.len() as i64 + 1;
    let events: Vec<Event> = decisions
        .into_iter()
        .zip(first..)
        .map(|(decision, id)| Event {
            id,
            at: format!("act {first}"),
            decision,
        })
        .collect();
    log.extend(events.clone());
    session.apply(events.clone());
    Ok(events)
}

/// A job on disk with a short list.
pub(super) fn job() -> (tempfile::TempDir, Job) {
    let home = tempfile::tempdir().unwrap();
    let mut job = Job::create(&home.path().join("plot 7.job")).unwrap();
    job.propose(proposal(walk()), "2026-03-02T17:05:00Z")
        .unwrap();
    (home, job)
}

/// Options without prompt and colour.
pub(super) fn options() -> Options {
    Options {
        describe,
        lexicon: None,
        yardstick: None,
        player: None,
        accept_above: None,
        colour: false,
        prompt: false,
    }
}

/// A clock that stands still.
pub(super) fn clock() -> String {
    "2026-03-02T20:00:00Z".into()
}
