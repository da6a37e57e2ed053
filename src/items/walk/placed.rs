//! Where a fault is, told in a clause of its own: *scratched, **left hand side***, *slipped tile, **third course up
//! from the gutter***.

use super::Walk;
use crate::items::scene::Scene;
use crate::statements::grammar::{Class, class, opener};
use crate::statements::piece::PieceKind;
use std::ops::Range;

/// Words that say where without a preposition, besides those of [`Class::Position`].
#[rustfmt::skip]
const SIDES: &[&str] = &[
    "front", "back", "rear", "side", "inside", "outside", "halfway", "low", "high", "head", "waist", "knee", "eye",
    "shoulder", "height", "corner", "edge", "centre", "center",
];

/// Prepositions with which such a clause begins.
#[rustfmt::skip]
const PLACES: &[&str] = &[
    "under", "above", "below", "behind", "beside", "between", "near", "by", "next", "opposite", "over", "at", "in", "on",
    "along", "beneath", "against", "nearest", "down", "up",
];

/// What says where takes at most so many words.
const LONGEST: usize = 9;

impl Walk<'_> {
    /// Adds to the items of a sentence what its other clauses say of where they are.
    pub(super) fn placed(&mut self, scene: &Scene<'_>, made_from: usize) {
        for clause in &scene.sentence.clauses {
            let clause = clause.tokens.start.max(scene.from)..clause.tokens.end;
            let made = &self.drafts[made_from..];
            let says_more = made.iter().any(|d| d.clauses.contains(&clause));
            if says_more || clause.is_empty() || scene.struck(clause.start) {
                continue;
            }
            let told_before = |at: &usize| made[*at].defects[0].tokens.end <= clause.start;
            let Some(target) = (0..made.len()).rfind(told_before) else {
                continue;
            };
            if let Some(said) = self.only_where(&clause) {
                let text = self.text(&said);
                let draft = &mut self.drafts[made_from + target];
                draft.place_at(text);
                draft.cover(&clause);
                draft.remarks.retain(|remark| *remark != clause);
            }
        }
    }

    /// Returns the words of a clause that says where something is and nothing else.
    fn only_where(&self, clause: &Range<usize>) -> Option<Range<usize>> {
        let light = |at: usize| {
            let word = self.word(at);
            let filler = opener(word) && class(word) != Class::Position;
            let piece = self.reading.piece_at(at).map(|p| p.kind);
            // "Five mil down *on the left*".
            piece == Some(PieceKind::Measure)
                || filler
                || matches!(word, "the" | "about" | "just" | "it" | "'s" | "a")
        };
        let start = clause.clone().find(|&at| !light(at))?;
        let said = start..clause.end;
        let place = |at: usize| {
            let word = self.word(at);
            let alone = matches!(word, "high" | "low") && said.len() < 2;
            class(word) == Class::Position && word != "right" || SIDES.contains(&word) && !alone
        };
        let by_name = PLACES.contains(&self.word(start)) && said.len() > 2;
        let opens = place(start) || self.word(start) == "right" && place(start + 1) || by_name;
        let plain = said.clone().all(|at| {
            let word = self.word(at);
            let piece = self.reading.piece_at(at).map(|p| p.kind);
            // Only what has a preposition or a side before it: a clause of its own is about what it names.
            let element = piece == Some(PieceKind::Element) && at == start;
            let other = matches!(
                piece,
                Some(PieceKind::Defect | PieceKind::Remedy | PieceKind::Place | PieceKind::Trade)
            );
            let telling = matches!(
                class(word),
                Class::Determiner
                    | Class::Position
                    | Class::Number
                    | Class::Preposition
                    | Class::Open
            );
            telling && !other && !element && word != "for" && word != "with" && word != "like"
        });
        let whole = matches!(
            class(self.word(said.end - 1)),
            Class::Open | Class::Position
        );
        let phrases = self.kinds_in(&said, PieceKind::Phrase);
        let only_place = phrases
            .iter()
            .all(|&i| self.reading.pieces[i].text == "place-change");
        (opens && plain && only_place && whole && said.len() <= LONGEST).then_some(said)
    }
}
