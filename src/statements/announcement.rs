//! Announcements of a place that were misheard: *And sweet.*, *Right dapal, …*, *What room, through
//! here*.
//!
//! Who walks on to another room pauses and then names it, or says words of going. Where no place is
//! named there, the words that open the sentence may be a name that was misheard. They are held against the names
//! of places that a home usually has; whether one of them is meant, [`misheard`]'s caller decides
//! with what is spoken of from there on.

use super::candidates::piece;
use super::grammar::{Class, class, opener};
use super::piece::PieceKind;
use super::place::{self, GOING, PlaceChange, TO_A_PLACE};
use super::reading::Reading;
use super::sentence::Sentence;
use crate::lexicon::{Hit, How, Kind, Lexicon, TermId, Token};
use std::ops::Range;

/// The most words that an announcement is taken to have.
const LONGEST: usize = 4;

/// Below this probability of a word the recogniser doubted it.
const DOUBTED: f32 = 0.5;

/// From this probability on *to the left* is where something is, and not a loft.
const SURE: f32 = 0.9;

/// Words for where something is beside another thing.
const BESIDE: &[&str] = &["left", "right", "side", "rear", "back", "front", "end"];

/// How far in sound an announcement may be off by itself, as a share of the sounds: *wet room* for
/// *what room* is 0.07 off.
const BASE: f32 = 0.12;
/// How much further where the words are all that is said before a pause or comma: nothing else could
/// be meant by them.
const WHOLE: f32 = 0.13;
/// How much further where the recogniser doubted one of the words.
const DOUBT: f32 = 0.05;
/// How much less far without a pause before it or words of going to it.
const UNPAUSED: f32 = 0.05;
/// How much further or less far for what is spoken of next, for each unit of [`Suspect`]'s evidence.
const EVIDENCE: f32 = 0.04;
/// The most that evidence adds: however well a place fits what is spoken of next, its name must have
/// been said.
const MOST_EVIDENCE: f32 = 0.12;

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
    /// True where only what is spoken of next can show that it is meant: all words are everyday words
    /// that the recogniser was sure of (*left* for *loft*), or nothing but the sound speaks for it.
    needs_evidence: bool,
}

impl Suspect {
    /// Returns by how much it passes, given the logarithm of how much more likely what is spoken of
    /// next is there than here; `None` where it does not.
    pub fn passes(&self, evidence: f32) -> Option<f32> {
        let margin = self.limit + worth(evidence) - self.distance;
        (margin >= 0.0 && (evidence > 0.0 || !self.needs_evidence)).then_some(margin)
    }
}

/// Returns how much further in sound a name may be off for some evidence.
fn worth(evidence: f32) -> f32 {
    (EVIDENCE * evidence).min(MOST_EVIDENCE)
}

/// Words in the opening of a sentence that may be a name.
struct Stretch {
    /// Where they end.
    end: usize,
    /// They are all that is said before a pause or comma.
    whole: bool,
    /// See [`Suspect`].
    limit: f32,
    needs_evidence: bool,
    /// How far in sound a name may be off, with the evidence.
    most: f32,
}

/// Returns those of the places `among` that the opening of a sentence may announce, nearest first, with at
/// most so much `evidence`.
pub fn misheard(
    lexicon: &Lexicon,
    reading: &Reading,
    sentence: &Sentence,
    among: &[TermId],
    evidence: &dyn Fn() -> f32,
) -> Vec<Suspect> {
    let Some(clause) = sentence.clauses.first() else {
        return Vec::new();
    };
    let clause = &clause.tokens;
    let word = |at: usize| reading.tokens[at].norm.as_str();
    // "All the way up" is no hallway, "in we go" no stairs.
    let mut said = clause.clone();
    let way = said.any(|at| {
        at + 2 < clause.end
            && matches!(
                (word(at), word(at + 1), word(at + 2)),
                ("all", "the", "way") | ("in" | "up" | "on" | "off", "we", _)
            )
    });
    if way {
        return Vec::new();
    }
    let leads = |at: usize| opener(word(at)) || goes(word(at)) || word(at) == "the";
    let opens = clause
        .clone()
        .take(LONGEST)
        .find(|&t| !leads(t))
        .unwrap_or(clause.start);
    let mut out: Vec<Suspect> = Vec::new();
    for start in clause.start..=opens {
        let led = (clause.start..start).any(|at| goes(word(at)));
        let stretches = (start + 1..=clause.end.min(start + LONGEST)).filter_map(|end| {
            let stretch = start..end;
            if understood(reading, &stretch, |word| lexicon.in_place_name(word))
                || beside(reading, clause.start, &stretch)
            {
                return None;
            }
            let whole = (end..clause.end).all(|at| GOING.contains(&word(at)) || opener(word(at)));
            let opening = Opening {
                whole,
                paused: sentence.paused(),
                led,
            };
            let (limit, needs_evidence) = opening.limit(lexicon, &reading.tokens[stretch])?;
            let evidence = evidence();
            (!needs_evidence || evidence > 0.0).then(|| Stretch {
                end,
                whole,
                limit,
                needs_evidence,
                most: limit + worth(evidence),
            })
        });
        let stretches: Vec<Stretch> = stretches.collect();
        let ends: Vec<(usize, f32)> = stretches.iter().map(|s| (s.end, s.most)).collect();
        let near = lexicon.places_near_each(&reading.tokens, start, &ends, Some(among));
        for (stretch, hits) in stretches.iter().zip(near) {
            for hit in hits {
                let entry = lexicon.place(hit.term);
                // A room that was named outright is no change where the sentence speaks against it.
                let said = &reading.tokens[start..stretch.end];
                let words = said.iter().map(|t| t.norm.as_str());
                let exact = entry.kind.indoors() && words.eq(hit.wording.split(' '));
                let likely = !entry.weak || stretch.whole;
                if let How::SoundsLike { distance } = hit.how
                    && likely
                    && !exact
                    && !understood(reading, &(start..stretch.end), in_name(&hit))
                {
                    let (term, place) = (hit.term, piece(lexicon, &reading.tokens, hit));
                    out.push(Suspect {
                        change: place::to(lexicon, &place, clause.start),
                        term,
                        distance,
                        limit: stretch.limit,
                        needs_evidence: stretch.needs_evidence,
                    });
                }
            }
        }
    }
    out.extend(by_number(lexicon, reading, sentence, clause));
    out.sort_by(|a, b| a.distance.total_cmp(&b.distance));
    out
}

/// Numbers that rooms of a home go by, as words and figures.
const ROOM_NUMBERS: [(&str, &str); 6] = [
    ("one", "1"),
    ("two", "2"),
    ("three", "3"),
    ("four", "4"),
    ("five", "5"),
    ("six", "6"),
];

/// *Every one, …* after a walk: a doubted word and a small number are all that is said before a
/// comma. Rooms that go by number are bedrooms (common practice, no source); what is spoken of next
/// must not speak against it.
fn by_number(
    lexicon: &Lexicon,
    reading: &Reading,
    sentence: &Sentence,
    clause: &Range<usize>,
) -> Option<Suspect> {
    let word = |at: usize| reading.tokens[at].norm.as_str();
    let start = clause.clone().find(|&at| !opener(word(at)))?;
    let (name, last) = (start..start + 1, start + 1);
    let number = (last + 1 == clause.end).then(|| word(last))?;
    let number = ROOM_NUMBERS
        .iter()
        .find(|(said, written)| *said == number || *written == number)?
        .0;
    let hit = Hit {
        term: lexicon.find(Kind::Place, "bedroom")?,
        kind: Kind::Place,
        tokens: start..clause.end,
        wording: "bedroom".to_owned(),
        how: How::SoundsLike { distance: BASE },
        number: Some(number.to_owned()),
    };
    let doubted =
        reading.tokens[start].probability < DOUBTED && class(word(start)) != Class::Number;
    if !sentence.paused() || !doubted || understood(reading, &name, in_name(&hit)) {
        return None;
    }
    let (term, place) = (hit.term, piece(lexicon, &reading.tokens, hit));
    Some(Suspect {
        change: place::to(lexicon, &place, clause.start),
        term,
        distance: BASE,
        limit: BASE,
        needs_evidence: false,
    })
}

/// Words of going to a place: *into the*, *back in the*.
fn goes(word: &str) -> bool {
    GOING.contains(&word) || TO_A_PLACE.contains(&word)
}

/// How some words stand in the opening of a sentence.
struct Opening {
    /// They are all that is said before a pause or comma.
    whole: bool,
    /// The speaker paused before the sentence.
    paused: bool,
    /// Words of going lead to them.
    led: bool,
}

impl Opening {
    /// Returns how far in sound from the words a place may be without evidence, and whether it needs
    /// evidence all the same; `None` for everyday words heard well of which nothing says that they
    /// are a name.
    fn limit(&self, lexicon: &Lexicon, said: &[Token]) -> Option<(f32, bool)> {
        let doubted = said.iter().any(|t| t.probability < DOUBTED);
        let plain = !doubted && said.iter().all(|t| lexicon.everyday(&t.norm));
        let bonus = |holds: bool, by: f32| if holds { by } else { 0.0 };
        let walked = self.paused || self.led;
        if plain && (!walked && !self.whole || said.iter().all(|t| opener(&t.norm))) {
            return None;
        }
        let limit =
            BASE + bonus(self.whole, WHOLE) + bonus(doubted, DOUBT) - bonus(!walked, UNPAUSED);
        let said_alone = self.whole && doubted;
        Some((limit, plain && !self.led || !walked && !said_alone))
    }
}

/// ***To the left** of the door, …*, *On **the right hand side**, …*: where a thing is, heard well.
fn beside(reading: &Reading, from: usize, stretch: &Range<usize>) -> bool {
    let word = |at: usize| reading.tokens[at].norm.as_str();
    let side = stretch
        .clone()
        .find(|&at| !matches!(word(at), "on" | "to" | "at" | "the"));
    side.is_some_and(|side| {
        side >= from + 2
            && matches!(word(side - 2), "to" | "on" | "at")
            && word(side - 1) == "the"
            && BESIDE.contains(&word(side))
            && reading.tokens[side].probability >= SURE
    })
}

/// Tells whether a word is one of the name of a place.
fn in_name(hit: &Hit) -> impl Fn(&str) -> bool {
    |word| hit.wording.split(' ').any(|w| w == word)
}

/// True where words of the stretch mean something as they are that no name has, or where the stretch
/// ends in a word that belongs to what follows.
fn understood(reading: &Reading, stretch: &Range<usize>, in_name: impl Fn(&str) -> bool) -> bool {
    let of_name = |at: usize| in_name(&reading.tokens[at].norm);
    let last = &reading.tokens[stretch.end - 1];
    let hangs = stretch.len() > 1
        && last.probability >= DOUBTED
        && !of_name(stretch.end - 1)
        && !matches!(class(&last.norm), Class::Open | Class::Number);
    let meant = || {
        let near =
            reading.within(&(stretch.start..reading.tokens.len().min(stretch.end + LONGEST)));
        reading.pieces[near]
            .iter()
            .take_while(|p| p.tokens.start < stretch.end)
            .any(|p| {
                !matches!(p.kind, PieceKind::Phrase | PieceKind::Place)
                    && p.how == How::Exact
                    && !p.tokens.clone().all(of_name)
            })
    };
    hangs || meant()
}
