//! Rooms told by where they are: *the small room at the front*, *first door on the left*, *the room next to the
//! bathroom*.

use super::room_called;
use crate::items::walk::Walk;
use crate::lexicon::PlaceKind;
use crate::statements::grammar::{Class, class, opener};
use crate::statements::piece::PieceKind;
use crate::statements::place::{self, PlaceChange};
use crate::statements::sentence::Sentence;

/// Sides of a house, and parts of a storey.
const SIDES: &[&str] = &["front", "back", "rear", "side", "end", "middle", "corner"];

/// Words that tell which room of several it is.
#[rustfmt::skip]
const WHICH: &[&str] = &[
    "small", "smaller", "smallest", "little", "big", "bigger", "biggest", "large", "larger", "largest", "first",
    "second", "third", "fourth", "next", "last", "far", "furthest",
];

/// Those by which doors are told too.
const ORDER: &[&str] = &["first", "second", "third", "fourth", "next", "last"];

/// What a room lies by: *the room **over** the garage*.
const BY: &[&str] = &[
    "over", "above", "under", "below", "behind", "beside", "off", "opposite", "past", "beyond",
];

/// The most words of what it lies by: *next to **the main bathroom***.
const LONGEST_MARK: usize = 4;

impl Walk<'_> {
    /// *At the end of the hall, **the playroom**.*, *Off the landing, **bedroom two**.*: a room alone behind what it
    /// lies by.
    pub(super) fn by_a_landmark(&self, sentence: &Sentence) -> Option<PlaceChange> {
        let [.., by, last] = &sentence.clauses[..] else {
            return None;
        };
        let room = self.reading.places_within(&last.tokens).last()?;
        let entry = self.lexicon.place(room.term?);
        let alone = room.tokens.end == last.tokens.end
            && (last.tokens.start..room.tokens.start)
                .all(|at| opener(self.word(at)) || class(self.word(at)) == Class::Determiner);
        let first = by.tokens.clone().find(|&at| !opener(self.word(at)))?;
        let lies_by = matches!(
            self.word(first),
            "at" | "off" | "opposite" | "past" | "along" | "down" | "beyond"
        ) || self.word(first) == "next" && self.word(first + 1) != "up";
        let landmark = !self.reading.places_within(&by.tokens).is_empty();
        (alone && entry.kind == PlaceKind::Room && !entry.weak && lies_by && landmark)
            .then(|| place::to(self.lexicon, room, sentence.tokens.start))
    }

    /// ***WC on the landing** at this level.*: a heading that tells where the room is.
    pub(super) fn heading_by_a_landmark(&self, sentence: &Sentence) -> Option<PlaceChange> {
        let said = sentence.tokens.clone();
        let room = self.place_that_opens(&said)?;
        let behind = room.tokens.end..said.end;
        let mark = self.reading.places_within(&behind).first()?;
        let kind = self.lexicon.place(room.term?).kind;
        let between = self.plain_words(&(room.tokens.end..mark.tokens.start));
        let lies = matches!(
            between[..],
            ["on" | "off" | "by" | "at" | "beside" | "under" | "opposite"] | ["next", "to"]
        );
        let tail = self.plain_words(&(mark.tokens.end..said.end));
        let only = tail.iter().all(|word| {
            class(word) != Class::Open || matches!(*word, "level" | "floor" | "storey")
        });
        let silent = self.kinds_in(&said, PieceKind::Defect).is_empty();
        (kind == PlaceKind::Room && lies && only && silent).then(|| PlaceChange {
            tokens: said,
            ..place::to(self.lexicon, room, sentence.tokens.start)
        })
    }

    /// *Meals area. … **Family room side**, scratch on the frame.*: the room that one turns to.
    pub(super) fn side_of_room(&self, sentence: &Sentence) -> Option<PlaceChange> {
        let clause = sentence.clauses.first()?.tokens.clone();
        let room = self.place_that_opens(&clause)?;
        let entry = self.lexicon.place(room.term?);
        let side = matches!(self.word(room.tokens.end), "side" | "end")
            && room.tokens.end + 1 == clause.end;
        (side && entry.kind == PlaceKind::Room && !entry.weak).then(|| PlaceChange {
            tokens: clause,
            ..place::to(self.lexicon, room, sentence.tokens.start)
        })
    }

    /// Returns the room that a clause tells by where it is, if it says nothing else.
    pub(super) fn room_told(&self, index: usize, sentence: &Sentence) -> Option<PlaceChange> {
        let told = |at: usize| matches!(self.word(at), "room" | "door");
        let mut clauses = sentence.clauses.iter();
        let clause = clauses.rfind(|c| c.tokens.clone().any(told))?;
        let range = clause.tokens.clone();
        let which = |word: &str| WHICH.contains(&word) || SIDES.contains(&word);
        let begins = range.clone().find(|&at| {
            let word = self.word(at);
            let leads =
                opener(word) || matches!(word, "in" | "into" | "to" | "the" | "now" | "then");
            which(word) || !leads
        })?;
        let said = begins..range.end;
        let words = said
            .clone()
            .map(|at| self.word(at))
            .filter(|word| *word != "the");
        let words: Vec<&str> = words.collect();
        let at = words
            .iter()
            .position(|word| matches!(*word, "room" | "door"))?;
        let (told_by, rest) = (&words[..at], &words[at + 1..]);
        let ordinal = told_by.iter().any(|word| ORDER.contains(word));
        let side = |word: &str| SIDES.contains(&word);
        let mark = |mark: &[&str]| {
            let plain = |word: &&str| !matches!(class(word), Class::Verb | Class::Conjunction);
            (1..=LONGEST_MARK).contains(&mark.len()) && mark.iter().all(plain)
        };
        let tells = match rest {
            [] => matches!(told_by, ["end" | "far" | "corner" | "middle"]),
            ["opposite" | "along" | "across"] | ["next", "door"] => true,
            ["at", place] | ["at", "far" | "very", place] if side(place) => true,
            ["at", "end", "of", of @ ..] | ["at", "far", "end", "of", of @ ..] => mark(of),
            ["on" | "to", "left" | "right"] => true,
            ["on" | "to", "left" | "right", "of" | "off", of @ ..] => mark(of),
            ["next", "to", of @ ..] => mark(of),
            [by, of @ ..] => BY.contains(by) && mark(of),
        };
        // Of doors one tells the rooms by their order only, and says no more: "first door on the left, the
        // hinge is loose" is about the door.
        let order = ordinal && matches!(rest.first(), Some(&("on" | "along" | "to")));
        let room = words[at] == "room" || order && sentence.clauses.len() == 1;
        // "Next room along. Bedroom three."
        if !(tells && room && told_by.iter().all(|word| which(word))) || self.names_place(index + 1)
        {
            return None;
        }
        // "The room over the garage" may have a name.
        let first = range.clone().find(|&at| told(at))?;
        let listed = self.reading.places_within(&range);
        if listed.iter().any(|place| place.tokens.contains(&first))
            || !self.places.inside(self.place)
        {
            return None;
        }
        let name = match rest {
            ["at", side] => [told_by, &[*side, "room"]].concat().join(" "),
            _ => self.text(&said),
        };
        Some(room_called(name, None, sentence.tokens.start..range.end))
    }
}
