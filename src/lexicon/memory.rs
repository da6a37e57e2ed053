//! What was found near in sound, kept for the next time that the same sounds are asked about.
//!
//! Looking for what sounds like doubtful words is most of the work of reading. Whoever reads the same
//! transcripts again and again with lexicons that differ in a few mishearings (`learn`) asks the same
//! of the same pronunciations nearly every time; everybody else seldom does, and keeps nothing.

use super::Lexicon;
use super::phonemes::Phoneme;
use super::term::Kind;
use std::collections::HashMap;
use std::hash::Hash;
use std::sync::{Arc, Mutex, PoisonError};

/// Pronunciations by their places among all, each with how near it is.
pub(super) type Near = Vec<(f32, usize)>;

/// What was found so far.
#[derive(Debug, Default)]
pub(super) struct Memory {
    /// Plain edits, by sounds, limit and kinds (`sounds`).
    pub(super) wordings: Kept<(Vec<Phoneme>, u32, Vec<Kind>)>,
    /// Weighted edits of names of places, by sounds and limit (`near`).
    pub(super) places: Kept<(Vec<Phoneme>, u32)>,
}

/// Answers by question.
#[derive(Debug)]
pub(super) struct Kept<Q>(Mutex<HashMap<Q, Arc<Near>>>);

impl<Q> Default for Kept<Q> {
    fn default() -> Self {
        Kept(Mutex::default())
    }
}

impl<Q: Hash + Eq> Kept<Q> {
    /// Returns the answer to a question: the kept one, or else what `answer` gives, which is kept.
    pub(super) fn get(&self, question: Q, answer: impl FnOnce() -> Near) -> Arc<Near> {
        // A map is whole between any two of its calls, whoever panicked meanwhile.
        let kept = || self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(known) = kept().get(&question) {
            return known.clone();
        }
        let fresh = Arc::new(answer());
        kept().insert(question, fresh.clone());
        fresh
    }
}

impl Lexicon {
    /// Returns a copy that keeps what it finds near in sound, as do copies of it. It finds the same; its
    /// memory grows with every new word that it reads.
    pub(crate) fn with_memory(&self) -> Lexicon {
        Lexicon {
            memory: Some(self.memory.clone().unwrap_or_default()),
            ..self.clone()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Kind, Lexicon, SUPPORTED_SOUND_LIMIT};

    #[test]
    fn what_is_kept_is_what_is_found() {
        let plain = Lexicon::embedded().unwrap();
        let keeping = plain.with_memory();
        let tokens =
            plain.tokens_of("the mason tap drips in the bar through them by the art itrot");
        for kinds in [&[Kind::Element][..], &[Kind::Defect, Kind::Place]] {
            for limit in [0.3, SUPPORTED_SOUND_LIMIT] {
                let found = |l: &Lexicon| l.sounds_like(&tokens, 0..tokens.len(), kinds, limit);
                let near = |l: &Lexicon| l.places_near(&tokens, 5..8, limit);
                for _ in 0..2 {
                    assert_eq!(found(&keeping), found(plain), "{kinds:?} {limit}");
                    assert_eq!(near(&keeping), near(plain), "{limit}");
                }
            }
        }
        assert!(!plain.places_near(&tokens, 5..8, 0.5).is_empty());
    }
}
