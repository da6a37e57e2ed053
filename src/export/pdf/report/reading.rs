//! How to read the list: what is shown with each item, and what the marks mean.

use crate::export::pdf::make::Make;
use crate::export::pdf::paper::WIDTH;
use crate::export::pdf::stack::Stack;
use crate::export::pdf::tags::Kind;
use crate::export::texts;
use crate::export::wording::{SEVERITIES, capitalised, severity_meaning};
use crate::items::Status;

pub(super) fn lay_out(make: &mut Make<'_>) {
    const LABEL: f32 = 118.0;
    make.paper.head("How to read this list");
    make.paper.new_page();
    let section = make.tree.add(None, Kind::Section);
    let mut stack = make.heading(Some(section), 1, "How to read this list", "reading", "");
    let own = make.texts.reading.clone();
    let own = make.paragraphs(section, &own, WIDTH);
    stack.then(own, 0.0, false);
    let list = make.tree.add(Some(section), Kind::List);
    let waiting = make
        .items
        .iter()
        .any(|item| item.status == Status::Proposed);
    for passage in texts::how_to_read(waiting) {
        let row = make.explained(list, passage.heading, passage.text, LABEL);
        stack.then(row, 6.0, true);
    }
    make.paper.flow(stack);
    make.paper.gap(14.0);
    let mut marks = make.subheading(section, 2, "How much an item matters");
    let list = make.tree.add(Some(section), Kind::List);
    for severity in SEVERITIES {
        let item = make.tree.add(Some(list), Kind::ListItem);
        let label = make.tree.add(Some(item), Kind::ListLabel);
        let body = make.tree.add(Some(item), Kind::ListBody);
        let mut row = Stack::default();
        make.severity(&mut row, severity, (0.0, 0.0), label);
        let mut text = Stack::default();
        let meaning = format!("{}.", capitalised(severity_meaning(severity)));
        let piece = make.look.body().of(meaning);
        text.paragraph(make.fonts, &[piece], (0.0, WIDTH - LABEL), Some(body));
        row.beside(text, LABEL, 0.0);
        marks.then(row, 3.0, false);
    }
    make.paper.place(marks);
}
