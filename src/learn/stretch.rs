//! Stretches of tokens: which words they are, what is found in them, and how far they may be from the
//! sounds of what they stand for.

use crate::lexicon::{Closest, Hit, Lexicon, Token};
use crate::statements::grammar::{Class, class};
use std::ops::Range;

/// How far words may be from the chosen term's sounds where one of them is no English word: a
/// recogniser writes such words only for what it does not know. Beyond it the person meant something
/// else. Measured on the walk-rounds in `examples/learning.rs`.
const STRANGE_LIMIT: f32 = 0.6;

/// The same for a row of English words.
const ENGLISH_LIMIT: f32 = 0.5;

/// Terms with fewer phonemes are like too many words; they need the same consonants nearly.
const FEW_PHONEMES: usize = 4;

/// The limit for them.
const SHORT_LIMIT: f32 = 0.34;

/// Tokens before an item's words that may belong to it: a misheard name often stands before the
/// words that were understood.
pub(super) const REACH: usize = 4;

/// Returns true where a stretch begins and ends with words that can belong to a name: *no* may, as in
/// *no painted*, but no preposition, article or pronoun.
pub(super) fn names_something(tokens: &[Token], stretch: &Range<usize>) -> bool {
    let edge = |at: usize| class(&tokens[at].norm);
    matches!(
        edge(stretch.start),
        Class::Open | Class::Negation | Class::Position
    ) && matches!(edge(stretch.end - 1), Class::Open | Class::Position)
}

/// Returns how far words may be from the sounds of a term that they stand for.
pub(super) fn limit(lexicon: &Lexicon, tokens: &[Token], found: &Closest) -> f32 {
    let strange = tokens[found.tokens.clone()]
        .iter()
        .any(|t| !lexicon.knows(&t.norm));
    match (found.phonemes < FEW_PHONEMES, strange) {
        (true, _) => SHORT_LIMIT,
        (false, true) => STRANGE_LIMIT,
        (false, false) => ENGLISH_LIMIT,
    }
}

pub(super) fn in_tokens(tokens: &[Token], words: &Range<usize>) -> Range<usize> {
    let at = |word: usize| tokens.partition_point(|token| token.word < word);
    at(words.start)..at(words.end)
}

pub(super) fn spot(lexicon: &Lexicon, tokens: &[Token], said: &Range<usize>) -> Vec<Hit> {
    let start = said.start.saturating_sub(REACH * 2);
    let end = tokens.len().min(said.end + REACH * 2);
    let mut hits = lexicon.spot(&tokens[start..end]);
    for hit in &mut hits {
        hit.tokens = hit.tokens.start + start..hit.tokens.end + start;
    }
    hits
}

pub(super) fn words_of(tokens: &[Token], stretch: &Range<usize>) -> String {
    let words: Vec<&str> = tokens[stretch.clone()].iter().map(|t| &*t.norm).collect();
    words.join(" ")
}

pub(super) fn within(inner: &Range<usize>, outer: &Range<usize>) -> bool {
    outer.start <= inner.start && inner.end <= outer.end
}

pub(super) fn find(tokens: &[Token], said: &Range<usize>, words: &str) -> bool {
    let words: Vec<String> = words.split(' ').map(str::to_owned).collect();
    Lexicon::has_words(&tokens[said.clone()], &words)
}
