//! The fields of a template, one after the other; every problem with its line and field.

use super::{Section, Template, TemplateProblem};
use crate::export::pdf::colour::Colour;
use crate::export::pdf::look::{LEAST_CONTRAST, Look};
use crate::export::pdf::write::PNG_MARK;
use crate::export::pdf::{fonts, photos};
use std::ops::Range;
use std::path::Path;
use std::sync::Arc;
use toml::Spanned;
use toml::de::DeValue;

/// The tables of a template and their keys.
pub(super) const TABLES: [(&str, &[&str]); 4] = [
    ("paper", &["logo", "sections"]),
    ("colours", &["main", "text", "quiet", "alert"]),
    ("fonts", &["regular", "italic", "bold", "title"]),
    ("texts", &["kind", "firm", "foot", "inspection", "reading"]),
];

pub(super) struct Reader<'a, F> {
    pub(super) file: &'a Path,
    pub(super) text: &'a str,
    pub(super) open: &'a F,
    pub(super) problems: Vec<TemplateProblem>,
}

type Value<'i> = Spanned<DeValue<'i>>;

impl<F: Fn(&Path) -> std::io::Result<Vec<u8>>> Reader<'_, F> {
    pub(super) fn problem(&mut self, at: Range<usize>, message: String) {
        let before = self.text.get(..at.start).unwrap_or(self.text);
        self.problems.push(TemplateProblem {
            file: self.file.to_path_buf(),
            line: before.matches('\n').count() + 1,
            message,
        });
    }

    pub(super) fn unknown_table(&mut self, table: &Spanned<std::borrow::Cow<'_, str>>, name: &str) {
        let known: Vec<String> = TABLES.iter().map(|(name, _)| format!("[{name}]")).collect();
        self.problem(
            table.span(),
            format!(
                "{name}: no such table; expected one of {}",
                known.join(", ")
            ),
        );
    }

    pub(super) fn entry(
        &mut self,
        template: &mut Template,
        table: &str,
        key: &Spanned<std::borrow::Cow<'_, str>>,
        value: &Value<'_>,
        colour_lines: &mut Vec<(String, Range<usize>)>,
    ) {
        let name = key.get_ref().as_ref();
        let field = format!("{table}.{name}");
        let look = &mut template.look;
        let texts = &mut template.texts;
        match (table, name) {
            ("paper", "logo") => look.logo = self.logo(&field, value),
            ("paper", "sections") => template.sections = self.sections(&field, value),
            ("colours", "main" | "text" | "quiet" | "alert") => {
                colour_lines.push((name.to_string(), value.span()));
                let place = match name {
                    "main" => &mut look.main,
                    "text" => &mut look.text,
                    "quiet" => &mut look.quiet,
                    _ => &mut look.alert,
                };
                if let Some(colour) = self.colour(&field, value) {
                    *place = colour;
                }
            }
            ("fonts", "regular") => look.fonts[0] = self.font(&field, value),
            ("fonts", "italic") => look.fonts[1] = self.font(&field, value),
            ("fonts", "bold") => look.fonts[2] = self.font(&field, value),
            ("fonts", "title") => look.fonts[3] = self.font(&field, value),
            ("texts", "kind") => texts.kind = self.string(&field, value),
            ("texts", "foot") => texts.foot = self.string(&field, value),
            ("texts", "firm") => texts.firm = self.strings(&field, value).unwrap_or_default(),
            ("texts", "reading") => {
                texts.reading = self.strings(&field, value).unwrap_or_default();
            }
            ("texts", "inspection") => texts.inspection = self.strings(&field, value),
            _ => {
                if let Some((_, keys)) = TABLES.iter().find(|(known, _)| *known == table) {
                    self.problem(
                        key.span(),
                        format!(
                            "{field}: no such field; expected one of {}",
                            keys.join(", ")
                        ),
                    );
                }
            }
        }
    }

    fn string(&mut self, field: &str, value: &Value<'_>) -> Option<String> {
        match value.get_ref() {
            DeValue::String(text) if !text.trim().is_empty() => Some(text.trim().to_string()),
            _ => {
                self.problem(value.span(), format!("{field}: expected a text in quotes"));
                None
            }
        }
    }

    /// Returns one text, or a list of them.
    fn strings(&mut self, field: &str, value: &Value<'_>) -> Option<Vec<String>> {
        match value.get_ref() {
            DeValue::Array(values) => {
                let texts: Vec<Option<String>> = values
                    .iter()
                    .map(|value| self.string(field, value))
                    .collect();
                texts.into_iter().collect()
            }
            _ => Some(vec![self.string(field, value)?]),
        }
    }

    fn colour(&mut self, field: &str, value: &Value<'_>) -> Option<Colour> {
        let text = self.string(field, value)?;
        let colour = Colour::parse(&text);
        if colour.is_none() {
            let message = format!(
                "{field}: {text:?} is no colour; expected six hexadecimal digits as in \"#174a5b\""
            );
            self.problem(value.span(), message);
        }
        colour
    }

    /// Returns the file's bytes; the path is read from where the template is.
    fn file(&mut self, field: &str, value: &Value<'_>) -> Option<Vec<u8>> {
        let name = self.string(field, value)?;
        let path = self.file.parent().unwrap_or(Path::new("")).join(name);
        match (self.open)(&path) {
            Ok(bytes) => Some(bytes),
            Err(error) => {
                let message = format!("{field}: cannot read {}: {error}", path.display());
                self.problem(value.span(), message);
                None
            }
        }
    }

    fn logo(&mut self, field: &str, value: &Value<'_>) -> Option<Arc<Vec<u8>>> {
        let bytes = self.file(field, value)?;
        if !is_logo(&bytes) {
            let message = format!(
                "{field}: not a picture that can be used; expected a PNG or an RGB JPEG file"
            );
            self.problem(value.span(), message);
            return None;
        }
        Some(Arc::new(bytes))
    }

    fn font(&mut self, field: &str, value: &Value<'_>) -> Option<Arc<Vec<u8>>> {
        let bytes = self.file(field, value)?;
        match fonts::check(&bytes) {
            Ok(()) => Some(Arc::new(bytes)),
            Err(reason) => {
                self.problem(value.span(), format!("{field}: {reason}"));
                None
            }
        }
    }

    fn sections(&mut self, field: &str, value: &Value<'_>) -> Option<Vec<Section>> {
        let names = self.strings(field, value)?;
        let mut sections = Vec::new();
        for name in names {
            let known = Section::USUAL.into_iter().find(|s| s.name() == name);
            match known {
                Some(section) if sections.contains(&section) => {
                    let message =
                        format!("{field}: {name:?} stands there twice; name each section once");
                    self.problem(value.span(), message);
                }
                Some(section) => sections.push(section),
                None => {
                    let known: Vec<&str> = Section::USUAL.iter().map(|s| s.name()).collect();
                    let message = format!(
                        "{field}: no section {name:?}; expected some of {}",
                        known.join(", ")
                    );
                    self.problem(value.span(), message);
                }
            }
        }
        if !sections.contains(&Section::List) {
            let message =
                format!("{field}: \"list\" is missing; a report without its items is none");
            self.problem(value.span(), message);
        }
        Some(sections)
    }

    /// Warns of texts that stand out too little to be read by everyone.
    pub(super) fn contrast(&mut self, look: &Look, lines: &[(String, Range<usize>)]) {
        for (key, colour, ground_name, ground) in look.pairs() {
            let contrast = colour.contrast(ground);
            let line = lines.iter().find(|(name, _)| name == key);
            if let (true, Some((_, span))) = (contrast < LEAST_CONTRAST, line) {
                let message = format!(
                    "colours.{key}: the contrast of {colour} on {ground} ({ground_name}) is {contrast:.1} to 1; \
                     at least {LEAST_CONTRAST} to 1 can be read by most people (WCAG 2.2, 1.4.3)"
                );
                self.problem(span.clone(), message);
            }
        }
    }
}

/// Tells whether the PDF library will take the picture as a logo.
fn is_logo(bytes: &[u8]) -> bool {
    let known = bytes.starts_with(PNG_MARK) || bytes.starts_with(&[0xff, 0xd8, 0xff]);
    known && !photos::is_four_colour_jpeg(bytes) && image::load_from_memory(bytes).is_ok()
}
