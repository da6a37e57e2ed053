//! Ways of saying that one has come to a place: *so that's me out the front*, *this one's the nursery*,
//! *hang a left and you're in the kitchen*, *the top of the stairs opens into the loft*.
//!
//! People hardly ever say it the same way twice, so little is asked of the words: the clause ends with the
//! place, a word that leads to a place stands before it, and nothing is said of a fault, a figure or a thing
//! other than those that one passes.

use super::super::grammar::{Class, class, hesitation, opener};
use super::super::piece::{Piece, PieceKind};
use super::super::reading::Reading;
use super::super::sentence::Sentence;
use super::way::MOVING;
use std::ops::Range;

/// What may still be said behind the place: *which leaves the shed **then***.
#[rustfmt::skip]
const TAIL: &[&str] = &[
    "left", "to go", "to do", "to finish", "now", "then", "next", "first", "at last", "behind", "up here", "down here",
    "out here", "here", "square on", "ahead of me", "in front of me", "on this floor", "last", "to begin with",
    "to start with", "as well", "too", "itself", "proper", "again", "with me", "with me a sec", "a sec", "a moment",
    "for a sec", "for a moment", "for a minute", "a minute", "while i am here", "while we are here", "whilst i am here",
];

/// Words right before the place that lead to it: *and you're **in** the kitchen*, *next door you've **got** the
/// box room*, *I'll **take** the study next*.
#[rustfmt::skip]
const LEADS_TO: &[&str] = &[
    "in", "into", "to", "onto", "on", "at", "inside", "through", "up", "down", "out", "along", "across", "round",
    "around", "is", "'s", "are", "be", "got", "have", "find", "take", "taking", "do", "doing", "try", "call", "called",
    "climbing", "entering", "reach", "reached", "under", "meet", "for", "see", "via",
];

/// Things that one passes on the way: *slide the barn **door** and there's your primary bath*.
#[rustfmt::skip]
const PASSED: &[&str] = &[
    "door", "doors", "gate", "gates", "stair", "stairs", "steps", "step", "ladder", "hatch", "threshold", "sill", "arch",
    "flight", "passage", "lift", "corner", "slider", "sliders", "bifolds", "bifold", "opening", "corridor", "path", "landing", "bed", "banister",
];

/// Words behind which any thing is only passed or left behind: *by the water butt*, *round the corner from the hob*.
const BY: &[&str] = &[
    "by", "past", "from", "behind", "over", "off", "between", "beyond", "beside", "below", "above",
    "opposite",
];

/// Words that tell of another time, another house, or of what is only supposed.
#[rustfmt::skip]
const ELSEWHERE: &[&str] = &[
    "was", "were", "had", "would", "could", "should", "might", "same", "like", "said", "mentioned", "asked", "told",
    "wants", "want", "needs", "need", "goes", "runs", "hear", "see", "smell", "heard", "saw",
    "seen", "looks", "leads", "belongs", "matches", "moved", "put", "left", "done", "finished",
];

/// Words with which the telling of a way begins.
#[rustfmt::skip]
const SETS_OUT: &[&str] = &[
    "straight", "directly", "down", "up", "back", "through", "over", "across", "past", "along", "round", "around", "out",
    "into", "in", "next", "then", "now", "opposite", "tucked", "first", "second", "third", "last", "off", "behind", "at",
    "beyond", "under", "upstairs", "downstairs", "outside", "inside", "indoors", "i", "we", "you", "let", "this", "that", "there",
    "if", "from",
];

/// What one goes up or down by: *one **step** down to the den*, *half a **flight** up*.
const STEPS: &[&str] = &[
    "step", "steps", "flight", "flights", "pace", "paces", "stair", "stairs", "half",
];

/// Verbs by which a thing leads to a place: *the stairs **open** into the loft*.
const OPENS: &[&str] = &[
    "open", "opens", "leads", "gives", "brings", "takes", "brought", "took", "turns", "gets",
    "drops", "puts", "lands",
];

/// The most tokens before the place in its clause.
const LONGEST_WAY: usize = 14;

/// True where the clause says that one has come to the place, and tells of nothing wrong.
pub(super) fn arrives(
    reading: &Reading,
    sentence: &Sentence,
    clause: &Range<usize>,
    place: &Piece,
) -> bool {
    let word = |at: usize| reading.tokens.get(at).map_or("", |t| t.norm.as_str());
    let said = |range: Range<usize>| range.map(word).collect::<Vec<_>>();
    let first = clause
        .clone()
        .find(|&at| !opener(word(at)) && !matches!(word(at), "and" | "which"))
        .unwrap_or(clause.start)
        .min(place.tokens.start);
    let tail = said(place.tokens.end..clause.end).join(" ");
    let goes_on = ["till ", "while ", "whilst "];
    let goes_on = goes_on.iter().any(|word| tail.starts_with(word));
    if !(tail.is_empty() || TAIL.contains(&tail.as_str()) || goes_on) {
        return false;
    }
    // "The door next to it is where the washing machine lives".
    let before = place.tokens.start.checked_sub(1).map_or("", word);
    if place.text.starts_with("where ") && matches!(before, "is" | "'s" | "be") {
        return true;
    }
    let lead = first..before_name(reading, first, place);
    let words = said(lead.clone());
    // "Through the double doors and I'm in the family room, open to the kitchen": what one came to is open to it.
    let open_to = matches!(words[..], ["open" | "opening", "to" | "onto" | "into"]);
    if open_to && first > sentence.tokens.start {
        return false;
    }
    // "Is that a larder? It's a walk-in pantry.", "it's got its own shower room".
    let whole = clause.end == sentence.tokens.end && !sentence.question;
    let of_its_own = matches!(
        words[..],
        ["it" | "this" | "she", "'s" | "has", "got"] | ["it" | "this" | "she", "has" | "have"]
    ) && word(place.tokens.start.saturating_sub(1)) == "own";
    if whole && (words[..] == ["it", "is"] || words[..] == ["it", "'s"] || of_its_own) {
        return word(lead.end) == "a" || word(lead.end) == "its" || of_its_own;
    }
    // "Then it's the kitchen", "in by the porch".
    let then = (clause.start..first).any(|at| matches!(word(at), "then" | "next" | "finally"));
    let next = then && matches!(words[..], ["it" | "that", "is" | "'s"])
        || matches!(words[..], ["in", "by" | "through" | "via"]);
    if next {
        return true;
    }
    // "Sorry, that's in bedroom one": a correction.
    let corrects = (sentence.tokens.start..place.tokens.start)
        .any(|at| matches!(word(at), "sorry" | "correction"));
    if words.is_empty() || words.len() > LONGEST_WAY || corrects {
        return false;
    }
    let own = matches!(
        class(word(place.tokens.start)),
        Class::Determiner | Class::Preposition
    );
    let named = lead.end < place.tokens.start || place.number.is_some() || own;
    // "Which just leaves the shed", "just the greenhouse left".
    let leaves = words.iter().position(|w| *w == "leaves");
    let remains = leaves.is_some_and(|at| {
        at <= 2
            && words[at + 1..]
                .iter()
                .all(|w| matches!(*w, "me" | "us" | "only" | "just" | "with"))
    }) || matches!(words[..], ["just" | "only"]) && !tail.is_empty();
    // "I missed the pantry", "we skipped the cloakroom", "I've left the utility till last", "not forgetting the loft".
    let passed = |w: &str| matches!(w, "missed" | "skipped" | "forgot" | "forgotten");
    let missed = matches!(words[0], "i" | "we")
        && words.len() <= 4
        && words
            .last()
            .is_some_and(|w| passed(w) || *w == "left" && tail.starts_with("till"));
    if remains || missed || words[..] == ["not", "forgetting"] {
        return true;
    }
    // "That's me out the front", "turn the corner and that's us at the rear elevation".
    let us = |three: &[&str]| matches!(three, ["that" | "it", "is" | "'s" | "be", "me" | "us"]);
    let leads = words.last().is_some_and(|w| LEADS_TO.contains(w));
    let which = first > clause.start && word(first - 1) == "which";
    // "Sliding door to the balcony": no way there, unless it opens.
    let thing = reading
        .piece_at(first)
        .is_some_and(|p| p.kind == PieceKind::Element)
        && !words.iter().any(|w| OPENS.contains(w));
    let us = words.windows(3).any(us);
    // "And to my left the sitting room".
    // "They've named this the hayloft bedroom".
    let called = words.windows(2).any(|two| {
        matches!(
            two,
            [
                "called" | "call" | "calls" | "named" | "calling",
                "this" | "it" | "that"
            ]
        )
    }) && words
        .last()
        .is_some_and(|w| matches!(*w, "this" | "it" | "that"));
    let at_hand = called
        || matches!(
            words[..],
            ["to" | "on" | "at", "my" | "the", "left" | "right"]
                | ["ahead", "of", "me"]
                | ["behind", "me"]
                | ["opposite" | "beside" | "off", "it" | "that"]
                | ["across" | "opposite", "from", "it" | "that" | "here"]
                | ["next", "to", "it" | "that"]
        );
    // "Across the way, mind that ladder, is the sitting room", "I've come back along the hall, to the bedroom".
    let sets_out = sentence.tokens.start < clause.start
        && sentence
            .tokens
            .clone()
            .find(|&at| !opener(word(at)))
            .is_some_and(|at| {
                let come = matches!(word(at), "i" | "we")
                    && (at..clause.start)
                        .any(|at| matches!(word(at), "come" | "gone" | "walked" | "went"));
                match words[..] {
                    ["is" | "'s"] => {
                        SETS_OUT.contains(&word(at)) && class(word(at)) != Class::Pronoun
                    }
                    ["to" | "into"] => come,
                    // "Down the glass stairs, half a flight, and it's the sitting room".
                    ["it", "is" | "'s"] => {
                        SETS_OUT.contains(&word(at)) && class(word(at)) != Class::Pronoun
                            || matches!(word(at), "unlocking" | "opening" | "unbolting")
                    }
                    // "Outside a moment, on the balcony".
                    ["on" | "in" | "onto" | "at"] => matches!(
                        word(at),
                        "outside" | "inside" | "indoors" | "upstairs" | "downstairs" | "over"
                    ),
                    _ => false,
                }
            });
    at_hand
        || (named || us)
            && (leads && !thing && goes(&words, which) || us || sets_out)
            && only_passes(reading, sentence, &lead)
}

/// True where the words before a place are of one's way there, not of a thing that is there or leads there:
/// not *door to the snug*, *it's on a slope*, *sit on the toilet*.
fn goes(words: &[&str], which: bool) -> bool {
    let is = |w: &str| matches!(w, "is" | "'s" | "are" | "am");
    let here = |w: &str| matches!(w, "there" | "that" | "this" | "head" | "here" | "one");
    let stands = match words {
        // "All I've got is the porch canopy": only what is right before *is* tells where.
        [.., one, last] if is(last) => here(one),
        _ => words.windows(2).any(|two| {
            (here(two[0]) || matches!(two[0], "i" | "we" | "you"))
                && (is(two[1]) || matches!(two[1], "be" | "will" | "have" | "can" | "got"))
        }),
    };
    // "This door here goes to the study", "these doors go out to the patio".
    let leads = matches!(words[0], "this" | "that") && words.contains(&"goes")
        || words[0] == "these" && words.contains(&"go");
    let opens = leads || words.iter().any(|w| OPENS.contains(w));
    let (first, last) = (words[0], words[words.len() - 1]);
    // "Taking the stairs".
    if words.len() == 1 {
        return matches!(first, "taking" | "climbing" | "entering" | "crossing");
    }
    if which && !opens || words[words.len() - 2] == "from" {
        return false;
    }
    // "It's going to be a nursery".
    if last == "be" && !words.contains(&"will") {
        return false;
    }
    let going = |w: &str| MOVING.contains(&w) || w.ends_with("ing") && w.len() > 5;
    // "Glasses on and looking up at the roof".
    let moves = going(first) || words.windows(2).any(|two| two[0] == "and" && going(two[1]));
    // "One step down to the den", "a few paces on and you're in the snug".
    let counted = class(first) == Class::Number || matches!(first, "one" | "a" | "another");
    let way =
        SETS_OUT.contains(&first) || counted && words.iter().take(3).any(|w| STEPS.contains(w));
    let thing = matches!(first, "it" | "they" | "he" | "she");
    opens || !thing && (stands || moves || way)
}

/// Returns where the name of the place begins, with its article and what is said to praise it: *now that's **a
/// proper hallway***.
fn before_name(reading: &Reading, first: usize, place: &Piece) -> usize {
    let word = |at: usize| reading.tokens[at].norm.as_str();
    let mut start = place.tokens.start;
    let plain = |at: usize| class(word(at)) == Class::Open && reading.piece_at(at).is_none();
    while start > first && place.tokens.start - start < 2 && plain(start - 1) {
        start -= 1;
    }
    if start > first && class(word(start - 1)) == Class::Determiner {
        return start - 1;
    }
    let bare = place.tokens.start;
    match bare > first && class(word(bare - 1)) == Class::Determiner {
        true => bare - 1,
        false => bare,
    }
}

/// True where nothing before the place in its sentence tells of a fault or a figure, of another time, or of
/// things that are not only passed.
fn only_passes(reading: &Reading, sentence: &Sentence, lead: &Range<usize>) -> bool {
    let word = |at: usize| reading.tokens.get(at).map_or("", |t| t.norm.as_str());
    let supposed = |at: usize| {
        word(at) == "if" && !matches!(word(at + 1), "i" | "we" | "you") || word(at) == "as"
    };
    let words_fit = lead.clone().all(|at| {
        class(word(at)) != Class::Negation && !ELSEWHERE.contains(&word(at)) && !supposed(at)
            || word(at) == "leads"
            || word(at) == "goes" && matches!(word(lead.start), "this" | "that")
            // "Standing back to see the front".
            || word(at) == "see" && word(at.wrapping_sub(1)) == "to"
            || word(at) == "left" && matches!(word(at.wrapping_sub(1)), "a" | "the" | "turn")
    });
    // What was said further back is of something else.
    let own = sentence
        .clauses
        .iter()
        .rposition(|c| c.tokens.start <= lead.start);
    let one_back = own.map(|own| sentence.clauses[own.saturating_sub(1)].tokens.start);
    let before = one_back.unwrap_or(sentence.tokens.start)..lead.end;
    let things_fit = reading.within(&before).all(|p| {
        let piece = &reading.pieces[p];
        let from = piece.tokens.start;
        match piece.kind {
            PieceKind::Defect => {
                // "Cutting through", "tucked in", "I've stepped out".
                let walks = matches!(
                    word(from),
                    "stepped" | "popped" | "nipped" | "slipped" | "dropped"
                );
                walks && (before.start..from).any(|at| matches!(word(at), "i" | "we"))
                    || piece.guessed
                    || MOVING.contains(&word(from))
                    || word(from) == "tucked"
                    || OPENS.contains(&word(from))
            }
            PieceKind::Measure => false,
            PieceKind::Element => {
                let by = (from.saturating_sub(3).max(before.start)..from)
                    .any(|at| BY.contains(&word(at)));
                by || OPENS.contains(&word(from))
                    || PASSED.contains(&word(piece.tokens.end - 1))
                    || PASSED.contains(&word(from))
            }
            _ => true,
        }
    });
    words_fit && things_fit
}

/// *Oh, while I think of it, **that pantry**, the light's got no cord*, *I never said, **when I was in the snug**,
/// the dimmer buzzes*: back there in thought.
pub(super) fn thinks_back(
    reading: &Reading,
    sentence: &Sentence,
    clause: &Range<usize>,
    place: &Piece,
) -> bool {
    let word = |at: usize| reading.tokens.get(at).map_or("", |t| t.norm.as_str());
    let start = place.tokens.start;
    let that = start > clause.start && word(start - 1) == "that";
    // "Before I forget, up in that study, …".
    let opens = (clause.start..start.saturating_sub(1))
        .all(|at| opener(word(at)) || class(word(at)) == Class::Preposition || word(at) == "back");
    let was = (clause.start..start).any(|at| word(at) == "when")
        && (clause.start..start).any(|at| matches!(word(at), "was" | "were"));
    let thought = (sentence.tokens.start..clause.start).any(|at| {
        matches!(
            word(at),
            "think"
                | "forget"
                | "forgot"
                | "meant"
                | "remember"
                | "remembered"
                | "mention"
                | "said"
                | "never"
        )
    });
    let ends = (place.tokens.end..clause.end).all(|at| hesitation(word(at)));
    (that && opens || was) && thought && ends
}
