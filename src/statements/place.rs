//! Changes of place: *Hallway.*, *Through to the lounge now*, *Right, back in the front bedroom*.

mod arrival;
mod attached;
mod change;
mod name;
mod of_a_house;
mod own;
mod way;

use super::grammar::{Class, class, hesitation, opener};
use super::piece::{Piece, PieceKind, piece_at};
use super::reading::Reading;
use super::sentence::{Join, Sentence};
use crate::lexicon::{Lexicon, PlaceKind, TermId, Token};
use arrival::arrives;
pub(super) use attached::attached;
use change::{PRAISED, SIZES, change, points_to};
pub use name::{identity, place_name};
pub(super) use of_a_house::of_a_house;
pub(super) use own::{OwnPlace, own_places, own_places_in};
use std::ops::Range;
pub(crate) use way::GOING;
pub(crate) use way::TO_A_PLACE;
use way::{joined, leads_there, sets_out};

/// A place that the inspector has gone to.
#[derive(Debug, Clone, PartialEq)]
pub struct PlaceChange {
    /// Its name with its number, as lists show it.
    pub name: String,
    /// What makes it the same place as another: the lexicon's name with the number.
    pub identity: String,
    /// `room`, `elevation`, … as in [`crate::items::VisitedPlace::kind`].
    pub kind: String,
    /// The lexicon entry, where there is one.
    pub term: Option<TermId>,
    /// The tokens that said so; what follows them is about the place.
    pub tokens: Range<usize>,
    /// True where the words name the place outright (*In the kitchen*, *Kitchen.*), false where it
    /// is only the subject of a sentence (*Landing's good*).
    pub outright: bool,
    /// True where words of going lead to it.
    pub going: bool,
}

/// True where something is as it is at the place that begins at a token: ***as in** bedroom two, the sill's
/// scratched*.
pub(crate) fn as_in(tokens: &[Token], place: usize) -> bool {
    let word = |back: usize| place.checked_sub(back).map_or("", |at| &*tokens[at].norm);
    word(2) == "as" && matches!(word(1), "in" | "per")
}

/// Returns the changes of place in a sentence, in order: mostly none or one.
pub fn changes(
    lexicon: &Lexicon,
    reading: &Reading,
    sentence: &Sentence,
    inside: bool,
) -> Vec<PlaceChange> {
    let mut out: Vec<PlaceChange> = Vec::new();
    // "Last half flight, up to the roof terrace": after a thing, only words of going lead elsewhere.
    let mut thing_named = false;
    for clause in &sentence.clauses {
        // "I'll poke my nose in the pantry, ooh".
        let mut said = clause.tokens.clone();
        let ends_here = |&at: &usize| {
            at > clause.tokens.start
                && hesitation(&reading.tokens[at].norm)
                && piece_at(&reading.places, at - 1).is_some()
        };
        said.end = clause.tokens.clone().find(ends_here).unwrap_or(said.end);
        let from = reading
            .places
            .partition_point(|p| p.tokens.start < clause.tokens.start);
        let to = reading
            .places
            .partition_point(|p| p.tokens.end <= clause.tokens.end);
        // The last place of a clause is where one ends up: "back downstairs and out into the garden".
        // "Over by the garage".
        let told_by = |p: usize| {
            let place = &reading.places[p];
            led_by(&reading.tokens, place, &["by", "near"])
                || landmark(&reading.tokens, place)
                || to_get_to(&reading.tokens, place)
                || end_of(&reading.tokens, place)
        };
        let first = (from..to).find(|&p| !told_by(p)).unwrap_or(from);
        let found = (from..to)
            .rev()
            .filter(|&p| p == first && out.is_empty() || !told_by(p))
            .filter(|&p| {
                let place = &reading.places[p];
                p == first
                    || p > 0
                        && left_behind(reading, &reading.places[p - 1])
                        && led_by(&reading.tokens, place, &["into"])
                    || joined(reading, &reading.places[p - 1], place)
                    || leads_there(reading, &said, place)
                    || points_to(reading, &said, place)
                    || left_behind(reading, &reading.places[p - 1])
                        && arrives(reading, sentence, &said, place)
            })
            .find_map(|p| {
                change(
                    lexicon,
                    reading,
                    sentence,
                    &said,
                    &reading.places[p],
                    inside,
                )
            });
        // "Bedroom two, at the back": the second names no other place unless one goes there; "powder
        // room, through the little hall" tells the way to the first.
        let way = |f: &PlaceChange| {
            let first = clause.tokens.start;
            let led = matches!(
                reading.tokens[first].norm.as_str(),
                "through" | "off" | "from" | "via" | "past"
            );
            let bare = out.iter().any(|o: &PlaceChange| !o.going);
            // "In the garage, which I get to through the utility".
            let how_to_get_there = first > sentence.tokens.start
                && reading.tokens[first - 1].norm == "which"
                && matches!(reading.tokens[first].norm.as_str(), "i" | "you" | "we");
            (led && bare || how_to_get_there) && f.tokens.end >= clause.tokens.end
        };
        // "Following the hallway to the end, primary bedroom": where the way leads.
        let led = out
            .last()
            .is_some_and(|o: &PlaceChange| o.going || !starts_with(reading, o));
        let indoors = |f: &PlaceChange| f.kind == "room" || f.kind == "loft";
        let end_of_way = |f: &PlaceChange| {
            led && indoors(f) && (starts_with(reading, f) || clause.join == Join::And && f.outright)
        };
        let found = found.filter(|f| {
            if out.is_empty() {
                !thing_named || f.going
            } else {
                (f.going || end_of_way(f)) && !way(f)
            }
        });
        if let Some(found) = found {
            out.push(found);
            continue;
        }
        let mut said = reading
            .within(&clause.tokens)
            .map(|p| reading.pieces[p].kind);
        let mut words = clause
            .tokens
            .clone()
            .map(|at| reading.tokens[at].norm.as_str());
        let on_the_way = words
            .find(|word| !opener(word) || sets_out(word))
            .is_some_and(sets_out);
        if out.is_empty() && !on_the_way {
            if said.clone().any(|kind| kind == PieceKind::Defect) {
                break;
            }
            thing_named |= said.any(|kind| kind == PieceKind::Element);
        }
    }
    if out.is_empty() {
        out.extend(begun_in(lexicon, reading, sentence));
    }
    out
}

/// *Risers, **going up**, one sixty, one sixty-two*: along a thing, not away from it.
pub(crate) fn goes_along(reading: &Reading, sentence: &Sentence, place: &Piece) -> bool {
    let word = |at: usize| &*reading.tokens[at].norm;
    let before = sentence.tokens.start..place.tokens.start;
    GOING.contains(&word(place.tokens.start))
        && matches!(word(place.tokens.end - 1), "up" | "down")
        && reading.pieces[reading.within(&before)]
            .iter()
            .any(|piece| piece.kind == PieceKind::Element)
}

/// *The utility **next to** the kitchen*, *bigger **than** bedroom two*: a place that only tells which another is, or
/// what it is like.
pub(crate) fn landmark(tokens: &[Token], place: &Piece) -> bool {
    let Some(lead) = lead(tokens, place) else {
        return false;
    };
    let (word, before) = (&*tokens[lead].norm, lead.checked_sub(1));
    let before = before.map_or("", |at| &*tokens[at].norm);
    let next_to = word == "to" && matches!(before, "next" | "adjacent" | "close");
    // "Cloakroom now, that's off bedroom three".
    let off = word == "off" && matches!(before, "'s" | "is");
    // "In the garage, which I get to through the utility".
    let said = &tokens[lead.saturating_sub(LONGEST_WHICH)..lead];
    let gets_to = said
        .windows(2)
        .any(|two| two[0].norm == "get" && two[1].norm == "to");
    let passed = gets_to && matches!(word, "through" | "via" | "from" | "by");
    next_to || off || passed || BESIDE.contains(&word)
}

/// *Two is the **back one***, *the big one at **the front***: a side of the house that only tells which of several rooms
/// is meant.
pub(crate) fn which_of_several(tokens: &[Token], place: &Piece) -> bool {
    let word = |at: usize| tokens.get(at).map_or("", |t| &*t.norm);
    let start = place.tokens.start;
    matches!(word(place.tokens.end), "one" | "ones")
        || (start.saturating_sub(LONGEST_WHICH)..start)
            .any(|at| matches!(word(at), "one" | "room" | "bedroom"))
}

/// So many tokens before a side of the house at most stands what lies there: *the **one** at the front*.
const LONGEST_WHICH: usize = 3;

/// *You go through a dressing room **to get to the en-suite***: where it leads is not where one is.
fn to_get_to(tokens: &[Token], place: &Piece) -> bool {
    let Some(lead) = lead(tokens, place) else {
        return false;
    };
    let word = |back: usize| lead.checked_sub(back).map_or("", |at| &*tokens[at].norm);
    word(0) == "to" && word(1) == "get" && word(2) == "to" || word(0) == "reach" && word(1) == "to"
}

/// *Down to the **bedroom end***: the part of the house where such rooms are.
fn end_of(tokens: &[Token], place: &Piece) -> bool {
    let next = tokens.get(place.tokens.end).map_or("", |t| &*t.norm);
    next == "end" && place.number.is_none() && place.text.ends_with("bedroom")
}

/// Words by which a place only tells where another is, or what it is like.
const BESIDE: &[&str] = &[
    "opposite", "above", "below", "beneath", "beside", "behind", "than", "facing", "hear",
];

/// Returns the token before a place and its article.
fn lead(tokens: &[Token], place: &Piece) -> Option<usize> {
    let mut before = (0..place.tokens.start).rev();
    before.find(|&at| class(&tokens[at].norm) != Class::Determiner)
}

/// True where the word before a place and its article is one of these: *out of the hall and **into** the bathroom*.
fn led_by(tokens: &[Token], place: &Piece, words: &[&str]) -> bool {
    lead(tokens, place).is_some_and(|lead| words.contains(&&*tokens[lead].norm))
}

/// *stepped **out of the lift** into the lobby*, *back **along the hall** to the bedroom*: a place that one leaves
/// or passes.
fn left_behind(reading: &Reading, place: &Piece) -> bool {
    let word = |at: usize| reading.tokens[at].norm.as_str();
    let mut at = place.tokens.start;
    let article = |at: usize| class(word(at)) == Class::Determiner;
    if article(at) {
        at += 1;
    }
    while at > 0 && article(at - 1) {
        at -= 1;
    }
    at > 0
        && matches!(
            word(at - 1),
            "of" | "from"
                | "past"
                | "along"
                | "across"
                | "cross"
                | "off"
                | "by"
                | "leaving"
                | "crossing"
        )
}

/// True where the words of a change are the place's name alone: ***primary bedroom***.
fn starts_with(reading: &Reading, change: &PlaceChange) -> bool {
    let word = |at: usize| reading.tokens[at].norm.as_str();
    let first = change.tokens.clone().find(|&at| {
        !opener(word(at)) && !SIZES.contains(&word(at)) && !PRAISED.contains(&word(at))
    });
    let named = first.and_then(|at| piece_at(&reading.places, at));
    named.is_some_and(|place| place.tokens.end == change.tokens.end)
}

/// *I'm parked at the garage so I'll **start in it***: a place named before is where the walk begins.
fn begun_in(lexicon: &Lexicon, reading: &Reading, sentence: &Sentence) -> Option<PlaceChange> {
    let word = |at: usize| reading.tokens.get(at).map_or("", |t| t.norm.as_str());
    let at = sentence.tokens.clone().find(|&at| {
        matches!(word(at), "start" | "begin" | "go")
            && (matches!(word(at + 1), "in" | "with" | "at") && word(at + 2) == "it"
                || word(at + 1) == "there" && word(at) != "go")
    })?;
    let place = reading.places_within(&(sentence.tokens.start..at)).last()?;
    Some(PlaceChange {
        going: true,
        tokens: sentence.tokens.start..at + 2,
        ..to(lexicon, place, sentence.tokens.start)
    })
}

/// Returns the change to a place that is announced outright, by the words from `start` on.
pub(crate) fn to(lexicon: &Lexicon, place: &Piece, start: usize) -> PlaceChange {
    let kind = place
        .term
        .map_or(PlaceKind::Room, |t| lexicon.place(t).kind);
    PlaceChange {
        name: place_name(lexicon, place),
        identity: identity(lexicon, place),
        kind: kind.word().to_owned(),
        term: place.term,
        tokens: start..place.tokens.end,
        outright: true,
        going: false,
    }
}
