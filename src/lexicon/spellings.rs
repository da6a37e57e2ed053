//! Spelling pairs: American and other spellings that count as the British one.

use super::{inflect, tokens};
use rustc_hash::FxHashMap;

/// Spellings with the British spelling that they count as.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Spellings {
    british_by_other: FxHashMap<String, String>,
    american_by_british: FxHashMap<String, String>,
}

/// Endings that count as one in every word: *realise* and *realize*. The words in [`KEEP_Z`] keep
/// their *z* in British spelling too.
const Z_ENDINGS: &[(&str, &str)] = &[
    ("ize", "ise"),
    ("izes", "ises"),
    ("ized", "ised"),
    ("izing", "ising"),
    ("ization", "isation"),
];

const KEEP_Z: &[&str] = &[
    "size", "sizes", "sized", "sizing", "prize", "prizes", "seize", "seizes", "seized", "seizing",
];

/// Words whose other spelling is heard but not the usual American one.
const NO_AMERICANISMS: &[&str] = &["fascia", "fascias", "dialogue", "disc", "discs"];

impl Spellings {
    /// Adds a pair, with its plurals and verb forms.
    pub(super) fn add(&mut self, british: &str, american: &str) {
        let forms = |word: &str| {
            let verb = inflect::verb(&[word.to_owned()]);
            let mut forms = vec![verb.base, verb.third];
            forms.push(verb.past.first().cloned().unwrap_or_default());
            forms.push(verb.ing.first().cloned().unwrap_or_default());
            forms.push(inflect::plurals(word).first().cloned().unwrap_or_default());
            forms
        };
        for (british, american) in forms(british).into_iter().zip(forms(american)) {
            if british != american {
                if NO_AMERICANISMS.contains(&&*british) {
                    self.british_by_other.entry(american).or_insert(british);
                    continue;
                }
                let other = self.american_by_british.entry(british.clone());
                other.or_insert_with(|| american.clone());
                self.british_by_other.entry(american).or_insert(british);
            }
        }
    }

    /// Returns the American spelling of a British one; `None` where it is no other.
    pub(super) fn american(&self, word: &str) -> Option<&str> {
        self.american_by_british.get(word).map(String::as_str)
    }

    /// Returns the words of a text in British spelling.
    pub(super) fn split(&self, text: &str) -> Vec<String> {
        let words = tokens::split(text);
        words.iter().map(|word| self.british(word)).collect()
    }

    /// Returns the British spelling of a word; the word itself where there is none.
    pub(super) fn british(&self, word: &str) -> String {
        if let Some(british) = self.british_by_other.get(word) {
            return british.clone();
        }
        if !word.contains('z') {
            return word.to_owned();
        }
        // `resize` and `oversized` keep their z like `size`.
        if !KEEP_Z.iter().any(|keep| word.ends_with(keep)) {
            for (american, british) in Z_ENDINGS {
                if let Some(front) = word.strip_suffix(american)
                    && front.len() >= 3
                {
                    return format!("{front}{british}");
                }
            }
        }
        word.to_owned()
    }
}
