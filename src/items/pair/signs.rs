//! Signs in a sentence of which thing a fault is said: *it's the **carpet** that's catching*, *the handle's put a dent
//! in the **wall***.

use crate::items::scene::Scene;
use crate::statements::grammar::{Class, class, opener};
use crate::statements::noun::{self, Noun};
use crate::statements::piece::{Piece, PieceKind};
use std::ops::Range;

/// How something gets a dent, a hole, a scratch. Common practice, no source.
const MARKS: &[&str] = &[
    "put", "puts", "putting", "knocked", "knocks", "made", "makes", "left", "leaves", "punched",
    "punches", "worn", "wears", "gouged", "bashed", "kicked", "burnt", "burned", "cut", "scraped",
    "dug", "ripped",
];

impl Scene<'_> {
    /// *it's the **carpet** that's catching*.
    pub(super) fn singled_out(&self, noun: &Noun, at: usize) -> bool {
        let word = |at: usize| self.word(at);
        let (mut start, end) = (noun.tokens.start, noun.tokens.end);
        while start > self.from && class(word(start - 1)) == Class::Determiner {
            start -= 1;
        }
        start >= self.from + 2
            && start < noun.tokens.start
            && matches!(word(start - 1), "'s" | "is" | "was")
            && matches!(word(start - 2), "it" | "that")
            && matches!(word(end), "that" | "which")
            && at <= end + 3
    }

    /// *has put **a dent in the** wall*: what somebody or something did to the thing named next.
    pub(super) fn brought_into(&self, clause: &Range<usize>, defect: &Piece) -> bool {
        let word = |at: usize| self.word(at);
        let mut at = defect.tokens.start;
        while at > clause.start
            && class(word(at - 1)) == Class::Open
            && at + 3 > defect.tokens.start
        {
            at -= 1;
        }
        let article = at > clause.start + 1 && matches!(word(at - 1), "a" | "an");
        let next = defect.tokens.end;
        article
            && MARKS.contains(&word(at - 2))
            && matches!(word(next), "in" | "on" | "through" | "into" | "across")
            && class(word(next + 1)) == Class::Determiner
            && next + 2 < clause.end
    }

    /// *it*, *they*, *that's*: a word that stands for a thing. Not *that hairline*.
    pub(super) fn stands_for(&self, token: usize) -> bool {
        let next = self.word(token + 1);
        match self.tokens()[token].norm.as_str() {
            "it" | "they" | "them" => true,
            "these" | "those" => class(next) != Class::Open,
            "that" | "one" | "both" => {
                matches!(next, "'s" | "is" | "are" | "has" | "have" | "was")
            }
            _ => false,
        }
    }

    /// *fuse **is good**, and it's still dead*: the clause of the token says that all is well with it.
    pub(super) fn praised(&self, token: usize) -> bool {
        let clause = self.clause(token);
        let mut said = self.reading.pieces[self.reading.within(&clause)].iter();
        said.any(|p| p.kind == PieceKind::Phrase && p.text == "positive")
    }

    /// *Extractor, isolator's on, …*: the thing is all that the first clause says.
    pub(super) fn hangs_in_front(&self, noun: &Noun) -> bool {
        self.opening().is_some_and(|opening| {
            let says = |&t: &usize| {
                let word = &self.tokens()[t].norm;
                !opener(word) && class(word) != Class::Determiner
            };
            opening.clone().find(says) == Some(noun.tokens.start) && noun.tokens.end == opening.end
        })
    }

    /// *a dip in the **frobnicator***: own words after a preposition.
    pub(super) fn object_of(&self, defect: &Piece, to: usize) -> Option<Noun> {
        let preposition = self
            .tokens()
            .get(defect.tokens.end)
            .filter(|_| defect.tokens.end < to)?;
        matches!(
            preposition.norm.as_str(),
            "in" | "on" | "to" | "of" | "along" | "across" | "round" | "around"
        )
        .then(|| {
            noun::object_after(
                self.tokens(),
                &self.reading.pieces,
                defect.tokens.end + 1,
                to,
            )
        })
        .flatten()
    }

    /// *no **strapping** on the water tank*: another noun stands right behind the words of the defect, and
    /// the thing behind a preposition after it.
    pub(super) fn behind_another(&self, noun: &Noun, defect: &Piece) -> bool {
        let next = defect.tokens.end;
        let word = |at: usize| self.tokens()[at].norm.as_str();
        let named = next < noun.tokens.start
            && class(word(next)) == Class::Open
            && word(next).len() > 3
            && self.reading.piece_at(next).is_none()
            && class(word(next + 1)) == Class::Preposition
            && word(next + 1) != "of";
        named && self.in_phrase(noun)
    }

    /// *there's **no** stop*, ***without** a guard*.
    pub(super) fn says_no(&self, defect: &Piece) -> bool {
        let last = &self.tokens()[defect.tokens.end - 1].norm;
        matches!(
            last.as_str(),
            "no" | "without" | "lacking" | "lacks" | "minus"
        )
    }
}
