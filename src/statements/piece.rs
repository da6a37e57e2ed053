//! Pieces: the stretches of a sentence that mean something, chosen from overlapping candidates.

use crate::lexicon::{Hit, How, Kind, TermId};
use std::ops::Range;

/// What a piece stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PieceKind {
    /// A place; whether it is a change of place is decided by the sentence.
    Place,
    /// Something that can be defective.
    Element,
    /// Something wrong, from the lexicon or from the shape of the words (*won't trip*).
    Defect,
    /// Something that puts it right.
    Remedy,
    /// Who puts it right.
    Trade,
    /// Words around the facts; `term` tells which.
    Phrase,
    /// A measurement; `value` is its index in [`super::reading::Reading::measurements`].
    Measure,
    /// A number of things; `value` is the number.
    Count,
}

/// A meaningful stretch of tokens.
#[derive(Debug, Clone, PartialEq)]
pub struct Piece {
    /// What it stands for.
    pub kind: PieceKind,
    /// The tokens it covers.
    pub tokens: Range<usize>,
    /// The lexicon entry, where there is one.
    pub term: Option<TermId>,
    /// How it reads in a list: the wording that matched, or the speaker's own words.
    pub text: String,
    /// How it was found.
    pub how: How,
    /// Worth when candidates compete for the same tokens; see [`weight`].
    pub score: f32,
    /// The number of a numbered place.
    pub number: Option<String>,
    /// See [`PieceKind::Measure`] and [`PieceKind::Count`].
    pub value: u32,
    /// For defects: said not to be there (*no cracks*, *isn't loose*).
    pub negated: bool,
    /// For defects: told by nothing but its place in the clause. For places: a name of the speaker's own.
    pub guessed: bool,
}

/// Returns the piece that covers a token, of pieces in order and without overlaps.
pub fn piece_at(pieces: &[Piece], token: usize) -> Option<&Piece> {
    let next = pieces.partition_point(|p| p.tokens.end <= token);
    pieces.get(next).filter(|p| p.tokens.start <= token)
}

impl Piece {
    /// Returns the piece for a lexicon hit.
    pub fn from_hit(hit: Hit, weak: bool) -> Piece {
        let kind = match hit.kind {
            Kind::Place => PieceKind::Place,
            Kind::Element => PieceKind::Element,
            Kind::Defect => PieceKind::Defect,
            Kind::Remedy => PieceKind::Remedy,
            Kind::Trade => PieceKind::Trade,
            Kind::Phrase => PieceKind::Phrase,
        };
        let score = weight(kind, hit.tokens.len(), weak, hit.how);
        Piece {
            kind,
            score,
            tokens: hit.tokens,
            term: Some(hit.term),
            text: hit.wording,
            how: hit.how,
            number: hit.number,
            value: 0,
            negated: false,
            guessed: false,
        }
    }

    /// Returns a piece that stands for the speaker's own words, not for a lexicon entry.
    pub fn own_words(kind: PieceKind, tokens: Range<usize>, text: String) -> Piece {
        let score = weight(kind, tokens.len(), false, How::Exact) * OWN_WORDS_SHARE;
        Piece {
            kind,
            tokens,
            term: None,
            text,
            how: How::Exact,
            score,
            number: None,
            value: 0,
            negated: false,
            guessed: false,
        }
    }

    /// Returns the piece with another score.
    pub fn worth(self, score: f32) -> Piece {
        Piece { score, ..self }
    }
}

/// A lexicon entry beats the same words read by shape alone, all else being equal.
const OWN_WORDS_SHARE: f32 = 0.9;

/// How fast a longer candidate gains on shorter ones: above 1, so that one wording of two words
/// (*door handle*) beats two of one word each (*door*, *handle*).
const LENGTH_EXPONENT: f32 = 1.35;

/// Share kept by entries marked `weak` (everyday words).
const WEAK_SHARE: f32 = 0.8;

/// Returns the worth of a candidate of `length` tokens when it competes for them.
///
/// The kinds' order settles ties: what is wrong and what is wrong with it first, then places,
/// measures and remedies, then the words around them.
pub fn weight(kind: PieceKind, length: usize, weak: bool, how: How) -> f32 {
    let by_kind = match kind {
        PieceKind::Defect => 1.06,
        PieceKind::Measure => 1.05,
        PieceKind::Element => 1.04,
        PieceKind::Place => 1.03,
        PieceKind::Remedy => 1.02,
        PieceKind::Trade => 1.01,
        PieceKind::Count => 0.7,
        PieceKind::Phrase => 0.95,
    };
    let by_how = match how {
        How::Exact => 1.0,
        How::HeardAs => 0.95,
        How::SoundsLike { distance } => 0.8 - distance,
    };
    by_kind * by_how * (length as f32).powf(LENGTH_EXPONENT) * if weak { WEAK_SHARE } else { 1.0 }
}

/// Returns the set of candidates without overlaps whose scores add up to the most, in order.
/// Of equally good sets the one whose last piece comes earlier in the input wins.
pub fn choose(mut candidates: Vec<Piece>) -> Vec<Piece> {
    candidates.retain(|c| !c.tokens.is_empty() && c.score > 0.0);
    candidates.sort_by_key(|c| (c.tokens.end, c.tokens.start));
    // best[i]: the most that the first i candidates can give; classic weighted interval scheduling
    // (Kleinberg and Tardos, Algorithm Design, section 6.1).
    let mut best = vec![0.0f32; candidates.len() + 1];
    let before = |at: usize| {
        candidates[..at].partition_point(|c| c.tokens.end <= candidates[at].tokens.start)
    };
    for at in 0..candidates.len() {
        best[at + 1] = best[at].max(candidates[at].score + best[before(at)]);
    }
    let mut chosen = Vec::new();
    let mut at = candidates.len();
    while at > 0 {
        if best[at] > best[at - 1] {
            chosen.push(at - 1);
            at = before(at - 1);
        } else {
            at -= 1;
        }
    }
    chosen.reverse();
    chosen
        .into_iter()
        .map(|at| candidates[at].clone())
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn piece(kind: PieceKind, tokens: Range<usize>) -> Piece {
        let score = weight(kind, tokens.len(), false, How::Exact);
        Piece {
            score,
            ..Piece::own_words(kind, tokens, String::new())
        }
    }

    #[test]
    fn the_longest_consistent_reading_wins() {
        use PieceKind::{Defect, Element, Place};
        type Chosen = &'static [(usize, usize)];
        let cases: [(&str, Vec<Piece>, Chosen); 3] = [
            (
                "two words beat one and one",
                vec![
                    piece(Element, 0..1),
                    piece(Element, 1..2),
                    piece(Element, 0..2),
                ],
                &[(0, 2)],
            ),
            (
                "a defect beats a place of the same words",
                vec![piece(Place, 0..1), piece(Defect, 0..1)],
                &[(0, 1)],
            ),
            (
                "two pairs beat the triple between them",
                vec![
                    piece(Element, 0..2),
                    piece(Element, 1..4),
                    piece(Element, 2..4),
                ],
                &[(0, 2), (2, 4)],
            ),
        ];
        for (name, candidates, expected) in cases {
            let got: Vec<_> = choose(candidates)
                .into_iter()
                .map(|p| (p.tokens.start, p.tokens.end))
                .collect();
            assert_eq!(got, expected, "{name}");
        }
    }

    proptest::proptest! {
        #[test]
        fn chosen_pieces_never_overlap(ranges in proptest::collection::vec((0usize..30, 1usize..5), 0..40)) {
            let chosen = choose(ranges.into_iter().map(|(s, n)| piece(PieceKind::Element, s..s + n)).collect());
            for pair in chosen.windows(2) {
                proptest::prop_assert!(pair[0].tokens.end <= pair[1].tokens.start);
            }
        }
    }
}
