//! Names of places that the lexicon does not have: *canal side bedroom*, *bunk room*, *lower kitchen*.
//!
//! Such a name is a kind of place behind words that tell it from others. Who goes there says it alone
//! (***Bunk room.***, *On along the **glazed link**, …*); once said so, it is known wherever it is said.

use super::change::{PRAISED, SIZES};
use super::way::{GOING, MOVING, TO_A_PLACE};
use crate::lexicon::{Hit, How, Kind, Lexicon, TermId, Token};
use crate::statements::grammar::{Class, class, opener};
use crate::statements::piece::{Piece, PieceKind, weight};
use crate::statements::sentence::Sentence;
use std::ops::Range;

/// Kinds of places that names end with; common words for the parts of homes and grounds, without those
/// that are things in a room as well (*bath*, *cupboard*).
#[rustfmt::skip]
const KINDS: &[&str] = &[
    "room", "bedroom", "bathroom", "kitchen", "lounge", "hall", "hallway", "lobby", "landing", "store", "shed", "study",
    "office", "studio", "suite", "ensuite", "cellar", "basement", "loft", "attic", "gallery", "den", "library", "larder",
    "porch", "passage", "corridor", "link", "garage", "carport", "garden", "yard", "courtyard", "terrace", "patio", "deck",
    "balcony", "lawn", "wing", "annexe", "workshop", "loo", "pantry", "nook", "snug", "cloakroom", "barn", "byre",
    "stable", "paddock", "orchard", "utility", "quarters", "alcove",
];

/// Words that tell how a place is found, not which it is.
#[rustfmt::skip]
const STATE: &[&str] = &[
    "empty", "cold", "warm", "bright", "dark", "quiet", "finished", "done", "completed", "tidy", "clean", "dusty",
    "dirty", "spotless", "other", "own", "good", "old", "new", "whole", "entire", "usual", "proper", "decent", "check",
    "leaving", "enough", "much", "more", "head", "elbow", "wiggle", "no", "beautiful", "same", "mid",
    "end", "detached", "semi", "terraced",
    // Nobody goes out on a Juliet balcony.
    "juliet", "juliette",
];

/// The most words before the kind.
const MOST_WORDS: usize = 3;

/// From this probability on the recogniser was sure of a word. Of the names of its own making in recordings of
/// synthetic voices, nine in ten have a word below it.
const SURE: f32 = 0.95;

/// How far in sound a name may be off from a listed place, as a share of the sounds: *show room* is 0.16 off.
const OFF: f32 = 0.18;

/// A name that was announced.
#[derive(Debug, Clone, PartialEq)]
pub(in super::super) struct OwnPlace {
    words: Vec<String>,
    /// The listed kind of place that it ends with.
    term: Option<TermId>,
    /// The listed place that it is taken to be, misheard, and how.
    meant: Option<Hit>,
}

/// Returns the names that are announced somewhere, each once.
pub(in super::super) fn own_places(
    lexicon: &Lexicon,
    tokens: &[Token],
    sentences: &[Sentence],
    hits: &[Hit],
) -> Vec<OwnPlace> {
    let mut out: Vec<OwnPlace> = Vec::new();
    for clause in sentences.iter().flat_map(|sentence| &sentence.clauses) {
        let Some(name) = name_at_end(lexicon, tokens, &clause.tokens, hits) else {
            continue;
        };
        let words: Vec<String> = name.clone().map(|at| tokens[at].norm.clone()).collect();
        let places: Vec<&Hit> = starting_in(hits, &name)
            .filter(|hit| {
                hit.kind == Kind::Place && hit.how == How::Exact && hit.tokens.end == name.end
            })
            .collect();
        // What the lexicon has is no name of the speaker's own.
        let listed = places.iter().any(|hit| hit.tokens.start <= name.start);
        if !listed && !out.iter().any(|own| own.words == words) {
            out.push(OwnPlace {
                words,
                term: places.first().map(|hit| hit.term),
                meant: meant(lexicon, tokens, name),
            });
        }
    }
    out
}

/// *Show room* for *shower room*: returns the listed place that a name sounds like where the recogniser was not sure
/// of its words.
fn meant(lexicon: &Lexicon, tokens: &[Token], name: Range<usize>) -> Option<Hit> {
    let said = &tokens[name.clone()];
    let sure = said.iter().all(|token| token.probability >= SURE);
    let near = || lexicon.places_near(tokens, name, OFF).into_iter().next();
    (!sure).then(near).flatten()
}

/// Returns the tokens of a name with which a clause ends that says nothing else.
fn name_at_end(
    lexicon: &Lexicon,
    tokens: &[Token],
    clause: &Range<usize>,
    hits: &[Hit],
) -> Option<Range<usize>> {
    let word = |at: usize| tokens[at].norm.as_str();
    let last = clause
        .end
        .checked_sub(1)
        .filter(|last| clause.contains(last))?;
    if class(word(last)) != Class::Open || !KINDS.contains(&word(last)) {
        return None;
    }
    let tells = |at: usize| {
        let word = word(at);
        let plain = match class(word) {
            Class::Open => !MOVING.contains(&word) && !word.ends_with("ly"),
            Class::Position => true,
            // "Grandma's room".
            Class::Verb => {
                word == "'s" && at > clause.start && class(&tokens[at - 1].norm) == Class::Open
            }
            _ => false,
        };
        plain
            && !(opener(word)
                || GOING.contains(&word)
                || STATE.contains(&word)
                || SIZES.contains(&word)
                || PRAISED.contains(&word))
    };
    let first = last.saturating_sub(MOST_WORDS).max(clause.start);
    let start = (first..last).rev().take_while(|&at| tells(at)).last()?;
    let leads = (clause.start..start).all(|at| {
        let word = word(at);
        opener(word)
            || GOING.contains(&word)
            || TO_A_PLACE.contains(&word)
            || matches!(
                class(word),
                Class::Determiner | Class::Preposition | Class::Adverb
            )
    });
    let name = start..last + 1;
    let spoilt = starting_in(hits, &name).any(|hit| {
        let says = match hit.kind {
            Kind::Defect => true,
            Kind::Phrase => lexicon.phrase(hit.term).kind != "position",
            _ => false,
        };
        says && hit.tokens.end <= last
    });
    (leads && !spoilt).then_some(name)
}

/// Returns those of the hits, which stand in order, that start within `range`.
fn starting_in<'a>(hits: &'a [Hit], range: &Range<usize>) -> impl Iterator<Item = &'a Hit> {
    let from = hits.partition_point(|hit| hit.tokens.start < range.start);
    let end = range.end;
    hits[from..]
        .iter()
        .take_while(move |hit| hit.tokens.start < end)
}

/// Returns the announced names that a sentence has, wherever they stand in it.
pub(in super::super) fn own_places_in(
    tokens: &[Token],
    sentence: &Sentence,
    names: &[OwnPlace],
) -> Vec<Piece> {
    let mut out = Vec::new();
    for name in names {
        let starts = sentence.tokens.clone().filter(|at| {
            let said = tokens[*at..sentence.tokens.end].iter();
            said.len() >= name.words.len()
                && name
                    .words
                    .iter()
                    .zip(said)
                    .all(|(own, token)| *own == token.norm)
        });
        out.extend(starts.map(|at| {
            let tokens = at..at + name.words.len();
            if let Some(meant) = &name.meant {
                let hit = Hit {
                    tokens,
                    ..meant.clone()
                };
                return Piece::from_hit(hit, false);
            }
            let text = name.words.join(" ").replace(" 's", "'s");
            let score = weight(PieceKind::Place, tokens.len(), false, How::Exact);
            Piece {
                term: name.term,
                guessed: true,
                ..Piece::own_words(PieceKind::Place, tokens, text).worth(score)
            }
        }));
    }
    out
}
