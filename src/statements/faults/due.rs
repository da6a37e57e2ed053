//! What ought to be there and is not (*there should be a socket here*), and what ought not to need force
//! (*you have to slam the door*).

use super::mishap::own;
use super::{MISSING, starts_with, word};
use crate::lexicon::{Hit, Kind, Token};
use crate::statements::grammar::{Class, class};
use crate::statements::piece::Piece;
use std::ops::Range;

/// How one says that something ought to be there, behind *there*.
const OUGHT_TO_BE: &[&[&str]] = &[
    &["should", "be"],
    &["should", "have", "been"],
    &["ought", "to", "be"],
    &["is", "supposed", "to", "be"],
    &["'s", "supposed", "to", "be"],
    &["was", "supposed", "to", "be"],
    &["is", "meant", "to", "be"],
    &["'s", "meant", "to", "be"],
    &["was", "meant", "to", "be"],
];

/// How many words may stand between the article and what ought to be there: *a double socket*.
const WORDS_BETWEEN: usize = 2;

/// How far behind it is said that it is there: *…, and there is*.
const ANSWER_REACH: usize = 8;

/// *There **should be a** socket here*: what is said of a thing that is not there.
pub(super) fn due(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    hits: &[Hit],
) -> Option<Piece> {
    let there = at > clause.start && word(tokens, at - 1) == "there";
    let cue = OUGHT_TO_BE
        .iter()
        .find(|cue| there && starts_with(tokens, at, cue))?;
    let article = at + cue.len();
    let thing = article + 1..article + 2 + WORDS_BETWEEN;
    let named = hits.iter().any(|hit| {
        hit.kind == Kind::Element
            && thing.contains(&hit.tokens.start)
            && hit.tokens.end <= clause.end
    });
    let one = matches!(word(tokens, article), "a" | "an" | "another" | "some");
    // "There should be a ten mil gap": a figure is asked for.
    let measured = clause
        .clone()
        .any(|t| class(word(tokens, t)) == Class::Number);
    // "There should be a cap on it, and there is one".
    let is_there = (clause.end..tokens.len().min(clause.end + ANSWER_REACH)).any(|t| {
        matches!(word(tokens, t), "there" | "it")
            && matches!(word(tokens, t + 1), "is" | "'s" | "are")
            && word(tokens, t + 2) != "not"
    });
    let supposed = (clause.start..at).any(|t| word(tokens, t) == "if");
    (named && one && !measured && !is_there && !supposed)
        .then(|| own(at..article + 1, MISSING.into()))
}

/// What nobody ought to have to do to a door or a window, with its participle. Common practice, no source.
const FORCE: &[(&str, &str)] = &[
    ("slam", "slammed"),
    ("force", "forced"),
    ("shove", "shoved"),
    ("kick", "kicked"),
    ("yank", "yanked"),
    ("thump", "thumped"),
    ("bang", "banged"),
    ("jiggle", "jiggled"),
    ("wiggle", "wiggled"),
    ("wrench", "wrenched"),
    ("shoulder", "shouldered"),
    ("fight", "fought"),
    ("lift", "lifted"),
    ("heave", "heaved"),
    ("barge", "barged"),
];

/// What ought not to need lifting, unlike a handle or a lid.
const HUNG: &[&str] = &["door", "doors", "gate", "window", "sash", "leaf"];

/// *You **have to slam** the door to get it to shut*: it does not go without.
pub(super) fn has_to_be_forced(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    _: &[Hit],
) -> Option<Piece> {
    let does = word(tokens, at);
    let (_, done) = FORCE.iter().find(|(force, _)| *force == does)?;
    let mut to = at.checked_sub(1)?;
    while to > clause.start && class(word(tokens, to)) == Class::Adverb {
        to -= 1;
    }
    let must = to > clause.start
        && word(tokens, to) == "to"
        && matches!(
            word(tokens, to - 1),
            "have" | "had" | "got" | "has" | "need" | "needs"
        );
    let mut behind = at + 1..clause.end.min(at + 4);
    let fits = does != "lift" || behind.any(|t| HUNG.contains(&word(tokens, t)));
    (must && fits).then(|| own(at..at + 1, format!("has to be {done}")))
}

#[cfg(test)]
mod tests {
    use crate::statements::faults::tests::found;

    #[test]
    fn what_goes_by_force_only_is_a_fault() {
        let cases: [(&str, &[&str]); 5] = [
            (
                "you have to slam the door to get it to shut",
                &["has to be slammed"],
            ),
            ("i had to really force the window", &["has to be forced"]),
            (
                "you have to lift the gate to latch it",
                &["has to be lifted"],
            ),
            ("you have to lift the handle to lock it", &[]),
            ("they had to shut the road", &[]),
        ];
        for (text, expected) in cases {
            assert_eq!(found(text), expected, "{text}");
        }
    }
}
