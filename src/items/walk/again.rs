//! The words with which one says that something is as before: ***same again** by the stairs*, ***as per** bedroom
//! two*, ***so does** the one above*. What becomes of them is in `repeat.rs`.

use super::Walk;
use crate::statements::grammar::{Class, class};
use crate::statements::piece::PieceKind;
use crate::statements::sentence::{Clause, Join, Sentence};
use std::ops::Range;

impl Walk<'_> {
    /// Returns the words that say *again* of something, without those that lead on to what or where: ***same
    /// again** by the stairs*.
    pub(super) fn said_again(
        &self,
        sentence: &Sentence,
        range: &Range<usize>,
    ) -> Option<Range<usize>> {
        let Some(said) = self.phrase(range, "same-again") else {
            return self
                .as_in_a_place(range)
                .or_else(|| self.so_does(sentence, range));
        };
        let said = &self.reading.pieces[said].tokens;
        let leads_on = |at: &usize| {
            matches!(
                class(self.word(*at)),
                Class::Preposition | Class::Determiner
            )
        };
        let end = said.clone().rev().find(|at| !leads_on(at)).map(|at| at + 1);
        let same = |at: &usize| matches!(self.word(*at), "the" | "just" | "same" | "exactly");
        let start = (range.start..said.start).rev().take_while(same).last();
        Some(start.unwrap_or(said.start)..end.unwrap_or(said.end))
    }

    /// ***As per** bedroom two*, *door **as in** the lounge*.
    fn as_in_a_place(&self, range: &Range<usize>) -> Option<Range<usize>> {
        let place = self.reading.places_within(range).first()?;
        let mut before = (range.start..place.tokens.start).rev();
        let lead = before.find(|&at| class(self.word(at)) != Class::Determiner)?;
        let per = matches!(self.word(lead), "per" | "in" | "for") && lead > range.start;
        let at = lead - usize::from(per);
        let fault = !self.kinds_in(range, PieceKind::Defect).is_empty();
        (self.word(at) == "as" && !fault).then_some(at..lead + 1)
    }

    /// *The drawer catches, and **so does** the one above*.
    fn so_does(&self, sentence: &Sentence, range: &Range<usize>) -> Option<Range<usize>> {
        let does = |c: &&Clause| {
            let start = c.tokens.start;
            c.join == Join::So
                && start > range.start
                && self.word(start - 1) == "so"
                && matches!(
                    self.word(start),
                    "does" | "do" | "is" | "'s" | "are" | "has" | "have" | "will"
                )
                && class(self.word(start + 1)) == Class::Determiner
                && self.kinds_in(&c.tokens, PieceKind::Defect).is_empty()
                // "The tap's good, so are the sockets".
                && !self.kinds_in(&(range.start..start), PieceKind::Defect).is_empty()
        };
        let start = sentence.clauses.iter().find(does)?.tokens.start;
        Some(start..start + 1)
    }

    /// True where the words say that something is the same: *same on the other one*.
    pub(super) fn says_same(&self, range: &Range<usize>) -> bool {
        let so = range.len() == 1 && range.start > 0 && self.word(range.start - 1) == "so";
        so || range.clone().any(|at| {
            matches!(
                self.word(at),
                "same" | "ditto" | "again" | "too" | "also" | "likewise" | "as"
            )
        })
    }
}
