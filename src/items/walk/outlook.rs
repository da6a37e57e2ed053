//! What is seen through a window: *from the window I see the back gutter, full of mortar* is a fault of the
//! outside, though one stands in a bedroom.

use super::Walk;
use crate::items::scene::Scene;
use crate::lexicon::{Found, PlaceKind, TermId};
use crate::statements::grammar::{Class, class};
use crate::statements::piece::{Piece, PieceKind};
use crate::statements::place::{self, PlaceChange};
use std::ops::Range;

/// Ways of looking out.
#[rustfmt::skip]
const LOOKS_OUT: &[&str] = &[
    "from the window", "from its window", "from this window", "from that window", "out of the window",
    "out of this window", "out the window", "through the window", "through the bifolds", "through the glass",
    "through the patio doors", "through the french doors", "through the slider", "looking out", "looking down on",
    "look down on", "look out", "from up here", "from here i can see", "from here you can see", "view of",
];

/// Verbs of it: without one, what comes through a window is a draught.
const SEES: &[&str] = &["see", "seen", "look", "looking", "spot", "view"];

impl Walk<'_> {
    /// Returns the place of what a sentence tells of, where it or the one before looks out of a window at it.
    pub(super) fn seen_outside(&mut self, index: usize, scene: &Scene<'_>) -> Option<usize> {
        let here = self.places.visited.get(self.place)?;
        let within = matches!(here.kind.as_str(), "room" | "common" | "loft");
        let own = &scene.sentence.tokens;
        if self.looks_out(own)
            && let Some(seen) = self.place_in_view(own)
            && (within || seen.kind == "roof")
        {
            return Some(self.places.known_or_new(&seen));
        }
        if !within {
            return None;
        }
        let before = index
            .checked_sub(1)
            .map(|before| &self.reading.sentences[before].tokens)
            .filter(|before| self.kinds_in(before, PieceKind::Defect).is_empty());
        if !self.looks_out(own) && !before.is_some_and(|before| self.looks_out(before)) {
            return None;
        }
        let seen = scene
            .pieces(PieceKind::Element)
            .into_iter()
            .filter_map(|i| self.reading.pieces[i].term)
            .find_map(|term| self.outdoors(term))?;
        let front = here.name.contains("front") || own.clone().any(|at| self.word(at) == "front");
        let name = match (seen, front) {
            (PlaceKind::Outside, false) => "rear garden",
            (PlaceKind::Outside, true) => "front garden",
            (_, false) => "rear elevation",
            (_, true) => "front elevation",
        };
        let change = self.listed_place(name, own.clone())?;
        Some(self.places.known_or_new(&change))
    }

    /// *Out the window I can **see the deck**, and …*
    fn place_in_view(&self, own: &Range<usize>) -> Option<PlaceChange> {
        let sees = |at: usize| {
            let behind = &self.reading.tokens[at.saturating_sub(3)..at];
            behind.iter().any(|token| {
                matches!(
                    token.norm.as_str(),
                    "see" | "onto" | "over" | "at" | "on" | "of"
                )
            })
        };
        let mut places = self.reading.places_within(own).iter();
        let outdoors = |place: &&Piece| {
            place.term.is_some_and(|term| {
                matches!(
                    self.lexicon.place(term).kind,
                    PlaceKind::Outside | PlaceKind::Roof
                )
            })
        };
        let place = places.find(|place| outdoors(place) && sees(place.tokens.start))?;
        Some(place::to(self.lexicon, place, place.tokens.start))
    }

    /// *Hall. … There's a damp patch **in the dining room**.* *It's the smoke alarm **back in the lounge**.*: a
    /// fault of another room than the one that one stands in.
    pub(super) fn named_elsewhere(
        &mut self,
        scene: &Scene<'_>,
        clause: &Range<usize>,
    ) -> Option<usize> {
        let inside = self.places.inside(self.place) || self.place == usize::MAX;
        let word = |at: usize| self.word(at);
        let ends = |place: &&Piece| {
            let start = place.tokens.start;
            let within = start >= 2
                && (word(start - 1) == "in" || word(start - 1) == "the" && word(start - 2) == "in");
            let back = (start.saturating_sub(4)..start).any(|at| word(at) == "back");
            let of_this = clause.start <= start && place.tokens.end == clause.end;
            let of_all = back && scene.clause(start).end == place.tokens.end;
            // "The socket in the lounge is loose", "radiator in the hall loose".
            let article = usize::from(start > 0 && word(start - 1) == "the");
            let is = |at: Option<usize>, kind: PieceKind| {
                let piece = at.and_then(|at| self.reading.piece_at(at));
                piece.is_some_and(|piece| piece.kind == kind)
            };
            let of_thing = clause.contains(&start)
                && is((start - article).checked_sub(2), PieceKind::Element)
                && (class(word(place.tokens.end)) == Class::Verb
                    || is(Some(place.tokens.end), PieceKind::Defect));
            let possessed = clause.contains(&start) && self.in_its_thing(place, clause);
            (within && (of_this || of_all || of_thing) || possessed) && start > scene.from
        };
        let compared = scene.sentence.tokens.clone().any(|at| {
            matches!(
                word(at),
                "same"
                    | "like"
                    | "as"
                    | "than"
                    | "matches"
                    | "match"
                    | "different"
                    | "again"
                    | "too"
            )
        });
        let mut places = self.reading.places_within(&scene.sentence.tokens).iter();
        let place = places.find(|place| {
            let room = place.term.is_some_and(|term| {
                let entry = self.lexicon.place(term);
                entry.kind.indoors() && !entry.weak
            });
            room && ends(place)
        })?;
        let change = place::to(self.lexicon, place, place.tokens.start);
        let inside = inside || self.comes_in(place);
        (inside && !compared).then(|| self.places.known_or_new(&change))
    }

    /// *Side of the house. … There's a loose slate **up there on the roof**.* *Garden. … Slabs rock **on the patio**.*: a
    /// part of the outside, named behind the fault.
    pub(super) fn on_a_part(&mut self, scene: &Scene<'_>, clause: &Range<usize>) -> Option<usize> {
        let here = self.places.visited.get(self.place)?;
        if !matches!(here.kind.as_str(), "elevation" | "outside" | "roof") {
            return None;
        }
        let outdoors = |place: &Piece| {
            let kind = place.term.map(|term| self.lexicon.place(term).kind);
            matches!(kind, Some(PlaceKind::Outside | PlaceKind::Roof))
        };
        let on_it = |place: &&Piece| {
            let start = place.tokens.start;
            start > scene.from + 2
                && self.word(start - 1) == "the"
                && self.word(start - 2) == "on"
                && clause.contains(&start)
                && place.tokens.end == clause.end
        };
        let mut places = self.reading.places_within(clause).iter();
        let place = places.find(|place| outdoors(place) && on_it(place))?;
        let change = place::to(self.lexicon, place, place.tokens.start);
        Some(self.places.known_or_new(&change))
    }

    /// *Looking at the roof **through the window***: returns the tokens of what one looks through, which has
    /// no fault.
    pub(super) fn looked_through(&self, said: &Range<usize>) -> Vec<Range<usize>> {
        let looks = |at: usize| SEES.contains(&self.word(at));
        if !said.clone().any(looks) || !self.looks_out(said) {
            return Vec::new();
        }
        let through = |piece: &&Piece| {
            let mut before = (said.start..piece.tokens.start).rev();
            let lead = before.find(|&at| class(self.word(at)) != Class::Determiner);
            lead.is_some_and(|at| {
                let out_of = self.word(at) == "of" && at > 0 && self.word(at - 1) == "out";
                out_of || matches!(self.word(at), "through" | "from" | "out")
            })
        };
        let things = self.reading.elements_within(said).iter().filter(through);
        things.map(|piece| piece.tokens.clone()).collect()
    }

    fn looks_out(&self, tokens: &Range<usize>) -> bool {
        let said = self.text(tokens);
        LOOKS_OUT.iter().any(|way| said.contains(way))
    }

    /// Returns where outside a thing is that is found in no room.
    pub(super) fn outdoors(&self, element: TermId) -> Option<PlaceKind> {
        let found = &self.lexicon.element(element).found;
        let kinds: Vec<PlaceKind> = found
            .iter()
            .map(|found| match found {
                Found::Place(place) => self.lexicon.place(*place).kind,
                Found::Kind(kind) => *kind,
            })
            .collect();
        // A gutter is outside, though a garage or a porch has one.
        let indoors = |found: &Found| match found {
            Found::Place(_) => false,
            Found::Kind(kind) => kind.indoors() && *kind != PlaceKind::Garage,
        };
        if found.iter().any(indoors) {
            return None;
        }
        let outside = |kind: &&PlaceKind| {
            matches!(
                kind,
                PlaceKind::Outside | PlaceKind::Elevation | PlaceKind::Roof
            )
        };
        // On the ground rather than on the house only where the lexicon has it nowhere on the house.
        let on_house = kinds
            .iter()
            .filter(outside)
            .find(|kind| **kind != PlaceKind::Outside);
        on_house.or(kinds.iter().find(outside)).copied()
    }
}
