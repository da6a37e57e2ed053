//! *The skirting needs caulking*: work that a thing wants, with no fault named. *Fail.*: a verdict with
//! none named.

use super::joining::{SMALL_PARTS, last_word};
use super::ordered::REMEDY_REACH;
use super::{REACH, Walk};
use crate::items::draft::Named;
use crate::items::pair::Choice;
use crate::items::scene::Scene;
use crate::lexicon::TermId;
use crate::statements::grammar::{Class, class, opener};
use crate::statements::piece::{Piece, PieceKind};
use crate::statements::sentence::Join;
use std::ops::Range;

/// Verbs that say that a thing lacks some work.
pub(super) const WANTS: &[&str] = &[
    "needs", "need", "wants", "want", "requires", "require", "could", "should",
];

/// *I **want** this wall repainting*.
const WISHES: &[&str] = &["want", "like", "need"];

impl Walk<'_> {
    /// *The skirting **needs caulking***: with no fault named, the work that a thing wants is the fault.
    pub(super) fn wanting(&mut self, index: usize, scene: &Scene<'_>) {
        let reading = self.reading;
        // "Nothing wrong with the bed, but the mirror wants cleaning".
        let mut clauses = scene.sentence.clauses.iter();
        let but = clauses.rfind(|c| c.join == Join::But && c.tokens.start >= scene.from);
        let from = but.map_or(scene.from, |but| but.tokens.start);
        let rest = from..scene.sentence.tokens.end;
        let idle = [
            "positive",
            "hypothetical",
            "withdrawal",
            "question",
            "chat",
            "recap",
        ]
        .iter()
        .any(|kind| self.phrase(&rest, kind).is_some());
        // "The back of the door wants painting" names no place, "by the bed" only says where.
        let places = self.kinds_in(&rest, PieceKind::Place).into_iter();
        let beside = |at: usize| {
            let at = at - usize::from(class(self.word(at - 1)) == Class::Determiner);
            class(self.word(at - 1)) == Class::Preposition
        };
        let elsewhere = places
            .map(|place| &reading.pieces[place].tokens)
            .any(|place| {
                self.word(place.end) != "of" && !(place.start > from + 1 && beside(place.start))
            });
        if self.place == usize::MAX || idle || elsewhere || scene.sentence.question {
            return;
        }
        let wanted = self
            .kinds_in(&rest, PieceKind::Remedy)
            .into_iter()
            .find_map(|remedy| {
                let work = &reading.pieces[remedy].tokens;
                let clause = scene.clause(work.start);
                // "Insulation's one fifty here and three hundred there, so *that* wants topping up".
                let pronoun = self.pronoun(&clause).is_some();
                let named = scene.things().find(|(_, noun)| {
                    (clause.contains(&noun.tokens.start) || pronoun)
                        && noun.tokens.end <= work.start + 1
                        && !scene.in_phrase(noun)
                });
                let told = named.map(|(piece, noun)| {
                    let start = scene.phrase_start(&noun);
                    let wished = start > clause.start
                        && noun.tokens.end == work.start
                        && WISHES.contains(&self.word(start - 1));
                    (Choice::at(&reading.pieces[piece], noun), wished)
                });
                // "The **hinge needs adjusting**": a wording of the work.
                let inside = || {
                    let thing = reading.elements_within(work).first()?;
                    let choice = Choice::alone(Named::of(thing), thing.tokens.clone());
                    (thing.tokens.start == work.start).then_some((choice, false))
                };
                let (choice, wished) = told.or_else(inside)?;
                let end = choice.here.as_ref().map_or(work.start, |here| here.end);
                let verb = (end.max(clause.start)..work.end)
                    .find(|&at| WANTS.contains(&self.word(at)))
                    .or(wished.then_some(work.start))?;
                let denied = matches!(self.word(verb - 1), "not" | "never");
                (!denied).then_some((remedy, choice, verb..work.end))
            });
        let Some((remedy, choice, fault)) = wanted else {
            self.work_ordered(index, scene);
            return;
        };
        let term = choice.element.term;
        let last = self.drafts.last();
        let spoken_of = last.is_some_and(|d| index - d.sentence <= REACH && d.element.term == term);
        if spoken_of || term.is_none() {
            return;
        }
        let words: Vec<&str> = fault.clone().map(|at| self.word(at)).collect();
        let defect = Piece::own_words(PieceKind::Defect, fault, words.join(" "));
        let work = &reading.pieces[remedy];
        let (work, term) = (
            work.tokens.start..scene.clause(work.tokens.start).end,
            work.term,
        );
        for choice in scene.listed(&defect, choice) {
            self.make_of_work(index, scene, (work.clone(), term), &defect, choice);
        }
    }

    /// *The latch won't catch. **So the keep wants adjusting.*** *It never stops running. **Fill valve wants changing.***:
    /// the work on what was told just before. True if it is.
    pub(super) fn wanted_for_last(&mut self, index: usize, scene: &Scene<'_>) -> bool {
        let rest = scene.from..scene.sentence.tokens.end;
        let concludes = self.word(rest.start) == "so";
        let remedies = self.kinds_in(&rest, PieceKind::Remedy);
        let Some(&remedy) = remedies.first() else {
            return false;
        };
        let work = &self.reading.pieces[remedy];
        let thing = scene
            .things()
            .find(|(_, noun)| noun.tokens.end <= work.tokens.start + 1 && !scene.in_phrase(noun));
        let Some((_, noun)) = thing else {
            return false;
        };
        let bare = class(self.word(scene.phrase_start(&noun))) != Class::Determiner;
        let name = last_word(&noun.text);
        let part = SMALL_PARTS.contains(&name)
            || matches!(name, "valve" | "cartridge" | "roller" | "rollers");
        let wants = (noun.tokens.end..work.tokens.end).any(|at| WANTS.contains(&self.word(at)));
        let faults = !self.kinds_in(&rest, PieceKind::Defect).is_empty();
        let Some(last) = self.drafts.last_mut().filter(|last| {
            let later = index - last.sentence;
            let near = concludes && later <= REMEDY_REACH || bare && part && later == 1;
            near && wants && !faults && last.place == self.place && last.withdrawn.is_none()
        }) else {
            return false;
        };
        last.remedies.push((rest.clone(), work.term));
        last.cover(&rest);
        true
    }

    /// Makes an item of work that a thing wants, with the words of that, to the end of their clause, and what the
    /// lexicon has for them for its remedy.
    pub(super) fn make_of_work(
        &mut self,
        index: usize,
        scene: &Scene<'_>,
        work: (Range<usize>, Option<TermId>),
        defect: &Piece,
        choice: Choice,
    ) {
        let clause = scene.clause(work.0.start);
        self.make(index, scene, defect, choice, None, &clause);
        if let Some(draft) = self.drafts.last_mut() {
            draft.remedies.push(work);
        }
    }
}

/// Words of a verdict that something is not good enough.
const FAILS: &[&str] = &["fail", "fails", "failed", "failure"];

/// How many sentences after its thing such a verdict may stand: *Cooker hood. Nineteen litres a second.
/// Minimum's thirty. **Fail.***
const VERDICT_REACH: usize = 2 * REACH;

impl Walk<'_> {
    /// ***Fail.***: the verdict alone on what was spoken of and measured last.
    pub(super) fn fails(&mut self, index: usize, scene: &Scene<'_>) {
        let rest = scene.from..scene.sentence.tokens.end;
        let light = |word: &str| opener(word) || matches!(word, "that" | "'s" | "is" | "it" | "a");
        let mut said = rest.clone().filter(|&at| !light(self.word(at)));
        let (Some(at), None) = (said.next(), said.next()) else {
            return;
        };
        let Some((last, spoken)) = self.last.clone().filter(|_| FAILS.contains(&self.word(at)))
        else {
            return;
        };
        let listed = self.drafts.last().is_some_and(|d| d.sentence >= spoken);
        if listed || index - spoken > VERDICT_REACH || self.place == usize::MAX {
            return;
        }
        let defect = Piece::own_words(PieceKind::Defect, at..at + 1, "fails".into());
        let choice = Choice::carried(last);
        self.make(index, scene, &defect, choice, None, &rest);
        let since = self.reading.sentences[spoken].tokens.start..rest.start;
        let measured = self.kinds_in(&since, PieceKind::Measure).first().copied();
        if let Some(draft) = self.drafts.last_mut() {
            let figure = measured.map(|m| self.reading.pieces[m].value as usize);
            draft.measures.extend(figure);
            draft.cover(&since);
        }
    }
}
