//! Faults that are only answered: *Man door's supposed to shut itself. **It does not.*** *Doorbell. **Nothing.***

use super::Walk;
use crate::items::draft::Named;
use crate::items::pair::Choice;
use crate::items::scene::Scene;
use crate::lexicon::Kind;
use crate::statements::faults::MISSING;
use crate::statements::grammar::{Class, class, opener};
use crate::statements::piece::{Piece, PieceKind};
use std::ops::Range;

/// The lexicon's name of what *nothing* says of a thing that was tried.
const NOT_WORKING: &str = "not working";

/// Groups of things that one tries.
#[rustfmt::skip]
const TRIED: &[&str] = &["electrical", "alarm", "ventilation", "heating", "sanitary", "plumbing", "services", "kitchen", "common"];

/// What one does to try a thing, or has somebody do: ***press** the smoke alarm **for me**. Nothing.*
#[rustfmt::skip]
const TRYING: &[&str] = &[
    "press", "push", "try", "test", "flick", "switch", "turn", "hit", "hold", "pressing", "pushing", "trying", "testing",
    "on", "for", "me", "again", "now",
];

/// The most words of what a thing ought to do.
const LONGEST_DUTY: usize = 6;

impl Walk<'_> {
    /// Makes an item where a sentence answers what the one before it left open.
    pub(super) fn short_answer(&mut self, index: usize, scene: &Scene<'_>) {
        if self.place == usize::MAX {
            return;
        }
        let rest = scene.from..scene.sentence.tokens.end;
        let made = self
            .fails_its_duty(index, &rest)
            .or_else(|| self.asked_in_vain(index, &rest))
            .or_else(|| self.nothing_happens(index, scene, &rest))
            .or_else(|| self.what_thing(scene, &rest));
        let Some((thing, fault, said)) = made else {
            return;
        };
        self.make(index, scene, &fault, Choice::carried(thing), None, &rest);
        if let Some(draft) = self.drafts.last_mut() {
            draft.cover(&said);
        }
    }

    /// *This should shut on its own. **It does not.***
    fn fails_its_duty(
        &self,
        index: usize,
        rest: &Range<usize>,
    ) -> Option<(Named, Piece, Range<usize>)> {
        let light =
            |word: &str| opener(word) || matches!(word, "no" | "nope" | "but" | "and" | "well");
        let said: Vec<&str> = rest
            .clone()
            .map(|at| self.word(at))
            .filter(|word| !light(word))
            .collect();
        let denies = matches!(
            said[..],
            [
                "it" | "they" | "this" | "that" | "he",
                "does" | "do" | "did",
                "not"
            ]
        );
        let before = denies.then(|| index.checked_sub(1))??;
        let asked = &self.reading.sentences[before];
        let own = asked.tokens.clone();
        let listed = self.drafts.last().is_some_and(|d| d.sentence == before);
        if listed || !self.kinds_in(&own, PieceKind::Defect).is_empty() {
            return None;
        }
        let duty = own
            .clone()
            .find_map(|at| match (self.word(at), self.word(at + 1)) {
                ("should", _) => Some(at + 1),
                ("supposed" | "meant" | "ought" | "has" | "have", "to") => Some(at + 2),
                _ => None,
            })?;
        let thing = self.named_first(&(own.start..duty))?;
        let clause = asked
            .clauses
            .iter()
            .find(|clause| clause.tokens.contains(&duty))?;
        let duty = duty..clause.tokens.end.min(duty + LONGEST_DUTY);
        let fault = Piece::own_words(
            PieceKind::Defect,
            rest.clone(),
            format!("does not {}", self.text(&duty)),
        );
        Some((thing, fault, own))
    }

    /// *A carbon monoxide alarm? And is there one? **No.***
    fn asked_in_vain(
        &self,
        index: usize,
        rest: &Range<usize>,
    ) -> Option<(Named, Piece, Range<usize>)> {
        let none = matches!(
            self.without_openers(rest)[..],
            ["no"] | ["nope"] | ["there", "is", "not"] | ["no", "there", "is", "not"]
        );
        let before = none.then(|| index.checked_sub(1))??;
        let asked = &self.reading.sentences[before];
        let question = self.text(&asked.tokens);
        let there = [
            "is there one",
            "are there any",
            "is there any",
            "have we got one",
            "can you see one",
        ];
        let sought = there.iter().any(|cue| question.contains(cue));
        // What it is, the question tells or the one before.
        let earlier = before.checked_sub(1).map(|at| &self.reading.sentences[at]);
        let earlier = earlier
            .filter(|earlier| earlier.question)
            .map(|earlier| earlier.tokens.clone());
        let thing = self
            .named_first(&asked.tokens)
            .or_else(|| self.named_first(&earlier?));
        let fault = Piece {
            term: self.lexicon.find(Kind::Defect, MISSING),
            ..Piece::own_words(PieceKind::Defect, rest.clone(), MISSING.to_owned())
        };
        let thing = thing.filter(|_| asked.question && sought)?;
        Some((thing, fault, asked.tokens.clone()))
    }

    /// *Doorbell. **Nothing.*** *Hob, back left, **nothing**.*
    fn nothing_happens(
        &self,
        index: usize,
        scene: &Scene<'_>,
        rest: &Range<usize>,
    ) -> Option<(Named, Piece, Range<usize>)> {
        let nothing = |range: Range<usize>| {
            matches!(
                self.without_openers(&range)[..],
                ["nothing"]
                    | ["nothing", "at", "all"]
                    | ["nothing", "happens"]
                    | ["no", "response"]
            )
        };
        let last = scene.sentence.clauses.last()?.tokens.clone();
        let (said, answer) = match (nothing(rest.clone()), nothing(last.clone())) {
            (true, _) => {
                let before = index.checked_sub(1)?;
                (self.reading.sentences[before].tokens.clone(), rest.clone())
            }
            (false, true) if last.start > rest.start => (rest.start..last.start, last),
            _ => return None,
        };
        let bare = said.clone().all(|at| {
            opener(self.word(at))
                || TRYING.contains(&self.word(at))
                || matches!(
                    class(self.word(at)),
                    Class::Determiner | Class::Position | Class::Filler
                )
                || self.reading.piece_at(at).is_some_and(|piece| {
                    matches!(piece.kind, PieceKind::Element | PieceKind::Place)
                })
        });
        // "Sockets, blinds, skirting, nothing": nothing wrong with any.
        let several = self.kinds_in(&said, PieceKind::Element).len() > 1;
        let thing = self.named_first(&said).filter(|_| bare && !several)?;
        let group = self.lexicon.element(thing.term?).group;
        let tried = TRIED.contains(&self.lexicon.group(group).name.as_str());
        let fault = Piece {
            term: self.lexicon.find(Kind::Defect, NOT_WORKING),
            ..Piece::own_words(PieceKind::Defect, answer, NOT_WORKING.to_owned())
        };
        tried.then_some((thing, fault, said))
    }

    /// *Weather bar, **what weather bar**.*: there is none.
    fn what_thing(
        &self,
        scene: &Scene<'_>,
        rest: &Range<usize>,
    ) -> Option<(Named, Piece, Range<usize>)> {
        let what = rest
            .clone()
            .find(|&at| at > rest.start && self.word(at) == "what")?;
        let thing = self.named_first(&(rest.start..what))?;
        let again = self.named_first(&(what + 1..rest.end))?;
        let same = again.text == thing.text && scene.clause(what).start == what;
        let fault = Piece {
            term: self.lexicon.find(Kind::Defect, MISSING),
            ..Piece::own_words(PieceKind::Defect, what..what + 1, MISSING.to_owned())
        };
        same.then(|| (thing, fault, rest.clone()))
    }

    /// Returns the words of a stretch but those that only open it.
    fn without_openers(&self, range: &Range<usize>) -> Vec<&str> {
        let said = range.clone().map(|at| self.word(at));
        said.filter(|word| !opener(word)).collect()
    }

    fn named_first(&self, range: &Range<usize>) -> Option<Named> {
        let &first = self.kinds_in(range, PieceKind::Element).first()?;
        Some(Named::of(&self.reading.pieces[first]))
    }
}
