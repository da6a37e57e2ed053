//! The sections of the page around its items.

use super::is_safety;
use super::item::{article, heading_again, severity_mark, standing_class, standing_mark};
use crate::export::TOOL;
use crate::export::document::{Document, Group, GroupKey, Grouping};
use crate::export::wording::{
    SEVERITIES, WHAT_THIS_LIST_IS, counted, heard_at, length, one_line, place_heading,
    severity_meaning, short_name,
};
use crate::items::Item;
use maud::{Markup, html};

/// Safety items, then the items by severity.
pub(super) fn summary(document: &Document, items: &[&Item]) -> Markup {
    let safety: Vec<&&Item> = items.iter().filter(|item| is_safety(item)).collect();
    let visited = counted(document.places.len(), "place", "places");
    html! {
        section aria-labelledby="summary" {
            h2 id="summary" { "Summary" }
            @if safety.is_empty() {
                p { "No item on this list is marked as a matter of safety. That is not a finding "
                    "that the home is safe." }
            } @else {
                div.first {
                    h3 { "Safety first" }
                    ul {
                        @for item in &safety {
                            li class=(standing_class(item)) {
                                a href={ "#item-" (item.number) } { "Item " (item.number) } ", "
                                (place_heading(&item.place)) ": " (one_line(&item.description))
                                @if let Some(caution) = &item.caution {
                                    " " strong { (one_line(caution)) }
                                }
                                " " (standing_mark(item))
                            }
                        }
                    }
                }
            }
            table.counts {
                caption { (counted(items.len(), "item", "items")) ", " (visited) " visited" }
                thead { tr { th scope="col" { "Severity" } th scope="col" { "Items" }
                    th scope="col" { "Meaning" } } }
                tbody {
                    @for severity in SEVERITIES {
                        tr {
                            th scope="row" { (severity_mark(severity)) }
                            td.count { (items.iter().filter(|i| i.severity == severity).count()) }
                            td { (severity_meaning(severity)) }
                        }
                    }
                }
            }
        }
    }
}

/// Links to the groups of the list.
pub(super) fn contents(groups: &[Group<'_>], index_by: Grouping) -> Markup {
    html! {
        nav aria-label="Contents" {
            ul {
                @for (position, group) in groups.iter().enumerate() {
                    li {
                        a href={ "#group-" (position + 1) } { (group.key.heading()) }
                        " " span.aside { (group.items.len()) }
                    }
                }
                li { a href="#index" { (index_heading(index_by)) } }
            }
        }
    }
}

/// All items, in their groups, and the places where nothing is listed.
pub(super) fn list(
    document: &Document,
    groups: &[Group<'_>],
    by: Grouping,
    include_rejected: bool,
) -> Markup {
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
                    @for item in &group.items { (article(document, &group.key, item)) }
                }
            }
            @if !names.is_empty() {
                p.also { "Also visited, with nothing on this list: " (names.join(", ")) "." }
            }
        }
    }
}

fn index_heading(by: Grouping) -> &'static str {
    match by {
        Grouping::Place => "To tick, by place",
        Grouping::Trade => "To tick, by trade",
        Grouping::Severity => "To tick, by severity",
    }
}

/// Tick lists, in place order.
pub(super) fn index(groups: &[Group<'_>], by: Grouping) -> Markup {
    html! {
        section.index aria-labelledby="index" {
            h2 id="index" { (index_heading(by)) }
            @for group in groups {
                table.ticks {
                    caption { h3 { (group.key.heading()) " "
                        span.aside { (counted(group.items.len(), "item", "items")) } } }
                    thead {
                        tr {
                            th.box scope="col" { span.unseen { "Done" } }
                            th.count scope="col" { "No." }
                            @if by != Grouping::Place { th.place scope="col" { "Place" } }
                            th scope="col" { "What" (heading_again(&group.key)) }
                        }
                    }
                    tbody { @for item in &group.items { (tick_row(&group.key, item)) } }
                }
            }
        }
    }
}

fn tick_row(key: &GroupKey<'_>, item: &Item) -> Markup {
    let position = item.position.as_deref().map(one_line).unwrap_or_default();
    html! {
        tr {
            td.box { span.tick {} }
            td.count { a href={ "#item-" (item.number) } { (item.number) } }
            @if !matches!(key, GroupKey::Place(_)) { td { (place_heading(&item.place)) } }
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

/// What the list can and cannot be relied on for.
pub(super) fn what_this_list_is() -> Markup {
    html! {
        section aria-labelledby="about" {
            h2 id="about" { "What this list is" }
            @for paragraph in WHAT_THIS_LIST_IS { p { (paragraph) } }
            p.aside { "Made with " (TOOL) "." }
        }
    }
}
