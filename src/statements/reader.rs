//! Tokens read together with the words they came from, so that punctuation counts.

use crate::lexicon::Token;
use crate::speech::Word;

/// How strongly speech halts after a token.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Pause {
    /// No punctuation, or punctuation unknown.
    None,
    /// A comma, dash, or the end of a line or cue (which may fall inside a phrase).
    Comma,
    /// The end of a sentence.
    Sentence,
}

impl Pause {
    /// True where a number cannot go on.
    pub(super) fn stops(self) -> bool {
        self == Pause::Sentence
    }
}

/// Tokens with their words; without words (an empty slice) no pause is known.
#[derive(Clone, Copy)]
pub(super) struct Reader<'a> {
    tokens: &'a [Token],
    words: &'a [Word],
}

impl<'a> Reader<'a> {
    pub(super) fn new(tokens: &'a [Token], words: &'a [Word]) -> Self {
        Reader { tokens, words }
    }

    pub(super) fn len(self) -> usize {
        self.tokens.len()
    }

    /// Returns the token's text; empty past the end.
    pub(super) fn norm(self, at: usize) -> &'a str {
        self.tokens.get(at).map_or("", |t| t.norm.as_str())
    }

    /// Returns the word as heard that the token is part of; empty where unknown.
    pub(super) fn raw(self, at: usize) -> &'a str {
        self.word(at).map_or("", |w| w.text.as_str())
    }

    fn word(self, at: usize) -> Option<&'a Word> {
        self.words.get(self.tokens.get(at)?.word)
    }

    /// Returns the word that token `at` ends with: the last of those it stands for.
    fn last_word(self, at: usize) -> Option<&'a Word> {
        let word = self.tokens.get(at)?.word;
        self.words.get(Word::end_of(self.words, word) - 1)
    }

    /// True where both tokens come from one word.
    pub(super) fn same_word(self, a: usize, b: usize) -> bool {
        matches!((self.tokens.get(a), self.tokens.get(b)), (Some(a), Some(b)) if a.word == b.word)
    }

    /// True where the tokens from `at` are exactly `words`.
    pub(super) fn is(self, at: usize, words: &[&str]) -> bool {
        words
            .iter()
            .enumerate()
            .all(|(i, w)| self.norm(at + i) == *w)
    }

    /// True where the tokens before `at` are exactly `words`, without the end of a sentence between.
    pub(super) fn ends_with(self, at: usize, words: &[&str]) -> bool {
        at >= words.len()
            && self.is(at - words.len(), words)
            && (at - words.len()..at).all(|i| !self.pause_after(i).stops())
    }

    /// Returns the pause after token `at`.
    pub(super) fn pause_after(self, at: usize) -> Pause {
        let Some(word) = self.last_word(at) else {
            return Pause::None;
        };
        if self.same_word(at, at + 1) {
            return Pause::None;
        }
        let text = word.text.trim_end_matches(['"', '\'', '”', '’', ')', ']']);
        match text.chars().next_back() {
            Some('.') if self.is_abbreviation(at) => Pause::None,
            Some('.' | '!' | '?' | '…' | ';') => Pause::Sentence,
            Some(',' | ':' | '-' | '–' | '—') => Pause::Comma,
            _ if word.line_end => Pause::Comma,
            _ => Pause::None,
        }
    }

    /// True where the point after a token shortens it (*2 ft. 6 in. wide*): a known short form, and no
    /// capital after it.
    fn is_abbreviation(self, at: usize) -> bool {
        let goes_on = |c: char| c.is_lowercase() || c.is_ascii_digit();
        matches!(
            self.norm(at),
            "ft" | "in" | "mm" | "cm" | "m" | "deg" | "approx" | "no"
        ) && self.raw(at + 1).starts_with(goes_on)
    }

    /// Returns true where a sentence ends within `from..to` (after one of these tokens).
    pub(super) fn sentence_ends_within(self, from: usize, to: usize) -> bool {
        (from..to).any(|i| self.pause_after(i).stops())
    }

    /// Returns the character that stands between written numbers `at` and `at + 1` of one word:
    /// `/` in `5/8`, `-` in `6-8mm`, `:` in `1:40`.
    pub(super) fn glue(self, at: usize) -> Option<char> {
        if !self.same_word(at, at + 1) {
            return None;
        }
        let digits = |s: &str| s.chars().next().is_some_and(|c| c.is_ascii_digit());
        let (left, right, raw) = (self.norm(at), self.norm(at + 1), self.raw(at));
        if !digits(left) || !digits(right) {
            return None;
        }
        raw.match_indices(left).find_map(|(i, _)| {
            let mut rest = raw.get(i + left.len()..)?.chars();
            let sign = rest.next()?;
            rest.as_str().starts_with(right).then_some(sign)
        })
    }

    /// Returns the signs that follow a written number within its word, such as the `"` of `6"`: the
    /// token after it where that is a sign, else the word's end after its last letter or digit.
    pub(super) fn signs_after(self, at: usize) -> &'a str {
        if self.same_word(at, at + 1) {
            let next = self.norm(at + 1);
            return if matches!(next, "%" | "°") { next } else { "" };
        }
        let raw = self.raw(at);
        raw.trim_start_matches(|c: char| !c.is_alphanumeric())
            .trim_start_matches(|c: char| c.is_alphanumeric() || matches!(c, '.' | ',' | '/'))
    }

    /// Returns the text of the next word where no token came from it (a lone sign such as `%`).
    pub(super) fn lone_sign_after(self, at: usize) -> &'a str {
        let Some(token) = self.tokens.get(at) else {
            return "";
        };
        let next = token.word + 1;
        if self.tokens.get(at + 1).is_some_and(|t| t.word <= next) {
            return "";
        }
        self.words.get(next).map_or("", |w| w.text.as_str())
    }

    /// Returns the words as heard from the word of token `from` to that of token `to - 1`, without
    /// the punctuation at the end; the tokens' texts where the words are unknown.
    pub(super) fn spoken(self, from: usize, to: usize) -> String {
        let Some((first, last)) = self
            .tokens
            .get(from..to)
            .and_then(|t| t.first().zip(t.last()))
        else {
            return String::new();
        };
        let text: Vec<&str> = match self.words.get(first.word..last.word + 1) {
            Some(words) => words.iter().map(|w| w.text.as_str()).collect(),
            None => self.tokens[from..to]
                .iter()
                .map(|t| t.norm.as_str())
                .collect(),
        };
        text.join(" ")
            .trim_end_matches(['.', ',', ';', ':', '!', '?', '…', '-', '–', '—'])
            .to_owned()
    }

    /// True where the token is a function word or a word of place, which no number counts.
    pub(super) fn is_function(self, at: usize) -> bool {
        FUNCTION_WORDS.contains(&self.norm(at))
    }

    /// True where nothing after token `at - 1` can be what a number counts: the end, a pause, or a
    /// function word.
    pub(super) fn stands_alone(self, at: usize) -> bool {
        at >= self.len() || self.pause_after(at - 1) != Pause::None || self.is_function(at)
    }
}

/// Words after which a number before them counts nothing (grammar; the list is our own).
const FUNCTION_WORDS: &[&str] = &[
    "a", "about", "above", "across", "again", "all", "along", "am", "an", "and", "any", "are",
    "around", "as", "at", "be", "because", "been", "before", "behind", "below", "beside",
    "between", "both", "but", "by", "can", "could", "did", "do", "does", "down", "each", "either",
    "er", "erm", "for", "from", "get", "had", "has", "have", "here", "high", "how", "i", "if",
    "in", "into", "is", "it", "its", "just", "like", "long", "low", "maybe", "might", "more",
    "must", "my", "near", "needs", "no", "not", "now", "off", "okay", "on", "one's", "only", "or",
    "out", "over", "please", "proud", "really", "should", "so", "still", "tall", "than", "that",
    "the", "then", "there", "they", "this", "through", "to", "too", "um", "uh", "under", "up",
    "very", "want", "wants", "was", "we", "well", "were", "when", "where", "which", "while", "who",
    "wide", "will", "with", "would", "you",
];
