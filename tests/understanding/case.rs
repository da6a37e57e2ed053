//! How a case is written.
//!
//! ```text
//! # A comment, where the line begins with a hash sign.
//! --- the name of the case, used once in all files
//! Kitchen. The worktop is scratched.       what is said, as a transcript; each line ends a line of it
//! => kitchen | worktop | scratched         one item: place | element | defect, then any facts
//! ```
//!
//! Items come in spoken order and none may be missing or left over; `=> (nothing)` is no item at
//! all. The place is exact; element and defect hold all the words given. Facts after them, in any
//! order, joined by ` | `:
//!
//! | fact | true where |
//! |---|---|
//! | `count=2` | so many of them |
//! | `measure=6 mm`, `measure=6-8 mm`, `measure=9 mm over 2 m`, `measure=~5 mm` | it is one of the item's measurements, all told (`~`: approximate) |
//! | `no measure`, `no remedy`, `no position`, `no remark`, `sure` | there is none; not hedged |
//! | `position=words`, `remedy=words`, `caution=words`, `remark=words` | it holds all the words |
//! | `spoken` / `suggested` | where the remedy comes from |
//! | `trade=name`, `severity=name` | it is just that |
//! | `hedged`, `photo` | the item is marked so |
//! | `heard=sounds like` | one of its words was heard so (`carried`, `own words`) |
//!
//! `=> places: a, b` asks for exactly these places, in walking order.
//!
//! `=> dropped: why` asks that something was left out for this reason.
//!
//! In what is said, `{word?}` is a word that the recogniser is unsure of, and `[pause 3]` is a pause of three seconds, which gives all words times.

use callover::speech::{Recording, Transcript, Word};
use callover::time::{Millis, Span};
use std::path::Path;

/// Probability of a word that the recogniser is unsure of.
const UNSURE: f32 = 0.4;

/// Length of a spoken word and of the gap after it, in milliseconds: the pace of calm speech.
const WORD_LENGTH: u64 = 300;
const WORD_GAP: u64 = 60;

/// One case.
pub(crate) struct Case {
    pub(crate) file: String,
    pub(crate) name: String,
    pub(crate) text: String,
    pub(crate) transcript: Transcript,
    pub(crate) items: Vec<Wanted>,
    pub(crate) places: Option<Vec<String>>,
    pub(crate) dropped: Vec<String>,
}

/// One item asked for.
pub(crate) struct Wanted {
    pub(crate) line: String,
    pub(crate) place: String,
    pub(crate) element: String,
    pub(crate) defect: String,
    pub(crate) facts: Vec<String>,
}

/// Returns the cases of a file.
pub(crate) fn read(path: &Path) -> Vec<Case> {
    let text = std::fs::read_to_string(path).unwrap();
    let file = path.file_name().unwrap().to_string_lossy();
    parse(&file, &text)
}

/// Returns the cases of a text; panics where one is written wrongly.
pub(crate) fn parse(file: &str, text: &str) -> Vec<Case> {
    let lines = text
        .lines()
        .map(str::trim)
        .filter(|l| !l.is_empty() && !l.starts_with('#'));
    let mut cases: Vec<(String, Vec<&str>, Vec<&str>)> = Vec::new();
    for line in lines {
        if let Some(name) = line.strip_prefix("--- ") {
            cases.push((name.to_owned(), Vec::new(), Vec::new()));
            continue;
        }
        let (name, said, made) = cases
            .last_mut()
            .unwrap_or_else(|| panic!("{file}: text before the first case"));
        match line.strip_prefix("=> ") {
            Some(expected) => made.push(expected),
            None if made.is_empty() => said.push(line),
            None => panic!("{file}: {name}: what is said stands before what is made"),
        }
    }
    cases
        .into_iter()
        .map(|(name, said, made)| case(file, name, &said, &made))
        .collect()
}

fn case(file: &str, name: String, said: &[&str], made: &[&str]) -> Case {
    assert!(
        !said.is_empty() && !made.is_empty(),
        "{file}: {name}: says or makes nothing"
    );
    let mut items = Vec::new();
    let mut places = None;
    let mut dropped = Vec::new();
    for line in made.iter().filter(|line| **line != "(nothing)") {
        match (
            line.strip_prefix("places: "),
            line.strip_prefix("dropped: "),
        ) {
            (Some(list), _) => places = Some(list.split(", ").map(str::to_owned).collect()),
            (_, Some(why)) => dropped.push(why.to_owned()),
            (None, None) => {
                items.push(item(line).unwrap_or_else(|| panic!("{file}: {name}: no item: {line}")))
            }
        }
    }
    Case {
        file: file.to_owned(),
        name,
        text: said.join(" "),
        transcript: transcript(said),
        items,
        places,
        dropped,
    }
}

fn item(line: &str) -> Option<Wanted> {
    let mut parts = line.split('|').map(|part| part.trim().to_owned());
    Some(Wanted {
        line: line.to_owned(),
        place: parts.next()?,
        element: parts.next()?,
        defect: parts.next()?,
        facts: parts.collect(),
    })
}

/// Returns the words of some lines; with times where they hold a pause.
pub(crate) fn transcript(lines: &[&str]) -> Transcript {
    let timed = lines.iter().any(|line| line.contains("[pause "));
    let mut words: Vec<Word> = Vec::new();
    let mut at = 0u64;
    for line in lines {
        let mut parts = line.split_whitespace();
        while let Some(part) = parts.next() {
            if part == "[pause" {
                let seconds = parts
                    .next()
                    .and_then(|p| p.strip_suffix(']'))
                    .expect("[pause SECONDS]");
                at += Millis::from_seconds(seconds.parse().expect("seconds of a pause")).0;
                continue;
            }
            let unsure = part.starts_with('{') && part.contains("?}");
            let text: String = part
                .replace("?}", "}")
                .chars()
                .filter(|c| !matches!(c, '{' | '}'))
                .collect();
            words.push(Word {
                text,
                recording: 1,
                span: timed.then(|| Span::new(Millis(at), Millis(at + WORD_LENGTH))),
                probability: if unsure { UNSURE } else { 1.0 },
                line_end: false,
                meant: None,
            });
            at += WORD_LENGTH + WORD_GAP;
        }
        if let Some(last) = words.last_mut() {
            last.line_end = true;
        }
    }
    let recording = Recording {
        id: 1,
        file: "case.txt".into(),
        sha256: "0".repeat(64),
        duration_s: 0.0,
        speech_s: 0.0,
    };
    Transcript {
        recordings: vec![recording],
        words,
    }
}
