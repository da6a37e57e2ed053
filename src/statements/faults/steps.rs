//! A step that is not as the others: *bottom riser's 174 and **all the rest** are 196*, *196 all the way, **apart from
//! the bottom one**, and that's 172*.

use super::super::piece::Piece;
use super::mishap::own;
use super::required::{first_number, last_number};
use super::word;
use crate::lexicon::Token;
use std::ops::Range;

/// A wording of the defect *a step that is not as the others*.
const UNEQUAL: &str = "uneven rise";

/// What is measured of a stair, step by step.
#[rustfmt::skip]
const STEPS: &[&str] = &["riser", "risers", "rise", "rises", "going", "goings", "step", "steps", "tread", "treads"];

/// How many tokens behind the words for the others their figure may stand.
const REACH: usize = 8;

/// From this difference on, in millimetres or in inches as they are said, one step is another: a rule read twice
/// differs by less. Common practice, no source.
const DIFFERENCE: f64 = 0.25;

/// *174, and **every other one**'s 196*: two figures of one stair that differ.
pub(super) fn unlike_the_other_steps(
    tokens: &[Token],
    at: usize,
    sentence: Range<usize>,
) -> Option<Piece> {
    let next = |by: usize| word(tokens, at + by);
    let others = match word(tokens, at) {
        "all" | "and" if matches!(next(1), "the") && matches!(next(2), "rest" | "others") => 3,
        "the" if matches!(next(1), "rest" | "others") => 2,
        "every" if next(1) == "other" => 3,
        _ => 0,
    };
    let bar = match (word(tokens, at), next(1)) {
        ("apart", "from") | ("except", "for") => 2,
        ("except" | "bar", _) => 1,
        _ => 0,
    };
    let one = matches!(word(tokens, at + bar), "the")
        && matches!(
            word(tokens, at + bar + 1),
            "bottom" | "top" | "first" | "last" | "second" | "third"
        );
    let from = match (others, bar) {
        (0, 0) => return None,
        (0, bar) if one => at + bar + 2,
        (0, _) => return None,
        (others, _) => at + others,
    };
    let stair = (sentence.start..at).any(|t| STEPS.contains(&word(tokens, t)));
    let before = last_number(tokens, sentence.start..at);
    let behind = first_number(tokens, from..sentence.end.min(from + REACH));
    let (before, behind) = before.zip(behind).filter(|_| stair)?;
    ((before.value - behind.value).abs() >= DIFFERENCE)
        .then(|| own(at..from, UNEQUAL.into()).worth(7.0))
}

#[cfg(test)]
mod tests {
    use super::super::tests::found;
    use super::UNEQUAL;

    #[test]
    fn a_step_is_as_the_others_or_not() {
        for (text, unequal) in [
            (
                "bottom riser is one seventy four and every other one is one ninety six",
                true,
            ),
            (
                "second riser measures eight inches and all the others are seven",
                true,
            ),
            (
                "rises one eighty six all the way apart from the bottom one and that is one seventy two",
                true,
            ),
            (
                "the top step is two hundred and the rest are two hundred",
                false,
            ),
            ("the skirting is ninety and the rest is seventy", false),
        ] {
            let found = found(text);
            assert_eq!(
                found.iter().any(|f| f == UNEQUAL),
                unequal,
                "{text}: {found:?}"
            );
        }
    }
}
