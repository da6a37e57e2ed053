//! The sections of the page around its items.

use super::is_safety;
use super::item::{article, heading_again, severity_mark, standing_class, standing_mark};
use crate::cautions::Region;
use crate::export::document::{Document, Group, Grouping};
use crate::export::glossary::first_mentions;
use crate::export::wording::{
    capitalised, counted, heard_at, length, one_line, place_heading, short_name,
};
use crate::export::{Gloss, TOOL, Warning, texts};
use crate::items::{Item, Status};
use maud::{Markup, html};
use std::collections::BTreeSet;

/// Links to the groups of the list and the pages behind it.
pub(super) fn contents(groups: &[Group<'_>], warnings: &[Warning], words: &[Gloss]) -> Markup {
    html! {
        nav aria-label="Contents" {
            ul {
                li { a href="#how" { "How to read this list" } }
                @for (position, group) in groups.iter().enumerate() {
                    li {
                        a href={ "#group-" (position + 1) } { (group.key.heading()) }
                        " " span.aside { (group.items.len()) }
                    }
                }
                @if !warnings.is_empty() { li { a href="#cautions" { "Cautions" } } }
                @if !words.is_empty() { li { a href="#words" { "Trade words" } } }
                li { a href="#index" { (INDEX) } }
                li { a href="#about" { "What this list is" } }
            }
        }
    }
}

/// How an item is to be read.
pub(super) fn how_to_read(items: &[&Item]) -> Markup {
    let waiting = items.iter().any(|item| item.status == Status::Proposed);
    html! {
        section.how aria-labelledby="how" {
            h2 id="how" { "How to read this list" }
            dl.words {
                @for passage in texts::how_to_read(waiting) {
                    div { dt { (passage.heading) } dd { (passage.text) } }
                }
            }
        }
    }
}

/// The cautions that items carry, each once.
pub(super) fn cautions(region: Region, warnings: &[Warning]) -> Markup {
    html! {
        @if !warnings.is_empty() {
            section.cautions aria-labelledby="cautions" {
                h2 id="cautions" { "Cautions" }
                p { (texts::cautions_intro(region)) }
                @for warning in warnings {
                    div.caution {
                        h3 { (warning.heading) }
                        p { (warning.text) }
                        p.aside { (item_links(&warning.items)) }
                    }
                }
            }
        }
    }
}

/// The trade words of the list, explained.
pub(super) fn glossary(words: &[Gloss]) -> Markup {
    html! {
        @if !words.is_empty() {
            section.glossary aria-labelledby="words" {
                h2 id="words" { "Trade words" }
                dl.words {
                    @for (position, word) in words.iter().enumerate() {
                        div {
                            dt id={ "word-" (position + 1) } { (capitalised(&word.term)) }
                            dd { (capitalised(&word.meaning)) ". "
                                span.aside { (item_links(&word.items)) } }
                        }
                    }
                }
            }
        }
    }
}

/// Links to items: all of a few, the first of many.
fn item_links(numbers: &[u32]) -> Markup {
    // More than a line of numbers helps nobody.
    const MOST: usize = 12;
    html! {
        (if numbers.len() == 1 { "Item " } else { "Items " })
        @for (position, number) in numbers.iter().take(MOST).enumerate() {
            @if position > 0 { ", " }
            a href={ "#item-" (number) } { (number) }
        }
        @if numbers.len() > MOST { " and " (numbers.len() - MOST) " more" }
    }
}

/// All items, in their groups, and the places where nothing is listed.
pub(super) fn list(
    document: &Document,
    groups: &[Group<'_>],
    by: Grouping,
    include_rejected: bool,
    words: &[Gloss],
) -> Markup {
    let mut told = BTreeSet::new();
    let heading = match by {
        Grouping::Place => "The list, place by place",
        Grouping::Trade => "The list, trade by trade",
        Grouping::Severity => "The list, by severity",
    };
    let without = document.places_without_items(include_rejected);
    let names: Vec<String> = without
        .iter()
        .map(|place| place_heading(&place.name))
        .collect();
    html! {
        section.list aria-labelledby="list" {
            h2 id="list" tabindex="-1" { (heading) }
            @for (position, group) in groups.iter().enumerate() {
                @let id = format!("group-{}", position + 1);
                section aria-labelledby=(id) {
                    h3 id=(id) {
                        (group.key.heading()) " "
                        span.aside { (counted(group.items.len(), "item", "items")) }
                    }
                    @for item in &group.items {
                        (article(document, &group.key, item, &first_mentions(words, item, &mut told)))
                    }
                }
            }
            @if !names.is_empty() {
                p.also { "Also visited, with nothing on this list: " (names.join(", ")) "." }
            }
        }
    }
}

const INDEX: &str = "Index by trade";

/// All items by trade, each trade's in place order, to be ticked.
pub(super) fn index(groups: &[Group<'_>]) -> Markup {
    html! {
        section.index aria-labelledby="index" {
            h2 id="index" { (INDEX) }
            @for group in groups {
                table.ticks {
                    caption { h3 { (group.key.heading()) " "
                        span.aside { (counted(group.items.len(), "item", "items")) } } }
                    thead {
                        tr {
                            th.box scope="col" { span.unseen { "Done" } }
                            th.count scope="col" { "No." }
                            th.place scope="col" { "Place" }
                            th scope="col" { "What" (heading_again(&group.key)) }
                        }
                    }
                    tbody { @for item in &group.items { (tick_row(item)) } }
                }
            }
        }
    }
}

fn tick_row(item: &Item) -> Markup {
    let position = item.position.as_deref().map(one_line).unwrap_or_default();
    html! {
        tr {
            td.box { span.tick {} }
            td.count { a href={ "#item-" (item.number) } { (item.number) } }
            td { (place_heading(&item.place)) }
            td class=(standing_class(item)) {
                (short_name(item))
                @if item.count > 1 { ", " (item.count) " of them" }
                @if !position.is_empty() { span.aside { ", " (position) } }
                @if is_safety(item) { " " (severity_mark(item.severity)) }
                " " (standing_mark(item))
            }
        }
    }
}

/// What was said and made no item: collapsed on screen, in full on paper.
pub(super) fn said_but_not_listed(document: &Document) -> Markup {
    html! {
        @if !document.unplaced.is_empty() {
            section aria-labelledby="unlisted" {
                h2 id="unlisted" { "Said but not listed" }
                details {
                    summary { (counted(document.unplaced.len(), "remark", "remarks"))
                        " made no item; look here if something is missing" }
                    ul.unlisted {
                        @for u in &document.unplaced {
                            li {
                                q { (one_line(&u.quote)) } " "
                                span.aside {
                                    (one_line(&u.why))
                                    @if let Some(at) = heard_at(document, u.recording, u.span) {
                                        "; " (at)
                                    }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// The recordings that the list rests on.
pub(super) fn recordings(document: &Document) -> Markup {
    let known = |seconds: f64| {
        if seconds > 0.0 {
            length(seconds)
        } else {
            "not known".into()
        }
    };
    html! {
        @if !document.recordings.is_empty() {
            section aria-labelledby="recordings" {
                h2 id="recordings" { "Recordings" }
                table.recordings {
                    thead {
                        tr {
                            th scope="col" { "File" }
                            th scope="col" { "Length" }
                            th scope="col" { "Speech" }
                        }
                    }
                    tbody {
                        @for recording in &document.recordings {
                            tr {
                                th scope="row" {
                                    (recording.file)
                                    span.digest { "SHA-256 " (recording.sha256) }
                                }
                                td { (known(recording.duration_s)) }
                                td { (known(recording.speech_s)) }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// What the list is and is not, and who decides.
pub(super) fn about(region: Region) -> Markup {
    html! {
        section aria-labelledby="about" {
            h2 id="about" { "What this list is" }
            dl.words {
                @for passage in texts::about(region) {
                    div { dt { (passage.heading) } dd { (passage.text) } }
                }
            }
            p.aside { "Made with " (TOOL) "." }
        }
    }
}
