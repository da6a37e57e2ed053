//! A transcript read: tokens, sentences, and the pieces in them.

use super::faults;
use super::grammar::{Class, class, opener};
use super::piece::{Piece, PieceKind, choose, weight};
use super::sentence::{Join, Sentence, sentences};
use super::{counts, measurements};
use crate::items::Measurement;
use crate::lexicon::{Hit, How, Kind, Lexicon, Token};
use crate::speech::Transcript;
use std::ops::Range;

/// Normalised phoneme distance up to which doubtful words may stand for a term of a kind that the
/// clause expects; the lexicon holds everyday words to a fraction of it
/// ([`crate::lexicon::SUPPORTED_SOUND_LIMIT`]).
const SOUND_LIMIT: f32 = 0.5;

/// A word that is to stand for a fault must be doubted by the recogniser itself.
const DOUBTED: f32 = 0.6;

/// The same for faults, whose everyday words are more often meant as they were said.
const DEFECT_SOUND_LIMIT: f32 = 0.34;

/// The same where the recogniser was sure of the words, or a person typed them: misspellings only.
const SURE_SOUND_LIMIT: f32 = 0.12;

/// Below this probability of its least certain word the recogniser was not sure.
const UNSURE: f32 = 0.8;

/// What a transcript says, sentence by sentence, before anything is concluded from it.
#[derive(Debug, Clone, Default)]
pub struct Reading {
    /// The words prepared for matching.
    pub tokens: Vec<Token>,
    /// The sentences, in order.
    pub sentences: Vec<Sentence>,
    /// The pieces, in order, without overlaps.
    pub pieces: Vec<Piece>,
    /// Every place named, in order, also where an element of the same words was chosen: *stairs*.
    pub places: Vec<Piece>,
    /// Every element named, in order, also inside the wording of a fault: *toilet rocks*.
    pub elements: Vec<Piece>,
    /// The measurements that [`PieceKind::Measure`] pieces point to.
    pub measurements: Vec<Measurement>,
}

impl Reading {
    /// Returns the indexes of the pieces that lie within `range`.
    pub fn within(&self, range: &Range<usize>) -> Range<usize> {
        let from = self
            .pieces
            .partition_point(|p| p.tokens.start < range.start);
        let to = self.pieces.partition_point(|p| p.tokens.end <= range.end);
        from..to.max(from)
    }
}

/// Reads a transcript.
pub fn read(lexicon: &Lexicon, transcript: &Transcript) -> Reading {
    let tokens = lexicon.tokens(&transcript.words);
    let measured = measurements(&tokens, &transcript.words);
    let hits = lexicon.spot(&tokens);
    let sentences = announced(
        lexicon,
        &tokens,
        sentences(&tokens, &transcript.words),
        &hits,
    );
    let mut pieces = Vec::new();
    let mut places = Vec::new();
    let mut elements = Vec::new();
    let mut from = 0;
    for sentence in &sentences {
        let to = from + hits[from..].partition_point(|h| h.tokens.start < sentence.tokens.end);
        let own = &hits[from..to];
        from = to;
        let mut candidates = candidates(lexicon, &tokens, sentence, own);
        candidates.extend(numbers(&tokens, sentence, &measured));
        places.extend(misheard_place(lexicon, &tokens, sentence, own));
        places.extend(choose(
            candidates
                .iter()
                .filter(|p| p.kind == PieceKind::Place && (sentence.paused || sure(&tokens, p)))
                .cloned()
                .collect(),
        ));
        elements.extend(choose(
            candidates
                .iter()
                .filter(|p| p.kind == PieceKind::Element)
                .cloned()
                .collect(),
        ));
        let mut chosen = choose(candidates);
        chosen.retain(|p| !dimension(lexicon, &tokens, p));
        mishearings(lexicon, &tokens, sentence, own, &mut chosen);
        negate(&tokens, sentence, &mut chosen);
        pieces.extend(chosen);
    }
    let measurements = measured.into_iter().map(|(_, m)| m).collect();
    Reading {
        tokens,
        sentences,
        pieces,
        places,
        elements,
        measurements,
    }
}

fn candidates(
    lexicon: &Lexicon,
    tokens: &[Token],
    sentence: &Sentence,
    hits: &[Hit],
) -> Vec<Piece> {
    let mut out: Vec<Piece> = hits
        .iter()
        .filter(|h| h.tokens.end <= sentence.tokens.end && !crosses(sentence, &h.tokens))
        .filter(|h| !(h.kind == Kind::Defect && names_a_thing(tokens, h, hits)))
        .filter(|h| !(h.kind == Kind::Phrase && idle(lexicon, sentence, h, hits)))
        .filter(|h| !(h.kind == Kind::Element && a_verb(tokens, h)))
        .filter(|h| !(h.kind == Kind::Remedy && a_subject(tokens, sentence, h, hits)))
        .filter(|h| {
            !(h.kind == Kind::Defect
                && (works(lexicon, tokens, h, hits) || not_a_fault(tokens, sentence, h)))
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

fn piece(lexicon: &Lexicon, tokens: &[Token], hit: Hit) -> Piece {
    let weak = match hit.kind {
        Kind::Element => lexicon.element(hit.term).weak,
        Kind::Defect => lexicon.defect(hit.term).weak,
        _ => false,
    };
    let kind = hit.kind;
    let term = hit.term;
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
    if !matches!(hit.kind, Kind::Place | Kind::Element) {
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
    let thing = hits
        .iter()
        .any(|h| h.kind == Kind::Element && h.tokens.start == remedy.tokens.start);
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
];

/// *so high*, *high please*: how urgent it is. *rock solid*: praise. *weep pipes*: a verb that
/// opens its clause before a noun is part of the noun's name.
fn not_a_fault(tokens: &[Token], sentence: &Sentence, defect: &Hit) -> bool {
    let Some(clause) = sentence
        .clauses
        .iter()
        .find(|c| c.tokens.contains(&defect.tokens.start))
    else {
        return false;
    };
    if defect.tokens.len() > 1 {
        return false;
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
    let modifies = opens
        && class(after) == Class::Open
        && !word.ends_with("ed")
        && !word.ends_with("ing")
        && !after.ends_with("ed");
    urgency || after == "solid" || modifies && defect.wording != "missing"
}

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
fn idle(lexicon: &Lexicon, sentence: &Sentence, hit: &Hit, hits: &[Hit]) -> bool {
    let phrase = lexicon.phrase(hit.term);
    matches!(
        phrase.kind.as_str(),
        "position" | "position-preposition" | "both" | "throughout" | "approximate" | "other-side"
    ) || phrase.weak.contains(&hit.wording)
        && (phrase.kind == "place-change" || has_more(sentence, hit, hits))
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

/// A wording does not reach over a comma.
fn crosses(sentence: &Sentence, range: &Range<usize>) -> bool {
    sentence
        .clauses
        .iter()
        .any(|c| c.tokens.start > range.start && c.tokens.start < range.end)
}

fn numbers(
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

/// Where a sentence has a fault and no element, or an element and no fault, looks for words that
/// sound like one.
fn mishearings(
    lexicon: &Lexicon,
    tokens: &[Token],
    sentence: &Sentence,
    hits: &[Hit],
    chosen: &mut Vec<Piece>,
) {
    for clause in &sentence.clauses {
        let has = |kind: PieceKind| {
            chosen
                .iter()
                .any(|p| p.kind == kind && clause.tokens.contains(&p.tokens.start))
        };
        let wanted: &[Kind] = match (has(PieceKind::Defect), has(PieceKind::Element)) {
            (true, _) => &[Kind::Element],
            (false, _)
                if clause.join == Join::Start
                    && chosen.iter().any(|p| p.kind == PieceKind::Defect) =>
            {
                &[Kind::Element]
            }
            (false, true) if !chosen.iter().any(|p| p.kind == PieceKind::Defect) => &[Kind::Defect],
            _ => continue,
        };
        if chosen
            .iter()
            .any(|p| p.text == "positive" && clause.tokens.contains(&p.tokens.start))
        {
            continue;
        }
        // A lexicon word that was heard right is never changed.
        // But it may be part of a longer name whose other word was misheard: *stone sail*.
        let kept = |part: &Range<usize>, wording: &str| {
            tokens[part.clone()]
                .iter()
                .all(|t| wording.split(' ').any(|w| w == t.norm))
        };
        let free = |range: &Range<usize>, wording: &str| {
            let overlaps =
                |other: &Range<usize>| other.start < range.end && range.start < other.end;
            !chosen.iter().any(|p| {
                p.kind != PieceKind::Element && p.kind != PieceKind::Phrase && overlaps(&p.tokens)
            }) && !hits.iter().any(|h| {
                h.kind != Kind::Phrase
                    && overlaps(&h.tokens)
                    && !(range.len() > 1
                        && range.start <= h.tokens.start
                        && h.tokens.end <= range.end
                        && kept(&h.tokens, wording))
            })
        };
        let limit = |range: &Range<usize>| {
            let sure = tokens[range.clone()]
                .iter()
                .all(|t| t.probability >= UNSURE);
            if sure { SURE_SOUND_LIMIT } else { SOUND_LIMIT }
        };
        // A pronoun or a joining word belongs to the sentence, not to a name.
        let joins = |range: &Range<usize>| {
            range.len() > 1
                && tokens[range.clone()].iter().any(|t| {
                    matches!(
                        class(&t.norm),
                        Class::Pronoun | Class::Conjunction | Class::Negation
                    )
                })
        };
        let distance = |h: &Hit| {
            if let How::SoundsLike { distance } = h.how {
                distance
            } else {
                0.0
            }
        };
        let best = lexicon
            .sounds_like(tokens, clause.tokens.clone(), wanted, SOUND_LIMIT)
            .into_iter()
            .filter(|h| {
                distance(h) <= limit(&h.tokens)
                    && (h.kind != Kind::Defect
                        || distance(h) <= DEFECT_SOUND_LIMIT
                            && tokens[h.tokens.clone()]
                                .iter()
                                .any(|t| t.probability < DOUBTED))
            })
            .find(|h| {
                free(&h.tokens, &h.wording)
                    && !joins(&h.tokens)
                    && tokens[h.tokens.clone()]
                        .iter()
                        .any(|t| !lexicon.everyday(&t.norm))
            });
        if let Some(hit) = best {
            chosen.retain(|p| p.tokens.end <= hit.tokens.start || hit.tokens.end <= p.tokens.start);
            let at = chosen.partition_point(|p| p.tokens.start < hit.tokens.start);
            chosen.insert(at, piece(lexicon, tokens, hit));
        }
    }
}

/// *nine hundred wide*, *eleven hundred high*: the measure's direction, not a fault.
fn dimension(lexicon: &Lexicon, tokens: &[Token], piece: &Piece) -> bool {
    piece.kind == PieceKind::Defect
        && piece.tokens.len() == 1
        && piece.term.is_some_and(|t| lexicon.defect(t).weak)
        && piece.tokens.start.checked_sub(1).is_some_and(|at| {
            let before = tokens[at].norm.as_str();
            class(before) == Class::Number
                || matches!(
                    before,
                    "mil"
                        | "mm"
                        | "millimetre"
                        | "millimetres"
                        | "metre"
                        | "metres"
                        | "inch"
                        | "inches"
                        | "foot"
                        | "feet"
                        | "cm"
                        | "m"
                )
        })
}

/// A misheard place may be this far from its sounds, everyday words or not: it must be the whole of
/// a short clause that opens a sentence after a pause, where places are announced.
const PLACE_SOUND_LIMIT: f32 = 0.34;

/// A single word that the recogniser all but guessed names no place.
const GUESSED: f32 = 0.35;

fn sure(tokens: &[Token], place: &Piece) -> bool {
    place.tokens.len() > 1
        || tokens[place.tokens.start].probability >= GUESSED
        || place.how != How::Exact
}

/// Longest announcement of a place, in tokens.
const LONGEST_ANNOUNCEMENT: usize = 4;

/// Splits sentences where a clause is nothing but a place: *…, fan good, lounge, plaster bowed*.
/// Recognisers often write a comma for the full stop of a walk to the next room.
fn announced(
    lexicon: &Lexicon,
    tokens: &[Token],
    sentences: Vec<Sentence>,
    hits: &[Hit],
) -> Vec<Sentence> {
    let place = |clause: &Range<usize>| {
        let start = clause
            .clone()
            .find(|&t| !opener(&tokens[t].norm))
            .unwrap_or(clause.start);
        let from = hits.partition_point(|h| h.tokens.start < start);
        hits[from..]
            .iter()
            .take_while(|h| h.tokens.start == start)
            .any(|h| {
                h.kind == Kind::Place && h.tokens.end == clause.end && !lexicon.place(h.term).weak
            })
    };
    let mut out: Vec<Sentence> = Vec::new();
    for sentence in sentences {
        let mut rest = Sentence {
            clauses: Vec::new(),
            ..sentence.clone()
        };
        for clause in sentence.clauses {
            if !rest.clauses.is_empty() && place(&clause.tokens) {
                let at = clause.tokens.start;
                let before = Sentence {
                    tokens: rest.tokens.start..at,
                    question: false,
                    ..rest
                };
                out.push(before);
                rest = Sentence {
                    tokens: at..sentence.tokens.end,
                    clauses: Vec::new(),
                    paused: false,
                    question: sentence.question,
                };
            }
            rest.clauses.push(clause);
        }
        out.push(rest);
    }
    out
}

/// *And sweet.* after a pause: the en-suite.
fn misheard_place(
    lexicon: &Lexicon,
    tokens: &[Token],
    sentence: &Sentence,
    hits: &[Hit],
) -> Option<Piece> {
    let clause = &sentence.clauses.first()?.tokens;
    let known = |h: &Hit| {
        let whole = matches!(h.kind, Kind::Place | Kind::Element)
            && h.tokens.end == clause.end
            && h.tokens.start <= clause.start + 1;
        whole
            || h.kind == Kind::Place
                && h.tokens.start == clause.start
                && lexicon.place(h.term).numbered
    };
    if !sentence.paused || hits.iter().any(known) || clause.len() > LONGEST_ANNOUNCEMENT {
        return None;
    }
    let opens = (clause.start..clause.end)
        .find(|&t| !opener(&tokens[t].norm))
        .unwrap_or(clause.start);
    let whole = |h: &Hit| {
        (h.tokens.start == clause.start || h.tokens.start == opens) && h.tokens.end == clause.end
    };
    let near =
        |h: &Hit| matches!(h.how, How::SoundsLike { distance } if distance <= PLACE_SOUND_LIMIT);
    // The limit asked for is wide, since everyday words get only a fraction of it.
    let hit = lexicon
        .sounds_like(
            tokens,
            clause.clone(),
            &[Kind::Place],
            PLACE_SOUND_LIMIT * 3.0,
        )
        .into_iter()
        .find(|h| whole(h) && near(h))?;
    Some(piece(lexicon, tokens, hit))
}

/// How many tokens before a defect a negation may stand: *not a single squeak*.
const NEGATION_REACH: usize = 4;

/// Marks defects that are said not to be there.
fn negate(tokens: &[Token], sentence: &Sentence, chosen: &mut [Piece]) {
    for at in 0..chosen.len() {
        if chosen[at].kind != PieceKind::Defect {
            continue;
        }
        let Some(clause) = sentence
            .clauses
            .iter()
            .find(|c| c.tokens.contains(&chosen[at].tokens.start))
        else {
            continue;
        };
        let start = chosen[at].tokens.start;
        let from = clause
            .tokens
            .start
            .max(start.saturating_sub(NEGATION_REACH));
        let free = |i: &usize| {
            !chosen
                .iter()
                .any(|p| p.kind == PieceKind::Defect && p.tokens.contains(i))
        };
        let mut subject = start;
        while subject > clause.tokens.start
            && matches!(
                tokens[subject - 1].norm.as_str(),
                "can"
                    | "could"
                    | "would"
                    | "will"
                    | "did"
                    | "do"
                    | "just"
                    | "nearly"
                    | "have"
                    | "almost"
                    | "to"
            )
        {
            subject -= 1;
        }
        // "I can rock it", "I nearly forgot": said of the speaker.
        let speaker = subject > clause.tokens.start
            && matches!(tokens[subject - 1].norm.as_str(), "i" | "we" | "you");
        chosen[at].negated = speaker
            || (from..start).filter(free).any(|i| {
                matches!(
                    tokens[i].norm.as_str(),
                    "no" | "not" | "nothing" | "without" | "never" | "none" | "cannot" | "zero"
                )
            });
    }
}
