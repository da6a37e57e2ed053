//! Terms that a stretch of words may have been: by the sound of what was heard, or of what the recogniser might
//! have written in the place of one of its words.

use super::wording::same_words;
use super::{MUCH_THE_SAME, Scene};
use crate::lexicon::{Kind, Rival, Token};
use crate::speech::{NextBest, Word};
use std::ops::Range;

/// How far in sound a wording may be from what it might have written. Of 113 right ones of 22 walk-rounds 81 are
/// as near, and 22 more are near what was heard as well.
const AS_WRITTEN: f32 = 0.1;

/// A term whose wording is near what was heard, or near what the recogniser might have written instead.
pub(super) struct Near {
    pub(super) rival: Rival,
    pub(super) instead: Option<Instead>,
}

/// What the recogniser might have written instead, with which a wording is near.
pub(super) struct Instead {
    /// The distance of the wording from it.
    pub(super) distance: f32,
    /// How likely the word is, as a natural logarithm.
    pub(super) likelihood: f32,
}

impl Near {
    /// True where the wording sounds much the same as what was heard, or might have been written.
    pub(super) fn much_the_same(&self) -> bool {
        let instead = self.instead.as_ref().map(|instead| instead.distance);
        instead.unwrap_or(f32::MAX).min(self.rival.distance) <= MUCH_THE_SAME
    }
}

impl Scene<'_> {
    /// Returns what a stretch may have been by its sound, or by that of what the recogniser might have written
    /// instead of one of its words; each term once.
    pub(super) fn near(&self, stretch: &Range<usize>, count: usize, kinds: &[Kind]) -> Vec<Near> {
        let tokens = &self.reading.tokens;
        let said = tokens[stretch.clone()].iter().map(|t| t.norm.as_str());
        let said = said.collect::<Vec<_>>().join(" ");
        let other = |rival: &Rival| !same_words(&rival.text, &said);
        let doubtful = stretch.clone().any(|t| self.doubtful(t));
        let mut found: Vec<Near> = Vec::new();
        if doubtful || count > 1 && stretch.clone().any(|t| self.shaken(t)) {
            let rivals = self.lexicon.rivals(&tokens[stretch.clone()], kinds);
            let near = |rival: &Rival| doubtful || rival.distance <= MUCH_THE_SAME;
            let rivals = rivals
                .into_iter()
                .filter(|rival| near(rival) && other(rival));
            found.extend(rivals.map(|rival| Near {
                rival,
                instead: None,
            }));
        }
        let mut doubted: Vec<usize> = stretch.clone().map(|t| tokens[t].word).collect();
        doubted.dedup();
        for word in doubted {
            for next in self.might_be.get(&word).into_iter().flatten() {
                let read = self.read_with(stretch, word, next);
                let rivals = self.lexicon.near_rivals(&read, kinds, AS_WRITTEN);
                for rival in rivals.into_iter().filter(other) {
                    let instead = Instead {
                        distance: rival.distance,
                        likelihood: next.likelihood,
                    };
                    let known = found.iter_mut().find(|near| near.rival.term == rival.term);
                    match known {
                        Some(known) => {
                            let nearer = |known: &Instead| instead.distance < known.distance;
                            if known.instead.as_ref().is_none_or(nearer) {
                                known.instead = Some(instead);
                            }
                        }
                        None => found.push(Near {
                            rival: Rival {
                                distance: self.lexicon.apart(&tokens[stretch.clone()], &rival.text),
                                ..rival
                            },
                            instead: Some(instead),
                        }),
                    }
                }
            }
        }
        found
    }

    /// Returns a stretch with another word in the place of one.
    fn read_with(&self, stretch: &Range<usize>, word: usize, instead: &NextBest) -> Vec<Token> {
        let tokens = &self.reading.tokens[stretch.clone()];
        let other = self.lexicon.tokens(&[Word::written(&instead.text)]);
        let before = tokens.iter().filter(|t| t.word < word);
        let after = tokens.iter().filter(|t| t.word > word);
        before.chain(&other).chain(after).cloned().collect()
    }
}
