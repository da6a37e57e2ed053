//! What several commands need: the clock, the user's vocabulary, a job's document, messages.

use super::details::SHOWN;
use super::error::CliError;
use crate::cautions::Region;
use crate::due::{self, Rules};
use crate::export::write::{Destination, Target};
use crate::export::{Detail, Document, HeldVisit};
use crate::items::Status;
use crate::job::{DETAIL_REGION, Decision, FIRST_VISIT, Job};
use crate::lexicon::{Lexicon, Problem};
use crate::recheck::LaterVisit;
use std::env;
use std::fmt::Display;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// Variable that stands in for the clock, in seconds since 1970, so that whole runs can be
/// reproduced byte for byte (<https://reproducible-builds.org/specs/source-date-epoch/>).
const SOURCE_DATE_EPOCH: &str = "SOURCE_DATE_EPOCH";

/// Returns the current date and time in UTC, to the second, as in RFC 3339.
pub(crate) fn now() -> String {
    let given = env::var(SOURCE_DATE_EPOCH)
        .ok()
        .and_then(|text| jiff::Timestamp::from_second(text.trim().parse().ok()?).ok());
    let moment = given.unwrap_or_else(jiff::Timestamp::now);
    moment.strftime("%Y-%m-%dT%H:%M:%SZ").to_string()
}

/// Returns today's date in UTC, `YYYY-MM-DD`.
pub(crate) fn today() -> String {
    day(&now())
}

/// Returns the date of a date and time of RFC 3339.
fn day(moment: &str) -> String {
    moment.chars().take("YYYY-MM-DD".len()).collect()
}

/// Returns the date of the first visit: the detail, or else the day the list was made.
///
/// # Errors
/// As reading the job has it.
pub(crate) fn first_date(job: &Job) -> Result<String, CliError> {
    if let Some(date) = job.detail("date")? {
        return Ok(date);
    }
    let events = job.events()?;
    let made = events
        .iter()
        .find(|event| matches!(event.decision, Decision::Proposed { .. }));
    Ok(made.map_or_else(today, |event| day(&event.at)))
}

/// Says something on standard error, where everything but results goes. There is nobody left to
/// tell where that fails.
pub(crate) fn say(message: impl Display) {
    let _ = writeln!(io::stderr().lock(), "{message}");
}

/// Returns the path as it can be typed in a shell.
pub(crate) fn quoted(path: &Path) -> String {
    let text = path.display().to_string();
    let plain = |c: char| c.is_alphanumeric() || "/._-+".contains(c);
    if !text.is_empty() && text.chars().all(plain) {
        text
    } else {
        format!("'{}'", text.replace('\'', r"'\''"))
    }
}

/// Prints a result on standard output. A reader that has gone away is no error.
pub(crate) fn print(text: &str) {
    let mut out = io::stdout().lock();
    let _ = out.write_all(text.as_bytes()).and_then(|()| out.flush());
}

/// Says where a document went.
pub(crate) fn say_written(target: &Target) {
    if let Destination::File(path) = &target.place {
        say(format_args!("wrote {}", path.display()));
    }
}

/// Returns the user's own vocabulary files, sorted: `callover/lexicon/*.toml` in the configuration
/// folder (`XDG_CONFIG_HOME`, or `.config` in the home folder).
pub(crate) fn user_lexicon() -> Vec<PathBuf> {
    let folder = env::var_os("XDG_CONFIG_HOME")
        .map(PathBuf::from)
        .or_else(|| env::var_os("HOME").map(|home| Path::new(&home).join(".config")))
        .map(|config| config.join("callover").join("lexicon"));
    let Some(entries) = folder.and_then(|f| std::fs::read_dir(f).ok()) else {
        return Vec::new();
    };
    let mut files: Vec<PathBuf> = entries
        .filter_map(|e| e.ok().map(|e| e.path()))
        .filter(|p| p.extension().is_some_and(|e| e == "toml"))
        .collect();
    files.sort();
    files
}

/// Returns the files with their text.
///
/// # Errors
/// Names the first file that cannot be read.
pub(crate) fn read_texts(files: &[PathBuf]) -> Result<Vec<(PathBuf, String)>, CliError> {
    files
        .iter()
        .map(|path| match std::fs::read_to_string(path) {
            Ok(text) => Ok((path.clone(), text)),
            Err(error) => Err(CliError::input(format_args!(
                "{}: cannot read: {error}",
                path.display()
            ))),
        })
        .collect()
}

/// Returns the built-in vocabulary with the user's own and `more` on top.
///
/// # Errors
/// Lists every problem of the added files.
pub(crate) fn lexicon(more: &[PathBuf]) -> Result<Lexicon, CliError> {
    let mut files = user_lexicon();
    files.extend_from_slice(more);
    Lexicon::load(&read_texts(&files)?).map_err(|problems| {
        let lines: Vec<String> = problems.iter().map(Problem::to_string).collect();
        CliError::input(format_args!(
            "the vocabulary cannot be used:\n  {}",
            lines.join("\n  ")
        ))
        .hint("`callover lexicon check FILE` shows the same list; mend the lines named")
    })
}

/// Returns everything that a job's list shows.
///
/// # Errors
/// As reading the job has it.
pub(crate) fn document(job: &Job) -> Result<Document, CliError> {
    let list = job.list()?;
    let transcript = job.transcript()?;
    let proposal = job.proposal()?;
    let details = job.details()?;
    let decided = list
        .items
        .iter()
        .filter(|i| i.status != Status::Proposed)
        .count();
    let mut lines: Vec<Detail> = SHOWN
        .iter()
        .filter_map(|(key, label)| {
            Some(Detail {
                key: (*key).into(),
                label: (*label).into(),
                value: details.get(*key)?.clone(),
            })
        })
        .collect();
    lines.push(Detail {
        key: "items".into(),
        label: "Items".into(),
        value: format!("{} ({decided} decided)", list.items.len()),
    });
    let rules = Rules::of_details(&details)?;
    let visits = visits(job, &list.visits.held)?;
    if let Some(due) = rules.respond.zip(due::date(&visits[0].date)) {
        lines.extend(due.0.after(due.1).map(|date| Detail {
            key: "respond-by".into(),
            label: "Answer due by".into(),
            value: date.to_string(),
        }));
    }
    let region = Region::named(details.get(DETAIL_REGION).map(String::as_str));
    let mut document = Document {
        title: details
            .get("title")
            .cloned()
            .unwrap_or_else(|| "Walk-round".into()),
        // The time of the proposal, so that the same job gives the same document.
        created: details.get("created").cloned().unwrap_or_else(now),
        details: lines,
        as_of: visits.last().map(|visit| visit.date.clone()),
        visits,
        recordings: transcript.recordings,
        places: proposal.places,
        unplaced: proposal
            .unplaced
            .into_iter()
            .filter(|statement| !list.promoted.contains(statement))
            .collect(),
        items: list.items,
        ..Document::default()
    };
    let due: Vec<Option<String>> = document
        .items
        .iter()
        .map(|item| {
            Some(
                rules
                    .due(item.severity, document.found_on(item)?)?
                    .to_string(),
            )
        })
        .collect();
    for (item, due) in document.items.iter_mut().zip(due) {
        item.due = due;
    }
    document.word_for(&lexicon(&[])?, region);
    Ok(document)
}

/// Returns the visits with their recordings, the first one first.
fn visits(job: &Job, later: &[LaterVisit]) -> Result<Vec<HeldVisit>, CliError> {
    let recordings = job.recordings()?;
    let held = |number: u32, date: String| HeldVisit {
        number,
        date,
        recordings: recordings
            .iter()
            .filter(|kept| kept.visit == number)
            .map(|kept| kept.recording.id)
            .collect(),
    };
    let first = held(FIRST_VISIT, first_date(job)?);
    let later = later
        .iter()
        .map(|visit| held(visit.number, visit.date.clone()));
    Ok(std::iter::once(first).chain(later).collect())
}
