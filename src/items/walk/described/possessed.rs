//! A room told with a thing of its own: ***Bedroom three** radiator's loose.*, *there's a crack in the **hall** ceiling*.

use crate::items::walk::Walk;
use crate::lexicon::{Place, PlaceKind, TermId};
use crate::statements::grammar::{Class, class};
use crate::statements::piece::{Piece, PieceKind};
use crate::statements::place::{self, PlaceChange};
use crate::statements::sentence::Sentence;
use std::ops::Range;

/// What two rooms have in common, and what serves a room from elsewhere: whose it is tells not where one is.
#[rustfmt::skip]
const BETWEEN_ROOMS: &[&str] = &[
    "door", "doors", "doorway", "doorways", "frame", "lock", "lining", "threshold", "side", "end", "switch", "extract",
    "extractor", "fan", "duct", "waste", "pipe", "feed", "valve", "circuit", "breaker", "isolator", "zone", "hatch",
    "ladder",
];

/// Sorts of rooms that are things in a room as well, or ways between rooms.
const PASSED: &[&str] = &["cupboard", "stairs", ""];

/// Words for the use of one room among those that are lived in: no other goes by them.
const OF_ONE_USE: &[&str] = &[
    "dining",
    "study",
    "office",
    "playroom",
    "conservatory",
    "library",
    "snug",
];

impl Walk<'_> {
    /// *Lounge. … **Bedroom three** radiator's loose.*: returns the other room that a sentence begins with.
    pub(in crate::items::walk) fn room_of_its_thing(
        &self,
        sentence: &Sentence,
    ) -> Option<PlaceChange> {
        let room = self.place_that_opens(&sentence.tokens)?;
        let thing = self.thing_of(room)?;
        let change = place::to(self.lexicon, room, sentence.tokens.start);
        Some(PlaceChange {
            tokens: sentence.tokens.start..thing,
            ..change
        })
    }

    /// True where a fault is told of the thing of another room: *a chip in the **kitchen** worktop*, *…, **bathroom** tile
    /// cracked*.
    pub(in crate::items::walk) fn in_its_thing(&self, room: &Piece, clause: &Range<usize>) -> bool {
        let start = room.tokens.start;
        let word = |back: usize| start.checked_sub(back).map_or("", |at| self.word(at));
        let behind = if word(1) == "the" { word(2) } else { word(1) };
        let led = matches!(behind, "in" | "on" | "to" | "of" | "along" | "across");
        // "I pushed the test on the hall alarm before I came up and **this one** never made a sound".
        let here = (clause.start..clause.end).any(|at| {
            self.word(at) == "this"
                && self
                    .reading
                    .tokens
                    .get(at + 1)
                    .is_some_and(|t| t.norm == "one")
        });
        !here && (led || start == clause.start) && self.thing_of(room).is_some()
    }

    /// Returns the token from which the thing is named to whose name a room belongs, if that is another room than the
    /// one that one is in, and the thing is found there.
    fn thing_of(&self, room: &Piece) -> Option<usize> {
        let entry = self.lexicon.place(room.term?);
        let of_house = matches!(
            entry.kind,
            PlaceKind::Room | PlaceKind::Garage | PlaceKind::Loft
        );
        let told = of_house && !entry.weak && !PASSED.contains(&&*entry.sort);
        // "Main beam", "entry handset": no room of that name.
        let short = entry.alone_also.contains(&room.text) || room.text == "entry";
        if !told || short || !self.is_elsewhere(room, entry) {
            return None;
        }
        let next = room.tokens.end;
        let thing = self.reading.piece_at(next)?;
        let plain = class(self.word(next)) == Class::Open;
        let shared = (next..thing.tokens.end + 1).any(|at| BETWEEN_ROOMS.contains(&self.word(at)));
        if thing.kind != PieceKind::Element || !plain || shared {
            return None;
        }
        let listed = thing
            .term
            .filter(|_| thing.tokens.start <= room.tokens.start);
        let Some(listed) = listed else {
            return Some(next);
        };
        // "Kitchen tap", "bathroom cabinet": a kind of thing that other rooms may have.
        let here = self.places.terms.get(self.place).copied().flatten();
        let likely = |place: Option<TermId>| place.map(|p| self.lexicon.likely_in(listed, p));
        let anywhere = self.lexicon.element(listed).found.is_empty();
        (anywhere || likely(room.term) > likely(here)).then_some(thing.tokens.start)
    }

    /// *Patio. … **Back inside**, and there's a chip in the kitchen floor tile.*
    pub(in crate::items::walk) fn comes_in(&self, room: &Piece) -> bool {
        let sentence = self.reading.sentence_at(room.tokens.start);
        let first = sentence.and_then(|sentence| sentence.clauses.first());
        first.is_some_and(|clause| {
            matches!(
                self.plain_words(&clause.tokens)[..],
                ["back", "inside" | "indoors" | "in"] | ["inside" | "indoors"]
            )
        })
    }

    /// True where a room is surely another one than where one is: *the bathroom* may be the en-suite, and *the
    /// lounge* the living room.
    fn is_elsewhere(&self, room: &Piece, entry: &Place) -> bool {
        let Some(here) = self.places.visited.get(self.place) else {
            return true;
        };
        let name = place::place_name(self.lexicon, room);
        let same = here.name.contains(&name)
            || self.places.identities[self.place] == place::identity(self.lexicon, room);
        let of_here = self.places.terms[self.place].map(|term| self.lexicon.place(term));
        let alike = of_here.is_none_or(|here| here.sort.contains(&entry.sort));
        let use_of_its_own = room.text.split(' ').any(|word| OF_ONE_USE.contains(&word))
            && of_here.is_some_and(|here| here.sort == entry.sort);
        (self.places.inside(self.place) || self.comes_in(room))
            && !same
            && (room.number.is_some() || !alike || use_of_its_own)
    }
}
