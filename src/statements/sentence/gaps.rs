//! Where the sentences of a text end that has no stops: dictation without punctuation, typed in one go.
//!
//! Between two words of it nothing tells whether a sentence ends there but the words. Signs are weighed
//! (`models/gaps.toml`): the words on both sides, what of the building and its faults ends and begins there, and what
//! was named since the last stop. Stops are put in from left to right, so that those before count.

use super::Break;
use super::said::{Said, named, stretches};
use crate::lexicon::{Hit, Lexicon, Token};
use crate::speech::Transcript;
use crate::statements::grammar::{Class, class};
use crate::statements::signs::{OF_GAPS, Signs};
use std::collections::BTreeSet;

/// The room between two words, for whoever fits the weights.
#[derive(Debug, Clone, PartialEq)]
pub struct Gap {
    /// Index of the word before it.
    pub word: usize,
    /// What speaks for a stop, with values.
    pub signs: Vec<(String, f32)>,
}

/// Where so many tokens stand without a stop or a comma, none were written: the longest such stretch in 203 texts that
/// have stops is of 26 words.
const WITHOUT_STOPS: usize = 60;

/// How much must speak for a stop, as a natural logarithm of odds.
const ENOUGH: f32 = 0.0;

/// Longer sentences count no more than this, in tokens.
const LONG: usize = 20;

/// So many tokens behind a gap are looked at for what they name.
const AHEAD: usize = 5;

/// Returns the gaps of a text as if it had no stops but those behind the words `stops`.
pub fn gaps(lexicon: &Lexicon, transcript: &Transcript, stops: &BTreeSet<usize>) -> Vec<Gap> {
    let tokens = lexicon.tokens(&transcript.words);
    let hits = lexicon.spot(&tokens);
    let breaks = vec![Break::None; tokens.len()];
    let said = Said::new(lexicon, &tokens, &hits, &breaks);
    let mut start = 0;
    let mut out = Vec::new();
    for at in 0..tokens.len().saturating_sub(1) {
        if tokens[at].word == tokens[at + 1].word {
            continue;
        }
        out.push(Gap {
            word: tokens[at].word,
            signs: signs(&said, start, at, true).kept().to_vec(),
        });
        if stops.contains(&tokens[at].word) {
            start = at + 1;
        }
    }
    out
}

/// Puts stops where none were written.
pub(super) fn put_in(lexicon: &Lexicon, tokens: &[Token], hits: &[Hit], breaks: &mut [Break]) {
    for stretch in stretches(breaks, |gap| gap != Break::None, WITHOUT_STOPS) {
        let mut start = stretch.start;
        let mut stops = Vec::new();
        let said = Said::new(lexicon, tokens, hits, breaks);
        for at in stretch.start..stretch.end - 1 {
            let between_words = tokens[at].word != tokens[at + 1].word;
            if between_words && signs(&said, start, at, false).sum() > ENOUGH {
                stops.push(at);
                start = at + 1;
            }
        }
        for at in stops {
            breaks[at] = Break::Stop;
        }
    }
}

/// Returns what speaks for a stop behind the token `at`, where the sentence begins at `start`.
fn signs(said: &Said<'_>, start: usize, at: usize, kept: bool) -> Signs {
    let mut signs = Signs::new(&OF_GAPS, kept);
    signs.has("a gap");
    for (stands, word) in [
        ("last", said.word(at)),
        ("next", said.word(at + 1)),
        ("second", said.word(at + 2)),
        ("third", said.word(at + 3)),
        (
            "last but one",
            at.checked_sub(1).map_or("", |at| said.word(at)),
        ),
    ] {
        signs.has(&format!("{stands} {word}"));
        if class(word) == Class::Open {
            signs.has(&format!("{stands} …"));
        }
    }
    let since = start.max((at + 1).saturating_sub(LONG))..at + 1;
    let told = said.names(&since);
    let kind = |hit: Option<&Hit>| hit.map_or("nothing", |hit| named(hit.kind));
    let ends = kind(said.ending_at(at + 1));
    let starts = kind(said.starting_at(at + 1));
    let ahead = said.names(&(at + 1..said.len().min(at + 1 + AHEAD)));
    signs.has(&format!("since: {told}"));
    signs.has(&format!("since: {told}, ahead: {ahead}"));
    signs.has(&format!("ends {ends}"));
    signs.has(&format!("starts {starts}"));
    signs.has(&format!("ends {ends}, starts {starts}"));
    signs.has(&format!("since: {told}, starts {starts}"));
    signs.has(&format!("since: {told}, next {}", said.word(at + 1)));
    signs.has(&format!("since: {told}, ends {ends}, starts {starts}"));
    signs.has(&format!("ends {ends}, next {}", said.word(at + 1)));
    signs.has(&format!("{} {}", said.word(at), said.word(at + 1)));
    signs.has(&format!("then {} {}", said.word(at + 1), said.word(at + 2)));
    signs.has(&format!("{} long", (at + 1 - start).min(LONG)));
    if let Some(within) = said.across(at) {
        signs.has(&format!("within {}", named(within.kind)));
    }
    signs
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::speech::Word;
    use crate::statements::reading::read;
    use std::ops::Range;

    fn sentences(text: &str) -> Vec<String> {
        let transcript = Transcript {
            recordings: Vec::new(),
            words: text.split_whitespace().map(Word::written).collect(),
        };
        let reading = read(Lexicon::embedded().unwrap(), &transcript);
        let said = |tokens: Range<usize>| {
            let words = reading.tokens[tokens].iter();
            words
                .map(|token| token.norm.as_str())
                .collect::<Vec<_>>()
                .join(" ")
        };
        let sentences = reading.sentences.iter();
        sentences
            .map(|sentence| said(sentence.tokens.clone()))
            .collect()
    }

    #[test]
    fn a_text_without_stops_gets_them() {
        let text = "okay kitchen there's a scratch on the worktop by the sink the plinth's loose under the oven and \
            the tap drips right utility room the door sticks at the top there's no handle on the cupboard moving on \
            to the hall the skirting's come away from the wall behind the door and the smoke alarm's hanging off the \
            ceiling upstairs now bedroom one the window won't close and the sill's cracked";
        insta::assert_snapshot!(sentences(text).join("\n"), @r"
        okay kitchen
        there 's a scratch on the worktop by the sink the plinth 's loose under the oven and the tap drips right
        utility room
        the door sticks at the top there 's no handle on the cupboard moving on to the hall the skirting 's come away from the wall behind the door and the smoke alarm 's hanging off the ceiling
        upstairs now
        bedroom one
        the window will not close and the sill 's cracked
        ");
    }

    #[test]
    fn what_has_stops_or_is_short_stays_as_it_is() {
        let short = "kitchen there's a scratch on the worktop the plinth's loose";
        assert_eq!(sentences(short).len(), 1);
        let stops = format!(
            "{}.",
            ["The door sticks and the plinth's loose"; 12].join(". ")
        );
        assert_eq!(sentences(&stops).len(), 12);
    }
}
