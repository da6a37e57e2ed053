//! What the speaker cannot get a thing to do: *can't get the drawer to shut*. The fault is the thing's: it *won't
//! shut*.

use super::mishap::own;
use super::{Hit, said, word};
use crate::lexicon::Token;
use crate::statements::piece::Piece;
use std::ops::Range;

/// What is done with doors, windows, handles and taps.
const DONE: &[&str] = &[
    "open", "close", "shut", "lock", "unlock", "latch", "turn", "slide", "lift", "undo", "fasten",
    "move",
];

/// How many tokens a thing may have in *get **the bottom drawer** to shut*.
const LONGEST_THING: usize = 6;

/// *Can't get the drawer **to shut***, *couldn't get this window **open***.
pub(super) fn cannot_get(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    _: &[Hit],
) -> Option<Piece> {
    let does = word(tokens, at);
    if !DONE.contains(&does) {
        return None;
    }
    let from = at - usize::from(at > clause.start && word(tokens, at - 1) == "to");
    let mut before = (clause.start..from).rev().take(LONGEST_THING);
    let get = before.find(|&t| word(tokens, t) == "get")?;
    let cannot = (clause.start..get)
        .rev()
        .find_map(|t| unable(tokens, t, &clause));
    let tried = cannot.is_some_and(|(_, verb)| verb == get) && get + 1 < from;
    tried.then(|| own(from..at + 1, format!("won't {does}")).worth(5.0))
}

/// What is hard to do where a thing is at fault; not to see or to say. Common practice, no source.
#[rustfmt::skip]
const HARD_TO: &[&str] = &[
    "open", "close", "shut", "lock", "unlock", "latch", "turn", "slide", "lift", "undo", "fasten", "move", "push", "pull",
    "operate", "use", "work", "shift", "wind", "press", "reach", "get",
];

/// *The sliding door's **hard to move***, *is **a struggle to open***.
pub(super) fn hard_to(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    _: &[Hit],
) -> Option<Piece> {
    let hard = matches!(
        word(tokens, at),
        "hard" | "difficult" | "awkward" | "impossible" | "struggle" | "nightmare"
    );
    let told = hard && word(tokens, at + 1) == "to" && at + 2 < clause.end;
    let denied = at > clause.start && matches!(word(tokens, at - 1), "not" | "never");
    (told && !denied && HARD_TO.contains(&word(tokens, at + 2)))
        .then(|| own(at..at + 3, said(tokens, at..at + 3)))
}

/// Returns where *can't* begins at `at`, and the verb behind it.
fn unable(tokens: &[Token], at: usize, clause: &Range<usize>) -> Option<(usize, usize)> {
    let not = matches!(word(tokens, at), "can" | "could") && word(tokens, at + 1) == "not";
    let verb = match (not, word(tokens, at)) {
        (true, _) => at + 2,
        (_, "cannot") => at + 1,
        _ => return None,
    };
    let verb = verb + usize::from(matches!(word(tokens, verb), "even" | "actually" | "really"));
    (verb < clause.end).then_some((at, verb))
}
