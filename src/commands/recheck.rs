//! `callover recheck`: a later visit's recordings become findings about the items, and new items.
//!
//! # Steps
//! 1. Which visit it is: the one that a file is from already, the last one of the same date, or a new
//!    one.
//! 2. The files are taken in as `take` does, as recordings of that visit.
//! 3. The words are held against the confirmed items; findings and new items are kept as proposals.

use super::arguments::Recheck;
use super::error::CliError;
use super::take::{self, Intake};
use super::{listing, shared};
use crate::due;
use crate::items::{Item, Proposal, Status, Unplaced};
use crate::job::{FIRST_VISIT, Job, Visited};
use crate::lexicon::Lexicon;
use crate::recheck::{Heard, LaterVisit, understand};

/// Takes in a later visit and proposes what it found.
///
/// # Errors
/// What was given and cannot be used; otherwise as `take`.
pub(crate) fn run(arguments: &Recheck) -> Result<(), CliError> {
    let lexicon = shared::lexicon(&arguments.lexicon)?;
    let intake = Intake::prepare(&arguments.files, arguments.model.as_deref())?;
    let mut job = Job::open(&arguments.job)?;
    let folder = shared::quoted(job.dir());
    let list = job.list()?;
    let undecided = count(&list.items, Status::Proposed);
    if count(&list.items, Status::Confirmed) == 0 {
        return Err(CliError::input(format_args!(
            "{}: no item of the list is confirmed, so there is nothing to check again",
            job.dir().display()
        ))
        .hint(format!("callover confirm {folder}")));
    }
    let visit = visit(&job, &intake, arguments.date.as_deref())?;
    shared::say(format_args!("visit {} on {}", visit.number, visit.date));
    if undecided > 0 {
        shared::say(format_args!(
            "{undecided} items are undecided and are not looked for: callover confirm {folder}"
        ));
    }
    let failures = intake.into_job(&mut job, visit.number, &lexicon)?;
    let heard = heard(&job, &lexicon, &visit)?;
    let visited = Visited {
        visit: visit.clone(),
        findings: heard.findings.clone(),
    };
    job.visited(visited, &shared::now())?;
    take::propose(&mut job, &lexicon)?;
    if !arguments.quiet {
        shared::print(&listing::findings(&job.list()?.items, &heard));
    }
    shared::say(format_args!("next: callover confirm {folder}"));
    failures.result()
}

fn count(items: &[Item], status: Status) -> usize {
    items.iter().filter(|item| item.status == status).count()
}

/// Returns which visit the files are from.
fn visit(job: &Job, intake: &Intake, date: Option<&str>) -> Result<LaterVisit, CliError> {
    let held = job.list()?.visits.held;
    let known = intake.known_visit(job)?;
    if known == Some(FIRST_VISIT) {
        return Err(CliError::input(format_args!(
            "a file given is a recording of the first walk-round of {}",
            job.dir().display()
        ))
        .hint("give the recordings of the later visit"));
    }
    let date = date.map_or_else(shared::today, str::to_owned);
    let earlier = held.iter().find(|visit| Some(visit.number) == known);
    let same_day = held
        .iter()
        .find(|visit| known.is_none() && visit.date == date);
    if let Some(visit) = earlier.or(same_day) {
        return Ok(visit.clone());
    }
    let first = shared::first_date(job)?;
    let last = held.last().map_or(&first, |visit| &visit.date);
    // Dates of this form sort as they follow each other.
    if date < *last {
        return Err(CliError::input(format_args!(
            "{date} lies before {last}, the date of the visit before"
        ))
        .hint("give the date with --date, or the first one with callover details JOB --date"));
    }
    let number = held.last().map_or(FIRST_VISIT, |visit| visit.number) + 1;
    Ok(LaterVisit {
        number: known.unwrap_or(number),
        date,
    })
}

/// Returns what the recordings of a later visit say of the items that were there before it.
///
/// # Errors
/// As reading the job has it.
pub(crate) fn heard(job: &Job, lexicon: &Lexicon, visit: &LaterVisit) -> Result<Heard, CliError> {
    let (transcript, places) = job.transcript_of(visit.number)?;
    let later: Vec<u32> = job
        .recordings()?
        .iter()
        .filter(|kept| kept.visit >= visit.number)
        .map(|kept| kept.recording.id)
        .collect();
    let mut items = job.list()?.items;
    items.retain(|item| !later.contains(&item.evidence.recording));
    for item in &mut items {
        // As they stood before this visit, so that hearing it again finds the same.
        item.history.retain(|seen| seen.visit < visit.number);
        item.standing = item
            .history
            .last()
            .map_or_else(Default::default, |seen| seen.standing);
    }
    let mut heard = understand(lexicon, &transcript, &items, visit);
    renumber_words(&mut heard.fresh, &places);
    Ok(heard)
}

/// Makes word numbers of one visit's words those of all words of the job.
pub(crate) fn renumber_words(proposal: &mut Proposal, places: &[usize]) {
    for item in &mut proposal.items {
        item.evidence.words = item.evidence.words.and_then(|(first, end)| {
            let last = places.get(end.checked_sub(1)?)?;
            Some((*places.get(first)?, last + 1))
        });
    }
}

/// Adds what is new on a later visit: items after those before, stays at places to the places.
pub(crate) fn add_new(proposal: &mut Proposal, fresh: Proposal) {
    let mut next = proposal
        .items
        .iter()
        .map(|item| item.number)
        .max()
        .unwrap_or(0);
    proposal.items.extend(fresh.items.into_iter().map(|item| {
        next += 1;
        Item {
            number: next,
            ..item
        }
    }));
    for place in fresh.places {
        match proposal
            .places
            .iter_mut()
            .find(|known| known.name == place.name)
        {
            Some(known) => known.visits.extend(place.visits),
            None => proposal.places.push(place),
        }
    }
    let unplaced: Vec<Unplaced> = fresh.unplaced;
    proposal.unplaced.extend(unplaced);
}

/// Checks that a date is one, for the command line.
pub(crate) fn date(text: &str) -> Result<String, String> {
    match due::date(text) {
        Some(_) => Ok(text.to_owned()),
        None => Err("expected a date as YYYY-MM-DD, such as 2026-03-02".into()),
    }
}
