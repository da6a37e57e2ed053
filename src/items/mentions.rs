//! Places that were named and not gone to by the walk: whether one went there all the same.
//!
//! Speech runs on: *…, no draughts, kitchen. Quartz worktop …*, *tape it, up two steps and I'm in the mud room*; a
//! recogniser writes commas for the stops, or none. What a rule could not decide, signs are weighed for
//! (`models/mentions.toml`): how the name stands in its clause, how it was heard, and whether what is spoken of from
//! there on belongs there more than here.

mod signs;

use super::draft::Draft;
use super::finish;
use super::walk::Walked;
use crate::lexicon::{Lexicon, PlaceKind};
use crate::score::sigmoid;
use crate::speech::Transcript;
use crate::statements::piece::{Piece, PieceKind};
use crate::statements::place::{self, PlaceChange};
use crate::statements::reading::Reading;
use crate::statements::sentence::{Clause, Sentence};
use crate::statements::signs::{OF_MENTIONS, Signs};
use std::ops::Range;

/// Why an item is where it is.
pub(super) const REASON: &str = "place named on the way";

/// A place that was named and not gone to, for whoever fits the weights.
#[derive(Debug, Clone, PartialEq)]
pub struct Mention {
    /// The place named.
    pub there: String,
    /// The place that the walk has.
    pub here: String,
    /// Indexes of the words between which what is spoken of would be there: from the name on, up to the next change
    /// of place.
    pub words: Range<usize>,
    /// It was taken to be gone to, unless another place was named as well.
    pub gone: bool,
    /// What speaks for having gone there, with values.
    pub signs: Vec<(String, f32)>,
}

/// A place that a clause names.
struct Named<'a> {
    piece: &'a Piece,
    sentence: &'a Sentence,
    clause: &'a Clause,
}

/// A place that one may have gone to, with the items that would be there.
struct Elsewhere<'a> {
    named: Named<'a>,
    change: PlaceChange,
    /// Index of the place that they have.
    here: usize,
    /// Which of the items in spoken order they are.
    stay: Range<usize>,
    /// Nothing was listed since the walk came here.
    just_come: bool,
    /// The walk came here in the same sentence.
    came_in_sentence: bool,
}

/// The items in spoken order.
struct Spoken {
    /// Index of each among the walk's items.
    drafts: Vec<usize>,
    /// The token from which it is spoken of.
    said: Vec<usize>,
    /// The place that the walk had it at.
    walk: Vec<usize>,
    /// Where the walk goes on to another place, as an index into these.
    until: Vec<usize>,
}

impl Spoken {
    fn of(walked: &Walked) -> Spoken {
        let mut drafts: Vec<usize> = (0..walked.drafts.len())
            .filter(|&at| walked.drafts[at].withdrawn.is_none())
            .collect();
        drafts.sort_by_key(|&at| said_at(&walked.drafts[at]));
        let said = drafts.iter().map(|&at| said_at(&walked.drafts[at]));
        let walk: Vec<usize> = drafts.iter().map(|&at| walked.drafts[at].place).collect();
        let mut until = vec![walk.len(); walk.len()];
        for at in (1..walk.len()).rev() {
            until[at - 1] = if walk[at] == walk[at - 1] {
                until[at]
            } else {
                at
            };
        }
        Spoken {
            said: said.collect(),
            drafts,
            walk,
            until,
        }
    }

    /// Returns what would be elsewhere, from the `first` item on, if one went to a place when it was named, unless
    /// one is there.
    fn elsewhere<'a>(
        &self,
        lexicon: &Lexicon,
        walked: &Walked,
        named: Named<'a>,
        first: usize,
    ) -> Option<Elsewhere<'a>> {
        let from = named.piece.tokens.start;
        let until = *self.until.get(first)?;
        if walked.at(from) != Some(self.walk[first]) {
            return None;
        }
        let here = walked.drafts[self.drafts[first]].place;
        let change = place::to(lexicon, named.piece, from);
        let is_here = walked.places.visited[here].name == change.name
            || walked.places.identities[here] == change.identity;
        (!is_here).then(|| Elsewhere {
            just_come: first == 0 || self.walk[first - 1] != self.walk[first],
            came_in_sentence: walked.came_in(&named.sentence.tokens),
            named,
            change,
            here,
            stay: first..until,
        })
    }
}

/// Moves items to the places that were gone to. Returns what was weighed, where it is to be `kept`.
pub(crate) fn settle(
    lexicon: &Lexicon,
    reading: &Reading,
    transcript: &Transcript,
    walked: &mut Walked,
    kept: bool,
) -> Vec<Mention> {
    let spoken = Spoken::of(walked);
    let mut out = Vec::new();
    let mut best: Option<(f32, Elsewhere)> = None;
    for named in named(lexicon, reading) {
        let first = spoken
            .said
            .partition_point(|&said| said < named.piece.tokens.start);
        // Of several places named before an item, the likeliest.
        if let Some((sum, chosen)) = best.take_if(|(_, chosen)| chosen.stay.start != first) {
            go(reading, transcript, walked, &spoken, chosen, sum);
        }
        let Some(elsewhere) = spoken.elsewhere(lexicon, walked, named, first) else {
            continue;
        };
        let mut signs = Signs::new(&OF_MENTIONS, kept);
        signs::of(lexicon, reading, walked, &spoken, &elsewhere, &mut signs);
        if kept {
            let end = spoken.said.get(elsewhere.stay.end);
            let token = |at: usize| reading.tokens[at].word;
            out.push(Mention {
                there: elsewhere.change.name.clone(),
                here: walked.places.visited[elsewhere.here].name.clone(),
                words: token(elsewhere.named.piece.tokens.start)
                    ..end.map_or(transcript.words.len(), |&at| token(at)),
                gone: signs.sum() > 0.0,
                signs: signs.kept().to_vec(),
            });
        }
        if signs.sum() > best.as_ref().map_or(0.0, |(best, _)| *best) {
            best = Some((signs.sum(), elsewhere));
        } else if signs.sum() <= 0.0 {
            for &draft in &spoken.drafts[elsewhere.stay] {
                let narrowly = &mut walked.drafts[draft].narrowly;
                narrowly.passed = narrowly.passed.max(sigmoid(f64::from(signs.sum())));
            }
        }
    }
    if let Some((sum, chosen)) = best {
        go(reading, transcript, walked, &spoken, chosen, sum);
    }
    out
}

/// Moves the items to the place, for which so much speaks.
fn go(
    reading: &Reading,
    transcript: &Transcript,
    walked: &mut Walked,
    spoken: &Spoken,
    chosen: Elsewhere<'_>,
    sum: f32,
) {
    let place = walked.places.known_or_new(&chosen.change);
    let mut tokens = chosen.named.piece.tokens.clone();
    for &draft in &spoken.drafts[chosen.stay] {
        let draft = &mut walked.drafts[draft];
        draft.place = place;
        draft.reasons.push(REASON.into());
        draft.narrowly.passed = sigmoid(f64::from(-sum));
        tokens.end = tokens.end.max(draft.tokens.end);
    }
    let recording = transcript.words[reading.tokens[tokens.start].word].recording;
    let said = finish::span(reading, transcript, &tokens);
    walked.places.visit(place, recording, said);
}

/// Returns the token from which an item is spoken of: its fault, or its thing where the fault was told before.
pub(super) fn said_at(draft: &Draft) -> usize {
    match draft.defects.first().filter(|_| !draft.defect_carried) {
        Some(defect) => defect.tokens.start,
        None if !draft.element_carried => draft.element.tokens.start,
        None => draft.tokens.start,
    }
}

/// Returns all places that are named, but for those that something is likened to, in spoken order.
fn named<'a>(lexicon: &'a Lexicon, reading: &'a Reading) -> impl Iterator<Item = Named<'a>> {
    reading.sentences.iter().flat_map(move |sentence| {
        sentence.clauses.iter().flat_map(move |clause| {
            let places = reading.places_within(&clause.tokens).iter();
            // "The garage door": a thing that only has its name from the place.
            let in_thing = |place: &Piece| {
                let thing = reading.piece_at(place.tokens.start);
                thing.is_some_and(|thing| {
                    thing.kind == PieceKind::Element
                        && thing.term.is_some()
                        && thing.tokens.len() > place.tokens.len()
                })
            };
            // "Like bedroom two", "like in bedroom two".
            let likened = |place: &Piece| {
                let word = |back: usize| {
                    let at = place.tokens.start.checked_sub(back);
                    at.map_or("", |at| &*reading.tokens[at].norm)
                };
                place::as_in(&reading.tokens, place.tokens.start)
                    || matches!(word(1), "as" | "like")
                    || word(2) == "like" && matches!(word(1), "in" | "per")
            };
            // "Two is the one at the back".
            let side = |place: &Piece| {
                let kind = place.term.map(|term| lexicon.place(term).kind);
                kind == Some(PlaceKind::Elevation)
                    && place::which_of_several(&reading.tokens, place)
            };
            // "The loft hatch is stiff": a thing of the room below.
            let hatch = |place: &Piece| place.text.ends_with("hatch");
            let places = places.filter(move |place| {
                !in_thing(place)
                    && !hatch(place)
                    && !likened(place)
                    && !side(place)
                    && !place::landmark(&reading.tokens, place)
                    && !place::goes_along(reading, sentence, place)
            });
            places.map(move |piece| Named {
                piece,
                sentence,
                clause,
            })
        })
    })
}
