//! One item made two, and two made one.

use super::around::{quote, span};
use super::change::Refusal;
use super::state::Session;
use crate::items::{Evidence, Item, RemedySource, Status};
use crate::job::Decision;
use crate::speech::Word;
use crate::time::{Millis, Span};

impl Session {
    /// The item up to a word of its quote, and a new item of the rest. What each half says is
    /// understood anew where that is possible; what is not said again in the second half is as in
    /// the first. Both are undecided.
    pub(super) fn split(&self, number: u32, at: usize) -> Result<Decision, Refusal> {
        let item = self.living(number)?;
        let words = item.evidence.quote.split_whitespace().count();
        if at == 0 || at >= words {
            return Err(Refusal::SplitOutside { number, words });
        }
        let new = self.list().highest + 1;
        let [first, second] = self.halves(&item.evidence, at);
        let quotes = [first.quote.clone(), second.quote.clone()];
        let first = self.half(item, first, &quotes[1]);
        let second = Item {
            number: new,
            id: self.new_id(new),
            photos: Vec::new(),
            ..self.half(item, second, &quotes[0])
        };
        Ok(Decision::Split {
            item: item.id.clone(),
            at,
            first: Box::new(first),
            second: Box::new(second),
        })
    }

    /// The item as one half of what was heard makes it; `rest` is the other half's quote.
    fn half(&self, item: &Item, evidence: Evidence, rest: &str) -> Item {
        let heard = self.words_of(evidence.recording, evidence.span, &evidence.quote);
        let heard = evidence
            .words
            .and_then(|range| self.around.said(range))
            .unwrap_or(&heard);
        let mut half = Item {
            evidence,
            status: Status::Proposed,
            limits: Vec::new(),
            ..item.clone()
        };
        if let Some(guess) = self.around.understood(heard) {
            half = Item {
                number: half.number,
                id: half.id,
                place: half.place,
                photos: half.photos,
                photo_wanted: half.photo_wanted,
                standing: half.standing,
                history: half.history,
                due: half.due,
                evidence: Evidence {
                    terms: guess.evidence.terms,
                    ..half.evidence
                },
                ..guess
            };
        } else {
            // What was plainly said in the other half only is not this one's.
            let quote = half.evidence.quote.clone();
            let said = |words: &str| holds_all(&quote, words) || !holds_all(rest, words);
            half.measurements
                .retain(|measurement| said(&measurement.spoken));
            half.remarks.retain(|remark| said(remark));
            half.evidence
                .terms
                .retain(|term| said(&term.heard) || term.how == "carried");
            let terms = half.evidence.terms.clone();
            let named = |kind: &str| terms.iter().rfind(|term| term.kind == kind);
            if let Some(defect) = named("defect") {
                half.defect.clone_from(&defect.name);
            }
            half.description = self.describer()(&half);
        }
        half
    }

    /// Divides what an item rests on before the word `at` of its quote. Times come from the words
    /// heard; where these are not at hand, the span is shared out by the number of words.
    fn halves(&self, evidence: &Evidence, at: usize) -> [Evidence; 2] {
        let texts: Vec<&str> = evidence.quote.split_whitespace().collect();
        let range = evidence.words.filter(|(from, to)| to - from == texts.len());
        let part = |from: usize, to: usize| {
            let range = range.map(|(start, _)| (start + from, start + to));
            let said = range.and_then(|range| self.around.said(range));
            Evidence {
                span: match said {
                    Some(words) => span(words),
                    None => evidence.span.map(|span| share(span, from, to, texts.len())),
                },
                quote: texts[from..to].join(" "),
                words: range,
                reasons: [&evidence.reasons[..], &["split off by hand".into()]].concat(),
                ..evidence.clone()
            }
        };
        [part(0, at), part(at, texts.len())]
    }

    /// The words behind a quote: as heard where the transcript has them at that time, otherwise
    /// the quote's own, certain and without time.
    pub(super) fn words_of(&self, recording: u32, at: Option<Span>, text: &str) -> Vec<Word> {
        let within = |word: &&Word| {
            let inside =
                |span: Span| at.is_some_and(|at| at.start <= span.start && span.end <= at.end);
            word.recording == recording && word.span.is_some_and(inside)
        };
        let heard: Vec<Word> = self.around.words.iter().filter(within).cloned().collect();
        if !heard.is_empty() && quote(&heard) == text {
            return heard;
        }
        text.split_whitespace()
            .map(|text| Word {
                text: text.to_owned(),
                recording,
                span: None,
                probability: 1.0,
                line_end: false,
                meant: None,
            })
            .collect()
    }

    /// Both items in the first. Where they differ, the first one's facts stand and the other's are
    /// kept as a remark; what adds up is added up.
    pub(super) fn merge(&self, number: u32, other: u32) -> Result<Decision, Refusal> {
        let (item, gone) = (self.living(number)?, self.living(other)?);
        if number == other {
            return Err(Refusal::MergeWithItself(number));
        }
        let mut merged = item.clone();
        if item.status != gone.status {
            merged.status = Status::Proposed;
        }
        let holds = |text: &str, part: &str| text.to_lowercase().contains(&part.to_lowercase());
        let same_element = item.element.eq_ignore_ascii_case(&gone.element);
        if same_element && !holds(&item.defect, &gone.defect) {
            merged.defect = format!("{}, {}", item.defect, gone.defect);
        } else if !same_element {
            let text = format!("{}: {}", gone.element, gone.defect);
            add_new(&mut merged.remarks, &[text]);
        }
        if !holds(&item.description, &gone.description) {
            merged.description = format!("{} {}", item.description, gone.description);
        }
        merged.position = item.position.clone().or_else(|| gone.position.clone());
        merged.count = item.count.max(gone.count);
        merged.remedy = joined(item.remedy.as_deref(), gone.remedy.as_deref(), "; ");
        merged.remedy_source = match (item.remedy_source, gone.remedy_source) {
            (Some(RemedySource::Spoken), _) | (_, Some(RemedySource::Spoken)) => {
                Some(RemedySource::Spoken)
            }
            (first, second) => first.or(second),
        };
        merged.trade = item.trade.clone().or_else(|| gone.trade.clone());
        merged.severity = item.severity.min(gone.severity);
        merged.caution = joined(item.caution.as_deref(), gone.caution.as_deref(), " ");
        merged.hedged = item.hedged && gone.hedged;
        merged.photo_wanted = item.photo_wanted || gone.photo_wanted;
        add_new(&mut merged.measurements, &gone.measurements);
        add_new(&mut merged.limits, &gone.limits);
        add_new(&mut merged.remarks, &gone.remarks);
        add_new(&mut merged.photos, &gone.photos);
        add_new(&mut merged.history, &gone.history);
        let reason = match gone.evidence.quote.as_str() {
            "" => format!("item {other} was merged into it"),
            quote => format!("item {other} was merged into it: “{quote}”"),
        };
        merged.evidence.reasons.push(reason);
        add_new(&mut merged.evidence.terms, &gone.evidence.terms);
        Ok(Decision::Merge {
            item: item.id.clone(),
            other: gone.id.clone(),
            merged: Box::new(merged),
        })
    }
}

/// True where all the words occur in the text.
fn holds_all(text: &str, words: &str) -> bool {
    let plain = |word: &str| {
        word.trim_matches(|c: char| !c.is_alphanumeric())
            .to_lowercase()
    };
    let held: Vec<String> = text.split_whitespace().map(plain).collect();
    words
        .split_whitespace()
        .all(|word| held.contains(&plain(word)))
}

/// Both texts, each once.
fn joined(first: Option<&str>, second: Option<&str>, between: &str) -> Option<String> {
    match (first, second) {
        (Some(first), Some(second)) if !first.contains(second) => {
            Some(format!("{first}{between}{second}"))
        }
        (first, second) => first.or(second).map(str::to_string),
    }
}

fn add_new<T: Clone + PartialEq>(to: &mut Vec<T>, from: &[T]) {
    for value in from {
        if !to.contains(value) {
            to.push(value.clone());
        }
    }
}

/// The share of a span that words `from` to `to` of `all` take, if all take the same time.
fn share(span: Span, from: usize, to: usize, all: usize) -> Span {
    let at = |words: usize| {
        let part = span.length() as u128 * words as u128 / all.max(1) as u128;
        Millis(span.start.0 + part as u64)
    };
    Span::new(at(from), at(to))
}
