//! What is known of an item as labelled lines of plain text, for formats that have one block of
//! text where the page has a table.

use super::date;
use super::document::Document;
use super::wording::{capitalised, heard_at, measurement, one_line, place_heading, quote, remarks};
use crate::items::{Item, RemedySource, Standing, Status, standing_words};

/// Returns `12. Hallway: door, binding`, the item's name where it stands alone.
pub(super) fn name(item: &Item) -> String {
    one_line(&format!(
        "{}. {}: {}, {}",
        item.number,
        place_heading(&item.place),
        item.element,
        item.defect
    ))
}

/// Returns the mark of an item that the inspector has not accepted.
pub(super) fn mark(item: &Item) -> Option<&'static str> {
    match item.status {
        Status::Proposed => Some("not yet confirmed"),
        Status::Rejected => Some("rejected"),
        Status::Confirmed => None,
    }
}

/// Returns what is known beside place, element and defect: each a label and one line of text.
pub(super) fn facts(document: &Document, item: &Item) -> Vec<(&'static str, String)> {
    let mut lines: Vec<(&'static str, String)> = Vec::new();
    let mut add = |label, text: String| {
        let text = one_line(&text);
        if !text.is_empty() {
            lines.push((label, text));
        }
    };
    add("Caution", item.caution.clone().unwrap_or_default());
    add("Marked", mark(item).unwrap_or_default().to_string());
    add("Where", capitalised(item.position.as_deref().unwrap_or("")));
    if item.count > 1 {
        add("How many", item.count.to_string());
    }
    let measured: Vec<String> = item.measurements.iter().map(measurement).collect();
    add("Measured", measured.join("; "));
    for limit in &item.limits {
        add(
            "Limit",
            format!("{}: {}", capitalised(&limit.verdict), limit.why),
        );
    }
    add("To put right", remedy(document, item));
    add("Remarks", remarks(item).unwrap_or_default());
    if item.hedged {
        add("Certainty", "the inspector was not certain".to_string());
    }
    if item.standing != Standing::Open {
        add("Standing", standing_words(item.standing).to_string());
    }
    let due = item.due.as_deref().and_then(date::day_in_words);
    add("Due", due.unwrap_or_default());
    add("Photos", item.photos.join(", "));
    let at = heard_at(document, item.evidence.recording, item.evidence.span);
    match (at, quote(item)) {
        (None, _) => {}
        (Some(at), quote) if quote.is_empty() => add("Heard", at),
        (Some(at), quote) => add("Heard", format!("{at}: \u{201c}{quote}\u{201d}")),
    }
    lines
}

/// Returns what is to be done, with a remark where nobody said it; empty where that is not known.
pub(super) fn remedy(document: &Document, item: &Item) -> String {
    let work = work(document, item);
    match item.remedy_source {
        Some(RemedySource::Suggested) if !work.is_empty() => format!("{work} (usual remedy)"),
        _ => work,
    }
}

/// Returns what is to be done, as a sentence without its stop; empty where that is not known.
pub(super) fn work(document: &Document, item: &Item) -> String {
    let told = document.reader.works.get(&item.number);
    let work = told.or(item.remedy.as_ref());
    capitalised(&one_line(work.map_or("", String::as_str)))
}
