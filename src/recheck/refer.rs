//! Which items a stretch of speech is about: by number, by range, all of a place, the rest, or by
//! description.

mod describe;
mod number;
mod scope;

use super::known::{Described, Known, named_piece, open_stems, place_identity};
use crate::items::Item;
use crate::lexicon::Lexicon;
use crate::speech::Word;
use crate::statements::grammar::{Class, class};
use crate::statements::piece::{Piece, PieceKind};
use crate::statements::reading::Reading;
use crate::statements::standing::{Said, Says};
use std::ops::Range;

/// Sureness where another item fits about as well, or where only a part fits.
pub(super) const UNSURE: f64 = 0.5;

/// How items were referred to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum How {
    /// By number.
    Number,
    /// By place, or as the rest.
    Scope,
    /// By element and defect.
    Described,
    /// By *that*, *it*, *they*.
    Pronoun,
}

/// A reference to items.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Ref {
    pub(super) tokens: Range<usize>,
    /// Indexes among the known items, each once.
    pub(super) items: Vec<usize>,
    pub(super) how: How,
    pub(super) sure: f64,
    pub(super) reasons: Vec<String>,
    /// Numbers that no confirmed item has.
    pub(super) unknown: Vec<u32>,
    /// *none of the kitchen ones*: what is said of them is denied.
    pub(super) denied: bool,
}

/// What references are looked for in.
pub(super) struct Scene<'a> {
    pub(super) lexicon: &'a Lexicon,
    pub(super) reading: &'a Reading,
    pub(super) words: &'a [Word],
    pub(super) known: &'a [Known<'a>],
    /// The identity of the place where the walk is.
    pub(super) place: Option<&'a str>,
    /// Indexes of the items spoken of so far.
    pub(super) spoken: &'a [usize],
    /// The wordings of the sentence in hand.
    pub(super) said: &'a [Said],
}

impl Scene<'_> {
    pub(super) fn word(&self, at: usize) -> &str {
        self.reading
            .tokens
            .get(at)
            .map_or("", |token| token.norm.as_str())
    }

    /// True where punctuation or the end follows token `at`.
    pub(super) fn halts(&self, at: usize) -> bool {
        let Some(token) = self.reading.tokens.get(at) else {
            return true;
        };
        let next = self.reading.tokens.get(at + 1);
        if next.is_some_and(|next| next.word == token.word) {
            return false;
        }
        let word = &self.words[token.word];
        next.is_none()
            || word.line_end
            || word
                .text
                .ends_with([',', ';', ':', '.', '!', '?', '-', '–', '—', '…'])
    }

    fn covered(&self, at: usize, kinds: &[PieceKind]) -> bool {
        let pieces = &self.reading.pieces;
        let index = pieces.partition_point(|piece| piece.tokens.end <= at);
        pieces
            .get(index)
            .is_some_and(|piece| piece.tokens.contains(&at) && kinds.contains(&piece.kind))
    }

    fn reference(&self, tokens: Range<usize>, items: Vec<usize>, how: How, sure: f64) -> Ref {
        Ref {
            tokens,
            items,
            how,
            sure,
            reasons: Vec::new(),
            unknown: Vec::new(),
            denied: false,
        }
    }

    /// The elements named in `range` that are not names of places.
    fn things(&self, range: &Range<usize>) -> Vec<&Piece> {
        let in_place = |piece: &Piece| {
            self.reading.places.iter().any(|place| {
                place.tokens.start <= piece.tokens.start && piece.tokens.end <= place.tokens.end
            })
        };
        let elements = self.reading.elements.iter();
        elements
            .filter(|piece| is_within(piece, range) && !in_place(piece))
            .collect()
    }

    /// The faults named in `range` that are not words of standing: *no change* is none.
    fn faults(&self, range: &Range<usize>) -> Vec<&Piece> {
        let standing = |piece: &Piece| {
            self.said.iter().any(|one| {
                one.says != Says::Reply
                    && one.tokens.start < piece.tokens.end
                    && piece.tokens.start < one.tokens.end
            })
        };
        let pieces = self.reading.pieces.iter();
        pieces
            .filter(|piece| piece.kind == PieceKind::Defect && is_within(piece, range))
            .filter(|piece| !standing(piece))
            .collect()
    }

    /// Returns the words that name the first thing or fault of the range.
    pub(super) fn first_named(&self, range: &Range<usize>) -> Option<Range<usize>> {
        let pieces = self.things(range).into_iter().chain(self.faults(range));
        pieces
            .map(|piece| piece.tokens.clone())
            .min_by_key(|tokens| (tokens.start, tokens.end))
    }
}

fn is_within(piece: &Piece, range: &Range<usize>) -> bool {
    piece.tokens.start >= range.start && piece.tokens.end <= range.end
}

/// Adds what is not there yet.
pub(super) fn push_once(items: &mut Vec<usize>, index: usize) {
    if !items.contains(&index) {
        items.push(index);
    }
}

/// Returns whether a new item is one of the list said again: same place, element and defect.
pub(super) fn said_again(lexicon: &Lexicon, known: &[Known], fresh: &Item) -> Option<usize> {
    let place = place_identity(lexicon, &fresh.place);
    let said = Known::new(lexicon, fresh).as_described();
    let fits = |known: &Known| {
        known.place == place && known.element_fit(&said) >= 0.8 && known.defect_fit(&said) >= 0.8
    };
    known.iter().position(fits)
}
