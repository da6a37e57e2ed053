//! What a thing is like beside others, or by the meter: *one handle's brass and **the rest are black***,
//! *the wall's **reading twenty-four percent** on the meter*.

use super::super::number_at;
use super::super::piece::Piece;
use super::mishap::own;
use super::word;
use crate::lexicon::{Hit, Token};
use std::ops::Range;

/// The lexicon name of the defect *not as the others of its kind*.
pub(in super::super) const MISMATCHED: &str = "colour mismatch";

/// The lexicon name of the defect *wetter than it may be*.
pub(in super::super) const DAMP: &str = "damp";

/// From this reading of a moisture meter on what is read is damp, in percent. Common practice, no source:
/// dry plaster and joinery read below it; decay of timber begins at 20.
const DAMP_FROM: f64 = 18.0;

/// What is read with a moisture meter, and words for doing so. Common practice, no source.
#[rustfmt::skip]
const READ_FOR_DAMP: &[&str] = &[
    "meter", "damp", "moisture", "wall", "walls", "plaster", "plasterboard", "skirting", "floor", "screed", "ceiling",
    "joist", "joists", "timber", "boards",
];

/// Finishes by which one thing of a set differs from the rest. Common practice, no source.
#[rustfmt::skip]
const FINISHES: &[&str] = &[
    "white", "black", "grey", "gray", "cream", "brown", "red", "blue", "green", "silver", "gold", "chrome", "brass",
    "nickel", "steel", "bronze", "copper", "brushed", "polished", "satin", "matt", "matte", "gloss", "silk",
    "eggshell", "oak", "pine", "walnut", "warm", "cool", "frosted", "clear", "plain", "smooth", "textured",
];

/// *a brass handle and **all the rest are black***, *and **the other two are cool***.
pub(super) fn unlike_the_rest(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    _: &[Hit],
) -> Option<Piece> {
    // "The grout round it's **a different grey**", "two different whites".
    let one = |word: &str| word.strip_suffix('s').unwrap_or(word).to_owned();
    let differs = word(tokens, at) == "different"
        && at > clause.start
        && matches!(
            word(tokens, at - 1),
            "a" | "two" | "three" | "'s" | "is" | "slightly"
        )
        && (FINISHES.contains(&word(tokens, at + 1))
            || FINISHES.contains(&one(word(tokens, at + 1)).as_str()));
    if differs && at + 2 <= clause.end {
        let text = format!("different {}", word(tokens, at + 1));
        return Some(own(at..at + 2, text));
    }
    let rest = match word(tokens, at) {
        "rest" | "others" => at + 1,
        "other"
            if matches!(
                word(tokens, at + 1),
                "two" | "three" | "four" | "ones" | "one"
            ) =>
        {
            at + 2
        }
        _ => return None,
    };
    let the = at > clause.start && word(tokens, at - 1) == "the";
    let is = matches!(
        word(tokens, rest),
        "is" | "are" | "'s" | "'re" | "have" | "has"
    );
    let what = rest + 1 + usize::from(matches!(word(tokens, rest + 1), "all" | "got"));
    let fits = the && is && what < clause.end && FINISHES.contains(&word(tokens, what));
    fits.then(|| own(at..what + 1, MISMATCHED.into()))
}

/// *reading twenty-four percent on the damp meter*, *the meter's giving me twenty-four percent*.
pub(super) fn damp_reading(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    _: &[Hit],
) -> Option<Piece> {
    let reads = matches!(
        word(tokens, at),
        "reading"
            | "reads"
            | "giving"
            | "gives"
            | "showing"
            | "shows"
            | "getting"
            | "'s"
            | "is"
            | "at"
            | "got"
    );
    let read = || {
        clause
            .clone()
            .any(|t| READ_FOR_DAMP.contains(&word(tokens, t)))
    };
    if !reads || !read() {
        return None;
    }
    let number = (at + 1..clause.end.min(at + 4)).find_map(|t| number_at(tokens, t))?;
    let end = number.tokens.end;
    let percent = matches!(word(tokens, end), "percent" | "%")
        || word(tokens, end) == "per" && word(tokens, end + 1) == "cent";
    (percent && number.value >= DAMP_FROM && end < clause.end).then(|| own(at..at + 1, DAMP.into()))
}

#[cfg(test)]
mod tests {
    use super::super::tests::found;

    #[test]
    fn what_differs_or_reads_wet_is_a_fault() {
        for (text, expected) in [
            (
                "one has a brass handle and all the rest are black",
                Some("colour mismatch"),
            ),
            (
                "one strip is warm and the other two are cool",
                Some("colour mismatch"),
            ),
            ("two are cracked the rest are fine", None),
            (
                "the wall is reading 24 percent on the damp meter",
                Some("damp"),
            ),
            ("the meter 's giving me 26 per cent", Some("damp")),
            ("the floor reads 11 percent on the meter", None),
            ("the battery reads 24 percent", None),
        ] {
            let found = found(text);
            assert_eq!(
                found
                    .iter()
                    .find(|f| Some(f.as_str()) == expected)
                    .map(String::as_str),
                expected,
                "{text}: {found:?}"
            );
        }
    }
}
