//! The cautions of the list together, and what a visual inspection can tell.

use crate::export::pdf::make::{Make, PANEL_INDENT, unbroken};
use crate::export::pdf::paper::WIDTH;
use crate::export::pdf::stack::Stack;
use crate::export::pdf::tags::{Kind, NodeId};
use crate::export::wording::one_line;
use crate::export::{Warning, texts};

pub(super) fn lay_out(make: &mut Make<'_>) {
    let title = "Cautions, and what this list can tell";
    make.paper.head(title);
    make.paper.new_page();
    let section = make.tree.add(None, Kind::Section);
    let mut above = Some(make.heading(Some(section), 1, title, "cautions", ""));
    let warnings = make.document.warnings(make.include_rejected);
    if !warnings.is_empty() {
        let mut stack = above.take().unwrap_or_default();
        let intro = texts::cautions_intro(make.document.reader.region).to_owned();
        let intro = make.paragraphs(section, &[intro], WIDTH);
        stack.then(intro, 0.0, false);
        for (n, warning) in warnings.iter().enumerate() {
            let warning = self::warning(make, section, warning);
            stack.then(warning, if n == 0 { 8.0 } else { 4.0 }, n > 0);
        }
        make.paper.flow(stack);
        make.paper.gap(16.0);
    }
    let mut stack = above.unwrap_or_default();
    let subheading = make.subheading(section, 2, "What a visual inspection can tell");
    stack.then(subheading, 0.0, false);
    let about = texts::about(make.document.reader.region).map(|passage| passage.text.to_owned());
    let [.., dangerous_work] = &about;
    let paragraphs = match &make.texts.inspection {
        // Who may do dangerous work is said whatever the rest says.
        Some(own) => own.iter().chain([dangerous_work]).cloned().collect(),
        None => about.to_vec(),
    };
    let paragraphs = make.paragraphs(section, &paragraphs, WIDTH);
    stack.then(paragraphs, 0.0, false);
    make.paper.flow(stack);
}

/// A caution, with the items that carry it.
fn warning(make: &mut Make<'_>, section: NodeId, warning: &Warning) -> Stack {
    let look = make.look;
    let node = make.tree.add(Some(section), Kind::Paragraph);
    let label = if warning.items.len() == 1 {
        "  Item\u{a0}"
    } else {
        "  Items\u{a0}"
    };
    // Words and links are parts of their own, so that they are heard in the order they are seen.
    let words = Some(make.tree.add(Some(node), Kind::Words));
    let heading = look.strong().coloured(look.alert);
    let mut pieces = vec![
        heading.of(format!("{}. ", warning.heading)),
        look.body().of(unbroken(&one_line(&warning.text))),
        look.label().of(label),
    ];
    pieces.iter_mut().for_each(|piece| piece.node = words);
    for (n, number) in warning.items.iter().enumerate() {
        if n > 0 {
            let mut comma = look.label().of(", ");
            comma.node = Some(make.tree.add(Some(node), Kind::Words));
            pieces.push(comma);
        }
        pieces.push(make.number_link(node, *number));
    }
    let mut content = Stack::default();
    let width = WIDTH - 2.0 * PANEL_INDENT;
    content.paragraph(make.fonts, &pieces, (0.0, width), Some(node));
    make.panel(content, WIDTH, look.alert_panel(), look.alert)
}
