//! Places that are told without a name: by what is counted (*Number two.*), by the way one goes there
//! (*Stepping inside.*, *Out by the back door*), or by what is there (*Off that, the shower.*).

mod contents;
mod counted;
mod doors;
mod possessed;
mod returns;
mod rooms;
mod storeys;

use super::Walk;
use crate::lexicon::{Found, Kind, PlaceKind, TermId};
use crate::statements::grammar::opener;
use crate::statements::piece::{Piece, PieceKind};
use crate::statements::place::{self, PlaceChange};
use crate::statements::sentence::Sentence;
use std::ops::Range;

/// Things of a washroom by which one tells it: *off that, **the shower***.
#[rustfmt::skip]
const WASHING: &[&str] = &["shower", "basin", "basins", "sink", "sinks", "toilet", "loo", "bath", "tub", "vanity"];

/// Rooms with a washroom of their own.
const SLEEPING: &[&str] = &[
    "bedroom", "suite", "dressing", "nursery", "room one", "walk-in",
];

/// Returns the change to a room by what it is called here.
fn room_called(name: String, term: Option<TermId>, tokens: Range<usize>) -> PlaceChange {
    PlaceChange {
        identity: name.clone(),
        name,
        kind: PlaceKind::Room.word().to_owned(),
        term,
        tokens,
        outright: true,
        going: true,
    }
}

impl Walk<'_> {
    /// Returns the place that a sentence tells in a way that outweighs the places that it names.
    pub(super) fn told_place(&self, index: usize, sentence: &Sentence) -> Option<PlaceChange> {
        self.room_told(index, sentence)
            .or_else(|| self.by_a_landmark(sentence))
            .or_else(|| self.round_and_in(index, sentence))
            .or_else(|| self.done_within(sentence))
            .or_else(|| self.side_of_room(sentence))
            .or_else(|| self.bedroom_by_size(sentence))
            .or_else(|| self.opens_a_door(sentence))
            .or_else(|| self.heading_by_a_landmark(sentence))
            .or_else(|| self.where_a_thing_is(sentence))
            .or_else(|| self.says_outside(sentence))
    }

    /// Returns the place that a sentence tells without naming it.
    pub(super) fn described_place(&self, index: usize, sentence: &Sentence) -> Option<PlaceChange> {
        self.comes_inside(index, sentence)
            .or_else(|| self.up_the_ladder(sentence))
            .or_else(|| self.next_in_number(sentence))
            .or_else(|| self.room_of_its_thing(sentence))
            .or_else(|| self.means_another(sentence))
            .or_else(|| self.washroom_off_this(sentence))
            .or_else(|| self.goes_out(sentence))
            .or_else(|| self.by_the_gate(sentence))
            .or_else(|| self.goes_up(index, sentence))
            .or_else(|| self.looks_at_roof(sentence))
            .or_else(|| self.faces_house(sentence))
            .or_else(|| self.looks_at_wall(sentence))
            .or_else(|| self.back_in_the_room(sentence))
            .or_else(|| self.back_out(sentence))
            .or_else(|| self.by_its_things(sentence))
    }

    /// Returns the place with whose name some words open, behind openers and an article.
    fn place_that_opens(&self, said: &Range<usize>) -> Option<&Piece> {
        let lead = |at: &usize| opener(self.word(*at)) || self.word(*at) == "the";
        let first = said.clone().find(|at| !lead(at))?;
        let mut places = self.reading.places_within(said).iter();
        places.find(|place| place.tokens.start == first)
    }

    /// Returns the words of a clause, without openers, articles and *now*.
    fn plain_words(&self, clause: &Range<usize>) -> Vec<&str> {
        let words = clause.clone().map(|at| self.word(at));
        words
            .filter(|word| !opener(word) && !matches!(*word, "the" | "now" | "then" | "a" | "an"))
            .collect()
    }

    /// True where a sentence names a place that one goes to.
    fn names_place(&self, index: usize) -> bool {
        let sentence = self.reading.sentences.get(index);
        sentence.is_some_and(|sentence| {
            !place::changes(self.lexicon, self.reading, sentence, true).is_empty()
        })
    }

    /// *Conservatory. **I mean dining room.***
    fn means_another(&self, sentence: &Sentence) -> Option<PlaceChange> {
        let said = sentence.tokens.clone();
        let room = self.reading.places_within(&said).last()?;
        let lead = self.plain_words(&(said.start..room.tokens.start));
        let alone = room.tokens.end == said.end && matches!(lead[..], ["i", "mean" | "meant"]);
        alone.then(|| place::to(self.lexicon, room, said.start))
    }

    /// *Main bedroom. … **Off that, the shower.*** *In the **shower that opens off here**, …*
    fn washroom_off_this(&self, sentence: &Sentence) -> Option<PlaceChange> {
        let here = self.places.visited.get(self.place)?;
        let sleeps = SLEEPING.iter().any(|kind| here.name.contains(kind));
        let off = |two: &[&str]| {
            matches!(
                two,
                [
                    "off" | "beyond" | "behind",
                    "that" | "this" | "here" | "it" | "there"
                ]
            )
        };
        let end = sentence.tokens.end;
        let clause = sentence.clauses.first()?.tokens.clone();
        let words = self.plain_words(&clause);
        let led = words.len() == 2 && off(&words);
        // "Off that, the shower" is one clause for the ear and two in writing.
        let said = match led {
            true => sentence.tokens.clone(),
            false => clause,
        };
        let words = self.plain_words(&said);
        let at = words.windows(2).position(off).or_else(|| {
            words
                .windows(3)
                .position(|three| off(&[three[0], three[2]]) && three[1] == "of")
        })?;
        let washing = words.iter().any(|word| WASHING.contains(word));
        let opens = at == 0
            || matches!(
                words[0],
                "in" | "into" | "there" | "shower" | "bath" | "through"
            );
        let fault = !self.kinds_in(&said, PieceKind::Defect).is_empty();
        let told = said.end == end || !led;
        (sleeps && washing && opens && told && !fault)
            .then(|| self.listed_place("en-suite", said))?
    }

    /// *Eaves cupboard. … And **back out in the room**, the sockets differ.*: the room that it opens off.
    fn back_in_the_room(&self, sentence: &Sentence) -> Option<PlaceChange> {
        let clause = sentence.clauses.first()?.tokens.clone();
        let words = self.plain_words(&clause);
        let back = matches!(
            words[..],
            ["back" | "out", "in" | "into", "room" | "bedroom"]
                | ["back", "out", "in" | "into" | "to", "room" | "bedroom"]
        );
        let before = (0..self.place.min(self.places.visited.len()))
            .rev()
            .find(|&at| {
                self.places.visited[at].kind == "room"
                    && SLEEPING
                        .iter()
                        .any(|kind| self.places.visited[at].name.contains(kind))
            })?;
        back.then(|| self.there_again(before, clause))
    }

    /// *That **brings us out by** the island and the big range.*: where things are that one room alone has.
    fn by_its_things(&self, sentence: &Sentence) -> Option<PlaceChange> {
        let said = sentence.tokens.clone();
        let brings = said.clone().any(|at| {
            let by = |far: usize| self.word(at + far);
            matches!(by(0), "brings" | "takes" | "gets" | "puts" | "leads")
                && matches!(by(1), "us" | "me" | "you")
                || matches!(by(0), "arrive" | "come" | "out")
                    && matches!(by(1), "by" | "among" | "amongst")
        });
        if !brings || !self.kinds_in(&said, PieceKind::Defect).is_empty() {
            return None;
        }
        let elements = self.kinds_in(&said, PieceKind::Element).into_iter();
        let terms = elements.filter_map(|i| self.reading.pieces[i].term);
        let mut only = terms.filter_map(|term| match self.lexicon.element(term).found[..] {
            [Found::Place(place), ..] => Some(place),
            _ => None,
        });
        let place = only.next_back()?;
        self.listed_place(self.lexicon.name(place), said)
    }

    /// Returns the change to a place by the lexicon's name, which a whole sentence says in other words.
    pub(super) fn listed_place(&self, name: &str, tokens: Range<usize>) -> Option<PlaceChange> {
        let term = self.lexicon.find(Kind::Place, name)?;
        Some(PlaceChange {
            term: Some(term),
            tokens,
            name: name.to_owned(),
            identity: name.to_owned(),
            kind: self.lexicon.place(term).kind.word().to_owned(),
            outright: true,
            going: true,
        })
    }
}
