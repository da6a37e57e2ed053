//! One item of the report: its number, sentence, facts, photos, caution, and what it rests on.

use super::{facts, pictures};
use crate::export::document::GroupKey;
use crate::export::glossary::Gloss;
use crate::export::pdf::make::{Make, PANEL_INDENT, item_anchor, short, unbroken};
use crate::export::pdf::marks;
use crate::export::pdf::paper::{BOTTOM, TOP, WIDTH};
use crate::export::pdf::photos::Picture;
use crate::export::pdf::stack::Stack;
use crate::export::pdf::tags::{Kind, NodeId};
use crate::export::pdf::text::{fitted, one_line as line_of};
use crate::export::wording::{capitalised, heard_at, one_line, quote};
use crate::items::{Item, Status};

/// Width of the column of numbers.
pub(super) const NUMBER: f32 = 54.0;
/// Width of the column of photos.
const PHOTO: f32 = 168.0;
/// Highest photo in that column: one held upright stays whole and leaves room for other items.
const PHOTO_HEIGHT: f32 = 150.0;
/// Between the text and a photo beside it.
const BETWEEN: f32 = 14.0;
/// Lines longer than this many points are hard to follow.
const MEASURE: f32 = 400.0;
/// An item higher than this part of a page may be parted.
const HIGH: f32 = 0.4;
/// About two lines in the width beside a photo: longer sentences are hard to read in bold.
const LONGEST_BOLD: usize = 160;

/// Returns the item, as a part of the group that `key` names; `first` are the explained words, with
/// their places in the glossary, that the report uses here for the first time.
pub(super) fn item(
    make: &mut Make<'_>,
    parent: NodeId,
    key: &GroupKey<'_>,
    item: &Item,
    first: &[(usize, &Gloss)],
) -> Stack {
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
    // One photo stands beside the text; several stand below it in rows.
    let beside = shown.len() == 1;
    let width = if beside {
        WIDTH - NUMBER - BETWEEN - PHOTO
    } else {
        MEASURE
    };
    number(make, &mut stack, section, item);
    let text = text(make, section, key, (item, first), width);
    let cuts: Vec<f32> = text.cuts.iter().map(|cut| top + cut).collect();
    stack.beside(text, NUMBER, top);
    let mut photo_end = 0.0;
    if beside {
        let (photo, _) = pictures::photo(make, section, item, 1, &shown[0], (PHOTO, PHOTO_HEIGHT));
        photo_end = top + 2.0 + photo.height;
        stack.beside(photo, WIDTH - PHOTO, top + 2.0);
    }
    // A high item may be parted; beside a photo only where text alone is left of it.
    if stack.height > (BOTTOM - TOP) * HIGH {
        stack.cuts = cuts.into_iter().filter(|&cut| cut > photo_end).collect();
    }
    if !beside {
        pictures::rows(make, section, item, &mut stack, &shown);
    }
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
    (item, first): (&Item, &[(usize, &Gloss)]),
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
            Kind::Heading(3, short(&sentence))
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
    for (_, word) in first {
        stack.then(gloss(make, section, word, width), 2.0, true);
    }
    let evidence = evidence(make, section, item, width);
    // Never alone on the next page: there nobody would know what it belongs to.
    stack.then(evidence, 4.0, false);
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
    let rows = facts::rows(make, key, item);
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

/// A trade word in plain words, where it stands for the first time.
fn gloss(make: &mut Make<'_>, section: NodeId, word: &Gloss, width: f32) -> Stack {
    let look = make.look;
    let node = make.tree.add(Some(section), Kind::Paragraph);
    let pieces = [
        look.strong()
            .sized(8.2)
            .of(unbroken(&capitalised(&word.term))),
        look.small().of(unbroken(&format!(": {}.", word.meaning))),
    ];
    let mut stack = Stack::default();
    stack.paragraph(make.fonts, &pieces, (0.0, width), Some(node));
    stack
}

/// What the item rests on, in small print.
fn evidence(make: &mut Make<'_>, section: NodeId, item: &Item, width: f32) -> Stack {
    let look = make.look;
    let at = heard_at(make.document, item.evidence.recording, item.evidence.span);
    let quote = quote(item);
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
