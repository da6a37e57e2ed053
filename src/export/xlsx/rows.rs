//! What the cells of an item hold, column by column.

use crate::export::document::Document;
use crate::export::facts::remedy;
use crate::export::wording::{
    capitalised, heard_at, measurement, one_line, place_heading, severity_word, status_word,
};
use crate::items::{Item, standing_words};

/// The content of a cell.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Cell {
    Text(String),
    Number(f64),
    Whole(f64),
    /// A day, `YYYY-MM-DD`.
    Day(String),
    Nothing,
}

/// A column of a table of items.
pub(super) struct Column {
    pub(super) heading: &'static str,
    /// Width in characters.
    pub(super) width: f64,
    pub(super) cell: fn(&Document, &Item) -> Cell,
}

const fn column(heading: &'static str, width: f64, cell: fn(&Document, &Item) -> Cell) -> Column {
    Column {
        heading,
        width,
        cell,
    }
}

/// The columns of the sheet with all items: first what is printed, then what the items rest on.
pub(super) const ITEM_COLUMNS: [Column; 22] = [
    column("No.", 5.0, |_, item| Cell::Whole(f64::from(item.number))),
    column("Place", 15.0, |_, item| text(&place_heading(&item.place))),
    column("Where", 17.0, |_, item| some_text(&item.position)),
    column("What is wrong", 42.0, |_, item| text(&item.description)),
    column("How many", 7.0, |_, item| {
        Cell::Whole(f64::from(item.count))
    }),
    column("Measured", 15.0, |_, item| {
        texts(item.measurements.iter().map(measurement))
    }),
    column("Limit", 11.0, |_, item| {
        texts(item.limits.iter().map(|limit| capitalised(&limit.verdict)))
    }),
    column("To put right", 28.0, |document, item| {
        text(&remedy(document, item))
    }),
    column("Trade", 13.0, |_, item| text(&trade(item))),
    column("Severity", 10.0, |_, item| {
        text(&capitalised(severity_word(item.severity)))
    }),
    column("Caution", 40.0, |_, item| some_text(&item.caution)),
    column("Status", 11.0, |_, item| text(status_word(item.status))),
    column("Standing", 15.0, |_, item| {
        text(standing_words(item.standing))
    }),
    column("Due", 12.0, |_, item| day(item)),
    column("Element", 16.0, |_, item| text(&item.element)),
    column("Defect", 16.0, |_, item| text(&item.defect)),
    column("Limit, in words", 40.0, |_, item| {
        texts(item.limits.iter().map(|limit| limit.why.clone()))
    }),
    column("Remarks", 30.0, |_, item| {
        texts(item.remarks.iter().cloned())
    }),
    column("Heard in", 22.0, |document, item| {
        let evidence = &item.evidence;
        some_text(&heard_at(document, evidence.recording, evidence.span))
    }),
    column("At second", 9.0, |_, item| {
        let start = item.evidence.span.map(|span| span.start.seconds());
        start.map_or(Cell::Nothing, Cell::Number)
    }),
    column("Words as heard", 50.0, |_, item| text(&item.evidence.quote)),
    column("Photos", 22.0, |_, item| texts(item.photos.iter().cloned())),
];

/// Position of a column of the sheet with all items that other parts refer to.
pub(super) const PLACE: u16 = 1;
pub(super) const TRADE: u16 = 8;
pub(super) const SEVERITY: u16 = 9;
pub(super) const STATUS: u16 = 11;
pub(super) const STANDING: u16 = 12;
/// The last one that is printed.
pub(super) const DUE: u16 = 13;

/// The columns of a trade's sheet. The last three are for a pen.
pub(super) const TRADE_COLUMNS: [Column; 10] = [
    column("No.", 5.0, |_, item| Cell::Whole(f64::from(item.number))),
    column("Place", 16.0, |_, item| text(&place_heading(&item.place))),
    column("Where", 18.0, |_, item| some_text(&item.position)),
    column("What is wrong", 44.0, |_, item| text(&marked(item))),
    column("To put right", 28.0, |document, item| {
        text(&remedy(document, item))
    }),
    column("Caution", 40.0, |_, item| some_text(&item.caution)),
    column("Due", 12.0, |_, item| day(item)),
    column("Done", 7.0, |_, _| Cell::Nothing),
    column("Initials", 9.0, |_, _| Cell::Nothing),
    column("Date", 11.0, |_, _| Cell::Nothing),
];

/// Returns the trade as the sheets and the summary have it.
pub(super) fn trade(item: &Item) -> String {
    match item.trade.as_deref().map(one_line) {
        Some(trade) if !trade.is_empty() => capitalised(&trade),
        _ => "Trade not named".to_string(),
    }
}

fn marked(item: &Item) -> String {
    match crate::export::facts::mark(item) {
        Some(mark) => format!("{} ({mark})", item.description),
        None => item.description.clone(),
    }
}

fn day(item: &Item) -> Cell {
    item.due.clone().map_or(Cell::Nothing, Cell::Day)
}

fn text(text: &str) -> Cell {
    Cell::Text(one_line(text))
}

fn some_text(text: &Option<String>) -> Cell {
    text.as_deref()
        .map_or(Cell::Nothing, |t| Cell::Text(capitalised(&one_line(t))))
}

fn texts(all: impl Iterator<Item = String>) -> Cell {
    text(&all.collect::<Vec<_>>().join("; "))
}
