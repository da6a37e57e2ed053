//! `callover score`: how right proposals are on the user's own confirmed jobs, with the vocabulary as it
//! comes, and with the user's but for what only the job itself taught.

use super::arguments::Score;
use super::error::CliError;
use super::{learn, shared};
use crate::confirm::{Around, Session, keys_taken};
use crate::items::describe;
use crate::job::{Decision, Job};
use crate::learn::{
    Lived, Reading, Row, Study, Teaching, entries, lessons, overlay, read_again, without,
};
use crate::lexicon::{Lexicon, Problem};
use serde::Serialize;
use std::fmt::Write;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Runs the subcommand.
///
/// # Errors
/// Jobs or vocabulary that cannot be read, and jobs without a confirmed item.
pub(crate) fn run(arguments: &Score) -> Result<(), CliError> {
    let jobs = learn::lived(&arguments.jobs)?;
    for (job, folder) in jobs.iter().zip(&arguments.jobs) {
        if job.confirmed.is_empty() {
            let message = format!("{}: no item is confirmed yet", folder.display());
            return Err(CliError::input(message).hint(
                "confirm it first, or leave it out: there is nothing to hold proposals against",
            ));
        }
    }
    let base = load(&[])?;
    let overlays = shared::read_texts(&shared::user_lexicon())?;
    let mut lines = Vec::new();
    let mut all = Row::default();
    for (at, folder) in arguments.jobs.iter().enumerate() {
        let own = own(&overlays, &jobs, at)?;
        let row = read_again(&base, &own, &jobs[at]);
        all = Row {
            base: all.base.with(row.base),
            own: all.own.with(row.own),
        };
        lines.push(Line::of(&jobs[at].name, &row, Some(spent(folder, &own)?)));
    }
    let all = Line::of("all", &all, None);
    match arguments.json {
        true => {
            let figures = Figures { jobs: lines, all };
            let text = serde_json::to_string_pretty(&figures)
                .map_err(|error| CliError::input(error.to_string()))?;
            shared::print(&format!("{text}\n"));
        }
        false => shared::print(&table(lines.iter().chain([&all]))),
    }
    Ok(())
}

/// Returns the user's lexicon but for what only this job taught. What is known of the voice rests on all
/// jobs and is drawn anew from the others.
fn own(overlays: &[(PathBuf, String)], jobs: &[Lived], at: usize) -> Result<Lexicon, CliError> {
    let name = &jobs[at].name;
    let rest = |(path, text): &(PathBuf, String)| (path.clone(), without(text, name));
    let mut files: Vec<(PathBuf, String)> = overlays.iter().map(rest).collect();
    let voice = |teaching: &Teaching| matches!(teaching, Teaching::Voice(_));
    let mut known = overlays.iter().flat_map(|(_, text)| entries(text).1);
    if known.any(|entry| entry.teaching.as_ref().is_some_and(voice)) {
        let others: Vec<Lived> = jobs.iter().filter(|j| j.name != *name).cloned().collect();
        let lexicon = load(&files)?;
        let drawn = lessons(&Study::new(&lexicon, &others));
        if let Some(voice) = drawn.iter().find(|lesson| voice(&lesson.teaching)) {
            let text = overlay::accepted(voice, "", "");
            files.push((PathBuf::from("the voice in other jobs"), text));
        }
    }
    load(&files)
}

fn load(files: &[(PathBuf, String)]) -> Result<Lexicon, CliError> {
    Lexicon::load(files).map_err(|problems: Vec<Problem>| {
        let lines: Vec<String> = problems.iter().map(ToString::to_string).collect();
        CliError::input(format_args!(
            "the vocabulary cannot be used:\n  {}",
            lines.join("\n  ")
        ))
        .hint("`callover lexicon check FILE` shows the same list; mend the lines named")
    })
}

/// Returns what the inspector spent on a job when it was confirmed.
fn spent(folder: &Path, lexicon: &Lexicon) -> Result<Spent, CliError> {
    let job = Job::open_to_read(folder)?;
    let events = job.events()?;
    let own = |decision: &Decision| !matches!(decision, Decision::Proposed { .. });
    let around = Around {
        lexicon: Some(Arc::new(lexicon.clone())),
        ..Around::default()
    };
    let before = Session::new(job.proposal()?.items, Vec::new(), describe);
    Ok(Spent {
        decisions: events.iter().filter(|event| own(&event.decision)).count(),
        keys: keys_taken(before.with(Arc::new(around)), &events),
    })
}

/// Decisions, and the keys that they take at least.
struct Spent {
    decisions: usize,
    keys: usize,
}

#[derive(Serialize)]
struct Figures {
    jobs: Vec<Line>,
    all: Line,
}

/// One line of the table.
#[derive(Serialize)]
struct Line {
    job: String,
    items: usize,
    /// Decisions taken for each confirmed item when the job was confirmed.
    #[serde(skip_serializing_if = "Option::is_none")]
    decisions_per_item: Option<f64>,
    /// The keys that these take in the terminal at least.
    #[serde(skip_serializing_if = "Option::is_none")]
    keys_per_item: Option<f64>,
    base: Shares,
    yours: Shares,
}

#[derive(Serialize)]
struct Shares {
    found_f1: f64,
    right_f1: f64,
    corrections_per_item: f64,
    /// Share of words wrong in the items that had to be corrected; none where none had to be.
    word_error: Option<f64>,
}

impl Line {
    fn of(job: &str, row: &Row, spent: Option<Spent>) -> Line {
        let items = row.base.confirmed;
        let per_item = |n: usize| rounded(n as f64 / (items as f64).max(1.0));
        Line {
            job: job.to_owned(),
            items,
            decisions_per_item: spent.as_ref().map(|spent| per_item(spent.decisions)),
            keys_per_item: spent.as_ref().map(|spent| per_item(spent.keys)),
            base: Shares::of(&row.base),
            yours: Shares::of(&row.own),
        }
    }
}

impl Shares {
    fn of(reading: &Reading) -> Shares {
        Shares {
            found_f1: rounded(reading.found_f1()),
            right_f1: rounded(reading.right_f1()),
            corrections_per_item: rounded(reading.corrections_per_item()),
            word_error: reading.words.rate().map(rounded),
        }
    }
}

/// Returns the figure to three places: more says nothing of lists of a few dozen items.
fn rounded(figure: f64) -> f64 {
    (figure * 1000.0).round() / 1000.0
}

fn table<'a>(lines: impl Iterator<Item = &'a Line> + Clone) -> String {
    let width = lines.clone().map(|line| line.job.chars().count()).max();
    let width = width.unwrap_or_default().max("job".len());
    let mut out = String::new();
    let gap = "";
    // Writing to a string cannot fail.
    let _ = writeln!(
        out,
        "{gap:width$}         found F1       right F1       corrections    words wrong  decisions     keys"
    );
    let _ = writeln!(
        out,
        "{:width$}  items  base  yours    base  yours    base  yours    base  yours    an item  an item",
        "job"
    );
    let share = |share: Option<f64>| share.map_or("    -".to_owned(), |s| format!("{s:5.2}"));
    for line in lines {
        let (base, own) = (&line.base, &line.yours);
        let _ = write!(out, "{:width$}  {:5}", line.job, line.items);
        for (base, own) in [
            (Some(base.found_f1), Some(own.found_f1)),
            (Some(base.right_f1), Some(own.right_f1)),
            (
                Some(base.corrections_per_item),
                Some(own.corrections_per_item),
            ),
            (base.word_error, own.word_error),
        ] {
            let _ = write!(out, " {}  {}  ", share(base), share(own));
        }
        let _ = writeln!(
            out,
            "{:>8} {:>8}",
            share(line.decisions_per_item),
            share(line.keys_per_item)
        );
    }
    out
}
