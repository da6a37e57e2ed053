//! One item of the page, and the marks of severity and standing.

use super::visits::history;
use crate::export::Gloss;
use crate::export::base64;
use crate::export::document::{Document, GroupKey};
use crate::export::facts::work;
use crate::export::wording::{
    capitalised, heard_at, measurement, one_line, place_heading, quote, remarks, severity_word,
    short_name,
};
use crate::items::{Item, RemedySource, Severity, Status};
use maud::{Markup, html};

/// Returns the item in full, as a part of the group that `key` names, with the trade words that it
/// is the first to use.
pub(super) fn article(
    document: &Document,
    key: &GroupKey<'_>,
    item: &Item,
    words: &[(usize, &Gloss)],
) -> Markup {
    let number = item.number;
    let sentence = one_line(&item.description);
    html! {
        article class={ "item " (standing_class(item)) } id={ "item-" (number) }
            aria-labelledby={ "title-" (number) } {
            h4 id={ "title-" (number) } {
                span.number { span.unseen { "Item " } (number) span.unseen { ". " } }
                span class=(sentence_class(&sentence)) { (sentence) }
            }
            p.marks {
                (severity_mark(item.severity))
                (standing_mark(item))
                (heading_again(key))
            }
            @if let Some(caution) = &item.caution {
                p.caution { strong { "Caution." } " " (one_line(caution)) }
            }
            (facts(document, key, item))
            (history(document, item))
            (explained(words))
            (photos(document, item))
            (evidence(document, item))
            (sound(document, item))
        }
    }
}

/// The trade words that stand here for the first time, explained.
fn explained(words: &[(usize, &Gloss)]) -> Markup {
    html! {
        @for (position, word) in words {
            p.gloss {
                dfn { a href={ "#word-" (position + 1) } { (capitalised(&word.term)) } }
                ": " (word.meaning) "."
            }
        }
    }
}

/// Tells whether a measurement is outside a published limit.
pub(super) fn is_outside(item: &Item) -> bool {
    item.limits.iter().any(|limit| limit.verdict == "outside")
}

/// Returns the class for the item's sentence.
fn sentence_class(sentence: &str) -> &'static str {
    // About two lines of the page: longer texts are hard to read in bold.
    const LONGEST_BOLD: usize = 160;
    if sentence.chars().count() > LONGEST_BOLD {
        "sentence long"
    } else {
        "sentence"
    }
}

/// Returns the group's heading for paper, where the heading itself can be pages away.
pub(super) fn heading_again(key: &GroupKey<'_>) -> Markup {
    html! { span.again aria-hidden="true" { (key.heading()) } }
}

/// What is known of the item beside its sentence. Facts that the group's heading tells are left
/// out.
fn facts(document: &Document, key: &GroupKey<'_>, item: &Item) -> Markup {
    let text = |t: &Option<String>| t.as_deref().map(one_line).filter(|t| !t.is_empty());
    let mut rows: Vec<(&str, Markup)> = Vec::new();
    if !matches!(key, GroupKey::Place(_)) {
        rows.push(("Place", html! { (place_heading(&item.place)) }));
    }
    if let Some(position) = text(&item.position) {
        rows.push(("Where", html! { (capitalised(&position)) }));
    }
    if item.count > 1 {
        rows.push(("How many", html! { (item.count) }));
    }
    if !item.measurements.is_empty() {
        let shown: Vec<String> = item.measurements.iter().map(measurement).collect();
        rows.push(("Measured", html! { span.measure { (shown.join("; ")) } }));
    }
    for limit in &item.limits {
        let verdict = match limit.verdict.as_str() {
            "outside" => "Outside the limit".to_string(),
            "within" => "Within the limit".to_string(),
            other => capitalised(&one_line(other)),
        };
        let why = one_line(&limit.why);
        rows.push(("Limit", html! { span.verdict { (verdict) ":" } " " (why) }));
    }
    let work = work(document, item);
    if !work.is_empty() {
        let suggested = item.remedy_source == Some(RemedySource::Suggested);
        rows.push((
            "To put right",
            html! {
                (work)
                @if suggested { " " span.aside { "(usual remedy)" } }
            },
        ));
    }
    if let (Some(trade), false) = (text(&item.trade), matches!(key, GroupKey::Trade(_))) {
        rows.push(("Trade", html! { (capitalised(&trade)) }));
    }
    if let Some(remarks) = remarks(item) {
        rows.push(("Remarks", html! { (remarks) }));
    }
    if item.hedged {
        rows.push(("Certainty", html! { "The inspector was not certain" }));
    }
    html! {
        @if !rows.is_empty() {
            dl.facts {
                @for (label, value) in rows {
                    div { dt { (label) } dd { (value) } }
                }
            }
        }
    }
}

/// The item's pictures where their bytes are given, the file names otherwise.
pub(super) fn photos(document: &Document, item: &Item) -> Markup {
    let mut named = Vec::new();
    let mut figures = Vec::new();
    for file in &item.photos {
        let photo = document.photos.get(file);
        match photo.and_then(|p| Some((image_type(&p.bytes)?, base64::encode(&p.bytes)))) {
            Some((kind, data)) => figures.push((file, format!("data:{kind};base64,{data}"))),
            None => named.push(file.as_str()),
        }
    }
    let place = place_heading(&item.place);
    html! {
        @for (file, source) in figures {
            figure {
                img src=(source) alt={ "Photo for item " (item.number) ", " (place) ", "
                    (short_name(item)) };
                figcaption { (file) }
            }
        }
        @if !named.is_empty() {
            p.files { "Photos kept with the list: " (named.join(", ")) }
        } @else if item.photo_wanted && item.photos.is_empty() {
            p.files { "A photo was asked for here; none is attached." }
        }
    }
}

/// Returns the media type that the picture's first bytes tell; `None` for anything that is not a
/// plain picture, which is then not embedded. Sources of the marks: JPEG, ITU-T T.81, annex B
/// (SOI, then a marker); PNG, ISO/IEC 15948, section 5.2; GIF 89a, section 17; WebP, RFC 9649.
fn image_type(bytes: &[u8]) -> Option<&'static str> {
    match bytes {
        [0xff, 0xd8, 0xff, ..] => Some("image/jpeg"),
        [0x89, b'P', b'N', b'G', b'\r', b'\n', 0x1a, b'\n', ..] => Some("image/png"),
        [b'G', b'I', b'F', b'8', b'7' | b'9', b'a', ..] => Some("image/gif"),
        [
            b'R',
            b'I',
            b'F',
            b'F',
            _,
            _,
            _,
            _,
            b'W',
            b'E',
            b'B',
            b'P',
            ..,
        ] => Some("image/webp"),
        _ => None,
    }
}

/// What the item rests on, in small print.
fn evidence(document: &Document, item: &Item) -> Markup {
    let at = heard_at(document, item.evidence.recording, item.evidence.span);
    let quote = quote(item);
    let by_hand = at.is_none() && quote.is_empty();
    html! {
        p.evidence {
            @if by_hand { "Added by hand." }
            @if let Some(at) = at { "Heard in " (at) @if quote.is_empty() { "." } @else { ": " } }
            // A quote that ends its sentence needs no second full stop.
            @if !quote.is_empty() { q { (quote) } @if !quote.ends_with(['.', '!', '?']) { "." } }
            @if item.status == Status::Proposed {
                " The program\u{2019}s confidence: " (format!("{:.0}", item.confidence * 100.0))
                " in 100."
            }
        }
    }
}

/// The words behind the item to hear, where their sound is given.
fn sound(document: &Document, item: &Item) -> Markup {
    let clip = document.clips.get(&item.number);
    let source = clip.map(|c| format!("data:{};base64,{}", c.media_type, base64::encode(&c.bytes)));
    html! {
        @if let Some(source) = source {
            audio controls preload="none" src=(source)
                aria-label={ "What was said for item " (item.number) } {}
        }
    }
}

/// Returns the severity as a word with a mark of its own form.
pub(super) fn severity_mark(severity: Severity) -> Markup {
    let word = severity_word(severity);
    html! {
        span class={ "severity " (word) } {
            svg aria-hidden="true" width="12" height="12" viewBox="0 0 12 12" {
                use href={ "#mark-" (word) } {}
            }
            (capitalised(word))
        }
    }
}

/// Returns the forms of the marks, drawn once for the whole page: a triangle, a square, a half
/// disc, a ring, and a ring with a dot.
pub(super) fn mark_shapes() -> Markup {
    html! {
        svg.unseen aria-hidden="true" width="0" height="0" {
            defs {
                symbol id="mark-safety" viewBox="0 0 12 12" { path d="M6 .5 11.8 11.5H.2Z" {} }
                symbol id="mark-repair" viewBox="0 0 12 12" { path d="M1 1h10v10H1Z" {} }
                symbol id="mark-finish" viewBox="0 0 12 12" {
                    path d="M6 1.2a4.8 4.8 0 0 0 0 9.6Z" {}
                    circle cx="6" cy="6" r="4.7" fill="none" stroke="currentColor" stroke-width="1.4" {}
                }
                symbol id="mark-clean" viewBox="0 0 12 12" {
                    circle cx="6" cy="6" r="4.7" fill="none" stroke="currentColor" stroke-width="1.4" {}
                }
                symbol id="mark-watch" viewBox="0 0 12 12" {
                    circle cx="6" cy="6" r="4.7" fill="none" stroke="currentColor" stroke-width="1.4" {}
                    circle cx="6" cy="6" r="2.4" {}
                }
            }
        }
    }
}

/// Returns a mark where the inspector has not accepted the item.
pub(super) fn standing_mark(item: &Item) -> Markup {
    html! {
        @match item.status {
            Status::Proposed => { span.waiting { "Not yet confirmed" } }
            Status::Rejected => { span.waiting { "Rejected" } }
            Status::Confirmed => {}
        }
    }
}

/// Returns the class for the item's standing.
pub(super) fn standing_class(item: &Item) -> &'static str {
    match item.status {
        Status::Proposed => "proposed",
        Status::Confirmed => "confirmed",
        Status::Rejected => "rejected",
    }
}
