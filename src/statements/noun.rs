//! Noun phrases: the words around an element that belong to it, and elements in the speaker's own
//! words where the lexicon has none.

use super::grammar::{Class, class, hesitation, participle};
use super::piece::{Piece, PieceKind, piece_at};
use crate::lexicon::{TermId, Token};
use std::ops::Range;

/// A thing spoken of.
#[derive(Debug, Clone, PartialEq)]
pub struct Noun {
    /// All its tokens, modifiers included.
    pub tokens: Range<usize>,
    /// What the list shows: the modifiers and the element, without words of position.
    pub text: String,
    /// The lexicon entry of its head; `None` for the speaker's own words.
    pub term: Option<TermId>,
    /// Words of position among its modifiers (*left hand*, *second*).
    pub position: Option<String>,
    /// The index of its piece, where the lexicon knows it.
    pub piece: Option<usize>,
}

/// Adjectives that say how the speaker likes it, or nothing: not part of a name.
const EVALUATIVE: &[&str] = &[
    "nice",
    "good",
    "lovely",
    "big",
    "great",
    "small",
    "new",
    "old",
    "long",
    "large",
    "odd",
    "wee",
    "little",
    "slight",
    "minor",
    "bad",
    "poor",
    "funny",
    "decent",
    "proper",
    "tidy",
    "whole",
    "actual",
    "main",
    "usual",
    "certain",
    "particular",
    "different",
    "other",
    "own",
    "beautiful",
    "massive",
    "tiny",
    "huge",
    "bloody",
    "photo",
    "picture",
    "parallel",
    "deep",
    "faint",
    "heavy",
    "light",
    "bald",
    "short",
    "wide",
    "stray",
    "active",
];

/// Words that look open but head no element.
const NOT_A_THING: &[&str] = &[
    "terrace",
    "terraced",
    "bungalow",
    "townhouse",
    "dwelling",
    "today",
    "morning",
    "afternoon",
    "time",
    "times",
    "job",
    "thing",
    "things",
    "way",
    "place",
    "day",
    "week",
    "people",
    "man",
    "lad",
    "lads",
    "guy",
    "buyer",
    "buyers",
    "builder",
    "builders",
    "painter",
    "painters",
    "plasterer",
    "plasterers",
    "plumber",
    "plumbers",
    "sparky",
    "sparkies",
    "joiner",
    "joiners",
    "tiler",
    "tilers",
    "fitter",
    "fitters",
    "installer",
    "installers",
    "how",
    "what",
    "y'all",
    "yall",
    "reason",
    "shame",
    "course",
    "fact",
    "look",
    "priority",
    "urgent",
    "high",
    "safety",
    "hazard",
    "issue",
    "problem",
    "note",
    "photo",
    "picture",
    "mil",
    "mm",
    "metre",
    "metres",
    "inch",
    "inches",
    "foot",
    "feet",
    "millimetres",
    "millimetre",
    "rear",
    "side",
    "sides",
    "corner",
    "hand",
    "hold",
    "sorry",
    "sure",
    "number",
    "item",
    "fine",
    "okay",
    "line",
    "level",
    "plumb",
    "square",
    "stuff",
    "lot",
    "lots",
    "loads",
    "tons",
    "plenty",
    "yet",
    "drawing",
    "recording",
    "idea",
    "else",
    "apart",
    "sit",
    "lean",
    "stand",
    "listen",
    "try",
    "press",
    "push",
    "pull",
    "remember",
];

/// Returns the noun phrase around the element piece `index`: open words, places and words of
/// position that stand directly before it, back to `from`, belong to it.
pub fn around(tokens: &[Token], pieces: &[Piece], index: usize, from: usize) -> Noun {
    let piece = &pieces[index];
    let mut start = piece.tokens.start;
    while start > from {
        let before = start - 1;
        let covering = piece_at(pieces, before);
        let word = tokens[before].norm.as_str();
        match covering {
            Some(p)
                if matches!(p.kind, PieceKind::Element | PieceKind::Place)
                    && p.tokens.start >= from =>
            {
                start = p.tokens.start
            }
            Some(p)
                if p.kind == PieceKind::Phrase
                    && p.text == "position"
                    && p.tokens.start >= from =>
            {
                start = p.tokens.start
            }
            None if modifies(word) => start = before,
            _ => break,
        }
    }
    let end = head_behind(tokens, pieces, piece.tokens.end);
    let (text, position) = name(tokens, start..end, piece);
    Noun {
        tokens: start..end,
        text,
        term: piece.term,
        position,
        piece: Some(index),
    }
}

/// Returns where a name ends of which the lexicon has only the first part: *shelf **pins** missing*, *the cill
/// **bar**'s loose*. What stands between a thing and its fault, or its verb, is a noun unless it ends like
/// another kind of word.
fn head_behind(tokens: &[Token], pieces: &[Piece], end: usize) -> usize {
    let Some([head, next]) = tokens.get(end..end + 2) else {
        return end;
    };
    let word = head.norm.as_str();
    let free = |at: usize| piece_at(pieces, at).is_none();
    let fault = piece_at(pieces, end + 1)
        .is_some_and(|piece| piece.kind == PieceKind::Defect && piece.tokens.start == end + 1);
    let told = fault || free(end + 1) && class(&next.norm) == Class::Verb;
    let noun = modifies(word) && class(word) == Class::Open && !hesitation(word);
    let noun = noun && !NO_NOUN.iter().any(|ending| word.ends_with(ending));
    if noun && told && free(end) {
        end + 1
    } else {
        end
    }
}

/// How words end that are seldom nouns.
const NO_NOUN: &[&str] = &["ing", "ed", "en", "y", "ful", "less", "ish", "n't"];

fn modifies(word: &str) -> bool {
    match class(word) {
        Class::Position => true,
        Class::Open => {
            !EVALUATIVE.contains(&word) && !NOT_A_THING.contains(&word) && !word.ends_with("ly")
        }
        _ => false,
    }
}

/// Splits a phrase into the name to show and its words of position.
fn name(tokens: &[Token], range: Range<usize>, head: &Piece) -> (String, Option<String>) {
    let mut shown = Vec::new();
    let mut position = Vec::new();
    for at in range {
        let word = tokens[at].norm.as_str();
        if head.tokens.contains(&at) {
            if at == head.tokens.start {
                shown.push(head.text.as_str());
            }
            continue;
        }
        match class(word) {
            Class::Position => position.push(word),
            _ => shown.push(word),
        }
    }
    (
        (shown.join(" ")),
        (!position.is_empty()).then(|| position.join(" ")),
    )
}

/// Returns the noun phrase in the speaker's own words that ends before `before`, looking back no
/// further than `from`: the subject of what follows. Words under pieces are not own words.
pub fn subject_before(
    tokens: &[Token],
    pieces: &[Piece],
    from: usize,
    before: usize,
) -> Option<Noun> {
    let mut end = before;
    // Skip back over the verb and its adverbs: "hinge [is really] slack".
    while end > from && !usable(tokens, pieces, end - 1) {
        if matches!(
            class(&tokens[end - 1].norm),
            Class::Pronoun | Class::Conjunction
        ) {
            return None;
        }
        end -= 1;
    }
    let mut start = end;
    while start > from
        && (usable(tokens, pieces, start - 1) || class(&tokens[start - 1].norm) == Class::Position)
    {
        start -= 1;
    }
    // "I further observed condensation", "whoever painted this left a drip": what somebody does.
    let somebody = |word: &str| {
        matches!(
            word,
            "i" | "we" | "they" | "whoever" | "somebody" | "someone" | "who"
        )
    };
    if start > from && somebody(&tokens[start - 1].norm) {
        return None;
    }
    // "It's **holding** a puddle", "I'm **using** the drone": what it or one does.
    let does = |word: &str| word.ends_with("ing") || participle(word);
    if start > from + 1
        && matches!(
            tokens[start - 1].norm.as_str(),
            "'s" | "is" | "'m" | "are" | "'re" | "not"
        )
        && (start - 2..start).any(|at| class(&tokens[at].norm) == Class::Pronoun)
        && end == start + 1
        && does(&tokens[start].norm)
    {
        return None;
    }
    // "the gap round the pipe": the head stands before the preposition.
    if start > from + 1 {
        let mut at = start;
        while at > from
            && matches!(
                class(&tokens[at - 1].norm),
                Class::Determiner | Class::Number
            )
        {
            at -= 1;
        }
        if at > from
            && class(&tokens[at - 1].norm) == Class::Preposition
            && tokens[at - 1].norm != "like"
        {
            // "The outlet in the frobnicator": the listed thing is the head.
            let listed = |p: &Piece| p.kind == PieceKind::Element && p.tokens.end == at - 1;
            if at > from + 1 && piece_at(pieces, at - 2).is_some_and(listed) {
                return None;
            }
            if let Some(head) = subject_before(tokens, pieces, from, at - 1) {
                return Some(head);
            }
        }
    }
    own(tokens, start..end)
}

/// Returns the noun phrase in the speaker's own words that starts at or after `at`, past determiners.
pub fn object_after(tokens: &[Token], pieces: &[Piece], at: usize, to: usize) -> Option<Noun> {
    let mut start = at;
    while start < to && !usable(tokens, pieces, start) {
        if !matches!(
            class(&tokens[start].norm),
            Class::Determiner
                | Class::Preposition
                | Class::Number
                | Class::Position
                | Class::Adverb
        ) {
            return None;
        }
        start += 1;
    }
    let mut end = start;
    while end < to && usable(tokens, pieces, end) {
        end += 1;
    }
    own(tokens, start..end)
}

fn usable(tokens: &[Token], pieces: &[Piece], at: usize) -> bool {
    let word = tokens[at].norm.as_str();
    class(word) == Class::Open
        && piece_at(pieces, at).is_none_or(|p| p.kind == PieceKind::Place)
        && !hesitation(word)
        && !EVALUATIVE.contains(&word)
        && !NOT_A_THING.contains(&word)
        && !word.ends_with("ly")
}

fn own(tokens: &[Token], range: Range<usize>) -> Option<Noun> {
    let words: Vec<&str> = tokens[range.clone()]
        .iter()
        .map(|t| t.norm.as_str())
        .collect();
    let position: Vec<&str> = words
        .iter()
        .copied()
        .filter(|w| class(w) == Class::Position)
        .collect();
    let shown: Vec<&str> = words
        .iter()
        .copied()
        .filter(|w| class(w) != Class::Position)
        .collect();
    // One to four words: longer runs are not names but words that were not understood.
    ((1..=4).contains(&shown.len()) && shown.iter().any(|w| w.len() > 2)).then(|| Noun {
        tokens: range,
        text: shown.join(" "),
        term: None,
        position: (!position.is_empty()).then(|| position.join(" ")),
        piece: None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tokens(text: &str) -> Vec<Token> {
        text.split_whitespace()
            .enumerate()
            .map(|(word, norm)| Token {
                norm: norm.into(),
                word,
                probability: 1.0,
            })
            .collect()
    }

    #[test]
    fn the_subject_is_the_noun_before_the_verb() {
        for (text, at, expected) in [
            (
                "the boot scraper 's really hanging",
                5,
                Some("boot scraper"),
            ),
            ("it 's hanging", 2, None),
            ("the ferrule on the cane is split", 6, Some("ferrule")),
            (
                "that cornice return has been butchered",
                5,
                Some("cornice return"),
            ),
        ] {
            let tokens = tokens(text);
            let noun = subject_before(&tokens, &[], 0, at);
            assert_eq!(noun.as_ref().map(|n| n.text.as_str()), expected, "{text}");
        }
    }

    #[test]
    fn words_of_position_are_kept_apart() {
        let tokens = tokens("left hand wardrobe hinge");
        let piece = Piece::own_words(PieceKind::Element, 3..4, "hinge".into());
        let noun = around(&tokens, &[piece], 0, 0);
        assert_eq!(
            (noun.text.as_str(), noun.position.as_deref()),
            ("wardrobe hinge", Some("left hand"))
        );
    }
}
