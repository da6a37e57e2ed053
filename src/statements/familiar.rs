//! What this speaker usually says, where the words that were heard name no fault.

use super::candidates::piece;
use super::grammar::{Class, class};
use super::piece::{Piece, PieceKind};
use super::sentence::Sentence;
use crate::lexicon::{Hit, Kind, Lexicon, Token};
use std::ops::Range;

/// Weighted edits over the sounds of element and fault together, up to which a stretch is taken for
/// what the speaker is known to say.
const PAIR_LIMIT: f32 = 0.36;

/// The same for one name alone, the other being plain.
const ONE_LIMIT: f32 = 0.34;

/// Words of which the recogniser was surer than this are left as they are.
const DOUBTED: f32 = 0.8;

/// The longest stretch, in tokens, that is held against element and fault.
const LONGEST: usize = 7;

/// Adds the elements and faults of the speaker that doubted words sound like.
pub(super) fn familiar(
    lexicon: &Lexicon,
    tokens: &[Token],
    sentence: &Sentence,
    chosen: &mut Vec<Piece>,
) {
    if !lexicon.knows_voice() || sentence.question {
        return;
    }
    for clause in &sentence.clauses {
        let clause = &clause.tokens;
        let of = |kind: PieceKind, chosen: &[Piece]| -> Vec<Piece> {
            let here = |p: &&Piece| p.kind == kind && clause.contains(&p.tokens.start);
            chosen.iter().filter(here).cloned().collect()
        };
        let positive = of(PieceKind::Phrase, chosen)
            .iter()
            .any(|p| p.text == "positive");
        let (elements, defects) = (
            of(PieceKind::Element, chosen),
            of(PieceKind::Defect, chosen),
        );
        if positive {
            continue;
        }
        let doubted = |range: &Range<usize>| {
            tokens[range.clone()]
                .iter()
                .any(|t| t.probability < DOUBTED)
        };
        if let [defect] = &defects[..] {
            // A fault, and nothing in the lexicon that has it.
            let known = elements.iter().any(|e| e.term.is_some());
            let Some(fault) = defect.term.filter(|_| !known) else {
                continue;
            };
            let before = clause.start..defect.tokens.start;
            let hit = lexicon.familiar_one(
                tokens,
                before,
                Kind::Element,
                fault,
                limit("ONE", ONE_LIMIT),
            );
            if let Some(hit) = hit.filter(|hit| doubted(&hit.tokens)) {
                put(lexicon, tokens, hit, chosen);
            }
            continue;
        }
        if !defects.is_empty() {
            continue;
        }
        let mut best = None;
        for start in starts(tokens, clause, chosen) {
            let barrier = chosen.iter().filter(|p| {
                p.tokens.start > start
                    && matches!(
                        p.kind,
                        PieceKind::Measure | PieceKind::Count | PieceKind::Remedy
                    )
            });
            let end = barrier.map(|p| p.tokens.start).min().unwrap_or(clause.end);
            let within = start..end.min(clause.end).min(start + LONGEST);
            if within.len() < 2 {
                continue;
            }
            let found = lexicon
                .familiar(tokens, within, limit("PAIR", PAIR_LIMIT))
                .filter(|found| doubted(&(found.element.tokens.start..found.defect.tokens.end)));
            if let Some(found) = found
                && best
                    .as_ref()
                    .is_none_or(|b: &crate::lexicon::Familiar| found.distance < b.distance)
            {
                best = Some(found);
            }
        }
        if let Some(found) = best {
            put(lexicon, tokens, found.element, chosen);
            put(lexicon, tokens, found.defect, chosen);
            continue;
        }
        if let [element] = &elements[..]
            && let Some(thing) = element.term
        {
            let after = element.tokens.end..clause.end.min(element.tokens.end + 4);
            let hit =
                lexicon.familiar_one(tokens, after, Kind::Defect, thing, limit("ONE", ONE_LIMIT));
            if let Some(hit) = hit.filter(|hit| doubted(&hit.tokens)) {
                put(lexicon, tokens, hit, chosen);
            }
        }
    }
}

/// Returns where in a clause the naming of a thing may begin: at its start, and after small words and
/// places.
fn starts(tokens: &[Token], clause: &Range<usize>, chosen: &[Piece]) -> Vec<usize> {
    let place_ends = |at: usize| {
        chosen
            .iter()
            .any(|p| p.kind == PieceKind::Place && p.tokens.end == at)
    };
    let mut starts = Vec::new();
    for at in clause.clone() {
        if at == clause.start || place_ends(at) || class(&tokens[at - 1].norm) != Class::Open {
            starts.push(at);
        }
        if starts.len() == MOST_STARTS {
            break;
        }
    }
    starts
}

/// The most places in a clause at which a thing is looked for.
const MOST_STARTS: usize = 4;

fn put(lexicon: &Lexicon, tokens: &[Token], hit: Hit, chosen: &mut Vec<Piece>) {
    chosen.retain(|p| p.tokens.end <= hit.tokens.start || hit.tokens.end <= p.tokens.start);
    let at = chosen.partition_point(|p| p.tokens.start < hit.tokens.start);
    chosen.insert(at, piece(lexicon, tokens, hit));
}

fn limit(name: &str, usual: f32) -> f32 {
    std::env::var(name)
        .ok()
        .and_then(|v| v.parse().ok())
        .unwrap_or(usual)
}
