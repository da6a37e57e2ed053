//! Leaning towards the words of the trade: where the recogniser hesitates between words that sound
//! alike, the one with which a term of the lexicon begins or goes on gets the benefit of the doubt.
//!
//! This is shallow fusion with a list of phrases, held as a tree over the recogniser's tokens: the
//! method is common in speech recognition ("contextual biasing"); the figures are our own
//! (`models/README.md`).
//!
//! whisper.cpp offers its scores for the next token to a C function. Handing it one is the only
//! unsafe code in this project, and all of it is here.

#![allow(unsafe_code)]

use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::ffi::{c_int, c_void};
use whisper_rs::whisper_rs_sys::{whisper_context, whisper_state, whisper_token_data};
use whisper_rs::{FullParams, WhisperContext, WhisperError};

/// What a token gains that goes on with a term, and one that begins a term with no everyday word: a
/// factor of 2.7 in its probability. On the development walk-rounds 2 takes more errors away from
/// one hard voice and adds as many on another.
const LEANING: f32 = 1.0;

/// How far behind the likeliest token, in the same unit (natural logarithm), one may be to gain
/// anything: what was clearly heard stays. A factor of 150.
const WITHIN: f32 = 5.0;

/// How many tokens back a term may have begun: the longest wordings have about as many.
const LONGEST_TERM: usize = 10;

/// What can be expected in what is said.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Expected {
    /// Wordings of the trade's terms as they are written, each with whether it opens with a word that
    /// everyday speech lacks: such a one is worth leaning towards before anything of it was heard.
    pub wordings: BTreeMap<String, bool>,
}

/// The expected wordings as a tree of tokens.
pub(super) struct Leaning {
    /// For each node the tokens that go on from it, and where to; node 0 is the start.
    next: Vec<BTreeMap<i32, usize>>,
    /// First tokens of wordings that open with a word which everyday speech lacks.
    first: BTreeSet<i32>,
    /// For each token of text, whether a word begins with it.
    begins: Vec<bool>,
    /// Number of scores that whisper.cpp has for each step.
    vocabulary: usize,
}

impl Leaning {
    /// Returns the tree for `expected`, as the words stand within and at the start of a sentence.
    ///
    /// # Errors
    /// Where a wording has a zero character or the model's vocabulary cannot be read.
    pub(super) fn new(
        context: &WhisperContext,
        expected: &Expected,
    ) -> Result<Leaning, WhisperError> {
        let mut begins = Vec::new();
        for token in 0..context.token_eot() {
            let bytes = context.token_to_bytes(token)?;
            begins.push(bytes.first() == Some(&b' '));
        }
        let mut leaning = Leaning {
            next: vec![BTreeMap::new()],
            first: BTreeSet::new(),
            begins,
            vocabulary: usize::try_from(context.n_vocab()).unwrap_or(0),
        };
        let mut words = Words {
            context,
            known: HashMap::new(),
        };
        for (text, telling) in &expected.wordings {
            let (opening, rest) = text.split_once(' ').unwrap_or((text, ""));
            let rest = rest.split_whitespace().map(|word| words.tokens(word));
            let rest = rest.collect::<Result<Vec<_>, _>>()?.concat();
            for opening in [opening, &capitalised(opening)] {
                let tokens = [words.tokens(opening)?, rest.clone()].concat();
                leaning.add(&tokens);
                leaning.first.extend(tokens.first().filter(|_| *telling));
            }
        }
        Ok(leaning)
    }

    fn add(&mut self, tokens: &[i32]) {
        let mut node = 0;
        for token in tokens {
            let fresh = self.next.len();
            node = *self.next[node].entry(*token).or_insert(fresh);
            if node == fresh {
                self.next.push(BTreeMap::new());
            }
        }
    }

    /// Lifts in `scores`, one for each token, those that the expected wordings speak for after the
    /// tokens `heard`.
    fn lean(&self, heard: &[i32], scores: &mut [f32]) {
        let text = self.begins.len().min(scores.len());
        let likeliest = scores[..text].iter().copied().fold(f32::MIN, f32::max);
        let mut going_on = BTreeSet::new();
        for start in heard.len().saturating_sub(LONGEST_TERM)..heard.len() {
            let word = usize::try_from(heard[start])
                .ok()
                .and_then(|t| self.begins.get(t));
            if word.is_some_and(|begins| *begins) {
                going_on.extend(self.after(&heard[start..]));
            }
        }
        for token in self.first.union(&going_on) {
            let score = usize::try_from(*token).ok().and_then(|t| scores.get_mut(t));
            if let Some(score) = score.filter(|score| **score > likeliest - WITHIN) {
                *score += LEANING;
            }
        }
    }

    /// Returns the tokens that go on with a wording which begins with `tokens`.
    fn after(&self, tokens: &[i32]) -> impl Iterator<Item = i32> {
        let node = tokens
            .iter()
            .try_fold(0, |node: usize, token| self.next[node].get(token).copied());
        node.into_iter()
            .flat_map(|node| self.next[node].keys().copied())
    }

    /// Has whisper.cpp ask this tree at every step. The parameters borrow it for as long as they
    /// live.
    pub(super) fn steer<'a>(&'a self, parameters: &mut FullParams<'a, 'a>) {
        let itself: *const Leaning = self;
        // SAFETY: `at_each_step` reads its last argument as a `Leaning`, which it is; the lifetime
        // of the parameters keeps it alive, and nothing writes to it while they do.
        unsafe {
            parameters.set_filter_logits_callback(Some(at_each_step));
            parameters.set_filter_logits_callback_user_data(itself.cast_mut().cast());
        }
    }
}

/// Called by whisper.cpp for each next token, by several threads at once.
///
/// # Safety
/// `leaning` must point to a [`Leaning`], `heard` to `count` tokens (or anything where that is 0),
/// and `scores` to as many as the model has tokens, written to by nobody else meanwhile.
unsafe extern "C" fn at_each_step(
    _context: *mut whisper_context,
    _state: *mut whisper_state,
    heard: *const whisper_token_data,
    count: c_int,
    scores: *mut f32,
    leaning: *mut c_void,
) {
    let count = usize::try_from(count).unwrap_or(0);
    // SAFETY: as stated above; whisper.cpp passes its own arrays (`whisper_process_logits`), and
    // `steer` the tree.
    let (leaning, heard, scores) = unsafe {
        let leaning = &*leaning.cast_const().cast::<Leaning>();
        let heard = match count {
            0 => &[],
            _ => std::slice::from_raw_parts(heard, count),
        };
        let scores = std::slice::from_raw_parts_mut(scores, leaning.vocabulary);
        (leaning, heard, scores)
    };
    let from = count.saturating_sub(LONGEST_TERM);
    let recent: Vec<i32> = heard[from..].iter().map(|token| token.id).collect();
    leaning.lean(&recent, scores);
}

/// The tokens of words, each made once: whisper.cpp takes a tenth of a millisecond for one, and parts
/// a text into words before it looks for tokens, so that a row of words has theirs in a row.
struct Words<'a> {
    context: &'a WhisperContext,
    known: HashMap<String, Vec<i32>>,
}

impl Words<'_> {
    /// Returns the tokens of a word with the space before it.
    fn tokens(&mut self, word: &str) -> Result<Vec<i32>, WhisperError> {
        if let Some(tokens) = self.known.get(word) {
            return Ok(tokens.clone());
        }
        let tokens = tokens_of(self.context, word)?;
        self.known.insert(word.to_owned(), tokens.clone());
        Ok(tokens)
    }
}

/// Returns the tokens of a word with the space before it.
pub(super) fn tokens_of(context: &WhisperContext, word: &str) -> Result<Vec<i32>, WhisperError> {
    let written = format!(" {word}");
    // A token has at least one byte; too small a limit would be undefined behaviour in the crate.
    context.tokenize(&written, written.len() + 16)
}

fn capitalised(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Tokens: 0 " arch", 1 "itra", 2 "ve", 3 " arches", 4 " the"; scores start level at 0.
    fn tree() -> Leaning {
        let mut leaning = Leaning {
            next: vec![BTreeMap::new()],
            first: BTreeSet::from([0]),
            begins: vec![true, false, false, true, true],
            vocabulary: 5,
        };
        leaning.add(&[0, 1, 2]);
        leaning
    }

    fn leant(heard: &[i32], scores: [f32; 5]) -> Vec<f32> {
        let mut leant = scores;
        tree().lean(heard, &mut leant);
        leant.to_vec()
    }

    #[test]
    fn a_term_is_begun_and_gone_on_with() {
        assert_eq!(leant(&[], [0.0; 5]), [LEANING, 0.0, 0.0, 0.0, 0.0]);
        assert_eq!(leant(&[4, 0], [0.0; 5]), [LEANING, LEANING, 0.0, 0.0, 0.0]);
        assert_eq!(leant(&[0, 1], [0.0; 5]), [LEANING, 0.0, LEANING, 0.0, 0.0]);
    }

    #[test]
    fn what_was_clearly_heard_stays() {
        let far = [-WITHIN, 0.0, 0.0, 0.0, 0.0];
        assert_eq!(leant(&[], far), far);
    }

    #[test]
    fn nothing_goes_on_from_the_middle_of_a_word_or_after_a_finished_term() {
        assert_eq!(leant(&[1], [0.0; 5]), [LEANING, 0.0, 0.0, 0.0, 0.0]);
        assert_eq!(leant(&[0, 1, 2], [0.0; 5]), [LEANING, 0.0, 0.0, 0.0, 0.0]);
    }
}
