//! What was said beside what was heard, name by name.

use callover::lexicon::{How, Kind, Lexicon, TermId, Token};
use callover::speech::Word;
use callover::speech::formats::{Format, Source, read as read_words};
use callover::statements::reading::{Reading, read};
use std::error::Error;
use std::ops::Range;

/// What is looked for.
pub(crate) const KINDS: [Kind; 4] = [Kind::Place, Kind::Element, Kind::Defect, Kind::Remedy];

/// A name that was said, and what became of it.
#[derive(Debug)]
pub(crate) struct Heard {
    pub(crate) kind: Kind,
    /// The term's name.
    pub(crate) name: String,
    pub(crate) voice: String,
    /// Which line of all that the voices said.
    pub(crate) line: usize,
    /// The words heard in its place, lowercase; empty where there are none.
    pub(crate) words: String,
    /// True where the recogniser took one of them for somebody's name.
    pub(crate) proper: bool,
    /// True where the program understands them as this term.
    pub(crate) recognised: bool,
}

/// Returns what was heard of each name in lines of text; `words` is a transcript as `take` writes it.
pub(crate) fn compare(
    lexicon: &Lexicon,
    text: &str,
    words: &[u8],
    voice: &str,
) -> Result<Vec<Heard>, Box<dyn Error>> {
    let source = |file| Source {
        file,
        sha256: "",
        recording: 1,
    };
    let said = read_words(source("lines.txt"), Format::Text, text.as_bytes())?;
    let heard = read_words(source("words.json"), Format::Json, words)?;
    let as_written = |word: &Word| Word {
        meant: None,
        ..word.clone()
    };
    let as_written: Vec<Word> = heard.words.iter().map(as_written).collect();
    let tokens = lexicon.tokens(&as_written);
    let (said, understood) = (read(lexicon, &said), read(lexicon, &heard));
    let beside = lexicon.heard_for(&said.tokens, &tokens).tokens;
    let mut out = Vec::new();
    for (term, range) in named(&said, |how| how == How::Exact) {
        let kind = lexicon.kind(term);
        if !KINDS.contains(&kind) {
            continue;
        }
        let stands = |at: &usize| beside[*at].is_some_and(|said| range.contains(&said));
        let places: Vec<usize> = (0..tokens.len()).filter(stands).collect();
        let heard = match (places.first(), places.last()) {
            (Some(first), Some(last)) => *first..last + 1,
            _ => 0..0,
        };
        let words = |tokens: &[Token], range: &Range<usize>| {
            let words = tokens[range.clone()].iter().map(|token| token.word);
            words.clone().min().unwrap_or(0)..words.max().map_or(0, |last| last + 1)
        };
        let spoken = words(&tokens, &heard);
        let proper = spoken.clone().any(|at| {
            let within = at > 0 && !ends(&as_written[at - 1].text);
            within && as_written[at].text.starts_with(char::is_uppercase)
        });
        let recognised = named(&understood, |_| true).any(|(other, range)| {
            let other_words = words(&understood.tokens, &range);
            other == term && other_words.start < spoken.end && spoken.start < other_words.end
        });
        let norms: Vec<&str> = tokens[heard].iter().map(|token| &*token.norm).collect();
        out.push(Heard {
            kind,
            name: lexicon.name(term).to_owned(),
            voice: voice.to_owned(),
            line: said.tokens[range.start].word,
            words: norms.join(" ").replace(" 's", "'s"),
            proper,
            recognised,
        });
    }
    Ok(out)
}

/// Returns true for the last word of a sentence.
fn ends(word: &str) -> bool {
    word.ends_with(['.', '!', '?'])
}

/// Returns the places, things, faults and remedies of a reading.
fn named(reading: &Reading, how: fn(How) -> bool) -> impl Iterator<Item = (TermId, Range<usize>)> {
    let pieces = reading.pieces.iter().chain(&reading.places);
    let mut named: Vec<(TermId, Range<usize>)> = pieces
        .chain(&reading.elements)
        .filter(|piece| how(piece.how))
        .filter_map(|piece| Some((piece.term?, piece.tokens.clone())))
        .collect();
    named.sort_by_key(|(term, range)| (range.start, range.end, term.0));
    named.dedup();
    named.into_iter()
}
