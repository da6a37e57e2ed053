//! The contents: sections and places with their pages.

use crate::export::pdf::make::Make;
use crate::export::pdf::paper::{BOTTOM, TOP, WIDTH};
use crate::export::pdf::stack::{Drawn, Stack};
use crate::export::pdf::tags::{Kind, NodeId};
use crate::export::pdf::template::Section;
use crate::export::pdf::text::{Piece, fitted, one_line};
use crate::export::wording::one_line as cleaned;

pub(super) fn lay_out(make: &mut Make<'_>, sections: &[Section]) {
    // On the page that is there, unless little of it is left.
    const LEAST: f32 = 160.0;
    make.paper.gap(24.0);
    make.paper.head("Contents");
    if make.paper.left() < LEAST {
        make.paper.new_page();
    }
    let section = make.tree.add(None, Kind::Section);
    let mut stack = make.heading(Some(section), 1, "Contents", "contents", "");
    let contents = make.tree.add(Some(section), Kind::Contents);
    for &section in sections {
        let Some((title, anchor)) = super::title(make, section) else {
            continue;
        };
        let row = row(make, contents, title, anchor, 0.0);
        stack.then(row, 2.0, stack.height > 0.0);
        if section != Section::List {
            continue;
        }
        let groups = make.document.groups(make.by, make.include_rejected);
        for (n, group) in groups.iter().enumerate() {
            let title = group.key.heading();
            let row = self::row(make, contents, &title, &super::list::group_anchor(n), 14.0);
            stack.then(row, 0.0, true);
        }
    }
    // A line or two alone on a page are not worth it.
    if stack.height > make.paper.left() && stack.height <= BOTTOM - TOP {
        make.paper.new_page();
    }
    make.paper.flow(stack);
}

fn row(make: &mut Make<'_>, contents: NodeId, title: &str, anchor: &str, indent: f32) -> Stack {
    const NUMBER: f32 = 34.0;
    let look = make.look;
    let item = make.tree.add(Some(contents), Kind::ContentsItem);
    let link = make.tree.add(Some(item), Kind::Link);
    let number = make.tree.add(Some(item), Kind::Words);
    let style = if indent > 0.0 {
        look.body()
    } else {
        look.strong()
    };
    let title = cleaned(title);
    let title = fitted(make.fonts, &title, style, WIDTH - indent - NUMBER);
    let piece = Piece {
        node: Some(link),
        link: Some(anchor.to_string()),
        ..style.of(title
            .runs
            .iter()
            .map(|run| run.text.as_str())
            .collect::<String>()
            + " ")
    };
    let mut stack = Stack::default();
    let line = one_line(make.fonts, &[piece]);
    stack.line(&line, indent, Some(link));
    let page = Drawn::PageOf {
        anchor: anchor.to_string(),
        style,
    };
    stack.draw(WIDTH, line.baseline(), Some(number), page);
    // Sections have rules; places are lines of a block between them.
    if indent == 0.0 {
        stack.gap(2.0);
        stack.rule(0.0, WIDTH, 0.4, look.line);
        stack.gap(1.5);
    } else {
        stack.gap(0.6);
    }
    stack
}
