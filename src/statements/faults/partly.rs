//! What works in part or not at all: *only works on high*, *only one of the taps runs*, *one runs, the other
//! doesn't*, *smoke alarm, no light*.

use super::super::grammar::{Class, class};
use super::super::piece::Piece;
use super::mishap::own;
use super::{said, word};
use crate::lexicon::{Hit, Kind, Token};
use std::ops::Range;

/// What things do that work, as it is said of one and of several.
#[rustfmt::skip]
const WORKS: [(&str, &str); 18] = [
    ("works", "work"), ("runs", "run"), ("lights", "light"), ("flushes", "flush"), ("heats", "heat"),
    ("fills", "fill"), ("drains", "drain"), ("latches", "latch"), ("locks", "lock"), ("closes", "close"),
    ("shuts", "shut"), ("opens", "open"), ("comes", "come"), ("turns", "turn"), ("spins", "spin"),
    ("clicks", "click"), ("gets", "get"), ("glows", "glow"),
];

/// Words behind *comes* and *gets*: *comes on*, *gets warm*.
const RESULT: &[&str] = &["on", "up", "warm", "hot", "lukewarm"];

/// A door that only opens one way is made so.
const MADE_SO: &[&str] = &["inward", "inwards", "outward", "outwards"];

/// What a thing gives off or lets through that works.
#[rustfmt::skip]
const GIVES: &[&str] = &[
    "light", "beep", "chirp", "sound", "noise", "heat", "flow", "water", "power", "response", "signal", "glow", "flame",
    "spark", "click", "draw",
];

/// The most words between *only* and the verb: *only one of the bathroom taps works*.
const LONGEST_SUBJECT: usize = 6;

/// How far before a clause stands what the other one does: *the cold one **runs** fine, the hot one doesn't*.
const REACH: usize = 8;

/// Returns where a verb of [`WORKS`] ends, as it is said of one or of several.
fn works(tokens: &[Token], at: usize) -> Option<usize> {
    let does = word(tokens, at);
    let (one, _) = WORKS
        .iter()
        .find(|(one, all)| does == *one || does == *all)?;
    let more = matches!(*one, "comes" | "gets" | "lights" | "heats");
    let result = more && RESULT.contains(&word(tokens, at + 1));
    // "Comes to the wall", "gets in the way", "the lights".
    if matches!(*one, "comes" | "gets") && !result {
        return None;
    }
    Some(at + 1 + usize::from(result))
}

/// ***only works** on high*, ***only gets warm** at the bottom*; ***only** one of the taps **works***.
pub(super) fn only_works(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    _: &[Hit],
) -> Option<Piece> {
    if word(tokens, at) != "only" {
        return None;
    }
    if let Some(end) = works(tokens, at + 1) {
        let made_so = MADE_SO.contains(&word(tokens, end));
        let more = end < clause.end && !made_so;
        return more.then(|| own(at..clause.end, said(tokens, at..clause.end)));
    }
    let first = at + 1;
    let subject = matches!(
        class(word(tokens, first)),
        Class::Determiner | Class::Number
    ) || matches!(word(tokens, first), "one" | "half" | "some");
    let last = clause.end.min(first + LONGEST_SUBJECT);
    let verb = (first + 1..last).find(|&t| works(tokens, t) == Some(clause.end))?;
    let which = match word(tokens, first + 1) {
        "of" => first..first + 1,
        _ => first..verb,
    };
    let does = said(tokens, verb..clause.end);
    let text = format!("only {} {does}", said(tokens, which));
    subject.then(|| own(verb..clause.end, text).worth(2.0))
}

/// *One tap runs, the other **doesn't***, *the fan works but the light **does not***.
pub(super) fn unlike_the_other(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    _: &[Hit],
) -> Option<Piece> {
    let denies =
        matches!(word(tokens, at), "does" | "do" | "will") && word(tokens, at + 1) == "not";
    let subject = at > clause.start
        && matches!(class(word(tokens, at - 1)), Class::Open | Class::Number)
        || matches!(word(tokens, at.wrapping_sub(1)), "one" | "other" | "others");
    if !denies || at + 2 != clause.end || !subject {
        return None;
    }
    let other = matches!(word(tokens, at - 1), "one" | "other" | "others");
    let before = clause.start.saturating_sub(REACH)..clause.start;
    let does = before.rev().find_map(|t| {
        let end = works(tokens, t)?;
        let verb = WORKS
            .iter()
            .find(|(one, all)| [*one, *all].contains(&word(tokens, t)))?;
        let result = said(tokens, t + 1..end);
        // "The fan runs but the light doesn't": not the same that it does not do.
        let does = if other { verb.1 } else { "work" };
        let result = if other { result } else { String::new() };
        Some(format!("{does} {result}").trim_end().to_owned())
    })?;
    Some(own(at..at + 2, format!("does not {does}")).worth(2.0))
}

/// *Smoke alarm, **no light**, **no beep***: nothing comes of it. What a room is without, is missing:
/// *no insulation, no light*.
pub(super) fn gives_nothing(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    hits: &[Hit],
) -> Option<Piece> {
    let gives = word(tokens, at) == "no" && GIVES.contains(&word(tokens, at + 1));
    let ends = at + 2 == clause.end || matches!(word(tokens, at + 2), "at" | "though" | "either");
    let from = clause.start.saturating_sub(REACH);
    let named = hits
        .iter()
        .any(|h| h.kind == Kind::Element && (from..at).contains(&h.tokens.start));
    let without =
        (from..at).any(|t| word(tokens, t) == "no" && !GIVES.contains(&word(tokens, t + 1)));
    (gives && ends && at == clause.start && at > 0 && named && !without)
        .then(|| own(at..at + 2, said(tokens, at..at + 2)))
}

/// How it begins that none of several is as it should be.
const NONE: &[&str] = &["neither", "none"];

/// The most words between *none of* and the verb.
const LONGEST_OF: usize = 5;

/// *Neither of the switches **is level***, *none of the valves **has a cap***, *none of them works*.
pub(super) fn none_of_them(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    hits: &[Hit],
) -> Option<Piece> {
    let fault = |at: usize| {
        hits.iter()
            .any(|h| h.kind == Kind::Defect && h.tokens.start == at)
    };
    let cue = (clause.start..at.saturating_sub(1))
        .rev()
        .take(LONGEST_OF + 2)
        .find(|&t| NONE.contains(&word(tokens, t)) && word(tokens, t + 1) == "of")?;
    if at < cue + 3 {
        return None;
    }
    if works(tokens, at) == Some(clause.end) {
        let verb = WORKS
            .iter()
            .find(|(one, all)| [*one, *all].contains(&word(tokens, at)))?;
        let rest = said(tokens, at + 1..clause.end);
        let text = format!("does not {} {rest}", verb.1).trim_end().to_owned();
        return Some(own(at..clause.end, text).worth(3.0));
    }
    let article = usize::from(class(word(tokens, at + 1)) == Class::Determiner);
    let what = at + 1 + article;
    let named = what + 1 == clause.end && class(word(tokens, what)) == Class::Open && !fault(what);
    let text = match word(tokens, at) {
        "is" | "are" if article == 0 => format!("not {}", word(tokens, what)),
        "has" | "have" => format!("no {}", word(tokens, what)),
        _ => return None,
    };
    named.then(|| own(at..clause.end, text))
}

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
