//! The words with which one says that something is as before: ***same again** by the stairs*, ***as per** bedroom
//! two*, ***so does** the one above*. What becomes of them is in `repeat.rs`.

use super::Walk;
use crate::items::draft::Named;
use crate::items::scene::Scene;
use crate::statements::grammar::{Class, class, opener};
use crate::statements::piece::PieceKind;
use crate::statements::sentence::{Clause, Join, Sentence};
use std::ops::Range;

/// So many words that mean something, beside things and places, tell what is wrong themselves: *again* and *too*
/// then ask for no earlier fault.
const TOLD_BY_ITSELF: usize = 4;

/// What two things may have in common without a fault.
#[rustfmt::skip]
const MADE_ALIKE: &[&str] = &[
    "height", "level", "size", "width", "length", "depth", "colour", "color", "thickness", "distance", "time", "day",
];

impl Walk<'_> {
    /// Returns the words that say *again* of something, without those that lead on to what or where: ***same
    /// again** by the stairs*.
    pub(super) fn said_again(
        &self,
        index: usize,
        sentence: &Sentence,
        range: &Range<usize>,
    ) -> Option<Range<usize>> {
        let Some(said) = self.phrase(range, "same-again") else {
            return self
                .as_in_a_place(range)
                .or_else(|| self.so_does(sentence, range))
                .or_else(|| self.and_one(range))
                .or_else(|| self.as_well(index, range));
        };
        let said = &self.reading.pieces[said].tokens;
        // "Cut the posts to **the same height**": made alike, not as bad.
        let alike = self.word(said.end - 1) == "same" && MADE_ALIKE.contains(&self.word(said.end));
        if alike {
            return None;
        }
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

    /// True where words that say *again* ask for an earlier fault, and no fault of its own is told: not *on the
    /// other one it's cross threaded*, another thing like it.
    pub(super) fn is_as_before(&self, scene: &Scene<'_>, again: &Range<usize>) -> bool {
        let end = scene.sentence.tokens.end;
        let own_fault = !self
            .kinds_in(&(again.end..end), PieceKind::Defect)
            .is_empty();
        let along = again.start..(again.end + 1).min(end);
        (self.says_same(again) || !own_fault || !self.elsewhere(&along))
            && !self.tells_by_itself(scene, again, own_fault)
            && !self.only_repeats_a_verb(scene, again, own_fault)
            && !self.goes_back(scene, again)
            && !self.goes_on_along(scene, again)
            && !self.compares(again)
    }

    /// True where *again* stands alone.
    fn is_bare(&self, again: &Range<usize>) -> bool {
        again.len() == 1 && self.word(again.start) == "again"
    }

    /// *He's counted **again**.*
    fn only_repeats_a_verb(&self, scene: &Scene<'_>, again: &Range<usize>, fault: bool) -> bool {
        let mut before = scene.clause(again.start).start..again.start;
        self.is_bare(again)
            && !fault
            && before.any(|at| !opener(self.word(at)))
            && class(self.word(again.start - 1)) != Class::Adverb
    }

    /// *Outside **again***: back there.
    fn goes_back(&self, scene: &Scene<'_>, again: &Range<usize>) -> bool {
        let own = |c: &Clause| c.tokens.start < again.start && c.tokens.contains(&again.start);
        let begins = scene.from == again.start;
        self.is_bare(again) && begins && scene.sentence.clauses.iter().any(own)
    }

    /// *Swapped it **with the next one** along.*
    fn compares(&self, again: &Range<usize>) -> bool {
        let back = |count| {
            again
                .start
                .checked_sub(count)
                .map_or("", |at| self.word(at))
        };
        let compared = |word: &str| matches!(word, "with" | "from" | "than" | "like");
        compared(back(1)) || back(1) == "the" && compared(back(2))
    }

    /// ***Next one along**.* and no more: one only goes on.
    fn goes_on_along(&self, scene: &Scene<'_>, again: &Range<usize>) -> bool {
        self.word(again.start) == "next"
            && !self.says_same(again)
            && again.end == scene.sentence.tokens.end
            && (scene.from..again.start).all(|at| opener(self.word(at)))
    }

    /// *And walk on that bit again, it creaks from the stair foot to the cupboard*, *the sill's another one that's
    /// chipped*, *also there's plaster in the socket*: told by itself.
    fn tells_by_itself(&self, scene: &Scene<'_>, again: &Range<usize>, fault: bool) -> bool {
        let end = scene.sentence.tokens.end;
        let full = |&at: &usize| {
            let piece = self.reading.piece_at(at).map(|piece| piece.kind);
            !again.contains(&at)
                && class(self.word(at)) == Class::Open
                && !opener(self.word(at))
                && !matches!(piece, Some(PieceKind::Element | PieceKind::Place))
        };
        let mut words = again.clone().map(|at| self.word(at));
        let plainly = words.any(|word| matches!(word, "same" | "ditto" | "likewise"));
        let long = (scene.from..end).filter(full).count() >= TOLD_BY_ITSELF;
        let filler = self.is_bare(again) && scene.clause(again.start).len() == 1;
        let relative = matches!(self.word(again.end), "that" | "which");
        let also = self.word(again.start) == "also" || self.word(again.start + 1) == "also";
        let verb_behind = (again.start..end).any(|at| class(self.word(at)) == Class::Verb);
        !plainly && long || also && verb_behind || fault && (filler || relative)
    }

    /// True where what the sentence made so far was told before the words that say *again*: *a chip in the sill and
    /// **another** in the worktop*.
    pub(super) fn is_told_before(&self, again: &Range<usize>, made_from: usize) -> bool {
        let mut said = again.start..=again.end;
        let another = said.any(|at| matches!(self.word(at), "another" | "one"));
        let told = |named: &Named| named.tokens.end <= again.start;
        self.drafts[made_from..].iter().all(|draft| {
            draft.tokens.end <= again.start + 1
                || another && told(&draft.element) && draft.defects.iter().all(told)
        })
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

    /// *There's a crack in the worktop and **one** in the splashback **too***.
    fn and_one(&self, range: &Range<usize>) -> Option<Range<usize>> {
        let one = range.clone().find(|&at| {
            at > range.start
                && self.word(at) == "one"
                && self.word(at - 1) == "and"
                && matches!(self.word(at + 1), "in" | "on" | "to" | "behind" | "under")
        })?;
        let told = |range: Range<usize>| !self.kinds_in(&range, PieceKind::Defect).is_empty();
        let things = self.kinds_in(&(one..range.end), PieceKind::Element);
        let again = told(range.start..one) && !told(one..range.end) && !things.is_empty();
        again.then_some(one..one + 1)
    }

    /// *The plinth is cracked. **The architrave as well.*** *… **And in the bath.***: another thing, with the fault
    /// that was just told.
    fn as_well(&self, index: usize, range: &Range<usize>) -> Option<Range<usize>> {
        let last = self.drafts.last()?;
        if last.withdrawn.is_some() || last.sentence + 1 != index {
            return None;
        }
        let things = self.kinds_in(range, PieceKind::Element);
        let [thing] = things[..] else {
            return None;
        };
        let named = &self.reading.pieces[thing].tokens;
        let light = |at: usize| {
            opener(self.word(at))
                || matches!(
                    class(self.word(at)),
                    Class::Determiner | Class::Conjunction | Class::Position
                )
        };
        let rest: Vec<&str> = (named.end..range.end).map(|at| self.word(at)).collect();
        let too = matches!(rest[..], ["as", "well"] | ["too" | "also"]);
        let first = range.clone().find(|&at| !light(at))?;
        let led = first == named.start;
        let inside =
            matches!(self.word(first), "in" | "on" | "to") && (first + 1..named.start).all(light);
        let and = inside && rest.is_empty() && first > range.start;
        if (led || inside) && too {
            return Some(named.end..range.end);
        }
        and.then_some(range.start..first)
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
