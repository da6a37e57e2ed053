//! Words that were misheard: places, elements and faults told by their sound where the sentence expects
//! one.

use super::candidates::piece;
use super::grammar::{Class, class, opener};
use super::piece::{Piece, PieceKind};
use super::sentence::{Join, Sentence};
use crate::lexicon::{Hit, How, Kind, Lexicon, Token};
use std::ops::Range;

/// Normalised phoneme distance up to which doubtful words may stand for a term of a kind that the
/// clause expects; the lexicon holds everyday words to a fraction of it
/// ([`crate::lexicon::SUPPORTED_SOUND_LIMIT`]). What is further off is left to the second look, which asks the
/// sound. Right F1 from recordings with 0.3, 0.4 and 0.5: of the eight development walk-rounds .894, .904 and
/// .902, of the stream .735, .733 and .687, of 44 texts told freely .581, .578 and .576, of four of
/// `examples/walkrounds` .731, .731 and .746.
const SOUND_LIMIT: f32 = 0.4;

/// A word that is to stand for a fault must be doubted by the recogniser itself.
const DOUBTED: f32 = 0.6;

/// The same for faults, whose everyday words are more often meant as they were said.
const DEFECT_SOUND_LIMIT: f32 = 0.34;

/// The same where the recogniser was sure of the words, or a person typed them: misspellings only.
const SURE_SOUND_LIMIT: f32 = 0.12;

/// Below this probability of its least certain word the recogniser was not sure.
const UNSURE: f32 = 0.8;

/// Where a sentence has a fault and no element, or an element and no fault, looks for words that
/// sound like one.
pub(super) fn mishearings(
    lexicon: &Lexicon,
    tokens: &[Token],
    sentence: &Sentence,
    hits: &[Hit],
    chosen: &mut Vec<Piece>,
) {
    for clause in &sentence.clauses {
        let has = |kind: PieceKind| {
            chosen
                .iter()
                .any(|p| p.kind == kind && clause.tokens.contains(&p.tokens.start))
        };
        let wanted: &[Kind] = match (has(PieceKind::Defect), has(PieceKind::Element)) {
            (true, _) => &[Kind::Element],
            (false, _)
                if clause.join == Join::Start
                    && chosen.iter().any(|p| p.kind == PieceKind::Defect) =>
            {
                &[Kind::Element]
            }
            (false, true) if !chosen.iter().any(|p| p.kind == PieceKind::Defect) => &[Kind::Defect],
            _ => continue,
        };
        if chosen
            .iter()
            .any(|p| p.text == "positive" && clause.tokens.contains(&p.tokens.start))
        {
            continue;
        }
        // A lexicon word that was heard right is never changed.
        // But it may be part of a longer name whose other word was misheard: *stone sail*.
        let kept = |part: &Range<usize>, wording: &str| {
            tokens[part.clone()]
                .iter()
                .all(|t| wording.split(' ').any(|w| w == t.norm))
        };
        let free = |range: &Range<usize>, wording: &str| {
            let overlaps =
                |other: &Range<usize>| other.start < range.end && range.start < other.end;
            !chosen.iter().any(|p| {
                p.kind != PieceKind::Element && p.kind != PieceKind::Phrase && overlaps(&p.tokens)
            }) && !hits.iter().any(|h| {
                h.kind != Kind::Phrase
                    && overlaps(&h.tokens)
                    && !(range.len() > 1
                        && range.start <= h.tokens.start
                        && h.tokens.end <= range.end
                        && kept(&h.tokens, wording))
            })
        };
        let faults = wanted == [Kind::Defect];
        // How far off the words may be; 0 where they mean what they say.
        let most = |range: &Range<usize>| {
            let said = &tokens[range.clone()];
            let below = |probability: f32| said.iter().any(|t| t.probability < probability);
            // A pronoun or a joining word belongs to the sentence, not to a name.
            let joins = said.len() > 1
                && said.iter().any(|t| {
                    matches!(
                        class(&t.norm),
                        Class::Pronoun | Class::Conjunction | Class::Negation
                    )
                });
            let everyday = || said.iter().all(|t| lexicon.everyday(&t.norm));
            if faults && !below(DOUBTED) || joins || everyday() {
                0.0
            } else if !below(UNSURE) {
                SURE_SOUND_LIMIT
            } else if faults {
                DEFECT_SOUND_LIMIT
            } else {
                SOUND_LIMIT
            }
        };
        let best = lexicon
            .sounds_like_beside(
                tokens,
                clause.tokens.clone(),
                hits,
                wanted,
                SOUND_LIMIT,
                &most,
            )
            .into_iter()
            .find(|h| free(&h.tokens, &h.wording));
        if let Some(hit) = best {
            chosen.retain(|p| p.tokens.end <= hit.tokens.start || hit.tokens.end <= p.tokens.start);
            let at = chosen.partition_point(|p| p.tokens.start < hit.tokens.start);
            chosen.insert(at, piece(lexicon, tokens, hit));
        }
    }
}

/// A single word that the recogniser all but guessed names no place.
const GUESSED: f32 = 0.35;

pub(super) fn sure(lexicon: &Lexicon, tokens: &[Token], place: &Piece) -> bool {
    // "Ensuite" and "carport" are no everyday words that were meant otherwise.
    let plain = &tokens[place.tokens.start].norm;
    place.tokens.len() > 1
        || place.text.contains(' ')
        || !lexicon.everyday(plain)
        || tokens[place.tokens.start].probability >= GUESSED
        || place.how != How::Exact
}

/// Splits sentences where a clause is nothing but a place: *…, fan good, lounge, plaster bowed*.
/// Recognisers often write a comma for the full stop of a walk to the next room.
pub(super) fn announced(
    lexicon: &Lexicon,
    tokens: &[Token],
    sentences: Vec<Sentence>,
    hits: &[Hit],
) -> Vec<Sentence> {
    let place = |clause: &Range<usize>| {
        let start = clause
            .clone()
            .find(|&t| !opener(&tokens[t].norm))
            .unwrap_or(clause.start);
        let from = hits.partition_point(|h| h.tokens.start < start);
        hits[from..]
            .iter()
            .take_while(|h| h.tokens.start == start)
            .any(|h| {
                h.kind == Kind::Place && h.tokens.end == clause.end && !lexicon.place(h.term).weak
            })
    };
    let mut out: Vec<Sentence> = Vec::new();
    for sentence in sentences {
        let mut rest = Sentence {
            clauses: Vec::new(),
            ..sentence.clone()
        };
        for clause in sentence.clauses {
            if !rest.clauses.is_empty() && place(&clause.tokens) {
                let at = clause.tokens.start;
                let before = Sentence {
                    tokens: rest.tokens.start..at,
                    question: false,
                    ..rest
                };
                out.push(before);
                rest = Sentence {
                    tokens: at..sentence.tokens.end,
                    clauses: Vec::new(),
                    pause: 0,
                    question: sentence.question,
                };
            }
            rest.clauses.push(clause);
        }
        out.push(rest);
    }
    out
}
