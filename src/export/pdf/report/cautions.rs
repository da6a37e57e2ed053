//! The cautions of the list together, and what a visual inspection can tell.

use crate::export::pdf::make::{Make, PANEL_INDENT, unbroken};
use crate::export::pdf::paper::WIDTH;
use crate::export::pdf::stack::Stack;
use crate::export::pdf::tags::{Kind, NodeId};
use crate::export::pdf::words;
use crate::export::texts;
use crate::export::wording::one_line;
use crate::items::Item;

pub(super) fn lay_out(make: &mut Make<'_>) {
    let title = "Cautions, and what this list can tell";
    make.paper.head(title);
    make.paper.new_page();
    let section = make.tree.add(None, Kind::Section);
    let mut above = Some(make.heading(Some(section), 1, title, "cautions", ""));
    let cautions = distinct(make.items);
    if !cautions.is_empty() {
        let mut stack = above.take().unwrap_or_default();
        let subheading = make.subheading(section, 2, "Before anything is touched");
        stack.then(subheading, 0.0, false);
        for (n, (caution, items)) in cautions.iter().enumerate() {
            let caution = self::caution(make, section, caution, items);
            stack.then(caution, if n == 0 { 0.0 } else { 4.0 }, n > 0);
        }
        make.paper.flow(stack);
        make.paper.gap(16.0);
    }
    let mut stack = above.unwrap_or_default();
    let subheading = make.subheading(section, 2, "What a visual inspection can tell");
    stack.then(subheading, 0.0, false);
    let mut paragraphs = match &make.texts.inspection {
        Some(own) => own.clone(),
        None => texts::about(make.document.reader.region)
            .map(|passage| passage.text.to_owned())
            .to_vec(),
    };
    paragraphs.push(words::WHO_WORKS.to_string());
    let paragraphs = make.paragraphs(section, &paragraphs, WIDTH);
    stack.then(paragraphs, 0.0, false);
    make.paper.flow(stack);
}

/// Returns each caution once, with the items it belongs to, in order of their numbers.
fn distinct<'i>(items: &[&'i Item]) -> Vec<(String, Vec<&'i Item>)> {
    let mut cautions: Vec<(String, Vec<&Item>)> = Vec::new();
    for item in items {
        let Some(text) = item
            .caution
            .as_deref()
            .map(one_line)
            .filter(|c| !c.is_empty())
        else {
            continue;
        };
        match cautions.iter_mut().find(|(known, _)| *known == text) {
            Some((_, items)) => items.push(item),
            None => cautions.push((text, vec![item])),
        }
    }
    cautions
}

fn caution(make: &mut Make<'_>, section: NodeId, text: &str, items: &[&Item]) -> Stack {
    let look = make.look;
    let node = make.tree.add(Some(section), Kind::Paragraph);
    let label = if items.len() == 1 {
        "  Item\u{a0}"
    } else {
        "  Items\u{a0}"
    };
    // Words and links are parts of their own, so that they are heard in the order they are seen.
    let words = Some(make.tree.add(Some(node), Kind::Words));
    let mut pieces = vec![look.body().of(unbroken(text)), look.label().of(label)];
    pieces.iter_mut().for_each(|piece| piece.node = words);
    for (n, item) in items.iter().enumerate() {
        if n > 0 {
            let mut comma = look.label().of(", ");
            comma.node = Some(make.tree.add(Some(node), Kind::Words));
            pieces.push(comma);
        }
        pieces.push(make.number_link(node, item));
    }
    let mut content = Stack::default();
    let width = WIDTH - 2.0 * PANEL_INDENT;
    content.paragraph(make.fonts, &pieces, (0.0, width), Some(node));
    make.panel(content, WIDTH, look.alert_panel(), look.alert)
}
