//! What is found with the hand: *you can waggle it*, *I leant on it and it's moved*, *you can't get your hand round it*.

use super::super::grammar::{Class, class};
use super::super::piece::Piece;
use super::mishap::own;
use super::word;
use crate::lexicon::{Hit, Token};
use std::ops::Range;

/// What one can do to a thing only if it is not held as it should be. Common practice, no source.
#[rustfmt::skip]
const HELD_BADLY: &[&str] = &[
    "waggle", "wiggle", "wobble", "rock", "shake", "rattle", "shift", "spin", "twist", "jiggle", "joggle",
];

/// The same of what is fixed for good, where it is said how little it takes: *I can lift it **with one finger***.
const WITH_EASE: &[&str] = &["move", "turn", "lift", "pull", "push"];

/// The lexicon's name of what is not held fast.
const LOOSE: &str = "loose";

/// *The fence post, **you can waggle it***, *the bolt, I can spin it with my fingers*.
pub(super) fn can_be_moved(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    _: &[Hit],
) -> Option<Piece> {
    let somebody = at > clause.start && matches!(word(tokens, at - 1), "you" | "i" | "we");
    if word(tokens, at) != "can" || !somebody {
        return None;
    }
    let verb = at
        + 1
        + usize::from(matches!(
            word(tokens, at + 1),
            "just" | "easily" | "actually"
        ));
    let it = matches!(word(tokens, verb + 1), "it" | "them" | "this" | "that");
    // "You can turn it by hand" is as it should be.
    let easily = matches!(word(tokens, verb + 2), "with" | "by")
        && (verb + 3..clause.end.min(verb + 6))
            .any(|t| matches!(word(tokens, t), "finger" | "fingers"));
    let does = word(tokens, verb);
    let loose = HELD_BADLY.contains(&does) || WITH_EASE.contains(&does) && easily;
    (it && loose && verb + 2 <= clause.end).then(|| own(at..verb + 2, LOOSE.into()).worth(5.0))
}

/// What is done to try whether a thing holds, as it is told afterwards or asked for.
#[rustfmt::skip]
const TRIED: &[&str] = &[
    "leant", "leaned", "lean", "pushed", "push", "pulled", "pull", "rocked", "rock", "shook", "shake", "grabbed", "grab",
    "stood", "stand", "touched", "touch", "pressed", "press", "tugged", "tug", "waggle", "wiggle", "hold", "held",
];

/// How far before it stands what was tried.
const REACH: usize = 10;

/// *I've leant on the newel post and **it's moved***, *Rock the basin. Ooh, **it moves***.
pub(super) fn it_moves(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    _: &[Hit],
) -> Option<Piece> {
    let is = at + 1 + usize::from(matches!(word(tokens, at + 1), "'s" | "has" | "all"));
    let moves = matches!(
        word(tokens, is),
        "moved"
            | "moves"
            | "shifted"
            | "shifts"
            | "rocked"
            | "rocks"
            | "wobbled"
            | "wobbles"
            | "gave"
            | "waggles"
    );
    let ends = is + 1 == clause.end
        || matches!(
            class(word(tokens, is + 1)),
            Class::Number | Class::Adverb | Class::Determiner | Class::Conjunction
        );
    let from = at.saturating_sub(REACH);
    let tried = (from..at).any(|t| TRIED.contains(&word(tokens, t)));
    (word(tokens, at) == "it" && moves && ends && tried && is < clause.end)
        .then(|| own(is..is + 1, "moves".into()))
}

/// *A two by six laid flat, **you can't get your hand round it***.
pub(super) fn no_grip(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    _: &[Hit],
) -> Option<Piece> {
    let cannot = matches!(word(tokens, at), "can" | "could") && word(tokens, at + 1) == "not"
        || word(tokens, at) == "cannot";
    let get = at + 1 + usize::from(word(tokens, at) != "cannot");
    let hand = matches!(word(tokens, get + 1), "your" | "my" | "a")
        && matches!(word(tokens, get + 2), "hand" | "fingers" | "grip");
    let round = matches!(word(tokens, get + 3), "round" | "around");
    (cannot && word(tokens, get) == "get" && hand && round && get + 3 < clause.end)
        .then(|| own(at..get + 4, "cannot get a hand round it".into()).worth(6.0))
}

/// ***Up at one end***, ***up at the corner***: what should lie flat.
pub(super) fn up_at_one_end(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    _: &[Hit],
) -> Option<Piece> {
    let is = at > clause.start && matches!(word(tokens, at - 1), "'s" | "is" | "are" | "come");
    let at_end = matches!(word(tokens, at + 1), "at" | "along")
        && matches!(word(tokens, at + 2), "one" | "the" | "both" | "this")
        && (at + 3..clause.end.min(at + 5)).any(|t| {
            matches!(
                word(tokens, t),
                "end" | "ends" | "corner" | "edge" | "side" | "corners" | "edges"
            )
        });
    (word(tokens, at) == "up" && is && at_end).then(|| own(at..at + 1, "lifted".into()))
}

#[cfg(test)]
mod tests {
    use super::super::tests::found;

    #[test]
    fn what_the_hand_finds_is_a_fault() {
        for (text, expected) in [
            ("the post you can waggle it", Some("loose")),
            ("the bolt i can spin it with my fingers", Some("loose")),
            ("the cap you can lift it with one finger", Some("loose")),
            ("the thumb turn you can turn it by hand", None),
            ("i leant on the post and it 's moved", Some("moves")),
            ("the clock has moved", None),
            (
                "you can not get your hand round it",
                Some("cannot get a hand round it"),
            ),
            ("the strip is up at one end", Some("lifted")),
            ("we 're up at the top", None),
        ] {
            let found = found(text);
            let said = found.iter().find(|f| Some(f.as_str()) == expected);
            assert_eq!(said.map(String::as_str), expected, "{text}: {found:?}");
            assert!(
                expected.is_some() || !found.iter().any(|f| f == "loose" || f == "lifted"),
                "{found:?}"
            );
        }
    }
}
