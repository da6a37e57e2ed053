//! Where within a place: words of position (*left hand*) and prepositional phrases (*under the
//! window*).

use crate::lexicon::Token;
use crate::statements::grammar::{Class, class};
use crate::statements::piece::PieceKind;
use crate::statements::reading::Reading;
use std::ops::Range;

/// Longest phrase of position kept, in tokens; what is named last is kept whole, though no longer than
/// the other: *down the left side of the living room window*.
const LONGEST: usize = 8;
const LONGEST_WHOLE: usize = 12;

/// Parts of any thing: behind a preposition they say where on it.
pub(crate) const A_PART: &[&str] = &[
    "corner", "edge", "end", "top", "bottom", "middle", "centre", "center", "face", "side", "back",
    "front", "head", "foot", "base", "joint",
];

/// Prepositions that say where.
const WHERE: &[&str] = &[
    "under",
    "underneath",
    "above",
    "below",
    "behind",
    "beside",
    "between",
    "near",
    "by",
    "next",
    "opposite",
    "over",
    "at",
    "in",
    "on",
    "to",
    "round",
    "around",
    "along",
    "across",
    "from",
    "inside",
    "outside",
    "where",
    "beneath",
    "against",
    "adjacent",
    "nearest",
    "down",
    "up",
];

/// Returns the phrases of position in `range`, in order, without those that hold the element itself.
pub(crate) fn phrases(
    reading: &Reading,
    range: &Range<usize>,
    element: &Range<usize>,
) -> Vec<String> {
    let tokens = &reading.tokens;
    let mut out = Vec::new();
    let mut at = range.start;
    while at < range.end {
        if !WHERE.contains(&tokens[at].norm.as_str())
            || element.contains(&at)
            || covered(reading, at)
        {
            at += 1;
            continue;
        }
        let mut end = at + 1;
        while end < range.end && goes_on(reading, end, element) && short_enough(reading, at, end) {
            end += 1;
        }
        // "In the top left corner *of the wall*": the words before *of* say where on it.
        if end < range.end
            && element.contains(&end)
            && let Some(of) = (at + 2..end).rev().find(|&t| tokens[t].norm == "of")
        {
            end = of;
        }
        // "On the right *as you come in*".
        let last = &tokens[end - 1].norm;
        if end > at + 2 && matches!(last.as_str(), "as" | "when" | "where") {
            end -= 1;
        }
        let phrase = &tokens[at..end];
        let names_something = phrase[1..]
            .iter()
            .any(|t| matches!(class(&t.norm), Class::Open | Class::Position));
        let about_element =
            (at..end).any(|t| element.contains(&t)) || end < range.end && element.contains(&end);
        if names_something
            && !about_element
            && !phrase
                .iter()
                .any(|t| matches!(t.norm.as_str(), "it" | "that" | "them" | "least" | "all"))
        {
            out.push(
                phrase
                    .iter()
                    .map(|t| t.norm.as_str())
                    .collect::<Vec<_>>()
                    .join(" "),
            );
        }
        at = end;
    }
    out
}

/// Tells whether a phrase from `at` may take in the token at `end`: beyond its length it may finish what
/// it names, and begin nothing new.
fn short_enough(reading: &Reading, at: usize, end: usize) -> bool {
    let class = class(&reading.tokens[end].norm);
    end - at < LONGEST || end - at < LONGEST_WHOLE && matches!(class, Class::Open | Class::Position)
}

fn covered(reading: &Reading, at: usize) -> bool {
    let word = class(&reading.tokens[at].norm);
    reading.piece_at(at).is_some_and(|p| {
        matches!(
            p.kind,
            PieceKind::Defect | PieceKind::Remedy | PieceKind::Measure
        ) || p.text == "hedge"
            // "Same again *by the stairs*", "another *to the left*".
            || p.text == "same-again"
                && !matches!(
                    word,
                    Class::Preposition | Class::Determiner | Class::Position
                )
    })
}

fn goes_on(reading: &Reading, at: usize, element: &Range<usize>) -> bool {
    let word = reading.tokens[at].norm.as_str();
    let of_where = matches!(
        class(word),
        Class::Determiner | Class::Open | Class::Position | Class::Number | Class::Preposition
    );
    // "At the *back door*".
    let named = || {
        let piece = reading.piece_at(at);
        piece.is_some_and(|p| p.kind == PieceKind::Element && p.tokens.len() > 1)
    };
    !element.contains(&at) && !covered(reading, at) && (of_where || named()) && word != "like"
}

/// Returns the words of position in `range`, joined: `right hand`; `None` where there are none.
pub(crate) fn of_words(tokens: &[Token], range: Range<usize>) -> Option<String> {
    last_words(tokens, range).map(|r| {
        tokens[r]
            .iter()
            .map(|t| t.norm.as_str())
            .collect::<Vec<_>>()
            .join(" ")
    })
}

/// Returns the last run of words of position in `range`. A bare *right* that opens is a filler.
pub(crate) fn last_words(tokens: &[Token], range: Range<usize>) -> Option<Range<usize>> {
    let is = |at: usize| class(&tokens[at].norm) == Class::Position;
    let end = range.clone().rev().find(|&at| is(at))? + 1;
    let start = (range.start..end).rev().take_while(|&at| is(at)).last()?;
    let words = &tokens[start..end];
    (words.len() > 1 || start > range.start || tokens[start].norm != "right").then_some(start..end)
}

/// Tells whether two positions speak of the same thing differently, so that the later one replaces
/// the earlier: both name a side.
pub(crate) fn opposes(old: &str, new: &str) -> bool {
    let side = |s: &str| s.split(' ').any(|w| class(w) == Class::Position);
    side(old) && side(new)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_of_position_are_found_as_a_run() {
        for (text, expected) in [
            ("the right hand one", Some("right hand")),
            ("right then", None),
            ("so the third from the left", Some("left")),
            ("nothing here", None),
        ] {
            let tokens: Vec<Token> = text
                .split(' ')
                .enumerate()
                .map(|(word, w)| Token {
                    norm: w.into(),
                    word,
                    probability: 1.0,
                })
                .collect();
            assert_eq!(
                of_words(&tokens, 0..tokens.len()).as_deref(),
                expected,
                "{text}"
            );
        }
    }
}
