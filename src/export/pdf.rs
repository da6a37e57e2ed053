//! The list as a PDF file: the buyer's report, or with `--by trade` a sheet for each trade.
//!
//! # Steps
//! 1. `template`: the user's own logo, colours, fonts and texts, where there are any.
//! 2. `photos`: each photo is made as large as the paper can show.
//! 3. `report` or `sheets` lay out what is told, in `stack`s of text and drawings.
//! 4. `paper` puts the stacks on pages; `tags` keeps what each part is, for screen readers.
//! 5. `write` makes the file's bytes.
//!
//! Lengths are in points (1/72 inch), measured from the top left corner.

mod colour;
mod fonts;
mod look;
mod make;
mod marks;
mod paper;
mod photos;
mod report;
mod sheets;
mod stack;
mod tags;
mod template;
mod text;
mod write;

#[cfg(test)]
mod tests;

pub use template::{Template, TemplateProblem};

use super::document::{Document, Grouping};
use super::error::ExportError;
use super::subject::subject;
use super::{Options, date};
use crate::items::Status;
use fonts::Fonts;
use make::Make;
use write::About;

/// The language of every document (RFC 5646).
const LANGUAGE: &str = "en-GB";

/// Returns the file.
pub(super) fn bytes(document: &Document, options: &Options) -> Result<Vec<u8>, ExportError> {
    let template = &options.template;
    let fonts = Fonts::new(&template.look.fonts).ok_or_else(|| ExportError::Pdf {
        reason: "a font of the template cannot be used".into(),
    })?;
    let include_rejected = options.include_rejected.unwrap_or(false);
    let items = document.by_number(include_rejected);
    let sheets = options.by == Grouping::Trade;
    let mut make = Make {
        fonts: &fonts,
        look: &template.look,
        texts: &template.texts,
        document,
        items: &items,
        by: options.by,
        include_rejected,
        // Trade sheets go round in many hands and need no photos of somebody's home.
        photos: if sheets {
            Default::default()
        } else {
            photos::prepare(document, &items)
        },
        tree: Default::default(),
        paper: Default::default(),
    };
    let unconfirmed = items.iter().any(|item| item.status == Status::Proposed);
    let title = if sheets {
        sheets::lay_out(&mut make);
        format!("Trade sheets: {}", subject(document))
    } else {
        let usual = template::Section::USUAL;
        report::lay_out(&mut make, template.sections.as_deref().unwrap_or(&usual))?;
        document.title.clone()
    };
    let inspector = document.detail("inspector").filter(|_| !sheets);
    let about = About {
        title: make::short(&title),
        author: inspector.map(make::short),
        created: date::parse(&document.created)?,
        foot: foot(make.texts.foot.as_deref(), unconfirmed),
        head: make::short(&title),
    };
    write::bytes(make.paper, make.tree, &fonts, &template.look, &about)
}

/// Returns what stands at the left of every page's foot: loose sheets get parted, so each says
/// that it is a draft.
fn foot(own: Option<&str>, unconfirmed: bool) -> String {
    let draft = unconfirmed.then_some("Draft: not all items are confirmed by the inspector");
    let parts: Vec<&str> = draft.into_iter().chain(own).collect();
    parts.join(" · ")
}
