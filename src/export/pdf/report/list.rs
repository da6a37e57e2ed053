//! The items, in their groups.

use super::item;
use crate::export::glossary::first_mentions;
use crate::export::pdf::make::Make;
use crate::export::pdf::paper::WIDTH;
use crate::export::pdf::stack::Stack;
use crate::export::pdf::tags::{Kind, NodeId};
use crate::export::wording::{counted, place_heading};
use std::collections::BTreeSet;

/// Returns the name of the place where a group begins.
pub(super) fn group_anchor(position: usize) -> String {
    format!("group-{position}")
}

/// Points above the places that have nothing on the list.
const BEFORE_WITHOUT: f32 = 14.0;

pub(super) fn lay_out(make: &mut Make<'_>) {
    // The document is borrowed apart from what is made of it.
    let document = make.document;
    let groups = document.groups(make.by, make.include_rejected);
    let words = document.explained(make.include_rejected);
    let mut told = BTreeSet::new();
    let (title, anchor) = super::title(make, super::Section::List).unwrap_or_default();
    let part = make.tree.add(None, Kind::Part);
    match groups.first() {
        Some(group) => make.paper.head(group.key.heading()),
        None => make.paper.head(title),
    }
    make.paper.new_page();
    let mut above = Some(make.heading(Some(part), 1, title, anchor, ""));
    if let Some(mut stack) = above.take_if(|_| groups.is_empty()) {
        let text = make.paragraphs(part, &["Nothing is listed.".to_string()], WIDTH);
        stack.then(text, 0.0, false);
        if let Some(without) = without_items(make, part) {
            stack.then(without, BEFORE_WITHOUT, false);
        }
        make.paper.place(stack);
    }
    for (position, group) in groups.iter().enumerate() {
        let section = make.tree.add(Some(part), Kind::Section);
        let title = group.key.heading();
        let count = counted(group.items.len(), "item", "items");
        if position > 0 {
            make.paper.gap(20.0);
        }
        for (n, item) in group.items.iter().enumerate() {
            let mut stack = above.take().unwrap_or_default();
            if n == 0 {
                let heading =
                    make.heading(Some(section), 2, &title, &group_anchor(position), &count);
                let below_title = if position == 0 { 8.0 } else { 0.0 };
                stack.then(heading, below_title, false);
            }
            let first = first_mentions(&words, item, &mut told);
            let item = item::item(make, section, &group.key, item, &first);
            stack.then(item, 0.0, false);
            // On the page of the last item: alone it would be a page of one line.
            let is_last = position + 1 == groups.len() && n + 1 == group.items.len();
            if let Some(without) = is_last.then(|| without_items(make, part)).flatten() {
                stack.then(without, BEFORE_WITHOUT, false);
            }
            // Before it is placed: a page that begins with this group is headed by it.
            make.paper.head(&title);
            make.paper.place(stack);
        }
    }
}

/// Returns which places were visited and have nothing on the list; `None` where there are none.
fn without_items(make: &mut Make<'_>, part: NodeId) -> Option<Stack> {
    let without: Vec<String> = make
        .document
        .places_without_items(make.include_rejected)
        .iter()
        .map(|place| place_heading(&place.name))
        .collect();
    if without.is_empty() {
        return None;
    }
    let text = format!(
        "Also visited, with nothing on this list: {}.",
        without.join(", ")
    );
    let mut stack = Stack::default();
    stack.rule(0.0, WIDTH, 0.5, make.look.line);
    stack.gap(8.0);
    let text = make.paragraphs(part, &[text], WIDTH);
    stack.then(text, 0.0, false);
    Some(stack)
}
