//! Words that may have been misheard for words of the trade: *Mason tap* for *basin tap*.
//!
//! Recognisers write what is likeliest in everyday speech. Stretches of a clause that mean nothing in
//! the trade are held against the sound of every place, element and fault, and so is what the recogniser
//! might have written as well in the place of a word that it doubts (*hall* for *Huffle*); which of those
//! were meant is decided with the sound itself ([`super::second_look`]).

mod near;
#[cfg(test)]
mod tests;
mod values;
mod wording;

use super::grammar::{Class, class, opener};
use super::piece::{Piece, PieceKind};
use super::reader::Reader;
use super::reading::{Reading, read};
use super::sentence::Sentence;
use super::units::unit_word;
use crate::lexicon::{How, Kind, Lexicon, PlaceKind, Rival, TermId};
use crate::speech::{NextBest, Transcript, Word};
use near::Near;
use std::collections::BTreeMap;
use std::ops::Range;
pub use values::BEFORE;
use wording::{says, written};

/// The most words that may together have been misheard for a wording.
const MOST_WORDS: usize = 4;

/// Below this probability a word that is no noun, verb or adjective is doubted too.
const DOUBTED: f32 = 0.65;

/// Below this probability a thing or a fault is doubted too that does not fit what is beside it: the
/// recogniser at times writes one word of the trade for another (*pops* for *perps*).
const DOUBTED_TERM: f32 = 0.8;

/// Below this probability words that mean something by themselves may have been part of a longer wording
/// that sounds much the same (*nail pots* for *nail pops*).
const SHAKEN: f32 = 0.9;

/// What sounds much the same, as weighted edits over the sounds of the longer side.
const MUCH_THE_SAME: f32 = 0.2;

/// What goes together no better than this does not fit.
const UNFITTING: f32 = 0.1;

/// Below this probability the recogniser is asked what else it might have written.
const ASKED_FOR_MORE: f32 = 0.65;

/// The scale of logarithms of probabilities among the values.
pub(super) const SCALE: f64 = 10.0;

/// How many tokens into a sentence the place may be named that it changes to.
const OPENING: usize = 3;

/// A stretch of words, with a wording that it may have been.
#[derive(Debug, Clone)]
pub struct Suspicion {
    /// Words of the transcript.
    pub words: Range<usize>,
    /// What they may have been.
    pub rival: Rival,
    /// The same with the capital and the punctuation of the words.
    pub written: String,
    /// The values of [`BEFORE`].
    pub before: [f64; BEFORE.len()],
}

/// For words of a transcript what else the recogniser might have written.
pub type MightBe = BTreeMap<usize, Vec<NextBest>>;

/// Returns the words from `from` on of which the recogniser is asked what else it might have written.
pub fn unsure(words: &[Word], from: usize) -> Vec<usize> {
    let unsure = |&at: &usize| words[at].probability < ASKED_FOR_MORE;
    (from..words.len()).filter(unsure).collect()
}

/// Returns what the words from `from` on may have been instead; the words before them tell where the
/// speaker is.
pub fn suspicions(
    lexicon: &Lexicon,
    transcript: &Transcript,
    from: usize,
    might_be: &MightBe,
) -> Vec<Suspicion> {
    let reading = read(lexicon, transcript);
    let mut out = Vec::new();
    let mut place: Option<TermId> = None;
    for sentence in &reading.sentences {
        let opening = sentence.tokens.start + OPENING;
        let mut named = reading
            .places_within(&sentence.tokens)
            .iter()
            .filter(|p| p.tokens.start <= opening);
        place = named.next_back().map_or(place, |p| p.term);
        if reading.tokens[sentence.tokens.end - 1].word < from {
            continue;
        }
        let scene = Scene {
            lexicon,
            reading: &reading,
            sentence,
            pieces: &reading.pieces[reading.within(&sentence.tokens)],
            place,
            might_be,
        };
        for clause in &sentence.clauses {
            scene.suspect(&transcript.words, &clause.tokens, from, &mut out);
        }
    }
    out
}

/// A sentence with what is around it.
struct Scene<'a> {
    lexicon: &'a Lexicon,
    reading: &'a Reading,
    sentence: &'a Sentence,
    pieces: &'a [Piece],
    place: Option<TermId>,
    might_be: &'a MightBe,
}

impl Scene<'_> {
    fn suspect(
        &self,
        words: &[Word],
        clause: &Range<usize>,
        from: usize,
        out: &mut Vec<Suspicion>,
    ) {
        let tokens = &self.reading.tokens;
        let begins = |t: &usize| *t == 0 || tokens[t - 1].word != tokens[*t].word;
        let starts: Vec<usize> = clause.clone().filter(begins).collect();
        for (at, &start) in starts.iter().enumerate() {
            if tokens[start].word < from {
                continue;
            }
            for count in 1..=MOST_WORDS.min(starts.len() - at) {
                let end = starts.get(at + count).copied().unwrap_or(clause.end);
                let stretch = start..end;
                let opens = (self.sentence.tokens.start..start).all(|t| opener(&tokens[t].norm));
                let kinds: &[Kind] = match opens {
                    true => &[Kind::Element, Kind::Defect, Kind::Place],
                    false => &[Kind::Element, Kind::Defect],
                };
                let heard = tokens[start].word..tokens[end - 1].word + 1;
                // "Been bedded": what follows is work done or a fault, never a thing (*bedding*).
                let been = start > clause.start && tokens[start - 1].norm == "been";
                for near in self.near(&stretch, count, kinds) {
                    let rival = &near.rival;
                    if been && rival.kind == Kind::Element || !self.may_be(rival, &stretch) {
                        continue;
                    }
                    let lost = self.lost(&stretch, rival);
                    if self.keeps(&stretch, &near, &lost) {
                        out.push(Suspicion {
                            written: written(&rival.text, &words[heard.clone()]),
                            before: self.before(&stretch, heard.len(), &near, &lost),
                            words: heard.clone(),
                            rival: near.rival,
                        });
                    }
                }
            }
        }
    }

    /// Returns what a token belongs to that was understood as it was heard.
    fn understood(&self, token: usize) -> Option<&Piece> {
        self.pieces.iter().find(|p| {
            let certain = match p.kind {
                PieceKind::Phrase => p.text == "positive",
                PieceKind::Measure | PieceKind::Count => true,
                _ => p.term.is_some() && !matches!(p.how, How::SoundsLike { .. }),
            };
            certain && p.tokens.contains(&token)
        })
    }

    /// True for a word of a thing or a fault that the recogniser doubted and that does not fit: a thing
    /// beside faults of other things, a fault beside things that it does not befall, or beside none.
    fn doubted_term(&self, token: usize) -> bool {
        let unfitting = |p: &Piece| {
            let goes = self.goes_with_others(p.kind, p.term, &p.tokens);
            match p.kind {
                PieceKind::Element => goes.is_some_and(|goes| goes <= UNFITTING),
                PieceKind::Defect => goes.is_none_or(|goes| goes <= UNFITTING),
                _ => false,
            }
        };
        self.reading.tokens[token].probability < DOUBTED_TERM
            && self.understood(token).is_some_and(unfitting)
    }

    /// True for a word that was understood as it was heard, and is doubted: it does not fit, or the recogniser
    /// might have written another in its place.
    fn understood_in_doubt(&self, token: usize) -> bool {
        let might_be_another = self.might_be.contains_key(&self.reading.tokens[token].word);
        self.doubted_term(token) || might_be_another && self.understood(token).is_some()
    }

    /// Returns the terms of a kind that are named outside some tokens.
    fn others(&self, kind: PieceKind, tokens: &Range<usize>) -> impl Iterator<Item = TermId> {
        let apart = move |p: &&Piece| {
            p.kind == kind && (p.tokens.end <= tokens.start || tokens.end <= p.tokens.start)
        };
        self.pieces.iter().filter(apart).filter_map(|p| p.term)
    }

    /// Returns how well a thing or a fault goes with the faults or things beside it.
    fn goes_with_others(
        &self,
        kind: PieceKind,
        term: Option<TermId>,
        tokens: &Range<usize>,
    ) -> Option<f32> {
        let term = term?;
        match kind {
            PieceKind::Element => self
                .others(PieceKind::Defect, tokens)
                .map(|defect| self.lexicon.befalls(defect, term))
                .reduce(f32::max),
            PieceKind::Defect => self
                .others(PieceKind::Element, tokens)
                .map(|element| self.lexicon.befalls(term, element))
                .reduce(f32::max),
            _ => None,
        }
    }

    /// True for a word that says nothing here: one outside the vocabulary, or one that the recogniser
    /// doubted.
    fn doubtful(&self, token: usize) -> bool {
        let heard = &self.reading.tokens[token];
        let foreign = class(&heard.norm) == Class::Open && !self.lexicon.has_word(&heard.norm);
        let unit = unit_word(Reader::new(&self.reading.tokens, &[]), token).is_some();
        match self.understood(token) {
            Some(_) => self.doubted_term(token),
            None => !unit && (foreign || heard.probability < DOUBTED),
        }
    }

    /// True for a word that may have been another though it means something.
    fn shaken(&self, token: usize) -> bool {
        self.reading.tokens[token].probability < SHAKEN
    }

    /// True where some tokens are all that a clause says.
    fn alone(&self, stretch: &Range<usize>) -> bool {
        self.sentence.clauses.iter().any(|c| c.tokens == *stretch)
    }

    /// True for what may be meant at all: no place that is the whole home, nor an everyday word that is
    /// not announced.
    fn may_be(&self, rival: &Rival, stretch: &Range<usize>) -> bool {
        rival.kind != Kind::Place || {
            let place = self.lexicon.place(rival.term);
            place.kind != PlaceKind::Whole && (!place.weak || self.alone(stretch))
        }
    }

    /// Returns the tokens that were understood without doubt and are not in a rival's wording.
    fn lost(&self, stretch: &Range<usize>, rival: &Rival) -> Vec<usize> {
        let fixed = |t: &usize| self.understood(*t).is_some() && !self.understood_in_doubt(*t);
        let said = |t: &usize| says(&rival.text, &self.reading.tokens[*t].norm);
        stretch.clone().filter(|t| fixed(t) && !said(t)).collect()
    }

    /// True where a rival loses no word of the stretch that was understood, or only shaken ones that sound much
    /// the same; where none is cut off from what it belongs to, and no room taken into the name of a thing
    /// (*front **bedroom are doors** catching*); and where it is not understood already.
    fn keeps(&self, stretch: &Range<usize>, near: &Near, lost: &[usize]) -> bool {
        let (rival, same) = (&near.rival, near.much_the_same());
        if !lost.iter().all(|&t| same && self.shaken(t)) {
            return false;
        }
        let mut touched = self
            .pieces
            .iter()
            .filter(|p| p.tokens.start < stretch.end && stretch.start < p.tokens.end);
        touched.all(|p| {
            let certain = p.term.is_some() && !matches!(p.how, How::SoundsLike { .. });
            let whole = stretch.start <= p.tokens.start && p.tokens.end <= stretch.end;
            let stays = !lost.iter().any(|t| p.tokens.contains(t));
            let room = p.kind == PieceKind::Place && rival.kind != Kind::Place;
            // A place may be understood and run on all the same: *Front bedroom are doors catching*.
            let understood = p.term == Some(rival.term)
                && (rival.kind != Kind::Place || stretch.clone().any(|t| self.doubted_term(t)));
            !certain || (whole && !room || stays) && !understood
        })
    }
}
