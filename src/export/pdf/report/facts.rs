//! The facts of an item beside its sentence, as rows of label and text.

use crate::export::document::GroupKey;
use crate::export::facts::work;
use crate::export::pdf::make::Make;
use crate::export::visits;
use crate::export::wording::{capitalised, measurement, one_line, place_heading, remarks};
use crate::items::{Item, RemedySource};

/// Returns label, words of weight, and text of each fact.
pub(super) fn rows(
    make: &Make<'_>,
    key: &GroupKey<'_>,
    item: &Item,
) -> Vec<(&'static str, String, String)> {
    let text = |t: &Option<String>| t.as_deref().map(one_line).filter(|t| !t.is_empty());
    let mut rows = Vec::new();
    let mut row = |label, strong: String, text: String| rows.push((label, strong, text));
    let none = String::new;
    if !matches!(key, GroupKey::Place(_)) {
        row("Place", none(), place_heading(&item.place));
    }
    if let Some(position) = text(&item.position) {
        row("Where", none(), capitalised(&position));
    }
    if item.count > 1 {
        row("How many", none(), item.count.to_string());
    }
    if !item.measurements.is_empty() {
        let shown: Vec<String> = item.measurements.iter().map(measurement).collect();
        row("Measured", shown.join("; "), none());
    }
    for limit in &item.limits {
        let verdict = match limit.verdict.as_str() {
            "outside" => "Outside the limit. ".to_string(),
            "within" => "Within the limit. ".to_string(),
            other => format!("{}. ", capitalised(&one_line(other))),
        };
        row("Limit", verdict, capitalised(&one_line(&limit.why)));
    }
    let work = work(make.document, item);
    if !work.is_empty() {
        let origin = match item.remedy_source {
            Some(RemedySource::Suggested) => " (usual remedy)",
            Some(RemedySource::Spoken) => " (as the inspector said)",
            None => "",
        };
        row("To put right", none(), format!("{work}{origin}"));
    }
    if let Some(trade) = text(&item.trade) {
        row("Trade", none(), capitalised(&trade));
    }
    if let Some(remarks) = remarks(item) {
        row("Remarks", none(), remarks);
    }
    if item.hedged {
        row("Certainty", none(), "The inspector was not certain.".into());
    }
    if let Some(line) = make.document.standing_line(item) {
        row("Stands", none(), one_line(&line));
    }
    for seen in &item.history {
        row("Visit", none(), one_line(&visits::seen_line(seen)));
    }
    let named: Vec<&str> = item
        .photos
        .iter()
        .filter(|name| !make.photos.contains_key(*name))
        .map(String::as_str)
        .collect();
    if !named.is_empty() {
        let names = named.join(", ");
        row(
            "Photos",
            none(),
            format!("{names} (kept with the list; not shown here)"),
        );
    } else if item.photo_wanted && item.photos.is_empty() {
        row(
            "Photos",
            none(),
            "One was asked for here; none is attached.".into(),
        );
    }
    rows
}
