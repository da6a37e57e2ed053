//! Whether a sentence tells a fault, judged by all of its words at once.
//!
//! The lexicon and the shapes of [`super::faults`] know a fault by the words that name it. People
//! have far more ways of saying that something is wrong (*the drain cock's facing the wall*, *it was
//! made for four*) than can be listed; but how they say it (which words, next to which, with what
//! asked for in the next sentence) is much the same from walk-round to walk-round. A logistic
//! regression over words and pairs of words tells how likely a sentence is to tell a fault. Its
//! weights are fitted to walk-rounds whose list is known (`examples/telling`, which writes
//! `models/telling.toml`).

use super::grammar::{Class, class, opener};
use super::piece::PieceKind;
use super::reading::Reading;
use crate::score::{fitted, sigmoid};
use rustc_hash::FxHashMap;
use std::ops::Range;
use std::sync::LazyLock;

/// The weights and how they came about.
static FITTED: &str = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/models/telling.toml"));

/// How many words of the next sentence count: orders and urgency stand at its beginning.
const NEXT_WORDS: usize = 6;

/// The sign that every sentence has.
pub const ALWAYS: &str = "*";

static WEIGHTS: LazyLock<FxHashMap<String, f32>> = LazyLock::new(|| fitted(FITTED));

/// Returns how likely the sentence at `index` tells a fault from the token `from` on, from 0 to 1.
pub fn tells(reading: &Reading, index: usize, from: usize) -> f64 {
    let mut sum = 0.0;
    signs(reading, index, from, &mut |sign| {
        sum += WEIGHTS.get(sign).copied().unwrap_or_default();
    });
    sigmoid(f64::from(sum))
}

/// Returns how much the words of a stretch speak for a fault: the sum of their weights and those of their
/// pairs.
pub fn weight(reading: &Reading, range: &Range<usize>) -> f32 {
    let weigh = |sign: &str| WEIGHTS.get(sign).copied().unwrap_or_default();
    let words: Vec<&str> = range.clone().map(|at| word(reading, at)).collect();
    let alone: f32 = words.iter().map(|word| weigh(word)).sum();
    let pairs = words.windows(2).map(|pair| weigh(&pair.join(" ")));
    alone + pairs.sum::<f32>()
}

/// Hands out what is known of a sentence from the token `from` on, sign by sign, some of them more than
/// once: [`ALWAYS`]; its words (a thing, a place and a figure as such, a number as `#`); pairs of
/// neighbours, with its beginning, its commas and its end; behind a `~` three neighbours, words of open
/// classes by their endings only; behind a `=` what is named in it; behind a `+` the first words of the
/// next sentence.
pub fn signs(reading: &Reading, index: usize, from: usize, sign: &mut dyn FnMut(&str)) {
    sign(ALWAYS);
    let said = symbols(reading, index, from);
    let mut run = String::new();
    let mut joined = |lead: &str, words: &[&str], sign: &mut dyn FnMut(&str)| {
        run.clear();
        run.push_str(lead);
        for (at, word) in words.iter().enumerate() {
            run.push_str(if at > 0 { " " } else { "" });
            run.push_str(word);
        }
        sign(&run);
    };
    for word in said[1..].iter().filter(|word| **word != ",") {
        sign(word);
    }
    for pair in said.windows(2) {
        joined("", pair, sign);
    }
    let shapes: Vec<&str> = said.iter().map(|word| shape(word)).collect();
    for three in shapes.windows(3) {
        joined("~", three, sign);
    }
    named(reading, index, from, sign);
    let next = reading.sentences.get(index + 1);
    let next = next
        .into_iter()
        .flat_map(|next| next.tokens.clone().take(NEXT_WORDS));
    for at in next {
        joined("+", &[word(reading, at)], sign);
    }
}

/// Returns what a sentence says, between its beginning and its end, with a comma before each further clause.
fn symbols(reading: &Reading, index: usize, from: usize) -> Vec<&str> {
    let sentence = &reading.sentences[index];
    let mut said = vec!["^"];
    let start = sentence.tokens.start.max(from);
    let mut at = start;
    while at < sentence.tokens.end {
        if at > start && sentence.clauses.iter().any(|c| c.tokens.start == at) {
            said.push(",");
        }
        let piece = reading.piece_at(at);
        let named = piece.and_then(|piece| match piece.kind {
            PieceKind::Element => Some("<thing>"),
            PieceKind::Place => Some("<place>"),
            PieceKind::Measure => Some("<figure>"),
            _ => None,
        });
        said.push(named.unwrap_or_else(|| word(reading, at)));
        let end = piece
            .filter(|_| named.is_some())
            .map_or(at, |piece| piece.tokens.end);
        at = end.max(at + 1);
    }
    said.push(if sentence.question { "?" } else { "$" });
    said
}

/// A word of an open class only by its ending.
fn shape(word: &str) -> &str {
    match class(word) {
        Class::Open if word.starts_with('<') || !word.starts_with(char::is_alphabetic) => word,
        Class::Open if word.ends_with("ed") => "_ed",
        Class::Open if word.ends_with("ing") => "_ing",
        Class::Open if word.ends_with("ly") => "_ly",
        Class::Open if word.ends_with('s') => "_s",
        Class::Open => "_",
        _ => word,
    }
}

/// A word as a sign: all numbers are alike.
fn word(reading: &Reading, at: usize) -> &str {
    let word = reading.tokens[at].norm.as_str();
    match class(word) {
        Class::Number => "#",
        _ => word,
    }
}

/// What the pieces of the sentence stand for.
fn named(reading: &Reading, index: usize, from: usize, sign: &mut dyn FnMut(&str)) {
    let tokens = &reading.sentences[index].tokens;
    let tokens = &(tokens.start.max(from)..tokens.end);
    let mut text = String::new();
    for piece in &reading.pieces[reading.within(tokens)] {
        match piece.kind {
            PieceKind::Defect if piece.negated => sign("=denied"),
            PieceKind::Defect => sign("=fault"),
            PieceKind::Remedy => sign("=remedy"),
            PieceKind::Trade => sign("=trade"),
            PieceKind::Phrase => {
                text.clear();
                text.push('=');
                text.push_str(&piece.text);
                sign(&text);
            }
            PieceKind::Element => {
                let opens = (tokens.start..piece.tokens.start).all(|at| {
                    let word = reading.tokens[at].norm.as_str();
                    opener(word) || matches!(class(word), Class::Determiner | Class::Position)
                });
                if opens {
                    sign("=subject");
                }
            }
            _ => {}
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::reading::read;
    use super::*;
    use crate::lexicon::Lexicon;
    use crate::speech::formats::{Format, Source, read as transcript};

    fn reading(text: &str) -> Reading {
        let sha256 = "0".repeat(64);
        let source = Source {
            file: "said.txt",
            sha256: &sha256,
            recording: 1,
        };
        let format = Format::from_file_name("said.txt").unwrap();
        let said = transcript(source, format, text.as_bytes()).unwrap();
        read(Lexicon::embedded().unwrap(), &said)
    }

    /// Returns how likely the first sentence of a text tells a fault.
    fn likely(text: &str) -> f64 {
        tells(&reading(text), 0, 0)
    }

    #[test]
    fn words_that_name_no_fault_tell_one() {
        for text in [
            "The drain cock's facing the wall so you'd never get a hose on it.",
            "The rail finishes four hundred short of the last riser.",
            "Glass shelf's resting on three pegs, and it was made for four.",
        ] {
            assert!(likely(text) > 0.5, "{text}");
        }
    }

    #[test]
    fn words_that_name_a_fault_need_not_tell_one() {
        for text in [
            "That's how you find a hollow one.",
            "It looked like a crack until I moved.",
            "Right, kitchen next.",
        ] {
            assert!(likely(text) < 0.2, "{text}");
        }
    }

    #[test]
    fn a_sentence_hands_out_its_words_their_pairs_and_what_follows() {
        let mut found = Vec::new();
        let reading = reading("The radiator drips. Swap it.");
        signs(&reading, 0, 0, &mut |sign| found.push(sign.to_owned()));
        for sign in [
            "*",
            "drips",
            "^ the",
            "the <thing>",
            "drips $",
            "=fault",
            "=subject",
            "+swap",
        ] {
            assert!(found.iter().any(|f| f == sign), "{sign}: {found:?}");
        }
    }
}
