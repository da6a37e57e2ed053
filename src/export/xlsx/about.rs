//! The last sheet: the recordings, what was said and not listed, and what a list can be relied on for.

use super::items::{lines_of, write};
use super::rows::Cell;
use super::styles::Styles;
use crate::export::TOOL;
use crate::export::document::Document;
use crate::export::error::ExportError;
use crate::export::texts;
use crate::export::wording::{heard_at, one_line};
use rust_xlsxwriter::Worksheet;

/// Width of the columns in characters.
const WIDTHS: [f64; 4] = [34.0, 40.0, 18.0, 18.0];
/// Characters of a paragraph that stand in one line across the columns, and a line's height in
/// points.
const LINE_CHARS: usize = 110;
const LINE_HEIGHT: f64 = 15.0;

/// Fills the sheet.
pub(super) fn fill(
    sheet: &mut Worksheet,
    document: &Document,
    styles: &Styles,
) -> Result<(), ExportError> {
    for (width, column) in WIDTHS.into_iter().zip(0..) {
        sheet.set_column_width(column, width)?;
    }
    sheet.write_string_with_format(0, 0, "What this list is", &styles.title)?;
    let mut row = 1;
    let made = format!("Made with {TOOL}.");
    let passages = texts::about(document.reader.region).map(|passage| passage.text);
    for paragraph in passages.into_iter().chain([made.as_str()]) {
        sheet.merge_range(row, 0, row, 3, paragraph, &styles.paragraph)?;
        let lines = paragraph.chars().count().div_ceil(LINE_CHARS);
        sheet.set_row_height(row, lines as f64 * LINE_HEIGHT)?;
        row += 1;
    }
    row += 1;
    let recordings = document.recordings.iter().map(|recording| {
        vec![
            Cell::Text(one_line(&recording.file)),
            Cell::Text(recording.sha256.clone()),
            Cell::Number(recording.duration_s),
            Cell::Number(recording.speech_s),
        ]
    });
    let headings = ["Recording", "SHA-256", "Length, seconds", "Speech, seconds"];
    row = table(sheet, row, &headings, recordings, styles)? + 1;
    let unplaced = document.unplaced.iter().map(|unplaced| {
        let at = heard_at(document, unplaced.recording, unplaced.span);
        vec![
            Cell::Text(one_line(&unplaced.why)),
            Cell::Text(one_line(&unplaced.quote)),
            at.map_or(Cell::Nothing, |at| Cell::Text(one_line(&at))),
        ]
    });
    let headings = ["Said but not listed: why", "Words as heard", "Heard in"];
    table(sheet, row, &headings, unplaced, styles)?;
    sheet.set_landscape();
    Ok(())
}

/// Writes a table; returns the first row after it.
fn table(
    sheet: &mut Worksheet,
    top: u32,
    headings: &[&str],
    rows: impl Iterator<Item = Vec<Cell>>,
    styles: &Styles,
) -> Result<u32, ExportError> {
    for (heading, column) in headings.iter().zip(0..) {
        sheet.write_string_with_format(top, column, *heading, &styles.heading)?;
    }
    let mut row = top;
    for cells in rows {
        row += 1;
        let mut lines = 1;
        for ((cell, width), column) in cells.iter().zip(WIDTHS).zip(0..) {
            write(sheet, row, column, cell, styles)?;
            lines = lines.max(lines_of(cell, width));
        }
        sheet.set_row_height(row, f64::from(lines) * LINE_HEIGHT)?;
    }
    Ok(row + 1)
}
