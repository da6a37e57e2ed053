//! What a fault's own words say that it is of (*a crack **in the ceiling***, *loose **socket***), and which things
//! another fault has: *a crack in the ceiling and **a chip in the sill***.

use super::Choice;
use super::fault::Fault;
use crate::items::position::A_PART;
use crate::items::scene::Scene;
use crate::statements::faults::MISSING;
use crate::statements::grammar::{Class, class, opener};
use crate::statements::noun::Noun;
use crate::statements::piece::{Piece, PieceKind};
use crate::statements::signs::Signs;
use std::ops::Range;

/// What is in or on a thing that has a fault, and is none itself.
const SUBSTANCES: &[&str] = &[
    "water",
    "rain",
    "rainwater",
    "moisture",
    "condensation",
    "damp",
];

impl Scene<'_> {
    /// Takes out of the things that a fault may be of those that another fault has.
    pub(super) fn leave_to_others(&self, fault: &Fault<'_>, offers: &mut Vec<(Signs, Choice)>) {
        let defect = fault.defect;
        // "A crack in the ceiling and a chip in the sill": each has its own.
        if let Some(own) = self.object_behind(defect) {
            offers.retain(|(_, choice)| {
                let here = choice.here.as_ref();
                here.is_none_or(|here| {
                    let told = self.is_object(here) || self.has_earlier_fault(here, defect);
                    here.contains(&own.tokens.start) || here.start < own.tokens.start && !told
                })
            });
        }
        // "A blank plate **where the smoke alarm should be**".
        let inside = |choice: &Choice| {
            let here = choice.here.as_ref();
            here.is_some_and(|here| defect.tokens.contains(&here.start))
        };
        let where_it_is = defect.text == MISSING && self.word(defect.tokens.start) == "where";
        if where_it_is && offers.iter().any(|(_, choice)| inside(choice)) {
            offers.retain(|(_, choice)| inside(choice));
        }
        // "There's a creaky board by the window and **the fan** doesn't come on": that has a fault of its own.
        let of_another = |choice: &Choice| {
            let here = choice.here.as_ref();
            here.is_some_and(|here| {
                here.start >= defect.tokens.end && self.has_own_fault(defect, here)
            })
        };
        if !fault.wants_object && offers.iter().any(|(_, choice)| !of_another(choice)) {
            offers.retain(|(_, choice)| !of_another(choice));
        }
        // "**Third one** in from the mat, it's hollow": one of what was spoken of before.
        let carried = offers.iter().any(|(_, choice)| choice.carried);
        let beside_one = |choice: &Choice| {
            let here = choice.here.as_ref();
            here.is_some_and(|here| self.only_beside_one(here))
        };
        if carried && offers.iter().any(|(_, choice)| beside_one(choice)) {
            offers.retain(|(_, choice)| !beside_one(choice));
        }
        // "The rail stops **short of the bottom riser**", "it's short of the worktop".
        let up_to = |choice: &Choice| {
            let here = choice.here.as_ref();
            here.is_some_and(|here| self.up_to_which(here))
        };
        if offers.iter().any(|(_, choice)| !up_to(choice)) {
            offers.retain(|(_, choice)| !up_to(choice));
        }
        // "Water's pooling in the shower tray": of what it is in.
        let runs = |noun: &Noun| SUBSTANCES.contains(&noun.text.as_str());
        if fault.subject.as_ref().is_some_and(runs) {
            let behind = |choice: &Choice| {
                let start = choice.here.as_ref().map(|here| here.start)?;
                (start > defect.tokens.end && fault.clause.contains(&start)).then_some(start)
            };
            let nearest = offers.iter().filter_map(|(_, choice)| behind(choice)).min();
            if nearest.is_some() {
                offers.retain(|(_, choice)| behind(choice) == nearest);
            }
        }
    }

    /// *Short of **the bottom riser***: true for a thing up to which another does not go.
    fn up_to_which(&self, thing: &Range<usize>) -> bool {
        let lead = (0..thing.start)
            .rev()
            .find(|&at| !matches!(class(self.word(at)), Class::Determiner | Class::Position));
        lead.is_some_and(|of| {
            of > 0 && self.word(of) == "of" && matches!(self.word(of - 1), "short" | "shy")
        })
    }

    /// *Third one in from **the mat***: true for a thing that only tells where the one that is meant is.
    fn only_beside_one(&self, thing: &Range<usize>) -> bool {
        let clause = self.clause(thing.start);
        let one = (clause.start..thing.start).find(|&at| matches!(self.word(at), "one" | "ones"));
        one.is_some_and(|one| {
            let pointed = one > clause.start
                && matches!(
                    class(self.word(one - 1)),
                    Class::Position | Class::Determiner
                );
            let behind = one + 1..thing.start;
            let leads = behind.clone().all(|at| {
                matches!(
                    class(self.word(at)),
                    Class::Preposition | Class::Determiner | Class::Adverb
                )
            });
            pointed && leads && !behind.is_empty() && self.word(one + 1) != "of"
        })
    }

    /// True where a thing behind a fault and an *and* or a stop stands before another fault that a verb says of it.
    fn has_own_fault(&self, defect: &Piece, thing: &Range<usize>) -> bool {
        let between = defect.tokens.end..thing.start;
        let apart = self.clause_of(defect.tokens.start) != self.clause_of(thing.start)
            || between.clone().any(|at| self.word(at) == "and");
        let own = self.first_within(thing.end..self.clause(thing.start).end, PieceKind::Defect);
        let own = own.map(|own| &self.reading.pieces[own].tokens);
        let verb = class(self.word(thing.end)) == Class::Verb
            || own.is_some_and(|own| own.start == thing.end);
        apart && verb && own.is_some()
    }

    /// *A crack **in the ceiling***, *loose **socket***: returns the listed thing of which a fault's own words tell
    /// that it has it, right behind it in its clause.
    pub(in crate::items) fn object_behind(&self, defect: &Piece) -> Option<Noun> {
        let clause = self.clause(defect.tokens.start);
        let end = defect.tokens.end;
        let noun = self.noun(self.first_within(end..clause.end, PieceKind::Element)?);
        let start = self.phrase_start(&noun);
        // "A nasty crack", "crack in …": named, not said of something by a verb.
        let describes = |at: &usize| {
            class(self.word(*at)) == Class::Open && self.reading.piece_at(*at).is_none()
        };
        let before = clause.start..defect.tokens.start;
        let adjectives = before.rev().take_while(describes).count();
        let first = defect.tokens.start - adjectives;
        let named =
            self.one_of_many(first) || (clause.start..first).all(|at| opener(self.word(at)));
        // "Along the edge of the skirting", "in the corner of the wall": only where.
        let part = A_PART.contains(&noun.text.as_str());
        let attributive = start == end;
        // "A missing handle", but "no handle".
        let absent = defect.text == MISSING && !(attributive && self.word(end - 1) == "missing");
        if !named || part || absent {
            return None;
        }
        // "A crack **that runs along** the ceiling".
        let runs = |at: &usize| {
            matches!(
                self.word(*at),
                "that" | "which" | "runs" | "running" | "goes" | "going" | "right" | "all"
            )
        };
        let leads = end + (end..start).take_while(runs).count();
        let tied = start == leads + 1
            && matches!(
                self.word(leads),
                "in" | "on" | "to" | "of" | "across" | "along" | "from"
            );
        (attributive || tied).then_some(noun)
    }

    /// Returns the index of the first piece of a kind that is not struck.
    fn first_within(&self, range: Range<usize>, kind: PieceKind) -> Option<usize> {
        let mut pieces = self.reading.within(&range);
        pieces.find(|&at| {
            let piece = &self.reading.pieces[at];
            piece.kind == kind && !self.struck(piece.tokens.start)
        })
    }

    /// *The **socket**'s loose and a crack in the ceiling*: true where another fault stands between a thing and this one.
    fn has_earlier_fault(&self, thing: &Range<usize>, defect: &Piece) -> bool {
        let between = thing.end..defect.tokens.start;
        self.first_within(between, PieceKind::Defect).is_some()
    }

    /// True where a thing is what the fault right before it has: [`Self::object_behind`].
    fn is_object(&self, thing: &Range<usize>) -> bool {
        let mut before = self.reading.within(&(self.from..thing.start)).rev();
        let fault = before.find(|&at| self.reading.pieces[at].kind == PieceKind::Defect);
        let object = fault.and_then(|fault| self.object_behind(&self.reading.pieces[fault]));
        object.is_some_and(|object| object.tokens == *thing)
    }
}
