//! The items by trade, each with its page.

use crate::export::document::Grouping;
use crate::export::pdf::make::{Make, item_anchor};
use crate::export::pdf::paper::WIDTH;
use crate::export::pdf::stack::{Drawn, Stack};
use crate::export::pdf::tags::{Kind, NodeId};
use crate::export::pdf::text::{fitted, one_line as line_of};
use crate::export::wording::{capitalised, counted, one_line, place_heading};
use crate::items::{Item, Status};

/// Where the columns begin: number, place, what, and where the page's number ends.
const PLACE: f32 = 38.0;
const WHAT: f32 = 160.0;
const PAGE: f32 = WIDTH;

pub(super) fn lay_out(make: &mut Make<'_>) {
    if make.items.is_empty() {
        return;
    }
    make.paper.head("Items by trade");
    make.paper.new_page();
    let document = make.document;
    let groups = document.groups(Grouping::Trade, make.include_rejected);
    let section = make.tree.add(None, Kind::Section);
    let mut above = Some(make.heading(Some(section), 1, "Items by trade", "index", ""));
    for (position, group) in groups.iter().enumerate() {
        let title = group.key.heading();
        let anchor = format!("trade-{position}");
        let count = counted(group.items.len(), "item", "items");
        let mut stack = above.take().unwrap_or_default();
        let heading = make.heading(Some(section), 2, &title, &anchor, &count);
        stack.then(heading, 0.0, false);
        let table = make
            .tree
            .add(Some(section), Kind::Table(format!("Items for {title}")));
        let head = make.tree.add(Some(table), Kind::TableHead);
        let row = make.tree.add(Some(head), Kind::Row);
        let cells = [(); 4].map(|()| Some(make.tree.add(Some(row), Kind::ColumnHead)));
        stack.then(self::head(make, cells), 0.0, false);
        let body = make.tree.add(Some(table), Kind::TableBody);
        let last = group.items.len() - 1;
        for (n, item) in group.items.iter().enumerate() {
            // Two rows stay with the head, and two with the end.
            let may_cut = n > 1 && n != last;
            let row = self::row(make, body, item);
            stack.then(row, 0.0, may_cut);
        }
        make.paper.gap(if position > 0 { 18.0 } else { 0.0 });
        let repeated = self::head(make, [None; 4]);
        make.paper.head(format!("Items by trade: {title}"));
        // The head is not repeated where the table begins on a new page of its own.
        if stack.height > make.paper.left()
            && stack
                .cuts
                .first()
                .is_none_or(|&cut| cut > make.paper.left())
        {
            make.paper.new_page();
        }
        make.paper.repeat(Some(repeated));
        make.paper.flow(stack);
        make.paper.repeat(None);
    }
}

fn head(make: &Make<'_>, nodes: [Option<NodeId>; 4]) -> Stack {
    let style = make.look.label().sized(8.0);
    let mut stack = Stack::default();
    let words = ["No. ", "Place ", "What ", "Page "].map(|w| line_of(make.fonts, &[style.of(w)]));
    let places = [0.0, PLACE, WHAT, PAGE - words[3].width + style.size * 0.2];
    for ((line, x), node) in words.iter().zip(places).zip(nodes) {
        stack.line_at(line, x, 0.0, node);
    }
    stack.gap(words[0].leading + 2.0);
    stack.rule(0.0, WIDTH, 0.7, make.look.main);
    stack.gap(2.5);
    stack
}

fn row(make: &mut Make<'_>, body: NodeId, item: &Item) -> Stack {
    let look = make.look;
    let row = make.tree.add(Some(body), Kind::Row);
    let [number, place, what, page] = [(); 4].map(|()| make.tree.add(Some(row), Kind::Cell));
    let style = look.body().sized(9.0);
    let link = make.number_link(number, item.number);
    let mut stack = Stack::default();
    stack.line_at(&line_of(make.fonts, &[link]), 0.0, 0.0, Some(number));
    let place_line = fitted(
        make.fonts,
        &place_heading(&item.place),
        style,
        WHAT - PLACE - 8.0,
    );
    stack.line_at(&place_line, PLACE, 0.3, Some(place));
    let mut text = Stack::default();
    text.gap(0.3);
    let mut pieces = vec![style.of(what_in_short(item))];
    if item.status == Status::Proposed {
        pieces.push(look.label().sized(8.2).of("  not yet confirmed"));
    }
    text.paragraph(make.fonts, &pieces, (0.0, PAGE - WHAT - 34.0), Some(what));
    let baseline = place_line.baseline() + 0.3;
    stack.beside(text, WHAT, 0.0);
    stack.cuts.clear();
    let of = Drawn::PageOf {
        anchor: item_anchor(item.number),
        style,
    };
    stack.draw(PAGE, baseline, Some(page), of);
    stack.gap(1.6);
    stack.rule(0.0, WIDTH, 0.35, look.line);
    stack.gap(1.8);
    stack
}

/// Returns element, defect and position, cut where they are long.
fn what_in_short(item: &Item) -> String {
    // About two lines of the column.
    const LONGEST: usize = 110;
    let element = one_line(&item.element);
    let defect = one_line(&item.defect);
    let mut text = capitalised(&format!("{element}: {defect}"));
    if item.count > 1 {
        text = format!("{text}, {} of them", item.count);
    }
    if let Some(position) = item
        .position
        .as_deref()
        .map(one_line)
        .filter(|p| !p.is_empty())
    {
        text = format!("{text}, {position}");
    }
    super::shortened(&text, LONGEST)
}
