//! Tables of items: all of them, and those of one trade.

use super::rows::{Cell, Column, DUE, ITEM_COLUMNS, SEVERITY, STANDING, STATUS, TRADE_COLUMNS};
use super::styles::Styles;
use crate::export::document::Document;
use crate::export::error::ExportError;
use crate::items::{Item, Standing, standing_words};
use rust_xlsxwriter::{
    ConditionalFormatCell, ConditionalFormatCellRule, ConditionalFormatFormula, DataValidation,
    ExcelDateTime, Worksheet,
};

/// Most characters of a cell, in UTF-16 (Excel specifications and limits).
const LONGEST_CELL: usize = 32_767;
/// Stands at the end of a text that no cell can hold.
const CUT: &str = " … (cut: a cell holds no more)";

/// Height of the row of headings, in points: two lines.
const HEADING_HEIGHT: u16 = 32;

/// Height of a line in points, at the size of 11 points that cells have by themselves.
const LINE_HEIGHT: f64 = 15.0;
/// Most lines of a row: no row can be higher than 409 points (Excel specifications and limits).
const MOST_LINES: u32 = 27;

/// Zoom of the sheets in percent: all that is printed shows on a screen of 1,920 points.
const ZOOM: u16 = 90;

/// Fills the sheet with all items: to filter, and to keep the standing of each.
pub(super) fn fill(
    sheet: &mut Worksheet,
    document: &Document,
    items: &[&Item],
    styles: &Styles,
) -> Result<(), ExportError> {
    let last = table(sheet, document, items, &ITEM_COLUMNS, styles)?;
    let evidence = DUE + 1;
    let last_column = last_column(&ITEM_COLUMNS);
    sheet.set_zoom(ZOOM).set_print_area(0, 0, last, DUE)?;
    sheet.group_columns(evidence, last_column)?;
    if items.is_empty() {
        return Ok(());
    }
    sheet.autofilter(0, 0, last, last_column)?;
    let statuses = ["proposed", "confirmed", "rejected"];
    choice(sheet, STATUS, last, &statuses, "Status of the line")?;
    let standings = Standing::ALL.map(standing_words);
    choice(sheet, STANDING, last, &standings, "Where the work stands")?;
    let alarm = ConditionalFormatCell::new()
        .set_rule(ConditionalFormatCellRule::EqualTo("Safety"))
        .set_format(&styles.alarm);
    sheet.add_conditional_format(1, SEVERITY, last, SEVERITY, &alarm)?;
    let (put_right, closed) = (
        standing_words(Standing::PutRight),
        standing_words(Standing::Closed),
    );
    let done = format!("OR($M2=\"{put_right}\",$M2=\"{closed}\")");
    let overdue = format!("AND($N2<>\"\",$N2<TODAY(),NOT({done}))");
    for (first, rule, format) in [
        (DUE, overdue.as_str(), &styles.alarm),
        (0, done.as_str(), &styles.done),
        (0, "$L2<>\"confirmed\"", &styles.draft),
    ] {
        let rule = ConditionalFormatFormula::new()
            .set_rule(rule)
            .set_format(format);
        sheet.add_conditional_format(1, first, last, DUE, &rule)?;
    }
    Ok(())
}

/// Fills the sheet of one trade: to print and tick.
pub(super) fn fill_trade(
    sheet: &mut Worksheet,
    document: &Document,
    items: &[&Item],
    styles: &Styles,
) -> Result<(), ExportError> {
    table(sheet, document, items, &TRADE_COLUMNS, styles).map(|_| ())
}

/// Writes the headings and a row for each item; returns the last row.
fn table(
    sheet: &mut Worksheet,
    document: &Document,
    items: &[&Item],
    columns: &[Column],
    styles: &Styles,
) -> Result<u32, ExportError> {
    for (column, at) in columns.iter().zip(0..) {
        sheet.set_column_width(at, column.width)?;
        sheet.write_string_with_format(0, at, column.heading, &styles.heading)?;
    }
    sheet.set_row_height(0, HEADING_HEIGHT)?;
    let mut last = 0;
    for (item, row) in items.iter().zip(1..) {
        let mut lines = 1;
        for (column, at) in columns.iter().zip(0..) {
            let cell = (column.cell)(document, item);
            write(sheet, row, at, &cell, styles)?;
            if at <= DUE {
                lines = lines.max(lines_of(&cell, column.width));
            }
        }
        sheet.set_row_height(row, f64::from(lines.min(MOST_LINES)) * LINE_HEIGHT)?;
        last = row;
    }
    sheet
        .set_landscape()
        .set_freeze_panes(1, 1)?
        .set_repeat_rows(0, 0)?;
    Ok(last)
}

/// Writes one cell. Texts are never taken for formulas, numbers or links.
pub(super) fn write(
    sheet: &mut Worksheet,
    row: u32,
    column: u16,
    cell: &Cell,
    styles: &Styles,
) -> Result<(), ExportError> {
    match cell {
        Cell::Text(text) => {
            sheet.write_string_with_format(row, column, fitting(text), &styles.text)?
        }
        Cell::Number(value) => {
            sheet.write_number_with_format(row, column, *value, &styles.number)?
        }
        Cell::Whole(value) => sheet.write_number_with_format(row, column, *value, &styles.whole)?,
        Cell::Day(day) => {
            let day = ExcelDateTime::parse_from_str(day)?;
            sheet.write_datetime_with_format(row, column, &day, &styles.day)?
        }
        Cell::Nothing => sheet.write_blank(row, column, &styles.text)?,
    };
    Ok(())
}

/// Letters of running text to the width of a digit, in which a column's width is told (ECMA-376, 18.3.1.13).
/// Seen in LibreOffice: 30 letters and spaces in a column of 26.
const LETTERS: f64 = 1.12;

/// Returns how many lines the cell's text takes, broken between words. Not all programs fit the rows
/// to wrapped texts by themselves.
pub(super) fn lines_of(cell: &Cell, width: f64) -> u32 {
    let Cell::Text(text) = cell else {
        return 1;
    };
    let width = width * LETTERS;
    let (mut lines, mut used) = (1, 0.0);
    for word in text.split(' ') {
        let length = word.chars().count() as f64;
        if used > 0.0 && used + 1.0 + length > width {
            lines += 1;
            used = 0.0;
        } else if used > 0.0 {
            used += 1.0;
        }
        // A word wider than the column is broken anywhere.
        let whole = (length / width).floor();
        lines += whole as u32;
        used += length - whole * width;
    }
    lines
}

/// Returns as much of the text as a cell holds, with a remark where that is not all.
pub(super) fn fitting(text: &str) -> String {
    if text.encode_utf16().count() <= LONGEST_CELL {
        return text.to_string();
    }
    let room = LONGEST_CELL - CUT.encode_utf16().count();
    let mut used = 0;
    let fits = |c: &char| {
        used += c.len_utf16();
        used <= room
    };
    text.chars().take_while(fits).chain(CUT.chars()).collect()
}

/// Lets a column take only the given words.
fn choice(
    sheet: &mut Worksheet,
    column: u16,
    last: u32,
    words: &[&str],
    title: &str,
) -> Result<(), ExportError> {
    let rule = DataValidation::new()
        .allow_list_strings(words)?
        .set_input_title(title)?
        .set_error_message("Choose one of the words in the list.")?;
    sheet.add_data_validation(1, column, last, column, &rule)?;
    Ok(())
}

fn last_column(columns: &[Column]) -> u16 {
    u16::try_from(columns.len()).unwrap_or(u16::MAX) - 1
}
