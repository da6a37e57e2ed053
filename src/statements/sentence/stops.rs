//! Which of the commas that a recogniser wrote were stops: *…, it'll wear off**,** toilet paper holder's on with one
//! screw*. Of the stops in recordings it writes one in six as a comma, and what is said behind it then seems to
//! belong to what was said before. Signs are weighed (`models/stops.toml`): the words on both sides, and what of the
//! building and its faults the clauses on both sides name.

use super::Break;
use super::said::{Said, named, stretches};
use crate::lexicon::{Hit, Lexicon, Token};
use crate::speech::{Transcript, Word};
use crate::statements::grammar::{Class, class, opener};
use crate::statements::signs::{OF_STOPS, Signs};
use std::ops::Range;

/// A comma, for whoever fits the weights.
#[derive(Debug, Clone, PartialEq)]
pub struct Comma {
    /// Index of the word before it.
    pub word: usize,
    /// It was taken for a stop.
    pub stop: bool,
    /// What speaks for a stop, with values.
    pub signs: Vec<(String, f32)>,
}

/// How much must speak for a stop, as a natural logarithm of odds: two to one. From even odds to three to one the items
/// that come out right in recordings of synthetic voices hardly differ.
const ENOUGH: f32 = 0.7;

/// More tokens of a clause, or commas of a sentence, count no more than these.
const LONG_CLAUSE: usize = 8;
const MANY_COMMAS: usize = 6;

/// Returns the commas of a transcript, whoever wrote it.
pub fn commas(lexicon: &Lexicon, transcript: &Transcript) -> Vec<Comma> {
    let tokens = lexicon.tokens(&transcript.words);
    let hits = lexicon.spot(&tokens);
    let breaks = super::breaks(&tokens, &transcript.words);
    let said = Said::new(lexicon, &tokens, &hits, &breaks);
    let all = (0..tokens.len()).filter(|&at| said.is_comma(at));
    all.map(|at| {
        let signs = said.signs(at, true);
        Comma {
            word: tokens[at].word,
            stop: signs.sum() > ENOUGH,
            signs: signs.kept().to_vec(),
        }
    })
    .collect()
}

/// Writes stops for the commas that a recogniser took them for. What a person typed stays as it is, unless there are
/// only commas.
pub(super) fn put_right(
    lexicon: &Lexicon,
    tokens: &[Token],
    words: &[Word],
    hits: &[Hit],
    breaks: &mut [Break],
) {
    let said = Said::new(lexicon, tokens, hits, breaks);
    let is_end = |gap| matches!(gap, Break::Stop | Break::Question);
    let mut unstopped = vec![false; breaks.len()];
    for stretch in stretches(breaks, is_end, ONLY_COMMAS) {
        unstopped[stretch].fill(true);
    }
    let heard = |at: usize| words[tokens[at].word].span.is_some() || unstopped[at];
    let is_stop =
        |&at: &usize| said.is_comma(at) && heard(at) && said.signs(at, false).sum() > ENOUGH;
    let stops: Vec<usize> = (0..tokens.len()).filter(is_stop).collect();
    for at in stops {
        breaks[at] = Break::Stop;
    }
}

/// Where so many tokens stand without a stop, commas were typed for stops: twice as many as the longest sentence of 203
/// texts that have stops has words.
const ONLY_COMMAS: usize = 100;

impl Said<'_> {
    fn is_comma(&self, at: usize) -> bool {
        self.breaks[at] == Break::Comma && at + 1 < self.tokens.len()
    }

    /// Returns what speaks for a stop behind the token.
    fn signs(&self, at: usize, kept: bool) -> Signs {
        let mut signs = Signs::new(&OF_STOPS, kept);
        signs.has("a comma");
        let before = self.clause_before(at);
        let after = self.clause_after(at);
        for (stands, word) in [
            ("last", self.word(at)),
            ("next", self.word(at + 1)),
            ("second", self.word(at + 2)),
            ("first", self.word(before.start)),
        ] {
            signs.has(&format!("{stands} {word}"));
            if class(word) == Class::Open {
                signs.has(&format!("{stands} …"));
            }
        }
        signs.when(
            self.word(at + 2) == "'s" || self.word(at + 3) == "'s",
            "its 's",
        );
        let told = self.names(&before);
        let tells = self.names(&after);
        signs.has(&format!("before: {told}"));
        signs.has(&format!("after: {tells}"));
        signs.has(&format!("{told}, then {tells}"));
        let opens = self.opens_with(&after);
        signs.has(&format!("opens with {opens}"));
        signs.has(&format!("{told}, opens with {opens}"));
        signs.has(&format!("before {} long", before.len().min(LONG_CLAUSE)));
        signs.has(&format!("after {} long", after.len().min(LONG_CLAUSE)));
        let ends = match self.breaks[after.end - 1] {
            Break::Comma => "comma",
            Break::None | Break::Stop | Break::Question => "stop",
        };
        signs.has(&format!("after it a {ends}"));
        signs.has(&format!("after it a {ends}, {tells}"));
        let sentence = self.sentence_before(at);
        let commas = sentence
            .clone()
            .filter(|&at| self.breaks[at] == Break::Comma);
        signs.has(&format!("{} commas", commas.count().min(MANY_COMMAS)));
        let earlier = self.names(&(sentence.start..before.start));
        signs.has(&format!("earlier: {earlier}"));
        signs
    }

    /// Returns the tokens from the last break up to and with a token.
    fn clause_before(&self, at: usize) -> Range<usize> {
        let start = (0..at).rev().find(|&at| self.breaks[at] != Break::None);
        start.map_or(0, |start| start + 1)..at + 1
    }

    /// Returns the tokens behind a token up to the next break.
    fn clause_after(&self, at: usize) -> Range<usize> {
        let end = (at + 1..self.tokens.len()).find(|&at| self.breaks[at] != Break::None);
        at + 1..end.map_or(self.tokens.len(), |end| end + 1)
    }

    /// Returns the tokens from the last stop on, no further back than matters.
    fn sentence_before(&self, at: usize) -> Range<usize> {
        let mut start = at;
        let mut commas = 0;
        while start > 0 && commas <= MANY_COMMAS {
            match self.breaks[start - 1] {
                Break::Stop | Break::Question => break,
                Break::Comma => commas += 1,
                Break::None => {}
            }
            start -= 1;
        }
        start..at
    }

    /// Returns what a clause opens with, behind words that only open it.
    fn opens_with(&self, clause: &Range<usize>) -> &'static str {
        let opens =
            |at: &usize| !opener(self.word(*at)) && class(self.word(*at)) != Class::Determiner;
        let Some(start) = clause.clone().find(opens) else {
            return "nothing";
        };
        match self.starting_at(start) {
            Some(hit) => named(hit.kind),
            None => match class(self.word(start)) {
                Class::Open => "a word",
                Class::Number => "a number",
                Class::Verb => "a verb",
                Class::Pronoun => "a pronoun",
                Class::Preposition => "a preposition",
                Class::Position => "a position",
                _ => "something else",
            },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::statements::reading::read;
    use crate::time::{Millis, Span};

    /// Returns the sentences of a text, of which every word took some time where it was `heard`.
    fn sentences(text: &str, heard: bool) -> Vec<String> {
        let mut words: Vec<Word> = text.split(' ').map(Word::written).collect();
        for (at, word) in words.iter_mut().enumerate().filter(|_| heard) {
            let start = 300 * at as u64;
            word.span = Some(Span::new(Millis(start), Millis(start + 300)));
        }
        let transcript = Transcript {
            recordings: Vec::new(),
            words,
        };
        let reading = read(Lexicon::embedded().unwrap(), &transcript);
        let said = |tokens: Range<usize>| {
            let words = reading.tokens[tokens]
                .iter()
                .map(|token| token.norm.as_str());
            words.collect::<Vec<_>>().join(" ")
        };
        let all = reading.sentences.iter();
        all.map(|sentence| said(sentence.tokens.clone())).collect()
    }

    #[test]
    fn a_stop_is_told_from_a_comma_that_a_recogniser_wrote() {
        let cases: [(&str, &[&str]); 3] = [
            (
                "The bulb's blown, put a new one in, fire door on the landing, the closer's missing.",
                &[
                    "the bulb 's blown put a new one in",
                    "fire door on the landing the closer 's missing",
                ],
            ),
            (
                "Scratches, a dent and a chip on the worktop.",
                &["scratches a dent and a chip on the worktop"],
            ),
            (
                "The door sticks, at the top.",
                &["the door sticks at the top"],
            ),
        ];
        for (text, expected) in cases {
            assert_eq!(sentences(text, true), expected, "{text}");
        }
    }

    #[test]
    fn a_comma_that_was_typed_stays_one() {
        let text =
            "The bulb's blown, put a new one in, fire door on the landing, the closer's missing.";
        assert_eq!(sentences(text, false).len(), 1);
    }
}
