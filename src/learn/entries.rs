//! Reading an overlay of lessons back, entry by entry, so that one can be taken out, told about or held
//! against another. What a person added in other forms is left as it is.

use super::lesson::{Called, Teaching};
use crate::items::Severity;
use crate::lexicon::{Kind, VoiceData};
use toml::{Table, Value};

/// One entry of an overlay.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// What it teaches; `None` for entries that are no lesson of a known kind.
    pub teaching: Option<Teaching>,
    /// The date on which it was accepted; empty where it has none.
    pub learnt: String,
    /// Why it was accepted; empty where nothing says.
    pub reason: String,
    /// Occasions that spoke for it.
    pub evidence: Vec<String>,
    /// Its lines as they stand in the file, with the comments before it.
    pub lines: String,
}

/// Returns the comments at the head of an overlay, and its entries in order. Joined again they are the
/// text.
pub fn entries(text: &str) -> (String, Vec<Entry>) {
    let mut blocks: Vec<String> = vec![String::new()];
    for line in text.split_inclusive('\n') {
        if line.trim_start().starts_with("[[") {
            blocks.push(String::new());
        }
        if let Some(block) = blocks.last_mut() {
            block.push_str(line);
        }
    }
    let head = blocks.remove(0);
    (head, blocks.into_iter().map(entry).collect())
}

fn entry(lines: String) -> Entry {
    let parsed = lines.parse::<Table>().ok();
    let of = |(table, value): (String, Value)| {
        let first = value.as_array()?.first()?.as_table()?.clone();
        Some((table, first))
    };
    let found = parsed
        .and_then(|table| table.into_iter().next())
        .and_then(of);
    let (table, keys) = found.unwrap_or_default();
    Entry {
        teaching: teaching(&table, &keys),
        learnt: text(&keys, "learnt").unwrap_or_default(),
        reason: text(&keys, "reason").unwrap_or_default(),
        evidence: texts(&keys, "evidence"),
        lines,
    }
}

fn teaching(table: &str, keys: &Table) -> Option<Teaching> {
    if table == "heard" {
        return Some(Teaching::HeardAs {
            heard: text(keys, "heard")?,
            term: Called {
                kind: kind(&text(keys, "kind")?)?,
                name: text(keys, "term")?,
            },
            near: texts(keys, "near").into_iter().collect(),
        });
    }
    if table == "phrase" {
        let [words] = &texts(keys, "wordings")[..] else {
            return None;
        };
        let chat = text(keys, "kind")? == "chat";
        return chat.then(|| Teaching::NoDefect {
            words: words.clone(),
        });
    }
    if table == "sureness" {
        let claims = texts(keys, "claims");
        return Some(Teaching::Sureness { claims });
    }
    if table == "voice" {
        return Some(Teaching::Voice(VoiceData {
            elements: texts(keys, "elements"),
            defects: texts(keys, "defects"),
            confusions: texts(keys, "confusions"),
        }));
    }
    let term = Called {
        kind: kind(table)?,
        name: text(keys, "name")?,
    };
    let of = match term.kind {
        Kind::Place => text(keys, "kind"),
        Kind::Defect => texts(keys, "befalls").into_iter().next(),
        _ => text(keys, "group"),
    };
    if let Some(of) = of {
        let heard = texts(keys, "heard").into_iter().collect();
        return Some(Teaching::Term { term, of, heard });
    }
    if let Some(wording) = texts(keys, "also").into_iter().next() {
        return Some(Teaching::Wording { wording, term });
    }
    if let Some(Value::Table(pairs)) = keys.get("remedy_for") {
        let (element, remedy) = pairs.iter().next()?;
        return Some(Teaching::Remedy {
            defect: term.name,
            element: element.clone(),
            remedy: remedy.as_str()?.to_owned(),
        });
    }
    if let Some(trade) = text(keys, "trade") {
        let element = term.name;
        return Some(Teaching::Trade { element, trade });
    }
    let severity = severity(&text(keys, "severity")?)?;
    let defect = term.name;
    Some(Teaching::Severity { defect, severity })
}

fn text(keys: &Table, key: &str) -> Option<String> {
    keys.get(key)?.as_str().map(str::to_owned)
}

fn texts(keys: &Table, key: &str) -> Vec<String> {
    match keys.get(key) {
        Some(Value::String(one)) => vec![one.clone()],
        Some(Value::Array(all)) => all
            .iter()
            .filter_map(|v| v.as_str().map(str::to_owned))
            .collect(),
        _ => Vec::new(),
    }
}

fn kind(word: &str) -> Option<Kind> {
    match word {
        "place" => Some(Kind::Place),
        "element" => Some(Kind::Element),
        "defect" => Some(Kind::Defect),
        _ => None,
    }
}

fn severity(word: &str) -> Option<Severity> {
    use Severity::{Clean, Finish, Repair, Safety, Watch};
    let all = [Safety, Repair, Finish, Clean, Watch];
    all.into_iter()
        .find(|s| crate::job::severity_word(*s) == word)
}

/// Returns true where two lessons cannot both hold: the same words for different things, or another
/// answer to the same question.
pub fn contradict(a: &Teaching, b: &Teaching) -> bool {
    let words = |teaching: &Teaching| match teaching {
        Teaching::HeardAs { heard, term, .. } => Some((heard.clone(), Some(term.clone()))),
        Teaching::Wording { wording, term } => Some((wording.clone(), Some(term.clone()))),
        Teaching::NoDefect { words } => Some((words.clone(), None)),
        _ => None,
    };
    if let (Some((a, one)), Some((b, other))) = (words(a), words(b)) {
        return a == b && one != other;
    }
    match (a, b) {
        (
            Teaching::Remedy {
                defect,
                element,
                remedy,
            },
            Teaching::Remedy {
                defect: d,
                element: e,
                remedy: r,
            },
        ) => (defect, element) == (d, e) && remedy != r,
        (
            Teaching::Trade { element, trade },
            Teaching::Trade {
                element: e,
                trade: t,
            },
        ) => element == e && trade != t,
        (
            Teaching::Severity { defect, severity },
            Teaching::Severity {
                defect: d,
                severity: s,
            },
        ) => defect == d && severity != s,
        (Teaching::Voice(one), Teaching::Voice(other)) => one != other,
        (Teaching::Sureness { claims }, Teaching::Sureness { claims: other }) => claims != other,
        (Teaching::Term { term, of, .. }, Teaching::Term { term: t, of: o, .. }) => {
            term == t && of != o
        }
        _ => false,
    }
}
