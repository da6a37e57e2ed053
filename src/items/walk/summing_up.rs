//! What only sums up the list: *to recap, …*, *so the crack and the flue are the ones to ring about*, and the last words
//! of a walk-round that name items once more (*so, the lintel, that drip and the ridge tile*).

use super::Walk;
use crate::statements::grammar::{Class, class, opener};
use crate::statements::piece::PieceKind;
use crate::statements::sentence::Sentence;
use std::collections::BTreeSet;
use std::ops::Range;

/// So many sentences before its end a walk-round may be summed up without a word that says so.
const LAST_WORDS: usize = 4;

/// Words of which the first so many letters are alike are of one stem: *drip*, *dripping*.
const STEM: usize = 4;

/// What is asked for what is only named.
#[rustfmt::skip]
const ASKED: &[&str] = &[
    "done", "sorted", "today", "tonight", "please", "first", "priority", "urgent", "order", "main", "worst",
    "big", "list", "lot", "phone", "call", "calls", "job", "jobs", "thanks", "cheers", "items", "things",
];

impl Walk<'_> {
    /// True for a sentence that only says again what is on the list.
    pub(super) fn sums_up(&self, index: usize, sentence: &Sentence) -> bool {
        let whole = &sentence.tokens;
        let again = matches!(self.word(whole.start), "same" | "ditto")
            || self.phrase(whole, "same-again").is_some();
        if self.drafts.is_empty() || again {
            return false;
        }
        // "To recap, …", "So the crack and the flue are the ones to ring about".
        let last = index + LAST_WORDS >= self.reading.sentences.len();
        let said = self.phrase_opens("recap", whole)
            || (last || self.word(whole.start) == "so") && self.phrase(whole, "recap").is_some();
        said || last && self.names_again(sentence)
    }

    /// *So, the lintel, that drip and the ridge tile*: clauses that name what two items or more are about, and say
    /// nothing else.
    fn names_again(&self, sentence: &Sentence) -> bool {
        let points = matches!(
            self.word(sentence.tokens.start),
            "so" | "that" | "those" | "these" | "get"
        );
        let mut said = sentence.tokens.clone();
        if !points && !said.any(|at| ASKED.contains(&self.word(at))) {
            return false;
        }
        let mut named = BTreeSet::new();
        for clause in &sentence.clauses {
            let open = |at: &usize| {
                let word = self.word(*at);
                class(word) == Class::Open && !opener(word) && !ASKED.contains(&word)
            };
            let words: Vec<&str> = clause
                .tokens
                .clone()
                .filter(open)
                .map(|at| self.word(at))
                .collect();
            let of = words.iter().map(|word| self.items_about(word));
            let of: Vec<BTreeSet<usize>> = of.collect();
            let known = of.iter().filter(|items| !items.is_empty()).count();
            if known < words.len() && (known > 0 || self.tells_anything(&clause.tokens)) {
                return false;
            }
            let verb = |at: usize| {
                matches!(class(self.word(at)), Class::Verb | Class::Negation)
                    && self.word(at + 1) != "the"
            };
            if known > 0 && clause.tokens.clone().any(verb) {
                return false;
            }
            named.extend(of.into_iter().flatten());
        }
        named.len() > 1
    }

    /// Returns which items a word may be about: it is among those of their thing or their fault.
    fn items_about(&self, word: &str) -> BTreeSet<usize> {
        let alike = |other: &str| {
            let stem = other.get(..STEM).is_some_and(|stem| word.starts_with(stem));
            other == word || stem
        };
        let about = |tokens: &Range<usize>| tokens.clone().any(|at| alike(self.word(at)));
        let items = self.drafts.iter().enumerate().filter(|(_, draft)| {
            let faults = draft.defects.iter().any(|fault| about(&fault.tokens));
            faults || about(&draft.element.tokens)
        });
        items.map(|(at, _)| at).collect()
    }

    fn tells_anything(&self, range: &Range<usize>) -> bool {
        [PieceKind::Element, PieceKind::Defect, PieceKind::Measure]
            .iter()
            .any(|&kind| !self.kinds_in(range, kind).is_empty())
    }
}
