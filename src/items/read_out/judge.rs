//! What becomes of an old item by what is said of it.

use super::{Entry, List};
use crate::items::draft::{Draft, Named};
use crate::statements::grammar::{Class, class, participle};
use crate::statements::piece::{Piece, PieceKind};
use crate::statements::standing::{Says, Sign, Signal, Vocabulary, signals};
use std::ops::Range;

/// Why an old item is none any more.
const PUT_RIGHT: &str = "put right since";

/// The most words of a clause that says no more than what was done.
const LONGEST_DONE: usize = 3;

impl List<'_> {
    /// Returns what the words say of an old item.
    fn signs(&self, vocabulary: &Vocabulary, range: &Range<usize>) -> Vec<Signal> {
        let mut said = vocabulary.find(&self.reading.tokens, range.clone());
        said.retain(|one| one.says != Says::Chat);
        let clauses = self.clauses(range).map(|c| {
            let within = |at: usize| at.clamp(range.start, range.end);
            within(c.tokens.start)..within(c.tokens.end)
        });
        let clauses: Vec<Range<usize>> = clauses.filter(|c| !c.is_empty()).collect();
        let pieces: &[Piece] = &self.reading.pieces[self.reading.within(range)];
        signals(&self.reading.tokens, &said, pieces, &clauses)
    }

    /// Takes out the old item where it is put right, and what is said again of it where it still stands.
    pub(super) fn judge(&self, vocabulary: &Vocabulary, entry: &Entry, drafts: &mut [Draft]) {
        let at = |draft: &Draft| draft.defects[0].tokens.start;
        let old = |draft: &Draft| entry.fault.contains(&at(draft)) && draft.withdrawn.is_none();
        let later = |draft: &Draft| {
            entry.said.contains(&at(draft)) && draft.withdrawn.is_none() && !draft.defect_carried
        };
        let signs = self.signs(vocabulary, &entry.said);
        let clause = |at: usize| {
            let found = self.clauses(&(at..at + 1)).next();
            found.map_or(at..at + 1, |c| c.tokens.clone())
        };
        // "Dry, tick, but nobody's dealt with the stain": that of another fault.
        let of_another = |signal: &&Signal| {
            let here = clause(signal.tokens.start);
            signal.sign == Sign::Outstanding
                && drafts.iter().any(|d| later(d) && here.contains(&at(d)))
        };
        let outstanding: Vec<&Signal> = signs
            .iter()
            .filter(|s| matches!(s.sign, Sign::Outstanding | Sign::LikelyOutstanding))
            .filter(|s| !of_another(s))
            .collect();
        let right = signs
            .iter()
            .any(|s| matches!(s.sign, Sign::Right | Sign::LikelyRight))
            || self
                .clauses(&entry.said)
                .any(|c| self.is_so_now(&c.tokens) || self.is_done(&c.tokens));
        let stands = !outstanding.is_empty();
        let terms: Vec<_> = drafts
            .iter()
            .filter(|d| old(d))
            .map(|d| d.element.term)
            .collect();
        let sentences: Vec<Range<usize>> = outstanding
            .iter()
            .filter_map(|s| self.reading.sentence_at(s.tokens.start))
            .map(|s| s.tokens.clone())
            .collect();
        let again = |draft: &Draft| {
            terms.contains(&draft.element.term) || sentences.iter().any(|s| s.contains(&at(draft)))
        };
        let superseded = right || entry.number.is_some() && drafts.iter().any(later);
        // "I had the mastic down as mouldy. It's still stained."
        let more: Vec<Named> = drafts
            .iter()
            .filter(|d| later(d) && terms.contains(&d.element.term))
            .flat_map(|d| d.defects.clone())
            .filter(|d| d.term.is_some())
            .collect();
        let told = |d: &Named| signs.iter().any(|s| s.tokens.contains(&d.tokens.start));
        for draft in drafts.iter_mut() {
            // "Nine, smoke alarm chirping" are no nine.
            if old(draft) && draft.count == entry.number {
                draft.count = None;
            }
            // "Plinth missing. Outstanding."
            if old(draft) && stands {
                let first = draft.defects[0].tokens.clone();
                draft.defects.retain(|d| d.tokens == first || !told(d));
                let known = |d: &&Named| !draft.defects.iter().any(|own| own.term == d.term);
                let more: Vec<Named> = more.iter().filter(known).cloned().collect();
                draft.defects.extend(more);
            }
            if old(draft) && !stands && superseded {
                // "The scratched pane, they've swapped it, **and it's the wrong sort**": the new fault stays.
                let new = |d: &Named| !entry.fault.contains(&d.tokens.start);
                match draft.defects.iter().any(new) {
                    true => draft.defects.retain(new),
                    false => draft.withdrawn = Some(PUT_RIGHT.into()),
                }
            } else if later(draft) && stands && !terms.is_empty() && again(draft) {
                draft.withdrawn = Some("said again of an item of the old list".into());
            }
        }
    }

    /// *Scuffs by the door, **painted***, ***replaced**, and a good match*.
    fn is_done(&self, clause: &Range<usize>) -> bool {
        let named = self.reading.piece_at(clause.start);
        clause.len() <= LONGEST_DONE
            && participle(self.word(clause.start))
            && named.is_none_or(|piece| piece.kind != PieceKind::Defect)
    }

    /// *Tight **now***, *now it **has***, *it **does** now*.
    fn is_so_now(&self, clause: &Range<usize>) -> bool {
        let mut words = clause.clone().map(|at| self.word(at));
        let now = words.clone().any(|word| word == "now");
        let denied = words.any(|word| class(word) == Class::Negation || word == "still");
        let faults = &self.reading.pieces[self.reading.within(clause)];
        now && !denied && faults.iter().all(|piece| piece.kind != PieceKind::Defect)
    }
}
