//! What a session may draw on beside the list: the words heard, what made no item, the vocabulary.
//!
//! All of it is optional: a session without it does the same, with fewer suggestions.

use crate::cautions::{self, Region};
use crate::items::{self, Item, Measurement, Unplaced};
use crate::job::Following;
use crate::lexicon::Lexicon;
use crate::limits::Yardstick;
use crate::speech::{Transcript, Word};
use crate::statements::measurements;
use crate::time::Span;
use std::sync::Arc;

/// Plain data around a list.
#[derive(Debug, Clone, Default)]
pub struct Around {
    /// All words heard, as [`crate::job::Job::transcript`] gives them.
    pub words: Vec<Word>,
    /// What made no item, as the proposal lists it.
    pub unplaced: Vec<Unplaced>,
    /// Names of the files in the job's photos folder, in order.
    pub photos: Vec<String>,
    /// The vocabulary.
    pub lexicon: Option<Arc<Lexicon>>,
    /// Published limits that measurements are held against.
    pub yardstick: Option<Arc<Yardstick>>,
}

impl Around {
    /// Returns the words from `range.0` up to, without, `range.1`; `None` where there are none.
    pub fn said(&self, range: (usize, usize)) -> Option<&[Word]> {
        let words = self.words.get(range.0..range.1)?;
        (!words.is_empty()).then_some(words)
    }

    /// Returns where each unplaced statement stands in the words: index of its first word, and of
    /// the first word after it. Statements stand in spoken order, so each is looked for after the
    /// one before.
    pub fn placed(&self) -> Vec<Option<(usize, usize)>> {
        let mut from = 0;
        let mut places = Vec::with_capacity(self.unplaced.len());
        for statement in &self.unplaced {
            let texts: Vec<&str> = statement.quote.split_whitespace().collect();
            let here = |at: &usize| {
                let words = self.words.get(*at..at + texts.len()).unwrap_or_default();
                words.len() == texts.len()
                    && words
                        .iter()
                        .zip(&texts)
                        .all(|(word, text)| word.text == **text)
                    && words
                        .iter()
                        .all(|word| word.recording == statement.recording)
                    && statement
                        .span
                        .is_none_or(|span| words[0].span.is_none_or(|s| s.start >= span.start))
            };
            let found = (from..self.words.len())
                .find(here)
                .filter(|_| !texts.is_empty());
            from = found.unwrap_or(from);
            places.push(found.map(|at| (at, at + texts.len())));
        }
        places
    }

    /// Returns what `words` are understood as by themselves, where they make exactly one item or
    /// more: the first. Its place is not to be relied on.
    pub fn understood(&self, words: &[Word]) -> Option<Item> {
        let lexicon = self.lexicon.as_deref()?;
        let transcript = Transcript {
            recordings: Vec::new(),
            words: words.to_vec(),
        };
        items::propose(lexicon, &transcript)
            .items
            .into_iter()
            .next()
    }

    /// Returns the measurements in `words`, in spoken order; none without a vocabulary.
    pub fn measured(&self, words: &[Word]) -> Vec<Measurement> {
        let tokens = self.lexicon.as_deref().map(|lexicon| lexicon.tokens(words));
        let measured = tokens.map(|tokens| measurements(&tokens, words));
        let measured = measured.unwrap_or_default().into_iter();
        measured.map(|(_, measurement)| measurement).collect()
    }

    /// Returns what the vocabulary says of `after` where that differs from what it said of
    /// `before`, but for cautions. What was said or set otherwise stays: it is nearer to the
    /// inspector.
    pub fn following(&self, before: &Item, after: &Item) -> Following {
        let Some(lexicon) = self.lexicon.as_deref() else {
            return Following::default();
        };
        let (old, new) = (items::usual(lexicon, before), items::usual(lexicon, after));
        let text = |value: &Option<String>| value.clone().unwrap_or_default();
        let follows = |now: &Option<String>, old: &Option<String>, new: &Option<String>| {
            (now == old && old != new).then(|| text(new))
        };
        let suggested = before.remedy_source != Some(items::RemedySource::Spoken);
        Following {
            trade: follows(&after.trade, &old.trade, &new.trade),
            severity: (after.severity == old.severity && old.severity != new.severity)
                .then_some(new.severity),
            remedy: follows(&after.remedy, &old.remedy, &new.remedy).filter(|_| suggested),
            caution: None,
        }
    }

    /// Returns what the item warns of where that differs from what it says, empty for nothing.
    pub fn caution_instead(&self, item: &Item) -> Option<String> {
        let lexicon = self.lexicon.as_deref()?;
        let caution = cautions::caution(lexicon, item, Region::Elsewhere);
        (caution != item.caution).then(|| caution.unwrap_or_default())
    }
}

/// Returns the words joined, as a quote.
pub(super) fn quote(words: &[Word]) -> String {
    let texts: Vec<&str> = words.iter().map(|word| &*word.text).collect();
    texts.join(" ")
}

/// Returns the time from the first to the last timed word.
pub(super) fn span(words: &[Word]) -> Option<Span> {
    let spans = words.iter().filter_map(|word| word.span);
    spans.reduce(Span::cover)
}
