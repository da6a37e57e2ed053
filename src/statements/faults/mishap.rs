//! What was done wrongly or not at all, told by the doing: *bricked over*, *been tarmacked in*,
//! *nobody's cut it through*, *a nail straight through it*, *a load of sand in it*, *stops short of*.

use super::super::grammar::{Class, class, participle};
use super::super::piece::{Piece, PieceKind};
use super::{MISSING, OVERPAINTED, denied, said, word};
use crate::lexicon::{Hit, Token};
use std::ops::Range;

/// Words that strengthen what follows: *right* over, *straight* through.
const STRONGLY: &[&str] = &["right", "straight", "clean", "clear", "all", "just", "only"];

/// Who did or did not do it.
const SOMEBODY: &[&str] = &["they", "somebody", "someone", "he", "nobody", "no-one"];

/// What is done in or over where it belongs: *been filled in*, *been bedded in*.
const DONE_WELL: &[&str] = &[
    "filled", "fitted", "put", "set", "let", "cut", "bedded", "sealed", "built", "worked",
    "rubbed", "laid", "gone", "checked", "looked", "been", "handed", "moved", "taken",
];

/// Things that go through what they should not.
const GOES_THROUGH: &[&str] = &[
    "nail", "nails", "screw", "screws", "pin", "pins", "staple", "bolt", "hole", "crack", "tack",
    "drill", "fixing", "cable", "pipe",
];

/// How much of it.
const HEAPS: &[&str] = &[
    "load", "lot", "pile", "heap", "loads", "lots", "layer", "bucket", "handful",
];

pub(super) fn own(range: Range<usize>, text: String) -> Piece {
    Piece::own_words(PieceKind::Defect, range, text).worth(6.0)
}

/// *they*, *nobody* within so many tokens before `at`.
fn somebody_before(tokens: &[Token], at: usize, clause: &Range<usize>, within: usize) -> bool {
    let mut by = (clause.start..at).rev().take(within);
    by.any(|t| SOMEBODY.contains(&word(tokens, t)))
}

/// Skips words that strengthen.
fn past_strength(tokens: &[Token], mut at: usize) -> usize {
    while STRONGLY.contains(&word(tokens, at)) {
        at += 1;
    }
    at
}

/// *they **bricked right over** the weep holes*: the thing follows.
pub(super) fn done_over(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    _: &[Hit],
) -> Option<Piece> {
    let done = word(tokens, at);
    let over = past_strength(tokens, at + 1);
    let somebody = somebody_before(tokens, at, &clause, 3);
    let thing = matches!(
        word(tokens, over + 1),
        "the" | "this" | "that" | "one" | "all" | "both" | "a" | "an" | "my" | "its"
    );
    let fits =
        (participle(done) || done == "sawed") && matches!(word(tokens, over), "over" | "through");
    (fits && somebody && thing && over + 2 < clause.end && !DONE_WELL.contains(&done))
        .then(|| own(at..over + 1, format!("{done} {}", word(tokens, over))))
}

/// What covers what it should not. Common practice, no source.
const COATED: &[&str] = &[
    "painted",
    "emulsioned",
    "glossed",
    "varnished",
    "plastered",
    "rendered",
    "siliconed",
    "masticked",
    "grouted",
];

/// *somebody's **emulsioned** the light switch*: a fault where the lexicon names the thing for it.
pub(super) fn coated(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    hits: &[Hit],
) -> Option<Piece> {
    let fits = COATED.contains(&word(tokens, at))
        && somebody_before(tokens, at, &clause, 3)
        && class(word(tokens, at + 1)) == Class::Determiner
        && at + 2 < clause.end;
    // "They painted the window shut" says more.
    let fits = fits && done_so(tokens, at, clause, hits).is_none();
    fits.then(|| own(at..at + 1, OVERPAINTED.into()))
}

/// What is to be taken off when the work is done. Common practice, no source.
const WRAPPING: &[&str] = &[
    "tape",
    "film",
    "sticker",
    "stickers",
    "wrap",
    "wrapping",
    "packaging",
    "label",
    "labels",
    "plastic",
    "polythene",
    "cling",
    "foam",
    "packing",
    "protection",
    "blocks",
    "straps",
];

/// ***Film's still on** the hood filter*, ***the stickers are still on** the windows*: of what they are on.
pub(super) fn still_on(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    _: &[Hit],
) -> Option<Piece> {
    if !WRAPPING.contains(&word(tokens, at)) {
        return None;
    }
    let is = at + 1 + usize::from(matches!(word(tokens, at + 1), "'s" | "is" | "are" | "been"));
    let left = matches!(word(tokens, is), "still" | "left");
    let on = is + 1;
    let thing = matches!(
        word(tokens, on + 1),
        "the" | "this" | "that" | "both" | "all" | "its"
    );
    let fits = left && word(tokens, on) == "on" && thing && on + 2 < clause.end;
    fits.then(|| {
        let text = format!("{} {} on", word(tokens, at), word(tokens, is));
        own(at..on + 1, text).worth(4.0)
    })
}

/// *The socket's **still got its film on***: of what it is on.
pub(super) fn still_got_on(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    _: &[Hit],
) -> Option<Piece> {
    let got = at + 1 + usize::from(word(tokens, at + 1) == "got");
    let its = matches!(word(tokens, got), "its" | "the" | "their" | "all");
    let what = (got + 1..clause.end.min(got + 4)).find(|&t| WRAPPING.contains(&word(tokens, t)))?;
    let on = word(tokens, what + 1) == "on" && what + 2 <= clause.end;
    let ends = what + 2 == clause.end || class(word(tokens, what + 2)) != Class::Determiner;
    (word(tokens, at) == "still" && its && on && ends).then(|| {
        let text = format!("{} still on", said(tokens, got + 1..what + 1));
        own(at..what + 2, text).worth(6.0)
    })
}

/// How many tokens what was done so may take, from its second word on: *painted the fire strips round the
/// door solid*.
const LONGEST_THING: usize = 6;

/// *they **painted** the window **shut***, *they **left** the cap **off***: the thing stands between.
pub(super) fn done_so(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    _: &[Hit],
) -> Option<Piece> {
    let done = word(tokens, at);
    let somebody = somebody_before(tokens, at, &clause, 2);
    let the = matches!(
        word(tokens, at + 1),
        "the" | "this" | "that" | "its" | "a" | "an"
    );
    let how = (at + 3..clause.end.min(at + 3 + LONGEST_THING)).find(|&t| {
        let ends = t + 1 == clause.end || class(word(tokens, t + 1)) != Class::Open;
        matches!(word(tokens, t), "shut" | "solid" | "crooked" | "backwards") && ends
            || matches!(word(tokens, t), "off" | "out") && done == "left"
            || word(tokens, t) == "on"
                && done == "left"
                && (at + 2..t).any(|t| WRAPPING.contains(&word(tokens, t)))
            || word(tokens, t) == "upside" && word(tokens, t + 1) == "down"
    })?;
    // "They left the shipping tape on the damper": of the damper.
    if word(tokens, how) == "on" && participle(done) && somebody && the {
        let left = said(tokens, at + 2..how);
        return Some(own(at..how + 1, format!("{left} left on")));
    }
    let text = match word(tokens, how) {
        "upside" => "upside down".to_owned(),
        how => format!("{done} {how}"),
    };
    (participle(done) && somebody && the).then(|| own(at..at + 1, text))
}

/// *it's **been tarmacked in***.
pub(super) fn done_in(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    hits: &[Hit],
) -> Option<Piece> {
    let done = word(tokens, at + 1);
    let end = at + 3;
    let fits = word(tokens, at) == "been"
        && participle(done)
        && matches!(word(tokens, at + 2), "in" | "over" | "shut" | "solid");
    let ends = end == clause.end
        || end < clause.end
            && matches!(class(word(tokens, end)), Class::Conjunction | Class::Adverb);
    (fits && ends && !denied(hits, at + 1) && !DONE_WELL.contains(&done))
        .then(|| own(at..end, said(tokens, at..end)))
}

/// What nobody has done without harm to a building.
#[rustfmt::skip]
const IDLE: &[&str] = &[
    "been", "touched", "told", "said", "seen", "moved", "asked", "noticed", "mentioned", "lived", "come", "gone", "used",
    "promised", "bought",
];

/// *They have **not painted** the sill*, *they've not filled behind the pipe*.
fn they_have_not(tokens: &[Token], at: usize, clause: &Range<usize>) -> Option<Piece> {
    let not = word(tokens, at) == "not" && at >= clause.start + 2;
    let has = not && matches!(word(tokens, at - 1), "have" | "'ve" | "has" | "'s");
    let they = has && SOMEBODY.contains(&word(tokens, at - 2));
    let done = word(tokens, at + 1);
    let thing = matches!(
        class(word(tokens, at + 2)),
        Class::Determiner | Class::Preposition
    );
    let yet = word(tokens, clause.end - 1) == "yet";
    let work = participle(done) && !IDLE.contains(&done) && !STILL_AT_IT.contains(&done);
    (they && work && thing && !yet && at + 3 < clause.end)
        .then(|| own(at..at + 2, format!("not {done}")))
}

/// What is said of work that goes on, and no fault.
const STILL_AT_IT: &[&str] = &[
    "finished",
    "started",
    "completed",
    "got",
    "done",
    "had",
    "made",
    "left",
    "handed",
];

/// *but **nobody's cut** it through*, *they've **not bothered painting***.
pub(super) fn nobody_did(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    _: &[Hit],
) -> Option<Piece> {
    if word(tokens, at) == "not" && word(tokens, at + 1) == "bothered" {
        let to = word(tokens, at + 2) == "to";
        let doing = at + 2 + usize::from(to);
        let fits =
            to && class(word(tokens, doing)) == Class::Open || word(tokens, doing).ends_with("ing");
        // "They've not bothered with the sealant".
        if word(tokens, doing) == "with" && doing + 2 < clause.end {
            let thing = class(word(tokens, doing + 1)) == Class::Determiner;
            let they = (clause.start..at)
                .rev()
                .take(2)
                .find(|&t| SOMEBODY.contains(&word(tokens, t)));
            return thing.then(|| own(they.unwrap_or(at)..doing + 2, MISSING.into()));
        }
        return (fits && doing < clause.end)
            .then(|| own(at..doing + 1, said(tokens, at..doing + 1)));
    }
    if let Some(piece) = they_have_not(tokens, at, &clause) {
        return Some(piece);
    }
    // "Somebody forgot to caulk the top of it".
    if matches!(word(tokens, at), "forgot" | "forgotten") && word(tokens, at + 1) == "to" {
        let does = word(tokens, at + 2);
        let work = class(does) == Class::Open
            && !matches!(
                does,
                "say" | "mention" | "tell" | "bring" | "ask" | "check" | "charge" | "fit"
            );
        return (work && at + 2 < clause.end && at > clause.start)
            .then(|| own(at..at + 3, said(tokens, at..at + 3)));
    }
    // "They never painted the sill".
    let never = word(tokens, at) == "never" && participle(word(tokens, at + 1));
    if never && at > clause.start && at + 2 < clause.end && !IDLE.contains(&word(tokens, at + 1)) {
        let by_somebody = matches!(class(word(tokens, at - 1)), Class::Pronoun | Class::Open);
        let object = class(word(tokens, at + 2)) == Class::Determiner;
        return (by_somebody && object)
            .then(|| own(at..at + 2, format!("not {}", word(tokens, at + 1))));
    }
    let nobody = word(tokens, at) == "nobody" || word(tokens, at) == "no-one";
    let has = matches!(word(tokens, at + 1), "'s" | "has" | "have");
    let verb = (at + 2..clause.end).find(|&t| class(word(tokens, t)) != Class::Adverb)?;
    let done = word(tokens, verb);
    let idle = IDLE.contains(&done);
    let yet = word(tokens, clause.end - 1) == "yet";
    (nobody && has && participle(done) && !idle && !yet)
        .then(|| own(at..verb + 1, format!("not {done}")))
}

/// *'s got **a nail straight through it***, *somebody's put **a screw through** the skirting*.
pub(super) fn through_it(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    _: &[Hit],
) -> Option<Piece> {
    let through = past_strength(tokens, at + 1);
    // "Somebody's put a screw through the skirting".
    let put = at >= clause.start + 2 && matches!(word(tokens, at - 2), "put" | "driven" | "gone");
    let done = put && somebody_before(tokens, at - 2, &clause, 2);
    let it = matches!(word(tokens, through + 1), "it" | "them")
        || done && class(word(tokens, through + 1)) == Class::Determiner;
    // "Wants a bolt through it".
    let wanted = at >= clause.start + 2
        && matches!(
            word(tokens, at - 2),
            "wants" | "needs" | "want" | "need" | "put"
        );
    let fits = GOES_THROUGH.contains(&word(tokens, at))
        && word(tokens, through) == "through"
        && (done || !wanted);
    (fits && it && through + 1 < clause.end)
        .then(|| own(at..through + 2, format!("{} through it", word(tokens, at))))
}

/// *'s got a **load of sand and cut tile lying in it***.
pub(super) fn heap_in(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    _: &[Hit],
) -> Option<Piece> {
    let has = at >= clause.start + 2
        && matches!(word(tokens, at - 1), "a" | "got" | "has")
        && (clause.start..at).any(|t| matches!(word(tokens, t), "got" | "has" | "have"));
    if !has || !HEAPS.contains(&word(tokens, at)) || word(tokens, at + 1) != "of" {
        return None;
    }
    let end = (at + 2..clause.end.min(at + 10)).find(|&t| {
        matches!(word(tokens, t), "it" | "them")
            && matches!(word(tokens, t - 1), "in" | "on" | "under" | "behind")
    })?;
    Some(own(at..end + 1, said(tokens, at + 2..end - 1)))
}

/// *there's **nothing guarding it***.
pub(super) fn nothing_doing(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    _: &[Hit],
) -> Option<Piece> {
    let doing = word(tokens, at + 1);
    let it = matches!(word(tokens, at + 2), "it" | "them" | "that");
    let fits = matches!(word(tokens, at), "nothing" | "none")
        && doing.len() > 5
        && doing.ends_with("ing")
        && !matches!(doing, "wrong" | "stopping" | "moving");
    (fits && it && at + 2 < clause.end).then(|| own(at..at + 3, said(tokens, at..at + 3)))
}

/// *packed with mortar*, *plugged solid with dust*.
pub(super) fn packed_with(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    _: &[Hit],
) -> Option<Piece> {
    let solid = matches!(word(tokens, at + 1), "solid" | "up" | "tight" | "full");
    let with = at + 1 + usize::from(solid);
    let what = with + 1 + usize::from(class(word(tokens, with + 1)) == Class::Determiner);
    let fits = STOPPED_UP.contains(&word(tokens, at)) && word(tokens, with) == "with";
    (fits && what < clause.end && class(word(tokens, what)) == Class::Open)
        .then(|| own(at..what + 1, said(tokens, at..what + 1)))
}

/// What is stopped up, packed or covered with something.
const STOPPED_UP: &[&str] = &[
    "packed",
    "choked",
    "clogged",
    "stuffed",
    "plugged",
    "caked",
    "smothered",
    "coated",
    "crammed",
    "bunged",
    "clagged",
    "blocked",
    "filled",
    "jammed",
    "splattered",
    "spattered",
    "covered",
    "plastered",
];

#[cfg(test)]
mod tests {
    use super::super::tests::found;

    #[test]
    fn what_was_done_wrongly_is_a_fault() {
        for (text, expected) in [
            ("they bricked right over the weep holes", "bricked over"),
            ("they have plastered over the socket", "plastered over"),
            ("it 's been tarmacked in", "been tarmacked in"),
            ("but nobody 's cut it through", "not cut"),
            ("they have not bothered painting", "not bothered painting"),
            ("kit 's got a nail straight through it", "nail through it"),
            (
                "valley 's got a load of sand and cut tile lying in it",
                "sand and cut tile lying",
            ),
            ("it stops 18 mm below the floor", "stops below"),
            ("there 's nothing guarding it", "nothing guarding it"),
            ("holes are packed with mortar", "packed with mortar"),
            (
                "filter 's plugged solid with drywall dust",
                "plugged solid with drywall",
            ),
            ("deadbolt only throws halfway", "only throws halfway"),
            ("hinge only has one screw in it", "only one screw"),
            ("hangers only have two nails in them", "only two nails"),
            ("downpipe is held by one bracket", "only one bracket"),
            ("spotlights two of six out", "not working"),
            ("somebody forgot to caulk the top of it", "forgot to caulk"),
        ] {
            let found = found(text);
            assert!(found.iter().any(|f| f == expected), "{text}: {found:?}");
        }
    }

    #[test]
    fn what_was_done_well_or_is_no_doing_is_none() {
        for text in [
            "it 's been filled in",
            "they looked over the road",
            "nobody 's been here",
            "the lift stops at the fourth floor",
            "it goes through the wall",
        ] {
            assert_eq!(found(text), Vec::<String>::new(), "{text}");
        }
    }
}
