//! Words of a fault that tell of no fault that is there: what is to be kept from happening, what people hurt, what the speaker
//! was doing, what was not looked at.

use super::Walk;
use super::joining::last_word;
use crate::items::scene::Scene;
use crate::statements::grammar::{Class, class, opener};
use crate::statements::piece::{Piece, PieceKind};
use std::ops::Range;

/// What people hurt. Common practice, no source.
#[rustfmt::skip]
const BODY: &[&str] = &[
    "skull", "head", "heads", "neck", "ankle", "ankles", "leg", "legs", "arm", "shin", "shins", "knee", "knees", "back",
    "hip", "toe", "toes", "finger", "fingers", "hand", "hands", "nose", "elbow", "wrist", "foot", "feet", "skin",
];

/// Who may come to harm, or do it, in talk of what can happen.
#[rustfmt::skip]
const ANYBODY: &[&str] = &["child", "kid", "toddler", "baby", "person", "visitor", "burglar", "thief", "cat", "dog"];

/// What fixed things ought not to do.
const STIRS: &[&str] = &[
    "move", "moving", "budge", "budging", "shift", "shifting", "wobble", "wobbling", "rock",
    "rocking",
];

/// Things that are fixed for good. Common practice, no source.
#[rustfmt::skip]
const FIXED: &[&str] = &[
    "fence", "fencing", "post", "posts", "balustrade", "handrail", "banister", "newel", "spindle", "spindles", "pan", "toilet",
    "loo", "basin", "bath", "railing", "railings", "rail", "wall", "coping", "copings", "slab", "slabs", "step", "steps",
    "deck", "radiator", "bracket", "shelf", "panel", "panels", "bollard", "porch",
];

/// How many tokens may stand between an item and what *those* want.
const LONGEST_BETWEEN: usize = 30;

impl Walk<'_> {
    /// *Let it down **before the relief valve lifts***, ***that's how** decks come down*, *somebody's going to **crack their
    /// skull***, *a bloom **where the smears were***, *with **my stick***: of no fault that is there.
    pub(super) fn of_something_else(
        &self,
        scene: &Scene<'_>,
        clause: &Range<usize>,
        defect: &Piece,
    ) -> bool {
        let (start, end) = (defect.tokens.start, defect.tokens.end);
        let sentence = &scene.sentence.tokens;
        let before = |back: usize| self.word_before(clause, start, back);
        let first = clause.clone().find(|&at| !opener(self.word(at)));
        let first = first.unwrap_or(clause.start);
        let teaches = self.word(first) == "that"
            && matches!(self.word(first + 1), "'s" | "is")
            && matches!(self.word(first + 2), "how" | "why");
        let body = matches!(
            self.word(start),
            "crack"
                | "break"
                | "split"
                | "bang"
                | "bump"
                | "twist"
                | "trap"
                | "catch"
                | "cut"
                | "burn"
        ) && matches!(
            self.word(start + 1),
            "your" | "their" | "his" | "her" | "an" | "a" | "my" | "somebody" | "someone"
        ) && BODY.contains(&self.word(start + 2));
        let were = matches!(self.word(end), "were" | "was" | "used")
            && (before(1) == "where" || before(2) == "where");
        let own = defect.tokens.len() == 1 && matches!(before(1), "my" | "your");
        // "I'm reading the wrong side", "since I'm parked in front of it".
        let slip = self.word(first) == "i"
            && (defect.tokens.clone().any(|at| self.word(at) == "wrong")
                || defect.text.starts_with("in front of"));
        // "Middle garage, locked, no key, not inspected".
        let last = |back: usize| {
            sentence
                .end
                .checked_sub(back)
                .map_or("", |at| self.word(at))
        };
        let unseen = sentence.len() > 1
            && last(2) == "not"
            && matches!(last(1), "inspected" | "tested" | "checked" | "seen");
        // "The middle three have dropped. So those want cutting out and bedding again."
        let of_those = defect.text.starts_with("needs ")
            && self.word(sentence.start) == "so"
            && matches!(
                self.word(sentence.start + 1),
                "those" | "that" | "they" | "it" | "these" | "this"
            )
            && self.drafts.last().is_some_and(|last| {
                let since = last.tokens.end..sentence.start;
                last.place == self.place && since.len() < LONGEST_BETWEEN
            });
        let ordered = |before: usize| {
            let told = scene.from..before;
            !self.kinds_in(&told, PieceKind::Remedy).is_empty()
                || told
                    .clone()
                    .any(|at| matches!(self.word(at), "have" | "get" | "so"))
        };
        let not_yet = (first..start).any(|at| {
            self.word(at) == "before"
                && matches!(class(self.word(at + 1)), Class::Determiner | Class::Pronoun)
                && ordered(at)
        });
        // "Shouldn't there be a restrictor? Not on the ground floor."
        let answers = start == first
            && self.word(start) == "not"
            && matches!(self.word(start + 1), "on" | "in" | "at" | "down" | "up")
            && start.checked_sub(1).is_some_and(|last| {
                self.reading
                    .sentence_at(last)
                    .is_some_and(|asked| asked.question)
            });
        teaches
            || of_those
            || body
            || were
            || own
            || slip
            || unseen
            || not_yet
            || answers
            || self.can_happen(clause, first, defect)
            || self.stands_firm(clause, defect)
    }

    /// *The fence **isn't moving***: as it should be, of what is fixed.
    fn stands_firm(&self, clause: &Range<usize>, defect: &Piece) -> bool {
        let mut words = defect.text.rsplit(' ');
        let still = words.next().is_some_and(|word| STIRS.contains(&word));
        let not = words.any(|word| matches!(word, "not" | "won't"));
        let things = self.kinds_in(&(clause.start..defect.tokens.start), PieceKind::Element);
        let fixed = things
            .last()
            .is_some_and(|&thing| FIXED.contains(&last_word(&self.reading.pieces[thing].text)));
        still && not && fixed
    }

    /// ***A child** leaves the tap on*, ***a hose** left in a pond **can** suck back*, ***cracked glass can** go at any time*,
    /// *somebody**'s let** the door swing back*: what may happen, or how it came about.
    fn can_happen(&self, clause: &Range<usize>, first: usize, defect: &Piece) -> bool {
        let indefinite = matches!(self.word(first), "a" | "an" | "any");
        let anybody = indefinite && ANYBODY.contains(&self.word(first + 1));
        let bare = first == defect.tokens.start;
        let can = (first + 1..clause.end).any(|at| {
            self.word(at) == "can"
                && !matches!(self.word(at + 1), "not" | "be" | "see" | "feel")
                && !matches!(self.word(at - 1), "you" | "i" | "we")
        });
        let has = first + 1 + usize::from(matches!(self.word(first + 1), "'s" | "has"));
        let let_go = matches!(self.word(first), "somebody" | "someone" | "they")
            && has > first + 1
            && self.word(has) == "let";
        anybody || (indefinite || bare) && can || let_go
    }
}
