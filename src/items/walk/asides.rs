//! What only says more of an item that was just made: what shows it, why it is so, how far out it is,
//! what came of it.

use super::Walk;
use super::joining::Further;
use crate::items::draft::{Draft, Named};
use crate::items::pair::Choice;
use crate::items::scene::Scene;
use crate::statements::grammar::{Class, class, opener};
use crate::statements::piece::{Piece, PieceKind};
use crate::statements::sentence::Join;
use std::ops::Range;

impl Walk<'_> {
    /// *They've missed a coat, **you can see the** primer*, *on back to front, **look**, the screws are
    /// showing*: what shows the fault that was just named.
    pub(super) fn shows(&self, scene: &Scene<'_>, clause: &Range<usize>) -> bool {
        let words = |range: &Range<usize>| {
            let said = range.clone().map(|at| self.word(at));
            said.skip_while(|word| opener(word))
                .take(4)
                .collect::<Vec<_>>()
        };
        let before = scene
            .sentence
            .clauses
            .iter()
            .rfind(|c| c.tokens.end <= clause.start);
        let look = before.is_some_and(|c| words(&c.tokens) == ["look"]);
        let said = words(clause);
        // "Newel cap's gone, there's just a bare post top".
        let left =
            said.len() > 2 && said[..2] == ["there", "'s"] && matches!(said[2], "just" | "only");
        // "Mat well, no mat, just the hole".
        let just = said.len() > 2
            && matches!(said[0], "just" | "only")
            && matches!(said[1], "the" | "a")
            && before.is_some_and(|c| c.tokens.clone().any(|at| self.word(at) == "no"));
        said == ["you", "can", "see", "the"] || left || look || just
    }

    /// *The pan rocks, **nobody's put the screws in***: why it is so.
    pub(super) fn nobody_did(&self, further: &Further<'_>, earlier: &Draft) -> bool {
        let Further { scene, clause, .. } = *further;
        if further.choice.element.tokens == earlier.element.tokens {
            return false;
        }
        let mut clauses = scene.sentence.clauses.iter();
        let comma = clauses.any(|c| c.tokens == *clause && c.join == Join::Comma);
        let said: Vec<&str> = clause.clone().take(3).map(|at| self.word(at)).collect();
        comma
            && matches!(
                said[..],
                ["nobody" | "they" | "somebody", "'s" | "has" | "have", ..]
                    | ["no", "one", "'s" | "has"]
            )
            && (matches!(said[0], "nobody" | "no") || said[2] == "not")
    }

    /// *Nothing's been put in it, **so that's an open hole** in a fire door*: what it comes to.
    pub(super) fn sums_it_up(&self, clause: &Range<usize>) -> bool {
        let word = |by: usize| self.word(clause.start + by);
        self.behind_so(clause)
            && word(0) == "that"
            && matches!(word(1), "'s" | "is")
            && matches!(word(2), "a" | "an")
    }

    /// *A scratch in the pane, and no, **it doesn't polish out***.
    pub(super) fn does_not_come_off(&self, clause: &Range<usize>, defect: &Piece) -> bool {
        let off = ["polish", "wipe", "rub", "brush", "wash", "come off"];
        self.pronoun(clause).is_some()
            && off.iter().any(|off| {
                let said = defect.text.strip_prefix("does not ");
                said.is_some_and(|said| said.starts_with(off))
            })
    }

    /// *The red light's on, so **either** it's lost its power **or** the blower's gone*: what may be the cause.
    pub(super) fn one_or_the_other(&self, scene: &Scene<'_>, clause: &Range<usize>) -> bool {
        let either = (scene.from..clause.end).find(|&at| self.word(at) == "either");
        either.is_some_and(|either| {
            let mut behind = either..scene.sentence.tokens.end;
            let leads =
                self.word(either + 1) == "it" || class(self.word(either + 1)) == Class::Determiner;
            leads && behind.any(|at| self.word(at) == "or")
        })
    }

    /// *valve weeping, **carpet's wet***: what the first fault did to a thing near it.
    pub(super) fn brought_about(&self, current: &Draft, defect: &Piece, choice: &Choice) -> bool {
        let brings = |cause: &Named| {
            cause
                .term
                .zip(defect.term)
                .is_some_and(|(cause, effect)| self.lexicon.defect(cause).brings.contains(&effect))
        };
        current.defects.iter().any(brings) && choice.element.tokens != current.element.tokens
    }

    /// *… isn't moving, **so I'd say** the duct's not connected*: what the speaker takes for the cause.
    pub(super) fn supposes(&self, clause: &Range<usize>, defect: &Piece) -> bool {
        let hedge = self
            .phrase(clause, "hedge")
            .is_some_and(|i| self.reading.pieces[i].tokens.start < defect.tokens.start);
        // "My guess is the batten's loose", "Perhaps the pipe isn't lagged".
        let guesses = matches!(self.word(clause.start), "perhaps")
            || self.word(clause.start) == "my" && self.word(clause.start + 1) == "guess";
        // "I bet there's no bolts", of what was tried before.
        if self.text(clause).starts_with("i bet ") {
            return true;
        }
        // "I reckon the seal's been left off", "possibly the studs weren't straight".
        let first = self.word(clause.start);
        let wonders = matches!(first, "possibly" | "probably" | "presumably")
            || first == "i"
                && matches!(
                    self.word(clause.start + 1),
                    "reckon" | "suspect" | "expect" | "imagine" | "guess"
                );
        let left_undone = ["not ", "left off", "left out", "missing"];
        if wonders
            && left_undone
                .iter()
                .any(|undone| defect.text.starts_with(undone))
        {
            return true;
        }
        hedge && (guesses || self.word(clause.start) == "so" || self.behind_so(clause))
    }

    /// True where *so* joins a clause: it begins behind the word.
    fn behind_so(&self, clause: &Range<usize>) -> bool {
        let before = clause.start.checked_sub(1);
        before.is_some_and(|at| self.word(at) == "so")
    }

    /// *Is that the key or the handle? **The handle, you've got to heave it up.***: which of the two it is.
    pub(super) fn answers_which(&self, index: usize, scene: &Scene<'_>) -> bool {
        let asked = index.checked_sub(1).map(|at| &self.reading.sentences[at]);
        let Some(asked) = asked.filter(|asked| asked.question) else {
            return false;
        };
        let or = asked.tokens.clone().any(|at| self.word(at) == "or");
        let answer = self.kinds_in(&(scene.from..scene.sentence.tokens.end), PieceKind::Element);
        let one = answer.first().is_some_and(|&thing| {
            let thing = &self.reading.pieces[thing];
            let named = &self.reading.elements_within(&asked.tokens);
            named
                .iter()
                .any(|named| named.term.is_some() && named.term == thing.term)
        });
        let near = self.drafts.last().is_some_and(|last| {
            last.withdrawn.is_none() && last.place == self.place && last.sentence + 2 == index
        });
        or && one && near
    }

    /// *The door doesn't lock. **Its latch is missing the keep.*** *It won't stay up. **No, the pivot's slack.***: why it does not
    /// do what it should.
    fn its_part_fails(&self, draft: &Draft, scene: &Scene<'_>) -> bool {
        let does = |word: &str| {
            [
                "lock", "latch", "clos", "shut", "open", "work", "stay", "drain", "flush", "light",
            ]
            .iter()
            .any(|verb| word.starts_with(verb))
        };
        let failing = draft.defects[0].text.split(' ').any(does);
        let denied = ["not ", "won't ", "will not ", "does not ", "cannot "];
        let denied = denied
            .iter()
            .any(|no| draft.defects[0].text.starts_with(no));
        let its = self.word(scene.from) == "its"
            || self.word(scene.from) == "no" && self.word(scene.from + 1) == "the";
        its && failing && denied
    }

    /// True where the sentence gives the cause of the item of the sentence before.
    pub(super) fn explains(
        &self,
        index: usize,
        last: usize,
        scene: &Scene<'_>,
        defect: &Piece,
    ) -> bool {
        let draft = &self.drafts[last];
        draft.withdrawn.is_none()
            && draft.sentence + 1 == index
            && draft.place == self.place
            && (self.supposes(&(scene.from..scene.sentence.tokens.end), defect)
                || self.its_part_fails(draft, scene))
    }

    /// *The lead's not dressed down, **it**'s sticking up*: the clause speaks of what the sentence spoke
    /// of before.
    pub(super) fn refers_back(
        &self,
        scene: &Scene<'_>,
        clause: &Range<usize>,
        defect: &Piece,
        current: &Draft,
    ) -> bool {
        // "The tub's cracked, and the fan's barely, well, it isn't moving": of the fan.
        let between = current.defects[0].tokens.end..clause.start;
        let other = self
            .kinds_in(&between, PieceKind::Element)
            .into_iter()
            .map(|i| scene.noun(i))
            .any(|noun| !scene.in_phrase(&noun) && noun.tokens.start > between.start);
        !other && !scene.has_subject(clause, defect) && self.pronoun(clause).is_some()
    }

    /// *loose in the box, **wiggles when you plug it***: the fault opens the clause, and no thing stands
    /// right behind it. *a fog in the glass, **that seal's** gone*: pointed at as its cause.
    pub(super) fn goes_on(&self, clause: &Range<usize>, defect: &Piece, choice: &Choice) -> bool {
        let mut said = clause.clone().filter(|&at| !opener(self.word(at)));
        let first = said.next().unwrap_or(clause.start);
        let behind = choice
            .here
            .as_ref()
            .is_none_or(|here| here.start > defect.tokens.end);
        // "Two blown screws, bulging through the paint" too.
        let does = self.word(defect.tokens.start);
        let verb = does.ends_with('s') && !does.ends_with("ss") || does.ends_with("ing");
        let opens = first == defect.tokens.start && verb && behind;
        let pointed = matches!(self.word(first), "that" | "those")
            && choice
                .here
                .as_ref()
                .is_some_and(|here| here.start == first + 1);
        opens || pointed
    }

    /// *dropped at one side, **three mil out of line***: a figure opens the clause, and names no thing.
    pub(super) fn only_measured(&self, clause: &Range<usize>, defect: &Piece) -> bool {
        let before = clause.start..defect.tokens.start;
        let mut said = before.clone().filter(|&at| !opener(self.word(at)));
        let opens = said.next().and_then(|at| self.reading.piece_at(at));
        opens.is_some_and(|p| p.kind == PieceKind::Measure)
            && self.kinds_in(&before, PieceKind::Element).is_empty()
    }

    /// *on the other one*, *next one along*: another thing of the same kind.
    pub(super) fn elsewhere(&self, range: &Range<usize>) -> bool {
        range.clone().any(|t| {
            let which = class(self.word(t)) == Class::Position
                && self
                    .reading
                    .tokens
                    .get(t + 1)
                    .is_some_and(|n| matches!(n.norm.as_str(), "one" | "ones"));
            // "The one above it".
            let beside = self.word(t) == "one"
                && t.checked_sub(1).is_some_and(|b| self.word(b) == "the")
                && self.reading.tokens.get(t + 1).is_some_and(|n| {
                    matches!(
                        n.norm.as_str(),
                        "above" | "below" | "beside" | "next" | "behind" | "under" | "underneath"
                    )
                });
            which
                || beside
                || matches!(self.word(t), "other" | "next" | "second" | "third" | "last")
                    && self.reading.tokens.get(t + 1).is_some_and(|n| {
                        matches!(n.norm.as_str(), "one" | "ones" | "side" | "door" | "window")
                    })
        })
    }

    /// *And a cracked **one** by the vent*: not the thing that was spoken of, but one like it.
    pub(super) fn another(&self, defect: &Piece) -> bool {
        let one = self
            .reading
            .tokens
            .get(defect.tokens.end)
            .is_some_and(|t| matches!(t.norm.as_str(), "one" | "ones"));
        let before = defect
            .tokens
            .start
            .checked_sub(1)
            .map_or("", |at| self.word(at));
        one && matches!(
            before,
            "a" | "an" | "another" | "more" | "other" | "few" | "some" | "two" | "three"
        )
    }
}
