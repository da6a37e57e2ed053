//! The first sheet: what the list is about, and counts with charts.

use super::items::{fitting, write};
use super::rows::{Cell, PLACE, SEVERITY, STANDING, TRADE, trade};
use super::styles::Styles;
use super::{ITEMS, SUMMARY};
use crate::export::date;
use crate::export::document::Document;
use crate::export::error::ExportError;
use crate::export::wording::{SEVERITIES, capitalised, one_line, place_heading, severity_word};
use crate::items::{Item, Standing, Status, standing_words};
use rust_xlsxwriter::{Chart, ChartDataLabel, ChartType, Color, Formula, Worksheet};

/// Heights in points of 96 to the inch: a chart's title and margins, and each of its bars.
const CHART_FRAME: u32 = 70;
const CHART_BAR: u32 = 24;
/// A row of a sheet without a height of its own.
const ROW: u32 = 20;
const CHART_WIDTH: u32 = 460;
/// Column that the charts begin in.
const CHART_COLUMN: u16 = 4;

/// The chart's bars, in the blue of the headings.
const BAR: Color = Color::RGB(0x1f_3a5f);

/// A table of the summary.
struct Counts {
    heading: &'static str,
    /// Column of the sheet with all items that is counted.
    column: u16,
    /// Each word with the items that have it, and how many of them are outstanding.
    rows: Vec<(String, u32, u32)>,
}

/// Fills the sheet.
pub(super) fn fill(
    sheet: &mut Worksheet,
    document: &Document,
    items: &[&Item],
    styles: &Styles,
) -> Result<(), ExportError> {
    for (column, width) in [(0, 26.0), (1, 12.0), (2, 18.0), (3, 3.0)] {
        sheet.set_column_width(column, width)?;
    }
    sheet.write_string_with_format(0, 0, fitting(&one_line(&document.title)), &styles.title)?;
    let mut row = head(sheet, document, items, styles)? + 1;
    let by_severity = SEVERITIES.map(|severity| capitalised(severity_word(severity)));
    let by_standing = Standing::ALL.map(|standing| standing_words(standing).to_string());
    let severity = |item: &Item| capitalised(severity_word(item.severity));
    let standing = |item: &Item| standing_words(item.standing).to_string();
    let place = |item: &Item| one_line(&place_heading(&item.place));
    for counts in [
        count("Severity", SEVERITY, &by_severity, items, severity),
        count("Standing", STANDING, &by_standing, items, standing),
        count("Trade", TRADE, &[], items, trade),
        count("Place", PLACE, &[], items, place),
    ] {
        row = table(sheet, row, &counts, items.len(), styles)?;
    }
    Ok(())
}

/// Writes the details and how far the list is confirmed; returns the first row after them.
fn head(
    sheet: &mut Worksheet,
    document: &Document,
    items: &[&Item],
    styles: &Styles,
) -> Result<u32, ExportError> {
    let of = |is: fn(&Item) -> bool| items.iter().filter(|item| is(item)).count().to_string();
    let outside = of(|item| item.limits.iter().any(|limit| limit.verdict == "outside"));
    let lines = document
        .details
        .iter()
        .map(|detail| (detail.label.clone(), detail.value.clone()))
        .chain([
            ("List made".to_string(), date::in_words(&document.created)?),
            (
                "Not yet confirmed".to_string(),
                of(|i| i.status == Status::Proposed),
            ),
            ("Outside a published limit".to_string(), outside),
        ]);
    let mut row = 1;
    for (label, value) in lines {
        sheet.write_string_with_format(row, 0, fitting(&one_line(&label)), &styles.label)?;
        sheet.write_string(row, 1, fitting(&one_line(&value)))?;
        row += 1;
    }
    Ok(row)
}

/// Counts the items by a word. Words in `known` come in their order and are shown where nothing has
/// them too; others follow in the order in which they come. Capitals do not matter, as they do not
/// in a spreadsheet's comparison.
fn count(
    heading: &'static str,
    column: u16,
    known: &[String],
    items: &[&Item],
    word: impl Fn(&Item) -> String,
) -> Counts {
    let mut rows: Vec<(String, u32, u32)> = known.iter().map(|word| (word.clone(), 0, 0)).collect();
    for item in items {
        let word = word(item);
        let found = rows
            .iter()
            .position(|row| row.0.to_lowercase() == word.to_lowercase());
        let at = found.unwrap_or_else(|| {
            rows.push((word, 0, 0));
            rows.len() - 1
        });
        if let Some(row) = rows.get_mut(at) {
            row.1 += 1;
            row.2 += u32::from(item.standing.is_outstanding());
        }
    }
    Counts {
        heading,
        column,
        rows,
    }
}

/// Writes one table with its chart beside it; returns the first row after both.
fn table(
    sheet: &mut Worksheet,
    top: u32,
    counts: &Counts,
    items: usize,
    styles: &Styles,
) -> Result<u32, ExportError> {
    for (text, column) in [(counts.heading, 0), ("Items", 1), ("Not yet put right", 2)] {
        sheet.write_string_with_format(top, column, text, &styles.heading)?;
    }
    let mut row = top;
    for (word, all, outstanding) in &counts.rows {
        row += 1;
        write(sheet, row, 0, &Cell::Text(word.clone()), styles)?;
        let same = format!("({}=$A{})", range(counts.column, items), row + 1);
        let standing = range(STANDING, items);
        let (put_right, closed) = (
            standing_words(Standing::PutRight),
            standing_words(Standing::Closed),
        );
        for (column, result, formula) in [
            (1, all, format!("=SUMPRODUCT(--{same})")),
            (
                2,
                outstanding,
                format!(
                    "=SUMPRODUCT({same}*({standing}<>\"{put_right}\")*({standing}<>\"{closed}\"))"
                ),
            ),
        ] {
            if items == 0 {
                write(sheet, row, column, &Cell::Whole(0.0), styles)?;
            } else {
                let formula = Formula::new(formula).set_result(result.to_string());
                sheet.write_formula_with_format(row, column, formula, &styles.whole)?;
            }
        }
    }
    if row == top {
        return Ok(top + 2);
    }
    let bars = row - top;
    let height = CHART_FRAME + bars * CHART_BAR;
    sheet.insert_chart(top, CHART_COLUMN, &chart(counts, top + 1, row, height))?;
    Ok(top + (bars + 1).max(height.div_ceil(ROW)) + 1)
}

/// Returns the chart of one table: bars, the first on top, each with its number.
fn chart(counts: &Counts, first: u32, last: u32, height: u32) -> Chart {
    let mut chart = Chart::new(ChartType::Bar);
    chart
        .add_series()
        .set_name((SUMMARY, first - 1, 1))
        .set_categories((SUMMARY, first, 0, last, 0))
        .set_values((SUMMARY, first, 1, last, 1))
        .set_format(
            rust_xlsxwriter::ChartFormat::new()
                .set_solid_fill(rust_xlsxwriter::ChartSolidFill::new().set_color(BAR)),
        )
        .set_data_label(ChartDataLabel::new().show_value())
        .set_gap(60);
    let by = counts.heading.to_lowercase();
    chart.title().set_name(&format!("Items by {by}"));
    chart.legend().set_hidden();
    // Of bars the upright axis has the words, and the first word belongs on top.
    chart.y_axis().set_reverse();
    chart
        .x_axis()
        .set_hidden(true)
        .set_major_gridlines(false)
        .set_min(0);
    chart
        .set_width(CHART_WIDTH)
        .set_height(height)
        .set_alt_text(format!(
            "Bar chart: items by {by}; the table beside it has the numbers"
        ));
    chart
}

/// Returns a column of the sheet with all items, as formulas name it.
fn range(column: u16, items: usize) -> String {
    let letter = char::from(b'A' + u8::try_from(column).unwrap_or(0));
    format!("{ITEMS}!${letter}$2:${letter}${}", items + 1)
}
