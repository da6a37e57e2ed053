//! The user's own paper: logo, colours, fonts, order of sections and standard texts from a TOML
//! file. `docs/template.md` documents it for users.

mod read;
#[cfg(test)]
mod tests;

use super::look::Look;
use read::{Reader, TABLES};
use std::path::{Path, PathBuf};
use toml::de::{DeTable, DeValue};

/// The user's own paper; the default is the built-in one.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Template {
    pub(super) look: Look,
    /// The order of sections; `None` for the usual one.
    pub(super) sections: Option<Vec<Section>>,
    pub(super) texts: Texts,
}

/// Texts that the user puts in place of the standard ones.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Texts {
    /// Who the paper comes from: lines at the foot of the cover.
    pub(super) firm: Vec<String>,
    /// Above the title.
    pub(super) kind: Option<String>,
    /// At the foot of every page.
    pub(super) foot: Option<String>,
    /// Paragraphs on what a visual inspection can tell.
    pub(super) inspection: Option<Vec<String>>,
    /// Paragraphs before the key to the list.
    pub(super) reading: Vec<String>,
}

/// A section of the report.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Section {
    Cover,
    Summary,
    Reading,
    Contents,
    List,
    Cautions,
    Words,
    Index,
    Sources,
}

impl Section {
    /// All sections in the usual order.
    pub(super) const USUAL: [Section; 9] = [
        Section::Cover,
        Section::Summary,
        Section::Reading,
        Section::Contents,
        Section::List,
        Section::Cautions,
        Section::Words,
        Section::Index,
        Section::Sources,
    ];

    fn name(self) -> &'static str {
        match self {
            Section::Cover => "cover",
            Section::Summary => "summary",
            Section::Reading => "reading",
            Section::Contents => "contents",
            Section::List => "list",
            Section::Cautions => "cautions",
            Section::Words => "words",
            Section::Index => "index",
            Section::Sources => "sources",
        }
    }
}

/// What is wrong with a template, or could be better.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TemplateProblem {
    file: PathBuf,
    /// Line, from 1.
    line: usize,
    message: String,
}

/// Shows `file:line: message`.
impl std::fmt::Display for TemplateProblem {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}:{}: {}", self.file.display(), self.line, self.message)
    }
}

impl Template {
    /// Returns the template written in `text`, and what could be better about it. `open` reads the
    /// files that it names, beside the template's own.
    ///
    /// # Errors
    /// Every problem at once, each with its line and field.
    pub fn parse(
        file: &Path,
        text: &str,
        open: impl Fn(&Path) -> std::io::Result<Vec<u8>>,
    ) -> Result<(Template, Vec<TemplateProblem>), Vec<TemplateProblem>> {
        let mut reader = Reader {
            file,
            text,
            open: &open,
            problems: Vec::new(),
        };
        let table = match DeTable::parse(text) {
            Ok(table) => table,
            Err(error) => {
                reader.problem(error.span().unwrap_or(0..0), error.message().to_string());
                return Err(reader.problems);
            }
        };
        let mut template = Template::default();
        let mut colour_lines = Vec::new();
        for (table, value) in table.get_ref() {
            let field = table.get_ref().as_ref();
            let DeValue::Table(entries) = value.get_ref() else {
                reader.unknown_table(table, field);
                continue;
            };
            for (key, value) in entries {
                reader.entry(&mut template, field, key, value, &mut colour_lines);
            }
            if !TABLES.iter().any(|(name, _)| *name == field) {
                reader.unknown_table(table, field);
            }
        }
        if !reader.problems.is_empty() {
            // Tables are gone through by name; people read by line.
            reader.problems.sort_by_key(|problem| problem.line);
            return Err(reader.problems);
        }
        reader.contrast(&template.look, &colour_lines);
        Ok((template, reader.problems))
    }
}
