//! `callover details`: what holds for the whole job, such as who inspected and until when items are
//! to be put right.

use super::arguments::{DetailOptions, Details};
use super::error::CliError;
use super::shared;
use crate::due::{self, DETAIL_RESPOND, Period};
use crate::items::Item;
use crate::job::{DETAIL_REGION, DETAIL_TITLE, Job};

/// Keys of the details that documents show, with their labels, in the order in which they do.
pub(crate) const SHOWN: [(&str, &str); 8] = [
    ("address", "Address"),
    ("plot", "Plot"),
    ("client", "Client"),
    ("inspector", "Inspected by"),
    ("date", "Date"),
    ("weather", "Weather"),
    ("stage", "Stage"),
    ("reference", "Reference"),
];

/// Longest value taken, in characters: a line of a document's head.
const LONGEST: usize = 300;

/// Sets details, or prints them where none is given.
///
/// # Errors
/// Where a value cannot be used, or the job cannot be read or written; then nothing is changed.
pub(crate) fn run(arguments: &Details) -> Result<(), CliError> {
    let changes = changes(&arguments.options)?;
    if changes.is_empty() {
        return show(&Job::open_current(&arguments.job)?);
    }
    let mut job = Job::open(&arguments.job)?;
    set(&mut job, &changes)
}

/// Keeps the details given, and says what changed.
///
/// # Errors
/// As writing has it.
pub(crate) fn set(job: &mut Job, changes: &[(String, Option<String>)]) -> Result<(), CliError> {
    for change in job.describe(changes, &shared::now())? {
        match (change.to, change.from) {
            (Some(to), Some(from)) => {
                shared::say(format_args!("{}: {to} (was {from})", change.key))
            }
            (Some(to), None) => shared::say(format_args!("{}: {to}", change.key)),
            (None, _) => shared::say(format_args!("{}: taken out", change.key)),
        }
    }
    Ok(())
}

/// Returns the details that the options set, by key; `None` takes one out.
///
/// # Errors
/// Every value that cannot be used, one a line.
pub(crate) fn changes(options: &DetailOptions) -> Result<Vec<(String, Option<String>)>, CliError> {
    let given = [
        (DETAIL_TITLE, &options.title),
        ("address", &options.address),
        ("plot", &options.plot),
        ("client", &options.client),
        ("inspector", &options.inspector),
        ("date", &options.date),
        ("weather", &options.weather),
        ("stage", &options.stage),
        ("reference", &options.reference),
        (DETAIL_REGION, &options.region),
        (DETAIL_RESPOND, &options.respond_within),
    ];
    let (mut changes, mut problems) = (Vec::new(), Vec::new());
    for (key, value) in given {
        let Some(text) = value else { continue };
        match value_of(key, text) {
            Ok(value) => changes.push((key.to_owned(), value)),
            Err(problem) => problems.push(format!("--{key}: {problem}")),
        }
    }
    for text in &options.within {
        match within(text) {
            Ok(change) => changes.push(change),
            Err(problem) => problems.push(format!("--within: {problem}")),
        }
    }
    if problems.is_empty() {
        Ok(changes)
    } else {
        Err(CliError::input(problems.join("\n")))
    }
}

fn value_of(key: &str, text: &str) -> Result<Option<String>, String> {
    let words: Vec<&str> = text
        .split(|c: char| c.is_whitespace() || c.is_control())
        .collect();
    let text = words
        .into_iter()
        .filter(|word| !word.is_empty())
        .collect::<Vec<_>>()
        .join(" ");
    if text.is_empty() {
        return Ok(None);
    }
    let length = text.chars().count();
    if length > LONGEST {
        return Err(format!("has {length} characters: give at most {LONGEST}"));
    }
    match key {
        "date" if due::date(&text).is_none() => Err(format!(
            "`{text}` is no date: give it as YYYY-MM-DD, such as 2026-03-02"
        )),
        DETAIL_RESPOND => {
            let period: Period = text.parse().map_err(|e: due::PeriodError| e.to_string())?;
            Ok(Some(period.to_string()))
        }
        _ => Ok(Some(text)),
    }
}

/// `30 days` sets the period, `safety=1 day` that of a severity, `safety=` takes it out.
fn within(text: &str) -> Result<(String, Option<String>), String> {
    let text = text.trim();
    if text.is_empty() {
        return Ok((due::DETAIL_WITHIN.into(), None));
    }
    if let Some(severity) = text.strip_suffix('=') {
        let (key, _) = due::rule(&format!("{severity}=1 day")).map_err(|e| e.to_string())?;
        return Ok((key, None));
    }
    let (key, period) = due::rule(text).map_err(|e| e.to_string())?;
    Ok((key, Some(period.to_string())))
}

/// Prints the details, the visits and what is overdue today.
fn show(job: &Job) -> Result<(), CliError> {
    let details = job.details()?;
    let mut lines = Vec::new();
    let own = [(DETAIL_TITLE, "Title"), (DETAIL_REGION, "Region")];
    for (key, label) in SHOWN.iter().chain(&own) {
        match details.get(*key) {
            Some(value) => lines.push(format!("{label}: {value}")),
            None if *key == "date" => lines.push(format!(
                "{label}: {} (the day the list was made; --date sets another)",
                shared::first_date(job)?
            )),
            None => {}
        }
    }
    for (key, value) in &details {
        if key == due::DETAIL_WITHIN {
            lines.push(format!("To be put right within: {value}"));
        } else if let Some(severity) = key.strip_prefix("within/") {
            lines.push(format!("To be put right within, {severity}: {value}"));
        } else if key == DETAIL_RESPOND {
            lines.push(format!("To be answered within: {value}"));
        }
    }
    let document = shared::document(job)?;
    for visit in &document.visits {
        let recordings = visit.recordings.len();
        let plural = if recordings == 1 { "" } else { "s" };
        lines.push(format!(
            "Visit {}: {}, {recordings} recording{plural}",
            visit.number, visit.date
        ));
    }
    if let Some(today) = due::date(&shared::today()) {
        let late = document
            .items
            .iter()
            .filter(|item| due::overdue(item, today));
        let late: Vec<&Item> = late.collect();
        if !late.is_empty() {
            let numbers: Vec<String> = late.iter().map(|item| item.number.to_string()).collect();
            lines.push(format!("Overdue on {today}: {}", numbers.join(", ")));
        }
    }
    shared::print(&(lines.join("\n") + "\n"));
    Ok(())
}
