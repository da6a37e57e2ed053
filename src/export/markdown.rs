//! The list as Markdown that also reads well as plain text.

use super::document::{Document, Group, GroupKey, Grouping};
use super::error::ExportError;
use super::facts::work;
use super::visits::seen_line;
use super::wording::{
    SEVERITIES, capitalised, counted, heard_at, length, measurement, one_line, place_heading,
    remarks, severity_meaning, severity_word, short_name,
};
use super::{Options, TOOL, date, texts};
use crate::cautions::Region;
use crate::items::{Item, RemedySource, Status};

/// Returns the list: head, summary, items divided as asked, ticks by trade, what made no item.
pub(super) fn bytes(document: &Document, options: &Options) -> Result<Vec<u8>, ExportError> {
    let include_rejected = options.include_rejected.unwrap_or(false);
    let items = document.by_number(include_rejected);
    let mut page = Page::default();
    head(
        &mut page,
        document,
        &items,
        &date::in_words(&document.created)?,
    );
    since_last(&mut page, document);
    summary(&mut page, &items);
    for group in document.groups(options.by, include_rejected) {
        page.block(format!("## {}", escaped(&group.key.heading())));
        for item in &group.items {
            item_blocks(&mut page, document, &group, item);
        }
    }
    let without = document.places_without_items(include_rejected);
    if !without.is_empty() {
        let names: Vec<String> = without
            .iter()
            .map(|p| escaped(&place_heading(&p.name)))
            .collect();
        page.block(format!(
            "Also visited, with nothing on this list: {}.",
            names.join(", ")
        ));
    }
    cautions(&mut page, document, include_rejected);
    glossary(&mut page, document, include_rejected);
    ticks(&mut page, document, options.by, include_rejected);
    said_but_not_listed(&mut page, document);
    recordings(&mut page, document);
    what_this_list_is(&mut page, document.reader.region);
    Ok(page.finish())
}

/// Blocks of text, a blank line between each two.
#[derive(Default)]
struct Page {
    blocks: Vec<String>,
}

impl Page {
    fn block(&mut self, text: String) {
        self.blocks.push(text);
    }

    /// Adds a list, or nothing where there are no lines.
    fn list(&mut self, lines: Vec<String>) {
        if !lines.is_empty() {
            let lines: Vec<String> = lines.into_iter().map(|line| format!("- {line}")).collect();
            self.block(lines.join("\n"));
        }
    }

    fn finish(self) -> Vec<u8> {
        let mut text = self.blocks.join("\n\n");
        text.push('\n');
        text.into_bytes()
    }
}

fn head(page: &mut Page, document: &Document, items: &[&Item], created: &str) {
    page.block(format!("# {}", escaped(&document.title)));
    let unconfirmed = items
        .iter()
        .filter(|item| item.status == Status::Proposed)
        .count();
    if unconfirmed > 0 {
        page.block(format!(
            "**Draft: {unconfirmed} of {} not yet confirmed by the inspector. Each of them is \
             marked.**",
            counted(items.len(), "item", "items"),
        ));
    }
    let mut lines = vec![format!("List made: {}", escaped(created))];
    let details = document.details.iter();
    lines.extend(details.map(|d| format!("{}: {}", escaped(&d.label), escaped(&d.value))));
    page.list(lines);
}

/// Adds what the last visit changed, if there was a later visit.
fn since_last(page: &mut Page, document: &Document) {
    let Some(since) = document.since_last() else {
        return;
    };
    page.block(format!("## {}", escaped(&since.heading())));
    let lines = since.lines().into_iter();
    page.list(
        lines
            .map(|(label, numbers)| format!("{label}: {numbers}"))
            .collect(),
    );
}

fn summary(page: &mut Page, items: &[&Item]) {
    page.block("## Summary".to_string());
    let rows: Vec<[String; 3]> = SEVERITIES
        .iter()
        .map(|&severity| {
            let count = items
                .iter()
                .filter(|item| item.severity == severity)
                .count();
            let meaning = severity_meaning(severity).to_string();
            [
                capitalised(severity_word(severity)),
                count.to_string(),
                meaning,
            ]
        })
        .chain([["All".to_string(), items.len().to_string(), String::new()]])
        .collect();
    page.block(table(["Severity", "Items", "Meaning"], &rows));
    let safety = items
        .iter()
        .filter(|item| item.severity == crate::items::Severity::Safety);
    page.list(
        safety
            .map(|item| {
                let place = place_heading(&item.place);
                let caution = item.caution.as_deref().unwrap_or_default();
                let text = format!("{place}: {} {caution}", item.description);
                format!("**Safety, item {}.** {}", item.number, escaped(&text))
            })
            .collect(),
    );
}

/// Adds one item: a line with its number and sentence, then what is known of it.
fn item_blocks(page: &mut Page, document: &Document, group: &Group<'_>, item: &Item) {
    let mark = match item.status {
        Status::Proposed => " *(not yet confirmed)*",
        Status::Confirmed => "",
        Status::Rejected => " *(rejected)*",
    };
    // Not a Markdown list: its numbers would be counted anew where the list skips one.
    page.block(format!(
        "**{}. {}**{mark}",
        item.number,
        escaped(&item.description)
    ));
    let mut lines = Vec::new();
    let mut line = |label: &str, text: &str| {
        if !text.trim().is_empty() {
            lines.push(format!("{label}: {}", escaped(text)));
        }
    };
    if !matches!(group.key, GroupKey::Place(_)) {
        line("Place", &place_heading(&item.place));
    }
    line("Where", item.position.as_deref().unwrap_or_default());
    line("What", &short_name(item));
    if item.count > 1 {
        line("How many", &item.count.to_string());
    }
    for m in &item.measurements {
        line("Measured", &measurement(m));
    }
    for limit in &item.limits {
        line("Limit", &format!("{}; {}", limit.verdict, limit.why));
    }
    let label = match item.remedy_source {
        Some(RemedySource::Suggested) => "To put right (suggested)",
        _ => "To put right",
    };
    line(label, &work(document, item));
    if !matches!(group.key, GroupKey::Trade(_)) {
        line("Trade", item.trade.as_deref().unwrap_or_default());
    }
    line("Severity", severity_word(item.severity));
    line("Caution", item.caution.as_deref().unwrap_or_default());
    line("Remarks", &remarks(item).unwrap_or_default());
    if item.hedged {
        line("Certainty", "the inspector was not certain");
    }
    if !item.photos.is_empty() {
        line("Photos", &item.photos.join(", "));
    } else if item.photo_wanted {
        line("Photos", "asked for, none attached");
    }
    line("Stands", &document.standing_line(item).unwrap_or_default());
    for seen in &item.history {
        line("Seen", &seen_line(seen));
    }
    let at = heard_at(document, item.evidence.recording, item.evidence.span);
    line("Heard", &heard(at, &item.evidence.quote));
    if item.status == Status::Proposed {
        line(
            "Confidence",
            &format!("{:.0} in 100", item.confidence * 100.0),
        );
    }
    page.list(lines);
}

/// Returns where and what was heard, of which either can be missing.
fn heard(at: Option<String>, quote: &str) -> String {
    let quoted = (!quote.trim().is_empty()).then(|| format!("\u{201c}{quote}\u{201d}"));
    at.into_iter().chain(quoted).collect::<Vec<_>>().join(": ")
}

/// Adds each caution once, with its items.
fn cautions(page: &mut Page, document: &Document, include_rejected: bool) {
    let warnings = document.warnings(include_rejected);
    if warnings.is_empty() {
        return;
    }
    page.block("## Cautions".to_string());
    page.block(texts::cautions_intro(document.reader.region).to_string());
    let line = |w: &super::Warning| {
        let items: Vec<String> = w.items.iter().map(u32::to_string).collect();
        let text = escaped(&format!("{} (items: {})", w.text, items.join(", ")));
        format!("**{}.** {text}", escaped(&w.heading))
    };
    page.list(warnings.iter().map(line).collect());
}

/// Adds the trade words of the list, explained.
fn glossary(page: &mut Page, document: &Document, include_rejected: bool) {
    let words = document.explained(include_rejected);
    if words.is_empty() {
        return;
    }
    page.block("## Trade words".to_string());
    let line = |word: &super::Gloss| {
        let term = escaped(&capitalised(&word.term));
        format!("**{term}**: {}", escaped(&word.meaning))
    };
    page.list(words.iter().map(line).collect());
}

/// Adds a tick list for each trade, or for each place where the list is by trade already.
fn ticks(page: &mut Page, document: &Document, by: Grouping, include_rejected: bool) {
    let (heading, by) = match by {
        Grouping::Trade => ("To tick, by place", Grouping::Place),
        _ => ("To tick, by trade", Grouping::Trade),
    };
    page.block(format!("## {heading}"));
    for group in document.groups(by, include_rejected) {
        page.block(format!("### {}", escaped(&group.key.heading())));
        let line = |item: &&Item| {
            let place = place_heading(&item.place);
            format!(
                "[ ] {}, {}: {}",
                item.number,
                escaped(&place),
                escaped(&short_name(item))
            )
        };
        page.list(group.items.iter().map(line).collect());
    }
}

fn said_but_not_listed(page: &mut Page, document: &Document) {
    if document.unplaced.is_empty() {
        return;
    }
    page.block("## Said but not listed".to_string());
    let line = |u: &crate::items::Unplaced| {
        let at = heard_at(document, u.recording, u.span);
        escaped(&format!("{} ({})", heard(at, &u.quote), u.why))
    };
    page.list(document.unplaced.iter().map(line).collect());
}

fn recordings(page: &mut Page, document: &Document) {
    if document.recordings.is_empty() {
        return;
    }
    page.block("## Recordings".to_string());
    let row = |r: &crate::speech::Recording| {
        let speech = if r.speech_s > 0.0 {
            length(r.speech_s)
        } else {
            "not known".to_string()
        };
        let all = if r.duration_s > 0.0 {
            length(r.duration_s)
        } else {
            "not known".to_string()
        };
        [escaped(&r.file), all, speech]
    };
    let rows: Vec<[String; 3]> = document.recordings.iter().map(row).collect();
    page.block(table(["File", "Length", "Speech"], &rows));
}

fn what_this_list_is(page: &mut Page, region: Region) {
    page.block("## What this list is".to_string());
    for passage in texts::about(region) {
        page.block(format!("**{}.** {}", passage.heading, passage.text));
    }
    page.block(format!("Made with {}.", escaped(TOOL)));
}

/// Returns a table whose columns line up in plain text too. Cells are escaped already.
fn table(header: [&str; 3], rows: &[[String; 3]]) -> String {
    use unicode_width::UnicodeWidthStr;
    let header = header.map(String::from);
    let width = |column: usize| {
        let cells = rows.iter().chain([&header]).map(|row| row[column].width());
        cells.max().unwrap_or(0)
    };
    let widths = [width(0), width(1), width(2)];
    let line = |cells: &[String; 3]| {
        let padded: Vec<String> = cells
            .iter()
            .zip(widths)
            .map(|(cell, width)| format!("{cell}{}", " ".repeat(width - cell.width())))
            .collect();
        format!("| {} |", padded.join(" | "))
    };
    let rule = widths.map(|width| "-".repeat(width));
    let lines: Vec<String> = [&header, &rule].into_iter().chain(rows).map(line).collect();
    lines.join("\n")
}

/// Returns the text on one line with every character that Markdown could take for a mark made
/// plain by a backslash (CommonMark 0.31, section 2.4: any ASCII punctuation can be). Texts always
/// follow something else on their line, so marks that count only at a line's start are left.
fn escaped(text: &str) -> String {
    const MARKS: &str = "\\`*_[]<>#|~&$";
    let mut plain = String::with_capacity(text.len());
    for c in one_line(text).chars() {
        if MARKS.contains(c) {
            plain.push('\\');
        }
        plain.push(c);
    }
    plain
}

#[cfg(test)]
mod tests;
