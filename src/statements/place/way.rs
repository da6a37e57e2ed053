//! Words of going, and how a clause leads to a place: *down the four steps into the living area*.

use super::super::grammar::{Class, class, opener};
use super::super::piece::{Piece, PieceKind};
use super::super::reading::Reading;
use std::ops::Range;

/// Words of going, looking and standing that lead to a place.
pub(crate) const GOING: &[&str] = &[
    "moving",
    "proceeding",
    "proceed",
    "continuing",
    "returning",
    "walking",
    "stepping",
    "heading",
    "coming",
    "starting",
    "going",
    "popping",
    "sticking",
    "opening",
    "proceeded",
    "ascended",
    "descended",
    "entered",
    "accessed",
    "access",
    "gained",
    "ahead",
    "calling",
    "entering",
    "looking",
    "nipping",
    "climbing",
    "turning",
    "back",
    "move",
    "step",
    "head",
    "start",
    "walk",
    "pop",
    "nip",
    "climb",
    "onto",
    "finish",
    "finishing",
    "last",
    "lastly",
    "finally",
    "stop",
    "first",
    "next",
    "final",
    "begin",
    "beginning",
    "outside",
    "inside",
    "upstairs",
    "downstairs",
    "room",
    "through",
    "let",
    "continue",
    "continuing",
    "carry",
    "carrying",
    "come",
    "went",
    "gone",
    "been",
    "time",
    "go",
    "out",
    "floor",
    "again",
    "ground",
    "forgot",
    "nearly",
    "now",
    "round",
    "around",
];

/// Prepositions that lead to a place that is gone to; others (*under*, *by*) say where a thing is.
pub(in super::super) const TO_A_PLACE: &[&str] = &[
    "in", "at", "on", "to", "under", "round", "around", "through", "into", "onto", "out", "up",
    "down", "inside", "outside", "off",
];

/// *downstairs **and out into** the garden*: the second place is gone to as well.
pub(super) fn joined(reading: &Reading, first: &Piece, second: &Piece) -> bool {
    first.tokens.end == second.tokens.start
        && class(&reading.tokens[second.tokens.start].norm) == Class::Open
        // "Back of the house is the kitchen".
        || first.text.contains(" of ")
            && matches!(reading.tokens[first.tokens.end].norm.as_str(), "is" | "'s")
        || (first.tokens.end..second.tokens.start).any(|at| {
            matches!(
                reading.tokens[at].norm.as_str(),
                "and" | "into" | "then" | "through" | "to"
            )
        })
}

/// Words that begin the way to a place: *down the steps into …*, *round the corner to …*.
#[rustfmt::skip]
pub(super) const WAY: &[&str] = &[
    "down", "up", "round", "around", "through", "out", "back", "over", "across", "along", "off", "past",
    "into", "onto", "going", "heading", "coming", "moving", "i", "we",
];

/// Words right before the place where the way ends.
pub(super) const ENDS_AT: &[&str] = &[
    "to", "into", "onto", "through", "in", "round", "around", "down", "up", "out",
];

/// *down the four steps **into the living area***, *I'll put the ladder up **into the attic***: whatever
/// stands on the way, where the clause begins with going, ends with the place and names no fault.
pub(super) fn leads_there(reading: &Reading, clause: &Range<usize>, place: &Piece) -> bool {
    let word = |at: usize| reading.tokens.get(at).map_or("", |t| t.norm.as_str());
    let mut lead = clause.start..place.tokens.start;
    let Some(first) = lead.find(|&at| !opener(word(at)) || WAY.contains(&word(at))) else {
        return false;
    };
    // "Open the airing cupboard for me".
    let cupboard = CUPBOARDS.iter().any(|end| place.text.ends_with(end));
    if word(first) == "open" && cupboard {
        return lead.all(|at| reading.piece_at(at).is_none());
    }
    let mut before = place.tokens.start;
    while before > first && matches!(class(word(before - 1)), Class::Determiner | Class::Number) {
        before -= 1;
    }
    // The place may bring its own word of going: "round the front".
    let own = ENDS_AT.contains(&word(place.tokens.start)) && place.tokens.len() > 1;
    let ends = own || before > first && ENDS_AT.contains(&word(before - 1));
    let nothing_wrong = (first..place.tokens.start).all(|at| {
        let kind = reading.piece_at(at).map(|p| p.kind);
        let after_going = at > first && GOING.contains(&word(at - 1));
        let going =
            GOING.contains(&word(at)) || after_going && class(word(at)) == Class::Preposition;
        class(word(at)) != Class::Negation
            && (going || !matches!(kind, Some(PieceKind::Defect | PieceKind::Measure)))
            && !matches!(
                word(at),
                "if" | "when" | "which" | "same" | "had" | "can" | "see"
            )
    });
    // "I'll go up into the attic", not "I'd want that moved to the landing".
    let person = matches!(word(first), "i" | "we");
    let goes = !person
        || matches!(
            word(first + 1),
            "will" | "'ll" | "am" | "'m" | "are" | "'re" | "have" | "'ve" | "go" | "come" | "put"
        ) && !lead.any(|at| matches!(word(at), "it" | "that" | "them" | "want"));
    goes && WAY.contains(&word(first)) && ends && nothing_wrong && place.tokens.end == clause.end
}

/// Words of the way to a room.
pub(super) const WHICH_WAY: &[&str] = &[
    "door", "doors", "doorway", "through", "right", "left", "ahead", "opposite", "next", "back",
    "front", "top", "bottom", "end", "up", "down", "off", "stairs",
];

/// Words with which one points to a place.
pub(super) const POINTED: &[&str] = &[
    "out", "this", "that", "way", "next", "through", "here", "there", "up", "down", "now", "then",
    "at", "the", "top", "bottom", "end", "off", "it",
];

/// Words for what was passed over and is told later.
pub(super) const RECALLED: &[&str] = &[
    "missed",
    "forgot",
    "forgotten",
    "skipped",
    "past",
    "overlooked",
];

/// How the names of places end that are things in a room as well.
pub(super) const CUPBOARDS: &[&str] = &["cupboard", "closet", "wardrobe", "press"];
