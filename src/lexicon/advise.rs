//! What in the lexicon works but is probably not meant: doubled wordings, everyday words that would
//! match in any sentence, terms that can never be found alone.

use super::everyday::Everyday;
use super::names::{TERM_TABLES, kind_word};
use super::problem::Problem;
use super::read::{At, RawEntry};
use super::spellings::Spellings;
use super::term::Kind;
use super::tokens;
use std::collections::HashMap;

/// The keys that hold wordings, and what a wording there is told apart by: the same verb under
/// `verb` and `not` finds different words.
const WORDING_KEYS: [(&str, &str); 11] = [
    ("name", "words"),
    ("also", "words"),
    ("verb", "words"),
    ("wordings", "words"),
    ("weak", "words"),
    ("numbered_also", "numbered"),
    ("alone_also", "alone"),
    ("not", "not"),
    ("fails", "fails"),
    ("signs", "words"),
    ("lacks", "lacks"),
];

/// Everyday words that tell of something wrong in any sentence, and so need no element beside them.
/// Common practice, no source.
const FAULTS: &[&str] = &[
    "break",
    "breaking",
    "broke",
    "broken",
    "chip",
    "collapse",
    "damage",
    "damaged",
    "dirty",
    "dropped",
    "failed",
    "failing",
    "failure",
    "fault",
    "gap",
    "incomplete",
    "inconsistent",
    "lacking",
    "loose",
    "missed",
    "missing",
    "noise",
    "noisy",
    "puncture",
    "scratch",
    "sharp",
    "split",
    "sticking",
    "stuck",
    "useless",
    "worn",
];

/// A wording of an entry, with its place.
struct Worded<'a> {
    entry: usize,
    /// The key of the file that holds it.
    list: &'static str,
    text: &'a str,
    at: &'a At,
    /// Sense and letters without spaces: what makes two wordings one.
    key: (&'static str, String),
}

/// Adds advice on the entries to `problems`.
pub(super) fn advise(entries: &[RawEntry], spellings: &Spellings, problems: &mut Vec<Problem>) {
    let everyday = Everyday::new();
    for (table, kind) in TERM_TABLES {
        let entries: Vec<_> = entries
            .iter()
            .filter(|entry| entry.table == table)
            .collect();
        let worded = worded(&entries, spellings);
        // A phrase may do two things at once (*both sides of* counts and places).
        if kind != Kind::Phrase {
            doubled(&entries, &worded, kind, problems);
        }
        if matches!(kind, Kind::Element | Kind::Defect) {
            for wording in &worded {
                let entry = entries[wording.entry];
                let plain = wording.key.0 == "words";
                let everyday = everyday.is_word(wording.text) && !FAULTS.contains(&wording.text);
                if plain && everyday && !entry.flag("weak") {
                    problems.push(wording.at.advice(format!(
                        "{:?} is an everyday word and counts in any sentence: set weak = true for \
                         {:?}, or drop the wording",
                        wording.text, entry.identity
                    )));
                }
            }
        }
    }
}

fn worded<'a>(entries: &[&'a RawEntry], spellings: &Spellings) -> Vec<Worded<'a>> {
    let mut all = Vec::new();
    for (index, &entry) in entries.iter().enumerate() {
        for (list, sense) in WORDING_KEYS {
            for text in entry.texts(list) {
                let words = tokens::split(&text.text);
                let letters: String = words.iter().map(|word| spellings.british(word)).collect();
                if letters.is_empty() {
                    continue;
                }
                let key = (sense, letters);
                all.push(Worded {
                    entry: index,
                    list,
                    text: &text.text,
                    at: &text.at,
                    key,
                });
            }
        }
    }
    all
}

fn doubled(entries: &[&RawEntry], worded: &[Worded<'_>], kind: Kind, problems: &mut Vec<Problem>) {
    let mut first: HashMap<&(&str, String), &Worded<'_>> = HashMap::new();
    let mut own = vec![0usize; entries.len()];
    for wording in worded {
        let Some(&earlier) = first.get(&wording.key) else {
            first.insert(&wording.key, wording);
            own[wording.entry] += 1;
            continue;
        };
        if earlier.entry == wording.entry {
            // Joined and split forms side by side, a noun that is a verb too, and an overlay that
            // repeats a wording do no harm.
            let repeated = (earlier.list, earlier.text) == (wording.list, wording.text);
            if repeated && earlier.at.file == wording.at.file {
                problems.push(wording.at.advice(format!(
                    "{:?} is there already, on line {}: leave one of them out",
                    wording.text, earlier.at.line
                )));
            }
        } else {
            problems.push(wording.at.advice(format!(
                "{:?} is also a wording of the {} {:?} ({}:{}): leave it to one of them",
                wording.text,
                kind_word(kind),
                entries[earlier.entry].identity,
                earlier.at.file.display(),
                earlier.at.line
            )));
        }
    }
    for (entry, own) in entries.iter().zip(own) {
        if own == 0 {
            problems.push(entry.at.advice(format!(
                "the {} {:?} is never found alone: each of its wordings belongs to an earlier entry",
                kind_word(kind),
                entry.identity
            )));
        }
    }
}
