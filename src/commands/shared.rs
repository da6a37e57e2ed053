//! What several commands need: the clock, the user's vocabulary, a job's document, messages.

use super::error::CliError;
use crate::export::write::{Destination, Target};
use crate::export::{Detail, Document};
use crate::items::Status;
use crate::job::{DETAIL_REGION, Job};
use crate::lexicon::{Lexicon, Problem};
use crate::limits::{self, Chosen, Limits, Yardstick};
use crate::speech::Word;
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

/// Returns words that a person typed, as if heard with certainty.
pub(crate) fn typed(text: &str) -> Vec<Word> {
    text.split_whitespace()
        .map(|word| Word {
            text: word.to_owned(),
            recording: 1,
            span: None,
            probability: 1.0,
            line_end: false,
        })
        .collect()
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
    let shown = [
        ("address", "Address"),
        ("plot", "Plot"),
        ("client", "Client"),
        ("inspector", "Inspected by"),
        ("date", "Date"),
        ("weather", "Weather"),
        ("stage", "Stage"),
        ("reference", "Reference"),
    ];
    let decided = list
        .items
        .iter()
        .filter(|i| i.status != Status::Proposed)
        .count();
    let mut lines: Vec<Detail> = shown
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
    Ok(Document {
        title: details
            .get("title")
            .cloned()
            .unwrap_or_else(|| "Walk-round".into()),
        // The time of the proposal, so that the same job gives the same document.
        created: details.get("created").cloned().unwrap_or_else(now),
        details: lines,
        recordings: transcript.recordings,
        places: proposal.places,
        items: list.items,
        unplaced: proposal.unplaced,
        ..Document::default()
    })
}
