//! What becomes of a fault: an item of its own, more of one that is there, a remark, or nothing.

use super::{REACH, Walk};
use crate::items::draft::{Draft, Named};
use crate::items::pair::{Choice, wants_object};
use crate::items::position::A_PART;
use crate::items::scene::Scene;
use crate::lexicon::TermId;
use crate::statements::faults::MISSING;
use crate::statements::grammar::{Class, class, opener};
use crate::statements::piece::{Piece, PieceKind};
use crate::statements::sentence::Join;
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

/// Below this probability of any word of its clause a thing in the speaker's own words may as well be
/// misheard.
const HEARD_WELL: f32 = 0.6;

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
    /// It makes an item of its own.
    Itself,
    /// It says more of this item.
    To(usize),
    /// It only says what came of this item.
    Remark(usize),
    /// It makes nothing, and why where that is worth telling.
    Nowhere(Option<&'static str>),
}

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
        let weak = self.weak(defect) && (choice.carried || own_words && !here);
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

    /// True for a fault whose wording is an everyday word.
    pub(super) fn weak(&self, defect: &Piece) -> bool {
        defect.tokens.len() < FEW_WORDS && defect.term.is_some_and(|t| self.lexicon.defect(t).weak)
    }

    pub(super) fn belongs(
        &self,
        index: usize,
        scene: &Scene<'_>,
        defect: &Piece,
        choice: &Choice,
        clause: &Range<usize>,
        made_from: usize,
    ) -> Belongs {
        let same = |d: &Draft| d.element.tokens == choice.element.tokens;
        let made = &self.drafts[made_from..];
        if let Some(current) = made.len().checked_sub(1) {
            // "…, where the porch roof hits the wall": only says where.
            if self.consequence(clause) || self.word(clause.start) == "where" {
                return Belongs::Nowhere(None);
            }
            if self.shows(scene, clause) {
                return Belongs::Remark(made_from + current);
            }
            if self.refers_back(scene, clause, defect, &made[current]) {
                return Belongs::To(made_from + current);
            }
            if self.brought_about(&made[current], defect, choice) {
                return Belongs::Remark(made_from + current);
            }
            let fault = &made[current].defects[0].tokens;
            let between = fault.end..defect.tokens.start;
            if clause.contains(&fault.start)
                && fault.end <= defect.tokens.start
                && choice
                    .here
                    .as_ref()
                    .is_none_or(|here| here.end <= fault.start)
                && !between
                    .clone()
                    .any(|at| matches!(self.word(at), "and" | "or"))
            {
                return Belongs::To(made_from + current);
            }
            if self.apart(&made[current], clause, defect) {
                return Belongs::Itself;
            }
            let twin = made.iter().position(same).filter(|_| choice.here.is_some());
            return match twin {
                Some(at) => Belongs::To(made_from + at),
                None if self.aside(scene, defect, choice, clause, &made[current]) => {
                    Belongs::To(made_from + current)
                }
                None => Belongs::Itself,
            };
        }
        let before = self.drafts.len().checked_sub(1);
        if let Some(last) = before.filter(|&last| self.explains(index, last, scene, defect)) {
            return Belongs::To(last);
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
        if choice.carried {
            let elsewhere =
                self.elsewhere(&(scene.from..defect.tokens.start)) || self.another(defect);
            let last = self.drafts.last().filter(|d| {
                !elsewhere && d.withdrawn.is_none() && index - d.sentence <= REACH && same(d)
            });
            return match last {
                Some(_) => Belongs::To(self.drafts.len() - 1),
                None if self.weak(defect) && !wants_object(&self.reading.tokens, defect) => {
                    Belongs::Nowhere(None)
                }
                None => Belongs::Itself,
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
        Belongs::Itself
    }

    /// *They've missed a coat, **you can see the** primer*, *on back to front, **look**, the screws are
    /// showing*: what shows the fault that was just named.
    fn shows(&self, scene: &Scene<'_>, clause: &Range<usize>) -> bool {
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
        said == ["you", "can", "see", "the"] || left || look
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

    /// True for a fault that stands apart from the sentence's item even on the same thing: what puts
    /// the first right was said before (*door's rubbing, plane it, and the edge isn't painted*), or
    /// both are counted or placed by themselves (*a seam down the wall, and four pops over the
    /// fireplace*).
    pub(super) fn apart(&self, current: &Draft, clause: &Range<usize>, defect: &Piece) -> bool {
        let fault = &current.defects[0].tokens;
        let between = fault.end..defect.tokens.start;
        let remedied = self
            .reading
            .within(&between)
            .any(|i| self.reading.pieces[i].kind == PieceKind::Remedy);
        let counted = defect
            .tokens
            .start
            .checked_sub(1)
            .filter(|at| clause.contains(at))
            .is_some_and(|at| class(self.word(at)) == Class::Number);
        let placed = |range: &Range<usize>, fault: &Range<usize>| {
            (fault.end..range.end).any(|at| class(self.word(at)) == Class::Preposition)
        };
        let first = current.clauses.iter().find(|c| c.contains(&fault.start));
        let other_clause = !clause.contains(&fault.start);
        other_clause
            && (remedied
                || counted
                    && placed(clause, &defect.tokens)
                    && first.is_some_and(|first| placed(first, fault)))
    }

    /// *… isn't moving, **so I'd say** the duct's not connected*: what the speaker takes for the cause.
    pub(super) fn supposes(&self, clause: &Range<usize>, defect: &Piece) -> bool {
        let hedge = self
            .phrase(clause, "hedge")
            .is_some_and(|i| self.reading.pieces[i].tokens.start < defect.tokens.start);
        // "My guess is the batten's loose", "Perhaps the pipe isn't lagged".
        let guesses = matches!(self.word(clause.start), "perhaps")
            || self.word(clause.start) == "my" && self.word(clause.start + 1) == "guess";
        // A clause begins behind the word that joins it.
        let so = |at: usize| self.word(at) == "so";
        hedge && (guesses || so(clause.start) || clause.start.checked_sub(1).is_some_and(so))
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
            && self.supposes(&(scene.from..scene.sentence.tokens.end), defect)
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

    /// True where the clause only says more of the sentence's item: a reason, a figure, *no fire
    /// stopping* after *there's a hole*.
    pub(super) fn aside(
        &self,
        scene: &Scene<'_>,
        defect: &Piece,
        choice: &Choice,
        clause: &Range<usize>,
        current: &Draft,
    ) -> bool {
        let clauses = &scene.sentence.clauses;
        let join = clauses
            .iter()
            .rfind(|c| c.tokens.start <= defect.tokens.start)
            .map(|c| c.join);
        let own_element = scene
            .pieces(PieceKind::Element)
            .into_iter()
            .any(|i| clause.contains(&self.reading.pieces[i].tokens.start));
        let with_no = wants_object(&self.reading.tokens, defect)
            && current.defects[0].text != MISSING
            && (join == Some(Join::Comma)
                || matches!(self.word(defect.tokens.start), "with" | "without"));
        let figure = defect.term.is_none()
            && (defect.text.starts_with("too ") || defect.text.starts_with("gap too "));
        // "…, because the unit's leaning": a cause is no fault of its own.
        let because = clause
            .start
            .checked_sub(1)
            .is_some_and(|at| matches!(self.word(at), "because" | "cos"));
        let reason = join == Some(Join::So) && (!own_element || because);
        let loose_words = choice.element.term.is_none() && join != Some(Join::And);
        let cause = self.supposes(clause, defect);
        // "Bath panel flapping, bottom edge unfixed".
        let of_it = join == Some(Join::Comma) && A_PART.contains(&choice.element.text.as_str());
        with_no
            || self.part_gone(choice, current, join)
            || of_it
            || self.only_measured(clause, defect)
            || self.goes_on(clause, defect, choice)
            || figure
            || cause
            || reason
            || choice.carried
            || loose_words
    }

    /// *door won't shut, **hinge is bent***: what is wrong with a part is why the whole fails.
    fn part_gone(&self, choice: &Choice, current: &Draft, join: Option<Join>) -> bool {
        let fault = &current.defects[0].text;
        let fails = [
            "will not",
            "won't",
            "does not",
            "not ",
            "come off",
            "comes off",
        ]
        .iter()
        .any(|start| fault.starts_with(start));
        let whole = current.element.term;
        let part = choice.element.term.is_some_and(|part| {
            let of = &self.lexicon.element(part).part_of;
            let whole_name = current.element.text.as_str();
            // A hinge is part of a door, and a larder unit door is one.
            let names = |of: &TermId| whole_name.ends_with(self.lexicon.name(*of));
            whole.is_some() && of.iter().any(names)
        });
        fails && part && join == Some(Join::Comma)
    }

    /// *loose in the box, **wiggles when you plug it***: the fault opens the clause, and no thing stands
    /// right behind it. *a fog in the glass, **that seal's** gone*: pointed at as its cause.
    fn goes_on(&self, clause: &Range<usize>, defect: &Piece, choice: &Choice) -> bool {
        let mut said = clause.clone().filter(|&at| !opener(self.word(at)));
        let first = said.next().unwrap_or(clause.start);
        let behind = choice
            .here
            .as_ref()
            .is_none_or(|here| here.start > defect.tokens.end);
        let verb = self.word(defect.tokens.start).ends_with('s')
            && !self.word(defect.tokens.start).ends_with("ss");
        let opens = first == defect.tokens.start && verb && behind;
        let pointed = matches!(self.word(first), "that" | "those")
            && choice
                .here
                .as_ref()
                .is_some_and(|here| here.start == first + 1);
        opens || pointed
    }

    /// *dropped at one side, **three mil out of line***: a figure opens the clause, and names no thing.
    fn only_measured(&self, clause: &Range<usize>, defect: &Piece) -> bool {
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
            which
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
