//! Water that is too hot, told by what it does: *that **would scald** her*, *which would **have your skin off***.

use super::super::piece::Piece;
use super::mishap::own;
use super::word;
use crate::lexicon::{Hit, Token};
use std::ops::Range;

/// *Fifty-one degrees, and that **would scald** a child*.
pub(super) fn would_scald(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    _: &[Hit],
) -> Option<Piece> {
    let next = |by: usize| word(tokens, at + by);
    let scalds = matches!(word(tokens, at), "would" | "could" | "will") && next(1) == "scald";
    let skins = matches!(word(tokens, at), "have" | "take" | "takes")
        && matches!(next(1), "your" | "the" | "her" | "his")
        && next(2) == "skin"
        && next(3) == "off";
    let words = if scalds { 2 } else { 4 };
    let told = (scalds || skins) && at + words <= clause.end;
    told.then(|| own(at..at + words, "too hot".into()))
}

#[cfg(test)]
mod tests {
    use super::super::tests::found;

    #[test]
    fn what_scalds_is_too_hot() {
        for (text, expected) in [
            ("that would scald a child", vec!["too hot"]),
            ("which would have your skin off", vec!["too hot"]),
            ("that will have your hat off", vec![]),
        ] {
            assert_eq!(found(text), expected, "{text}");
        }
    }
}
