//! What several commands need: the clock, the user's vocabulary, a job's document, messages.

use super::details::SHOWN;
use super::error::{CliError, with_causes};
use crate::cautions::Region;
use crate::due::{self, Rules};
use crate::export::write::{Destination, Target, write};
use crate::export::{Detail, Document, HeldVisit, Options, day_in_words};
use crate::items::Status;
use crate::job::{DETAIL_REGION, Decision, FIRST_VISIT, Job};
use crate::lexicon::{Lexicon, Problem};
use crate::limits::{self, Chosen, Limits, Yardstick};
use crate::recheck::LaterVisit;
use crate::speech::Model;
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

/// Writes the document and says where it went. Where a format is of one recording and there are
/// several, each gets a file of its own, numbered: `walk-1.vtt`, `walk-2.vtt`.
///
/// # Errors
/// Where the format cannot tell the list, or the file cannot be written.
pub(crate) fn write_document(
    target: &Target,
    document: &Document,
    options: &Options,
) -> Result<(), CliError> {
    let several = target.format.is_of_one_recording() && document.recordings.len() > 1;
    let (Destination::File(path), true) = (&target.place, several) else {
        write(target, &target.format.bytes(document, options)?)?;
        say_written(target);
        return Ok(());
    };
    for recording in &document.recordings {
        let options = Options {
            recording: Some(recording.id),
            ..options.clone()
        };
        let part = Target {
            format: target.format,
            place: Destination::File(numbered(path, recording.id)),
        };
        write(&part, &target.format.bytes(document, &options)?)?;
        say_written(&part);
    }
    Ok(())
}

/// Returns the path with the recording's number before the ending.
pub(crate) fn numbered(path: &Path, recording: u32) -> PathBuf {
    let stem = path.file_stem().unwrap_or_default().to_string_lossy();
    let ending = path.extension().unwrap_or_default().to_string_lossy();
    path.with_file_name(format!("{stem}-{recording}.{ending}"))
}

/// Says where a document went.
fn say_written(target: &Target) {
    if let Destination::File(path) = &target.place {
        say(format_args!("wrote {}", path.display()));
    }
}

/// Returns the program's folder in the user's configuration folder (`XDG_CONFIG_HOME`, or `.config` in
/// the home folder).
pub(crate) fn user_folder() -> Option<PathBuf> {
    env::var_os("XDG_CONFIG_HOME")
        .map(PathBuf::from)
        .or_else(|| env::var_os("HOME").map(|home| Path::new(&home).join(".config")))
        .map(|config| config.join("callover"))
}

/// The file in the user's folder that keeps the sound of the user's voice.
pub(crate) const VOICE_FILE: &str = "voice.safetensors";

/// Returns the models that a recording may be heard with: those that are part of the program, and before
/// them the one that is fitted to the user's voice, where that was learnt.
///
/// # Errors
/// Where what was learnt cannot be read or used.
pub(crate) fn models() -> Result<Vec<Model>, CliError> {
    let [usual, hard_voices] = Model::built_in()?;
    let path = user_folder().map(|folder| folder.join(VOICE_FILE));
    let Some(path) = path.filter(|path| path.exists()) else {
        return Ok(vec![usual, hard_voices]);
    };
    let broken = |error: &dyn std::fmt::Display| {
        CliError::input(format_args!("{}: cannot be used: {error}", path.display()))
            .hint("`callover learn --undo voice` takes it out; learn the voice anew then")
    };
    let changes = std::fs::read(&path).map_err(|error| broken(&error))?;
    let own = usual.clone().fitted_to(&changes);
    let own = own.map_err(|error| broken(&with_causes(&error)))?;
    Ok(vec![own, usual, hard_voices])
}

/// Returns the user's own vocabulary files, sorted: `callover/lexicon/*.toml` in the configuration
/// folder (`XDG_CONFIG_HOME`, or `.config` in the home folder).
pub(crate) fn user_lexicon() -> Vec<PathBuf> {
    let folder = user_folder().map(|folder| folder.join("lexicon"));
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
    lexicon_with(more, None)
}

/// Returns the same, with one more file given as text.
///
/// # Errors
/// Lists every problem of the added files.
pub(crate) fn lexicon_with(
    more: &[PathBuf],
    text: Option<(PathBuf, String)>,
) -> Result<Lexicon, CliError> {
    let mut files = user_lexicon();
    files.extend_from_slice(more);
    let mut texts = read_texts(&files)?;
    texts.extend(text);
    Lexicon::load(&texts).map_err(|problems| {
        unusable("the vocabulary", &problems)
            .hint("`callover lexicon check FILE` shows the same list; mend the lines named")
    })
}

fn unusable(what: &str, problems: &[Problem]) -> CliError {
    let lines: Vec<String> = problems.iter().map(Problem::to_string).collect();
    CliError::input(format_args!(
        "{what} cannot be used:\n  {}",
        lines.join("\n  ")
    ))
}

/// Key of the job's detail with the limits chosen, as [`Chosen::parse`] takes them.
pub(crate) const DETAIL_LIMITS: &str = "limits";
/// Key of the job's detail with the text of the user's own limits.
pub(crate) const DETAIL_OWN_LIMITS: &str = "limits_file";

/// Returns loaded limits, their problems as one error.
///
/// # Errors
/// Lists every problem.
pub(crate) fn limits(loaded: Result<Limits, Vec<Problem>>) -> Result<Limits, CliError> {
    loaded.map_err(|problems| {
        unusable("the limits", &problems)
            .hint("lexicon/README.md tells the keys; mend the lines named")
    })
}

/// Returns what the job's measurements are held against: its own choice, else its region's.
///
/// # Errors
/// As reading the job has it, and where its limits are not understood.
pub(crate) fn yardstick(job: &Job) -> Result<Yardstick, CliError> {
    let chosen = match job.detail(DETAIL_LIMITS)? {
        Some(text) => Chosen::parse(&text).map_err(CliError::input)?,
        None => Chosen::for_region(&job.detail(DETAIL_REGION)?.unwrap_or_default()),
    };
    let own = job
        .detail(DETAIL_OWN_LIMITS)?
        .map(|text| ("the job's own limits".into(), text));
    let own: Vec<(PathBuf, String)> = own.into_iter().collect();
    Ok(Yardstick {
        limits: limits(Limits::load(&own))?,
        chosen,
    })
}

/// Returns everything that a job's list shows.
///
/// # Errors
/// As reading the job has it.
pub(crate) fn document(job: &Job) -> Result<Document, CliError> {
    let mut list = job.list()?;
    limits::refresh(&mut list.items, &yardstick(job)?);
    let transcript = job.transcript()?;
    let proposal = job.proposal()?;
    let details = job.details()?;
    let of = |status| list.items.iter().filter(|i| i.status == status).count();
    let (waiting, confirmed) = (of(Status::Proposed), of(Status::Confirmed));
    let shown = waiting + confirmed;
    let checked = match (waiting, confirmed) {
        (0, 0) => "none".to_owned(),
        (0, _) => format!("{shown}, each checked by the inspector"),
        (_, 0) => format!("{shown}, none checked by the inspector yet"),
        _ => format!("{shown}, of which the inspector has checked {confirmed}"),
    };
    let mut lines: Vec<Detail> = SHOWN
        .iter()
        .filter_map(|(key, label)| {
            Some(Detail {
                key: (*key).into(),
                label: (*label).into(),
                value: day_in_words(details.get(*key)?),
            })
        })
        .collect();
    lines.push(Detail {
        key: "items".into(),
        label: "Items".into(),
        value: checked,
    });
    let rules = Rules::of_details(&details)?;
    let visits = visits(job, &list.visits.held)?;
    if let Some(due) = rules.respond.zip(due::date(&visits[0].date)) {
        lines.extend(due.0.after(due.1).map(|date| Detail {
            key: "respond-by".into(),
            label: "Answer due by".into(),
            value: day_in_words(&date.to_string()),
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn several_recordings_are_numbered_before_the_ending() {
        let path = numbered(Path::new("out/walk.vtt"), 2);
        assert_eq!(path, Path::new("out/walk-2.vtt"));
    }
}
