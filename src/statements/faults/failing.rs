//! *won't trip*, *too near*, *out of its groove*, *full of mortar*: a thing that fails or is too much.

use super::super::grammar::{Class, class, hesitation, participle};
use super::super::piece::{Piece, PieceKind};
use super::{PARTICLES, denied, noun_after, said, speaker_before, word};
use crate::lexicon::{Hit, Kind, Token};
use std::ops::Range;

/// Verbs after *can't*, *don't*, *won't* that tell of the speaker, not of the thing.
const NOT_A_FAULT_VERB: &[&str] = &[
    "be",
    "have",
    "see",
    "know",
    "think",
    "mind",
    "matter",
    "need",
    "bother",
    "worry",
    "want",
    "say",
    "tell",
    "care",
    "look",
    "prove",
    "help",
    "believe",
    "wait",
    "like",
    "get",
    "remember",
    "imagine",
    "complain",
    "argue",
    "expect",
    "forget",
    "list",
    "write",
    "find",
    "feel",
    "hear",
    "make",
    "take",
    "put",
    "ask",
    "go",
    "come",
    "do",
    "let",
    "recommend",
    "suppose",
    "understand",
    "read",
    "reach",
    "call",
    "count",
    "cause",
    "include",
    "include",
    "touch",
];

/// What is to catch.
const LATCHES: &[&str] = &[
    "latch", "lock", "bolt", "hook", "keep", "striker", "catch", "snib", "clasp", "deadbolt",
    "strike", "hasp",
];

/// *the patio doors, **they** don't **seal***: what things do, and not people.
fn things_do(tokens: &[Token], at: usize) -> bool {
    let verb = word(tokens, at + 2);
    let they = at > 0 && word(tokens, at - 1) == "they";
    they && matches!(
        verb,
        "seal"
            | "meet"
            | "come"
            | "go"
            | "close"
            | "shut"
            | "open"
            | "line"
            | "lock"
            | "latch"
            | "fit"
            | "match"
            | "align"
            | "drain"
            | "slide"
            | "sit"
            | "reach"
            | "light"
            | "click"
            | "catch"
    )
}

/// *won't trip*, *doesn't spring back*, *isn't moving*.
pub(super) fn will_not(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    hits: &[Hit],
) -> Option<Piece> {
    let modal = matches!(
        word(tokens, at),
        "will" | "would" | "does" | "do" | "did" | "can" | "could" | "is" | "are" | "'s"
    );
    if !modal
        || !matches!(word(tokens, at + 1), "not")
        || at + 2 >= clause.end
        || speaker_before(tokens, at, &clause) && !things_do(tokens, at)
    {
        return None;
    }
    // "Don't anybody park there": said to people.
    let order = at == clause.start && word(tokens, at) == "do";
    if order || matches!(word(tokens, at + 2), "anybody" | "anyone" | "let") {
        return None;
    }
    let mut verb = at + 2;
    let light = |word: &str| class(word) == Class::Adverb || hesitation(word);
    while verb < clause.end && light(word(tokens, verb)) {
        verb += 1;
    }
    let does = word(tokens, verb);
    let being = matches!(word(tokens, at), "is" | "are" | "'s");
    let fits = if being {
        does.len() > 5 && does.ends_with("ing")
    } else {
        class(does) == Class::Open
            || matches!(does, "come" | "go" | "sit" | "stand" | "run" | "keep")
    };
    // "The blind won't go up", but not "I won't go into that".
    let way = |at: usize| {
        at < clause.end
            && matches!(
                word(tokens, at),
                "up" | "down"
                    | "in"
                    | "back"
                    | "home"
                    | "together"
                    | "round"
                    | "out"
                    | "off"
                    | "on"
                    | "apart"
            )
    };
    let behind = verb + 2 + usize::from(word(tokens, verb + 1) == "back" && way(verb + 2));
    let goes = matches!(does, "go" | "come")
        && way(verb + 1)
        && (behind >= clause.end
            || matches!(
                class(word(tokens, behind)),
                Class::Adverb | Class::Preposition | Class::Conjunction
            ));
    let tells = goes || !NOT_A_FAULT_VERB.contains(&does);
    // "The latch won't catch", which is what it is for; but "it doesn't catch on the carpet".
    let latches = does == "catch"
        && (clause.start..at).any(|at| LATCHES.contains(&word(tokens, at)))
        && !matches!(word(tokens, verb + 1), "against" | "the");
    // "The blind won't come down": not *fallen*, whatever that is as a fault.
    let refuses = goes && word(tokens, at) == "will";
    if denied(hits, verb) && !latches && !refuses || verb >= clause.end || !fits || !tells {
        return None;
    }
    let particle = PARTICLES.contains(&word(tokens, verb + 1))
        && verb + 1 < clause.end
        && !noun_after(tokens, verb + 2, &clause);
    let end = verb + 1 + usize::from(particle);
    let lead = match word(tokens, at) {
        "is" | "are" | "'s" => "not",
        "will" | "would" => "will not",
        "can" | "could" => "cannot",
        _ => "does not",
    };
    let fault = Piece::own_words(
        PieceKind::Defect,
        at..end,
        format!("{lead} {}", said(tokens, verb..end)),
    );
    Some(if latches { fault.worth(5.0) } else { fault })
}

/// *too near*, *way too thin*.
pub(super) fn too_much(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    hits: &[Hit],
) -> Option<Piece> {
    let adjective = word(tokens, at + 1);
    let open = class(adjective) == Class::Open
        || matches!(adjective, "far" | "few" | "many" | "near" | "little");
    if word(tokens, at) != "too"
        || at + 1 >= clause.end
        || !open
        || matches!(
            adjective,
            "bad" | "good" | "late" | "early" | "fussy" | "picky"
        )
    {
        return None;
    }
    if word(tokens, at.wrapping_sub(1)) == "not"
        || hits
            .iter()
            .any(|h| h.kind == Kind::Element && h.tokens.start == at + 1)
    {
        return None;
    }
    // "Planed too much": what was done says more.
    let done = at.checked_sub(1).filter(|done| *done > clause.start);
    let done = done.filter(|done| adjective == "much" && participle(word(tokens, *done)));
    let from = done.unwrap_or(at);
    Some(Piece::own_words(
        PieceKind::Defect,
        from..at + 2,
        said(tokens, from..at + 2),
    ))
}

/// Words with which what is joined is called, or ends.
#[rustfmt::skip]
const JOINED: &[&str] = &[
    "joint", "joints", "seam", "seams", "mitre", "mitres", "miter", "miters", "rail", "cornice", "coving", "skirting",
    "architrave", "baseboard", "trim", "casing", "upstand", "cap", "bead", "moulding", "molding", "crown", "scribe", "lap",
];

/// How far before *open* what is joined may end.
const JOINED_REACH: usize = 6;

/// *Chair rail's **open** at the corner*, *the worktop mitre's **open***: of joints, which nobody opens.
pub(super) fn stands_open(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    hits: &[Hit],
) -> Option<Piece> {
    let is = at > clause.start && matches!(word(tokens, at - 1), "'s" | "is" | "are");
    let ends = at + 1 >= clause.end
        || matches!(
            class(word(tokens, at + 1)),
            Class::Preposition | Class::Number | Class::Conjunction
        );
    let joined = |h: &Hit| {
        h.kind == Kind::Element
            && (clause.start..at).contains(&h.tokens.start)
            && h.tokens.end + JOINED_REACH > at
            && JOINED.contains(&word(tokens, h.tokens.end - 1))
    };
    let fits = word(tokens, at) == "open" && is && ends && hits.iter().any(joined);
    fits.then(|| Piece::own_words(PieceKind::Defect, at..at + 1, "open".into()).worth(3.0))
}

/// What water, air and people do *out of* a thing, or what is broken from it: no fault of where it is.
#[rustfmt::skip]
const FLOWS: &[&str] = &[
    "drain", "drains", "draining", "flow", "flows", "flowing", "leak", "leaks", "leaking", "drip", "drips", "dripping",
    "pour", "pours", "pouring", "seep", "seeps", "seeping", "weep", "weeps", "weeping", "blow", "blows", "blowing",
    "get", "gets", "getting", "go", "goes", "going", "walk", "walking", "looking", "see",
    // "A chip out of the tray".
    "chip", "chips", "chunk", "chunks", "piece", "pieces", "lump", "lumps", "bite", "bit", "nick", "nicks",
];

/// Who leaves a place, and how.
const LEAVES: &[&str] = &[
    "me", "us", "i", "we", "back", "come", "coming", "straight", "came",
];

/// *out of its groove*, *out of reach*.
pub(super) fn out_of(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    hits: &[Hit],
) -> Option<Piece> {
    if word(tokens, at) != "out" || word(tokens, at + 1) != "of" {
        return None;
    }
    // "Water doesn't drain out of the shower", "it's leaking out of the trap".
    let before = at.checked_sub(1).filter(|before| clause.contains(before));
    if before.is_some_and(|before| FLOWS.contains(&word(tokens, before))) {
        return None;
    }
    let noun = at + 2 + usize::from(matches!(word(tokens, at + 2), "its" | "the" | "their"));
    // "Out of the window, you can see …".
    if at == clause.start && noun > at + 2 && matches!(word(tokens, noun), "window" | "door") {
        return None;
    }
    // "Out of the hall and into the bathroom", "that's me out of the stairs".
    let place = |hit: &Hit| hit.kind == Kind::Place && (at + 2..=noun).contains(&hit.tokens.start);
    let leaves = at == clause.start
        || before.is_some_and(|before| LEAVES.contains(&word(tokens, before)))
        || matches!(word(tokens, noun + 1), "and" | "into" | "onto");
    if leaves && hits.iter().any(place) {
        return None;
    }
    let what = word(tokens, noun);
    let fits = noun < clause.end
        && class(what) == Class::Open
        && !matches!(
            what,
            "interest" | "time" | "town" | "date" | "bounds" | "question" | "curiosity"
        );
    fits.then(|| Piece::own_words(PieceKind::Defect, at..noun + 1, format!("out of {what}")))
}

/// *full of mortar*; *full of, well, everything*.
pub(super) fn full_of(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    _: &[Hit],
) -> Option<Piece> {
    if word(tokens, at) != "full" || word(tokens, at + 1) != "of" || at + 1 >= clause.end {
        return None;
    }
    let what = at + 2 < clause.end && class(word(tokens, at + 2)) == Class::Open;
    let end = at + 2 + usize::from(what);
    Some(Piece::own_words(
        PieceKind::Defect,
        at..end,
        said(tokens, at..end),
    ))
}
