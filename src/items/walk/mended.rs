//! Faults that were, and are put right since: *crack over the window's been filled*, *the fan was noisy, it's a different
//! fan*.

use super::Walk;
use crate::items::scene::Scene;
use crate::statements::grammar::{Class, class, opener};
use crate::statements::piece::{Piece, PieceKind};
use crate::statements::sentence::Clause;
use std::ops::Range;

/// What was done to put something right: alone a verdict too.
#[rustfmt::skip]
pub(super) const CURED: &[&str] = &[
    "filled", "sanded", "replaced", "swapped", "fixed", "refixed", "sorted", "done", "repaired",
    "mended", "patched", "redone", "eased", "adjusted", "cleaned", "raised", "lowered", "tightened",
    "renewed", "rectified", "dealt", "cured", "changed", "straightened", "touched", "rehung",
    "realigned", "resealed", "refitted", "remade", "rubbed", "regrouted", "repainted", "repointed", "ground",
    "skimmed", "polished", "healed",
];

/// How many tokens behind a fault its cure may stand.
const CURED_WITHIN: usize = 7;

impl Walk<'_> {
    /// *Crack over the window**'s been filled***: behind the fault, or where it is, stands its cure.
    pub(super) fn cured(&self, clause: &Range<usize>, defect: &Piece) -> bool {
        let behind = |by: usize| {
            let at = defect.tokens.end + by;
            if at < clause.end { self.word(at) } else { "" }
        };
        // "They've replaced the cracked tile", "they've fixed the leak".
        let before = |back: usize| self.word_before(clause, defect.tokens.start, back);
        let has = matches!(before(3), "have" | "'ve" | "has" | "'s");
        if has && CURED.contains(&before(2)) && class(before(1)) == Class::Determiner {
            return true;
        }
        // "The scratch on the worktop's gone".
        let last = clause.end - 1;
        if self.word(last) == "gone" && last >= defect.tokens.end && before(1) == "the" {
            return true;
        }
        // "The chip was rubbed down and filled".
        let worked = matches!(before(1), "was" | "were" | "been")
            && CURED.contains(&self.word(defect.tokens.start))
            && matches!(behind(0), "down" | "out" | "in" | "back" | "over")
            && CURED.contains(&behind(2));
        if worked {
            return true;
        }
        let is_been = |by: &usize| matches!(behind(*by), "been" | "was" | "were");
        let Some(been) = (0..CURED_WITHIN).find(is_been) else {
            return false;
        };
        // "The damaged tile's been replaced".
        let next = self.reading.piece_at(defect.tokens.end);
        let thing = next.is_some_and(|piece| piece.kind == PieceKind::Element);
        let leads = been <= 1 || thing || class(behind(0)) == Class::Preposition;
        let apart = |by| class(behind(by)) == Class::Conjunction || behind(by) == "where";
        let badly = ["badly", "poorly", "roughly", "with", "over", "but", "wrong"];
        leads
            && !(0..been).any(apart)
            && CURED.contains(&behind(been + 1))
            && !badly.contains(&behind(been + 2))
    }

    /// *The tap squealed, it does**n't** squeal **any more***.
    pub(super) fn no_more(&self, scene: &Scene<'_>, defect: &Piece) -> bool {
        let rest = defect.tokens.end..scene.sentence.tokens.end;
        let says = |at: usize, word: &str| rest.contains(&at) && self.word(at) == word;
        // "That's not a vent any more" is no good news.
        let next = |at: usize| self.reading.tokens.get(at + 1).map_or("", |t| &t.norm);
        let not = |at: usize| says(at, "not") && class(next(at)) != Class::Determiner;
        rest.clone().any(not)
            && rest
                .clone()
                .any(|at| says(at, "any") && says(at + 1, "more"))
    }

    /// *Lagging **was** short, **they've** put foam on it now*, *catches **were** loose **and they've** done
    /// them*: put right since.
    pub(super) fn since(&self, scene: &Scene<'_>, clause: &Range<usize>, defect: &Piece) -> bool {
        let was = (clause.start..defect.tokens.start)
            .any(|at| matches!(self.word(at), "was" | "were" | "had"));
        let says = |from: usize, to: usize, by: usize| {
            if from + by < to {
                self.word(from + by)
            } else {
                ""
            }
        };
        let behind = |by| says(defect.tokens.end, clause.end, by);
        let done = behind(0) == "and" && behind(1) == "they" && behind(2) == "have";
        // "Window was missing its key, there it is", "fan was noisy, it's a different fan", "… listen, nothing".
        let another = |said: &Range<usize>| {
            let words = said.clone().map(|at| self.word(at));
            let words: Vec<&str> = words.skip_while(|word| opener(word)).take(4).collect();
            matches!(
                words[..],
                ["there", "it" | "they", "is" | "are", ..]
                    | ["there" | "it", "'s", "a", "new" | "different"]
                    | ["nothing"]
            )
        };
        let renewed = || {
            let next = self.reading.sentence_at(scene.sentence.tokens.end);
            scene.sentence.tokens.end == clause.end
                && next.is_some_and(|next| another(&next.tokens))
        };
        // "Smears on the brick, well, they've had acid on it, and now there's a bloom", "the scratched panel, yes,
        // they've had a new one in".
        let replaced = |c: &Clause| {
            let they = says(c.tokens.start, c.tokens.end, 0) == "they"
                && says(c.tokens.start, c.tokens.end, 1) == "have";
            let new_one = c
                .tokens
                .clone()
                .any(|at| self.word(at) == "new" && matches!(self.word(at + 1), "one" | "ones"));
            let now = (c.tokens.end..scene.sentence.tokens.end).any(|at| self.word(at) == "now");
            they && (new_one || now)
        };
        let put_right = |c: &Clause| {
            let word = |by| says(c.tokens.start, c.tokens.end, by);
            let now = c.tokens.clone().any(|at| self.word(at) == "now");
            let does = matches!(word(0), "they" | "it" | "that" | "he")
                && matches!(word(1), "have" | "'s" | "has" | "is");
            does && (now || word(2) == "been" || word(1) == "have")
                && self
                    .kinds_in(&c.tokens, PieceKind::Defect)
                    .into_iter()
                    .all(|at| self.reading.pieces[at].guessed)
        };
        let after = || {
            let clauses = scene.sentence.clauses.iter();
            clauses.filter(|c| c.tokens.start >= clause.end)
        };
        let still = (clause.start..scene.sentence.tokens.end).any(|at| self.word(at) == "still");
        let renewed = || renewed() || after().any(|c| another(&c.tokens));
        was && (done || after().any(put_right) || !still && renewed())
            || !still && after().any(replaced)
    }
}
