//! Everyday speech: prose that has nothing to do with defects makes next to no items.

use crate::{LEXICON, case, compare};
use callover::items::propose;
use std::path::Path;

/// The pages, with how many false items each makes. Their origin is listed in `tests/data/README.md`.
const PAGES: &[(&str, usize)] = &[("pride.txt", 0), ("gettysburg.txt", 0), ("alice.txt", 0)];

#[test]
fn a_page_of_prose_makes_next_to_no_items() {
    for (page, known) in PAGES {
        let path = Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("tests/data/prose")
            .join(page);
        let text = std::fs::read_to_string(path).unwrap();
        // A paragraph of the page is a line of the transcript.
        let paragraphs: Vec<String> = text
            .split("\n\n")
            .map(|p| p.split_whitespace().collect::<Vec<_>>().join(" "))
            .collect();
        let lines: Vec<&str> = paragraphs.iter().map(String::as_str).collect();
        let transcript = case::transcript(&lines);
        assert!(transcript.words.len() > 250, "{page} is short");
        let proposal = propose(&LEXICON, &transcript);
        let made = compare::shown(&proposal);
        let count = proposal.items.len();
        assert!(
            count <= *known,
            "{page}: {count} items, {known} are known: {made:#?}"
        );
        assert!(
            count == *known,
            "{page}: only {count} items now; lower its number"
        );
    }
}
