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
pub(crate) const TO_A_PLACE: &[&str] = &[
    "in", "at", "on", "to", "under", "round", "around", "through", "into", "onto", "out", "up",
    "down", "inside", "outside", "off",
];

/// *downstairs **and out into** the garden*: the second place is gone to as well.
pub(super) fn joined(reading: &Reading, first: &Piece, second: &Piece) -> bool {
    let word = |at: usize| reading.tokens[at].norm.as_str();
    // "Master bedroom's to the front": that only tells where it is.
    let is = |at: usize| matches!(word(at), "is" | "'s");
    first.tokens.end == second.tokens.start
        && class(&reading.tokens[second.tokens.start].norm) == Class::Open
        // "Back of the house is the kitchen".
        || first.text.contains(" of ")
            && is(first.tokens.end)
        || round_is(reading, first, second)
        || !is(first.tokens.end)
            && (first.tokens.end..second.tokens.start)
                .any(|at| matches!(word(at), "and" | "into" | "then" | "through" | "to"))
}

/// ***Round the front is** the yard*: the second is where the first leads.
fn round_is(reading: &Reading, first: &Piece, second: &Piece) -> bool {
    let word = |at: usize| reading.tokens[at].norm.as_str();
    let (from, between) = (first.tokens.start, first.tokens.end..second.tokens.start);
    let round = |at: usize| matches!(word(at), "round" | "around" | "out");
    let led = round(from) || from > 0 && round(from - 1) || from > 1 && round(from - 2);
    let is = between.clone().next().map(word);
    led && matches!(is, Some("is" | "'s")) && between.len() <= 2
}

/// Words that begin the way to a place: *down the steps into …*, *round the corner to …*.
#[rustfmt::skip]
const WAY: &[&str] = &[
    "down", "up", "round", "around", "through", "out", "back", "over", "across", "along", "off", "past",
    "into", "onto", "going", "heading", "coming", "moving", "i", "we", "downstairs", "upstairs", "outside", "inside",
    "indoors", "outdoors",
];

/// Verbs of moving, looking and beginning that open the way to a place: *step up into …*, *follow me down …*,
/// *mind yourself on …*.
#[rustfmt::skip]
pub(super) const MOVING: &[&str] = &[
    "step", "stepping", "walk", "walking", "follow", "following", "come", "coming", "go", "going", "went",
    "head", "heading", "move", "moving", "nip", "nipping", "pop", "popping", "climb", "climbing", "squeeze",
    "squeezing", "swing", "swinging", "turn", "turning", "duck", "ducking", "cross", "crossing", "wander",
    "wandering", "slip", "slipping", "get", "getting", "crawl", "crawling", "shuffle", "shuffling", "drop",
    "dropping", "trot", "carry", "carrying", "continue", "continuing", "press", "begin", "beginning", "start",
    "starting", "cutting", "strolling", "tiptoeing", "clambering", "ambling", "hopping", "skipping", "diving", "edging",
    "sneaking", "scooting", "peeking", "trudging", "nosing", "working", "making", "finish", "finishing", "mind", "stand", "standing", "let", "lead", "poke", "poking", "lean",
];

/// True for a word that sets out for a place.
pub(super) fn sets_out(word: &str) -> bool {
    WAY.contains(&word) || MOVING.contains(&word)
}

/// Words right before the place where the way ends.
const ENDS_AT: &[&str] = &[
    "to", "into", "onto", "through", "in", "round", "around", "down", "up", "out", "under",
    "inside",
];

/// *down the four steps **into the living area***, *I'll put the ladder up **into the attic***: whatever
/// stands on the way, where the clause begins with going, ends with the place and names no fault.
pub(super) fn leads_there(reading: &Reading, clause: &Range<usize>, place: &Piece) -> bool {
    let word = |at: usize| reading.tokens.get(at).map_or("", |t| t.norm.as_str());
    let mut lead = clause.start..place.tokens.start;
    // "In by the other door to the kitchen".
    let comes_in = |at: usize| word(at) == "in" && matches!(word(at + 1), "by" | "through" | "via");
    let sets = |at: usize| sets_out(word(at)) || comes_in(at);
    let Some(first) = lead.find(|&at| !opener(word(at)) || sets(at)) else {
        return false;
    };
    // "Open the airing cupboard for me".
    let cupboard = CUPBOARDS.iter().any(|end| place.text.ends_with(end));
    if word(first) == "open" && cupboard {
        return lead.all(|at| reading.piece_at(at).is_none());
    }
    let mut before = place.tokens.start;
    // "Up the oak stairs".
    let described = |at: usize| {
        at > first + 1
            && class(word(at)) == Class::Open
            && class(word(at - 1)) == Class::Determiner
            && reading.piece_at(at).is_none()
    };
    while before > first
        && (matches!(class(word(before - 1)), Class::Determiner | Class::Number)
            || described(before - 1))
    {
        before -= 1;
    }
    // The place may bring its own word of going: "round the front".
    let own = ENDS_AT.contains(&word(place.tokens.start)) && place.tokens.len() > 1;
    let ends = own || before > first && ENDS_AT.contains(&word(before - 1));
    let nothing_wrong = (first..place.tokens.start).all(|at| {
        let kind = reading.piece_at(at).map(|p| p.kind);
        let after_going = at > first && GOING.contains(&word(at - 1));
        let going = GOING.contains(&word(at))
            || MOVING.contains(&word(at))
            || after_going && class(word(at)) == Class::Preposition;
        class(word(at)) != Class::Negation
            && (going || !matches!(kind, Some(PieceKind::Defect | PieceKind::Measure)))
            && !matches!(word(at), "if" | "when" | "which" | "had" | "can" | "see")
            && (word(at) != "same" || DOORS.contains(&word(at + 1)))
    });
    // "I'll go up into the attic", not "I'd want that moved to the landing".
    let person = matches!(word(first), "i" | "we" | "you");
    let next = word(first + 1);
    let goes = !person
        || (MOVING.contains(&next)
            || matches!(
                next,
                "will" | "'ll" | "am" | "'m" | "are" | "'re" | "have" | "'ve" | "put"
            ))
            && !lead.any(|at| matches!(word(at), "it" | "that" | "them" | "want"));
    goes && (person || sets(first)) && ends && nothing_wrong && place.tokens.end == clause.end
}

/// What one goes through again: *through that same **door***.
const DOORS: &[&str] = &["door", "doors", "doorway", "way", "gate", "opening"];

/// Words of the way to a room.
pub(super) const WHICH_WAY: &[&str] = &[
    "door", "doors", "doorway", "through", "right", "left", "ahead", "opposite", "next", "back",
    "front", "top", "bottom", "end", "up", "down", "off", "stairs",
];

/// Words with which one points to a place.
pub(super) const POINTED: &[&str] = &[
    "out", "this", "that", "way", "next", "through", "here", "there", "up", "down", "now", "then",
    "at", "the", "top", "bottom", "end", "off", "it", "my", "your", "right", "left", "hand",
    "side", "ahead", "straight", "opposite", "facing", "beyond", "again", "corner", "in", "on",
    "over", "further", "back", "behind", "just", "beside", "across",
];

/// Words for what was passed over and is told later.
pub(super) const RECALLED: &[&str] = &[
    "missed",
    "forgot",
    "forgotten",
    "skipped",
    "past",
    "passed",
    "overlooked",
];

/// How the names of places end that are things in a room, or on a wall, as well.
pub(super) const CUPBOARDS: &[&str] = &[
    "cupboard",
    "closet",
    "wardrobe",
    "press",
    "bay roof",
    "porch roof",
];
