//! The list as one self-contained page: for screen, phone and paper, light and dark.
//!
//! Divided by trade it becomes sheets for the people who do the work (`sheets`); otherwise the
//! buyer's report. No scripts and no outside requests; the page's own security policy forbids them.
//! Severity is told by words and by the form of its mark, never by colour alone.

mod item;
mod sections;
mod sheets;
mod summary;
mod visits;

use super::document::{Document, Grouping};
use super::error::ExportError;
use super::subject::subject;
use super::wording::counted;
use super::{Options, TOOL, date};
use crate::cautions::Region;
use crate::items::{Item, Severity, Status};
use maud::{DOCTYPE, Markup, PreEscaped, html};

/// The page's style sheet. It holds no text of the list.
const STYLE: &str = include_str!("html/style.css");

/// Forbids everything that is not in the page itself.
const POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; \
                      base-uri 'none'; form-action 'none'";

/// Allows sound that is in the page itself.
const POLICY_SOUND: &str = "; media-src data:";

/// Returns the page.
pub(super) fn bytes(document: &Document, options: &Options) -> Result<Vec<u8>, ExportError> {
    let include_rejected = options.include_rejected.unwrap_or(false);
    let items = document.by_number(include_rejected);
    let made = date::in_words(&document.created)?;
    let (title, body) = match options.by {
        Grouping::Trade => {
            let title = subject(document);
            let body = sheets::body(document, &title, &items, include_rejected, &made);
            (title, body)
        }
        by => {
            let body = report(document, by, &items, include_rejected, &made);
            (document.title.clone(), body)
        }
    };
    let language = match document.reader.region {
        Region::America => "en-US",
        Region::Britain | Region::Elsewhere => "en-GB",
    };
    let page = html! {
        (DOCTYPE)
        html lang=(language) {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta http-equiv="Content-Security-Policy" content=(policy(document));
                meta name="color-scheme" content="light dark";
                meta name="generator" content=(TOOL);
                title { (title) }
                style { (PreEscaped(STYLE)) (PreEscaped(running_foot(&title, &items))) }
            }
            body {
                (item::mark_shapes())
                a.skip href="#list" { "Skip to the list" }
                (body)
            }
        }
    };
    let mut bytes = page.into_string().into_bytes();
    bytes.push(b'\n');
    Ok(bytes)
}

/// The buyer's report: summary, how to read, the items, cautions, words, index, evidence.
fn report(
    document: &Document,
    by: Grouping,
    items: &[&Item],
    include_rejected: bool,
    made: &str,
) -> Markup {
    let groups = document.groups(by, include_rejected);
    let index = document.groups(Grouping::Trade, include_rejected);
    let words = document.explained(include_rejected);
    let warnings = document.warnings(include_rejected);
    html! {
        header { (head(document, items, made)) }
        main {
            (visits::since_last(document))
            (summary::summary(document, items, include_rejected))
            @if !items.is_empty() {
                (sections::contents(&groups, &warnings, &words))
                (sections::how_to_read(items))
            }
            (sections::list(document, &groups, by, include_rejected, &words))
            (sections::cautions(document.reader.region, &warnings))
            (sections::glossary(&words))
            @if !items.is_empty() { (sections::index(&index)) }
            (sections::said_but_not_listed(document))
            (sections::recordings(document))
        }
        footer { (sections::about(document.reader.region)) }
    }
}

/// Returns the page's security policy: nothing is allowed that is not there.
fn policy(document: &Document) -> String {
    let sound = if document.clips.is_empty() {
        ""
    } else {
        POLICY_SOUND
    };
    format!("{POLICY}{sound}")
}

/// The title, what is known of the visit, and how far the list is confirmed.
fn head(document: &Document, items: &[&Item], made: &str) -> Markup {
    html! {
        p.kind { "List of defects from a visual inspection" }
        h1 { (document.title) }
        dl.head {
            // How far the list is checked is told below, for the items that are shown.
            @for detail in document.details.iter().filter(|detail| detail.key != "items") {
                div { dt { (detail.label) } dd { (detail.value) } }
            }
            div { dt { "List made" } dd { time datetime=(document.created) { (made) } } }
        }
        (confirmed(items))
    }
}

/// How far the list is confirmed.
fn confirmed(items: &[&Item]) -> Markup {
    let unconfirmed = items
        .iter()
        .filter(|item| item.status == Status::Proposed)
        .count();
    let all = counted(items.len(), "item", "items");
    html! {
        @if items.is_empty() {
            p.standing { "Nothing is listed." }
        } @else if unconfirmed == 0 {
            p.standing { "Checked by the inspector: " (all) "." }
        } @else {
            p.standing.draft role="note" {
                strong { "Draft: not yet confirmed." } " "
                @if unconfirmed == items.len() {
                    "The inspector has not yet confirmed any item of this list ("
                    (all) "). All of them may change."
                } @else {
                    "The inspector has not yet confirmed " (unconfirmed) " of " (all)
                    ". They are marked, and may change."
                }
            }
        }
    }
}

/// Returns the style rules that put the title, and the draft mark if any item is unconfirmed, at
/// the foot of every printed page: loose sheets get parted.
fn running_foot(title: &str, items: &[&Item]) -> String {
    let draft = items.iter().any(|item| item.status == Status::Proposed);
    let mark = if draft {
        "Draft, not yet confirmed: "
    } else {
        ""
    };
    // A long title must not push the page number off the paper.
    const LONGEST: usize = 70;
    let mut short: String = title.chars().take(LONGEST).collect();
    if short.len() < title.len() {
        short.push('…');
    }
    format!(
        "@page {{ @bottom-left {{ content: {} }} }}",
        css_string(&format!("{mark}{short}"))
    )
}

/// Returns the text as a string of CSS (CSS Syntax 3, section 4.3.7: a backslash, hexadecimal
/// digits and a space stand for any character), so that no text can end the string or the style.
fn css_string(text: &str) -> String {
    let mut string = String::from("\"");
    for c in super::wording::one_line(text).chars() {
        if c.is_alphanumeric() || matches!(c, ' ' | ',' | ':' | '.') {
            string.push(c);
        } else {
            string.push_str(&format!("\\{:x} ", u32::from(c)));
        }
    }
    string.push('"');
    string
}

/// Tells whether the item needs to be seen first.
fn is_safety(item: &Item) -> bool {
    item.severity == Severity::Safety
}

#[cfg(test)]
mod tests;
