//! Where the inspector is: places that sentences name, rooms that go by number, and places that are
//! things as well.

use super::{Walk, stops_short};
use crate::items::draft::Named;
use crate::items::item::Visit;
use crate::items::scene::Scene;
use crate::lexicon::{Found, Kind, PlaceKind, TermId};
use crate::speech::Transcript;
use crate::statements::grammar::opener;
use crate::statements::piece::{Piece, PieceKind};
use crate::statements::place::{self, PlaceChange};
use crate::statements::reading::Reading;
use crate::statements::sentence::Sentence;
use std::ops::Range;

/// Name shown for items spoken before any place was named.
const NO_PLACE: &str = "unplaced";

/// Where walk-rounds begin.
const FRONT: &str = "front elevation";

/// Why an item is where it is.
pub(crate) const SEEN: &str = "seen from another place";

/// Words of a beginning outside.
const IN_FRONT: &[&str] = &[
    "front", "outside", "street", "kerb", "curb", "road", "pavement", "sidewalk",
];

/// Sides of a thing as well as of a house.
const SIDES: &[&str] = &[
    "front", "back", "rear", "left", "right", "top", "bottom", "middle", "hand", "one", "side",
];

/// True for a word of where on a thing, or that leads to it.
pub(super) fn is_side(word: &str) -> bool {
    SIDES.contains(&word) || stops_short(word)
}

/// The most tokens of a bare announcement: *now then, bedroom two*.
const LONGEST_ANNOUNCEMENT: usize = 5;

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
        let inside = self.places.inside(self.place);
        let mut changes = place::changes(self.lexicon, self.reading, sentence, inside);
        let mut by_name = !changes.is_empty();
        let announced = self.room_number.take();
        let numbered = self.numbered_room(sentence);
        let number = numbered.as_ref().map(|(n, _)| n.clone()).or(announced);
        if let (Some(number), Some(place)) = (number, changes.first()) {
            self.rooms.push((number, place.clone()));
        } else if let Some((number, at)) = numbered {
            match self.rooms.iter().find(|(n, _)| *n == number) {
                Some((_, place)) => {
                    by_name = true;
                    changes.push(PlaceChange {
                        tokens: sentence.tokens.start..at,
                        outright: true,
                        ..place.clone()
                    });
                }
                None => self.room_number = Some(number),
            }
        }
        if changes.is_empty() && !self.names_a_storey(sentence) {
            changes.extend(self.misheard_place(index, sentence));
        }
        changes.retain(|change| !self.tells_where(index, change));
        changes.extend(self.at_the_front_door(sentence));
        changes.extend(self.round_to_a_side(sentence));
        if let Some(place) = self.told_place(index, sentence) {
            changes = vec![place];
            by_name = false;
        }
        if changes.is_empty() {
            changes.extend(self.described_place(index, sentence));
        }
        if changes.is_empty() {
            changes.extend(self.told_afterwards(sentence));
        }
        changes.retain(|c| !self.is_fitting(c) && !self.is_a_corner(index, c));
        for change in changes {
            let change = self.hallway_upstairs(index, &change).unwrap_or(change);
            // A subject stays in the sentence: "Landing's damp".
            if change.outright {
                from = change.tokens.end;
            }
            self.go_to(&change, index, sentence);
            self.by_name = by_name;
        }
        if self.place != usize::MAX
            && let Some(visit) = self.places.visited[self.place].visits.last_mut()
        {
            extend(visit, self.transcript, self.reading, &sentence.tokens);
        }
        from
    }

    /// *Front hall. … **Upstairs. In the hallway** I've got a loose socket*: another hallway than the one below.
    fn hallway_upstairs(&self, index: usize, change: &PlaceChange) -> Option<PlaceChange> {
        let is_hallway = change
            .term
            .is_some_and(|term| self.lexicon.name(term) == "hallway");
        let known = is_hallway && self.places.terms.contains(&change.term);
        let before = self.reading.sentences.get(index.checked_sub(1)?)?;
        let mut said = before.tokens.start..change.tokens.end;
        let up = said.any(|at| self.word(at) == "upstairs");
        let upstairs = (known && up)
            .then(|| self.listed_place("upstairs hallway", change.tokens.clone()))??;
        Some(PlaceChange {
            outright: change.outright,
            going: change.going,
            ..upstairs
        })
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
        let here = self.places.visited.get(self.place);
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

    /// *Hob, back left, no spark. No, **front left**.*: where on the thing, put right.
    fn is_a_corner(&self, index: usize, change: &PlaceChange) -> bool {
        let sentence = &self.reading.sentences[index].tokens;
        let mut said = sentence.clone().map(|at| self.word(at));
        let corrects = matches!(
            self.word(sentence.start),
            "no" | "sorry" | "wait" | "correction"
        );
        let only_sides = said.all(is_side);
        let of_last = self.drafts.last().is_some_and(|last| {
            let mut words = last.positions.iter().flat_map(|p| p.split(' '));
            last.sentence + 1 == index && words.any(|word| SIDES.contains(&word))
        });
        change.kind == "elevation" && corrects && only_sides && of_last
    }

    /// *Bathroom. … Toilet. Seat's loose.*, *Stairs. Risers, one ninety.*: in a place that has one, the bare
    /// word is the thing.
    fn is_fitting(&self, change: &PlaceChange) -> bool {
        let named = |term: Option<TermId>, name: &str| {
            term.is_some() && term == self.lexicon.find(Kind::Place, name)
        };
        let here = self.places.terms.get(self.place).copied().flatten();
        let of_here = |(thing, places): &(&str, &[&str])| {
            named(change.term, thing) && places.iter().any(|place| named(here, place))
        };
        let bare = change.tokens.len() == 1 && !change.going;
        // "Family bathroom. … Bath fills quick."
        let bath = bare
            && self.word(change.tokens.start) == "bath"
            && here.is_some_and(|here| {
                let name = self.lexicon.name(here);
                name.contains("bath") || name.contains("suite")
            });
        if bath {
            return true;
        }
        bare && THING_OR_PLACE.iter().any(of_here)
    }

    fn go_to(&mut self, change: &PlaceChange, index: usize, sentence: &Sentence) {
        let recording = self.recording(change.tokens.start);
        self.place = self.places.known_or_new(change);
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
        self.places.visited[self.place].visits.push(visit);
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
        let fault = self.kinds_in(&rest, PieceKind::Defect).first().copied();
        // "Patio. It falls the wrong way."
        let bare = change.kind == "outside"
            && rest.clone().all(|at| opener(self.word(at)))
            && matches!(self.word(rest.end), "it" | "its" | "they");
        let fault = fault.and_then(|fault| self.reading.pieces[fault].term);
        let mut things = self.reading.elements_within(&change.tokens).iter();
        let thing = things.rfind(|thing| {
            let mut places = self.reading.places_within(&thing.tokens).iter();
            let has = |element| {
                bare || fault.is_some_and(|fault| self.lexicon.befalls(fault, element) >= LIKELY)
            };
            places.any(|place| place.tokens == thing.tokens) && thing.term.is_some_and(has)
        });
        thing.map(Named::of)
    }

    pub(super) fn recording(&self, token: usize) -> u32 {
        self.reading
            .tokens
            .get(token)
            .map_or(1, |t| self.transcript.words[t.word].recording)
    }

    pub(super) fn here(&mut self) -> usize {
        if self.place == usize::MAX {
            self.place = self.places.add(NO_PLACE, "whole", NO_PLACE, None);
        }
        self.place
    }

    /// Goes to a place that is named in passing: *same again in the lounge*.
    pub(super) fn go_there(&mut self, place: &Piece) {
        let change = place::to(self.lexicon, place, place.tokens.start);
        self.place = self.places.known_or_new(&change);
        let recording = self.recording(place.tokens.start);
        self.places.visit(self.place, recording, None);
    }

    /// The current place; before any was named, the front for things that are outside, since
    /// walk-rounds begin at the front (common practice, no source).
    pub(super) fn here_for(
        &mut self,
        index: usize,
        scene: &Scene<'_>,
        clause: &Range<usize>,
        reasons: &mut Vec<String>,
    ) -> usize {
        let elsewhere = self.seen_outside(index, scene);
        let elsewhere = elsewhere.or_else(|| self.named_elsewhere(scene, clause));
        if let Some(there) = elsewhere.or_else(|| self.on_a_part(scene, clause)) {
            reasons.push(SEEN.into());
            return there;
        }
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
            self.place = self.places.add(FRONT, "elevation", FRONT, term);
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
