//! Items while they are being made: what the sentences so far say of one defect.

use crate::lexicon::{How, TermId};
use crate::statements::noun::Noun;
use crate::statements::piece::Piece;
use std::ops::Range;

/// A thing spoken of, as an item keeps it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Named {
    /// What the list shows.
    pub(crate) text: String,
    /// The lexicon entry, if any.
    pub(crate) term: Option<TermId>,
    /// How it was heard.
    pub(crate) how: How,
    /// Where it was said; an earlier statement for carried ones.
    pub(crate) tokens: Range<usize>,
}

impl Named {
    /// Returns what a piece names, as the piece has it.
    pub(crate) fn of(piece: &Piece) -> Named {
        Named {
            text: piece.text.clone(),
            term: piece.term,
            how: piece.how,
            tokens: piece.tokens.clone(),
        }
    }

    /// Returns what a noun phrase names, which was heard so.
    pub(crate) fn with_noun(noun: Noun, how: How) -> Named {
        Named {
            text: noun.text,
            term: noun.term,
            how,
            tokens: noun.tokens,
        }
    }
}

/// How narrowly an item came out as it is: how likely each of these is that was decided against, from 0 to 1.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(crate) struct Narrowly {
    /// It is in another sort of place.
    pub(crate) elsewhere: f64,
    /// 1 where no name told that one went to its place.
    pub(crate) unnamed: f64,
    /// One went to a place that was named before it, or did not where it is taken to be there.
    pub(crate) passed: f64,
    /// The fault is of another thing.
    pub(crate) of_another: f64,
    /// The fault says more of the item before it.
    pub(crate) more_of_it: f64,
}

/// An item in the making.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Draft {
    /// How narrowly it came out as it is.
    pub(crate) narrowly: Narrowly,
    /// Index of the visited place.
    pub(crate) place: usize,
    /// What is defective.
    pub(crate) element: Named,
    /// The element comes from an earlier statement.
    pub(crate) element_carried: bool,
    /// What is wrong, the first one naming the item.
    pub(crate) defects: Vec<Named>,
    /// The defect comes from an earlier statement (*same again*).
    pub(crate) defect_carried: bool,
    /// Where within the place.
    pub(crate) positions: Vec<String>,
    /// How many, where said.
    pub(crate) count: Option<u32>,
    /// Indexes of measurements.
    pub(crate) measures: Vec<usize>,
    /// Spoken remedies: the words, and the lexicon entry.
    pub(crate) remedies: Vec<(Range<usize>, Option<TermId>)>,
    /// A spoken trade.
    pub(crate) trade: Option<TermId>,
    /// *might be*, *I think*.
    pub(crate) hedged: bool,
    /// *keep an eye on it*.
    pub(crate) watch: bool,
    /// *take a photo*.
    pub(crate) photo: bool,
    /// *that's a safety one*.
    pub(crate) safety: bool,
    /// *cosmetic only*.
    pub(crate) cosmetic: bool,
    /// Later sentences about it.
    pub(crate) remarks: Vec<Range<usize>>,
    /// The tokens it was made from: the stretch that is quoted and played.
    pub(crate) tokens: Range<usize>,
    /// The clauses that say it, for the description.
    pub(crate) clauses: Vec<Range<usize>>,
    /// Index of the sentence that made it.
    pub(crate) sentence: usize,
    /// Taken back by the speaker, and why.
    pub(crate) withdrawn: Option<String>,
    /// Why it is as it is.
    pub(crate) reasons: Vec<String>,
}

impl Draft {
    /// Adds where it is, once.
    pub(crate) fn place_at(&mut self, position: String) {
        if !self.positions.contains(&position) {
            self.positions.push(position);
        }
    }

    /// Lets the item cover `range` too.
    pub(crate) fn cover(&mut self, range: &Range<usize>) {
        self.tokens = self.tokens.start.min(range.start)..self.tokens.end.max(range.end);
    }
}
