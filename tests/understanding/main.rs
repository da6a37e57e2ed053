//! Understanding as a specification: text in, list out, through `items::propose` alone.
//!
//! The files under `cases/` are the specification, one file for each subject; `wanted.txt` lists
//! what is reasonable and does not work yet. The sentences are written for these tests, from common
//! practice of the trade (no source). [`case`] says how a case is written.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "a test stops where its own files fail"
)]
#![allow(
    clippy::print_stdout,
    reason = "shows what the wanted cases make today"
)]

#[path = "../../examples/keystrokes/agreement.rs"]
#[allow(dead_code, reason = "the simulated inspector uses the rest")]
mod agreement;
mod case;
mod compare;
mod everyday;
mod otherwise;
mod salad;
#[path = "../../examples/understanding/tally.rs"]
#[allow(dead_code, reason = "the program that prints tables uses the rest")]
mod tally;
mod walkrounds;

use callover::items::propose;
use callover::lexicon::Lexicon;
use case::Case;
use std::path::{Path, PathBuf};
use std::sync::LazyLock;

/// The built-in vocabulary, loaded once for all tests.
pub(crate) static LEXICON: LazyLock<Lexicon> =
    LazyLock::new(|| Lexicon::builtin().expect("the built-in lexicon loads"));

pub(crate) fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/understanding")
}

fn specified() -> Vec<Case> {
    let mut files: Vec<PathBuf> = std::fs::read_dir(folder().join("cases"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|e| e == "txt"))
        .collect();
    files.sort();
    files.iter().flat_map(|path| case::read(path)).collect()
}

fn wanted() -> Vec<Case> {
    case::read(&folder().join("wanted.txt"))
}

/// Returns what is wrong with what a case makes, or nothing.
fn failure(case: &Case) -> Option<String> {
    let proposal = propose(&LEXICON, &case.transcript);
    let differences = compare::differences(case, &proposal);
    (!differences.is_empty()).then(|| {
        let listed: String = differences.iter().map(|d| format!("    {d}\n")).collect();
        let made: String = compare::shown(&proposal)
            .iter()
            .map(|line| format!("    made: {line}\n"))
            .collect();
        format!(
            "{}: {}\n    said: {}\n{listed}{made}",
            case.file, case.name, case.text
        )
    })
}

#[test]
fn every_case_makes_its_list() {
    let cases = specified();
    let failures: Vec<String> = cases.iter().filter_map(failure).collect();
    assert!(
        failures.is_empty(),
        "{} of {} cases differ:\n\n{}",
        failures.len(),
        cases.len(),
        failures.join("\n")
    );
}

/// Keeps the list of what is wanted honest: what works by now belongs to the specification.
#[test]
fn what_is_wanted_does_not_work_yet() {
    let mut works: Vec<String> = Vec::new();
    for case in wanted() {
        match failure(&case) {
            Some(today) => println!("{today}"),
            None => works.push(case.name),
        }
    }
    assert!(
        works.is_empty(),
        "these cases of wanted.txt work now; move them to a file in cases/:\n{}",
        works.join("\n")
    );
}

#[test]
fn every_name_is_used_once() {
    let mut names: Vec<String> = specified()
        .into_iter()
        .chain(wanted())
        .map(|c| c.name)
        .collect();
    assert!(names.len() >= 120, "only {} cases were read", names.len());
    names.sort();
    let twice: Vec<&String> = names
        .windows(2)
        .filter(|w| w[0] == w[1])
        .map(|w| &w[0])
        .collect();
    assert!(twice.is_empty(), "used more than once: {twice:?}");
}

/// A comparison that cannot fail would make every case worthless.
#[test]
fn a_wrong_expectation_is_told_apart() {
    let said = "--- x\nHallway. Two of the tiles are cracked, six mil wide.\n=> ";
    let right = "hallway | tiles | cracked | count=2 | measure=6 mm";
    assert_eq!(
        failure(&case::parse("x.txt", &format!("{said}{right}"))[0]),
        None
    );
    for wrong in [
        "(nothing)",
        "kitchen | tiles | cracked",
        "hall | tiles | cracked",
        "hallway | skirting | cracked",
        "hallway | tiles | loose",
        "hallway | tiles | cracked | count=3",
        "hallway | tiles | cracked | measure=7 mm",
        "hallway | tiles | cracked | photo",
        "hallway | tiles | cracked | hedged",
        "hallway | tiles | cracked\n=> hallway | tiles | cracked",
        "hallway | tiles | cracked\n=> places: hallway, kitchen",
    ] {
        let case = &case::parse("x.txt", &format!("{said}{wrong}"))[0];
        assert!(failure(case).is_some(), "not told apart: {wrong}");
    }
}
