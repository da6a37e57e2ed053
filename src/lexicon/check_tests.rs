//! `tests/lexicon`: one case per file, held against the comments in it.
//!
//! Every file is an overlay over the embedded lexicon. In `invalid`, a comment `# error: …` or
//! `# advice: …` at the end of a line tells what is found on that line; the message must begin so.
//! In `valid` nothing is found.

use super::*;
use std::fs;

fn cases(folder: &str) -> Vec<(PathBuf, String)> {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("tests/lexicon")
        .join(folder);
    let mut paths: Vec<_> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    paths.sort();
    assert!(!paths.is_empty());
    paths
        .into_iter()
        .map(|path| (path.clone(), fs::read_to_string(path).unwrap()))
        .collect()
}

/// Returns what is found in one file, as line, gravity and message.
fn found(case: &(PathBuf, String)) -> Vec<(usize, Gravity, String)> {
    let problems = Lexicon::check(std::slice::from_ref(case));
    let own = problems
        .into_iter()
        .filter(|problem| problem.file == case.0);
    own.map(|problem| (problem.line, problem.gravity, problem.message))
        .collect()
}

#[test]
fn valid_files_have_no_problem() {
    for case in cases("valid") {
        assert_eq!(found(&case), Vec::new(), "{}", case.0.display());
        assert!(
            Lexicon::load(std::slice::from_ref(&case)).is_ok(),
            "{}",
            case.0.display()
        );
    }
}

#[test]
fn invalid_files_have_the_problems_that_they_name() {
    for case in cases("invalid") {
        let name = case.0.display();
        let mut expected = Vec::new();
        for (index, line) in case.1.lines().enumerate() {
            for (mark, gravity) in [
                ("# error: ", Gravity::Error),
                ("# advice: ", Gravity::Advice),
            ] {
                if let Some((_, message)) = line.split_once(mark) {
                    expected.push((index + 1, gravity, message));
                }
            }
        }
        let found = found(&case);
        assert_eq!(found.len(), expected.len(), "{name}: {found:#?}");
        for (found, expected) in found.iter().zip(&expected) {
            let same =
                (found.0, found.1) == (expected.0, expected.1) && found.2.starts_with(expected.2);
            assert!(same, "{name}:\nexpected {expected:?}\nfound    {found:?}");
        }
    }
}

#[test]
fn errors_stop_loading_and_advice_does_not() {
    let table = [("unknown_trade.toml", false), ("wording_twice.toml", true)];
    for (name, loads) in table {
        let cases = cases("invalid");
        let case = cases.iter().find(|(path, _)| path.ends_with(name)).unwrap();
        assert_eq!(
            Lexicon::load(std::slice::from_ref(case)).is_ok(),
            loads,
            "{name}"
        );
    }
}

#[test]
fn problems_read_as_file_line_message() {
    let case = (
        PathBuf::from("mine.toml"),
        "[[trade]]\nname = \"x\"\nglos = \"y\"\n".to_owned(),
    );
    let problems: Vec<_> = Lexicon::check(&[case])
        .iter()
        .map(ToString::to_string)
        .collect();
    let own: Vec<_> = problems
        .iter()
        .filter(|problem| problem.starts_with("mine"))
        .collect();
    insta::assert_snapshot!(own[0], @r#"mine.toml:3: unknown key "glos" in [[trade]], expected one of name, also, shown, works_on, gloss"#);
}
