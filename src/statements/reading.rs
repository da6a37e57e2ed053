//! A transcript read: tokens, sentences, and the pieces in them.

use super::faults;
use super::grammar::{Class, class};
use super::{counts, measurements};
use super::piece::{Piece, PieceKind, choose, weight};
use super::sentence::{Sentence, sentences};
use crate::items::Measurement;
use crate::lexicon::{Hit, How, Kind, Lexicon, Token};
use crate::speech::Transcript;
use std::ops::Range;

/// Normalised phoneme distance up to which words may stand for a term of an expected kind: at 0.25
/// about half of invented mishearings are caught and 1.6 % of everyday words would be (measured on
/// single words; the expectation of the kind and the neighbours' support guard the rest).
const SOUND_LIMIT: f32 = 0.25;

/// What a transcript says, sentence by sentence, before anything is concluded from it.
#[derive(Debug, Clone, Default)]
pub struct Reading {
    /// The words prepared for matching.
    pub tokens: Vec<Token>,
    /// The sentences, in order.
    pub sentences: Vec<Sentence>,
    /// The pieces, in order, without overlaps.
    pub pieces: Vec<Piece>,
    /// Every place named, in order, also where an element of the same words was chosen: *stairs*.
    pub places: Vec<Piece>,
    /// The measurements that [`PieceKind::Measure`] pieces point to.
    pub measurements: Vec<Measurement>,
}

impl Reading {
    /// Returns the indexes of the pieces that lie within `range`.
    pub fn within(&self, range: &Range<usize>) -> Range<usize> {
        let from = self.pieces.partition_point(|p| p.tokens.start < range.start);
        let to = self.pieces.partition_point(|p| p.tokens.end <= range.end);
        from..to.max(from)
    }
}

/// Reads a transcript.
pub fn read(lexicon: &Lexicon, transcript: &Transcript) -> Reading {
    let tokens = lexicon.tokens(&transcript.words);
    let sentences = sentences(&tokens, &transcript.words);
    let measured = measurements(&tokens, &transcript.words);
    let hits = lexicon.spot(&tokens);
    let mut pieces = Vec::new();
    let mut places = Vec::new();
    let mut from = 0;
    for sentence in &sentences {
        let to = from + hits[from..].partition_point(|h| h.tokens.start < sentence.tokens.end);
        let own = &hits[from..to];
        from = to;
        let mut candidates = candidates(lexicon, &tokens, sentence, own);
        candidates.extend(numbers(&tokens, sentence, &measured));
        places.extend(choose(candidates.iter().filter(|p| p.kind == PieceKind::Place).cloned().collect()));
        let mut chosen = choose(candidates);
        mishearings(lexicon, &tokens, sentence, &mut chosen);
        negate(&tokens, sentence, &mut chosen);
        pieces.extend(chosen);
    }
    let measurements = measured.into_iter().map(|(_, m)| m).collect();
    Reading { tokens, sentences, pieces, places, measurements }
}

fn candidates(lexicon: &Lexicon, tokens: &[Token], sentence: &Sentence, hits: &[Hit]) -> Vec<Piece> {
    let mut out: Vec<Piece> = hits
        .iter()
        .filter(|h| h.tokens.end <= sentence.tokens.end && !crosses(sentence, &h.tokens))
        .filter(|h| !(h.kind == Kind::Defect && names_a_thing(tokens, h, hits)))
        .map(|h| piece(lexicon, without_article(tokens, h.clone())))
        .collect();
    let missing = lexicon.find(Kind::Defect, faults::MISSING);
    out.extend(faults::faults(tokens, sentence, hits).into_iter().map(|p| {
        if p.text == faults::MISSING { Piece { term: missing, ..p } } else { p }
    }));
    out
}

fn piece(lexicon: &Lexicon, hit: Hit) -> Piece {
    let weak = match hit.kind {
        Kind::Element => lexicon.element(hit.term).weak,
        Kind::Defect => lexicon.defect(hit.term).weak,
        _ => false,
    };
    let kind = hit.kind;
    let term = hit.term;
    let piece = Piece::from_hit(hit, weak);
    if kind == Kind::Phrase { Piece { text: lexicon.phrase(term).kind.clone(), ..piece } } else { piece }
}

/// *the garden door*: a wording that begins with an article must not keep the rest from its noun.
fn without_article(tokens: &[Token], hit: Hit) -> Hit {
    let article = hit.tokens.len() > 1 && matches!(tokens[hit.tokens.start].norm.as_str(), "the" | "a" | "an");
    let start = hit.tokens.start + usize::from(article);
    Hit { tokens: start..hit.tokens.end, ..hit }
}

/// A word that is both a thing and a fault (*sink*, *flap*) is the thing behind an article, a
/// preposition or another noun, and after *lost a*.
fn names_a_thing(tokens: &[Token], defect: &Hit, hits: &[Hit]) -> bool {
    let Some(before) = defect.tokens.start.checked_sub(1).map(|at| tokens[at].norm.as_str()) else { return false };
    let thing = hits.iter().any(|h| h.kind == Kind::Element && h.tokens.start == defect.tokens.start && h.tokens.end >= defect.tokens.end);
    let behind = matches!(class(before), Class::Determiner | Class::Preposition) || hits.iter().any(|h| h.kind == Kind::Element && h.tokens.end == defect.tokens.start);
    let lost = defect.tokens.start.checked_sub(2).is_some_and(|at| tokens[at].norm == "lost");
    defect.tokens.len() == 1 && (thing && behind || lost)
}

/// A wording does not reach over a comma.
fn crosses(sentence: &Sentence, range: &Range<usize>) -> bool {
    sentence.clauses.iter().any(|c| c.tokens.start > range.start && c.tokens.start < range.end)
}

fn numbers(tokens: &[Token], sentence: &Sentence, measured: &[(Range<usize>, Measurement)]) -> Vec<Piece> {
    let from = measured.partition_point(|(r, _)| r.start < sentence.tokens.start);
    let mut out: Vec<Piece> = measured[from..]
        .iter()
        .enumerate()
        .take_while(|(_, (r, _))| r.start < sentence.tokens.end)
        .map(|(at, (range, _))| {
            let score = weight(PieceKind::Measure, range.len() + 1, false, How::Exact);
            Piece { value: (from + at) as u32, score, ..Piece::own_words(PieceKind::Measure, range.clone(), String::new()) }
        })
        .collect();
    let start = sentence.tokens.start;
    out.extend(counts(&tokens[sentence.tokens.clone()]).into_iter().map(|(range, value)| {
        let range = range.start + start..range.end + start;
        // Only the number itself: the thing counted keeps its own piece.
        Piece { value, ..Piece::own_words(PieceKind::Count, range, String::new()) }
    }));
    out
}

/// Where a sentence has a fault and no element, or an element and no fault, looks for words that
/// sound like one.
fn mishearings(lexicon: &Lexicon, tokens: &[Token], sentence: &Sentence, chosen: &mut Vec<Piece>) {
    for clause in &sentence.clauses {
        let has = |kind: PieceKind| chosen.iter().any(|p| p.kind == kind && clause.tokens.contains(&p.tokens.start));
        let wanted: &[Kind] = match (has(PieceKind::Element), has(PieceKind::Defect)) {
            (false, true) => &[Kind::Element],
            (true, false) => &[Kind::Defect],
            _ => continue,
        };
        if chosen.iter().any(|p| p.text == "positive" && clause.tokens.contains(&p.tokens.start)) {
            continue;
        }
        let free = |range: &Range<usize>| !chosen.iter().any(|p| p.tokens.start < range.end && range.start < p.tokens.end);
        let best = lexicon
            .sounds_like(tokens, clause.tokens.clone(), wanted, SOUND_LIMIT)
            .into_iter()
            .find(|h| free(&h.tokens) && tokens[h.tokens.clone()].iter().any(|t| !lexicon.everyday(&t.norm)));
        if let Some(hit) = best {
            let at = chosen.partition_point(|p| p.tokens.start < hit.tokens.start);
            chosen.insert(at, piece(lexicon, hit));
        }
    }
}

/// How many tokens before a defect a negation may stand: *not a single squeak*.
const NEGATION_REACH: usize = 4;

/// Marks defects that are said not to be there.
fn negate(tokens: &[Token], sentence: &Sentence, chosen: &mut [Piece]) {
    for at in 0..chosen.len() {
        if chosen[at].kind != PieceKind::Defect {
            continue;
        }
        let Some(clause) = sentence.clauses.iter().find(|c| c.tokens.contains(&chosen[at].tokens.start)) else { continue };
        let start = chosen[at].tokens.start;
        let from = clause.tokens.start.max(start.saturating_sub(NEGATION_REACH));
        let free = |i: &usize| !chosen.iter().any(|p| p.kind == PieceKind::Defect && p.tokens.contains(i));
        chosen[at].negated = (from..start)
            .filter(free)
            .any(|i| matches!(tokens[i].norm.as_str(), "no" | "not" | "nothing" | "without" | "never" | "none" | "cannot" | "zero"));
    }
}
