//! A place that was named wrongly: *window won't lock. **Correction, bedroom three, not two.***, *silicone's gone
//! mouldy. **Sorry, that's the bathroom, not the en-suite.***

use super::{REACH, Walk};
use crate::statements::grammar::{Class, class, opener};
use crate::statements::piece::{Piece, PieceKind};
use crate::statements::place;
use crate::statements::sentence::Sentence;
use std::ops::Range;

/// Words with which one owns up to a slip. Everyday English, no source.
const SLIPS: &[&str] = &[
    "no",
    "sorry",
    "correction",
    "hang",
    "wait",
    "actually",
    "lie",
    "mistake",
];

impl Walk<'_> {
    /// Puts the place of this stay right: *correction, bedroom three, not two*, and what was found since one
    /// came in goes with it; `announced` says that the sentence before was the *correction*. True if the
    /// sentence did so and says nothing else.
    pub(super) fn other_place(&mut self, sentence: &Sentence, announced: bool) -> bool {
        let whole = sentence.tokens.clone();
        let Some(here) = self.places.identities.get(self.place).cloned() else {
            return false;
        };
        let Some((right, wrong)) = self.not_the_place(&whole) else {
            return false;
        };
        // "Bedroom three, not two": the bare number stands for the place one is in.
        let own = wrong == here || here.ends_with(&format!(" {wrong}"));
        let says_only = whole.clone().all(|at| {
            let word = self.word(at);
            let piece = self.reading.piece_at(at).map(|piece| piece.kind);
            opener(word)
                || SLIPS.contains(&word)
                || class(word) != Class::Open
                || matches!(piece, Some(PieceKind::Place | PieceKind::Phrase))
        });
        let of_last = whole
            .clone()
            .any(|at| matches!(self.word(at), "that" | "it"));
        let slips = announced || whole.clone().any(|at| SLIPS.contains(&self.word(at)));
        if !own || !says_only || of_last || !slips {
            return false;
        }
        let change = place::to(self.lexicon, &right, right.tokens.start);
        let there = self.places.known_or_new(&change);
        let (wrong, recording) = (self.place, self.recording(whole.start));
        let stay = self.drafts.iter_mut().rev();
        for draft in stay.take_while(|draft| draft.place == wrong) {
            draft.place = there;
            let why = "the speaker put the place right";
            draft.reasons.push(why.into());
        }
        self.places.visited[wrong].visits.pop();
        self.places.visit(there, recording, None);
        self.place = there;
        true
    }

    /// Returns the place that is right, and the words for the one that is not: *bedroom three, not **two***.
    fn not_the_place(&self, range: &Range<usize>) -> Option<(Piece, String)> {
        let not = range
            .clone()
            .find(|&at| class(self.word(at)) == Class::Negation && at > range.start)?;
        let wrong = (not + 1..range.end).find(|&at| class(self.word(at)) != Class::Determiner)?;
        let places = self.reading.places_within(range);
        let right = places.iter().rfind(|place| place.tokens.end <= not)?;
        let named = places.iter().find(|place| place.tokens.start >= not);
        let wrong = match named {
            Some(wrong) => place::identity(self.lexicon, wrong),
            None => self.word(wrong).to_owned(),
        };
        Some((right.clone(), wrong))
    }

    /// Returns the place that a correction of the last items names, and which item it is: that whose element is
    /// named, or the last.
    pub(super) fn moved_to(
        &mut self,
        index: usize,
        range: &Range<usize>,
    ) -> Option<(usize, usize)> {
        let right = match self.not_the_place(range) {
            Some((right, _)) => right,
            None => self.reading.places_within(range).last()?.clone(),
        };
        let elements = self.kinds_in(range, PieceKind::Element);
        let named: Vec<_> = elements
            .iter()
            .filter_map(|&i| self.reading.pieces[i].term)
            .collect();
        let near = |at: &usize| {
            let draft = &self.drafts[*at];
            draft.withdrawn.is_none()
                && match named.is_empty() {
                    true => index - draft.sentence <= REACH,
                    false => draft.element.term.is_some_and(|term| named.contains(&term)),
                }
        };
        let at = (0..self.drafts.len()).rev().find(near)?;
        let change = place::to(self.lexicon, &right, right.tokens.start);
        Some((at, self.places.known_or_new(&change)))
    }
}
