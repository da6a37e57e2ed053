//! Rooms told by what is in them, or behind what is wrong there: *there's a cupboard here with the boiler in it*, *the
//! patio doors are in the dining room*, *scratch on the sink, this is the kitchen*.

use super::room_called;
use crate::items::walk::Walk;
use crate::lexicon::{Kind, PlaceKind};
use crate::statements::grammar::{Class, class, opener};
use crate::statements::piece::PieceKind;
use crate::statements::place::{self, PlaceChange};
use crate::statements::sentence::Sentence;

/// The most words of what is in a cupboard: *with **the hot water tank** in it*.
const LONGEST_CONTENTS: usize = 4;

impl Walk<'_> {
    /// *There's a cupboard here **with the boiler in it**.*: the boiler cupboard. *There's a little door **into the
    /// eaves**.*
    pub(super) fn opens_a_door(&self, sentence: &Sentence) -> Option<PlaceChange> {
        let said = sentence.tokens.clone();
        let words = self.plain_words(&said);
        let ["there", "is" | "'s", rest @ ..] = &words[..] else {
            return None;
        };
        if !self.kinds_in(&said, PieceKind::Defect).is_empty() {
            return None;
        }
        let door = rest
            .iter()
            .take(2)
            .any(|word| matches!(*word, "door" | "hatch" | "opening"));
        let leads = rest
            .iter()
            .any(|word| matches!(*word, "into" | "through" | "onto"));
        let room = self.reading.places_within(&said).last();
        if let (true, true, Some(room)) = (door, leads, room)
            && room.tokens.end == said.end
        {
            return Some(place::to(self.lexicon, room, said.start));
        }
        let (cupboard, within) = match rest {
            [cupboard, "here", "with", within @ .., "in", "it"]
            | [cupboard, "with", within @ .., "in", "it"] => (*cupboard, within),
            _ => return None,
        };
        if !matches!(cupboard, "cupboard" | "closet" | "press") || within.len() > LONGEST_CONTENTS {
            return None;
        }
        let name = format!("{} {cupboard}", within.join(" "));
        let term = self.lexicon.find(Kind::Place, &name);
        Some(room_called(name, term, said))
    }

    /// ***Patio doors are in the dining room**, they're stiff.* *Loft hatch is **in the hall, so I'll get the ladder**.*
    pub(super) fn where_a_thing_is(&self, sentence: &Sentence) -> Option<PlaceChange> {
        let clause = sentence.clauses.first()?.tokens.clone();
        let room = self.reading.places_within(&clause).last()?;
        let entry = self.lexicon.place(room.term?);
        let start = room.tokens.start;
        let article = usize::from(start > 0 && class(self.word(start - 1)) == Class::Determiner);
        let thing = self.kinds_in(&clause, PieceKind::Element);
        let thing = &self.reading.pieces[*thing.first()?].tokens;
        let is_in = self.plain_words(&(thing.end..start - article));
        let lead = (clause.start..thing.start)
            .all(|at| opener(self.word(at)) || class(self.word(at)) == Class::Determiner);
        let told = lead
            && room.tokens.end == clause.end
            && matches!(is_in[..], ["is" | "are" | "'s", "in"]);
        let rest = clause.end..sentence.tokens.end;
        let fault = !self.kinds_in(&rest, PieceKind::Defect).is_empty();
        let fetches = rest.clone().any(|at| self.word(at) == "so");
        let later = rest
            .clone()
            .any(|at| matches!(self.word(at), "later" | "when" | "until"));
        // "…, they stick": of the thing that was named.
        let end = if fault { clause.start } else { clause.end };
        (told && entry.kind == PlaceKind::Room && !entry.weak && (fault || fetches) && !later).then(
            || PlaceChange {
                tokens: clause.start..end,
                ..place::to(self.lexicon, room, clause.start)
            },
        )
    }

    /// *Scratch on the sink, **this is the kitchen**.* *Door's binding, and **that's the back bedroom**.*: where
    /// one is told behind what is wrong there.
    pub(in crate::items::walk) fn told_afterwards(
        &self,
        sentence: &Sentence,
    ) -> Option<PlaceChange> {
        let [.., before, last] = &sentence.clauses[..] else {
            return None;
        };
        let room = self.reading.places_within(&last.tokens).last()?;
        let lead = self.plain_words(&(last.tokens.start..room.tokens.start));
        let lead = match &lead[..] {
            ["and" | "so", rest @ ..] => rest,
            all => all,
        };
        let here = matches!(
            lead,
            ["this" | "that", "is" | "'s"]
                | ["i", "am" | "'m", "in"]
                | ["we", "are" | "'re", "in"]
                | ["still", "in"]
        );
        let tail = room.tokens.end..last.tokens.end;
        let ends = tail
            .clone()
            .all(|at| matches!(self.word(at), "now" | "here" | "then"));
        let told = sentence.tokens.start..before.tokens.end;
        let fault = !self.kinds_in(&told, PieceKind::Defect).is_empty()
            && !self.kinds_in(&told, PieceKind::Element).is_empty();
        let kind = self.lexicon.place(room.term?).kind;
        (here && ends && fault && kind.indoors()).then(|| PlaceChange {
            tokens: sentence.tokens.start..sentence.tokens.start,
            ..place::to(self.lexicon, room, sentence.tokens.start)
        })
    }
}
