//! The summary: safety first, what is outside a published limit, and the counts as small pictures.

use super::is_safety;
use super::item::{is_outside, severity_mark, standing_class, standing_mark};
use crate::export::document::{Document, Grouping};
use crate::export::texts::NO_SAFETY_ITEMS;
use crate::export::wording::{
    SEVERITIES, counted, measurement, one_line, place_heading, severity_meaning, severity_word,
    short_name,
};
use crate::items::Item;
use maud::{Markup, html};

/// Safety items, items outside a limit, then the items by severity, place and trade.
pub(super) fn summary(document: &Document, items: &[&Item], include_rejected: bool) -> Markup {
    html! {
        section aria-labelledby="summary" {
            h2 id="summary" { "Summary" }
            (safety_first(items))
            (outside(items))
            (by_severity(document, items))
            @if !items.is_empty() {
                div.pictures {
                    (counts(document, Grouping::Place, "Place", include_rejected))
                    (counts(document, Grouping::Trade, "Trade", include_rejected))
                }
            }
        }
    }
}

fn safety_first(items: &[&Item]) -> Markup {
    let safety: Vec<&&Item> = items.iter().filter(|item| is_safety(item)).collect();
    html! {
        @if safety.is_empty() {
            p { (NO_SAFETY_ITEMS) }
        } @else {
            div.first {
                h3 { "Safety first" }
                ul {
                    @for item in &safety {
                        li class=(standing_class(item)) {
                            a href={ "#item-" (item.number) } { "Item " (item.number) } ", "
                            (place_heading(&item.place)) ": " (one_line(&item.description))
                            @if let Some(caution) = &item.caution {
                                " " span.aside { (one_line(caution)) }
                            }
                            " " (standing_mark(item))
                        }
                    }
                }
            }
        }
    }
}

fn outside(items: &[&Item]) -> Markup {
    let outside: Vec<&&Item> = items.iter().filter(|item| is_outside(item)).collect();
    html! {
        @if !outside.is_empty() {
            div.limits {
                h3 { "Outside a published limit" }
                ul {
                    @for item in &outside {
                        li {
                            a href={ "#item-" (item.number) } { "Item " (item.number) } ", "
                            (place_heading(&item.place)) ": " (short_name(item))
                            @for m in &item.measurements { ", " span.measure { (measurement(m)) } }
                            "."
                        }
                    }
                }
            }
        }
    }
}

fn by_severity(document: &Document, items: &[&Item]) -> Markup {
    let visited = counted(document.places.len(), "place", "places");
    let count = |severity| items.iter().filter(|i| i.severity == severity).count();
    let most = SEVERITIES.iter().map(|&s| count(s)).max().unwrap_or(0);
    html! {
        table.counts {
            caption { (counted(items.len(), "item", "items")) ", " (visited) " visited" }
            thead { tr { th scope="col" { "Severity" } th.count scope="col" { "Items" }
                th.bar scope="col" { span.unseen { "Picture" } }
                th scope="col" { "Meaning" } } }
            tbody {
                @for severity in SEVERITIES {
                    tr class={ "of-" (severity_word(severity)) } {
                        th scope="row" { (severity_mark(severity)) }
                        td.count { (count(severity)) }
                        td.bar { (bar(count(severity), most)) }
                        td { (severity_meaning(severity)) }
                    }
                }
            }
        }
    }
}

/// A row for each group, with a bar as long as its count, and the safety items told apart.
fn counts(document: &Document, by: Grouping, what: &str, include_rejected: bool) -> Markup {
    let groups = document.groups(by, include_rejected);
    let most = groups
        .iter()
        .map(|group| group.items.len())
        .max()
        .unwrap_or(0);
    html! {
        table.counts {
            caption { "Items by " (what.to_lowercase()) }
            thead { tr { th scope="col" { (what) } th.count scope="col" { "Items" }
                th.bar scope="col" { span.unseen { "Picture" } } } }
            tbody {
                @for group in &groups {
                    @let safety = group.items.iter().filter(|item| is_safety(item)).count();
                    tr {
                        th scope="row" { (group.key.heading()) }
                        td.count { (group.items.len()) }
                        td.bar {
                            (bar(group.items.len(), most))
                            @if safety > 0 {
                                " " span.of-which { (safety) " of safety" }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// A bar whose length is the share of `count` in `most`.
fn bar(count: usize, most: usize) -> Markup {
    let share = if most == 0 {
        0
    } else {
        (count * 100).div_ceil(most)
    };
    html! {
        svg.bar aria-hidden="true" width="100" height="8" viewBox="0 0 100 8" {
            rect width=(share) height="8" {}
        }
    }
}
