//! What the speaker would have otherwise: *not happy with the silicone*, *could do with more grout*.

use super::super::grammar::{Class, class};
use super::super::piece::Piece;
use super::mishap::own;
use super::{said, word};
use crate::lexicon::{Hit, Token};
use std::ops::Range;

/// ***Not happy with** the silicone*: what the speaker would not have.
pub(super) fn not_happy(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    _: &[Hit],
) -> Option<Piece> {
    let with = matches!(
        (word(tokens, at + 1), word(tokens, at + 2)),
        ("happy" | "pleased", "with") | ("impressed", "with" | "by") | ("keen", "on")
    );
    let thing = class(word(tokens, at + 3)) == Class::Determiner && at + 4 < clause.end;
    (word(tokens, at) == "not" && with && thing).then(|| own(at..at + 3, said(tokens, at..at + 3)))
}

/// *Could **do with more** silicone*, *wants **a bit more** grout*: there is too little of it.
pub(super) fn wants_more(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    _: &[Hit],
) -> Option<Piece> {
    let mut more = match (word(tokens, at), word(tokens, at + 1)) {
        ("do", "with") => at + 2,
        ("wants" | "needs" | "want" | "need", _) => at + 1,
        _ => return None,
    };
    let little = |word: &str| matches!(word, "a" | "bit" | "little" | "lot" | "some" | "touch");
    while more < clause.end && little(word(tokens, more)) {
        more += 1;
    }
    let thing = more + 1;
    let fits = word(tokens, more) == "more"
        && thing < clause.end
        && class(word(tokens, thing)) == Class::Open
        && !word(tokens, thing).ends_with("ing");
    fits.then(|| own(at..thing, "not enough".to_owned()))
}
