//! A later visit: what was found about the items of the list, and what is new.
//!
//! # Steps
//! 1. `statements::standing`: what the words say of an item (*done*, *still*, *they say*).
//! 2. `refer`, `known`: which items are meant, by number, by place, or by description.
//! 3. `verdict`: those signs become where the work stands.
//! 4. `hear`: the walk, sentence after sentence; corrections and what goes on from one to the next.
//! 5. What names a defect and is about no item of the list is understood as a first walk-round is,
//!    and proposed as new.
//!
//! Nothing is overwritten: a [`Finding`] is a proposal, and the inspector decides on it.

mod hear;
mod known;
mod refer;
#[cfg(test)]
mod tests;
mod verdict;

use crate::items::{Item, Proposal, Seen, Standing, Status, Unplaced, propose};
use crate::lexicon::Lexicon;
use crate::speech::Transcript;
use crate::statements::grammar::{Class, class};
use crate::statements::reading::{self, Reading};
use crate::statements::standing::Sign;
use crate::time::Span;
use hear::{Group, hear};
use known::Known;
use refer::said_again;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::ops::Range;
use verdict::verdict;

/// What a later visit found about one item, as proposed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Finding {
    /// [`Item::id`] of the item.
    pub item: String,
    /// What was found, when, and in which words.
    pub seen: Seen,
    /// Probability, 0 to 1, that item and standing are both right; first values.
    pub confidence: f64,
    /// Why it is unsure, one short sentence each.
    pub reasons: Vec<String>,
}

/// One later visit.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct LaterVisit {
    /// Its number: 2 for the second.
    pub number: u32,
    /// Its date, `YYYY-MM-DD`.
    pub date: String,
}

/// What a later visit's recordings say.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Heard {
    /// Findings in the order of the list, one an item.
    pub findings: Vec<Finding>,
    /// New items, the places visited, and what made neither.
    pub fresh: Proposal,
}

/// A confidence from here on is sure enough to be shown without a mark. Own choice.
pub const SURE: f64 = 0.7;

/// Returns what `transcript`, the words of one later visit, says about `items`. Only confirmed items
/// are looked for: the others have not been on any list that anybody walked by.
pub fn understand(
    lexicon: &Lexicon,
    transcript: &Transcript,
    items: &[Item],
    visit: &LaterVisit,
) -> Heard {
    let reading = reading::read(lexicon, transcript);
    let known: Vec<Known> = items
        .iter()
        .filter(|item| item.status == Status::Confirmed)
        .map(|item| Known::new(lexicon, item))
        .collect();
    let walked = hear(lexicon, &reading, &transcript.words, &known);
    let voice = Voice {
        reading: &reading,
        transcript,
        visit,
    };
    let mut found: BTreeMap<usize, Finding> = BTreeMap::new();
    for group in walked.groups.iter().filter(|group| !group.withdrawn) {
        for &index in &group.items {
            let known = &known[index];
            if let Some(mut finding) = voice.finding(known.item, group) {
                if found.contains_key(&index) {
                    finding
                        .reasons
                        .push("said twice: the last words count".into());
                }
                found.insert(index, finding);
            }
        }
    }
    let mut fresh = propose(lexicon, transcript);
    let used: Vec<Range<usize>> = walked
        .groups
        .iter()
        .filter(|group| !group.items.is_empty() || group.withdrawn)
        .map(|group| voice.word_range(&group.tokens))
        .collect();
    fresh.items.retain(|item| !mostly_within(item, &used));
    let mut kept = Vec::new();
    for item in fresh.items {
        match said_again(lexicon, &known, &item) {
            Some(index) => {
                found
                    .entry(index)
                    .or_insert_with(|| voice.again(known[index].item, &item));
            }
            None => kept.push(item),
        }
    }
    fresh.items = kept;
    let told = |unplaced: &Unplaced| {
        found
            .values()
            .any(|finding| said_by(unplaced, &finding.seen))
    };
    let noted: Vec<String> = walked
        .notes
        .iter()
        .map(|(tokens, _)| voice.quote(tokens))
        .collect();
    fresh.unplaced.retain(|unplaced| {
        !told(unplaced)
            && !noted
                .iter()
                .any(|noted| unplaced.quote.contains(noted.as_str()))
    });
    for (tokens, why) in &walked.notes {
        fresh.unplaced.push(Unplaced {
            recording: voice.recording(tokens),
            span: voice.span(tokens),
            quote: voice.quote(tokens),
            why: why.clone(),
        });
    }
    Heard {
        findings: found.into_values().collect(),
        fresh,
    }
}

/// True where a sentence that made no item holds the words of a finding, or is held by them.
fn said_by(unplaced: &Unplaced, seen: &Seen) -> bool {
    let together = match (unplaced.span, seen.span) {
        (Some(a), Some(b)) => a.start < b.end && b.start < a.end,
        _ => true,
    };
    let (sentence, words) = (&unplaced.quote, &seen.quote);
    together && !words.is_empty() && (sentence.contains(words) || words.contains(sentence))
}

/// True where most of the words of a new item were said of items of the list.
fn mostly_within(item: &Item, used: &[Range<usize>]) -> bool {
    let Some((start, end)) = item.evidence.words else {
        return false;
    };
    let covered = (start..end)
        .filter(|at| used.iter().any(|range| range.contains(at)))
        .count();
    covered * 2 > end - start
}

/// The words behind findings.
struct Voice<'a> {
    reading: &'a Reading,
    transcript: &'a Transcript,
    visit: &'a LaterVisit,
}

impl Voice<'_> {
    fn finding(&self, item: &Item, group: &Group) -> Option<Finding> {
        let (standing, sure) = verdict(&group.signals, item.standing)?;
        let confidence = (sure * group.sure * 100.0).round() / 100.0;
        Some(Finding {
            item: item.id.clone(),
            seen: Seen {
                visit: self.visit.number,
                date: self.visit.date.clone(),
                standing,
                note: self.note(standing, group),
                recording: Some(self.recording(&group.tokens)),
                span: self.span(&group.tokens),
                quote: self.quote(&group.tokens),
            },
            confidence,
            reasons: group.reasons.clone(),
        })
    }

    /// The finding about an item that was named again like a new one.
    fn again(&self, item: &Item, said: &Item) -> Finding {
        Finding {
            item: item.id.clone(),
            seen: Seen {
                visit: self.visit.number,
                date: self.visit.date.clone(),
                standing: Standing::NotPutRight,
                note: String::new(),
                recording: Some(said.evidence.recording),
                span: said.evidence.span,
                quote: said.evidence.quote.clone(),
            },
            confidence: AGAIN,
            reasons: vec!["named again like a new one".into()],
        }
    }

    /// What was said beyond the standing, in the speaker's words; empty where that says it all.
    fn note(&self, standing: Standing, group: &Group) -> String {
        let told = group.told_from.min(group.tokens.end)..group.tokens.end;
        let dull = |at: &usize| {
            let word = self.reading.tokens[*at].norm.as_str();
            matches!(
                word,
                "'s" | "is" | "are" | "has" | "have" | "been" | "and" | "but" | "were" | "was"
            )
        };
        let plain = |at: usize| {
            group
                .signals
                .iter()
                .any(|signal| signal.tokens.contains(&at))
        };
        let more = self.after_where(told.clone(), group, &dull).max(told.start)..told.end;
        let more = more
            .clone()
            .any(|at| class(&self.reading.tokens[at].norm) == Class::Open && !plain(at));
        let always = matches!(
            standing,
            Standing::Changed | Standing::Offered | Standing::Closed
        ) || group
            .signals
            .iter()
            .any(|signal| signal.sign == Sign::Unseen);
        if !always && !more {
            return String::new();
        }
        let start = told.clone().find(|at| !dull(at)).unwrap_or(told.end);
        let start = self.after_where(start..told.end, group, &dull);
        let quote = self.quote(&(start..told.end));
        quote.trim_end_matches(['.', ',', ';', '!', ' ']).to_owned()
    }

    /// Returns where a note begins that opens with where the item is, *in the corner, they've filled
    /// it*: after that.
    fn after_where(
        &self,
        told: Range<usize>,
        group: &Group,
        dull: &dyn Fn(&usize) -> bool,
    ) -> usize {
        let tokens = &self.reading.tokens;
        let place = tokens
            .get(told.start)
            .is_some_and(|token| class(&token.norm) == Class::Preposition);
        let signs = group.signals.iter().map(|signal| signal.tokens.start);
        let sign = signs.filter(|start| told.contains(start)).min();
        let halts = |at: &usize| self.transcript.words[tokens[*at].word].text.ends_with(',');
        let (true, Some(sign)) = (place, sign) else {
            return told.start;
        };
        (told.start..sign)
            .rev()
            .find(|at| dull(at) || halts(at))
            .map_or(told.start, |at| at + 1)
    }

    fn recording(&self, tokens: &Range<usize>) -> u32 {
        let word = self
            .reading
            .tokens
            .get(tokens.start)
            .map(|token| token.word);
        word.and_then(|word| self.transcript.words.get(word))
            .map_or(1, |word| word.recording)
    }

    fn word_range(&self, tokens: &Range<usize>) -> Range<usize> {
        match self.reading.tokens.get(tokens.clone()) {
            Some([first, .., last]) => first.word..last.word + 1,
            Some([only]) => only.word..only.word + 1,
            _ => 0..0,
        }
    }

    fn quote(&self, tokens: &Range<usize>) -> String {
        let words = &self.transcript.words[self.word_range(tokens)];
        let texts: Vec<&str> = words.iter().map(|word| word.text.as_str()).collect();
        texts.join(" ")
    }

    fn span(&self, tokens: &Range<usize>) -> Option<Span> {
        let words = &self.transcript.words[self.word_range(tokens)];
        let spans = words.iter().map(|word| word.span);
        spans.reduce(|a, b| Some(a?.cover(b?))).flatten()
    }
}

/// Sureness that an item named again like a new one is as it was.
const AGAIN: f64 = 0.75;
