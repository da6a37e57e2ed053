//! Lexicon files as text become raw entries that remember their lines.

use super::problem::{Gravity, Problem};
use super::schema::{Form, Key, Table};
use std::collections::BTreeMap;
use std::ops::Range;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Where something stands.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct At {
    pub(super) file: Arc<PathBuf>,
    /// Line, from 1.
    pub(super) line: usize,
}

impl At {
    /// Returns a problem at this place that stops the lexicon from loading.
    pub(super) fn error(&self, message: impl Into<String>) -> Problem {
        self.problem(Gravity::Error, message)
    }

    /// Returns a problem at this place that does not.
    pub(super) fn advice(&self, message: impl Into<String>) -> Problem {
        self.problem(Gravity::Advice, message)
    }

    fn problem(&self, gravity: Gravity, message: impl Into<String>) -> Problem {
        let (file, line) = (self.file.as_ref().clone(), self.line);
        Problem {
            file,
            line,
            gravity,
            message: message.into(),
        }
    }
}

/// A text with its place.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Text {
    pub(super) text: String,
    pub(super) at: At,
}

/// The value of a key.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Value {
    Texts(Vec<Text>),
    Flag(bool),
    Count(u64),
    Pairs(Vec<(Text, Text)>),
}

/// One entry as written.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct RawEntry {
    pub(super) table: Table,
    /// Value of the table's identity key.
    pub(super) identity: String,
    pub(super) at: At,
    pub(super) values: BTreeMap<&'static str, Value>,
}

impl RawEntry {
    /// Returns the first text of a key, or `None` where the key is absent.
    pub(super) fn text(&self, key: &str) -> Option<&Text> {
        self.texts(key).first()
    }

    /// Returns the texts of a key; none where it is absent.
    pub(super) fn texts(&self, key: &str) -> &[Text] {
        match self.values.get(key) {
            Some(Value::Texts(texts)) => texts,
            _ => &[],
        }
    }

    /// Returns the texts of a key without their places.
    pub(super) fn words(&self, key: &str) -> Vec<String> {
        self.texts(key)
            .iter()
            .map(|text| text.text.clone())
            .collect()
    }

    /// Returns true where the key is there and true.
    pub(super) fn flag(&self, key: &str) -> bool {
        matches!(self.values.get(key), Some(Value::Flag(true)))
    }

    /// Returns the pairs of a key; none where it is absent.
    pub(super) fn pairs(&self, key: &str) -> &[(Text, Text)] {
        match self.values.get(key) {
            Some(Value::Pairs(pairs)) => pairs,
            _ => &[],
        }
    }
}

/// Returns the entries of a file in order, adding what is wrong to `problems`. Entries without their
/// identity key are left out.
pub(super) fn read(path: &Path, text: &str, problems: &mut Vec<Problem>) -> Vec<RawEntry> {
    let ends = text.bytes().enumerate().filter(|(_, byte)| *byte == b'\n');
    let mut reader = Reader {
        file: Arc::new(path.to_path_buf()),
        line_ends: ends.map(|(at, _)| at).collect(),
        problems,
    };
    let (root, errors) = DeTable::parse_recoverable(text);
    let mut broken_lines = Vec::new();
    for error in errors {
        let at = reader.at(&error.span().unwrap_or(0..0));
        broken_lines.push(at.line);
        let message = error.message().trim().replace('\n', " ");
        reader
            .problems
            .push(at.error(format!("this is not TOML: {message}")));
    }
    let syntax_problems = reader.problems.len();
    let mut entries = Vec::new();
    let mut tables: Vec<_> = root.get_ref().iter().collect();
    tables.sort_by_key(|(name, _)| name.span().start);
    for (name, value) in tables {
        reader.table(name.get_ref(), &name.span(), value, &mut entries);
    }
    entries.sort_by_key(|entry: &RawEntry| entry.at.line);
    // What else is wrong on a line that is not TOML follows from that.
    let later = problems.split_off(syntax_problems);
    problems.extend(
        later
            .into_iter()
            .filter(|problem| !broken_lines.contains(&problem.line)),
    );
    entries
}

struct Reader<'a> {
    file: Arc<PathBuf>,
    /// Where the line ends are, in bytes.
    line_ends: Vec<usize>,
    problems: &'a mut Vec<Problem>,
}

impl Reader<'_> {
    fn at(&self, span: &Range<usize>) -> At {
        let line = 1 + self.line_ends.partition_point(|&end| end < span.start);
        At {
            file: Arc::clone(&self.file),
            line,
        }
    }

    fn error(&mut self, span: &Range<usize>, message: String) {
        let at = self.at(span);
        self.problems.push(at.error(message));
    }

    fn table(
        &mut self,
        name: &str,
        span: &Range<usize>,
        value: &Spanned<DeValue<'_>>,
        entries: &mut Vec<RawEntry>,
    ) {
        let Some(table) = Table::named(name) else {
            let known = Table::ALL.map(|(_, name)| format!("[[{name}]]")).join(", ");
            self.error(
                span,
                format!("unknown table {name:?}, expected one of {known}"),
            );
            return;
        };
        let Some(items) = value.get_ref().as_array() else {
            self.error(
                span,
                format!("{name:?} must be a list of tables: write [[{name}]]"),
            );
            return;
        };
        for item in items.iter() {
            match item.get_ref().as_table() {
                Some(keys) => entries.extend(self.entry(table, &item.span(), keys)),
                None => {
                    let message = format!("{name:?} must be a list of tables: write [[{name}]]");
                    self.error(&item.span(), message);
                }
            }
        }
    }

    fn entry(&mut self, table: Table, span: &Range<usize>, keys: &DeTable<'_>) -> Option<RawEntry> {
        let at = self.at(span);
        let mut values = BTreeMap::new();
        let mut in_order: Vec<_> = keys.iter().collect();
        in_order.sort_by_key(|(name, _)| name.span().start);
        for (name, value) in in_order {
            let Some(key) = table.key(name.get_ref()) else {
                let known: Vec<_> = table.keys().iter().map(|key| key.name).collect();
                self.error(
                    &name.span(),
                    format!(
                        "unknown key {:?} in [[{}]], expected one of {}",
                        name.get_ref(),
                        table.name(),
                        known.join(", ")
                    ),
                );
                continue;
            };
            if let Some(value) = self.value(key, value) {
                values.insert(key.name, value);
            }
        }
        let identity = match values.get(table.identity()) {
            Some(Value::Texts(texts)) => texts.first().map(|text| text.text.clone()),
            _ => None,
        };
        if identity.is_none()
            && !keys
                .iter()
                .any(|(name, _)| name.get_ref() == table.identity())
        {
            self.problems.push(at.error(format!(
                "this [[{}]] has no {:?}, which every entry needs",
                table.name(),
                table.identity()
            )));
        }
        Some(RawEntry {
            table,
            identity: identity?,
            at,
            values,
        })
    }

    fn value(&mut self, key: &Key, value: &Spanned<DeValue<'_>>) -> Option<Value> {
        let span = value.span();
        match key.form {
            Form::Text | Form::Wording | Form::OneOf(_) => {
                let text = self.one_text(key, value)?;
                Some(Value::Texts(vec![text]))
            }
            Form::Wordings | Form::Names => match value.get_ref().as_array() {
                None => Some(Value::Texts(vec![self.one_text(key, value)?])),
                Some(items) => {
                    let texts = items.iter().filter_map(|item| self.one_text(key, item));
                    Some(Value::Texts(texts.collect()))
                }
            },
            Form::Flag => match value.get_ref().as_bool() {
                Some(flag) => Some(Value::Flag(flag)),
                None => {
                    self.wrong_form(key, value, "true or false");
                    None
                }
            },
            Form::Count => {
                let number = value.get_ref().as_integer();
                match number.and_then(|n| u64::from_str_radix(n.as_str(), n.radix()).ok()) {
                    Some(count) => Some(Value::Count(count)),
                    None => {
                        self.wrong_form(key, value, "a whole number from 0");
                        None
                    }
                }
            }
            Form::Pairs => match value.get_ref().as_table() {
                None => {
                    self.wrong_form(key, value, "pairs such as { glazing = \"replace pane\" }");
                    None
                }
                Some(table) => {
                    let mut pairs = Vec::new();
                    for (name, value) in table.iter() {
                        let at = self.at(&name.span());
                        let left = Text {
                            text: name.get_ref().to_string(),
                            at,
                        };
                        if let Some(right) = self.one_text(key, value) {
                            pairs.push((left, right));
                        }
                    }
                    pairs.sort_by(|a, b| a.0.at.cmp(&b.0.at).then(a.0.text.cmp(&b.0.text)));
                    if pairs.is_empty() {
                        self.error(&span, format!("{:?} is empty: leave it out", key.name));
                    }
                    Some(Value::Pairs(pairs))
                }
            },
        }
    }

    fn one_text(&mut self, key: &Key, value: &Spanned<DeValue<'_>>) -> Option<Text> {
        let span = value.span();
        let Some(text) = value.get_ref().as_str() else {
            self.wrong_form(key, value, "text in quotes");
            return None;
        };
        if text.trim().is_empty() {
            self.error(
                &span,
                format!("{:?} is empty text: write words or leave it out", key.name),
            );
            return None;
        }
        if matches!(key.form, Form::Wording | Form::Wordings) && !is_wording(text) {
            self.error(
                &span,
                format!(
                    "{:?} holds {text:?}, expected lowercase words with single spaces and no \
                     punctuation but apostrophes and hyphens",
                    key.name
                ),
            );
            return None;
        }
        if let Form::OneOf(words) = key.form
            && !words.contains(&text)
        {
            let words = words.join(", ");
            self.error(
                &span,
                format!("{:?} is {text:?}, expected one of {words}", key.name),
            );
            return None;
        }
        Some(Text {
            text: text.to_owned(),
            at: self.at(&span),
        })
    }

    fn wrong_form(&mut self, key: &Key, value: &Spanned<DeValue<'_>>, expected: &str) {
        let found = value.get_ref().type_str();
        let message = format!("{:?} holds {found}, expected {expected}", key.name);
        self.error(&value.span(), message);
    }
}

/// Returns true for lowercase words of letters, digits, apostrophes and hyphens with single spaces
/// between them.
fn is_wording(text: &str) -> bool {
    let is_letter = |c: char| {
        (c.is_alphanumeric() && c.to_lowercase().eq([c])) || matches!(c, '\'' | '-' | '%' | '½')
    };
    text.split(' ')
        .all(|word| !word.is_empty() && word.chars().all(is_letter))
}
