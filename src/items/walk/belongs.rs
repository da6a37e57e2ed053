//! What becomes of a fault: an item of its own, more of one that is there, a remark, or nothing.

use super::joining::Further;
use super::{REACH, Walk};
use crate::items::draft::{Draft, Named};
use crate::items::pair::{Choice, wants_object};
use crate::items::scene::Scene;
use crate::statements::faults::HEARD_WELL;
use crate::statements::grammar::{Class, class, opener};
use crate::statements::piece::{Piece, PieceKind};
use std::ops::Range;

/// How the faults begin that are told by the shape of the words alone; with an element in the
/// speaker's own words they still make an item.
const FAULT_SHAPES: &[&str] = &[
    "not ",
    "too ",
    "gap too ",
    "will not ",
    "does not ",
    "cannot ",
    "out of ",
    "full of ",
    "left ",
    "needs ",
    "nothing ",
    "only ",
    "stops ",
    "forgot to ",
    "been ",
    "un",
];

/// How many tokens may stand between a thing and an everyday word for its fault.
const NEAR: usize = 3;

/// From so many words on a wording says enough by itself, though its fault has everyday ones too.
const FEW_WORDS: usize = 3;

/// The groups of things that are not meant to move.
const STANDS_STILL: &[&str] = &[
    "stair",
    "structure",
    "fence",
    "masonry",
    "cladding",
    "roof",
    "roofline",
    "trim",
    "sanitary",
    "paving",
    "leadwork",
    "render",
    "tiling",
    "floor",
    "plaster",
];

/// What becomes of a fault.
pub(super) enum Belongs {
    /// It makes an item of its own; with how likely it says more of one that is there, from 0 to 1.
    Itself(f64),
    /// It says more of this item.
    To(usize),
    /// It only says what came of this item.
    Remark(usize),
    /// It makes nothing, and why where that is worth telling.
    Nowhere(Option<&'static str>),
}

/// What is spoken of on a walk-round, and is no part of the house.
#[rustfmt::skip]
const NO_PARTS: &[&str] = &[
    "dog", "van", "lorry", "truck", "car", "houses", "neighbour", "neighbours", "phone", "torch", "cat", "bird",
    "pigeon", "pigeons", "gull", "seagull",
];

impl Walk<'_> {
    /// An everyday word is a fault only of a thing that the sentence names; and after *same again*
    /// the fault is the earlier one, unless this one has a thing of its own.
    pub(super) fn unsupported(
        &self,
        defect: &Piece,
        choice: &Choice,
        clause: &Range<usize>,
        repeats: bool,
    ) -> bool {
        let own_words = choice.element.term.is_none();
        let here = choice
            .here
            .as_ref()
            .is_some_and(|h| clause.contains(&h.start));
        // "That's jammed too": as it was said of the last one.
        let weak = self.weak(defect) && !self.just_told(defect);
        let weak = weak && (choice.carried || own_words && !here);
        let absent = own_words && wants_object(&self.reading.tokens, defect);
        // The thing is told by the words of the fault alone: *same thing, won't **lock** either*.
        let implied = choice
            .here
            .as_ref()
            .is_some_and(|here| defect.tokens.start <= here.start && here.end <= defect.tokens.end);
        // A guess counts only of a listed thing that stands in the same clause.
        let loose = defect.guessed && (choice.carried || own_words || !here);
        weak || loose
            || repeats && (choice.carried || absent || implied)
            || self.steady(defect, choice)
    }

    /// *The balustrade doesn't budge*: praise of what is meant to stand still.
    pub(super) fn steady(&self, defect: &Piece, choice: &Choice) -> bool {
        let still = [
            "not budge",
            "not move",
            "not shift",
            "not give",
            "not flex",
            "not moving",
        ]
        .iter()
        .any(|end| defect.text.ends_with(end));
        still
            && choice.element.term.is_some_and(|element| {
                let group = self.lexicon.element(element).group;
                STANDS_STILL.contains(&self.lexicon.group(group).name.as_str())
            })
    }

    /// *The **boot scraper**'s loose*: in words that were heard well, a thing that opens its clause, with
    /// the fault said of it outright.
    pub(super) fn subject_of(
        &self,
        here: &Range<usize>,
        clause: &Range<usize>,
        defect: &Piece,
    ) -> bool {
        let opens = (clause.start..here.start)
            .all(|at| opener(self.word(at)) || class(self.word(at)) != Class::Open);
        let between = here.end..defect.tokens.start;
        let verb = between
            .clone()
            .any(|at| matches!(self.word(at), "'s" | "is" | "are" | "has" | "have" | "was"));
        let sure = clause
            .clone()
            .all(|at| self.reading.tokens[at].probability >= HEARD_WELL);
        opens && verb && between.len() <= NEAR && sure
    }

    /// *The radiator is loose, **one bracket** has come away*, *the brick's chipped, **the whole corner** has gone*:
    /// a clause about a part of what was spoken of; but in a list (*…, one spindle is loose, and the bottom tread
    /// creaks*) it stands beside it.
    pub(super) fn part_of_it(&self, clause: &Range<usize>) -> bool {
        let at = clause.start;
        let whole = self.word(at) == "the" && self.word(at + 1) == "whole";
        let one = self.word(at) == "one" && class(self.word(at + 1)) == Class::Open;
        (whole || one)
            && (at + 2..clause.end.min(at + 5))
                .any(|at| matches!(self.word(at), "has" | "is" | "'s"))
            && !matches!(self.word(at.saturating_sub(1)), "and" | "but")
            && self.word(clause.end) != "and"
    }

    /// *Tiles. **Two cracked, one hollow***: a fault of so many of the things that were named before.
    pub(super) fn told_off(&self, fault: &Range<usize>) -> bool {
        let plain = |at: usize| class(self.word(at)) != Class::Open;
        self.counted(fault)
            .is_some_and(|number| (number + 1..fault.start).all(plain))
    }

    /// Returns the number with which the clause of a fault opens. But *two scratches* counts faults, *two mil
    /// out* measures.
    fn counted(&self, fault: &Range<usize>) -> Option<usize> {
        let mut clauses = self.reading.sentence_at(fault.start)?.clauses.iter();
        let clause = clauses.find(|c| c.tokens.contains(&fault.start))?;
        let lead = |at: &usize| opener(self.word(*at)) || self.word(*at) == "and";
        let first = clause.tokens.clone().find(|at| !lead(at))?;
        let number = self.word(first) == "one" || class(self.word(first)) == Class::Number;
        let counts_faults = fault.start == first + 1 && self.word(fault.end - 1).ends_with('s');
        let measured = !self
            .kinds_in(&(first..first + 1), PieceKind::Measure)
            .is_empty();
        (number && first < fault.start && !counts_faults && !measured).then_some(first)
    }

    /// *Two tiles cracked, **one hollow***: true where two faults are told off one after the other; but *one's
    /// loose, two's loose* counts up.
    pub(super) fn of_others(&self, fault: &Piece, earlier: &Named) -> bool {
        fault.text != earlier.text
            && self.told_off(&fault.tokens)
            && self.counted(&earlier.tokens).is_some()
    }

    /// True for a fault that the last item has as well.
    pub(super) fn just_told(&self, defect: &Piece) -> bool {
        let last = self.drafts.last().map(|d| d.defects[0].term);
        defect.term.is_some() && last == Some(defect.term)
    }

    /// True for a fault whose wording is an everyday word.
    pub(super) fn weak(&self, defect: &Piece) -> bool {
        defect.tokens.len() < FEW_WORDS && defect.term.is_some_and(|t| self.lexicon.defect(t).weak)
    }

    pub(super) fn belongs(
        &mut self,
        index: usize,
        scene: &Scene<'_>,
        defect: &Piece,
        choice: &Choice,
        clause: &Range<usize>,
        made_from: usize,
    ) -> Belongs {
        let same = |d: &Draft| d.element.tokens == choice.element.tokens;
        if self.drafts.len() > made_from {
            let further = Further {
                scene,
                defect,
                choice,
                clause,
            };
            return self.beside(&further, made_from);
        }
        let before = self.drafts.len().checked_sub(1);
        if let Some(last) = before.filter(|&last| self.explains(index, last, scene, defect)) {
            return Belongs::To(last);
        }
        if let Some(last) = before.filter(|_| self.answers_which(index, scene)) {
            return Belongs::Remark(last);
        }
        let own_words = choice.element.term.is_none();
        // "My knee's stiff" is no part of the house.
        let somebodys = choice
            .element
            .tokens
            .start
            .checked_sub(1)
            .is_some_and(|before| {
                matches!(self.word(before), "my" | "your" | "his" | "her" | "our")
            });
        if own_words && somebodys {
            return Belongs::Nowhere(Some("about a person"));
        }
        // "The dog next door won't stop barking", "new houses always get a few cracks".
        let last = choice.element.text.rsplit(' ').next().unwrap_or_default();
        if own_words && NO_PARTS.contains(&last) {
            return Belongs::Nowhere(Some("about no part of the house"));
        }
        if choice.carried {
            let elsewhere =
                self.elsewhere(&(scene.from..defect.tokens.start)) || self.another(defect);
            let last = self.drafts.last();
            let others = last.is_some_and(|d| self.of_others(defect, &d.defects[0]));
            let anew = scene.there_is(clause, defect) || others;
            let last = self.drafts.last().filter(|d| {
                !elsewhere
                    && !anew
                    && d.withdrawn.is_none()
                    && d.place == self.place
                    && index - d.sentence <= REACH
                    && same(d)
            });
            return match last {
                Some(_) => Belongs::To(self.drafts.len() - 1),
                None if self.weak(defect)
                    && !self.just_told(defect)
                    && !wants_object(&self.reading.tokens, defect) =>
                {
                    Belongs::Nowhere(None)
                }
                None => Belongs::Itself(0.0),
            };
        }
        let shape = FAULT_SHAPES.iter().any(|s| defect.text.starts_with(s));
        let subject = choice
            .here
            .as_ref()
            .is_some_and(|here| self.place != usize::MAX && self.subject_of(here, clause, defect));
        if own_words && !shape && (defect.term.is_none() || self.weak(defect) && !subject) {
            return Belongs::Nowhere(Some("neither element nor defect known"));
        }
        Belongs::Itself(0.0)
    }
}
