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
    let mut out = Vec::new();
    let mut at = range.start;
    while at < range.end {
        let side = side_of_fault(reading, range, at, element);
        let against = against(reading, range, at);
        let leads = WHERE.contains(&reading.tokens[at].norm.as_str())
            && !element.contains(&at)
            && !covered(reading, at);
        if !side && !against && !leads {
            at += 1;
            continue;
        }
        let end = extent(reading, range, at, element);
        let phrase = &reading.tokens[at..end];
        let names_something = side || phrase[1..].iter().any(|t| names(&t.norm));
        let about_element =
            (at..end).any(|t| element.contains(&t)) || end < range.end && element.contains(&end);
        if names_something && !about_element && !no_place(phrase) {
            let mut words: Vec<&str> = phrase.iter().map(|t| t.norm.as_str()).collect();
            if against {
                words.insert(0, "against");
            }
            out.push(words.join(" "));
        }
        at = end;
    }
    out
}

/// Returns where the phrase of position ends that begins at `at`: behind a word that names something.
fn extent(reading: &Reading, range: &Range<usize>, at: usize, element: &Range<usize>) -> usize {
    let tokens = &reading.tokens;
    let relative = tokens[at].norm == "where";
    let mut end = at + 1;
    while end < range.end
        && (goes_on(reading, end, element) || joins_two(reading, at, end) || relative)
        && !covered(reading, end)
        && short_enough(reading, at, end)
    {
        end += 1;
    }
    if relative {
        return end;
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
    // "In the two wall units either side of": what it would name is not kept.
    let ends = |word: &str| names(word) || class(word) == Class::Number;
    while end > at + 1 && !ends(&tokens[end - 1].norm) {
        end -= 1;
    }
    end
}

/// What one thing does to another that is in its way. Common practice, no source.
#[rustfmt::skip]
const STRIKES: &[&str] = &[
    "hits", "hitting", "fouls", "fouling", "catches", "catching", "rubs", "rubbing", "strikes", "striking", "clashes",
    "clashing", "touches", "touching", "scrapes", "scraping", "bangs", "banging",
];

/// *The drawer **hits the** casing*: the thing that is struck stands right behind the fault.
fn against(reading: &Reading, range: &Range<usize>, at: usize) -> bool {
    let fault = at.checked_sub(1).filter(|before| *before >= range.start);
    class(&reading.tokens[at].norm) == Class::Determiner
        && fault.is_some_and(|before| {
            let piece = reading.piece_at(before);
            STRIKES.contains(&reading.tokens[before].norm.as_str())
                && piece.is_some_and(|p| p.kind == PieceKind::Defect && p.tokens.end == at)
        })
}

/// Words behind a preposition that name a time, a drawing or a manner: *in five **minutes***, *on its **own***.
#[rustfmt::skip]
const NO_PLACE: &[&str] = &[
    "minute", "minutes", "hour", "hours", "day", "days", "week", "weeks", "month", "months", "moment", "own", "drawing",
    "drawings", "plan", "plans", "spec", "specification", "brochure", "least", "all", "after", "heck",
    "report", "mil", "mils", "millimetres", "inch", "inches",
];

/// True where the words behind a preposition say no place: *to move*, *in five minutes*.
fn no_place(phrase: &[Token]) -> bool {
    let word = |at: usize| phrase.get(at).map_or("", |t| t.norm.as_str());
    let pronoun = phrase
        .iter()
        .any(|t| matches!(t.norm.as_str(), "it" | "that" | "them"));
    let done = word(0) == "to" && phrase.len() == 2 && class(word(1)) == Class::Open;
    let other = phrase.iter().any(|t| NO_PLACE.contains(&t.norm.as_str()));
    // "Where it meets the wall", but not "where the van": it says what is there.
    let states = phrase
        .iter()
        .any(|t| class(&t.norm) == Class::Verb || t.norm.ends_with('s'));
    match word(0) {
        "where" => !states || matches!(word(phrase.len() - 1), "'s" | "has" | "have" | "the"),
        _ => done || other || pronoun,
    }
}

/// A word that names something, or a side of it.
fn names(word: &str) -> bool {
    matches!(class(word), Class::Open | Class::Position)
}

/// *Hob's scratched **front left***: words of position right behind the fault or its thing, with nothing behind
/// them but of what.
fn side_of_fault(
    reading: &Reading,
    range: &Range<usize>,
    at: usize,
    element: &Range<usize>,
) -> bool {
    let side = |at: usize| {
        let word = reading.tokens[at].norm.as_str();
        class(word) == Class::Position || matches!(word, "front" | "back" | "rear" | "side")
    };
    if !side(at) || at == range.start || covered(reading, at) || element.contains(&at) {
        return false;
    }
    let behind = reading.piece_at(at - 1).is_some_and(|p| {
        matches!(p.kind, PieceKind::Element | PieceKind::Defect) && p.tokens.end == at
    });
    let end = (at..range.end).find(|&at| !side(at)).unwrap_or(range.end);
    let told = (at..end).any(|at| class(&reading.tokens[at].norm) == Class::Position);
    behind && told && (end == range.end || reading.tokens[end].norm == "of")
}

/// ***between** posts two **and** three*: the word that joins the two between which it is.
fn joins_two(reading: &Reading, at: usize, end: usize) -> bool {
    let word = |at: usize| reading.tokens[at].norm.as_str();
    word(at) == "between" && word(end) == "and" && !(at + 1..end).any(|at| word(at) == "and")
}

/// Tells whether a phrase from `at` may take in the token at `end`: beyond its length it may finish what
/// it names, and begin nothing new.
fn short_enough(reading: &Reading, at: usize, end: usize) -> bool {
    let word = reading.tokens[end].norm.as_str();
    let finishes = matches!(
        class(word),
        Class::Open | Class::Position | Class::Determiner
    );
    end - at < LONGEST || end - at < LONGEST_WHOLE && (finishes || word == "of")
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
    // "Above the door *at all*".
    let next = reading.tokens.get(at + 1).map_or("", |t| &t.norm);
    let at_all = word == "at" && next == "all";
    // "At *one* end".
    let which = matches!(word, "one" | "both") && names(next);
    !element.contains(&at)
        && !covered(reading, at)
        && (of_where || which || named())
        && !at_all
        && word != "like"
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
