//! How words are said: trade words from `sounds.toml`, common words from the dictionary, the rest by
//! their letters.

use super::phonemes::Phoneme;
use super::{dictionary, letters};
use std::collections::BTreeMap;

/// How each word is pronounced, for lexicon and heard words alike.
#[derive(Debug)]
pub(super) struct Pronouncer {
    /// From `sounds.toml`.
    known: BTreeMap<String, Vec<Phoneme>>,
}

impl Pronouncer {
    pub(super) fn new(known: BTreeMap<String, Vec<Phoneme>>) -> Pronouncer {
        Pronouncer { known }
    }

    /// Returns the phonemes of a normal word: from the trade words, else the dictionary, else its
    /// letters. Forms of trade words in *-s*, *-ed* and *-ing* follow their base.
    pub(super) fn pronounce(&self, word: &str) -> Vec<Phoneme> {
        if word == "'s" {
            return vec![Phoneme::Z];
        }
        self.known
            .get(word)
            .cloned()
            .or_else(|| self.inflected(word))
            .or_else(|| dictionary::pronounce(word))
            .unwrap_or_else(|| letters::pronounce(word))
    }

    fn inflected(&self, word: &str) -> Option<Vec<Phoneme>> {
        use Phoneme::*;
        let base = |ending: &str, back: &str| {
            word.strip_suffix(ending)
                .and_then(|stem| self.known.get(&format!("{stem}{back}")))
                .cloned()
        };
        if let Some(mut said) = base("s", "") {
            match said.last() {
                Some(S | Z | SH | ZH | CH | JH) => said.extend([IH, Z]),
                Some(P | T | K | F | TH) => said.push(S),
                _ => said.push(Z),
            }
            return Some(said);
        }
        if let Some(mut said) =
            base("es", "").filter(|said| matches!(said.last(), Some(S | Z | SH | CH | JH)))
        {
            said.extend([IH, Z]);
            return Some(said);
        }
        if let Some(mut said) = base("ies", "y") {
            said.push(Z);
            return Some(said);
        }
        if let Some(mut said) = base("ing", "").or_else(|| base("ing", "e")) {
            said.extend([IH, NG]);
            return Some(said);
        }
        if let Some(mut said) = base("ed", "").or_else(|| base("ed", "e")) {
            match said.last() {
                Some(T | D) => said.extend([IH, D]),
                Some(P | K | F | S | SH | CH | TH) => said.push(T),
                _ => said.push(D),
            }
            return Some(said);
        }
        None
    }
}
