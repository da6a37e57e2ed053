//! A sheet for each trade: what to do, room by room, to tick, initial and date. Nothing about the
//! client but the plot: the sheets hang in the site office.

use super::make::{Make, unbroken};
use super::marks;
use super::paper::WIDTH;
use super::stack::{Drawn, Stack, rectangle};
use super::tags::{Kind, NodeId};
use super::text::{fitted, one_line as line_of};
use crate::export::document::{Document, Group, Grouping};
use crate::export::facts::remedy;
use crate::export::subject::subject;
use crate::export::wording::{capitalised, counted, measurement, one_line, place_heading, remarks};
use crate::items::{Item, Severity, Status};

/// How many columns a sheet has.
pub(super) const COLUMNS: u32 = 5;
/// About three lines: longer sentences are hard to read in bold.
const LONGEST_BOLD: usize = 160;
/// Where the columns begin.
const NUMBER: f32 = 28.0;
const WHAT: f32 = 66.0;
const INITIALS: f32 = 352.0;
const DATE: f32 = 420.0;

pub(super) fn lay_out(make: &mut Make<'_>) {
    let document = make.document;
    let groups = document.groups(Grouping::Trade, make.include_rejected);
    if groups.is_empty() {
        make.paper.head("Trade sheets");
        make.paper.new_page();
        let section = make.tree.add(None, Kind::Section);
        let mut stack = make.heading(Some(section), 1, "Nothing is listed", "none", "");
        stack.gap(1.0);
        make.paper.place(stack);
    }
    for (position, group) in groups.iter().enumerate() {
        sheet(make, position, group);
    }
}

fn sheet(make: &mut Make<'_>, position: usize, group: &Group<'_>) {
    let trade = group.key.heading();
    make.paper.head(&trade);
    make.paper.repeat(None);
    make.paper.new_page();
    let section = make.tree.add(None, Kind::Section);
    let anchor = format!("sheet-{position}");
    let mut head = make.heading(Some(section), 1, &trade, &anchor, "");
    let about = about(make, section, group);
    head.then(about, 0.0, false);
    let table = make
        .tree
        .add(Some(section), Kind::Table(format!("Work for {trade}")));
    let columns = make.tree.add(Some(table), Kind::TableHead);
    let row = make.tree.add(Some(columns), Kind::Row);
    let cells = [(); 5].map(|()| Some(make.tree.add(Some(row), Kind::ColumnHead)));
    let columns = column_heads(make, cells);
    head.then(columns, 10.0, false);
    let repeated = column_heads(make, [None; 5]);
    let mut above = Some(head);
    let mut above_rows = None;
    let mut body = None;
    for item in &group.items {
        let mut stack = above.take().unwrap_or_default();
        let under = match item.severity {
            Severity::Safety => "Safety first".to_owned(),
            _ => place_heading(&item.place),
        };
        if above_rows.as_ref() != Some(&under) {
            let rows = make.tree.add(Some(table), Kind::TableBody);
            body = Some(rows);
            let heading = heading_row(make, rows, &under);
            stack.then(heading, 0.0, false);
            above_rows = Some(under);
        }
        if let Some(body) = body {
            let row = item_row(make, body, item);
            stack.then(row, 0.0, false);
        }
        make.paper.place(stack);
        make.paper.repeat(Some(repeated.clone()));
    }
    make.paper.repeat(None);
    make.paper.gap(18.0);
    let end = signature(make, section);
    make.paper.place(end);
}

/// The plot, the day, and how much there is to do.
fn about(make: &mut Make<'_>, section: NodeId, group: &Group<'_>) -> Stack {
    let look = make.look;
    let document = make.document;
    let mut parts = vec![subject(document)];
    parts.extend(
        ["stage", "date"]
            .iter()
            .filter_map(|key| Some(one_line(document.detail(key)?))),
    );
    parts.push(counted(group.items.len(), "item", "items"));
    let waiting = group
        .items
        .iter()
        .filter(|i| i.status == Status::Proposed)
        .count();
    let node = make.tree.add(Some(section), Kind::Paragraph);
    let mut stack = Stack::default();
    let text = look.strong().sized(10.4).of(parts.join(" · "));
    stack.paragraph(make.fonts, &[text], (0.0, WIDTH), Some(node));
    if waiting > 0 {
        let text = format!(
            "Draft: {waiting} of these not yet confirmed by the inspector; they are marked."
        );
        let node = make.tree.add(Some(section), Kind::Paragraph);
        let piece = look.body().coloured(look.alert).of(text);
        stack.paragraph(make.fonts, &[piece], (0.0, WIDTH), Some(node));
    }
    stack.cuts.clear();
    stack
}

fn column_heads(make: &Make<'_>, nodes: [Option<NodeId>; 5]) -> Stack {
    let style = make.look.label().sized(8.0);
    let mut stack = Stack::default();
    let columns = [
        (0.0, "Done "),
        (NUMBER, "No. "),
        (WHAT, "What "),
        (INITIALS, "Initials "),
        (DATE, "Date "),
    ];
    for ((x, word), node) in columns.into_iter().zip(nodes) {
        stack.line_at(&line_of(make.fonts, &[style.of(word)]), x, 0.0, node);
    }
    stack.gap(13.0);
    stack.rule(0.0, WIDTH, 0.9, make.look.main);
    stack
}

/// What the rows below have in common: safety, or the place.
fn heading_row(make: &mut Make<'_>, body: NodeId, heading: &str) -> Stack {
    let look = make.look;
    let row = make.tree.add(Some(body), Kind::Row);
    let node = make.tree.add(Some(row), Kind::WideCell);
    let mut stack = Stack::default();
    let line = fitted(make.fonts, heading, look.subheading(), WIDTH - 16.0);
    stack.fill((0.0, 0.0), (WIDTH, line.leading + 8.0), look.panel());
    stack.line_at(&line, 6.0, 4.0, Some(node));
    stack.gap(line.leading + 8.0);
    stack
}

fn item_row(make: &mut Make<'_>, body: NodeId, item: &Item) -> Stack {
    const BOX: f32 = 12.0;
    const ABOVE: f32 = 6.0;
    let look = make.look;
    let row = make.tree.add(Some(body), Kind::Row);
    let [done, number, what, initials, date] =
        [(); 5].map(|()| make.tree.add(Some(row), Kind::Cell));
    let mut stack = Stack::default();
    let tick = make
        .tree
        .add(Some(done), Kind::Figure("Box to tick".into()));
    marks::tick_box(&mut stack, look, (4.0, ABOVE + 1.0), BOX, tick);
    let figure = look.number().sized(15.0).of(format!("{} ", item.number));
    stack.line_at(
        &line_of(make.fonts, &[figure]),
        NUMBER,
        ABOVE - 3.4,
        Some(number),
    );
    let mut text = Stack::default();
    let width = INITIALS - WHAT - 12.0;
    let mut pieces = Vec::new();
    if item.severity == Severity::Safety {
        let place = format!("{}: ", place_heading(&item.place));
        pieces.push(look.strong().coloured(look.alert).of(place));
    }
    let sentence = unbroken(&one_line(&item.description));
    let style = match sentence.chars().count() {
        0..=LONGEST_BOLD => look.strong(),
        _ => look.body(),
    };
    pieces.push(style.of(sentence));
    if item.status == Status::Proposed {
        pieces.push(look.label().coloured(look.alert).of("  Not yet confirmed"));
    }
    text.paragraph(make.fonts, &pieces, (0.0, width), Some(what));
    for detail in details(make.document, item) {
        let piece = look.body().sized(9.2).of(unbroken(&detail));
        text.paragraph(make.fonts, &[piece], (0.0, width), Some(what));
    }
    if let Some(caution) = item
        .caution
        .as_deref()
        .map(one_line)
        .filter(|c| !c.is_empty())
    {
        let pieces = [
            look.strong()
                .sized(9.2)
                .coloured(look.alert)
                .of("Caution. "),
            look.body().sized(9.2).of(caution),
        ];
        text.paragraph(make.fonts, &pieces, (0.0, width), Some(what));
    }
    stack.beside(text, WHAT, ABOVE);
    stack.cuts.clear();
    // Room to write in: high enough for a hand in gloves.
    const LEAST: f32 = 30.0;
    stack.height = (stack.height + 6.0).max(LEAST);
    for (x, width, node, says) in [
        (
            INITIALS,
            DATE - INITIALS - 10.0,
            initials,
            "Room for initials",
        ),
        (DATE, WIDTH - DATE, date, "Room for a date"),
    ] {
        let node = make.tree.add(Some(node), Kind::Figure(says.into()));
        let outline = rectangle(width, 0.7);
        let line = Drawn::Fill {
            outline,
            colour: look.quiet,
        };
        stack.draw(x, ABOVE + 16.0, Some(node), line);
    }
    stack.rule(0.0, WIDTH, 0.4, look.line);
    stack
}

/// What is measured, what would put it right, and how the work stands.
fn details(document: &Document, item: &Item) -> Vec<String> {
    let mut details = Vec::new();
    let said = item.description.to_lowercase();
    let position = item.position.as_deref().map(one_line);
    if let Some(position) = position.filter(|p| !p.is_empty() && !said.contains(&p.to_lowercase()))
    {
        details.push(format!("{}.", capitalised(&position)));
    }
    if !item.measurements.is_empty() {
        let shown: Vec<String> = item.measurements.iter().map(measurement).collect();
        details.push(format!("Measured: {}.", shown.join("; ")));
    }
    let remedy = remedy(document, item);
    if !remedy.is_empty() {
        details.push(format!("{remedy}."));
    }
    if let Some(remarks) = remarks(item) {
        details.push(format!("{remarks}."));
    }
    if let Some(standing) = document.standing_line(item) {
        details.push(format!("{standing}."));
    }
    details
}

/// Where the one who did the work and the one who looked at it sign.
fn signature(make: &mut Make<'_>, section: NodeId) -> Stack {
    let look = make.look;
    let mut stack = Stack::default();
    let list = make.tree.add(Some(section), Kind::List);
    for (n, label) in ["All done by, date", "Looked at by, date"]
        .into_iter()
        .enumerate()
    {
        let width = (WIDTH - 24.0) / 2.0;
        let x = n as f32 * (width + 24.0);
        let item = make.tree.add(Some(list), Kind::ListItem);
        let node = make.tree.add(Some(item), Kind::ListBody);
        stack.fill((x, 26.0), (width, 0.7), look.quiet);
        stack.line_at(
            &line_of(make.fonts, &[look.label().of(label)]),
            x,
            29.0,
            Some(node),
        );
    }
    stack.gap(44.0);
    stack
}
