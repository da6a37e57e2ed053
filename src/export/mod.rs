//! The list as documents: one file per format, bytes out; writing to disk is in [`mod@write`].
//!
//! # Steps
//! 1. A [`Document`] holds everything that may be shown; it is built from a job elsewhere.
//! 2. [`Format::of_path`] picks the format by the file's ending.
//! 3. [`Format::bytes`] makes the bytes: a pure function, the same bytes for the same document.
//! 4. [`mod@write`] puts them in place, whole or not at all.

mod american;
mod base64;
mod bcf;
mod calendar;
mod csv;
mod cues;
mod date;
mod document;
mod error;
mod facts;
mod glossary;
mod html;
mod identity;
mod json;
mod markdown;
mod pdf;
mod reader;
#[cfg(test)]
mod sample;
mod subject;
pub mod texts;
mod visits;
mod wording;
pub mod write;
mod xlsx;

pub use bcf::BcfVersion;
pub use document::{Clip, Detail, Document, Group, Grouping, Photo};
pub use error::ExportError;
pub use glossary::{Gloss, glossary};
pub use json::SCHEMA_NAME;
pub use pdf::{Template, TemplateProblem};
pub use reader::{Reader, Warning};
pub(crate) use visits::day_in_words;
pub use visits::{HeldVisit, SinceLast};

use std::path::Path;

/// The JSON Schema (2020-12) of the JSON list, as shipped in `schema/`.
pub const JSON_SCHEMA: &str = include_str!("../../schema/callover-list-1.schema.json");

/// The program and its version, as written into every document.
pub const TOOL: &str = concat!("callover ", env!("CARGO_PKG_VERSION"));

/// What a document shows and in which order.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Options {
    /// How the list is divided. JSON is always in number order, for other programs to sort.
    pub by: Grouping,
    /// Whether rejected items are shown; `None` takes the format's own habit: JSON keeps them with
    /// their status, the documents for people leave them out.
    pub include_rejected: Option<bool>,
    /// Whether only what is still to be put right is shown; see [`Document::outstanding`].
    pub outstanding: bool,
    /// Which version of BCF is written.
    pub bcf: BcfVersion,
    /// Whose cues are written, by its number; `None` takes the only recording. WebVTT and SubRip
    /// only.
    pub recording: Option<u32>,
    /// The user's own paper; PDF only.
    pub template: Template,
}

/// A kind of document.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Format {
    /// For other programs: `callover-list/1`.
    Json,
    /// For spreadsheets: one row per item.
    Csv,
    /// Plain text with Markdown marks.
    Markdown,
    /// One self-contained page, for screen, phone and paper.
    Html,
    /// A workbook for spreadsheet programs, with a sheet for each trade.
    Xlsx,
    /// Issues on a building, for the programs of planners and builders.
    Bcf,
    /// Tasks for a calendar, one for each trade.
    Calendar,
    /// Items as cues over a recording.
    Vtt,
    /// Items as subtitles over a recording.
    Srt,
    /// For paper: the buyer's report, or a sheet for each trade.
    Pdf,
}

impl Format {
    /// All formats, in the order in which messages name them.
    pub const ALL: [Format; 10] = [
        Format::Json,
        Format::Csv,
        Format::Markdown,
        Format::Html,
        Format::Xlsx,
        Format::Bcf,
        Format::Calendar,
        Format::Vtt,
        Format::Srt,
        Format::Pdf,
    ];

    /// Returns the file ending, without the dot.
    pub fn ending(self) -> &'static str {
        match self {
            Format::Json => "json",
            Format::Csv => "csv",
            Format::Markdown => "md",
            Format::Html => "html",
            Format::Xlsx => "xlsx",
            Format::Bcf => "bcf",
            Format::Calendar => "ics",
            Format::Vtt => "vtt",
            Format::Srt => "srt",
            Format::Pdf => "pdf",
        }
    }

    /// Returns true where a file belongs to one recording, so that several recordings make several
    /// files; see [`Options::recording`].
    pub fn is_of_one_recording(self) -> bool {
        matches!(self, Format::Vtt | Format::Srt)
    }

    /// Returns true where the format shows photos, and so needs [`Document::photos`].
    pub fn shows_photos(self) -> bool {
        match self {
            Format::Html | Format::Bcf | Format::Pdf => true,
            Format::Json
            | Format::Csv
            | Format::Markdown
            | Format::Xlsx
            | Format::Calendar
            | Format::Vtt
            | Format::Srt => false,
        }
    }

    /// Returns the format that the file's ending asks for; capitals do not matter.
    ///
    /// # Errors
    /// [`ExportError::UnknownEnding`], naming the endings known.
    pub fn of_path(path: &Path) -> Result<Format, ExportError> {
        let ending = path.extension().map(|e| e.to_string_lossy().to_lowercase());
        Format::ALL
            .into_iter()
            .find(|format| ending.as_deref() == Some(format.ending()))
            .ok_or_else(|| ExportError::UnknownEnding {
                path: path.to_path_buf(),
            })
    }

    /// Returns the document in this format.
    ///
    /// # Errors
    /// [`ExportError`] where the document holds something that no format can say truthfully: a
    /// date that is none, a number that is none.
    pub fn bytes(self, document: &Document, options: &Options) -> Result<Vec<u8>, ExportError> {
        document.check()?;
        // Here and not in each exporter, so that none can forget it.
        let outstanding;
        let document = if options.outstanding {
            outstanding = document.outstanding();
            &outstanding
        } else {
            document
        };
        match self {
            Format::Json => json::bytes(document, options),
            Format::Csv => csv::bytes(document, options),
            Format::Markdown => markdown::bytes(document, options),
            Format::Html => html::bytes(document, options),
            Format::Xlsx => xlsx::bytes(document, options),
            Format::Bcf => bcf::bytes(document, options),
            Format::Calendar => calendar::bytes(document, options),
            Format::Vtt => cues::bytes(document, options, cues::Form::Vtt),
            Format::Srt => cues::bytes(document, options, cues::Form::Srt),
            Format::Pdf => pdf::bytes(document, options),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn picks_the_format_by_the_ending() {
        for (path, format) in [
            ("list.json", Format::Json),
            ("out/Plot 7.CSV", Format::Csv),
            ("a.b.md", Format::Markdown),
            ("/tmp/x.html", Format::Html),
        ] {
            assert_eq!(Format::of_path(Path::new(path)).unwrap(), format, "{path}");
        }
    }

    #[test]
    fn an_unknown_ending_names_the_known_ones() {
        for path in ["list.xls", "list", ".json", "json", "list.json.bak"] {
            let message = Format::of_path(Path::new(path)).unwrap_err().to_string();
            assert_eq!(
                message,
                format!(
                    "{path}: the ending names no known format; use one of .json, .csv, .md, .html, \
                     .xlsx, .bcf, .ics, .vtt, .srt, .pdf"
                )
            );
        }
    }

    #[test]
    fn every_format_gives_the_same_bytes_twice() {
        let document = sample::document();
        let options = Options {
            recording: Some(1),
            ..Options::default()
        };
        for format in Format::ALL {
            let first = format.bytes(&document, &options).unwrap();
            let second = format.bytes(&document.clone(), &options).unwrap();
            assert_eq!(first, second, "{format:?}");
            let is_text = !matches!(format, Format::Xlsx | Format::Bcf | Format::Pdf);
            assert_eq!(std::str::from_utf8(&first).is_ok(), is_text, "{format:?}");
        }
    }

    #[test]
    fn a_page_plays_the_clips_that_it_is_given_and_allows_nothing_else() {
        let mut document = sample::document();
        let page = |document: &Document| {
            let bytes = Format::Html.bytes(document, &Options::default()).unwrap();
            String::from_utf8(bytes).unwrap()
        };
        let silent = page(&document);
        assert!(!silent.contains("<audio") && !silent.contains("media-src"));
        let clip = Clip {
            media_type: "audio/ogg;codecs=opus",
            bytes: b"OggS".to_vec(),
        };
        document.clips.insert(2, clip);
        let page = page(&document);
        let player = "<audio controls preload=\"none\" \
                      src=\"data:audio/ogg;codecs=opus;base64,T2dnUw==\"";
        assert_eq!(page.matches(player).count(), 1, "{page}");
        assert!(page.contains("; media-src data:\">"));
    }

    #[test]
    fn every_format_refuses_a_number_that_is_none() {
        let mut document = sample::document();
        document.items[1].confidence = f64::NAN;
        for format in Format::ALL {
            let error = format.bytes(&document, &Options::default()).unwrap_err();
            assert_eq!(
                error.to_string(),
                "item 2: confidence is NaN, expected a number from 0 to 1; open the item in confirm \
                 and save it again"
            );
        }
    }
}
