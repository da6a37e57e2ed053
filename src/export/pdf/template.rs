//! The user's own paper: logo, colours, fonts, order of sections and standard texts from a TOML
//! file. `docs/template.md` documents it for users.

use super::colour::Colour;
use super::fonts;
use super::look::{LEAST_CONTRAST, Look};
use super::photos;
use super::write::PNG_MARK;
use std::ops::Range;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use toml::Spanned;
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

/// The tables of a template and their keys.
const TABLES: [(&str, &[&str]); 4] = [
    ("paper", &["logo", "sections"]),
    ("colours", &["main", "text", "quiet", "alert"]),
    ("fonts", &["regular", "italic", "bold", "title"]),
    ("texts", &["kind", "firm", "foot", "inspection", "reading"]),
];

struct Reader<'a, F> {
    file: &'a Path,
    text: &'a str,
    open: &'a F,
    problems: Vec<TemplateProblem>,
}

type Value<'i> = Spanned<DeValue<'i>>;

impl<F: Fn(&Path) -> std::io::Result<Vec<u8>>> Reader<'_, F> {
    fn problem(&mut self, at: Range<usize>, message: String) {
        let before = self.text.get(..at.start).unwrap_or(self.text);
        self.problems.push(TemplateProblem {
            file: self.file.to_path_buf(),
            line: before.matches('\n').count() + 1,
            message,
        });
    }

    fn unknown_table(&mut self, table: &Spanned<std::borrow::Cow<'_, str>>, name: &str) {
        let known: Vec<String> = TABLES.iter().map(|(name, _)| format!("[{name}]")).collect();
        self.problem(
            table.span(),
            format!(
                "{name}: no such table; expected one of {}",
                known.join(", ")
            ),
        );
    }

    fn entry(
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
    fn contrast(&mut self, look: &Look, lines: &[(String, Range<usize>)]) {
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

#[cfg(test)]
mod tests {
    use super::*;

    fn parse(text: &str) -> Result<(Template, Vec<TemplateProblem>), Vec<TemplateProblem>> {
        Template::parse(Path::new("own/paper.toml"), text, |path| {
            match path.to_str() {
                Some("own/regular.otf") => {
                    Ok(include_bytes!("../../../fonts/SourceSans3-It.otf").to_vec())
                }
                Some("own/text.txt") => Ok(b"text".to_vec()),
                _ => Err(std::io::ErrorKind::NotFound.into()),
            }
        })
    }

    fn problems(text: &str) -> Vec<String> {
        let problems = match parse(text) {
            Ok((_, warnings)) => warnings,
            Err(problems) => problems,
        };
        problems.iter().map(ToString::to_string).collect()
    }

    #[test]
    fn everything_can_be_set() {
        let (template, warnings) = parse(
            r##"
[paper]
sections = ["list", "index"]
[colours]
main = "#333366"
[fonts]
regular = "regular.otf"
[texts]
firm = ["Pell & Dray", "12 Fold Lane"]
foot = "Private"
inspection = "What could be seen."
"##,
        )
        .unwrap();
        assert_eq!(warnings, []);
        assert_eq!(template.sections, Some(vec![Section::List, Section::Index]));
        assert_eq!(template.look.main, Colour(0x33, 0x33, 0x66));
        assert!(template.look.fonts[0].is_some());
        assert_eq!(template.texts.firm, ["Pell & Dray", "12 Fold Lane"]);
        assert_eq!(
            template.texts.inspection,
            Some(vec!["What could be seen.".into()])
        );
        assert_eq!(parse("").unwrap().0, Template::default());
    }

    #[test]
    fn problems_name_line_and_field() {
        for (text, expected) in [
            (
                "[colours]\nmain = \"teal\"",
                "own/paper.toml:2: colours.main: \"teal\" is no colour; expected six hexadecimal digits as in \"#174a5b\"",
            ),
            (
                "\n[colours]\n\nmain = 7",
                "own/paper.toml:4: colours.main: expected a text in quotes",
            ),
            (
                "[colours]\nmane = \"#000000\"",
                "own/paper.toml:2: colours.mane: no such field; expected one of main, text, quiet, alert",
            ),
            (
                "[colors]\nmain = \"#000000\"",
                "own/paper.toml:1: colors: no such table; expected one of [paper], [colours], [fonts], [texts]",
            ),
            (
                "main = \"#000000\"",
                "own/paper.toml:1: main: no such table; expected one of [paper], [colours], [fonts], [texts]",
            ),
            (
                "[paper]\nsections = [\"list\", \"lists\"]",
                "own/paper.toml:2: paper.sections: no section \"lists\"; expected some of cover, summary, reading, contents, list, cautions, words, index, sources",
            ),
            (
                "[paper]\nsections = [\"list\", \"list\"]",
                "own/paper.toml:2: paper.sections: \"list\" stands there twice; name each section once",
            ),
            (
                "[paper]\nsections = [\"cover\"]",
                "own/paper.toml:2: paper.sections: \"list\" is missing; a report without its items is none",
            ),
            (
                "[paper]\nlogo = \"text.txt\"",
                "own/paper.toml:2: paper.logo: not a picture that can be used; expected a PNG or an RGB JPEG file",
            ),
            (
                "[fonts]\nbold = \"text.txt\"",
                "own/paper.toml:2: fonts.bold: not a TrueType or OpenType font",
            ),
            (
                "[fonts]\nbold = \"gone.ttf\"",
                "own/paper.toml:2: fonts.bold: cannot read own/gone.ttf: entity not found",
            ),
            (
                "[texts]\nfoot = \"\"",
                "own/paper.toml:2: texts.foot: expected a text in quotes",
            ),
        ] {
            assert_eq!(problems(text), [expected]);
        }
        assert_eq!(
            problems("[texts]\nfoot = \"a\nb\"").len(),
            1,
            "a fault of TOML"
        );
        assert_eq!(
            problems("[colours]\nmain = 1\ntext = 2\n[font]\na = 1").len(),
            3,
            "all at once"
        );
    }

    #[test]
    fn pale_colours_are_warned_of() {
        let warnings = problems("[colours]\nmain = \"#1d4f5c\"\nquiet = \"#aaaaaa\"");
        assert_eq!(
            warnings[0],
            "own/paper.toml:3: colours.quiet: the contrast of #aaaaaa on #ffffff (white paper) is 2.3 to 1; \
             at least 4.5 to 1 can be read by most people (WCAG 2.2, 1.4.3)"
        );
    }
}
