//! One item of the report: its number, sentence, facts, photos, caution, and what it rests on.

use crate::export::date;
use crate::export::document::GroupKey;
use crate::export::pdf::make::{Make, PANEL_INDENT, item_anchor, unbroken};
use crate::export::pdf::marks;
use crate::export::pdf::paper::{BOTTOM, TOP, WIDTH};
use crate::export::pdf::photos::Picture;
use crate::export::pdf::stack::{Drawn, Stack};
use crate::export::pdf::tags::{Kind, NodeId};
use crate::export::pdf::text::{fitted, one_line as line_of};
use crate::export::wording::{
    capitalised, heard_at, measurement, one_line, place_heading, short_name,
};
use crate::items::{Item, RemedySource, Standing, Status};

/// Width of the column of numbers.
const NUMBER: f32 = 54.0;
/// Width of the column of photos.
const PHOTO: f32 = 168.0;
/// Highest photo in that column: one held upright stays whole and leaves room for other items.
const PHOTO_HEIGHT: f32 = 150.0;
/// Between the text and the photos, and between photos.
const BETWEEN: f32 = 14.0;
/// Lines longer than this many points are hard to follow.
const MEASURE: f32 = 400.0;
/// About two lines in the width beside a photo: longer sentences are hard to read in bold.
const LONGEST_BOLD: usize = 160;

/// Returns the item, as a part of the group that `key` names.
pub(super) fn item(make: &mut Make<'_>, parent: NodeId, key: &GroupKey<'_>, item: &Item) -> Stack {
    let section = make.tree.add(Some(parent), Kind::Section);
    let shown: Vec<(String, Picture)> = item
        .photos
        .iter()
        .filter_map(|name| Some((name.clone(), make.photos.get(name)?.clone())))
        .collect();
    let look = make.look;
    let mut stack = Stack::default();
    stack.rule(0.0, WIDTH, 0.5, look.line);
    stack.gap(9.0);
    stack.anchor(item_anchor(item.number), None);
    let top = stack.height;
    let width = if shown.is_empty() {
        MEASURE
    } else {
        WIDTH - NUMBER - BETWEEN - PHOTO
    };
    number(make, &mut stack, section, item);
    let text = text(make, section, key, item, width);
    let cuts: Vec<f32> = text.cuts.iter().map(|cut| top + cut).collect();
    stack.beside(text, NUMBER, top);
    let mut shown = shown.iter().enumerate();
    if let Some((_, (name, picture))) = shown.next() {
        let photo = photo(make, section, item, 1, name, picture, (PHOTO, PHOTO_HEIGHT));
        stack.beside(photo, WIDTH - PHOTO, top + 2.0);
    }
    // An item that no page holds is parted; beside a photo only where text alone is left of it.
    let photo_end = if item.photos.is_empty() {
        0.0
    } else {
        top + PHOTO_HEIGHT + 18.0
    };
    if stack.height > BOTTOM - TOP {
        stack.cuts = cuts.into_iter().filter(|&cut| cut > photo_end).collect();
    }
    more_photos(make, section, item, &mut stack, shown);
    stack.gap(10.0);
    stack
}

/// The number and, below it, how much the item matters.
fn number(make: &mut Make<'_>, stack: &mut Stack, section: NodeId, item: &Item) {
    // Four digits still fit into the column.
    let style = match item.number {
        0..=999 => make.look.number(),
        _ => make.look.number().sized(19.0),
    };
    let top = stack.height;
    let node = make.tree.add(Some(section), Kind::Paragraph);
    let line = line_of(make.fonts, &[style.of(format!("{} ", item.number))]);
    // Its letters stand lower than those of the sentence, so that their tops are level.
    stack.line_at(&line, 0.0, top - 8.5, Some(node));
    let below = top + line.leading - 8.5;
    make.severity(stack, item.severity, (0.0, below), node);
    stack.height = below + 14.0;
}

/// Everything that is told in words.
fn text(
    make: &mut Make<'_>,
    section: NodeId,
    key: &GroupKey<'_>,
    item: &Item,
    width: f32,
) -> Stack {
    let look = make.look;
    let mut stack = Stack::default();
    let sentence = unbroken(&one_line(&item.description));
    let long = sentence.chars().count() > LONGEST_BOLD;
    let style = if long {
        look.body().sized(10.4)
    } else {
        look.sentence()
    };
    let heading = make.tree.add(
        Some(section),
        if long {
            Kind::Paragraph
        } else {
            Kind::Heading(3, super::super::make::short(&sentence))
        },
    );
    stack.paragraph(
        make.fonts,
        &[style.of(sentence)],
        (0.0, width),
        Some(heading),
    );
    stack.gap(3.0);
    let mark = match item.status {
        Status::Proposed => Some("Not yet confirmed"),
        Status::Rejected => Some("Rejected by the inspector"),
        Status::Confirmed => None,
    };
    if let Some(mark) = mark {
        badge(make, &mut stack, section, mark);
    }
    facts(make, &mut stack, section, key, item, width);
    if let Some(caution) = item
        .caution
        .as_deref()
        .map(one_line)
        .filter(|c| !c.is_empty())
    {
        stack.then(self::caution(make, section, &caution, width), 4.0, true);
        stack.gap(3.0);
    }
    let evidence = evidence(make, section, item, width);
    stack.then(evidence, 4.0, true);
    stack
}

/// Words in a frame.
fn badge(make: &mut Make<'_>, stack: &mut Stack, section: NodeId, words: &str) {
    let look = make.look;
    let node = make.tree.add(Some(section), Kind::Paragraph);
    let style = look.strong().sized(8.2).coloured(look.alert);
    let line = line_of(make.fonts, &[style.of(words)]);
    let top = stack.height;
    let size = (line.width + 10.0, line.leading + 2.4);
    marks::frame(stack, (0.4, top), size, look.alert, 0.8);
    stack.line_at(&line, 5.4, top + 1.2, Some(node));
    stack.gap(size.1 + 4.0);
}

/// What is known beside the sentence; what is not known has no line, and what the group's heading
/// tells is not told again.
fn facts(
    make: &mut Make<'_>,
    stack: &mut Stack,
    section: NodeId,
    key: &GroupKey<'_>,
    item: &Item,
    width: f32,
) {
    const LABEL: f32 = 66.0;
    let rows = fact_rows(make, key, item);
    if rows.is_empty() {
        return;
    }
    let look = make.look;
    let list = make.tree.add(Some(section), Kind::List);
    for (label, strong, text) in rows {
        let entry = make.tree.add(Some(list), Kind::ListItem);
        let label_node = make.tree.add(Some(entry), Kind::ListLabel);
        let body = make.tree.add(Some(entry), Kind::ListBody);
        let mut row = Stack::default();
        row.gap(0.9);
        let label = fitted(make.fonts, label, look.label(), LABEL - 6.0);
        row.line(&label, 0.0, Some(label_node));
        let mut value = Stack::default();
        let pieces = [look.strong().of(strong), look.body().of(unbroken(&text))];
        value.paragraph(make.fonts, &pieces, (0.0, width - LABEL), Some(body));
        let cuts = std::mem::take(&mut value.cuts);
        row.beside(value, LABEL, 0.0);
        row.cuts = cuts;
        stack.then(row, 1.6, true);
    }
}

/// Returns label, words of weight, and text of each fact.
fn fact_rows(
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
    if let Some(remedy) = text(&item.remedy) {
        let origin = match item.remedy_source {
            Some(RemedySource::Suggested) => {
                " (suggested: usual practice, not said on the walk-round)"
            }
            Some(RemedySource::Spoken) => " (as the inspector said)",
            None => "",
        };
        row(
            "To put right",
            none(),
            format!("{}{origin}", capitalised(&remedy)),
        );
    }
    if let Some(trade) = text(&item.trade) {
        row("Trade", none(), capitalised(&trade));
    }
    if !item.remarks.is_empty() {
        row(
            "Remarks",
            none(),
            capitalised(&one_line(&item.remarks.join("; "))),
        );
    }
    if item.hedged {
        row("Certainty", none(), "The inspector was not certain.".into());
    }
    if item.standing != Standing::Open || !item.history.is_empty() {
        row("Work", capitalised(standing(item.standing)), none());
    }
    for seen in &item.history {
        let day = date::day_in_words(&seen.date).unwrap_or_else(|| one_line(&seen.date));
        let note = one_line(&seen.note);
        let note = if note.is_empty() {
            note
        } else {
            format!("; {note}")
        };
        let text = format!("On {day}: {}{note}", standing(seen.standing));
        row("Visit", none(), text);
    }
    if let Some(due) = text(&item.due) {
        row("Due", none(), date::day_in_words(&due).unwrap_or(due));
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

/// Returns where the work stands, in words.
fn standing(standing: Standing) -> &'static str {
    match standing {
        Standing::Open => "open",
        Standing::Offered => "offered as done, not yet looked at",
        Standing::PutRight => "put right",
        Standing::NotPutRight => "not put right",
        Standing::Changed => "changed, and not in order yet",
        Standing::Closed => "closed by agreement",
    }
}

fn caution(make: &mut Make<'_>, section: NodeId, caution: &str, width: f32) -> Stack {
    let look = make.look;
    let node = make.tree.add(Some(section), Kind::Paragraph);
    let mut content = Stack::default();
    let pieces = [
        look.strong()
            .sized(9.2)
            .coloured(look.alert)
            .of("Caution. "),
        look.body().sized(9.2).of(unbroken(caution)),
    ];
    let inner = width - 2.0 * PANEL_INDENT;
    content.paragraph(make.fonts, &pieces, (0.0, inner), Some(node));
    make.panel(content, width, look.alert_panel(), look.alert)
}

/// What the item rests on, in small print.
fn evidence(make: &mut Make<'_>, section: NodeId, item: &Item, width: f32) -> Stack {
    let look = make.look;
    let at = heard_at(make.document, item.evidence.recording, item.evidence.span);
    let quote = one_line(&item.evidence.quote);
    let node = make.tree.add(Some(section), Kind::Paragraph);
    let small = look.small();
    let mut pieces = match (at, quote.is_empty()) {
        (None, true) => vec![small.of("Added by hand.")],
        (None, false) => vec![],
        (Some(at), true) => vec![small.of(format!("Heard in {at}."))],
        (Some(at), false) => vec![small.of(format!("Heard in {at}: "))],
    };
    if !quote.is_empty() {
        pieces.push(look.heard().of(format!("\u{201c}{quote}\u{201d}")));
    }
    if item.status == Status::Proposed {
        let confidence = format!(
            " Confidence of the program: {:.0} in 100.",
            item.confidence * 100.0
        );
        pieces.push(small.of(confidence));
    }
    let mut stack = Stack::default();
    stack.paragraph(make.fonts, &pieces, (0.0, width), Some(node));
    stack
}

/// Returns a photo as large as the box allows, with its file's name.
fn photo(
    make: &mut Make<'_>,
    section: NodeId,
    item: &Item,
    position: usize,
    name: &str,
    picture: &Picture,
    within: (f32, f32),
) -> Stack {
    // Dots of an inch: below this a photo is enlarged until single dots show.
    const LEAST_DOTS: f32 = 90.0;
    let (width, height) = (picture.size.0 as f32, picture.size.1 as f32);
    let largest = 72.0 / LEAST_DOTS;
    let scale = (within.0 / width).min(within.1 / height).min(largest);
    let (width, height) = (width * scale, height * scale);
    let of = match item.photos.len() {
        1 => String::new(),
        count => format!(" {position} of {count}"),
    };
    let says = format!(
        "Photo{of} for item {}, {}: {}",
        item.number,
        place_heading(&item.place),
        short_name(item)
    );
    let node = make.tree.add(
        Some(section),
        Kind::Figure(super::super::make::short(&says)),
    );
    let mut stack = Stack::default();
    let drawn = Drawn::Picture {
        file: picture.file.clone(),
        width,
        height,
    };
    stack.draw(0.0, 0.0, Some(node), drawn);
    stack.gap(height + 2.0);
    let caption = make.tree.add(Some(section), Kind::Caption);
    let line = fitted(
        make.fonts,
        &one_line(name),
        make.look.small().sized(7.2),
        within.0,
    );
    stack.line(&line, 0.0, Some(caption));
    stack
}

/// The photos after the first, three beside each other.
fn more_photos<'p>(
    make: &mut Make<'_>,
    section: NodeId,
    item: &Item,
    stack: &mut Stack,
    photos: impl Iterator<Item = (usize, &'p (String, Picture))>,
) {
    const ACROSS: usize = 3;
    let width = (WIDTH - NUMBER - 2.0 * 10.0) / ACROSS as f32;
    let photos: Vec<_> = photos.collect();
    for row in photos.chunks(ACROSS) {
        let mut photos = Stack::default();
        for (n, (position, (name, picture))) in row.iter().enumerate() {
            let photo = photo(
                make,
                section,
                item,
                position + 1,
                name,
                picture,
                (width, 104.0),
            );
            photos.beside(photo, NUMBER + n as f32 * (width + 10.0), 0.0);
        }
        stack.then(photos, 8.0, true);
    }
}
