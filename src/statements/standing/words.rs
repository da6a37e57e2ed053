//! What the words of a later visit say of an item: *done*, *still*, *they say*, *no access*.
//!
//! The vocabulary is data, `lexicon/standing.toml`. It is apart from the other files, so that a walk-round
//! that has no list before it is never understood by it.

use crate::lexicon::{Lexicon, Token};
use crate::speech::Word;
use serde::Deserialize;
use std::collections::HashMap;
use std::ops::Range;

/// The embedded vocabulary.
const FILE: &str = include_str!("../../../lexicon/standing.toml");

/// What a wording says of the item it stands with; the file's head explains each.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "lowercase")]
pub(crate) enum Says {
    Right,
    Outstanding,
    Changed,
    Claim,
    Unseen,
    Agreed,
    Partly,
    Pending,
    Condition,
    Reply,
    Correction,
    Withdrawal,
    Except,
    Rest,
    Chat,
}

/// A wording found in the tokens.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Said {
    pub(crate) says: Says,
    pub(crate) tokens: Range<usize>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    words: Vec<Entry>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Entry {
    says: Says,
    words: Vec<String>,
}

/// The wordings by their first token, longest first.
#[derive(Debug)]
pub(crate) struct Vocabulary {
    by_first: HashMap<String, Vec<(Vec<String>, Says)>>,
}

impl Vocabulary {
    /// Returns the vocabulary, its wordings split into tokens as speech is.
    pub(crate) fn new(lexicon: &Lexicon) -> Self {
        let mut by_first: HashMap<String, Vec<(Vec<String>, Says)>> = HashMap::new();
        for entry in entries() {
            for wording in &entry.words {
                let tokens = lexicon.tokens(&words(wording));
                let form: Vec<String> = tokens.into_iter().map(|token| token.norm).collect();
                if let Some(first) = form.first().cloned() {
                    by_first.entry(first).or_default().push((form, entry.says));
                }
            }
        }
        #[expect(clippy::iter_over_hash_type, reason = "each is sorted on its own")]
        for forms in by_first.values_mut() {
            forms.sort_by_key(|(form, _)| std::cmp::Reverse(form.len()));
        }
        Vocabulary { by_first }
    }

    /// Returns the wordings in `range`, in order and without overlaps: at each token the longest.
    pub(crate) fn find(&self, tokens: &[Token], range: Range<usize>) -> Vec<Said> {
        let mut found = Vec::new();
        let mut at = range.start;
        while at < range.end {
            let fits = |form: &[String]| {
                at + form.len() <= range.end
                    && form.iter().zip(&tokens[at..]).all(|(a, b)| *a == b.norm)
            };
            let forms = self.by_first.get(&tokens[at].norm);
            let best = forms.and_then(|forms| forms.iter().find(|(form, _)| fits(form)));
            match best {
                Some((form, says)) => {
                    found.push(Said {
                        says: *says,
                        tokens: at..at + form.len(),
                    });
                    at += form.len();
                }
                None => at += 1,
            }
        }
        found
    }
}

/// Returns the file's entries. A test keeps the embedded file readable.
fn entries() -> Vec<Entry> {
    toml::from_str::<File>(FILE).map_or_else(|_| Vec::new(), |file| file.words)
}

/// Returns a text's words as a transcript without times has them.
pub(crate) fn words(text: &str) -> Vec<Word> {
    let word = |text: &str| Word {
        text: text.to_owned(),
        recording: 1,
        span: None,
        probability: 1.0,
        line_end: false,
        meant: None,
    };
    text.split_whitespace().map(word).collect()
}

/// Returns every wording of the vocabulary, for tests that make speech of them.
#[cfg(test)]
pub(crate) fn all_wordings() -> Vec<String> {
    entries()
        .into_iter()
        .flat_map(|entry| entry.words)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::statements::list_number_at;
    use std::collections::BTreeSet;
    use text2num::{Language, replace_numbers_in_text};

    #[test]
    fn the_embedded_vocabulary_is_read_whole_and_says_one_thing_by_one_wording() {
        let file: File = toml::from_str(FILE).unwrap();
        assert_eq!(file.words.len(), 15);
        let mut seen = BTreeSet::new();
        for wording in file.words.iter().flat_map(|entry| &entry.words) {
            assert!(seen.insert(wording), "{wording:?} is there twice");
            assert_eq!(*wording, wording.to_lowercase());
        }
    }

    #[test]
    fn the_longest_wording_counts() {
        let lexicon = Lexicon::builtin().unwrap();
        let vocabulary = Vocabulary::new(&lexicon);
        for (text, said) in [
            ("it's done", vec![(Says::Right, 2..3)]),
            ("all done here", vec![(Says::Chat, 0..3)]),
            ("still outstanding", vec![(Says::Outstanding, 0..2)]),
            ("not to standard", vec![(Says::Changed, 0..3)]),
            ("re-hung", vec![(Says::Right, 0..2)]),
            ("plumb", vec![]),
        ] {
            let tokens = lexicon.tokens(&words(text));
            let found: Vec<_> = vocabulary
                .find(&tokens, 0..tokens.len())
                .into_iter()
                .map(|said| (said.says, said.tokens))
                .collect();
            assert_eq!(found, said, "{text}");
        }
    }

    /// Values as text2num (a library of its own) reads the same words.
    #[test]
    fn item_numbers_are_read_as_text2num_reads_them() {
        let lexicon = Lexicon::builtin().unwrap();
        let english = Language::english();
        for text in [
            "one",
            "seven",
            "twelve",
            "twenty one",
            "twenty-one",
            "forty",
            "ninety nine",
            "a hundred",
            "one hundred and four",
            "two hundred thirty five",
            "three hundred and nineteen",
        ] {
            let spoken = words(text);
            let tokens = lexicon.tokens(&spoken);
            let own = list_number_at(&tokens, &spoken, 0).unwrap();
            let whole = text.replace("a hundred", "one hundred");
            assert_eq!(
                own.0.to_string(),
                replace_numbers_in_text(&whole, &english, 0.0),
                "{text}"
            );
            assert_eq!(own.1, tokens.len(), "{text}");
        }
    }
}
