//! Files of limits as text become rows; every problem is told with file and line.

use super::Limits;
use super::matching::fold;
use super::row::{Condition, Kind, Limit, ProRata, Role, Sense, Status, Subject, Unsaid, Whole};
use crate::lexicon::{Gravity, Problem};
use std::collections::BTreeMap;
use std::ops::Range;
use std::path::Path;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

const SUBJECT_KEYS: &[&str] = &["name", "words", "reads"];
const SENSE_KEYS: &[&str] = &[
    "name",
    "words",
    "above",
    "below",
    "deviation",
    "adds_up",
    "smallest_mm",
    "largest_mm",
    "unlike",
];
const CONDITION_KEYS: &[&str] = &["name", "said", "unless", "unsaid", "ask", "choice"];
const LIMIT_KEYS: &[&str] = &[
    "id",
    "role",
    "element",
    "quantity",
    "on",
    "sense",
    "at",
    "needs",
    "comparison",
    "strict",
    "min",
    "max",
    "unit",
    "limit",
    "gauge",
    "gauge_mm",
    "whole",
    "longest_mm",
    "pro_rata",
    "kind",
    "jurisdiction",
    "source",
    "edition",
    "clause",
    "scope",
    "status",
    "superseded",
    "unattributed",
    "confidence",
];
const UNITS: &[&str] = &["mm", "in", "mm/m", "deg", "°C", "l/s", "m²", "%"];

/// Returns `limits` with the file's entries added, and adds what is wrong to `problems`. Entries
/// with a problem are left out.
pub(super) fn add(
    mut limits: Limits,
    path: &Path,
    text: &str,
    own: bool,
    problems: &mut Vec<Problem>,
) -> Limits {
    let file = File::new(path, text);
    let (root, errors) = DeTable::parse_recoverable(text);
    let before = problems.len();
    for error in errors {
        let message = error.message().trim().replace('\n', " ");
        let span = error.span().unwrap_or(0..0);
        problems.push(file.problem(&span, format!("this is not TOML: {message}")));
    }
    let broken: Vec<usize> = problems[before..].iter().map(|p| p.line).collect();
    let syntax_problems = problems.len();
    let mut tables: Vec<_> = root.get_ref().iter().collect();
    tables.sort_by_key(|(name, _)| name.span().start);
    let mut new_rows: Vec<(Limit, Range<usize>)> = Vec::new();
    for (name, value) in tables {
        let name_span = name.span();
        let name = name.get_ref().as_ref();
        let keys = match name {
            "subject" => SUBJECT_KEYS,
            "sense" => SENSE_KEYS,
            "condition" => CONDITION_KEYS,
            "limit" => LIMIT_KEYS,
            _ => {
                let message = format!(
                    "unknown table {name:?}, expected [[limit]], [[subject]], [[sense]] or [[condition]]"
                );
                problems.push(file.problem(&name_span, message));
                continue;
            }
        };
        let entries = value.get_ref().as_array();
        for entry in entries.into_iter().flat_map(|array| array.iter()) {
            let Some(table) = entry.get_ref().as_table() else {
                problems.push(file.problem(&entry.span(), format!("write [[{name}]]")));
                continue;
            };
            let before = problems.len();
            let mut fields = Fields::new(&file, &entry.span(), table, keys, problems);
            let identity = fields.text(if name == "limit" { "id" } else { "name" });
            match name {
                "subject" => {
                    let new = subject(&mut fields, identity);
                    put(
                        &mut limits.subjects,
                        new,
                        before == fields.problems.len(),
                        |s| &s.name,
                    );
                }
                "sense" => {
                    let new = sense(&mut fields, identity);
                    put(
                        &mut limits.senses,
                        new,
                        before == fields.problems.len(),
                        |s| &s.name,
                    );
                }
                "condition" => {
                    let new = condition(&mut fields, identity);
                    put(
                        &mut limits.conditions,
                        new,
                        before == fields.problems.len(),
                        |c| &c.name,
                    );
                }
                _ => {
                    if new_rows.iter().any(|(row, _)| row.id == identity) {
                        fields.wrong("id", format!("{identity:?} stands twice in this file"));
                    }
                    let new = limit(&mut fields, identity, own);
                    new_rows.push((new.clone(), entry.span()));
                    put(
                        &mut limits.rows,
                        new,
                        before == fields.problems.len(),
                        |l| &l.id,
                    );
                }
            }
        }
        if entries.is_none() {
            problems.push(file.problem(&name_span, format!("write [[{name}]]")));
        }
    }
    resolve(&limits, &file, &new_rows, problems);
    // What else is wrong on a line that is not TOML follows from that.
    let later = problems.split_off(syntax_problems);
    problems.extend(later.into_iter().filter(|p| !broken.contains(&p.line)));
    limits
}

/// Tells names of rows that nothing defines.
fn resolve(
    limits: &Limits,
    file: &File<'_>,
    rows: &[(Limit, Range<usize>)],
    problems: &mut Vec<Problem>,
) {
    for (row, span) in rows {
        let mut unknown = |table: &str, names: &[String], known: &dyn Fn(&str) -> bool| {
            for name in names.iter().filter(|n| !known(n)) {
                let message = format!(
                    "limit {:?} names {name:?}, but no [[{table}]] has that name",
                    row.id
                );
                problems.push(file.problem(span, message));
            }
        };
        unknown("subject", &row.on, &|n| {
            limits.subjects.iter().any(|s| s.name == n)
        });
        unknown("sense", &row.sense, &|n| limits.sense(n).is_some());
        unknown("condition", &row.needs, &|n| limits.condition(n).is_some());
    }
}

/// Adds an entry, or puts it in place of the one with the same name.
fn put<T>(entries: &mut Vec<T>, new: T, sound: bool, name: impl Fn(&T) -> &String) {
    if !sound {
        return;
    }
    match entries.iter().position(|old| name(old) == name(&new)) {
        Some(at) => entries[at] = new,
        None => entries.push(new),
    }
}

fn subject(fields: &mut Fields<'_>, name: String) -> Subject {
    Subject {
        name,
        words: fields.some_texts("words").iter().map(|w| fold(w)).collect(),
        reads: fields.maybe_text("reads"),
    }
}

fn sense(fields: &mut Fields<'_>, name: String) -> Sense {
    Sense {
        name,
        words: fields.texts("words"),
        above: fields.maybe_text("above"),
        below: fields.maybe_text("below"),
        deviation: fields.flag("deviation"),
        adds_up: fields.flag("adds_up"),
        smallest_mm: fields.number("smallest_mm"),
        largest_mm: fields.number("largest_mm"),
        unlike: fields.texts("unlike"),
    }
}

fn condition(fields: &mut Fields<'_>, name: String) -> Condition {
    let unsaid = fields.one_of(
        "unsaid",
        &[
            ("holds", Unsaid::Holds),
            ("does not hold", Unsaid::DoesNotHold),
            ("ask", Unsaid::Ask),
        ],
        None,
    );
    let ask = fields.maybe_text("ask");
    if unsaid == Unsaid::Ask && ask.is_none() {
        fields.wrong(
            "unsaid",
            "a condition to ask for needs \"ask\": what to ask".into(),
        );
    }
    Condition {
        name,
        said: fields.texts("said"),
        unless: fields.texts("unless"),
        unsaid,
        ask,
        choice: fields.maybe_text("choice"),
    }
}

fn limit(fields: &mut Fields<'_>, id: String, own: bool) -> Limit {
    let (min, max) = (fields.number("min"), fields.number("max"));
    let comparison = fields.text("comparison");
    let fits = match comparison.as_str() {
        "max" => max.is_some() && min.is_none(),
        "min" => min.is_some() && max.is_none(),
        "range" => {
            (min.is_some() || max.is_some()) && !matches!((min, max), (Some(a), Some(b)) if a >= b)
        }
        _ => false,
    };
    if !fits && !comparison.is_empty() {
        let message =
            "expected \"max\" with max, \"min\" with min, or \"range\" with min below max";
        fields.wrong("comparison", message.into());
    }
    let unit = fields.text("unit");
    if !unit.is_empty() && !UNITS.contains(&unit.as_str()) {
        fields.wrong(
            "unit",
            format!("{unit:?} is unknown, expected one of {}", UNITS.join(", ")),
        );
    }
    let jurisdiction = fields.texts("jurisdiction");
    for key in &jurisdiction {
        if !super::chosen::known(key) {
            fields.wrong(
                "jurisdiction",
                format!(
                    "{key:?} is unknown, expected some of {}",
                    super::chosen::list()
                ),
            );
        }
    }
    if jurisdiction.is_empty() && !own {
        fields.wrong("jurisdiction", "say where the limit applies".into());
    }
    let gauge_mm = fields.number("gauge_mm");
    if gauge_mm.is_some_and(|mm| mm <= 0.0) {
        fields.wrong("gauge_mm", "expected a length above 0".into());
    }
    Limit {
        id,
        role: fields.one_of(
            "role",
            &[
                ("limit", Role::Limit),
                ("trigger", Role::Trigger),
                ("class", Role::Class),
                ("method", Role::Method),
            ],
            Some(Role::Limit),
        ),
        element: fields.text("element"),
        quantity: fields.text("quantity"),
        on: fields.some_texts("on"),
        sense: fields.some_texts("sense"),
        at: fields.texts("at"),
        needs: fields.texts("needs"),
        min,
        max,
        strict: fields.flag("strict"),
        unit,
        words: fields.text("limit"),
        gauge: fields.maybe_text("gauge"),
        gauge_mm,
        whole: fields.maybe_one_of(
            "whole",
            &[("storey", Whole::Storey), ("height", Whole::Height)],
        ),
        longest_mm: fields.number("longest_mm"),
        pro_rata: fields.one_of(
            "pro_rata",
            &[
                ("no", ProRata::No),
                ("shorter", ProRata::Shorter),
                ("any", ProRata::Any),
            ],
            Some(ProRata::No),
        ),
        kind: fields.one_of(
            "kind",
            &[
                ("code", Kind::Code),
                ("statutory guidance", Kind::StatutoryGuidance),
                ("standard", Kind::Standard),
                ("model specification", Kind::ModelSpecification),
                ("warranty tolerance", Kind::WarrantyTolerance),
                ("performance guideline", Kind::PerformanceGuideline),
                ("government guidance", Kind::GovernmentGuidance),
                ("industry guide", Kind::IndustryGuide),
                ("contract", Kind::Contract),
            ],
            None,
        ),
        jurisdiction,
        source: fields.text("source"),
        edition: fields.text("edition"),
        clause: fields.maybe_text("clause"),
        scope: fields.maybe_text("scope"),
        status: fields.one_of(
            "status",
            &[
                ("read", Status::Read),
                ("second-hand", Status::SecondHand),
                ("memory", Status::Memory),
            ],
            None,
        ),
        superseded: fields.flag("superseded"),
        unattributed: fields.flag("unattributed"),
        confidence: fields
            .maybe_text("confidence")
            .unwrap_or_else(|| "not stated".into()),
        own,
    }
}

/// A file with the places of its lines.
struct File<'a> {
    path: &'a Path,
    line_ends: Vec<usize>,
}

impl<'a> File<'a> {
    fn new(path: &'a Path, text: &str) -> Self {
        let ends = text.bytes().enumerate().filter(|(_, byte)| *byte == b'\n');
        File {
            path,
            line_ends: ends.map(|(at, _)| at).collect(),
        }
    }

    fn problem(&self, span: &Range<usize>, message: String) -> Problem {
        Problem {
            file: self.path.to_path_buf(),
            line: 1 + self.line_ends.partition_point(|&end| end < span.start),
            gravity: Gravity::Error,
            message,
        }
    }
}

/// The keys of one entry, read one by one.
struct Fields<'a> {
    file: &'a File<'a>,
    span: Range<usize>,
    values: BTreeMap<&'a str, &'a Spanned<DeValue<'a>>>,
    problems: &'a mut Vec<Problem>,
}

impl<'a> Fields<'a> {
    fn new(
        file: &'a File<'a>,
        span: &Range<usize>,
        table: &'a DeTable<'a>,
        keys: &[&str],
        problems: &'a mut Vec<Problem>,
    ) -> Self {
        for (name, _) in table
            .iter()
            .filter(|(n, _)| !keys.contains(&n.get_ref().as_ref()))
        {
            let message = format!(
                "unknown key {:?}, expected one of {}",
                name.get_ref(),
                keys.join(", ")
            );
            problems.push(file.problem(&name.span(), message));
        }
        let values = table
            .iter()
            .map(|(n, v)| (n.get_ref().as_ref(), v))
            .collect();
        Fields {
            file,
            span: span.clone(),
            values,
            problems,
        }
    }

    /// Tells a problem at a key's value, or at the entry where the key is missing.
    fn wrong(&mut self, key: &str, message: String) {
        let span = self.values.get(key).map_or(self.span.clone(), |v| v.span());
        self.problems
            .push(self.file.problem(&span, format!("{key:?}: {message}")));
    }

    /// Returns the text of a key that must be there.
    fn text(&mut self, key: &'static str) -> String {
        self.maybe_text(key).unwrap_or_else(|| {
            if !self.values.contains_key(key) {
                self.wrong(key, "is missing, and every entry needs it".into());
            }
            String::new()
        })
    }

    fn maybe_text(&mut self, key: &'static str) -> Option<String> {
        let value = self.values.get(key)?.get_ref().as_str();
        match value.map(str::trim) {
            Some(text) if !text.is_empty() => Some(text.to_owned()),
            _ => {
                self.wrong(key, "expected text in quotes".into());
                None
            }
        }
    }

    fn texts(&mut self, key: &'static str) -> Vec<String> {
        let Some(value) = self.values.get(key) else {
            return Vec::new();
        };
        let texts: Option<Vec<String>> = match value.get_ref().as_array() {
            Some(items) => items
                .iter()
                .map(|item| item.get_ref().as_str().map(str::to_owned))
                .collect(),
            None => None,
        };
        texts.unwrap_or_else(|| {
            self.wrong(
                key,
                "expected a list of texts, such as [\"wall\", \"ceiling\"]".into(),
            );
            Vec::new()
        })
    }

    /// Returns the texts of a key that must hold some.
    fn some_texts(&mut self, key: &'static str) -> Vec<String> {
        let texts = self.texts(key);
        if texts.is_empty() {
            self.wrong(key, "expected at least one text".into());
        }
        texts
    }

    fn flag(&mut self, key: &'static str) -> bool {
        let value = self.values.get(key).map(|v| v.get_ref().as_bool());
        if value == Some(None) {
            self.wrong(key, "expected true or false".into());
        }
        value.flatten().unwrap_or(false)
    }

    fn number(&mut self, key: &'static str) -> Option<f64> {
        let value = self.values.get(key)?.get_ref();
        let number = match (value.as_integer(), value.as_float()) {
            (Some(integer), _) => i64::from_str_radix(integer.as_str(), integer.radix())
                .ok()
                .map(|n| n as f64),
            (_, Some(float)) => float.as_str().parse().ok(),
            _ => None,
        };
        let number = number.filter(|n: &f64| n.is_finite());
        if number.is_none() {
            self.wrong(key, "expected a number".into());
        }
        number
    }

    fn maybe_one_of<T: Copy>(&mut self, key: &'static str, known: &[(&str, T)]) -> Option<T> {
        let text = self.maybe_text(key)?;
        let found = known
            .iter()
            .find(|(word, _)| *word == text)
            .map(|(_, t)| *t);
        if found.is_none() {
            let words: Vec<_> = known.iter().map(|(word, _)| *word).collect();
            self.wrong(
                key,
                format!("{text:?} is unknown, expected one of {}", words.join(", ")),
            );
        }
        found
    }

    /// Returns what the key's word stands for, or `usual` where the key is missing. Without `usual`
    /// the key must be there; the first of `known` stands in after a problem was told.
    fn one_of<T: Copy>(&mut self, key: &'static str, known: &[(&str, T)], usual: Option<T>) -> T {
        if !self.values.contains_key(key)
            && let Some(usual) = usual
        {
            return usual;
        }
        if !self.values.contains_key(key) {
            self.wrong(key, "is missing, and every entry needs it".into());
        }
        self.maybe_one_of(key, known).unwrap_or(known[0].1)
    }
}
