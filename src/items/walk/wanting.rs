//! *The skirting needs caulking*: work that a thing wants, with no fault named. *Fail.*: a verdict with
//! none named.

use super::{REACH, Walk};
use crate::items::draft::Named;
use crate::items::pair::Choice;
use crate::items::scene::Scene;
use crate::lexicon::Kind;
use crate::statements::grammar::{Class, class, opener, participle};
use crate::statements::piece::{Piece, PieceKind};
use crate::statements::sentence::Join;

/// Verbs that say that a thing lacks some work.
const WANTS: &[&str] = &[
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
        // "The back of the door wants painting" names no place.
        let places = self.kinds_in(&rest, PieceKind::Place).into_iter();
        let elsewhere = places
            .map(|place| reading.pieces[place].tokens.end)
            .any(|end| self.word(end) != "of");
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
        self.make_of_work(index, scene, remedy, &defect, choice);
    }

    /// Makes an item of work that a thing wants, with that for its remedy.
    fn make_of_work(
        &mut self,
        index: usize,
        scene: &Scene<'_>,
        remedy: usize,
        defect: &Piece,
        choice: Choice,
    ) {
        let work = &self.reading.pieces[remedy];
        let clause = scene.clause(work.tokens.start);
        self.make(index, scene, defect, choice, None, &clause);
        if let Some(draft) = self.drafts.last_mut() {
            draft
                .remedies
                .push((work.tokens.start..clause.end, work.term));
        }
    }
}

/// A fault of which only the work is told: its name in the lexicon, and as lists show it.
const ATTENTION: (&str, &str) = ("wants attention", "needs attention");

/// So many sentences behind an item an order may still be about it.
const REMEDY_REACH: usize = 3;

/// Words before an order that tell nobody's doing: ***can we get** the joiner **to** ease the door*.
#[rustfmt::skip]
const ASKS: &[&str] = &[
    "to", "please", "needs", "need", "should", "can", "could", "get", "we", "you", "they", "somebody", "someone",
];

impl Walk<'_> {
    /// ***Joiner to ease the door.*** ***Replace the cracked tile.***: with nothing told before, the work tells that
    /// something is wrong with a thing.
    fn work_ordered(&mut self, index: usize, scene: &Scene<'_>) {
        let reading = self.reading;
        // "Joiner to ease the door. Replace the cracked tile.": one order after the other.
        let just_told = self.drafts.last().is_some_and(|last| {
            let ordered = last.defects[0].text == ATTENTION.1;
            let near = last.sentence + REMEDY_REACH >= index && last.place == self.place;
            near && !ordered
        });
        let Some(remedy) = scene.pieces(PieceKind::Remedy).first().copied() else {
            return;
        };
        let work = &reading.pieces[remedy].tokens;
        let clause = scene.clause(work.start);
        let asked = (scene.from..work.start).all(|at| {
            let trade = reading
                .piece_at(at)
                .is_some_and(|p| p.kind == PieceKind::Trade);
            let word = self.word(at);
            trade || opener(word) || ASKS.contains(&word) || class(word) == Class::Determiner
        });
        // "Replaced the tile": it is done. "Wants ducting to outside": of what was named before.
        let verb = self.word(work.start);
        let order = asked && !participle(verb) && !verb.ends_with("ing") && !WANTS.contains(&verb);
        // "Ease **the door**", "touch up the **ceiling**".
        let things = reading.elements_within(&(work.start + 1..clause.end));
        let Some(thing) = things.first().filter(|_| order && !just_told) else {
            return;
        };
        let mut lead = work.start..thing.tokens.start;
        if !lead
            .clone()
            .any(|at| class(self.word(at)) == Class::Determiner)
        {
            return;
        }
        let choice = Choice::alone(Named::of(thing), thing.tokens.clone());
        // "Replace the **cracked** tile".
        let described = lead.find_map(|at| {
            let term = self.lexicon.find(Kind::Defect, self.word(at))?;
            Some((term, at..at + 1, self.word(at)))
        });
        let attention = || {
            let term = self.lexicon.find(Kind::Defect, ATTENTION.0)?;
            Some((term, work.clone(), ATTENTION.1))
        };
        let Some((term, tokens, text)) = described.or_else(attention) else {
            return;
        };
        let defect = Piece {
            term: Some(term),
            ..Piece::own_words(PieceKind::Defect, tokens, text.to_owned())
        };
        self.make_of_work(index, scene, remedy, &defect, choice);
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
