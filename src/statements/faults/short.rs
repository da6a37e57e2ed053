//! What does not go as far as it should, or gives way: *stops 18 mm below the floor*, *only throws
//! halfway*, *only one screw in it*, *two of six out*.

use super::super::grammar::{Class, class, participle};
use super::super::number_at;
use super::super::piece::Piece;
use super::super::units::is_length;
use super::mishap::own;
use super::{MISSING, OUT, said, word};
use crate::lexicon::{Hit, Kind, Token};
use std::ops::Range;

/// What is done to try whether a thing holds.
const TRIED: &[&str] = &[
    "lean", "leaned", "hand", "hands", "palm", "foot", "walk", "touch", "load", "push", "pushed",
    "press", "pressed", "weight", "step", "stepped", "stand", "stood", "bounce", "pull", "pulled",
    "sit", "sat",
];

/// Lamps: what is *out* is not lit.
const LAMPS: &[&str] = &[
    "lamp",
    "lamps",
    "light",
    "lights",
    "downlight",
    "downlights",
    "spotlight",
    "spotlights",
    "bulb",
    "bulbs",
    "led",
    "leds",
    "downlighter",
    "downlighters",
    "spots",
    "can",
];

/// How many tokens before the clause the lamp may stand: *Spotlights: two of six out*.
const LAMP_REACH: usize = 8;

/// *it **stops** eighteen millimetres **below** the floor*, *finishes **short of** the wall*.
pub(super) fn stops_short(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    _: &[Hit],
) -> Option<Piece> {
    let stops = matches!(
        word(tokens, at),
        "stops"
            | "stop"
            | "finishes"
            | "ends"
            | "stopping"
            | "stands"
            | "standing"
            | "sits"
            | "sitting"
    );
    // "The handrail stops before the bottom step".
    let before = word(tokens, at + 1) == "before"
        && class(word(tokens, at + 2)) == Class::Determiner
        && at + 3 < clause.end;
    if before && at > clause.start && matches!(word(tokens, at), "stops" | "finishes" | "ends") {
        return Some(own(at..at + 2, "stops short".into()));
    }
    let end = (at + 1..clause.end.min(at + 9))
        .find(|&t| matches!(word(tokens, t), "below" | "short" | "shy" | "above"))?;
    let measured = (at + 1..end)
        .any(|t| class(word(tokens, t)) == Class::Number || is_length(word(tokens, t)));
    let verb = match word(tokens, at) {
        stands @ ("stands" | "standing" | "sits" | "sitting") => stands,
        _ => "stops",
    };
    // "Stops two treads short": the treads are how far.
    let counted =
        word(tokens, end) == "short" && !(at + 1..end).any(|t| is_length(word(tokens, t)));
    let covers = at..if counted { end + 1 } else { at + 1 };
    (stops && measured && at > clause.start)
        .then(|| own(covers, format!("{verb} {}", word(tokens, end))))
}

/// *The left one's **short four** shelf pins*, *it's **short a** screw*: what is not there.
pub(super) fn short_of_some(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    _: &[Hit],
) -> Option<Piece> {
    let is = at > clause.start && matches!(word(tokens, at - 1), "'s" | "is" | "are");
    let many = matches!(
        word(tokens, at + 1),
        "a" | "an" | "one" | "two" | "three" | "four" | "five" | "six"
    );
    let what = word(tokens, at + 2);
    let thing = class(what) == Class::Open && !is_length(what) && at + 2 < clause.end;
    (word(tokens, at) == "short" && is && many && thing)
        .then(|| own(at..at + 2, MISSING.into()).worth(5.0))
}

/// Up to this far, in millimetres, what lies below or above what it should be level with is out of place; farther,
/// it is told where it is. Common practice, no source.
const OUT_OF_PLACE_MM: f64 = 60.0;

/// *the grating**'s fourteen mil below** them*, *the mat's five mil **lower than** the tiles*.
pub(super) fn lies_below(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    _: &[Hit],
) -> Option<Piece> {
    let how = word(tokens, at);
    let below = matches!(how, "below" | "above")
        || matches!(how, "lower" | "higher") && word(tokens, at + 1) == "than";
    let small = matches!(
        at.checked_sub(1).map_or("", |b| word(tokens, b)),
        "mil" | "mm" | "millimetres" | "millimetre"
    );
    if !below || !small {
        return None;
    }
    let number = (clause.start..at)
        .find_map(|t| number_at(tokens, t).filter(|n| n.tokens.end + 1 == at))
        .filter(|n| n.value <= OUT_OF_PLACE_MM)?;
    let is = number
        .tokens
        .start
        .checked_sub(1)
        .map_or("", |b| word(tokens, b));
    let fits = matches!(is, "'s" | "is" | "are" | "sits" | "about" | "only" | "good");
    let end = at + 1 + usize::from(word(tokens, at + 1) == "than");
    let which = if matches!(how, "below" | "lower") {
        "too low"
    } else {
        "too high"
    };
    (fits && end < clause.end).then(|| own(at..end, which.into()))
}

/// *Plinth **clipped at one end only***, *only tacked down the one side*.
pub(super) fn one_end_only(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    _: &[Hit],
) -> Option<Piece> {
    let one = (at + 1..clause.end.min(at + 5)).find(|&t| {
        word(tokens, t) == "one" && matches!(word(tokens, t + 1), "end" | "side" | "edge")
    })?;
    let only = word(tokens, one + 2) == "only" && one + 2 < clause.end
        || at > clause.start && matches!(word(tokens, at - 1), "only" | "just");
    let fixed = participle(word(tokens, at)) && one + 2 <= clause.end;
    (fixed && only).then(|| own(at..one + 2, format!("only {}", said(tokens, at..one + 2))))
}

/// ***only throws***, ***only goes***.
fn only_does(tokens: &[Token], at: usize) -> bool {
    let does = word(tokens, at + 1);
    let verb = does.ends_with('s') && matches!(class(does), Class::Open | Class::Verb);
    word(tokens, at) == "only" && verb
}

/// *only throws **halfway***, *only opens part way*.
pub(super) fn only_part_way(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    _: &[Hit],
) -> Option<Piece> {
    // "Only throws *about* halfway".
    let about = usize::from(matches!(word(tokens, at + 2), "about" | "some" | "maybe"));
    let far = at + 2 + about;
    let end = match word(tokens, far) {
        "halfway" | "partway" | "partly" => far + 1,
        "half" | "part" if word(tokens, far + 1) == "way" => far + 2,
        _ => return None,
    };
    (only_does(tokens, at) && end <= clause.end).then(|| own(at..end, said(tokens, at..end)))
}

/// ***only goes in if** I lean on it*, *only shuts when you lift it*.
pub(super) fn only_if(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    _: &[Hit],
) -> Option<Piece> {
    let end = (at + 2..clause.end.min(at + 5))
        .find(|&t| matches!(word(tokens, t), "if" | "when" | "with" | "after"))?;
    (only_does(tokens, at) && word(tokens, at + 1) != "is" && end + 1 < clause.end)
        .then(|| own(at..end + 1, said(tokens, at..end + 1)))
}

/// How what should hold gives way. Common practice, no source.
const MOVES: &[&str] = &[
    "moves", "dips", "sinks", "shifts", "flexes", "wobbles", "lifts", "sags", "deflects",
];

/// *goes down **when I step on it***, *moves when you lean on it*.
pub(super) fn when_tried(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    _: &[Hit],
) -> Option<Piece> {
    let goes = matches!(word(tokens, at), "goes" | "drops") && word(tokens, at + 1) == "down";
    let moves = MOVES.contains(&word(tokens, at));
    let when = at + 1 + usize::from(goes);
    let tried = matches!(word(tokens, when), "when" | "as" | "if")
        && (when..clause.end.min(when + 5)).any(|t| TRIED.contains(&word(tokens, t)));
    ((goes || moves) && tried && at > clause.start).then(|| own(at..when, said(tokens, at..when)))
}

/// *top bracket **off***, *flow pipe, lagging **off***, *the tank lid's **not on***: said of what is fixed
/// to something.
pub(super) fn off(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    hits: &[Hit],
) -> Option<Piece> {
    let before = at.checked_sub(1).map_or("", |b| word(tokens, b));
    let (noun_end, end) = match word(tokens, at) {
        // "The rail's off", "top bracket off".
        "off" if matches!(before, "'s" | "is" | "are") => (at - 1, at + 1),
        "off" => (at, at + 1),
        "not" if word(tokens, at + 1) == "on" && at > clause.start => (at - 1, at + 2),
        _ => return None,
    };
    let last = end == clause.end
        || matches!(
            word(tokens, end),
            "properly" | "right" | "straight" | "behind" | "by" | "at" | "in" | "under" | "near"
        );
    let thing = hits.iter().any(|h| {
        h.kind == Kind::Element && h.tokens.end == noun_end && h.tokens.start >= clause.start
    });
    let before = noun_end.checked_sub(1).map_or("", |b| word(tokens, b));
    // Recognisers write "door's off" as "doors off"; "shoes off" is said at the door.
    let mut singular = before
        .strip_suffix('s')
        .filter(|_| before != "shoes")
        .into_iter();
    let fixed = FIXED_ON.contains(&before) || singular.any(|one| FIXED_ON.contains(&one));
    // "There's a tile off the roof".
    let there = matches!(word(tokens, clause.start), "there" | "we" | "i")
        && matches!(
            word(tokens, clause.start + 1),
            "is" | "'s" | "are" | "have" | "'ve"
        );
    let of_it = there && word(tokens, at) == "off" && class(word(tokens, end)) == Class::Determiner;
    ((last || of_it) && thing && fixed).then(|| own(at..end, said(tokens, at..end)))
}

/// What comes off and is not switched off. Common practice, no source.
#[rustfmt::skip]
const FIXED_ON: &[&str] = &[
    "bracket", "brackets", "lagging", "cap", "caps", "cover", "covers", "lid", "trim", "handle", "knob", "clip",
    "clips", "plate", "faceplate", "flap", "grille", "panel", "door", "hinge", "bead", "strip", "seal", "tile",
    "tiles", "slate", "board", "skirting", "plinth", "kickboard", "end", "shoe", "cowl", "guard", "rail", "hook",
    "seat", "diffuser", "shade", "lampshade", "globe", "grating", "grate", "spindle", "escutcheon", "collar", "bezel",
    "ring", "rose", "bolt", "nut", "insulation", "sleeve", "edging", "beading", "cladding", "fascia",
];

/// *only has **one screw** in it*, *held by one bracket*: fewer than there ought to be.
pub(super) fn only_so_many(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    _: &[Hit],
) -> Option<Piece> {
    let has = |word: &str| matches!(word, "have" | "has" | "got" | "'s" | "had" | "having");
    let mut number = at + 1;
    while has(word(tokens, number)) || word(tokens, number) == "by" {
        number += 1;
    }
    let before = at.checked_sub(1).map_or("", |b| word(tokens, b));
    let cue = word(tokens, at) == "only" && (has(before) || number > at + 1)
        || word(tokens, at) == "held" && word(tokens, at + 1) == "by";
    let few = matches!(word(tokens, number), "one" | "two" | "three" | "four");
    let noun = number + 1;
    (cue && few && noun < clause.end && class(word(tokens, noun)) == Class::Open).then(|| {
        let text = format!("only {}", said(tokens, number..noun + 1));
        own(at..noun + 1, text)
    })
}

/// *if I lean on it, it **gives***; *I put my weight on it and it **moves** five millimetres*.
pub(super) fn gives(tokens: &[Token], at: usize, clause: Range<usize>, _: &[Hit]) -> Option<Piece> {
    let it = at > 0 && matches!(word(tokens, at - 1), "it" | "that" | "they");
    let last = at + 1 == clause.end;
    let from = clause.start.saturating_sub(LAMP_REACH);
    let tried = (from..at).any(|t| TRIED.contains(&word(tokens, t)));
    let gives = matches!(word(tokens, at), "gives" | "give") && last;
    // "When I push it **the middle gives forty mil**".
    let so_much = word(tokens, at) == "gives" && class(word(tokens, at + 1)) == Class::Number;
    if so_much && tried && at > clause.start {
        return Some(own(at..at + 1, "gives".to_owned()).worth(7.0));
    }
    let so_far = last
        || matches!(
            class(word(tokens, at + 1)),
            Class::Number | Class::Adverb | Class::Determiner
        );
    let moves = MOVES.contains(&word(tokens, at)) && so_far;
    ((gives || moves) && it && tried).then(|| own(at..at + 1, word(tokens, at).to_owned()))
}

/// *eight mil **out***, *twelve mil **out** across the leaf*, ***out** eight mil*, *the floor's two **out***,
/// ***out** by six*; *out of plumb* is a fault by itself.
pub(super) fn measured_out(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    _: &[Hit],
) -> Option<Piece> {
    let after_length = at > clause.start && is_length(word(tokens, at - 1));
    let number = |at: usize| class(word(tokens, at)) == Class::Number;
    let before_length =
        number(at + 1) && (at + 2..at + 4).any(|t| t < clause.end && is_length(word(tokens, t)));
    let by = word(tokens, at + 1) == "by" && (number(at + 2) || number(at + 3));
    // "Two of the lamps are out" is none of that.
    let from = clause.start.saturating_sub(LAMP_REACH);
    let bare = at > clause.start + 1
        && number(at - 1)
        && !matches!(word(tokens, at - 2), "of" | "there")
        && !(from..at).any(|t| LAMPS.contains(&word(tokens, t)));
    let figure = after_length || before_length || by || bare;
    (word(tokens, at) == OUT && figure && word(tokens, at + 1) != "of")
        .then(|| own(at..at + 1, OUT.into()))
}

/// *two of six **out***, *the downlight nearest the door is **out***.
pub(super) fn light_out(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    _: &[Hit],
) -> Option<Piece> {
    let before = at.checked_sub(1).map_or("", |b| word(tokens, b));
    // "Two bulbs out."
    let bare = at + 1 == clause.end && LAMPS.contains(&before);
    let state = matches!(before, "is" | "are" | "'s")
        || class(before) == Class::Number
        || before == "them"
        || bare;
    let from = clause.start.saturating_sub(LAMP_REACH);
    let lamp = (from..at).any(|t| LAMPS.contains(&word(tokens, t)));
    let after = word(tokens, at + 1);
    let ends = at + 1 == clause.end || class(after) == Class::Preposition && after != "of";
    (word(tokens, at) == OUT && ends && state && lamp)
        .then(|| own(at..at + 1, "not working".into()))
}

/// ***lower than** the one next to it*, *ten mil **wider than** the other*: not as a thing like it, or beside
/// it, is.
pub(super) fn compared(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    _: &[Hit],
) -> Option<Piece> {
    let more = MORE_OR_LESS.contains(&word(tokens, at)) && word(tokens, at + 1) == "than";
    let with = word(tokens, at + 2);
    let other =
        class(with) == Class::Determiner || matches!(with, "others" | "next" | "i" | "it" | "heck");
    let from = at.saturating_sub(2).max(clause.start);
    let denied = (from..at).any(|t| class(word(tokens, t)) == Class::Negation);
    let end = (at + 3..clause.end.min(at + 6))
        .find(|&t| {
            let goes_on = matches!(class(word(tokens, t)), Class::Open | Class::Number);
            !goes_on && !matches!(word(tokens, t), "one" | "ones" | "'d" | "would" | "like")
        })
        .unwrap_or(clause.end.min(at + 6));
    (more && other && !denied && at > clause.start && at + 3 <= clause.end)
        .then(|| own(at..at + 2, said(tokens, at..end)))
}

/// How one thing differs from another in a list of faults. Common practice, no source.
#[rustfmt::skip]
const MORE_OR_LESS: &[&str] = &[
    "lower", "higher", "wider", "narrower", "shorter", "longer", "deeper", "thicker", "thinner", "darker",
    "lighter", "duller", "brighter", "shallower", "steeper", "smaller", "bigger", "louder", "noisier", "colder",
    "hotter", "rougher", "stiffer",
];
