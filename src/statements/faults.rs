//! Faults told by the shape of the words, whatever the vocabulary: *no closer*, *won't trip*,
//! *not been sanded*, *too near*, *should be four fifty*.
//!
//! They let a defect be found that no lexicon lists. Where a lexicon wording covers the same words,
//! the two compete and the longer reading wins ([`super::piece::choose`]).

use super::grammar::{self, Class, class, participle};
use super::piece::{Piece, PieceKind};
use super::sentence::Sentence;
use super::{Number, number_at};
use crate::lexicon::{Hit, Kind, Token};
use std::ops::Range;

/// The lexicon name of the defect *something that ought to be there is not*.
pub const MISSING: &str = "missing";

/// Nouns after *no* or *without* that speak well of the work, or say nothing of it: *no complaints*.
const NOT_MISSED: &[&str] = &[
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
];

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

/// Particles that belong to the verb before them: *put back*, *dressed down*.
const PARTICLES: &[&str] = &[
    "in", "up", "down", "off", "back", "on", "out", "over", "through", "together", "away", "to",
    "round",
];

/// Words that say that a figure is a requirement, just before it: *should be*, *needs to be*.
const REQUIREMENT_CUES: &[&[&str]] = &[
    &["should", "be"],
    &["should", "have", "been"],
    &["needs", "to", "be"],
    &["need", "to", "be"],
    &["ought", "to", "be"],
    &["wants", "to", "be"],
    &["want", "to", "be"],
    &["wants", "to", "see"],
    &["supposed", "to", "be"],
    &["meant", "to", "be"],
    &["must", "be"],
    &["has", "to", "be"],
    &["have", "to", "be"],
    &["want", "to", "see"],
    &["i", "would", "want"],
    &["minimum", "is"],
    &["maximum", "is"],
    &["limit", "is"],
    &["limit", "'s"],
    &["requires"],
    &["drawing", "says"],
    &["spec", "says"],
    &["regs", "say"],
];

/// Returns the candidates found in one sentence.
pub fn faults(tokens: &[Token], sentence: &Sentence, hits: &[Hit]) -> Vec<Piece> {
    let mut out = Vec::new();
    for clause in &sentence.clauses {
        let range = clause.tokens.clone();
        for at in range.clone() {
            let shapes = [
                absent,
                none_there,
                not_done,
                will_not,
                too_much,
                left_undone,
                out_of,
                not_there,
                full_of,
            ];
            out.extend(
                shapes
                    .iter()
                    .filter_map(|shape| shape(tokens, at, range.clone(), hits)),
            );
            out.extend(required(tokens, at, sentence.tokens.clone()));
        }
    }
    out
}

fn starts_with(tokens: &[Token], at: usize, cue: &[&str]) -> bool {
    cue.iter()
        .zip(&tokens[at..])
        .filter(|(c, t)| **c == t.norm)
        .count()
        == cue.len()
}

fn word(tokens: &[Token], at: usize) -> &str {
    tokens.get(at).map_or("", |t| t.norm.as_str())
}

fn said(tokens: &[Token], range: Range<usize>) -> String {
    tokens[range]
        .iter()
        .map(|t| t.norm.as_str())
        .collect::<Vec<_>>()
        .join(" ")
}

/// *no closer*, *without a guard*, *not got its trim*: the cue alone is the piece, what is missing
/// follows it and is read as an element.
fn absent(tokens: &[Token], at: usize, clause: Range<usize>, hits: &[Hit]) -> Option<Piece> {
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
        &["lost", "a"],
        &["lost", "its"],
        &["no"],
    ];
    let cue = CUES.iter().find(|cue| starts_with(tokens, at, cue))?;
    let mut next = at + cue.len();
    while next < clause.end
        && matches!(class(word(tokens, next)), Class::Determiner | Class::Adverb)
    {
        next += 1;
    }
    let first = word(tokens, next);
    let nothing_follows = next >= clause.end || NOT_MISSED.contains(&first);
    let noun = matches!(class(first), Class::Open | Class::Position)
        || hits
            .iter()
            .any(|h| h.kind == Kind::Element && h.tokens.start == next);
    // "no cracks": what is absent is a defect, which is good news.
    let defect_follows = hits.iter().any(|h| {
        h.kind == Kind::Defect
            && (next..next + 3).contains(&h.tokens.start)
            && h.tokens.end <= clause.end
            && !hits.iter().any(|e| {
                e.kind == Kind::Element
                    && e.tokens.start <= h.tokens.start
                    && h.tokens.end <= e.tokens.end
            })
    });
    if nothing_follows || !noun || defect_follows || participle(first) {
        return None;
    }
    // The worth of a two-word wording, so that a stray short reading does not break the phrase.
    Some(
        Piece::own_words(PieceKind::Defect, at..at + cue.len(), MISSING.into())
            .worth(1.6 + cue.len() as f32),
    )
}

/// *there isn't one*, *can't see one*, *not a one*: what is missing was named before.
fn none_there(tokens: &[Token], at: usize, clause: Range<usize>, _: &[Hit]) -> Option<Piece> {
    const CUES: &[&[&str]] = &[
        &["is", "not", "one"],
        &["is", "not", "any"],
        &["are", "not", "any"],
        &["not", "a", "one"],
        &["is", "none"],
        &["are", "none"],
        &["not", "there"],
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
    // "isn't one of them loose": a choice, not an absence.
    if word(tokens, at + cue.len()) == "of" {
        return None;
    }
    Some(Piece::own_words(
        PieceKind::Defect,
        at..at + cue.len(),
        MISSING.into(),
    ))
}

/// *not been sanded*, *never put back*, *not properly dressed down*.
fn not_done(tokens: &[Token], at: usize, clause: Range<usize>, _: &[Hit]) -> Option<Piece> {
    if !matches!(word(tokens, at), "not" | "never" | "no" | "nothing") {
        return None;
    }
    let mut verb = at + 1;
    while verb < clause.end
        && (matches!(word(tokens, verb), "been" | "be")
            || word(tokens, verb) == "being"
            || class(word(tokens, verb)) == Class::Adverb)
    {
        verb += 1;
    }
    let done = word(tokens, verb);
    if verb >= clause.end || !participle(done) || NOT_A_FAULT_PARTICIPLE.contains(&done) {
        return None;
    }
    if word(tokens, at) == "no" || speaker_before(tokens, at, &clause) {
        return None;
    }
    let particle = PARTICLES.contains(&word(tokens, verb + 1))
        && verb + 1 < clause.end
        && !noun_after(tokens, verb + 2, &clause);
    let end = verb + 1 + usize::from(particle);
    Some(Piece::own_words(
        PieceKind::Defect,
        at..end,
        format!("not {}", said(tokens, verb..end)),
    ))
}

/// *won't trip*, *doesn't spring back*, *isn't moving*.
fn will_not(tokens: &[Token], at: usize, clause: Range<usize>, _: &[Hit]) -> Option<Piece> {
    let modal = matches!(
        word(tokens, at),
        "will" | "would" | "does" | "do" | "did" | "can" | "could" | "is" | "are" | "'s"
    );
    if !modal
        || !matches!(word(tokens, at + 1), "not")
        || at + 2 >= clause.end
        || speaker_before(tokens, at, &clause)
    {
        return None;
    }
    let mut verb = at + 2;
    while verb < clause.end && class(word(tokens, verb)) == Class::Adverb {
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
    if verb >= clause.end || !fits || NOT_A_FAULT_VERB.contains(&does) {
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
    Some(Piece::own_words(
        PieceKind::Defect,
        at..end,
        format!("{lead} {}", said(tokens, verb..end)),
    ))
}

/// *too near*, *way too thin*.
fn too_much(tokens: &[Token], at: usize, clause: Range<usize>, hits: &[Hit]) -> Option<Piece> {
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
    Some(Piece::own_words(
        PieceKind::Defect,
        at..at + 2,
        format!("too {adjective}"),
    ))
}

/// *been left off*, *left bare*.
fn left_undone(tokens: &[Token], at: usize, clause: Range<usize>, hits: &[Hit]) -> Option<Piece> {
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

/// *out of its groove*, *out of reach*.
fn out_of(tokens: &[Token], at: usize, clause: Range<usize>, _: &[Hit]) -> Option<Piece> {
    if word(tokens, at) != "out" || word(tokens, at + 1) != "of" {
        return None;
    }
    let noun = at + 2 + usize::from(matches!(word(tokens, at + 2), "its" | "the" | "their"));
    let what = word(tokens, noun);
    let fits = noun < clause.end
        && class(what) == Class::Open
        && !matches!(
            what,
            "interest" | "time" | "town" | "date" | "bounds" | "question" | "curiosity"
        );
    fits.then(|| Piece::own_words(PieceKind::Defect, at..noun + 1, format!("out of {what}")))
}

/// *380 off the floor, should be 450*: the figure found and the figure asked for differ.
fn required(tokens: &[Token], at: usize, sentence: Range<usize>) -> Option<Piece> {
    let cue = REQUIREMENT_CUES
        .iter()
        .find(|cue| starts_with(tokens, at, cue))?;
    let after = at + cue.len();
    let asked = first_number(tokens, after..(after + 5).min(sentence.end))?;
    // The figure found stands before the cue, or after the figure asked for ("supposed to be
    // sixteen inches, and I've got nine"), or in the sentence before.
    let from = at.saturating_sub(FIGURE_REACH).max(sentence.start);
    let to = (asked.tokens.end + FIGURE_REACH).min(sentence.end);
    let found = last_number(tokens, from..at)
        .or_else(|| first_number(tokens, asked.tokens.end..to))
        .or_else(|| {
            last_number(
                tokens,
                sentence.start.saturating_sub(FIGURE_REACH)..sentence.start,
            )
        })?;
    if found.value == asked.value {
        return None;
    }
    let around = found.tokens.start.min(from)..to.max(asked.tokens.end);
    let quality = quality(tokens, around, found.value < asked.value);
    Some(Piece::own_words(PieceKind::Defect, at..at + cue.len(), quality.into()).worth(CUE_WORTH))
}

/// How far from *should be*, in tokens, the figure found may stand.
const FIGURE_REACH: usize = 14;

/// A requirement with two figures is a fault whatever else its words might be.
const CUE_WORTH: f32 = 6.0;

fn first_number(tokens: &[Token], range: Range<usize>) -> Option<Number> {
    range.into_iter().find_map(|at| figure(tokens, at))
}

fn last_number(tokens: &[Token], range: Range<usize>) -> Option<Number> {
    let mut last = None;
    let mut at = range.start;
    while at < range.end {
        match figure(tokens, at).filter(|n| n.tokens.end <= range.end) {
            Some(number) => {
                at = number.tokens.end;
                last = Some(number);
            }
            None => at += 1,
        }
    }
    last
}

/// A number that is a size, not the pronoun *one*.
fn figure(tokens: &[Token], at: usize) -> Option<Number> {
    number_at(tokens, at).filter(|n| n.value != 1.0)
}

/// Names the difference by the words around it: *too low* off a floor, *too wide* of a gap.
fn quality(tokens: &[Token], around: Range<usize>, less: bool) -> &'static str {
    let says = |words: &[&str]| around.clone().any(|at| words.contains(&word(tokens, at)));
    match less {
        true if says(&["gap", "undercut", "clearance", "space", "spacing"]) => "gap too small",
        false if says(&["gap", "undercut", "clearance", "spacing"]) => "gap too wide",
        true if says(&[
            "high", "height", "floor", "up", "above", "ground", "over", "hob", "low", "damp",
            "sill", "rail", "guarding",
        ]) =>
        {
            "too low"
        }
        false
            if says(&[
                "high", "height", "floor", "up", "above", "ground", "step", "riser", "rise",
            ]) =>
        {
            "too high"
        }
        true if says(&["deep", "depth", "thick", "thickness", "insulation", "blown"]) => {
            "too shallow"
        }
        false if says(&["degrees", "hot", "temperature"]) => "too hot",
        true if says(&["wide", "width", "across"]) => "too narrow",
        false if says(&["wide", "width", "across"]) => "too wide",
        true => "too small",
        false => "too big",
    }
}

/// *not in the slots*, *not on its bracket*.
fn not_there(tokens: &[Token], at: usize, clause: Range<usize>, _: &[Hit]) -> Option<Piece> {
    let place = matches!(
        word(tokens, at + 1),
        "in" | "on" | "under" | "against" | "into" | "over" | "through"
    );
    let noun = at + 2 + usize::from(class(word(tokens, at + 2)) == Class::Determiner);
    let fits = word(tokens, at) == "not"
        && place
        && noun < clause.end
        && class(word(tokens, noun)) == Class::Open;
    (fits && !speaker_before(tokens, at, &clause))
        .then(|| Piece::own_words(PieceKind::Defect, at..noun + 1, said(tokens, at..noun + 1)))
}

/// *full of mortar*; *full of, well, everything*.
fn full_of(tokens: &[Token], at: usize, clause: Range<usize>, _: &[Hit]) -> Option<Piece> {
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

/// The speaker is the subject: *I can't see*, *we've not checked*.
fn speaker_before(tokens: &[Token], at: usize, clause: &Range<usize>) -> bool {
    (clause.start..at).rev().take(3).any(|i| {
        matches!(
            word(tokens, i),
            "i" | "we" | "you" | "he" | "she" | "they" | "nobody" | "somebody" | "someone"
        )
    })
}

/// A noun phrase starts at `at`: then the word before it is a preposition, not a particle.
fn noun_after(tokens: &[Token], at: usize, clause: &Range<usize>) -> bool {
    at < clause.end
        && matches!(
            grammar::class(word(tokens, at)),
            Class::Determiner | Class::Open
        )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::statements::sentence::{Clause, Join};

    fn found(text: &str) -> Vec<String> {
        let tokens: Vec<Token> = text
            .split_whitespace()
            .enumerate()
            .map(|(word, norm)| Token {
                norm: norm.into(),
                word,
                probability: 1.0,
            })
            .collect();
        let all = 0..tokens.len();
        let sentence = Sentence {
            tokens: all.clone(),
            clauses: vec![Clause {
                tokens: all,
                join: Join::Start,
            }],
            paused: false,
            question: false,
        };
        faults(&tokens, &sentence, &[])
            .into_iter()
            .map(|p| p.text)
            .collect()
    }

    #[test]
    fn the_shape_of_the_words_tells_a_fault() {
        let cases: [(&str, &[&str]); 14] = [
            ("it has got no closer on it", &["missing", "missing"]),
            ("lead has not been dressed down", &["not dressed down"]),
            ("the breaker will not trip", &["will not trip"]),
            ("key does not turn from the outside", &["does not turn"]),
            ("flap is not moving", &["not moving"]),
            ("sleeve never put back", &["not put back"]),
            ("socket 's too near the sink", &["too near"]),
            ("i can not see a thing", &[]),
            ("no complaints there", &[]),
            ("not too bad", &[]),
            ("we have not tested it", &[]),
            ("there is not one", &["missing"]),
            ("the trim has been left off", &["left off"]),
            ("not fixed to the wall", &["not fixed"]),
        ];
        for (text, expected) in cases {
            assert_eq!(found(text), expected, "{text}");
        }
    }
}
