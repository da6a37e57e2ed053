//! The list as a workbook for spreadsheet programs (Office Open XML, ECMA-376): a summary with
//! charts, all items to filter and to keep up, a sheet for each trade to print and tick, and what the
//! list rests on.
//!
//! Texts are written as texts, so none can run as a formula, whatever it starts with. The summary's
//! counts are formulas over the items, written with their results: they follow when somebody marks
//! an item as put right. The file tells nothing about the machine or its user; dates and author are
//! the document's own.

mod about;
mod items;
mod names;
mod rows;
mod styles;
mod summary;

use super::document::{Document, Grouping};
use super::error::ExportError;
use super::subject::subject;
use super::wording::one_line;
use super::{Options, TOOL, date};
use names::SheetNames;
use rust_xlsxwriter::{DocProperties, ExcelDateTime, Workbook, Worksheet};
use styles::Styles;

/// Name of the sheet with all items, which the summary's formulas refer to.
const ITEMS: &str = "Items";
const SUMMARY: &str = "Summary";
const ABOUT: &str = "About";

/// A4, by its number in ECMA-376, part 1, section 18.3.1.63.
const PAPER_A4: u8 = 9;

/// Margins in inches: what office printers can print to, and room for header and footer.
const MARGIN: f64 = 0.4;
const MARGIN_FOOT: f64 = 0.7;

/// Most characters of the title in a sheet's foot, which takes 255 with everything else in it.
const LONGEST_FOOT: usize = 80;

/// Returns the workbook.
///
/// # Errors
/// [`ExportError::Workbook`] where the library refuses; [`ExportError::Created`].
pub(super) fn bytes(document: &Document, options: &Options) -> Result<Vec<u8>, ExportError> {
    let include_rejected = options.include_rejected.unwrap_or(false);
    let styles = Styles::new();
    let mut names = SheetNames::new(&[SUMMARY, ITEMS, ABOUT]);
    let groups = document.groups(options.by, include_rejected);
    let all: Vec<_> = groups
        .iter()
        .flat_map(|group| &group.items)
        .copied()
        .collect();
    let mut workbook = Workbook::new();
    workbook.set_properties(&properties(document)?);

    let sheet = workbook.add_worksheet().set_name(SUMMARY)?;
    summary::fill(sheet, document, &all, &styles)?;
    paper(sheet, &document.title)?;

    let sheet = workbook.add_worksheet().set_name(ITEMS)?;
    items::fill(sheet, document, &all, &styles)?;
    paper(sheet, &document.title)?;

    for trade in document.groups(Grouping::Trade, include_rejected) {
        let heading = one_line(&trade.key.heading());
        let sheet = workbook.add_worksheet().set_name(names.unique(&heading))?;
        items::fill_trade(sheet, document, &trade.items, &styles)?;
        paper(sheet, &subject(document))?;
    }
    let sheet = workbook.add_worksheet().set_name(ABOUT)?;
    about::fill(sheet, document, &styles)?;
    paper(sheet, &document.title)?;
    Ok(workbook.save_to_buffer()?)
}

fn properties(document: &Document) -> Result<DocProperties, ExportError> {
    let inspector = document
        .detail("inspector")
        .map(one_line)
        .unwrap_or_default();
    Ok(DocProperties::new()
        .set_title(one_line(&document.title))
        .set_author(inspector)
        .set_comment(format!("Made with {TOOL}"))
        .set_creation_datetime(&moment(&document.created)?))
}

/// Returns the document's date as a spreadsheet has it, in UTC.
fn moment(created: &str) -> Result<ExcelDateTime, ExportError> {
    // `20260302T170500Z`, of which the library reads `2026-03-02T17:05:00`.
    let utc = date::utc(created)?;
    Ok(ExcelDateTime::parse_from_str(utc.trim_end_matches('Z'))?)
}

/// Sets a sheet up for printing: A4, as many pages long as it takes, one wide. A trade's sheet tells at
/// its foot what a trade may see of the home, the others the list's title.
fn paper(sheet: &mut Worksheet, title: &str) -> Result<(), ExportError> {
    let title: String = one_line(title).chars().take(LONGEST_FOOT).collect();
    // An ampersand begins a code in a foot; two stand for one.
    let title = title.replace('&', "&&");
    sheet
        .set_paper_size(PAPER_A4)
        .set_print_fit_to_pages(1, 0)
        .set_margins(MARGIN, MARGIN, MARGIN, MARGIN_FOOT, MARGIN, MARGIN)
        .set_footer(format!("&L&9{title}&R&9&A, page &P of &N"));
    Ok(())
}

#[cfg(test)]
mod tests;
