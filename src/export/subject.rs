//! What a trade's sheet says of the home: enough to find it on site, and nothing of the client.

use super::Document;
use super::wording::{capitalised, one_line};

/// The details of a job that a trade may see.
pub(super) const SHOWN: [&str; 3] = ["plot", "stage", "reference"];

/// Words with which the name of a plot begins.
const PLOT_WORDS: [&str; 4] = ["plot", "unit", "lot", "block"];

/// Returns what the sheets are about: the plot as the job tells it, or a title that begins as one,
/// else the reference. A title may be somebody's name or address, so any other stays off the sheet.
pub(super) fn subject(document: &Document) -> String {
    let is_plot = |text: &str| {
        let first = text.split([' ', ',', '-']).next().unwrap_or_default();
        PLOT_WORDS.contains(&first.to_lowercase().as_str())
    };
    match document.detail("plot").map(one_line) {
        Some(plot) if is_plot(&plot) => return capitalised(&plot),
        Some(plot) => return format!("Plot {plot}"),
        None => {}
    }
    // What follows a comma is as likely an address.
    let title = one_line(&document.title);
    let title = title.split(',').next().unwrap_or_default().trim();
    if is_plot(title) {
        return title.to_owned();
    }
    match document.detail("reference").map(one_line) {
        Some(reference) => format!("Reference {reference}"),
        None => "Plot not named".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::export::Detail;

    #[test]
    fn a_sheet_names_the_plot_and_never_the_client() {
        for (title, plot, reference, expected) in [
            ("Anything", Some("14"), None, "Plot 14"),
            ("Anything", Some("plot 14"), None, "Plot 14"),
            ("Anything", Some("Unit 3B"), Some("R1"), "Unit 3B"),
            ("Plot seven", None, None, "Plot seven"),
            ("Plot 7, 12 Larch Row", None, None, "Plot 7"),
            (
                "The home of N. Client",
                None,
                Some("R-17"),
                "Reference R-17",
            ),
            ("12 Larch Row", None, None, "Plot not named"),
            ("Plotter Street", None, None, "Plot not named"),
        ] {
            let detail = |key: &str, value: Option<&str>| {
                value.map(|value| Detail {
                    key: key.into(),
                    label: key.into(),
                    value: value.into(),
                })
            };
            let details = [detail("plot", plot), detail("reference", reference)];
            let document = Document {
                title: title.into(),
                details: details.into_iter().flatten().collect(),
                ..Document::default()
            };
            assert_eq!(subject(&document), expected, "{title}");
        }
    }
}
