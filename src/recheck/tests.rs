//! A later visit as a specification: what is said, and the findings it makes.
//!
//! The cases are in `tests/second_visit.txt`, the list they are about in `tests/list.txt`.

use super::*;
use crate::job::samples;
use crate::speech::{Recording, Word};
use crate::statements::standing::all_wordings;
use proptest::prelude::*;
use std::sync::LazyLock;

static LEXICON: LazyLock<Lexicon> = LazyLock::new(|| Lexicon::builtin().unwrap());
static LIST: LazyLock<Vec<Item>> =
    LazyLock::new(|| include_str!("tests/list.txt").lines().map(item).collect());

fn item(line: &str) -> Item {
    let [number, place, element, defect, position, trade] =
        line.split('|').map(str::trim).collect::<Vec<_>>()[..]
    else {
        panic!("not six parts: {line}");
    };
    let mut item = samples::item(number.parse().unwrap(), place, element, defect);
    item.position = Some(position.into()).filter(|text: &String| !text.is_empty());
    item.trade = Some(trade.into());
    item.status = Status::Confirmed;
    item
}

fn transcript(lines: &[&str]) -> Transcript {
    let mut words: Vec<Word> = Vec::new();
    for line in lines {
        words.extend(line.split_whitespace().map(|text| Word {
            text: text.into(),
            recording: 2,
            span: None,
            probability: 1.0,
            line_end: false,
            meant: None,
        }));
        if let Some(last) = words.last_mut() {
            last.line_end = true;
        }
    }
    let recording = Recording {
        id: 2,
        file: "second.txt".into(),
        sha256: "2".repeat(64),
        duration_s: 0.0,
        speech_s: 0.0,
    };
    Transcript {
        recordings: vec![recording],
        words,
    }
}

fn heard(lines: &[&str]) -> Heard {
    let visit = LaterVisit {
        number: 2,
        date: "2026-04-03".into(),
    };
    understand(&LEXICON, &transcript(lines), &LIST, &visit)
}

fn number_of(finding: &Finding) -> u32 {
    LIST.iter()
        .find(|item| item.id == finding.item)
        .map_or(0, |item| item.number)
}

fn standing_word(standing: Standing) -> String {
    let json = serde_json::to_value(standing).unwrap();
    json.as_str().unwrap().to_owned()
}

/// Returns what was heard, one line a finding or new item.
fn shown(heard: &Heard) -> Vec<String> {
    let findings = heard.findings.iter().map(|finding| {
        let sure = if finding.confidence >= SURE {
            "sure"
        } else {
            "unsure"
        };
        let standing = standing_word(finding.seen.standing);
        format!(
            "{} {standing} | {} | {sure}",
            number_of(finding),
            finding.seen.note
        )
    });
    let fresh = heard.fresh.items.iter();
    findings
        .chain(fresh.map(|item| format!("new {} | {} | {}", item.place, item.element, item.defect)))
        .collect()
}

/// True where a wanted line stands for a shown one: same number and standing, all words of the rest.
fn fits(wanted: &str, shown: &str) -> bool {
    let mut parts = wanted.split('|').map(str::trim);
    let mut found = shown.split('|').map(str::trim);
    parts.next() == found.next() && {
        let rest: Vec<&str> = found.collect();
        parts.all(|part| match part {
            "sure" | "unsure" => rest.last() == Some(&part),
            words => words.split(' ').all(|word| rest.join(" ").contains(word)),
        })
    }
}

struct Case {
    name: &'static str,
    said: Vec<&'static str>,
    wanted: Vec<&'static str>,
    notes: Vec<&'static str>,
}

fn cases(text: &'static str) -> Vec<Case> {
    let mut cases: Vec<Case> = Vec::new();
    for line in text.lines().map(str::trim) {
        if line.is_empty() || line.starts_with("# ") || line == "#" {
            continue;
        }
        if let Some(name) = line.strip_prefix("--- ") {
            cases.push(Case {
                name,
                said: Vec::new(),
                wanted: Vec::new(),
                notes: Vec::new(),
            });
            continue;
        }
        let case = cases.last_mut().unwrap();
        match (line.strip_prefix("=> note "), line.strip_prefix("=> ")) {
            (Some(note), _) => case.notes.push(note),
            (_, Some("(nothing)")) => {}
            (_, Some(wanted)) => case.wanted.push(wanted),
            _ => case.said.push(line),
        }
    }
    cases
}

fn failure(case: &Case) -> Option<String> {
    let heard = heard(&case.said);
    let mut left = shown(&heard);
    let mut missing = Vec::new();
    for wanted in &case.wanted {
        match left.iter().position(|shown| fits(wanted, shown)) {
            Some(at) => _ = left.remove(at),
            None => missing.push(*wanted),
        }
    }
    let noted = |note: &&&str| {
        heard
            .fresh
            .unplaced
            .iter()
            .any(|one| one.why.contains(**note))
    };
    let silent: Vec<_> = case.notes.iter().filter(|note| !noted(note)).collect();
    (!missing.is_empty() || !left.is_empty() || !silent.is_empty()).then(|| {
        format!(
            "{}\n  said: {}\n  missing: {missing:?}\n  too many: {left:?}\n  not noted: {silent:?}\n",
            case.name,
            case.said.join(" / ")
        )
    })
}

#[test]
fn every_case_makes_its_findings() {
    let cases = cases(include_str!("tests/second_visit.txt"));
    assert!(cases.len() >= 80, "only {} cases were read", cases.len());
    let failures: Vec<String> = cases.iter().filter_map(failure).collect();
    assert!(
        failures.is_empty(),
        "{} of {} cases differ:\n\n{}",
        failures.len(),
        cases.len(),
        failures.join("\n")
    );
}

/// A comparison that cannot fail would make every case worthless.
#[test]
fn a_wrong_expectation_is_told_apart() {
    let said = "--- x\nTwelve's been touched in but it's patchy.\n=> ";
    for (wanted, right) in [
        ("12 changed | patchy", true),
        ("12 put-right", false),
        ("13 changed", false),
        ("12 changed | rough", false),
        ("12 changed | unsure", false),
        ("(nothing)", false),
        ("12 changed\n=> new hallway | door | loose", false),
    ] {
        let text: &'static str = Box::leak(format!("{said}{wanted}").into_boxed_str());
        assert_eq!(failure(&cases(text)[0]).is_none(), right, "{wanted}");
    }
}

/// The example walk-round and the walk-round words alone say nothing of a second visit, apart from
/// what is named again as it was.
#[test]
fn a_first_walk_round_puts_nothing_right() {
    let text = include_str!("../../examples/plot-seven.txt");
    let lines: Vec<&str> = text.lines().filter(|line| !line.starts_with('#')).collect();
    let heard = heard(&lines);
    let right: Vec<_> = heard
        .findings
        .iter()
        .filter(|finding| finding.seen.standing == Standing::PutRight && finding.confidence >= SURE)
        .map(|finding| &finding.seen.quote)
        .collect();
    assert!(right.is_empty(), "{right:?}");
}

#[test]
fn only_confirmed_items_are_looked_for() {
    let mut list = LIST.clone();
    list[11].status = Status::Proposed;
    list[12].status = Status::Rejected;
    let visit = LaterVisit {
        number: 2,
        date: "2026-04-03".into(),
    };
    let said = transcript(&["Items twelve, thirteen and fourteen are done."]);
    let heard = understand(&LEXICON, &said, &list, &visit);
    let numbers: Vec<u32> = heard.findings.iter().map(number_of).collect();
    assert_eq!(numbers, [14]);
}

/// Words without any that say that work was done: numbers, names, faults, and small words.
const WORDLESS: &[&str] = &[
    "item",
    "number",
    "twelve",
    "thirteen",
    "five",
    "to",
    "nine",
    "and",
    "the",
    "kitchen",
    "hallway",
    "plinth",
    "newel",
    "post",
    "is",
    "has",
    "been",
    "it",
    "that",
    "they",
    "still",
    "not",
    "all",
    "rest",
    "bar",
    "scratched",
    "cracked",
    "leaking",
    "missing",
    "patchy",
    "outstanding",
    "sorry",
    "i",
    "mean",
    "but",
    "there",
    "a",
    "in",
    "on",
    "window",
    "ones",
    "everything",
    "apparently",
    "was",
    "were",
    "door",
    "bedroom",
    "two",
    "21",
    "what",
];

proptest! {
    // Each case reads a whole visit: a few hundred would take minutes where nothing is optimised.
    #![proptest_config(ProptestConfig::with_cases(40))]

    #[test]
    fn any_text_is_taken(lines in proptest::collection::vec(".{0,60}", 0..5)) {
        let lines: Vec<&str> = lines.iter().map(String::as_str).collect();
        let heard = heard(&lines);
        prop_assert!(heard.findings.iter().all(|f| (0.0..=1.0).contains(&f.confidence)));
    }

    #[test]
    fn any_row_of_its_own_words_is_taken(
        picks in proptest::collection::vec((0usize..400, 0usize..60, any::<bool>()), 1..30),
    ) {
        let vocabulary = all_wordings();
        let said: Vec<String> = picks
            .iter()
            .map(|(one, other, stop)| {
                let (wording, word) = (&vocabulary[one % vocabulary.len()], WORDLESS[other % WORDLESS.len()]);
                format!("{word} {wording}{}", if *stop { "." } else { "" })
            })
            .collect();
        let lines: Vec<&str> = said.iter().map(String::as_str).collect();
        let heard = heard(&lines);
        let mut seen = std::collections::BTreeSet::new();
        prop_assert!(heard.findings.iter().all(|finding| seen.insert(finding.item.clone())));
    }

    #[test]
    fn nothing_is_put_right_without_words_for_it(
        picks in proptest::collection::vec((0usize..WORDLESS.len(), 0u8..8), 1..40),
    ) {
        let said: Vec<String> = picks
            .iter()
            .map(|(pick, stop)| format!("{}{}", WORDLESS[*pick], match stop { 0 => ".", 1 => ",", _ => "" }))
            .collect();
        let heard = heard(&[&said.join(" ")]);
        let right: Vec<_> = heard
            .findings
            .iter()
            .filter(|f| matches!(f.seen.standing, Standing::PutRight | Standing::Offered | Standing::Closed))
            .collect();
        prop_assert!(right.is_empty(), "{right:?}");
    }
}
