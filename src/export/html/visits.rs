//! Later visits on the page: what the last one changed, and how each item stands.

use crate::export::document::Document;
use crate::export::visits::seen_line;
use crate::items::Item;
use maud::{Markup, html};

/// What the last visit changed; nothing before the second visit.
pub(super) fn since_last(document: &Document) -> Markup {
    let since = document.since_last();
    html! {
        @if let Some(since) = since {
            section aria-labelledby="last-visit" {
                h2 id="last-visit" { (since.heading()) }
                dl.facts {
                    @for (label, numbers) in since.lines() {
                        div { dt { (label) } dd { (numbers) } }
                    }
                }
            }
        }
    }
}

/// How the item stands, and what each visit found; nothing in a job without later visits and dates.
pub(super) fn history(document: &Document, item: &Item) -> Markup {
    let line = document.standing_line(item);
    html! {
        @if let Some(line) = line {
            dl.facts.history {
                div { dt { "Stands" } dd { (line) } }
                @for seen in &item.history {
                    div { dt { "Seen" } dd { (seen_line(seen)) } }
                }
            }
        }
    }
}
