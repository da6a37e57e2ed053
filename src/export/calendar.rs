//! The list as tasks for a calendar (iCalendar, RFC 5545): one VTODO for each trade.
//!
//! A task a trade and not one an item: somebody with a calendar has a few dozen tasks in it, and
//! three hundred more would bury them. The items are in the task's description, each with its own
//! day where days differ; the task is due on the first of them. Days are written as `DATE` without a
//! start: *by the end of that day, wherever one is*. A task's identity follows from the list and
//! the trade, so that exporting again brings it up to date.
//!
//! Written by hand: the crates at hand bring a clock, a time zone database and random numbers for
//! what are thirty lines of text.

use super::document::{Document, Group, GroupKey, Grouping};
use super::error::ExportError;
use super::facts::{mark, remedy};
use super::identity::Identity;
use super::subject::subject;
use super::wording::{counted, one_line, place_heading};
use super::{Options, TOOL, date};
use crate::items::{Item, Severity, standing_words};

/// Longest line in octets, without its end (RFC 5545, section 3.1).
const LONGEST_LINE: usize = 75;
/// Priority of a task with a matter of safety: 1 is the highest (RFC 5545, section 3.8.1.9).
const PRIORITY_SAFETY: u8 = 1;
/// Priority of every other task: medium.
const PRIORITY_OTHER: u8 = 5;

/// Returns the tasks, trades in alphabetical order and items without a trade last.
///
/// # Errors
/// [`ExportError::NothingToDo`] where no item is shown: a calendar needs at least one entry (RFC
/// 5545, section 3.6).
pub(super) fn bytes(document: &Document, options: &Options) -> Result<Vec<u8>, ExportError> {
    let groups = document.groups(Grouping::Trade, options.include_rejected.unwrap_or(false));
    if groups.is_empty() {
        return Err(ExportError::NothingToDo);
    }
    let identity = Identity::of(document);
    // RFC 5545, section 3.3.5, writes UTC without marks between the parts: 20260302T170500Z.
    let stamp = date::utc(&document.created)?.replace(['-', ':'], "");
    let mut calendar = Lines::default();
    calendar.add("BEGIN", "VCALENDAR");
    calendar.add("VERSION", "2.0");
    calendar.add("PRODID", &text(&format!("-//callover//{TOOL}//EN")));
    for group in &groups {
        task(&mut calendar, document, group, &identity, &stamp);
    }
    calendar.add("END", "VCALENDAR");
    Ok(calendar.0.into_bytes())
}

fn task(
    calendar: &mut Lines,
    document: &Document,
    group: &Group<'_>,
    identity: &Identity,
    stamp: &str,
) {
    let trade = match group.key {
        GroupKey::Trade(Some(trade)) => trade,
        _ => "",
    };
    let open: Vec<&&Item> = group
        .items
        .iter()
        .filter(|item| item.standing.is_outstanding())
        .collect();
    let due = match open.is_empty() {
        true => first_day(group.items.iter().copied()),
        false => first_day(open.iter().map(|item| **item)),
    };
    let done = group.items.len() - open.len();
    let status = match (open.len(), done) {
        (0, _) => "COMPLETED",
        (_, 0) => "NEEDS-ACTION",
        _ => "IN-PROCESS",
    };
    let is_safety = open.iter().any(|item| item.severity == Severity::Safety);
    let heading = one_line(&group.key.heading());
    let items = counted(group.items.len(), "item", "items");
    calendar.add("BEGIN", "VTODO");
    calendar.add("UID", &identity.guid("trade", trade));
    calendar.add("DTSTAMP", stamp);
    calendar.add(
        "SUMMARY",
        &text(&format!("{heading}: {items}, {}", subject(document))),
    );
    if let Some(day) = due {
        calendar.add("DUE;VALUE=DATE", &day.replace('-', ""));
    }
    calendar.add("CATEGORIES", &text(&heading));
    let priority = if is_safety {
        PRIORITY_SAFETY
    } else {
        PRIORITY_OTHER
    };
    calendar.add("PRIORITY", &priority.to_string());
    calendar.add("STATUS", status);
    calendar.add(
        "PERCENT-COMPLETE",
        &(done * 100 / group.items.len()).to_string(),
    );
    let lines = group.items.iter().map(|item| line(document, item, due));
    let lines: Vec<String> = lines.collect();
    calendar.add("DESCRIPTION", &text(&lines.join("\n")));
    calendar.add("END", "VTODO");
}

/// Returns the earliest day of the items that have one. Days as text sort by time.
fn first_day<'a>(items: impl Iterator<Item = &'a Item>) -> Option<&'a str> {
    items.filter_map(|item| item.due.as_deref()).min()
}

/// Returns an item as one line of the task.
fn line(document: &Document, item: &Item, due: Option<&str>) -> String {
    let mut line = format!(
        "{}. {}: {}",
        item.number,
        place_heading(&item.place),
        item.description
    );
    let remedy = remedy(document, item);
    if !remedy.is_empty() {
        line += &format!(" {remedy}.");
    }
    if let Some(caution) = &item.caution {
        line += &format!(" Caution: {caution}");
    }
    let standing = (item.standing != Default::default()).then(|| standing_words(item.standing));
    let own_day = item.due.as_deref().filter(|day| Some(*day) != due);
    let own_day = own_day
        .and_then(date::day_in_words)
        .map(|day| format!("due {day}"));
    let marks: Vec<String> = [
        mark(item).map(String::from),
        standing.map(String::from),
        own_day,
    ]
    .into_iter()
    .flatten()
    .collect();
    if !marks.is_empty() {
        line += &format!(" ({})", marks.join("; "));
    }
    one_line(&line)
}

/// Returns the text as a TEXT value (RFC 5545, section 3.3.11): backslash, semicolon, comma and line
/// end have a backslash before them. Other control characters have no place in it and go.
fn text(text: &str) -> String {
    let mut value = String::new();
    for c in text.chars() {
        match c {
            '\\' | ';' | ',' => value.extend(['\\', c]),
            '\n' => value.push_str("\\n"),
            c if c.is_control() => {}
            c => value.push(c),
        }
    }
    value
}

/// Content lines, each folded to at most 75 octets.
#[derive(Default)]
struct Lines(String);

impl Lines {
    /// Adds a line. Long ones go on after a line end and a space, never within a character (RFC
    /// 5545, section 3.1).
    fn add(&mut self, name: &str, value: &str) {
        let mut width = 0;
        for c in name.chars().chain([':']).chain(value.chars()) {
            if width + c.len_utf8() > LONGEST_LINE {
                self.0.push_str("\r\n ");
                width = 1;
            }
            self.0.push(c);
            width += c.len_utf8();
        }
        self.0.push_str("\r\n");
    }
}

#[cfg(test)]
mod tests;
