//! Which heard words may stand for a term that a person chose: alignment by sound, without the
//! caution that finding terms unasked needs.

use super::dictionary;
use super::distance::Pattern;
use super::fit::Costs;
use super::leads::Lead;
use super::phonemes::Phoneme;
use super::{Lexicon, TermId, Token};
use std::collections::BTreeMap;
use std::ops::Range;

/// The most tokens that may together stand for a term.
const MOST_TOKENS: usize = 4;

/// What sounds most like a term.
#[derive(Debug, Clone, PartialEq)]
pub struct Closest {
    /// The heard tokens.
    pub tokens: Range<usize>,
    /// Their distance, 0 (same sounds) to 1: phoneme edits over the length of the longer side.
    pub distance: f32,
    /// How many phonemes the longer side has.
    pub phonemes: usize,
}

/// How what was heard lies beside what was said.
#[derive(Debug, Clone, PartialEq)]
pub struct Beside {
    /// For each heard token the said one that most of its sounds stand for; `None` for one that stands
    /// for nothing.
    pub tokens: Vec<Option<usize>>,
    /// Weighted edits over the sounds said.
    pub distance: f32,
}

impl Lexicon {
    /// Returns how all of `heard` lies beside all of `said`, sound by sound. Time and memory grow with
    /// the product of their lengths.
    pub fn heard_for(&self, said: &[Token], heard: &[Token]) -> Beside {
        let (meant, meant_of) = self.sounds_of(said);
        let (sounds, of_token) = self.sounds_of(heard);
        let fitted = Costs::default().fit(&meant, &sounds, true);
        let mut shared: Vec<BTreeMap<usize, usize>> = vec![BTreeMap::new(); heard.len()];
        let (mut i, mut j) = (0, 0);
        for (one, other) in fitted.steps {
            if one.is_some() && other.is_some() {
                *shared[of_token[j]].entry(meant_of[i]).or_default() += 1;
            }
            i += usize::from(one.is_some());
            j += usize::from(other.is_some());
        }
        // Of equally good ones the first.
        let most = |counts: BTreeMap<usize, usize>| {
            let best = counts.into_iter().rev().max_by_key(|&(_, count)| count);
            best.map(|(said, _)| said)
        };
        Beside {
            tokens: shared.into_iter().map(most).collect(),
            distance: fitted.cost / meant.len().max(1) as f32,
        }
    }

    /// Returns the sounds of tokens in a row, and for each its token.
    pub(super) fn sounds_of(&self, tokens: &[Token]) -> (Vec<Phoneme>, Vec<usize>) {
        let (mut sounds, mut of_token) = (Vec::new(), Vec::new());
        for (at, token) in tokens.iter().enumerate() {
            let more = self.pronouncer.pronounce(&token.norm);
            of_token.extend(std::iter::repeat_n(at, more.len()));
            sounds.extend(more);
        }
        (sounds, of_token)
    }

    /// Returns the stretch of one to four tokens within `within` that sounds most like a wording of
    /// `term`; of equally near ones the shortest, then the first. `None` where nothing has a sound.
    ///
    /// `free` tells which tokens may belong to it.
    pub fn closest(
        &self,
        tokens: &[Token],
        within: Range<usize>,
        term: TermId,
        free: impl Fn(usize) -> bool,
    ) -> Option<Closest> {
        let wordings = self.wordings().filter(|w| w.term == term);
        let forms = wordings.flat_map(|wording| &wording.forms);
        let said: Vec<Vec<Phoneme>> = forms
            .filter(|form| form.lead == Lead::None)
            .map(|form| self.pronounce(form.words.iter().map(String::as_str)))
            .collect();
        self.closest_to(tokens, within, &said, free)
    }

    /// Returns the same for words that no term has.
    pub fn closest_words(
        &self,
        tokens: &[Token],
        within: Range<usize>,
        words: &str,
        free: impl Fn(usize) -> bool,
    ) -> Option<Closest> {
        let wanted = self.tokens_of(words);
        let said = self.pronounce(wanted.iter().map(|token| &*token.norm));
        self.closest_to(tokens, within, &[said], free)
    }

    /// Returns true for a word whose spelling the program knows: one of the dictionary or of
    /// everyday English.
    pub fn knows(&self, word: &str) -> bool {
        self.everyday(word) || dictionary::has(word)
    }

    /// Returns the sounds of words in a row.
    pub(super) fn pronounce<'a>(&self, words: impl Iterator<Item = &'a str>) -> Vec<Phoneme> {
        words
            .flat_map(|word| self.pronouncer.pronounce(word))
            .collect()
    }

    fn closest_to(
        &self,
        tokens: &[Token],
        within: Range<usize>,
        wanted: &[Vec<Phoneme>],
        free: impl Fn(usize) -> bool,
    ) -> Option<Closest> {
        let end = within.end.min(tokens.len());
        let mut best: Option<Closest> = None;
        for first in within.start..end {
            let mut heard = Vec::new();
            for last in (first..end.min(first + MOST_TOKENS)).take_while(|at| free(*at)) {
                let sounds = self.pronouncer.pronounce(&tokens[last].norm);
                if sounds.is_empty() {
                    break;
                }
                heard.extend(sounds);
                let pattern = Pattern::new(&heard);
                for wanted in wanted.iter().filter(|wanted| !wanted.is_empty()) {
                    let phonemes = wanted.len().max(heard.len());
                    let distance = pattern.edits(wanted) as f32 / phonemes as f32;
                    let found = Closest {
                        tokens: first..last + 1,
                        distance,
                        phonemes,
                    };
                    let nearer = best.as_ref().is_none_or(|best| {
                        (distance, found.tokens.len()) < (best.distance, best.tokens.len())
                    });
                    if nearer {
                        best = Some(found);
                    }
                }
            }
        }
        best
    }
}
