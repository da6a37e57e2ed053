//! *no closer*, *there isn't one*: something that ought to be there is not.

use super::super::grammar::{Class, class, participle};
use super::super::piece::{Piece, PieceKind};
use super::mishap::own;
use super::{MISSING, PARTICLES, starts_with, word};
use crate::lexicon::{Hit, Kind, Token};
use std::ops::Range;

/// Nouns after *no* or *without* that speak well of the work, or say nothing of it: *no complaints*.
const NOT_MISSED: &[&str] = &[
    "forcing",
    "force",
    "fuss",
    "gurgle",
    "gurgling",
    "hesitation",
    "slack",
    "catching",
    "sticking",
    "rubbing",
    "scraping",
    "knocking",
    "notice",
    "complaints",
    "complaint",
    "problem",
    "problems",
    "issue",
    "issues",
    "trouble",
    "troubles",
    "doubt",
    "need",
    "idea",
    "wonder",
    "way",
    "longer",
    "more",
    "notes",
    "note",
    "panic",
    "sign",
    "signs",
    "evidence",
    "worries",
    "worry",
    "concerns",
    "concern",
    "comment",
    "comments",
    "reason",
    "point",
    "use",
    "good",
    "wait",
    "sorry",
    "scratch",
    "defects",
    "defect",
    "snags",
    "snag",
    "faults",
    "fault",
    "hurry",
    "matter",
    "rush",
    "chance",
    "bother",
    "joke",
    "surprise",
    "surprises",
    "marks",
    "mark",
    "less",
    "better",
    "worse",
    "different",
    "movement",
    "play",
    "creaks",
    "squeaks",
    "question",
    "questions",
    "access",
    "water",
    "rain",
    "sound",
    "noise",
    "daylight",
    "ponding",
    "right",
    "left",
    "thanks",
    "thank",
    "one",
    "body",
    "hang",
    "great",
    "bad",
    "big",
    "clue",
    "notion",
    "thing",
    "soul",
    "word",
    "repair",
    "excuse",
    "excuses",
    "single",
    "drop",
    "give",
    "flex",
    "bounce",
    "argument",
    "arguments",
    "quarrel",
    "gripe",
    "gripes",
    "moans",
    "worries",
    "qualms",
    "drama",
    "fuss",
    "objection",
    "objections",
    // What an extract has not: the vocabulary has a name for it.
    "pull",
    "suction",
    // "No window in here, so the fan has to be good": by design.
    "window",
    "windows",
];

/// How many tokens before it are looked at for what was tried.
const MOST_BEFORE: usize = 5;

/// The lexicon name of the fault of what does nothing when it is tried.
const NOT_WORKING: &str = "not working";

/// *no closer*, *without a guard*, *not got its trim*: the cue alone is the piece, what is missing
/// follows it and is read as an element.
pub(super) fn absent(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    hits: &[Hit],
) -> Option<Piece> {
    const CUES: &[&[&str]] = &[
        &["not", "got"],
        &["have", "no"],
        &["has", "no"],
        &["had", "no"],
        &["got", "no"],
        &["with", "no"],
        &["is", "no"],
        &["'s", "no"],
        &["are", "no"],
        &["been", "no"],
        &["not", "have"],
        &["never", "had"],
        &["not", "had"],
        &["without"],
        &["lacking"],
        &["lacks"],
        &["minus"],
        &["missing"],
        &["missing", "its"],
        &["missing", "a"],
        &["lost", "a"],
        &["lost", "its"],
        &["there", "is", "not", "a"],
        &["there", "is", "not", "any"],
        &["there", "are", "not", "any"],
        &["has", "not", "a"],
        &["has", "not", "any"],
        &["have", "not", "a"],
        &["have", "not", "any"],
        &["not", "find", "a"],
        &["not", "find", "any"],
        &["not", "see", "a"],
        &["not", "see", "any"],
        &["not", "seeing", "a"],
        &["not", "seeing", "any"],
        &["nor", "has", "it", "any"],
        &["nor", "any"],
        &["have", "run", "out", "of"],
        &["zero"],
        &["missing", "one"],
        &["missing", "two"],
        &["missing", "three"],
        &["missing", "four"],
        &["missing", "some"],
        &["forgot", "the"],
        &["forgotten", "the"],
        &["forgot", "to", "fit", "the"],
        &["forgotten", "to", "fit", "the"],
        &["forgot", "its"],
        &["left", "out", "the"],
        &["no"],
    ];
    let cue = CUES.iter().find(|cue| starts_with(tokens, at, cue))?;
    // "The latch is missing the keep by ten mil": it does not go in.
    let goes_by = matches!(word(tokens, at + 1), "the" | "its")
        && matches!(
            word(tokens, at + 2),
            "keep" | "strike" | "striker" | "catch" | "hook" | "hole" | "plate"
        );
    if cue == &["missing"] && goes_by && at + 3 <= clause.end {
        let text = format!("misses the {}", word(tokens, at + 2));
        return Some(Piece::own_words(PieceKind::Defect, at..at + 3, text).worth(6.0));
    }
    let mut next = at + cue.len();
    // "No back on this drawer".
    let back =
        |at: usize| word(tokens, at) == "back" && matches!(word(tokens, at + 1), "on" | "to");
    while next < clause.end
        && matches!(class(word(tokens, next)), Class::Determiner | Class::Adverb)
        && !back(next)
    {
        next += 1;
    }
    let first = word(tokens, next);
    // "The bolt's got no keep to go into": a verb elsewhere.
    if matches!(first, "keep" | "keeps") && cue.last() == Some(&"no") && next < clause.end {
        return Some(own(at..next + 1, format!("no {first}")).worth(5.0));
    }
    // "No movement" is praise, "no movement joint" is not.
    let named = hits
        .iter()
        .any(|h| h.kind == Kind::Element && h.tokens.start == next && h.tokens.len() > 1);
    // "The panel's got no access", but "no access today".
    let barred = first == "access" && word(tokens, at) == "got";
    let nothing_follows = next >= clause.end || NOT_MISSED.contains(&first) && !named && !barred;
    let noun = matches!(class(first), Class::Open | Class::Position)
        || back(next)
        || hits
            .iter()
            .any(|h| h.kind == Kind::Element && h.tokens.start == next);
    // "No high loop": an adjective of what is missing.
    let adjective = matches!(
        first,
        "high" | "low" | "long" | "short" | "open" | "hot" | "cold"
    ) && next + 1 < clause.end
        && class(word(tokens, next + 1)) == Class::Open;
    // "no cracks": what is absent is a defect, which is good news.
    let defect_follows = !adjective
        && hits.iter().any(|h| {
            h.kind == Kind::Defect
                && (next..next + 3).contains(&h.tokens.start)
                && h.tokens.end <= clause.end
                && !hits.iter().any(|e| {
                    e.kind == Kind::Element
                        && e.tokens.start <= h.tokens.start
                        && h.tokens.end <= e.tokens.end
                })
        });
    // "No toughened stamp", but "it's no fixed right" (Scots).
    let after = word(tokens, next + 1);
    let of_a_thing = next + 1 < clause.end
        && class(after) == Class::Open
        && !participle(after)
        && !after.ends_with("ly");
    // "It's no higher than the other one".
    let compared = after == "than";
    if nothing_follows || compared || !noun || defect_follows || participle(first) && !of_a_thing {
        return None;
    }
    // The worth of a two-word wording, so that a stray short reading does not break the phrase.
    Some(
        Piece::own_words(PieceKind::Defect, at..at + cue.len(), MISSING.into())
            .worth(1.6 + cue.len() as f32),
    )
}

/// ***Not a bolt** in it*, *not a label in sight*: the thing stands in the cue.
pub(super) fn not_a_one(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    hits: &[Hit],
) -> Option<Piece> {
    let single = usize::from(word(tokens, at + 2) == "single");
    let noun = at + 2 + single;
    let thing = hits
        .iter()
        .find(|h| h.kind == Kind::Element && h.tokens.start == noun)?;
    let end = thing.tokens.end;
    let inside = matches!(
        word(tokens, end),
        "in" | "on" | "to" | "anywhere" | "between"
    ) && (matches!(
        word(tokens, end + 1),
        "it" | "them" | "sight" | "there" | "any"
    ) || end + 1 >= clause.end);
    (word(tokens, at) == "not" && word(tokens, at + 1) == "a" && inside && end <= clause.end)
        .then(|| Piece::own_words(PieceKind::Defect, at..at + 2, MISSING.into()).worth(4.0))
}

/// What a home may do without: *Chimneys, none.* Common practice, no source.
#[rustfmt::skip]
const NEED_NOT_BE: &[&str] = &[
    "chimney", "chimneys", "conservatory", "fireplace", "fireplaces", "cellar", "basement", "extension", "extensions",
    "cracks", "defects", "issues", "outbuildings", "sheds", "trees",
];

/// *there isn't one*, *can't see one*, *not a one*: what is missing was named before.
pub(super) fn none_there(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    hits: &[Hit],
) -> Option<Piece> {
    // "Restraint straps to the gable, none", but "cracks, none".
    let before = |kind| hits.iter().any(|h| h.kind == kind && h.tokens.end <= at);
    if word(tokens, at) == "none"
        && clause == (at..at + 1)
        && before(Kind::Element)
        && !before(Kind::Defect)
        && !(at > 0 && NEED_NOT_BE.contains(&word(tokens, at - 1)))
    {
        return Some(Piece::own_words(PieceKind::Defect, clause, MISSING.into()));
    }
    const CUES: &[&[&str]] = &[
        &["is", "not", "one"],
        &["is", "not", "any"],
        &["not", "got", "any"],
        &["not", "got", "one"],
        &["not", "have", "any"],
        &["not", "have", "one"],
        &["not", "been", "any"],
        &["are", "not", "any"],
        &["not", "a", "one"],
        &["is", "none"],
        &["are", "none"],
        &["not", "there"],
        &["not", "here"],
        &["where", "is", "it"],
        &["where", "'s", "it"],
        &["where", "are", "they"],
        &["nothing", "there"],
        &["not", "one", "there"],
        &["is", "not", "there"],
        &["'s", "none"],
        &["'s", "not", "there"],
        &["'s", "not", "one"],
    ];
    let cue = CUES
        .iter()
        .find(|cue| at + cue.len() <= clause.end && starts_with(tokens, at, cue))?;
    // "isn't one of them loose": a choice, not an absence; "there's not one that lines up".
    if matches!(word(tokens, at + cue.len()), "of" | "that" | "which") {
        return None;
    }
    Some(Piece::own_words(
        PieceKind::Defect,
        at..at + cue.len(),
        MISSING.into(),
    ))
}

/// *A blank plate **where the smoke alarm should be***: the thing stands in the cue.
pub(super) fn where_it_should_be(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    hits: &[Hit],
) -> Option<Piece> {
    let article = matches!(word(tokens, at + 1), "the" | "a" | "an" | "its");
    if word(tokens, at) != "where" || !article {
        return None;
    }
    let is_thing = |h: &&Hit| h.kind == Kind::Element && h.tokens.start == at + 2;
    let thing = hits
        .iter()
        .filter(is_thing)
        .max_by_key(|h| h.tokens.len())?;
    const CUES: &[&[&str]] = &[
        &["should", "be"],
        &["should", "go"],
        &["should", "have", "been"],
        &["ought", "to", "be"],
        &["ought", "to", "go"],
        &["is", "supposed", "to", "be"],
        &["'s", "supposed", "to", "be"],
        &["is", "meant", "to", "be"],
        &["'s", "meant", "to", "be"],
        &["are", "meant", "to", "be"],
        &["are", "supposed", "to", "be"],
        &["is", "meant", "to", "go"],
        &["'s", "meant", "to", "go"],
    ];
    let end = thing.tokens.end;
    let cue = CUES.iter().find(|cue| starts_with(tokens, end, cue))?;
    (end + cue.len() <= clause.end).then(|| {
        Piece::own_words(PieceKind::Defect, at..end + cue.len(), MISSING.into()).worth(8.0)
    })
}

/// *one slate **gone***, *four soffit vents **wanting***: the thing was named before. Not *the squeak's
/// gone*, which is good news, and not *gone hard*.
pub(super) fn gone(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    hits: &[Hit],
) -> Option<Piece> {
    let leads = matches!(
        class(word(tokens, at + 1)),
        Class::Preposition | Class::Position | Class::Pronoun
    ) && !PARTICLES.contains(&word(tokens, at + 1));
    let ends = at + 1 == clause.end || leads && word(tokens, at) != "away";
    let within = |kind: Kind| {
        hits.iter()
            .any(|h| h.kind == kind && clause.start <= h.tokens.start && h.tokens.end <= at)
    };
    let counted = (clause.start..at).any(|t| class(word(tokens, t)) == Class::Number);
    let missing = match word(tokens, at) {
        "gone" => within(Kind::Element),
        // "The light bulb's away": Scots and Tyneside.
        "away" => within(Kind::Element) && matches!(word(tokens, at - 1), "'s" | "is" | "are"),
        "wanting" => within(Kind::Element) || counted,
        _ => false,
    };
    (missing && ends && !within(Kind::Defect))
        .then(|| Piece::own_words(PieceKind::Defect, at..at + 1, MISSING.into()).worth(2.0))
}

/// *I'm pressing the test, **and nothing***: what was tried does not work.
pub(super) fn nothing_happens(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    _: &[Hit],
) -> Option<Piece> {
    const TRIED: &[&str] = &[
        "press",
        "pressing",
        "pressed",
        "push",
        "pushing",
        "pushed",
        "turn",
        "turned",
        "turning",
        "flick",
        "flicked",
        "flicking",
        "try",
        "trying",
        "tried",
        "switch",
        "switched",
        "switching",
        "pull",
        "pulled",
        "pulling",
        "run",
        "running",
        "hit",
        "hitting",
        "test",
        "testing",
    ];
    let alone = word(tokens, at) == "nothing" && at + 1 == clause.end && at == clause.start;
    let from = clause.start.saturating_sub(MOST_BEFORE);
    let tried = (from..clause.start).any(|t| TRIED.contains(&word(tokens, t)));
    (alone && tried)
        .then(|| Piece::own_words(PieceKind::Defect, at..at + 1, NOT_WORKING.into()).worth(3.0))
}
