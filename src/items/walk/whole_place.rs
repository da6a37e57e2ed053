//! Faults of a place as a whole: *it smells of damp in here*, *the room's dirty*, *there's rubble everywhere*. No
//! thing is named; the place where one is has the fault.

use super::Walk;
use crate::items::draft::Named;
use crate::items::pair::Choice;
use crate::items::scene::Scene;
use crate::lexicon::How;
use crate::statements::piece::PieceKind;

/// Faults that a place has as a whole, as the lexicon names them. Common practice, no source.
#[rustfmt::skip]
const OF_PLACES: &[&str] = &["dirty", "unclean", "dusty", "full of debris", "smell", "damp", "cold", "ponding"];

/// What a place is called that is a room.
const ROOM: &str = "room";

impl Walk<'_> {
    /// Makes an item of the place where one is.
    pub(super) fn whole_place(&mut self, index: usize, scene: &Scene<'_>) {
        let rest = scene.from..scene.sentence.tokens.end;
        let Some(place) = self.places.visited.get(self.place) else {
            return;
        };
        let here = rest.clone().any(|at| {
            matches!(self.word(at), "everywhere" | "room")
                || self.word(at + 1) == "here"
                    && matches!(self.word(at), "in" | "out" | "up" | "down")
        });
        // "I've got standing water in the crawl space".
        let here = here || !self.kinds_in(&rest, PieceKind::Place).is_empty();
        if !here || scene.things().next().is_some() || self.says_otherwise(scene, &rest) {
            return;
        }
        let faults = self.kinds_in(&rest, PieceKind::Defect);
        let of_place = |&fault: &usize| {
            let term = self.reading.pieces[fault].term;
            term.is_some_and(|term| OF_PLACES.contains(&self.lexicon.name(term)))
        };
        let Some(fault) = faults.into_iter().find(of_place) else {
            return;
        };
        let fault = self.reading.pieces[fault].clone();
        let element = Named {
            text: if place.kind == ROOM {
                ROOM.to_owned()
            } else {
                place.name.clone()
            },
            term: None,
            how: How::Exact,
            tokens: fault.tokens.clone(),
        };
        let clause = scene.clause(fault.tokens.start);
        let choice = Choice::alone(element, fault.tokens.clone());
        self.make(index, scene, &fault, choice, None, &clause);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lexicon::{Kind, Lexicon};

    #[test]
    fn the_faults_are_of_the_lexicon() {
        let lexicon = Lexicon::embedded().unwrap();
        for fault in OF_PLACES {
            let found = lexicon.find(Kind::Defect, fault);
            assert_eq!(found.map(|term| lexicon.name(term)), Some(*fault));
        }
    }
}
