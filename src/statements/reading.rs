//! A transcript read: tokens, sentences, and the pieces in them.

use super::candidates::{candidates, numbers};
use super::familiar::familiar;
use super::faults::MISSING;
use super::grammar::{Class, class, participle};
use super::measurements;
use super::mishearing::{announced, mishearings, sure};
use super::piece::{Piece, PieceKind, choose, piece_at};
use super::place::{OwnPlace, attached, of_a_house, own_places, own_places_in};
use super::sentence::{Sentence, sentences};
use super::struck::leave_out_blows;
use super::units::is_length;
use crate::items::Measurement;
use crate::lexicon::{Hit, Kind, Lexicon, Token};
use crate::speech::Transcript;
use crate::workers::each_of_many;
use std::ops::Range;

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
    /// For each sentence, whether it names a fault that is none as it is said: *trips like it should*.
    pub excused: Vec<bool>,
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

    /// Returns the piece that covers a token.
    pub fn piece_at(&self, token: usize) -> Option<&Piece> {
        piece_at(&self.pieces, token)
    }

    /// Returns the sentence that a token is of; none behind the last.
    pub fn sentence_at(&self, token: usize) -> Option<&Sentence> {
        let at = self
            .sentences
            .partition_point(|sentence| sentence.tokens.end <= token);
        self.sentences.get(at)
    }

    /// Returns the elements named within `range`.
    pub fn elements_within(&self, range: &Range<usize>) -> &[Piece] {
        within(&self.elements, range)
    }

    /// Returns the places named within `range`.
    pub fn places_within(&self, range: &Range<usize>) -> &[Piece] {
        within(&self.places, range)
    }
}

/// Returns those of the pieces, which stand in order, that lie within `range`.
fn within<'a>(pieces: &'a [Piece], range: &Range<usize>) -> &'a [Piece] {
    let from = pieces.partition_point(|p| p.tokens.start < range.start);
    let to = pieces.partition_point(|p| p.tokens.end <= range.end);
    &pieces[from..to.max(from)]
}

/// Reads a transcript.
pub fn read(lexicon: &Lexicon, transcript: &Transcript) -> Reading {
    let tokens = lexicon.tokens(&transcript.words);
    let measured = measurements(&tokens, &transcript.words);
    let hits = lexicon.spot(&tokens);
    let sentences = announced(
        lexicon,
        &tokens,
        sentences(lexicon, &tokens, &transcript.words, &hits),
        &hits,
    );
    let own = own_places(lexicon, &tokens, &sentences, &hits);
    let mut from = 0;
    let parts: Vec<(&Sentence, &[Hit])> = sentences
        .iter()
        .map(|sentence| {
            let to = from + hits[from..].partition_point(|h| h.tokens.start < sentence.tokens.end);
            let own = &hits[from..to];
            from = to;
            (sentence, own)
        })
        .collect();
    let said = each_of_many(&parts, |(sentence, hits)| {
        pieces_of(lexicon, &tokens, &measured, sentence, hits, &own)
    });
    let mut reading = Reading::default();
    for Pieces {
        chosen,
        places,
        elements,
        excused,
    } in said
    {
        reading.excused.push(excused);
        reading.pieces.extend(chosen);
        reading.places.extend(places);
        reading.elements.extend(elements);
    }
    reading.measurements = measured.into_iter().map(|(_, m)| m).collect();
    reading.sentences = sentences;
    reading.tokens = tokens;
    reading
}

/// What one sentence names: as [`Reading::pieces`], [`Reading::places`], [`Reading::elements`] and
/// [`Reading::excused`].
struct Pieces {
    chosen: Vec<Piece>,
    places: Vec<Piece>,
    elements: Vec<Piece>,
    excused: bool,
}

fn pieces_of(
    lexicon: &Lexicon,
    tokens: &[Token],
    measured: &[(Range<usize>, Measurement)],
    sentence: &Sentence,
    hits: &[Hit],
    own: &[OwnPlace],
) -> Pieces {
    let (mut candidates, excused) = candidates(lexicon, tokens, sentence, hits);
    candidates.extend(own_places_in(tokens, sentence, own));
    candidates.extend(attached(lexicon, tokens, &candidates));
    candidates.extend(of_a_house(lexicon, tokens, sentence));
    candidates.extend(numbers(tokens, sentence, measured));
    let of = |kind: PieceKind, counts: &dyn Fn(&Piece) -> bool| {
        let named = candidates.iter().filter(|p| p.kind == kind && counts(p));
        choose(named.cloned().collect())
    };
    let places = of(PieceKind::Place, &|p| {
        sentence.paused() || sure(lexicon, tokens, p) || stands_alone(lexicon, sentence, p)
    });
    let elements = of(PieceKind::Element, &|_| true);
    let mut chosen = choose(candidates);
    leave_out_blows(tokens, sentence, &mut chosen);
    hazards(lexicon, tokens, hits, &mut chosen);
    let rooms: Vec<Range<usize>> = chosen
        .iter()
        .filter(|p| p.kind == PieceKind::Place)
        .map(|p| p.tokens.clone())
        .collect();
    let figure = |at: usize| at >= sentence.tokens.start && !rooms.iter().any(|r| r.contains(&at));
    chosen.retain(|p| !dimension(lexicon, tokens, &figure, p));
    familiar(lexicon, tokens, sentence, &mut chosen);
    mishearings(lexicon, tokens, sentence, hits, &mut chosen);
    chosen.retain(|p| !a_unit(tokens, p));
    negate(tokens, sentence, &mut chosen);
    Pieces {
        chosen,
        places,
        elements,
        excused,
    }
}

/// *The mat's **a trip hazard***: the words that tell how much a fault matters are the fault where the
/// sentence names a thing and no other fault.
fn hazards(lexicon: &Lexicon, tokens: &[Token], hits: &[Hit], chosen: &mut [Piece]) {
    let has = |kind| chosen.iter().any(|p: &Piece| p.kind == kind);
    if !has(PieceKind::Element) || has(PieceKind::Defect) {
        return;
    }
    let weighs = |p: &&mut Piece| p.kind == PieceKind::Phrase && p.text == "severity-word";
    for piece in chosen.iter_mut().filter(weighs) {
        let mut within = hits.iter().filter(|h| {
            h.kind == Kind::Defect
                && piece.tokens.start <= h.tokens.start
                && h.tokens.end == piece.tokens.end
        });
        if let Some(hit) = within.next() {
            *piece = super::candidates::piece(lexicon, tokens, hit.clone());
            return;
        }
    }
}

/// *…, magic. Cloaks, …*: a usual place that is all its clause says.
fn stands_alone(lexicon: &Lexicon, sentence: &Sentence, place: &Piece) -> bool {
    place.term.is_some_and(|t| lexicon.place(t).usual)
        && sentence.clauses.iter().any(|c| c.tokens == place.tokens)
}

/// *Over two **metres***: no gas meter.
fn a_unit(tokens: &[Token], piece: &Piece) -> bool {
    let start = piece.tokens.start;
    let counted = start > 0 && class(&tokens[start - 1].norm) == Class::Number;
    piece.kind == PieceKind::Element
        && piece.tokens.len() == 1
        && counted
        && is_length(&tokens[start].norm)
}

/// *nine hundred wide*, *eleven hundred high*: the measure's direction, not a fault. *Ten mil low* is one.
/// `figure` tells whether a token may be one: *Bedroom two. **Mark** on the sill* has none.
fn dimension(
    lexicon: &Lexicon,
    tokens: &[Token],
    figure: &dyn Fn(usize) -> bool,
    piece: &Piece,
) -> bool {
    piece.kind == PieceKind::Defect
        && piece.tokens.len() == 1
        && !FALLS_SHORT.contains(&tokens[piece.tokens.start].norm.as_str())
        && !COUNTED.contains(&tokens[piece.tokens.start].norm.as_str())
        && piece.term.is_some_and(|t| lexicon.defect(t).weak)
        && piece.tokens.start.checked_sub(1).is_some_and(|at| {
            let before = tokens[at].norm.as_str();
            figure(at) && (class(before) == Class::Number || is_length(before))
        })
}

/// Words after a length that tell by how much something is not where it should be.
const FALLS_SHORT: &[&str] = &["low", "short", "out"];

/// Faults that one counts or measures: *two **holes** in the wall*, *a ten mil **mark***.
#[rustfmt::skip]
const COUNTED: &[&str] = &["hole", "holes", "mark", "marks", "run", "runs", "ridge", "ridges", "hazard", "hazards"];

/// People on a site.
const PERSONS: &[&str] = &[
    "he",
    "she",
    "super",
    "foreman",
    "manager",
    "builder",
    "inspector",
    "surveyor",
    "buyer",
    "lad",
    "lads",
    "gaffer",
    "superintendent",
    "homeowner",
    "owner",
    "boss",
    "trainee",
    "everybody",
    "nobody",
    "somebody",
    "someone",
];

/// How many tokens before a defect a negation may stand: *not a single squeak*.
const NEGATION_REACH: usize = 4;

fn not_behind(tokens: &[Token], at: usize) -> bool {
    tokens.get(at + 1).is_some_and(|next| next.norm == "not")
}

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
        // "Good and deep", "nice and tight": praise.
        let before = |back: usize| start.checked_sub(back).map_or("", |t| &*tokens[t].norm);
        let praised = before(1) == "and" && matches!(before(2), "good" | "nice" | "lovely");
        // "I can't find a label": looked for in vain.
        // "I can see daylight under it", "I can feel a draught".
        let sought = chosen[at]
            .tokens
            .clone()
            .any(|t| match tokens[t].norm.as_str() {
                "find" => chosen[at].text == MISSING,
                said => matches!(said, "see" | "feel" | "hear" | "smell"),
            });
        // "You can't get at it": nor can anybody.
        // "I can't open the window", "can't get it *to shut*".
        let text = chosen[at].text.as_str();
        let object = tokens.get(chosen[at].tokens.end).map(|t| class(&t.norm));
        let stuck = match &*tokens[start].norm {
            "can" | "could" => not_behind(tokens, start) && object == Some(Class::Determiner),
            "will" => false,
            _ => text.starts_with("won't "),
        };
        // "You have to slam the door".
        let must = before(1) == "to" && matches!(before(2), "have" | "got" | "need");
        let must = must
            || ["have to ", "got to ", "need to "]
                .iter()
                .any(|to| text.starts_with(to));
        // "You can waggle it", "I can't get my hand round it".
        let handled = &*tokens[start].norm == "can" && chosen[at].tokens.len() > 2;
        let sought = sought || stuck || must || handled || text.starts_with("cannot ");
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
                    | "am"
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
        // "I can rock it", "I nearly forgot": said of the speaker. "The super's proud of it": of others.
        let person = |at: usize| {
            let word = tokens[at].norm.as_str();
            matches!(word, "i" | "we" | "you") || PERSONS.contains(&word)
        };
        let linked = matches!(
            tokens[subject.saturating_sub(1)].norm.as_str(),
            "'s" | "is" | "was"
        );
        // "Somebody's painted the strips solid" tells what was done, not how somebody is.
        // "Somebody's forgotten the handle".
        let end = chosen[at].tokens.end;
        let article = |at: usize| class(&tokens[at].norm) == Class::Determiner;
        let done_to = end < clause.tokens.end
            && (participle(&tokens[start].norm) || tokens[start].norm == "forgotten")
            && (article(end) || article(end - 1));
        let linked = linked && !done_to;
        let speaker = subject > clause.tokens.start && person(subject - 1)
            || linked
                && subject > clause.tokens.start + 1
                && PERSONS.contains(&tokens[subject - 2].norm.as_str());
        // "None of the sockets is loose", but "none of the valves has a cap".
        let none_of = (clause.tokens.start..start).any(|i| {
            let not_one =
                tokens[i].norm == "one" && i > clause.tokens.start && tokens[i - 1].norm == "not";
            (not_one || matches!(&*tokens[i].norm, "none" | "neither"))
                && tokens[i + 1].norm == "of"
        });
        // "Not a single breaker's labelled" too.
        let single = (clause.tokens.start..start).any(|i| tokens[i].norm == "single");
        let denies = ["no ", "not ", "does not "];
        let denies = denies.iter().any(|no| chosen[at].text.starts_with(no));
        chosen[at].negated = praised
            || speaker && !sought
            || none_of && !denies
            || !(stuck || single && denies)
                && (from..start).filter(free).filter(|_| !none_of).any(|i| {
                    // "What I don't like is the crack".
                    let liked = matches!(&*tokens[i + 1].norm, "like" | "love");
                    !liked
                        && matches!(
                            tokens[i].norm.as_str(),
                            "no" | "not"
                                | "nothing"
                                | "without"
                                | "never"
                                | "none"
                                | "cannot"
                                | "zero"
                        )
                });
    }
}
