//! *not been sanded*, *left bare*, *not in the slots*: work that was not done.

use super::super::grammar::{Class, class, participle};
use super::super::piece::{Piece, PieceKind};
use super::{PARTICLES, denied, noun_after, said, speaker_before, word};
use crate::lexicon::{Hit, Kind, Token};
use std::ops::Range;

/// Past participles after *not* that tell of the speaker or of a rule.
const NOT_A_FAULT_PARTICIPLE: &[&str] = &[
    "bothered",
    "fussed",
    "worried",
    "supposed",
    "allowed",
    "needed",
    "required",
    "expected",
    "concerned",
    "convinced",
    "impressed",
    "included",
    "listed",
    "done",
    "found",
    "seen",
    "wanted",
    "noticed",
    "interested",
    "moved",
    "changed",
    "written",
];

/// What a thing ought to be, though nobody does it. Common practice, no source.
#[rustfmt::skip]
const ABLE: &[&str] = &[
    "accessible", "graspable", "readable", "legible", "openable", "operable", "adjustable", "reachable",
    "cleanable", "removable", "usable", "lockable", "stable", "visible", "watertight", "weathertight",
    "airtight", "serviceable",
];

/// How things are to be set: *none of them's **level***.
const TRUE: &[&str] = &[
    "level", "flush", "plumb", "straight", "square", "aligned", "central", "tight", "true",
];

/// *not been sanded*, *never put back*, *not properly dressed down*, *none of them labelled*.
pub(super) fn not_done(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    hits: &[Hit],
) -> Option<Piece> {
    if !matches!(
        word(tokens, at),
        "not" | "never" | "no" | "nothing" | "none"
    ) {
        return None;
    }
    let mut verb = at + 1;
    // "Breakers, none of them labelled".
    let none_of = word(tokens, at) == "none"
        && word(tokens, verb) == "of"
        && matches!(
            word(tokens, verb + 1),
            "them" | "these" | "those" | "em" | "'em" | "it"
        );
    if none_of {
        verb += 2;
    }
    while verb < clause.end
        && (matches!(word(tokens, verb), "been" | "be" | "is" | "are" | "'s")
            || word(tokens, verb) == "being"
            // "Never got put up".
            || word(tokens, verb) == "got" && word(tokens, at) == "never"
            || class(word(tokens, verb)) == Class::Adverb)
    {
        verb += 1;
    }
    let done = word(tokens, verb);
    // "The turf hasn't come up".
    let come = done == "come" && matches!(word(tokens, verb + 1), "up" | "through" | "out");
    let able = come || ABLE.contains(&done) || none_of && TRUE.contains(&done);
    if verb >= clause.end || !participle(done) && !able || NOT_A_FAULT_PARTICIPLE.contains(&done) {
        return None;
    }
    // Scots: "skirting's no been caulked".
    let no = word(tokens, at) == "no" && word(tokens, at + 1) != "been";
    if denied(hits, verb) && !come || no || speaker_before(tokens, at, &clause) {
        return None;
    }
    // "I leaned on it and nothing budged".
    if word(tokens, at) == "nothing" && HOLDS.contains(&done) {
        return None;
    }
    // "Don't put the shelf up": said to somebody.
    if at > 0 && word(tokens, at - 1) == "do" {
        return None;
    }
    let particle = PARTICLES.contains(&word(tokens, verb + 1))
        && verb + 1 < clause.end
        && !noun_after(tokens, verb + 2, &clause);
    let end = verb + 1 + usize::from(particle);
    // "The drive's not finished yet": work still to come.
    if end < clause.end && word(tokens, end) == "yet" {
        return None;
    }
    Some(Piece::own_words(
        PieceKind::Defect,
        at..end,
        format!("not {}", said(tokens, verb..end)),
    ))
}

/// What *nothing* does where all holds: *gave it a shove and nothing shifted*.
const HOLDS: &[&str] = &[
    "budged", "moved", "shifted", "wobbled", "rattled", "dropped", "dripped", "leaked", "loosened",
];

/// *un-* before a participle that tells no fault.
const NO_FAULT_UNDONE: &[&str] = &[
    "unused",
    "undisturbed",
    "undamaged",
    "unmarked",
    "unaffected",
    "unbroken",
    "unobstructed",
    "unscathed",
    "uninterrupted",
    "unblemished",
    "unrestricted",
    "united",
    "unlimited",
    "unexpected",
    "unconcerned",
    "untouched",
    "unlisted",
    "unrelated",
    "undecided",
    "uninvited",
    "unimpressed",
    "unimpeded",
    "unaltered",
    "unchanged",
    "untreated",
    "undone",
    "undercut",
];

/// *join by the hob, **unfilled***: one word for what was not done.
pub(super) fn un_done(tokens: &[Token], at: usize, _: Range<usize>, hits: &[Hit]) -> Option<Piece> {
    let said = word(tokens, at);
    let stem = said.strip_prefix("un")?;
    let listed = hits.iter().any(|h| h.tokens.contains(&at));
    (stem.len() > 4 && participle(stem) && !listed && !NO_FAULT_UNDONE.contains(&said))
        .then(|| Piece::own_words(PieceKind::Defect, at..at + 1, said.to_owned()).worth(2.0))
}

/// *been left off*, *left bare*.
pub(super) fn left_undone(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    hits: &[Hit],
) -> Option<Piece> {
    let before = word(tokens, at.wrapping_sub(1));
    if word(tokens, at) != "left"
        || at == clause.start
        || !matches!(
            before,
            "been" | "'s" | "was" | "were" | "is" | "are" | "have" | "has"
        )
    {
        return None;
    }
    let state = word(tokens, at + 1);
    let end = at + 2;
    // "The stair gate's fixings have been left in the newel": as good as not, where nothing says more.
    let behind = matches!(state, "in" | "inside")
        && matches!(before, "been")
        && word(tokens, end) == "the"
        && end + 1 < clause.end;
    if behind {
        return Some(Piece {
            guessed: true,
            ..Piece::own_words(PieceKind::Defect, at..end, format!("left {state}"))
        });
    }
    let state_of = matches!(
        state,
        "off" | "out" | "open" | "bare" | "short" | "undone" | "loose" | "rough" | "like"
    );
    (end <= clause.end
        && state_of
        && !hits
            .iter()
            .any(|h| h.kind == Kind::Defect && h.tokens.start == at + 1 && h.tokens.end > end))
    .then(|| Piece::own_words(PieceKind::Defect, at..end, format!("left {state}")))
}

/// What a thing is not in, or on, that nobody owes: *not in the contract*.
#[rustfmt::skip]
const PAPERS: &[&str] = &["contract", "spec", "specification", "price", "brochure", "quote", "plan", "plans", "scope", "list"];

/// *not in the slots*, *not on its bracket*.
pub(super) fn not_there(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    _: &[Hit],
) -> Option<Piece> {
    let place = matches!(
        word(tokens, at + 1),
        "in" | "on" | "under" | "against" | "into" | "over" | "through"
    );
    let noun = at + 2 + usize::from(class(word(tokens, at + 2)) == Class::Determiner);
    let fits = word(tokens, at) == "not"
        && place
        && noun < clause.end
        && class(word(tokens, noun)) == Class::Open
        && !PAPERS.contains(&word(tokens, noun));
    (fits && !speaker_before(tokens, at, &clause))
        .then(|| Piece::own_words(PieceKind::Defect, at..noun + 1, said(tokens, at..noun + 1)))
}
