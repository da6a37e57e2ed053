//! The summary: the figures of the whole list, safety first, what is beyond a limit, and how many
//! items each place, trade and severity has.

use crate::export::document::{GroupKey, Grouping};
use crate::export::pdf::make::{Make, PANEL_INDENT, unbroken};
use crate::export::pdf::marks;
use crate::export::pdf::paper::WIDTH;
use crate::export::pdf::stack::Stack;
use crate::export::pdf::tags::{Kind, NodeId};
use crate::export::pdf::text::{fitted, one_line as line_of};
use crate::export::texts;
use crate::export::wording::{SEVERITIES, capitalised, one_line, place_heading, severity_word};
use crate::items::{Item, Severity, Status};

pub(super) fn lay_out(make: &mut Make<'_>) {
    make.paper.head("Summary");
    make.paper.new_page();
    let section = make.tree.add(None, Kind::Section);
    let mut heading = make.heading(Some(section), 1, "Summary", "summary", "");
    let figures = figures(make, section);
    heading.then(figures, 4.0, false);
    make.paper.place(heading);
    make.paper.gap(16.0);
    since_last(make, section);
    safety(make, section);
    make.paper.gap(14.0);
    beyond_limits(make, section);
    if !make.items.is_empty() {
        make.paper.gap(16.0);
        counts(make, section);
    }
}

/// The figures that tell most.
fn figures(make: &mut Make<'_>, section: NodeId) -> Stack {
    let look = make.look;
    let count = |test: fn(&Item) -> bool| make.items.iter().filter(|item| test(item)).count();
    let figures = [
        (make.items.len(), "item", "items", look.main),
        (
            make.document.places.len(),
            "place visited",
            "places visited",
            look.main,
        ),
        (
            count(|item| item.severity == Severity::Safety),
            "matter of safety",
            "matters of safety",
            look.alert,
        ),
        (
            count(is_outside),
            "outside a limit",
            "outside a limit",
            look.main,
        ),
        (
            count(|item| item.status == Status::Proposed),
            "not yet confirmed",
            "not yet confirmed",
            look.main,
        ),
    ];
    let list = make.tree.add(Some(section), Kind::List);
    let mut stack = Stack::default();
    let width = WIDTH / figures.len() as f32;
    for (n, (value, one, many, colour)) in figures.into_iter().enumerate() {
        let item = make.tree.add(Some(list), Kind::ListItem);
        let node = make.tree.add(Some(item), Kind::ListBody);
        let x = n as f32 * width;
        let colour = if value == 0 { look.quiet } else { colour };
        let figure = look.figure().coloured(colour).of(format!("{value} "));
        let mut cell = Stack::default();
        cell.line(&line_of(make.fonts, &[figure]), 0.0, Some(node));
        let label = if value == 1 { one } else { many };
        let label = fitted(make.fonts, label, look.label(), width - 6.0);
        cell.line(&label, 0.0, Some(node));
        stack.beside(cell, x, 0.0);
    }
    stack
}

/// Tells whether a measurement of the item is beyond a published limit.
pub(super) fn is_outside(item: &Item) -> bool {
    item.limits.iter().any(|limit| limit.verdict == "outside")
}

/// What the last visit found and added; nothing before the second visit.
fn since_last(make: &mut Make<'_>, section: NodeId) {
    const LABEL: f32 = 118.0;
    let Some(since) = make.document.since_last() else {
        return;
    };
    let mut stack = make.subheading(section, 2, &since.heading());
    let list = make.tree.add(Some(section), Kind::List);
    let look = make.look;
    for (label, numbers) in since.lines() {
        let entry = make.tree.add(Some(list), Kind::ListItem);
        let label_node = make.tree.add(Some(entry), Kind::ListLabel);
        let body = make.tree.add(Some(entry), Kind::ListBody);
        let mut row = Stack::default();
        let label = fitted(make.fonts, &label, look.strong(), LABEL - 8.0);
        row.line(&label, 0.0, Some(label_node));
        let mut text = Stack::default();
        let numbers = [look.body().of(numbers)];
        text.paragraph(make.fonts, &numbers, (0.0, WIDTH - LABEL), Some(body));
        row.beside(text, LABEL, 0.0);
        stack.then(row, 1.6, true);
    }
    make.paper.flow(stack);
    make.paper.gap(14.0);
}

/// What needs to be seen to first.
fn safety(make: &mut Make<'_>, section: NodeId) {
    let items: Vec<&Item> = make
        .items
        .iter()
        .copied()
        .filter(|item| item.severity == Severity::Safety)
        .collect();
    let mut stack = make.subheading(section, 2, "Safety first");
    if items.is_empty() {
        let text = make.paragraphs(section, &[texts::NO_SAFETY_ITEMS.to_string()], WIDTH);
        stack.then(text, 0.0, false);
        return make.paper.place(stack);
    }
    let list = make.tree.add(Some(section), Kind::List);
    let look = make.look;
    for (n, item) in items.into_iter().enumerate() {
        let caution = item.caution.as_deref().map(one_line).unwrap_or_default();
        let row = row(make, list, item, &caution, WIDTH - 2.0 * PANEL_INDENT);
        let panel = make.panel(row, WIDTH, look.alert_panel(), look.alert);
        stack.then(panel, if n == 0 { 0.0 } else { 3.0 }, n > 0);
    }
    make.paper.flow(stack);
}

/// Measurements beyond a published limit.
fn beyond_limits(make: &mut Make<'_>, section: NodeId) {
    let items: Vec<&Item> = make
        .items
        .iter()
        .copied()
        .filter(|item| is_outside(item))
        .collect();
    let mut stack = make.subheading(section, 2, "Outside a published limit");
    if items.is_empty() {
        let text = make.paragraphs(section, &[texts::NO_LIMIT_ITEMS.to_string()], WIDTH);
        stack.then(text, 0.0, false);
        return make.paper.place(stack);
    }
    let list = make.tree.add(Some(section), Kind::List);
    for (n, item) in items.into_iter().enumerate() {
        let why: Vec<String> = item
            .limits
            .iter()
            .filter(|limit| limit.verdict == "outside")
            .map(|limit| capitalised(&one_line(&limit.why)))
            .collect();
        let row = row(make, list, item, &why.join(" "), WIDTH);
        stack.then(row, if n == 0 { 0.0 } else { 5.0 }, n > 0);
    }
    make.paper.flow(stack);
}

/// An item in short: number, place, sentence, and something beside.
fn row(make: &mut Make<'_>, list: NodeId, item: &Item, beside: &str, width: f32) -> Stack {
    const NUMBER: f32 = 30.0;
    // A sentence of a thousand letters is in the list in full.
    const LONGEST: usize = 240;
    let look = make.look;
    let entry = make.tree.add(Some(list), Kind::ListItem);
    let label = make.tree.add(Some(entry), Kind::ListLabel);
    let body = make.tree.add(Some(entry), Kind::ListBody);
    let mut stack = Stack::default();
    let number = make.number_link(label, item.number);
    stack.line_at(&line_of(make.fonts, &[number]), 0.0, 0.0, Some(label));
    let mut text = Stack::default();
    let sentence = unbroken(&super::shortened(&one_line(&item.description), LONGEST));
    let waiting = if item.status == Status::Proposed {
        " Not yet confirmed."
    } else {
        ""
    };
    let pieces = [
        look.strong()
            .of(format!("{}: ", place_heading(&item.place))),
        look.body().of(sentence),
        look.label().of(waiting),
    ];
    text.paragraph(make.fonts, &pieces, (0.0, width - NUMBER), Some(body));
    if !beside.is_empty() {
        let piece = look.body().sized(9.0).of(unbroken(beside));
        text.paragraph(make.fonts, &[piece], (0.0, width - NUMBER), Some(body));
    }
    stack.beside(text, NUMBER, 0.0);
    stack
}

/// How many items each severity, trade and place has, as bars.
fn counts(make: &mut Make<'_>, section: NodeId) {
    const BETWEEN: f32 = 24.0;
    let half = (WIDTH - BETWEEN) / 2.0;
    let by_severity = SEVERITIES
        .into_iter()
        .map(|severity| {
            let count = make
                .items
                .iter()
                .filter(|item| item.severity == severity)
                .count();
            (capitalised(severity_word(severity)), count, Some(severity))
        })
        .collect();
    let by_severity = bars(make, section, "By severity", by_severity, half);
    let by_trade = grouped(make, Grouping::Trade);
    let by_trade = bars(make, section, "By trade", by_trade, half);
    let mut first = by_severity;
    first.beside(by_trade, half + BETWEEN, 0.0);
    first.cuts.clear();
    make.paper.place(first);
    make.paper.gap(14.0);
    let places = grouped(make, Grouping::Place);
    // Two columns where one would be long; the order runs down the first, then down the second.
    const ONE_COLUMN: usize = 6;
    if places.len() <= ONE_COLUMN {
        let stack = bars(make, section, "By place", places, half);
        make.paper.place(stack);
        return;
    }
    let most = places.iter().map(|row| row.1).max().unwrap_or(1);
    let mut stack = make.subheading(section, 2, "By place");
    let table = make.tree.add(
        Some(section),
        Kind::Table("Number of items by place".into()),
    );
    let body = make.tree.add(Some(table), Kind::TableBody);
    // As many rows as surely fit on a page beside each other.
    const ROWS: usize = 40;
    for (n, page) in places.chunks(2 * ROWS).enumerate() {
        let rows = page.len().div_ceil(2);
        let mut columns = Stack::default();
        for (n, column) in page.chunks(rows).enumerate() {
            let rows = bar_rows(make, body, column, most, half);
            columns.beside(rows, n as f32 * (half + BETWEEN), 0.0);
        }
        stack.then(columns, 0.0, n > 0);
    }
    make.paper.flow(stack);
}

type Bar = (String, usize, Option<Severity>);

fn grouped(make: &Make<'_>, by: Grouping) -> Vec<Bar> {
    make.document
        .groups(by, make.include_rejected)
        .iter()
        .map(|group| match group.key {
            GroupKey::Place(place) => (place_heading(place), group.items.len(), None),
            key => (key.heading(), group.items.len(), None),
        })
        .collect()
}

/// A small picture of counts: a table whose bars are decoration, so that it can be heard as well.
fn bars(make: &mut Make<'_>, section: NodeId, title: &str, rows: Vec<Bar>, width: f32) -> Stack {
    let mut stack = make.subheading(section, 2, title);
    let summary = format!("Number of items {}", title.to_lowercase());
    let table = make.tree.add(Some(section), Kind::Table(summary));
    let body = make.tree.add(Some(table), Kind::TableBody);
    let most = rows.iter().map(|row| row.1).max().unwrap_or(1);
    let bars = bar_rows(make, body, &rows, most, width);
    stack.then(bars, 0.0, false);
    stack
}

fn bar_rows(make: &mut Make<'_>, body: NodeId, rows: &[Bar], most: usize, width: f32) -> Stack {
    const LABEL: f32 = 108.0;
    const COUNT: f32 = 24.0;
    const ROW: f32 = 15.0;
    const BAR: f32 = 7.0;
    let look = make.look;
    let longest = width - LABEL - COUNT;
    let mut stack = Stack::default();
    for (label, count, severity) in rows {
        let row = make.tree.add(Some(body), Kind::Row);
        let head = make.tree.add(Some(row), Kind::RowHead);
        let cell = make.tree.add(Some(row), Kind::Cell);
        let top = stack.height;
        let colour = severity.map_or(look.main, |s| marks::severity_colour(look, s));
        match severity {
            Some(severity) => {
                make.severity(&mut stack, *severity, (0.0, top), head);
            }
            None => {
                let line = fitted(make.fonts, label, look.body().sized(9.0), LABEL - 8.0);
                stack.line_at(&line, 0.0, top, Some(head));
            }
        }
        let long = longest * *count as f32 / most.max(1) as f32;
        // Even one item among hundreds is seen.
        let long = if *count > 0 { long.max(1.5) } else { 0.0 };
        if long > 0.0 {
            stack.fill((LABEL, top + 3.2), (long, BAR), colour);
        }
        let number = line_of(
            make.fonts,
            &[look.strong().sized(9.0).of(count.to_string())],
        );
        stack.line_at(&number, LABEL + long + 5.0, top, Some(cell));
        stack.gap(ROW);
    }
    stack
}
