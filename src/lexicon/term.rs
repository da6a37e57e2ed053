//! Terms: the entries of the lexicon as plain data.

use std::ops::Range;

/// The kinds of entries.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// A room, elevation or other part of the property.
    Place,
    /// Something that can be defective.
    Element,
    /// Something that can be wrong.
    Defect,
    /// Something that puts a defect right.
    Remedy,
    /// Who does it.
    Trade,
    /// Words around the facts: place changes, hedges, withdrawals and the like.
    Phrase,
}

/// Position of a term in [`super::Lexicon`]; stable within one loaded lexicon only.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct TermId(pub u32);

/// One word prepared for matching. A heard word gives one or more tokens (`isn't` gives `is`, `not`;
/// `door's` gives `door`, `'s`; `re-fix` gives `re`, `fix`).
#[derive(Debug, Clone, PartialEq)]
pub struct Token {
    /// Lowercase, without punctuation, in British spelling.
    pub norm: String,
    /// Index of the word in [`crate::speech::Transcript::words`].
    pub word: usize,
    /// The recogniser's probability for that word.
    pub probability: f32,
}

/// How heard words came to stand for a term.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum How {
    /// The words of a wording, or an inflected or respelt form of them.
    Exact,
    /// A wording that the recogniser is known to write for the term (`heard.toml`, or learnt).
    HeardAs,
    /// Words that sound like a wording: normalised phoneme distance, 0 (same sounds) to 1.
    SoundsLike {
        /// The distance.
        distance: f32,
    },
}

/// A term found in the words.
#[derive(Debug, Clone, PartialEq)]
pub struct Hit {
    /// Which term.
    pub term: TermId,
    /// Its kind.
    pub kind: Kind,
    /// The tokens it covers.
    pub tokens: Range<usize>,
    /// The base wording that matched: the name or one of the other wordings, not inflected.
    pub wording: String,
    /// How it matched.
    pub how: How,
    /// For numbered places: the number or letter as a word (`two`, `b`), whether said before
    /// (*second bedroom*) or after (*bedroom 2*). The number's tokens belong to `tokens`.
    pub number: Option<String>,
}
