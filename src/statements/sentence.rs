//! Sentences and clauses: where one thought ends and the next begins, from punctuation, line ends
//! and pauses.

mod gaps;
mod said;
mod stops;

use super::grammar::hesitation;
use crate::lexicon::{Hit, Lexicon, Part, Token};
use crate::speech::Word;
pub use gaps::{Gap, gaps};
use std::ops::Range;
pub use stops::{Comma, commas};

/// A pause at least this long, in milliseconds, ends a sentence even where no full stop was
/// written: inspectors breathe for well under a second within a thought and walk for longer
/// between two (common practice, no source; the development walk-rounds pause 0.9 s or more
/// between utterances).
const SENTENCE_PAUSE: u64 = 1_200;

/// A pause at least this long, in milliseconds, ends a sentence even at a comma, and is time enough
/// to walk to another place (common practice, no source).
const WALKING_PAUSE: u64 = 1_500;

/// A pause at least this long, in milliseconds, separates two thoughts: within one, words follow each
/// other within a quarter of a second (common practice, no source).
const BREATH: u64 = 600;

/// The longest that a spoken word takes, in milliseconds: dictated words of four syllables stay under
/// one second (common practice, no source).
const LONGEST_WORD: u64 = 1_200;

/// How a clause is joined to the one before it in its sentence.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Join {
    /// It opens the sentence.
    Start,
    /// After a comma, semicolon, colon or dash.
    Comma,
    /// After *and*, *also*, *plus*.
    And,
    /// After *but*, *though*, *although*.
    But,
    /// After *so*, *because*, *which*, *or*: a reason or consequence.
    So,
}

/// A stretch of a sentence that says one thing.
#[derive(Debug, Clone, PartialEq)]
pub struct Clause {
    /// Its tokens, without the joining word.
    pub tokens: Range<usize>,
    /// How it is joined.
    pub join: Join,
}

/// A sentence with its clauses.
#[derive(Debug, Clone, PartialEq)]
pub struct Sentence {
    /// Its tokens.
    pub tokens: Range<usize>,
    /// Its clauses, in order; together they cover the sentence but for joining words.
    pub clauses: Vec<Clause>,
    /// The pause before it in milliseconds; endless at the start of a recording, 0 without times.
    pub pause: u64,
    /// True where it ends with a question mark.
    pub question: bool,
}

impl Sentence {
    /// Returns true where the speaker paused long enough before it to have walked to another place.
    pub fn paused(&self) -> bool {
        self.pause >= WALKING_PAUSE
    }

    /// Returns true where the speaker at least drew breath before it.
    pub fn breathed(&self) -> bool {
        self.pause >= BREATH
    }
}

/// What separates a token from the next one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Break {
    None,
    Comma,
    Stop,
    Question,
}

/// Returns the sentences of the whole transcript, in order; `hits` are what the lexicon has of it.
pub fn sentences(
    lexicon: &Lexicon,
    tokens: &[Token],
    words: &[Word],
    hits: &[Hit],
) -> Vec<Sentence> {
    let mut breaks = breaks(tokens, words);
    if !lexicon.lacks(Part::Stops) {
        gaps::put_in(lexicon, tokens, hits, &mut breaks);
        stops::put_right(lexicon, tokens, words, hits, &mut breaks);
    }
    parted(tokens, words, &breaks)
}

/// Returns the sentences that end where the breaks say it.
fn parted(tokens: &[Token], words: &[Word], breaks: &[Break]) -> Vec<Sentence> {
    let mut out = Vec::new();
    let mut start = 0;
    for (at, gap) in breaks.iter().enumerate() {
        if matches!(gap, Break::Stop | Break::Question) || at + 1 == tokens.len() {
            let range = start..at + 1;
            let clauses = clauses(tokens, breaks, range.clone());
            out.push(Sentence {
                question: *gap == Break::Question && !only_shows(tokens, &clauses),
                clauses,
                pause: pause_before(tokens, words, start),
                tokens: range,
            });
            start = at + 1;
        }
    }
    out
}

/// *There's no brush on it, **feel that?***: what stands before is told, and only shown to somebody.
fn only_shows(tokens: &[Token], clauses: &[Clause]) -> bool {
    let [.., _, last] = clauses else {
        return false;
    };
    let said: Vec<&str> = last
        .tokens
        .clone()
        .map(|at| tokens[at].norm.as_str())
        .collect();
    matches!(
        said[..],
        [
            "feel" | "hear" | "see" | "smell" | "notice",
            "that" | "it" | "this" | "them"
        ]
    )
}

/// Returns the pause before a token in milliseconds; at the start of a recording it is endless, and
/// without times there is none.
pub(super) fn pause_before(tokens: &[Token], words: &[Word], at: usize) -> u64 {
    let word = &words[tokens[at].word];
    let Some(before) = tokens[at]
        .word
        .checked_sub(1)
        .map(|b| &words[b])
        .filter(|b| b.recording == word.recording)
    else {
        return u64::MAX;
    };
    match (before.span, word.span) {
        (Some(a), Some(b)) => {
            // A word that seems to last for seconds has swallowed the silence before it.
            let swallowed = b.length().saturating_sub(LONGEST_WORD);
            b.start.0.saturating_sub(a.end.0) + swallowed
        }
        _ => 0,
    }
}

fn breaks(tokens: &[Token], words: &[Word]) -> Vec<Break> {
    (0..tokens.len())
        .map(|at| {
            let word = tokens[at].word;
            let next = tokens.get(at + 1).map(|t| t.word);
            if next == Some(word) {
                return Break::None;
            }
            let heard = &words[Word::end_of(words, word) - 1];
            let written = match heard
                .text
                .trim_end_matches(['"', '\'', ')', '”', '’'])
                .chars()
                .last()
            {
                Some('?') => Break::Question,
                // Who types a list parts its items by semicolons.
                Some('.' | '!' | '…' | ';') => Break::Stop,
                Some(',' | ':' | '-' | '–' | '—') => Break::Comma,
                _ => Break::None,
            };
            let pause = if at + 1 < tokens.len() {
                pause_before(tokens, words, at + 1)
            } else {
                0
            };
            match written {
                Break::Comma
                    if !heard.line_end
                        && (hesitation(&tokens[at].norm)
                            || tokens.get(at + 1).is_some_and(|t| hesitation(&t.norm))) =>
                {
                    Break::None
                }
                Break::None if heard.line_end || pause >= SENTENCE_PAUSE => Break::Stop,
                Break::Comma if heard.line_end || pause >= WALKING_PAUSE => Break::Stop,
                other => other,
            }
        })
        .collect()
}

fn joining(word: &str) -> Option<Join> {
    Some(match word {
        "but" | "though" | "although" | "except" => Join::But,
        "because" | "cos" | "which" | "so" | "since" => Join::So,
        _ => return None,
    })
}

/// *The worktop is fine **apart from** a scratch*, and not *it's come apart from the wall*.
fn excepting(tokens: &[Token], at: usize) -> bool {
    let word = |at: usize| tokens.get(at).map_or("", |t| t.norm.as_str());
    word(at) == "apart" && word(at + 1) == "from" && PRAISES.contains(&word(at - 1))
}

/// Words that end praise.
#[rustfmt::skip]
const PRAISES: &[&str] = &[
    "fine", "good", "okay", "ok", "great", "perfect", "lovely", "sound", "right", "clean", "tidy", "nice", "well",
    "there", "here", "alright", "on", "solid", "straight", "square",
];

fn clauses(tokens: &[Token], breaks: &[Break], sentence: Range<usize>) -> Vec<Clause> {
    let mut out: Vec<Clause> = Vec::new();
    let mut start = sentence.start;
    let mut join = Join::Start;
    let mut close = |from: usize, to: usize, join: Join| {
        if from < to {
            out.push(Clause {
                tokens: from..to,
                join,
            });
        }
    };
    for at in sentence.clone() {
        let word = tokens[at].norm.as_str();
        if let Some(next) = joining(word).filter(|_| at > start || at > sentence.start) {
            close(start, at, join);
            (start, join) = (at + 1, next);
        } else if at > start && excepting(tokens, at) {
            close(start, at, join);
            (start, join) = (at + 2, Join::But);
        } else if at == start && join == Join::Comma && matches!(word, "and" | "also" | "plus") {
            (start, join) = (at + 1, Join::And);
        }
        if breaks[at] == Break::Comma {
            close(start, at + 1, join);
            if start <= at || join == Join::Start {
                join = Join::Comma;
            }
            start = at + 1;
        }
    }
    close(start, sentence.end, join);
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn split(text: &str) -> Vec<String> {
        let words: Vec<Word> = text
            .split_whitespace()
            .map(|w| Word {
                text: w.into(),
                recording: 1,
                span: None,
                probability: 1.0,
                line_end: false,
                meant: None,
            })
            .collect();
        let tokens: Vec<Token> = words
            .iter()
            .enumerate()
            .map(|(word, w)| Token {
                norm: w
                    .text
                    .to_lowercase()
                    .trim_matches(|c: char| !c.is_alphanumeric())
                    .into(),
                word,
                probability: 1.0,
            })
            .collect();
        parted(&tokens, &words, &breaks(&tokens, &words))
            .iter()
            .map(|s| {
                s.clauses
                    .iter()
                    .map(|c| {
                        let said: Vec<_> = tokens[c.tokens.clone()]
                            .iter()
                            .map(|t| t.norm.as_str())
                            .collect();
                        format!("{:?} {}", c.join, said.join(" "))
                    })
                    .collect::<Vec<_>>()
                    .join(" | ")
            })
            .collect()
    }

    #[test]
    fn sentences_end_at_full_stops_and_clauses_at_commas_and_joining_words() {
        let cases = [
            ("Hall. Door binds.", vec!["Start hall", "Start door binds"]),
            (
                "Sill's loose, and the cill end is cracked.",
                vec!["Start sill's loose | And the cill end is cracked"],
            ),
            (
                "It drips because the nut is slack.",
                vec!["Start it drips | So the nut is slack"],
            ),
            ("So the lead is short", vec!["Start so the lead is short"]),
            ("Fine, but cold.", vec!["Start fine | But cold"]),
        ];
        for (text, expected) in cases {
            assert_eq!(split(text), expected, "{text}");
        }
    }
}
