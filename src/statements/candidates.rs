//! Candidates for pieces: lexicon hits that the sentence bears out, fault shapes, numbers.

use super::grammar::{Class, class, opener};
use super::piece::{Piece, PieceKind, weight};
use super::sentence::Sentence;
use super::{counts, faults};
use crate::items::Measurement;
use crate::lexicon::{Hit, How, Kind, Lexicon, Token};
use std::ops::Range;

pub(super) fn candidates(
    lexicon: &Lexicon,
    tokens: &[Token],
    sentence: &Sentence,
    hits: &[Hit],
) -> Vec<Piece> {
    let mut out: Vec<Piece> = hits
        .iter()
        .filter(|h| h.tokens.end <= sentence.tokens.end && !crosses(sentence, &h.tokens))
        .filter(|h| !(h.kind == Kind::Defect && names_a_thing(tokens, h, hits)))
        .filter(|h| !(h.kind == Kind::Phrase && idle(lexicon, tokens, sentence, h, hits)))
        .filter(|h| !(h.kind == Kind::Element && a_verb(tokens, h)))
        .filter(|h| !(h.kind == Kind::Remedy && a_subject(tokens, sentence, h, hits)))
        .filter(|h| {
            !(h.kind == Kind::Defect
                && (works(lexicon, tokens, h, hits) || not_a_fault(lexicon, tokens, sentence, h)))
        })
        .map(|h| piece(lexicon, tokens, without_lead(tokens, h.clone())))
        .collect();
    let missing = lexicon.find(Kind::Defect, faults::MISSING);
    out.extend(faults::faults(tokens, sentence, hits).into_iter().map(|p| {
        if p.text == faults::MISSING {
            Piece { term: missing, ..p }
        } else {
            p
        }
    }));
    out
}

pub(super) fn piece(lexicon: &Lexicon, tokens: &[Token], hit: Hit) -> Piece {
    let weak = match hit.kind {
        Kind::Element => lexicon.element(hit.term).weak,
        Kind::Defect => lexicon.defect(hit.term).weak,
        _ => false,
    };
    let kind = hit.kind;
    let term = hit.term;
    // What shows a fault is not its name.
    if kind == Kind::Defect && lexicon.defect(term).signs.contains(&hit.wording) {
        return Piece {
            text: lexicon.defect(term).name.clone(),
            ..Piece::from_hit(hit, weak)
        };
    }
    // A fault is shown in the form it was said in, where that is the wording inflected.
    let said: Vec<&str> = tokens[hit.tokens.clone()]
        .iter()
        .map(|t| t.norm.as_str())
        .collect();
    let listed = kind == Kind::Defect && {
        let defect = lexicon.defect(term);
        defect.name == hit.wording || defect.also.contains(&hit.wording)
    };
    let inflected = kind == Kind::Defect
        && hit.how == How::Exact
        && (!listed || said.len() == hit.wording.split(' ').count());
    let said = said.join(" ");
    let piece = Piece::from_hit(hit, weak);
    if inflected {
        return Piece {
            text: said,
            ..piece
        };
    }
    if kind == Kind::Phrase {
        Piece {
            text: lexicon.phrase(term).kind.clone(),
            ..piece
        }
    } else {
        piece
    }
}

/// *at the front door*: the words that lead to a noun must not keep it from what it belongs to.
fn without_lead(tokens: &[Token], hit: Hit) -> Hit {
    // The first word of a misheard name may only look like a preposition (*from television*).
    if !matches!(hit.kind, Kind::Place | Kind::Element) || hit.how == How::HeardAs {
        return hit;
    }
    let leads = |at: &usize| {
        let word = tokens[*at].norm.as_str();
        hit.kind == Kind::Place && class(word) == Class::Preposition
            || matches!(word, "the" | "a" | "an")
    };
    let start = hit.tokens.start
        + hit
            .tokens
            .clone()
            .take(hit.tokens.len() - 1)
            .take_while(leads)
            .count();
    Hit {
        tokens: start..hit.tokens.end,
        ..hit
    }
}

/// A word that is both a thing and a fault (*sink*, *flap*) is the thing behind an article, a
/// preposition or another noun, and after *lost a*.
fn names_a_thing(tokens: &[Token], defect: &Hit, hits: &[Hit]) -> bool {
    let Some(before) = defect
        .tokens
        .start
        .checked_sub(1)
        .map(|at| tokens[at].norm.as_str())
    else {
        return false;
    };
    let thing = hits.iter().any(|h| {
        h.kind == Kind::Element
            && h.tokens.start == defect.tokens.start
            && h.tokens.end >= defect.tokens.end
    });
    let definite = class(before) == Class::Determiner
        && !matches!(before, "a" | "an" | "some" | "another" | "any");
    let behind = definite || class(before) == Class::Preposition;
    let lost = defect
        .tokens
        .start
        .checked_sub(2)
        .is_some_and(|at| tokens[at].norm == "lost");
    defect.tokens.len() == 1 && (thing && behind || lost)
}

/// *keep people off it*: a word that is a verb or the like is a thing only behind another word of
/// a noun phrase (*the keep*, *adjusting the left*).
fn a_verb(tokens: &[Token], hit: &Hit) -> bool {
    let word = tokens[hit.tokens.start].norm.as_str();
    let before = hit
        .tokens
        .start
        .checked_sub(1)
        .map_or(Class::Filler, |at| class(&tokens[at].norm));
    hit.tokens.len() == 1
        && class(word) != Class::Open
        && !matches!(
            before,
            Class::Determiner | Class::Open | Class::Position | Class::Number
        )
}

/// *silicone round the bath's peeling*: at the head of its clause, before a verb and a fault, the
/// word is the thing, not the work.
fn a_subject(tokens: &[Token], sentence: &Sentence, remedy: &Hit, hits: &[Hit]) -> bool {
    let Some(clause) = sentence
        .clauses
        .iter()
        .find(|c| c.tokens.contains(&remedy.tokens.start))
    else {
        return false;
    };
    let opens = (clause.tokens.start..remedy.tokens.start)
        .all(|t| class(&tokens[t].norm) == Class::Determiner || opener(&tokens[t].norm));
    let is = |word: &str| matches!(word, "'s" | "is" | "are" | "has");
    let thing = hits
        .iter()
        .any(|h| h.kind == Kind::Element && h.tokens.start == remedy.tokens.start)
        || remedy.tokens.len() == 1 && tokens.get(remedy.tokens.end).is_some_and(|t| is(&t.norm));
    let verb = (remedy.tokens.end..clause.tokens.end).find(|&t| {
        matches!(
            tokens[t].norm.as_str(),
            "'s" | "is" | "are" | "has" | "was" | "have"
        )
    });
    opens
        && thing
        && verb.is_some_and(|v| {
            hits.iter().any(|h| {
                h.kind == Kind::Defect && h.tokens.start >= v && h.tokens.end <= clause.tokens.end
            })
        })
}

/// *so high*, *high please*: how urgent it is. *rock solid*: praise. *weep pipes*: a verb that
/// opens its clause before a noun is part of the noun's name.
fn not_a_fault(lexicon: &Lexicon, tokens: &[Token], sentence: &Sentence, defect: &Hit) -> bool {
    let Some(clause) = sentence
        .clauses
        .iter()
        .find(|c| c.tokens.contains(&defect.tokens.start))
    else {
        return false;
    };
    // "Not painted yet": work still to come.
    let to_come = defect.tokens.end < clause.tokens.end
        && tokens[defect.tokens.end].norm == "yet"
        && defect.tokens.clone().any(|at| tokens[at].norm == "not");
    if defect.tokens.len() > 1 || to_come {
        return to_come;
    }
    let at = defect.tokens.start;
    let word = tokens[at].norm.as_str();
    let before = at
        .checked_sub(1)
        .filter(|b| *b >= clause.tokens.start)
        .map_or("", |b| tokens[b].norm.as_str());
    let after = tokens
        .get(at + 1)
        .filter(|_| at + 1 < clause.tokens.end)
        .map_or("", |t| t.norm.as_str());
    let alone = at == clause.tokens.start || matches!(before, "so" | "a" | "it" | "priority");
    let urgency =
        matches!(word, "high" | "low" | "highs" | "lows") && (alone || clause.tokens.len() == 1);
    let opens = (clause.tokens.start..at)
        .all(|t| opener(&tokens[t].norm) || class(&tokens[t].norm) == Class::Number);
    let verb = lexicon.defect(defect.term).verb.iter().any(|v| v == word);
    let modifies = verb
        && opens
        && class(after) == Class::Open
        && !word.ends_with("ed")
        && !word.ends_with("ing")
        && !after.ends_with("ed");
    urgency || after == "solid" || modifies && defect.wording != "missing"
}

/// Words that say that a thing works as often as that it does not: a fan that runs, a tap that runs
/// hot. They are a fault only where the lexicon names the element for them, or after *too*.
const WORKS_AS_WELL: &[&str] = &[
    "running",
    "runs",
    "run",
    "hot",
    "runs hot",
    "running hot",
    "loud",
    "open",
    "opens",
    "opening",
    "closes",
    "tight",
    "dry",
    "on",
    "quiet",
    "stopped",
    "moving",
    "turning",
    "filling",
    "level",
    "bent",
    "gone",
    "runs off",
    "come up",
    "noise",
    "noisy",
    "blow",
    "blowing",
    "clicks",
    "wide",
    "go off",
    "goes off",
    "comes off",
];

fn works(lexicon: &Lexicon, tokens: &[Token], defect: &Hit, hits: &[Hit]) -> bool {
    let said: Vec<&str> = tokens[defect.tokens.clone()]
        .iter()
        .map(|t| t.norm.as_str())
        .collect();
    let before = defect
        .tokens
        .start
        .checked_sub(1)
        .map_or("", |at| tokens[at].norm.as_str());
    WORKS_AS_WELL.contains(&said.join(" ").as_str())
        && !matches!(
            before,
            "too" | "very" | "really" | "always" | "constantly" | "keeps" | "still"
        )
        && !hits.iter().any(|h| {
            h.kind == Kind::Element
                && h.tokens.end <= defect.tokens.start
                && h.tokens.end + 6 > defect.tokens.start
                && lexicon.befalls(defect.term, h.term) >= 1.0
        })
}

/// Phrases whose job is done by grammar here, and weak phrases among words that name something.
fn idle(lexicon: &Lexicon, tokens: &[Token], sentence: &Sentence, hit: &Hit, hits: &[Hit]) -> bool {
    let phrase = lexicon.phrase(hit.term);
    matches!(
        phrase.kind.as_str(),
        "position" | "position-preposition" | "both" | "throughout" | "approximate" | "other-side"
    ) || phrase.weak.contains(&hit.wording)
        && (phrase.kind == "place-change" || has_more(sentence, hit, hits))
        || phrase.kind == "positive" && commands(tokens, hit)
}

/// Words of praise that are also work to be done.
const PRAISE_OR_WORK: &[&str] = &["clear", "clean", "level", "secure", "square", "tidy"];

/// ***clear** it*, ***level** that off*: what is to be done, not how it is.
fn commands(tokens: &[Token], hit: &Hit) -> bool {
    let word = |at: usize| tokens.get(at).map_or("", |t| t.norm.as_str());
    hit.tokens.len() == 1
        && PRAISE_OR_WORK.contains(&word(hit.tokens.start))
        && matches!(
            word(hit.tokens.end),
            "it" | "them" | "that" | "those" | "up" | "out" | "off" | "away"
        )
}

/// A weak phrase counts only where its clause names nothing of the building.
fn has_more(sentence: &Sentence, phrase: &Hit, hits: &[Hit]) -> bool {
    let Some(clause) = sentence
        .clauses
        .iter()
        .find(|c| c.tokens.contains(&phrase.tokens.start))
    else {
        return true;
    };
    hits.iter().any(|h| {
        matches!(h.kind, Kind::Element | Kind::Defect | Kind::Remedy)
            && clause.tokens.contains(&h.tokens.start)
    })
}

/// A wording does not reach over a comma.
fn crosses(sentence: &Sentence, range: &Range<usize>) -> bool {
    sentence
        .clauses
        .iter()
        .any(|c| c.tokens.start > range.start && c.tokens.start < range.end)
}

pub(super) fn numbers(
    tokens: &[Token],
    sentence: &Sentence,
    measured: &[(Range<usize>, Measurement)],
) -> Vec<Piece> {
    let from = measured.partition_point(|(r, _)| r.start < sentence.tokens.start);
    let mut out: Vec<Piece> = measured[from..]
        .iter()
        .enumerate()
        .take_while(|(_, (r, _))| r.start < sentence.tokens.end)
        .map(|(at, (range, _))| {
            let score = weight(PieceKind::Measure, range.len() + 1, false, How::Exact);
            Piece {
                value: (from + at) as u32,
                score,
                ..Piece::own_words(PieceKind::Measure, range.clone(), String::new())
            }
        })
        .collect();
    let start = sentence.tokens.start;
    out.extend(
        counts(&tokens[sentence.tokens.clone()])
            .into_iter()
            .map(|(range, value)| {
                let range = range.start + start..range.end + start;
                // Only the number itself: the thing counted keeps its own piece.
                Piece {
                    value,
                    ..Piece::own_words(PieceKind::Count, range, String::new())
                }
            }),
    );
    out
}
