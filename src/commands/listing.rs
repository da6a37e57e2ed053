//! The list as plain text for a terminal: what `take` prints.

use crate::confirm::confidence_words;
use crate::export::{Document, Grouping};
use crate::items::{Item, RemedySource, Severity, standing_words};
use crate::job::{Field, severity_word};
use crate::recheck::{Heard, SURE};
use unicode_width::UnicodeWidthStr;

/// Widest line in columns; also what the help texts keep to.
const WIDTH: usize = 100;
/// Columns before an item's text: room for its number.
const INDENT: usize = 5;

/// Returns the document as text: places in walking order with their items, then a summary.
pub(crate) fn text(document: &Document) -> String {
    let mut lines = vec![clean(&document.title)];
    for group in document.groups(Grouping::Place, false) {
        lines.push(String::new());
        lines.push(clean(&group.key.heading()));
        for item in group.items {
            item_lines(document, item, &mut lines);
        }
    }
    lines.push(String::new());
    wrap(&summary(document), 0, &mut lines);
    lines.join("\n") + "\n"
}

fn item_lines(document: &Document, item: &Item, lines: &mut Vec<String>) {
    let first = lines.len();
    let count = match item.count {
        1 => String::new(),
        count => format!(" ({count} of them)"),
    };
    let position = item
        .position
        .as_deref()
        .map_or(String::new(), |p| format!(", {p}"));
    let (element, defect) = (&item.element, &item.defect);
    wrap(
        &format!("{element}: {defect}{count}{position}"),
        INDENT,
        lines,
    );
    number_line(lines, first, item.number);
    let measured = Field::Measurement.read(item);
    if !measured.is_empty() {
        wrap(&format!("measured: {measured}"), INDENT, lines);
    }
    if let Some(remedy) = &item.remedy {
        let source = match item.remedy_source {
            Some(RemedySource::Suggested) => "suggested",
            _ => "spoken",
        };
        wrap(&format!("remedy: {remedy} ({source})"), INDENT, lines);
    }
    if let Some(caution) = &item.caution {
        wrap(&format!("caution: {caution}"), INDENT, lines);
    }
    let mut facts: Vec<String> = Vec::new();
    facts.extend(item.trade.clone());
    facts.push(match item.severity {
        Severity::Safety => "SAFETY".into(),
        severity => severity_word(severity).into(),
    });
    facts.extend(said_at(document, item));
    facts.push(confidence_words(item.confidence).into());
    if item.hedged {
        facts.push("said with doubt".into());
    }
    wrap(&facts.join(", "), INDENT, lines);
}

/// Returns what a later visit found as text: a line for each finding, then what is new, then what is
/// to be looked at again.
pub(crate) fn findings(items: &[Item], heard: &Heard) -> String {
    let mut lines = Vec::new();
    for finding in &heard.findings {
        let Some(item) = items.iter().find(|item| item.id == finding.item) else {
            continue;
        };
        let seen = &finding.seen;
        let note = match seen.note.as_str() {
            "" => String::new(),
            note => format!(" – “{note}”"),
        };
        let unsure = match finding.confidence < SURE {
            true => format!(" (unsure{})", reasons(&finding.reasons)),
            false => String::new(),
        };
        let standing = standing_words(seen.standing);
        let (place, element) = (&item.place, &item.element);
        let first = lines.len();
        wrap(
            &format!(
                "{standing}: {place}, {element}, {}{note}{unsure}",
                item.defect
            ),
            INDENT,
            &mut lines,
        );
        number_line(&mut lines, first, item.number);
    }
    for item in &heard.fresh.items {
        let kept = items.iter().find(|kept| kept.id == item.id);
        let first = lines.len();
        wrap(
            &format!("new: {}, {}: {}", item.place, item.element, item.defect),
            INDENT,
            &mut lines,
        );
        number_line(&mut lines, first, kept.unwrap_or(item).number);
    }
    lines.push(String::new());
    let found = counted(heard.findings.len(), "finding", "findings");
    let fresh = counted(heard.fresh.items.len(), "new item", "new items");
    let mut text = format!("{found}, {fresh}");
    if !heard.fresh.unplaced.is_empty() {
        let remarks = counted(heard.fresh.unplaced.len(), "remark", "remarks");
        text += &format!("; {remarks} made neither, the exported list shows them");
    }
    wrap(&text, 0, &mut lines);
    lines.join("\n") + "\n"
}

fn reasons(reasons: &[String]) -> String {
    match reasons {
        [] => String::new(),
        some => format!(": {}", some.join("; ")),
    }
}

/// Puts an item's number before the line that was added first.
fn number_line(lines: &mut [String], first: usize, number: u32) {
    if let Some(line) = lines.get_mut(first) {
        line.replace_range(..INDENT.min(line.len()), &format!("{number:>3}  "));
    }
}

/// Returns when the item was said, with the file where there are several.
fn said_at(document: &Document, item: &Item) -> Option<String> {
    let start = item.evidence.span?.start;
    match document.recording_file(item.evidence.recording) {
        Some(file) if document.recordings.len() > 1 => Some(format!("{file} at {start}")),
        _ => Some(format!("at {start}")),
    }
}

fn summary(document: &Document) -> String {
    let items = document.by_number(false).len();
    let safety = document
        .by_number(false)
        .iter()
        .filter(|item| item.severity == Severity::Safety)
        .count();
    let mut text = counted(items, "item", "items");
    if safety > 0 {
        text += &format!(" ({safety} of safety)");
    }
    text += &format!(" at {}", counted(document.places.len(), "place", "places"));
    if !document.unplaced.is_empty() {
        let remarks = counted(document.unplaced.len(), "remark", "remarks");
        text += &format!("; {remarks} made no item, the exported list shows them");
    }
    text
}

fn counted(count: usize, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}

/// Returns the text without control characters, which could command the terminal.
fn clean(text: &str) -> String {
    text.chars()
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect()
}

/// Adds the text as lines of at most [`WIDTH`] columns, all but the first further in.
fn wrap(text: &str, indent: usize, lines: &mut Vec<String>) {
    let text = clean(text);
    let mut line = " ".repeat(indent);
    let mut empty = true;
    for word in text.split_whitespace() {
        if !empty && line.width() + 1 + word.width() > WIDTH {
            lines.push(std::mem::replace(&mut line, " ".repeat(indent + 2)));
            empty = true;
        }
        if !empty {
            line.push(' ');
        }
        line.push_str(word);
        empty = false;
    }
    lines.push(line);
}
