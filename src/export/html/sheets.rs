//! Sheets for the people who do the work: one a trade, to be ticked, initialled and dated. Nothing
//! of the client is on them but the plot.

use super::item::{is_outside, photos, severity_mark, standing_mark};
use super::{confirmed, is_safety};
use crate::export::TOOL;
use crate::export::document::{Document, Group, Grouping};
use crate::export::facts::work;
use crate::export::subject::SHOWN;
use crate::export::texts;
use crate::export::wording::{capitalised, counted, measurement, one_line, place_heading};
use crate::items::{Item, RemedySource};
use maud::{Markup, html};

/// Returns the sheets behind a short head.
pub(super) fn body(
    document: &Document,
    title: &str,
    items: &[&Item],
    include_rejected: bool,
    made: &str,
) -> Markup {
    let groups = document.groups(Grouping::Trade, include_rejected);
    html! {
        header {
            p.kind { "Trade sheets" }
            h1 { (title) }
            dl.head {
                @for detail in document.details.iter().filter(|d| SHOWN.contains(&d.key.as_str())) {
                    div { dt { (detail.label) } dd { (detail.value) } }
                }
                div { dt { "List made" } dd { time datetime=(document.created) { (made) } } }
                div { dt { "Items" } dd { (items.len()) } }
            }
            (confirmed(items))
            p.aside { (texts::cautions_intro(document.reader.region)) }
        }
        main id="list" tabindex="-1" {
            @if !groups.is_empty() {
                nav aria-label="Contents" {
                    ul {
                        @for (position, group) in groups.iter().enumerate() {
                            li {
                                a href={ "#group-" (position + 1) } { (group.key.heading()) }
                                " " span.aside { (group.items.len()) }
                            }
                        }
                    }
                }
            }
            @for (position, group) in groups.iter().enumerate() {
                (sheet(document, title, position + 1, group))
            }
        }
        footer {
            p.aside {
                (texts::about(document.reader.region)[0].text) " "
                (texts::about(document.reader.region)[3].text) " Made with " (TOOL) "."
            }
        }
    }
}

/// One trade's sheet: safety items first, then place after place as they were walked.
fn sheet(document: &Document, title: &str, number: usize, group: &Group<'_>) -> Markup {
    let id = format!("group-{number}");
    let mut last = "";
    html! {
        section.sheet aria-labelledby=(id) {
            h2 id=(id) {
                (group.key.heading()) " "
                span.aside { (title) ", " (counted(group.items.len(), "item", "items")) }
            }
            table.ticks.work {
                thead {
                    tr {
                        th.box scope="col" { span.unseen { "Done" } }
                        th.count scope="col" { "No." }
                        th scope="col" { "What" span.again aria-hidden="true" { (group.key.heading()) } }
                        th.sign scope="col" { "Initials" }
                        th.sign scope="col" { "Date" }
                    }
                }
                tbody {
                    @for item in &group.items {
                        @let under = if is_safety(item) { "Safety first" } else { item.place.as_str() };
                        @if under != last {
                            tr.under { th colspan="5" scope="rowgroup" {
                                @if is_safety(item) { "Safety first" }
                                @else { (place_heading(&item.place)) }
                            } }
                        }
                        (row(document, item))
                        ({ last = under; "" })
                    }
                }
            }
        }
    }
}

fn row(document: &Document, item: &Item) -> Markup {
    let text = |t: &Option<String>| t.as_deref().map(one_line).filter(|t| !t.is_empty());
    let suggested = item.remedy_source == Some(RemedySource::Suggested);
    let said = item.description.to_lowercase();
    let work = work(document, item);
    html! {
        tr id={ "item-" (item.number) } {
            td.box { span.tick {} }
            td.count { (item.number) }
            td {
                p {
                    @if is_safety(item) {
                        (severity_mark(item.severity)) " "
                        strong { (place_heading(&item.place)) ":" } " "
                    }
                    (one_line(&item.description)) " " (standing_mark(item))
                }
                p.aside {
                    @if let Some(position) = text(&item.position).filter(|p| !said.contains(p.as_str())) {
                        (capitalised(&position)) ". "
                    }
                    @if item.count > 1 { (item.count) " of them. " }
                    @for m in &item.measurements { "Measured " (measurement(m)) ". " }
                    @if is_outside(item) { "Outside the published limit. " }
                }
                @if !work.is_empty() {
                    p { "To put right: " (work) @if suggested { " " span.aside { "(usual remedy)" } } }
                }
                @if let Some(line) = document.standing_line(item) { p.aside { (line) "." } }
                @if let Some(caution) = text(&item.caution) {
                    p.caution { strong { "Caution." } " " (caution) }
                }
                (photos(document, item))
            }
            td.sign {}
            td.sign {}
        }
    }
}
