//! What works in part or not at all: *only works on high*, *only one of the taps runs*, *one runs, the other
//! doesn't*, *smoke alarm, no light*.

use super::super::grammar::{Class, class, participle};
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

/// A verb of [`WORKS`], as it was said.
struct Work {
    /// As it is said of several: *come*.
    plain: &'static str,
    /// The token behind it and its result.
    end: usize,
}

/// Returns the verb of [`WORKS`] that stands at a token, as it is said of one or of several.
fn works(tokens: &[Token], at: usize) -> Option<Work> {
    let does = word(tokens, at);
    let (one, plain) = WORKS
        .iter()
        .find(|(one, all)| does == *one || does == *all)?;
    let more = matches!(*one, "comes" | "gets" | "lights" | "heats");
    let result = more && RESULT.contains(&word(tokens, at + 1));
    // "Comes to the wall", "gets in the way", "the lights".
    if matches!(*one, "comes" | "gets") && !result {
        return None;
    }
    let end = at + 1 + usize::from(result);
    Some(Work { plain, end })
}

/// Returns how it is denied that a thing does what the verb at a token says, with its result.
fn does_not(tokens: &[Token], at: usize, work: &Work) -> String {
    let said = ["does not", work.plain, &said(tokens, at + 1..work.end)].join(" ");
    said.trim_end().to_owned()
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
    if let Some(work) = works(tokens, at + 1) {
        let made_so = MADE_SO.contains(&word(tokens, work.end));
        let more = work.end < clause.end && !made_so;
        return more.then(|| own(at..clause.end, said(tokens, at..clause.end)));
    }
    let first = at + 1;
    let subject = matches!(
        class(word(tokens, first)),
        Class::Determiner | Class::Number
    ) || matches!(word(tokens, first), "one" | "half" | "some");
    let last = clause.end.min(first + LONGEST_SUBJECT);
    let ends = |t: &usize| works(tokens, *t).is_some_and(|work| work.end == clause.end);
    let verb = (first + 1..last).find(ends)?;
    let which = match word(tokens, first + 1) {
        "of" => first..first + 1,
        _ => first..verb,
    };
    let does = said(tokens, verb..clause.end);
    let text = format!("only {} {does}", said(tokens, which));
    subject.then(|| own(verb..clause.end, text).worth(2.0))
}

/// ***Nothing's coming out of** the register*, ***nothing comes through** the vent*.
pub(super) fn nothing_comes(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    _: &[Hit],
) -> Option<Piece> {
    let is = at + 1 + usize::from(matches!(word(tokens, at + 1), "'s" | "is"));
    let comes = matches!(word(tokens, is), "coming" | "comes" | "came");
    let out = matches!(word(tokens, is + 1), "out" | "through");
    let end = is + 2 + usize::from(matches!(word(tokens, is + 2), "of" | "from"));
    let fits = word(tokens, at) == "nothing" && comes && out && is + 1 < clause.end;
    fits.then(|| {
        own(
            at..end.min(clause.end),
            format!("nothing coming {}", word(tokens, is + 1)),
        )
        .worth(7.0)
    })
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
    let before = at.checked_sub(1).map_or("", |before| word(tokens, before));
    let other = matches!(before, "one" | "other" | "others");
    let subject =
        other || at > clause.start && matches!(class(before), Class::Open | Class::Number);
    if !denies || at + 2 != clause.end || !subject {
        return None;
    }
    let mut earlier = (clause.start.saturating_sub(REACH)..clause.start).rev();
    let (verb, work) = earlier.find_map(|t| works(tokens, t).map(|work| (t, work)))?;
    // "The fan runs but the light doesn't": not the same that it does not do.
    let text = match other {
        true => does_not(tokens, verb, &work),
        false => "does not work".to_owned(),
    };
    Some(own(at..at + 2, text).worth(2.0))
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
    // "Electric heater, no heat **out of it**".
    let out = matches!(word(tokens, at + 2), "out" | "from" | "through" | "to");
    let of_it =
        (at + 3..clause.end.min(at + 5)).any(|t| matches!(word(tokens, t), "it" | "them" | "this"));
    let ends = at + 2 == clause.end
        || matches!(word(tokens, at + 2), "at" | "though" | "either")
        || out && of_it;
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
        .find(|&t| {
            // "Not one of the circuits has a name".
            let not_one =
                word(tokens, t) == "one" && t > clause.start && word(tokens, t - 1) == "not";
            // "Not a single breaker's labelled".
            let not_a_single = word(tokens, t) == "single"
                && t >= clause.start + 2
                && word(tokens, t - 1) == "a"
                && word(tokens, t - 2) == "not";
            (NONE.contains(&word(tokens, t)) || not_one) && word(tokens, t + 1) == "of"
                || not_a_single
        })?;
    let single = word(tokens, cue) == "single";
    if at < cue + 3 - usize::from(single) {
        return None;
    }
    if let Some(work) = works(tokens, at).filter(|work| work.end == clause.end) {
        return Some(own(at..clause.end, does_not(tokens, at, &work)).worth(3.0));
    }
    // "The ends left raw, **not one of them sealed**".
    let them = at == cue + 3 && matches!(word(tokens, cue + 2), "them" | "these" | "those");
    if them && participle(word(tokens, at)) && at + 1 == clause.end {
        return Some(own(at..at + 1, format!("not {}", word(tokens, at))).worth(3.0));
    }
    // "None of the pipes have been labelled".
    let been = matches!(word(tokens, at), "has" | "have") && word(tokens, at + 1) == "been";
    if been && participle(word(tokens, at + 2)) && at + 2 < clause.end {
        return Some(own(at..at + 3, format!("not {}", word(tokens, at + 2))).worth(3.0));
    }
    let got = usize::from(word(tokens, at + 1) == "got");
    let article = usize::from(class(word(tokens, at + 1 + got)) == Class::Determiner);
    let what = at + 1 + got + article;
    let ends = what + 1 == clause.end
        || what + 2 == clause.end && matches!(word(tokens, what + 1), "on" | "in" | "fitted");
    let named = ends && class(word(tokens, what)) == Class::Open && !fault(what);
    let text = match word(tokens, at) {
        "is" | "are" | "'s" if article + got == 0 && (single || word(tokens, at) != "'s") => {
            format!("not {}", word(tokens, what))
        }
        // "Not one of the circuits has got a name on".
        "has" | "have" if matches!(word(tokens, what), "name" | "label") => "not labelled".into(),
        "has" | "have" => format!("no {}", word(tokens, what)),
        _ => return None,
    };
    named.then(|| own(at..clause.end, text))
}
