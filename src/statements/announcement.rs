//! Announcements of a place that were misheard: *And sweet.*, *Right dapal, …*, *What room, through
//! here*.
//!
//! Who walks on to another room pauses and then names it. Where no place is named after such a pause,
//! the words that open the sentence may be a name that was misheard. They are held against the names
//! of places that a home usually has; whether one of them is meant, [`misheard`]'s caller decides
//! with what is spoken of from there on.

use super::candidates::piece;
use super::grammar::{Class, class, opener};
use super::piece::PieceKind;
use super::place::{self, GOING, PlaceChange};
use super::reading::Reading;
use super::sentence::Sentence;
use crate::lexicon::{Hit, How, Kind, Lexicon, TermId};
use std::ops::Range;

/// The most words that an announcement is taken to have.
const LONGEST: usize = 4;

/// Below this probability of a word the recogniser doubted it.
const DOUBTED: f32 = 0.5;

/// How far in sound an announcement may be off by itself, as a share of the sounds: *wet room* for
/// *what room* is 0.07 off.
const BASE: f32 = 0.12;
/// How much further where the words are all that is said before a pause or comma: nothing else could
/// be meant by them.
const WHOLE: f32 = 0.13;
/// How much further where the recogniser doubted one of the words.
const DOUBT: f32 = 0.05;
/// How much further or less far for what is spoken of next, for each unit of [`Suspect`]'s evidence.
const EVIDENCE: f32 = 0.04;

/// A place that may have been announced.
#[derive(Debug, Clone, PartialEq)]
pub struct Suspect {
    /// The change of place that it would be.
    pub change: PlaceChange,
    /// The place.
    pub term: TermId,
    /// How far in sound the words are from its name, 0 to 1.
    pub distance: f32,
    /// The distance up to which it counts without evidence.
    limit: f32,
    /// True where all words are everyday words that the recogniser was sure of: *left* for *loft*.
    plain: bool,
}

impl Suspect {
    /// Returns by how much it passes, given the logarithm of how much more likely what is spoken of
    /// next is there than here; `None` where it does not. Plain words need evidence for them.
    pub fn passes(&self, evidence: f32) -> Option<f32> {
        let margin = self.limit + EVIDENCE * evidence - self.distance;
        let supported = if self.plain { evidence > 0.0 } else { true };
        (margin >= 0.0 && supported).then_some(margin)
    }
}

/// Returns the places that the opening of a sentence after a pause may announce, nearest first;
/// `known` says of places that a home does not usually have whether this one has it.
pub fn misheard(
    lexicon: &Lexicon,
    reading: &Reading,
    sentence: &Sentence,
    known: &dyn Fn(TermId) -> bool,
) -> Vec<Suspect> {
    let Some(clause) = sentence.clauses.first().filter(|_| sentence.paused) else {
        return Vec::new();
    };
    let clause = &clause.tokens;
    let word = |at: usize| reading.tokens[at].norm.as_str();
    let opens = clause
        .clone()
        .find(|&t| !opener(word(t)))
        .unwrap_or(clause.start);
    let mut out: Vec<Suspect> = Vec::new();
    for start in clause.start..=opens {
        for end in start + 1..=clause.end.min(start + LONGEST) {
            let stretch = start..end;
            let whole = (end..clause.end).all(|at| GOING.contains(&word(at)) || opener(word(at)));
            for hit in lexicon.near(&reading.tokens, stretch.clone(), Kind::Place) {
                let entry = lexicon.place(hit.term);
                let likely = (entry.usual || known(hit.term)) && (!entry.weak || whole);
                if likely && !understood(reading, &stretch, &hit) {
                    out.extend(suspect(lexicon, reading, clause, hit, whole));
                }
            }
        }
    }
    out.sort_by(|a, b| a.distance.total_cmp(&b.distance));
    out
}

fn suspect(
    lexicon: &Lexicon,
    reading: &Reading,
    clause: &Range<usize>,
    hit: Hit,
    whole: bool,
) -> Option<Suspect> {
    let How::SoundsLike { distance } = hit.how else {
        return None;
    };
    let said = &reading.tokens[hit.tokens.clone()];
    let doubted = said.iter().any(|t| t.probability < DOUBTED);
    let plain = !doubted && said.iter().all(|t| lexicon.everyday(&t.norm));
    let bonus = |holds: bool, by: f32| if holds { by } else { 0.0 };
    let term = hit.term;
    let place = piece(lexicon, &reading.tokens, hit);
    Some(Suspect {
        change: place::to(lexicon, &place, clause.start),
        term,
        distance,
        limit: BASE + bonus(whole, WHOLE) + bonus(doubted, DOUBT),
        plain,
    })
}

/// True where words of the stretch mean something as they are that the name does not have, or where
/// the stretch ends in a word that belongs to what follows.
fn understood(reading: &Reading, stretch: &Range<usize>, hit: &Hit) -> bool {
    let of_name = |at: usize| hit.wording.split(' ').any(|w| w == reading.tokens[at].norm);
    let meant = reading
        .within(&(stretch.start..reading.tokens.len().min(stretch.end + LONGEST)))
        .map(|i| &reading.pieces[i])
        .take_while(|p| p.tokens.start < stretch.end)
        .any(|p| {
            !matches!(p.kind, PieceKind::Phrase | PieceKind::Place)
                && p.how == How::Exact
                && !p.tokens.clone().all(of_name)
        });
    let last = &reading.tokens[stretch.end - 1];
    let hangs = stretch.len() > 1
        && last.probability >= DOUBTED
        && !of_name(stretch.end - 1)
        && !matches!(class(&last.norm), Class::Open | Class::Number);
    meant || hangs
}
