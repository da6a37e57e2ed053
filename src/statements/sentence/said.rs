//! What was said, as those look at it who tell where its sentences end: what stands and what is named where.

use super::Break;
use crate::lexicon::{Hit, Kind, Lexicon, Token};
use std::ops::Range;

/// Hardly a wording of the lexicon has more tokens.
const LONGEST_WORDING: usize = 8;

/// What was said, with breaks as they were written.
pub(super) struct Said<'a> {
    pub(super) lexicon: &'a Lexicon,
    pub(super) tokens: &'a [Token],
    pub(super) hits: &'a [Hit],
    pub(super) breaks: &'a [Break],
}

impl<'a> Said<'a> {
    pub(super) fn new(
        lexicon: &'a Lexicon,
        tokens: &'a [Token],
        hits: &'a [Hit],
        breaks: &'a [Break],
    ) -> Said<'a> {
        Said {
            lexicon,
            tokens,
            hits,
            breaks,
        }
    }

    pub(super) fn len(&self) -> usize {
        self.tokens.len()
    }

    /// Returns the longest that starts at a token.
    pub(super) fn starting_at(&self, at: usize) -> Option<&Hit> {
        let from = self.hits.partition_point(|hit| hit.tokens.start < at);
        let here = self.hits[from..]
            .iter()
            .take_while(|hit| hit.tokens.start == at);
        here.max_by_key(|hit| hit.tokens.end)
    }

    /// Returns the longest that ends before a token.
    pub(super) fn ending_at(&self, at: usize) -> Option<&Hit> {
        let near = self.near(at).iter();
        near.filter(|hit| hit.tokens.end == at)
            .min_by_key(|hit| hit.tokens.start)
    }

    /// Returns the longest that a stop behind a token would part.
    pub(super) fn across(&self, at: usize) -> Option<&Hit> {
        let near = self.near(at).iter();
        near.filter(|hit| hit.tokens.start <= at && hit.tokens.end > at + 1)
            .max_by_key(|hit| hit.tokens.len())
    }

    /// Those that start at a token or some before it.
    fn near(&self, at: usize) -> &[Hit] {
        let start = at.saturating_sub(LONGEST_WORDING);
        let from = self.hits.partition_point(|hit| hit.tokens.start < start);
        let to = self.hits.partition_point(|hit| hit.tokens.start <= at);
        &self.hits[from..to]
    }

    pub(super) fn word(&self, at: usize) -> &str {
        self.tokens.get(at).map_or("", |token| token.norm.as_str())
    }

    /// Returns what a stretch names.
    pub(super) fn names(&self, stretch: &Range<usize>) -> &'static str {
        let (mut thing, mut fault, mut place, mut remedy, mut praise) =
            (false, false, false, false, false);
        let from = self
            .hits
            .partition_point(|hit| hit.tokens.start < stretch.start);
        for hit in self.hits[from..]
            .iter()
            .take_while(|hit| hit.tokens.start < stretch.end)
        {
            match hit.kind {
                Kind::Element => thing = true,
                Kind::Defect => fault = true,
                Kind::Place => place = true,
                Kind::Remedy => remedy = true,
                Kind::Phrase => praise |= self.lexicon.phrase(hit.term).kind == "positive",
                Kind::Trade => {}
            }
        }
        match () {
            () if thing && fault => "a thing and a fault",
            () if fault => "a fault",
            () if praise => "praise",
            () if remedy => "a remedy",
            () if thing => "a thing",
            () if place => "a place",
            () => "nothing",
        }
    }
}

/// Returns what something of the lexicon is called among the signs.
pub(super) fn named(kind: Kind) -> &'static str {
    match kind {
        Kind::Element => "a thing",
        Kind::Defect => "a fault",
        Kind::Place => "a place",
        Kind::Remedy => "a remedy",
        Kind::Trade => "a trade",
        Kind::Phrase => "a phrase",
    }
}

/// Returns the stretches of at least so many tokens between breaks at which one ends.
pub(super) fn stretches(
    breaks: &[Break],
    ends: impl Fn(Break) -> bool,
    least: usize,
) -> Vec<Range<usize>> {
    let mut out = Vec::new();
    let mut start = 0;
    for (at, gap) in breaks.iter().enumerate() {
        if ends(*gap) || at + 1 == breaks.len() {
            if at + 1 - start >= least {
                out.push(start..at + 1);
            }
            start = at + 1;
        }
    }
    out
}
