//! A later visit that reads its old list out: *number three, bracket missing. They've put one on*. Of what is read
//! out only what still stands is an item; what is new is one as ever.
//!
//! Where the list itself is at hand, [`recheck`](crate::recheck) finds what was said of each of its items.

mod judge;

use super::draft::Draft;
use super::walk::{Walked, place_at};
use crate::lexicon::Lexicon;
use crate::speech::Transcript;
use crate::statements::grammar::{Class, class, opener};
use crate::statements::list_number_at;
use crate::statements::reading::Reading;
use crate::statements::sentence::{Clause, Sentence};
use crate::statements::standing::Vocabulary;
use std::collections::BTreeMap;
use std::ops::Range;

/// What a visit is called that is not the first. Common practice, no source.
#[rustfmt::skip]
const LATER: &[&str] = &[
    "second visit", "third visit", "return visit", "follow up visit", "follow up inspection", "re visit", "revisit",
    "re inspection", "reinspection", "back check", "old list", "last list", "previous list", "list from last time",
    "list from before", "since my last visit", "since i was here", "since i was last here", "last time i was here",
    "when i was last here",
];

/// Within how many sentences it is announced: later on it is a visit to come.
const ANNOUNCED_WITHIN: usize = 6;

/// How many numbers that rise tell a list that is read out, where no word announces it: fewer are counts.
const NUMBERED: usize = 8;

/// The same where it is announced.
const ANNOUNCED_NUMBERED: usize = 3;

/// How far such a number may lie above the one before: whole rooms are passed over.
const LONGEST_STEP: u32 = 15;

/// The most sentences that are said of one old item.
const LONGEST: usize = 6;

/// What is said before the number of a line.
const BEFORE_NUMBER: &[&str] = &["number", "item", "line", "entry", "point", "numbers"];

/// Words of what was not listed before.
const NEW: &[&str] = &[
    "new one",
    "new to me",
    "is new",
    "'s new",
    "not on the list",
    "not on the old list",
    "was not on the list",
    "missed before",
    "did not have it before",
    "did not have that before",
    "not there before",
    "not here before",
];

/// Takes out what a later visit reads out of an old list and finds put right, and what it says twice of an old item.
pub(super) fn settle(
    lexicon: &Lexicon,
    reading: &Reading,
    transcript: &Transcript,
    walked: &mut Walked,
) {
    let list = List {
        reading,
        stays: &walked.stays,
    };
    let drafts = &mut walked.drafts;
    let announced = list.announced();
    let numbers = list.numbers(transcript);
    let least = if announced {
        ANNOUNCED_NUMBERED
    } else {
        NUMBERED
    };
    let mut entries = Vec::new();
    if numbers.len() >= least {
        entries = list.numbered(&numbers);
    }
    if announced {
        let described = list.described(drafts, &entries);
        entries.extend(described);
    }
    if entries.is_empty() {
        return;
    }
    let vocabulary = Vocabulary::new(lexicon);
    for entry in entries {
        let sentence = |at| reading.sentences.partition_point(|s| s.tokens.end <= at);
        let said = sentence(entry.fault.start)..sentence(entry.said.end) + 1;
        let from = drafts.partition_point(|d| d.sentence < said.start);
        let until = drafts.partition_point(|d| d.sentence < said.end);
        list.judge(&vocabulary, &entry, &mut drafts[from..until]);
    }
}

/// An item of the old list as it is read out.
struct Entry {
    /// The number it was read out by.
    number: Option<u32>,
    /// What was wrong.
    fault: Range<usize>,
    /// What is said of it, up to the next.
    said: Range<usize>,
}

/// The words of a later visit.
struct List<'a> {
    reading: &'a Reading,
    /// What was said at each place ([`Walked::stays`]).
    stays: &'a [(usize, Range<usize>)],
}

impl List<'_> {
    fn word(&self, at: usize) -> &str {
        self.reading.tokens.get(at).map_or("", |token| &token.norm)
    }

    fn text(&self, range: &Range<usize>) -> String {
        let words: Vec<&str> = range.clone().map(|at| self.word(at)).collect();
        words.join(" ")
    }

    /// True where the first words say that this is no first visit.
    fn announced(&self) -> bool {
        let first = self.reading.sentences.iter().take(ANNOUNCED_WITHIN);
        let mut first = first.map(|sentence| format!(" {} ", self.text(&sentence.tokens)));
        // "I'll look again on the second visit".
        let to_come = |text: &str| text.contains(" will ") || text.contains(" on the second ");
        let named = |text: &str| LATER.iter().any(|name| text.contains(&format!(" {name} ")));
        first.any(|text| named(&text) && !to_come(&text))
    }

    /// Returns where the numbers of the lines begin and end: the longest run of numbers that open a clause and rise.
    fn numbers(&self, transcript: &Transcript) -> Vec<(u32, Range<usize>)> {
        let clauses = self.reading.sentences.iter().flat_map(|s| &s.clauses);
        let number = |clause: &Clause| {
            let opens =
                |at: &usize| !opener(self.word(*at)) && !BEFORE_NUMBER.contains(&self.word(*at));
            let at = clause.tokens.clone().find(opens)?;
            let (number, end) = list_number_at(&self.reading.tokens, &transcript.words, at)?;
            let alone = end >= clause.tokens.end
                || matches!(self.word(end), "was" | "were" | "is" | "'s" | "and");
            alone.then_some((number, at..end))
        };
        let found: Vec<(u32, Range<usize>)> = clauses.filter_map(number).collect();
        // For each the longest run that ends with it, and the one before it there.
        let mut runs: Vec<(usize, Option<usize>)> = Vec::with_capacity(found.len());
        let mut longest_to: BTreeMap<u32, usize> = BTreeMap::new();
        for (at, (number, _)) in found.iter().enumerate() {
            let below = longest_to.range(number.saturating_sub(LONGEST_STEP)..*number);
            let before = below.map(|(_, &run)| run).max_by_key(|&run| runs[run].0);
            runs.push((before.map_or(1, |before| runs[before].0 + 1), before));
            let longest = longest_to.entry(*number).or_insert(at);
            if runs[at].0 > runs[*longest].0 {
                *longest = at;
            }
        }
        let mut at = (0..found.len()).max_by_key(|&at| runs[at].0);
        let mut numbers = Vec::new();
        while let Some(last) = at {
            numbers.push(found[last].clone());
            at = runs[last].1;
        }
        numbers.reverse();
        numbers
    }

    /// Returns the items that are read out by number.
    fn numbered(&self, numbers: &[(u32, Range<usize>)]) -> Vec<Entry> {
        let next = |at: usize| {
            numbers
                .get(at + 1)
                .map_or(usize::MAX, |(_, next)| next.start)
        };
        let entry = |(at, (number, told)): (usize, &(u32, Range<usize>))| {
            let sentence = self.reading.sentence_at(told.start)?;
            let until = self.until(sentence, next(at));
            let from = told.end;
            let ends = |c: &&Clause| c.tokens.end > from;
            let first = self.clauses(&(from..until)).find(ends)?.tokens.end;
            Some(Entry {
                number: Some(*number),
                fault: from..first.min(until),
                said: first.min(until)..until,
            })
        };
        numbers.iter().enumerate().filter_map(entry).collect()
    }

    /// Returns where what is said of an item that begins in `sentence` ends: before what is new, another place, or
    /// `next`.
    fn until(&self, sentence: &Sentence, next: usize) -> usize {
        let from = sentence.tokens.start;
        let at = self
            .reading
            .sentences
            .partition_point(|s| s.tokens.start < from);
        let following = self.reading.sentences[at..]
            .iter()
            .enumerate()
            .take(LONGEST);
        let place = |s: &Sentence| place_at(self.stays, s.tokens.end - 1);
        let here = place(sentence);
        let new = |(nth, s): &(usize, &Sentence)| {
            let text = self.text(&s.tokens);
            *nth == 0
                || s.tokens.start < next
                    && place(s) == here
                    && !NEW.iter().any(|new| text.contains(new))
        };
        let last = following.take_while(new).last();
        last.map_or(next, |(_, s)| s.tokens.end.min(next))
    }

    /// Returns the clauses that begin or end within `range`, in order.
    fn clauses(&self, range: &Range<usize>) -> impl Iterator<Item = &Clause> {
        let range = range.clone();
        let sentences = &self.reading.sentences;
        let from = sentences.partition_point(|s| s.tokens.end <= range.start);
        let until = sentences.partition_point(|s| s.tokens.start < range.end);
        let clauses = sentences[from..until.max(from)]
            .iter()
            .flat_map(|s| &s.clauses);
        clauses.filter(move |c| c.tokens.end > range.start && c.tokens.start < range.end)
    }

    /// Returns the items that are read out without a number: as they were (*the closer **was slamming***), or by
    /// name alone (***loose seat**, tight now*).
    fn described(&self, drafts: &[Draft], numbered: &[Entry]) -> Vec<Entry> {
        let mut entries: Vec<Entry> = Vec::new();
        let by_number = |at: usize| {
            let before = numbered.partition_point(|e| e.fault.start <= at);
            before > 0 && at < numbered[before - 1].said.end
        };
        for draft in drafts.iter().filter(|d| d.withdrawn.is_none()) {
            let fault = &draft.defects[0].tokens;
            let sentence = &self.reading.sentences[draft.sentence];
            let done = entries.last().is_some_and(|e| e.said.end > fault.start);
            let clause = sentence
                .clauses
                .iter()
                .find(|c| c.tokens.contains(&fault.start));
            let free = !done && !draft.defect_carried && !by_number(fault.start);
            let Some(clause) = clause.filter(|_| free) else {
                continue;
            };
            let mut before = clause.tokens.start..fault.start;
            let was = before
                .clone()
                .any(|at| matches!(self.word(at), "was" | "were" | "had"));
            let named = before.all(|at| class(self.word(at)) == Class::Determiner);
            if was || named && draft.element.tokens.start >= fault.start {
                let until = self.of_it(draft.sentence);
                entries.push(Entry {
                    number: None,
                    fault: clause.tokens.start..fault.end,
                    said: fault.end..until,
                });
            }
        }
        entries
    }

    /// Returns where the sentences end that go on about a sentence's thing: *it*, *they*, *still*.
    fn of_it(&self, sentence: usize) -> usize {
        let goes_on = |s: &&Sentence| {
            let said = s.tokens.clone().map(|at| self.word(at));
            let mut said = said.skip_while(|word| opener(word));
            let on = ["it", "they", "that", "those", "still", "not", "same"];
            said.next().is_some_and(|word| on.contains(&word))
        };
        let following = &self.reading.sentences[sentence + 1..];
        let last = following.iter().take(LONGEST).take_while(goes_on).last();
        last.unwrap_or(&self.reading.sentences[sentence]).tokens.end
    }
}
