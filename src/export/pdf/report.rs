//! The buyer's report, section by section.

mod cautions;
mod contents;
mod cover;
mod facts;
mod glossary;
mod index;
mod item;
mod list;
mod pictures;
mod reading;
mod sources;
mod summary;

use super::make::Make;
use super::template::Section;
use crate::export::ExportError;

/// Lays out the sections in the order given.
pub(super) fn lay_out(make: &mut Make<'_>, sections: &[Section]) -> Result<(), ExportError> {
    for section in sections {
        match section {
            Section::Cover => cover::lay_out(make)?,
            Section::Summary => summary::lay_out(make),
            Section::Reading => reading::lay_out(make),
            Section::Contents => contents::lay_out(make, sections),
            Section::List => list::lay_out(make),
            Section::Cautions => cautions::lay_out(make),
            Section::Words => glossary::lay_out(make),
            Section::Index => index::lay_out(make),
            Section::Sources => sources::lay_out(make),
        }
    }
    Ok(())
}

/// Returns a section's title and the name of its place; `None` for the cover and the contents,
/// which the contents need not name.
fn title(make: &Make<'_>, section: Section) -> Option<(&'static str, &'static str)> {
    use crate::export::document::Grouping;
    match section {
        Section::Cover | Section::Contents => None,
        Section::Summary => Some(("Summary", "summary")),
        Section::Reading => Some(("How to read this list", "reading")),
        Section::List => Some(match make.by {
            Grouping::Severity => ("The list, by severity", "list"),
            _ => ("The list, place by place", "list"),
        }),
        Section::Cautions => Some(("Cautions, and what this list can tell", "cautions")),
        Section::Words if make.document.explained(make.include_rejected).is_empty() => None,
        Section::Words => Some((glossary::TITLE, "words")),
        Section::Index => Some(("Items by trade", "index")),
        Section::Sources => Some(("What this list rests on", "sources")),
    }
}

/// Returns the text's first `longest` characters, cut between words, with an ellipsis where there
/// was more.
fn shortened(text: &str, longest: usize) -> String {
    if text.chars().count() <= longest {
        return text.to_string();
    }
    let start: String = text.chars().take(longest).collect();
    let words = start
        .rsplit_once(' ')
        .map_or(start.as_str(), |(words, _)| words);
    format!("{}…", words.trim_end_matches([',', ';', ':', '.', ' ']))
}
