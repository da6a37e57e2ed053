//! Where the inspector is: places that sentences name, rooms that go by number, and places that are
//! things as well.

use super::Walk;
use crate::items::draft::Named;
use crate::items::item::{Visit, VisitedPlace};
use crate::items::scene::Scene;
use crate::lexicon::{Found, Kind, PlaceKind, TermId};
use crate::speech::Transcript;
use crate::statements::grammar::{Class, class, opener};
use crate::statements::piece::{Piece, PieceKind};
use crate::statements::place::{self, PlaceChange};
use crate::statements::reading::Reading;
use crate::statements::sentence::Sentence;
use std::ops::Range;

/// Name shown for items spoken before any place was named.
const NO_PLACE: &str = "unplaced";

/// Where walk-rounds begin.
const FRONT: &str = "front elevation";

/// Words of a beginning outside.
const IN_FRONT: &[&str] = &[
    "front", "outside", "street", "kerb", "curb", "road", "pavement", "sidewalk",
];

/// Where a walk-round is that begins at the front door.
const ENTRANCE: &str = "entrance";

/// The lexicon's name of what is behind the front door, and what lists call it.
const HALL: &str = "hallway";
const ENTRANCE_HALL: &str = "entrance hall";

/// The most tokens of a bare announcement: *now then, bedroom two*.
const LONGEST_ANNOUNCEMENT: usize = 5;

/// The number of a room stands within so many tokens of the start: *right then, up to the next floor,
/// room four*.
const LONGEST_WAY_TO_A_ROOM: usize = 10;

/// From this likelihood on a fault is one that a thing has: the lexicon names its group for it.
const LIKELY: f32 = 0.9;

/// Places named like a thing that other places have, and those places.
const THING_OR_PLACE: [(&str, &[&str]); 2] = [
    (
        "toilet",
        &[
            "bathroom",
            "ensuite",
            "shower room",
            "wet room",
            "cloakroom",
        ],
    ),
    ("riser cupboard", &["stairs", "stairwell", "entrance"]),
];

impl Walk<'_> {
    /// Moves to the places that the sentence names; returns where the sentence goes on.
    pub(super) fn follow_places(&mut self, index: usize, sentence: &Sentence) -> usize {
        let mut from = sentence.tokens.start;
        let inside = self
            .places
            .get(self.place)
            .is_some_and(|p| matches!(p.kind.as_str(), "room" | "common" | "loft" | "garage"));
        let mut changes = place::changes(self.lexicon, self.reading, sentence, inside);
        let announced = self.room_number.take();
        let numbered = self.numbered_room(sentence);
        let number = numbered.as_ref().map(|(n, _)| n.clone()).or(announced);
        if let (Some(number), Some(place)) = (number, changes.first()) {
            self.rooms.push((number, place.clone()));
        } else if let Some((number, at)) = numbered {
            match self.rooms.iter().find(|(n, _)| *n == number) {
                Some((_, place)) => changes.push(PlaceChange {
                    tokens: sentence.tokens.start..at,
                    outright: true,
                    ..place.clone()
                }),
                None => self.room_number = Some(number),
            }
        }
        if changes.is_empty() && !self.names_a_storey(sentence) {
            changes.extend(self.misheard_place(index, sentence));
        }
        changes.retain(|change| !self.tells_where(index, change));
        changes.extend(self.at_the_front_door(sentence));
        changes.extend(self.round_to_a_side(sentence));
        if changes.is_empty() {
            changes.extend(self.comes_inside(index, sentence));
            changes.extend(self.up_the_ladder(sentence));
            changes.extend(self.next_in_number(sentence));
        }
        changes.retain(|change| !self.is_fitting(change));
        for change in changes {
            // A subject stays in the sentence: "Landing's damp".
            if change.outright {
                from = change.tokens.end;
            }
            self.go_to(&change, index, sentence);
        }
        if self.place != usize::MAX
            && let Some(visit) = self.places[self.place].visits.last_mut()
        {
            extend(visit, self.transcript, self.reading, &sentence.tokens);
        }
        from
    }

    /// *Ground floor now.*: that is where the next rooms are, and sounds like none of them.
    fn names_a_storey(&self, sentence: &Sentence) -> bool {
        let mut places = self.reading.places_within(&sentence.tokens).iter();
        places.any(|place| {
            let kind = place.term.map(|term| self.lexicon.place(term).kind);
            kind == Some(PlaceKind::Whole) && place.text.contains("floor")
        })
    }

    /// *Lounge, **at the front***: behind a bare announcement of a room and a comma, a side of the house
    /// only says where the room is.
    fn tells_where(&self, index: usize, change: &PlaceChange) -> bool {
        let Some(before) = index.checked_sub(1).map(|b| &self.reading.sentences[b]) else {
            return false;
        };
        let here = self.places.get(self.place);
        let room = here.is_some_and(|place| matches!(place.kind.as_str(), "room" | "garage"));
        let comma = self
            .reading
            .tokens
            .get(before.tokens.end - 1)
            .is_some_and(|last| self.transcript.words[last.word].text.ends_with(','));
        let bare = self.kinds_in(&before.tokens, PieceKind::Element).is_empty()
            && before.tokens.len() <= LONGEST_ANNOUNCEMENT;
        let round = matches!(self.word(change.tokens.start), "round" | "around");
        room && comma && bare && change.kind == "elevation" && (!change.going || round)
    }

    /// ***Front door.***, before any place was named: that is where the walk begins.
    fn at_the_front_door(&self, sentence: &Sentence) -> Option<PlaceChange> {
        let said = sentence.tokens.clone().map(|at| self.word(at));
        let said: Vec<&str> = said
            .filter(|word| !opener(word) && *word != "the")
            .collect();
        let begins = self.place == usize::MAX && matches!(said[..], ["front" | "entrance", "door"]);
        begins.then(|| self.listed_place(ENTRANCE, sentence))?
    }

    /// *Front porch. … **Stepping inside.***, with no room named next: behind the front door is the hall.
    fn comes_inside(&self, index: usize, sentence: &Sentence) -> Option<PlaceChange> {
        let said = sentence.tokens.clone().map(|at| self.word(at));
        let said: Vec<&str> = said
            .filter(|word| !opener(word) && !matches!(*word, "the" | "now" | "then"))
            .collect();
        let inside = matches!(
            said[..],
            ["inside" | "indoors"]
                | [
                    "stepping"
                        | "step"
                        | "heading"
                        | "head"
                        | "going"
                        | "coming"
                        | "come"
                        | "moving",
                    "in" | "inside" | "indoors"
                ]
                | ["in", "we", "go" | "come" | "pop"]
                | ["in", "through", "front", "door"]
                | ["i", "have" | "'ve", "let", "myself", "in"]
                | ["let" | "letting", "myself" | "ourselves", "in"]
                | ["in", "i", "go" | "come"]
                | ["through" | "at" | "own", "front", "door"]
        );
        let next = self.reading.sentences.get(index + 1);
        let named = || {
            next.is_some_and(|next| {
                !place::changes(self.lexicon, self.reading, next, true).is_empty()
            })
        };
        let hall = || {
            let change = self.listed_place(HALL, sentence)?;
            Some(PlaceChange {
                name: ENTRANCE_HALL.to_owned(),
                ..change
            })
        };
        let here = self.places.get(self.place)?;
        let indoors = matches!(here.kind.as_str(), "room" | "common" | "loft")
            && !here.name.ends_with("porch");
        (inside && !indoors && !named()).then(hall)?
    }

    /// ***Loft ladder down, up I go.*** *Pulling down the **attic ladder**, …*: that is where one is then.
    fn up_the_ladder(&self, sentence: &Sentence) -> Option<PlaceChange> {
        let mut said = sentence.tokens.clone();
        let loft = said.find(|&at| {
            matches!(self.word(at), "loft" | "attic") && self.word(at + 1) == "ladder"
        })?;
        let climbs = sentence.tokens.clone().any(|at| {
            matches!(self.word(at), "up" | "climbing")
                && matches!(self.word(at + 1), "i" | "we" | "the")
                || matches!(self.word(at), "pulling" | "dropping") && at < loft
        });
        self.listed_place(self.word(loft), sentence)
            .filter(|_| climbs)
            .map(|change| PlaceChange {
                tokens: sentence.tokens.start..sentence.tokens.start,
                ..change
            })
    }

    /// *Bedrooms, then. **Number one.** … **Number two.***: the next of its kind.
    fn next_in_number(&self, sentence: &Sentence) -> Option<PlaceChange> {
        let term = self.terms.get(self.place).copied().flatten()?;
        let at = sentence.tokens.clone().find(|&at| !opener(self.word(at)))?;
        let word = |at: usize| match sentence.tokens.contains(&at) {
            true => self.word(at),
            false => "",
        };
        let number = word(at + 1);
        let ends = matches!(word(at + 2), "" | "is" | "'s" | "now");
        let counts = self.word(at) == "number"
            && (class(number) == Class::Number || number == "one")
            && ends;
        let name = self.lexicon.name(term);
        (counts && self.lexicon.place(term).numbered).then(|| PlaceChange {
            term: Some(term),
            tokens: sentence.tokens.start..at + 2,
            name: format!("{name} {number}"),
            identity: format!("{name} {number}"),
            kind: self.lexicon.place(term).kind.word().to_owned(),
            outright: true,
            going: true,
        })
    }

    /// *Front elevation. … **Round to the right.***: outside, that is a side of the house.
    fn round_to_a_side(&self, sentence: &Sentence) -> Option<PlaceChange> {
        let outside = self
            .places
            .get(self.place)
            .is_some_and(|here| here.kind == "elevation");
        let said = sentence.tokens.clone().map(|at| self.word(at));
        let said: Vec<&str> = said.skip_while(|word| opener(word)).collect();
        let side = match said[..] {
            ["round" | "around", "to", "the", side @ ("left" | "right")] if outside => side,
            _ => return None,
        };
        self.listed_place(&format!("{side} side elevation"), sentence)
    }

    /// Returns the change to a place by the lexicon's name, which a whole sentence says in other words.
    fn listed_place(&self, name: &str, sentence: &Sentence) -> Option<PlaceChange> {
        let term = self.lexicon.find(Kind::Place, name)?;
        Some(PlaceChange {
            term: Some(term),
            tokens: sentence.tokens.clone(),
            name: name.to_owned(),
            identity: name.to_owned(),
            kind: self.lexicon.place(term).kind.word().to_owned(),
            outright: true,
            going: true,
        })
    }

    /// *Room four, the kitchen*, and later *back in room four*: returns the number, and where it ends.
    fn numbered_room(&self, sentence: &Sentence) -> Option<(String, usize)> {
        let at = sentence
            .tokens
            .clone()
            .take(LONGEST_WAY_TO_A_ROOM)
            .find(|&at| {
                let other = self.reading.piece_at(at);
                self.word(at) == "room" && other.is_none_or(|p| p.kind != PieceKind::Place)
            })?;
        let number = self.reading.tokens.get(at + 1)?.norm.as_str();
        let counts = class(number) == Class::Number || number == "one";
        (counts && sentence.tokens.contains(&(at + 1))).then(|| (number.to_owned(), at + 2))
    }

    /// *Bathroom. … Toilet. Seat's loose.*, *Stairs. Risers, one ninety.*: in a place that has one, the bare
    /// word is the thing.
    fn is_fitting(&self, change: &PlaceChange) -> bool {
        let named = |term: Option<TermId>, name: &str| {
            term.is_some() && term == self.lexicon.find(Kind::Place, name)
        };
        let here = self.terms.get(self.place).copied().flatten();
        let of_here = |(thing, places): &(&str, &[&str])| {
            named(change.term, thing) && places.iter().any(|place| named(here, place))
        };
        let bare = change.tokens.len() == 1 && !change.going;
        bare && THING_OR_PLACE.iter().any(of_here)
    }

    fn go_to(&mut self, change: &PlaceChange, index: usize, sentence: &Sentence) {
        let recording = self.recording(change.tokens.start);
        self.place = self.known_or_new(change);
        let mut visit = Visit {
            recording,
            span: None,
        };
        extend(
            &mut visit,
            self.transcript,
            self.reading,
            &(change.tokens.start..sentence.tokens.end),
        );
        self.places[self.place].visits.push(visit);
        self.last = self
            .place_at_fault(change, sentence)
            .map(|thing| (thing, index));
    }

    /// *Stairs, creaking*: a place that is a thing as well, with nothing named behind it but a fault
    /// that such a thing has.
    fn place_at_fault(&self, change: &PlaceChange, sentence: &Sentence) -> Option<Named> {
        let rest = change.tokens.end..sentence.tokens.end;
        if !self.kinds_in(&rest, PieceKind::Element).is_empty() {
            return None;
        }
        let &fault = self.kinds_in(&rest, PieceKind::Defect).first()?;
        let fault = self.reading.pieces[fault].term?;
        let mut things = self.reading.elements_within(&change.tokens).iter();
        let thing = things.rfind(|thing| {
            let mut places = self.reading.places_within(&thing.tokens).iter();
            let has = |element| self.lexicon.befalls(fault, element) >= LIKELY;
            places.any(|place| place.tokens == thing.tokens) && thing.term.is_some_and(has)
        });
        thing.map(Named::of)
    }

    /// Returns the place that is gone to, added where it was not visited before.
    fn known_or_new(&mut self, change: &PlaceChange) -> usize {
        let known = self.identities.iter().position(|p| *p == change.identity);
        known.unwrap_or_else(|| {
            self.add_place(&change.name, &change.kind, &change.identity, change.term);
            self.place
        })
    }

    /// Adds a place and goes there.
    fn add_place(&mut self, name: &str, kind: &str, identity: &str, term: Option<TermId>) {
        self.places.push(VisitedPlace {
            name: name.to_owned(),
            kind: kind.to_owned(),
            visits: Vec::new(),
        });
        self.identities.push(identity.to_owned());
        self.terms.push(term);
        self.place = self.places.len() - 1;
    }

    pub(super) fn recording(&self, token: usize) -> u32 {
        self.reading
            .tokens
            .get(token)
            .map_or(1, |t| self.transcript.words[t.word].recording)
    }

    pub(super) fn here(&mut self) -> usize {
        if self.place == usize::MAX {
            self.add_place(NO_PLACE, "whole", NO_PLACE, None);
        }
        self.place
    }

    /// Goes to a place that is named in passing: *same again in the lounge*.
    pub(super) fn go_there(&mut self, place: &Piece) {
        let change = place::to(self.lexicon, place, place.tokens.start);
        self.place = self.known_or_new(&change);
        let recording = self.recording(place.tokens.start);
        self.places[self.place].visits.push(Visit {
            recording,
            span: None,
        });
    }

    /// The current place; before any was named, the front for things that are outside, since
    /// walk-rounds begin at the front (common practice, no source).
    pub(super) fn here_for(&mut self, scene: &Scene<'_>, reasons: &mut Vec<String>) -> usize {
        let named = scene.pieces(PieceKind::Element);
        let outside = named
            .iter()
            .filter_map(|&i| self.reading.pieces[i].term)
            .any(|t| {
                self.lexicon.element(t).found.iter().any(|f| {
                    matches!(
                        f,
                        Found::Kind(PlaceKind::Elevation | PlaceKind::Outside | PlaceKind::Roof)
                    )
                })
            });
        let said = 0..scene.sentence.tokens.end;
        let in_front =
            self.place == usize::MAX && said.clone().any(|at| IN_FRONT.contains(&self.word(at)));
        if self.place == usize::MAX && (outside || in_front) {
            reasons.push("no place named yet: taken to be the front".into());
            let term = self.lexicon.find(Kind::Place, FRONT);
            self.add_place(FRONT, "elevation", FRONT, term);
        }
        self.here()
    }
}

fn extend(visit: &mut Visit, transcript: &Transcript, reading: &Reading, tokens: &Range<usize>) {
    for token in &reading.tokens[tokens.clone()] {
        let word = &transcript.words[token.word];
        if let (true, Some(span)) = (word.recording == visit.recording, word.span) {
            visit.span = Some(visit.span.map_or(span, |v| v.cover(span)));
        }
    }
}
