//! A place that a clause names, with what is around it.

use crate::lexicon::{Lexicon, PlaceKind};
use crate::statements::grammar::{Class, class, opener};
use crate::statements::piece::{Piece, PieceKind, piece_at};
use crate::statements::place::name::number_sound;
use crate::statements::place::way::{CUPBOARDS, GOING};
use crate::statements::reading::Reading;
use crate::statements::sentence::Sentence;
use std::ops::Range;

/// Words for what is seen from two rooms.
const DOORS: &[&str] = &["door", "doors", "doorway", "doorways"];

/// How a room lies to where one stands: *the utility **leads** off it*, *there's a shower room **opening** off
/// that*.
#[rustfmt::skip]
pub(super) const SITS: &[&str] = &["leads", "opens", "tucked", "juts", "sits", "lies", "follows", "opening", "leading"];

pub(super) struct Mention<'a> {
    pub(super) lexicon: &'a Lexicon,
    pub(super) reading: &'a Reading,
    pub(super) sentence: &'a Sentence,
    pub(super) clause: &'a Range<usize>,
    /// With its number, also where that was heard as another word.
    pub(super) place: Piece,
    pub(super) kind: PlaceKind,
    /// The tokens of the clause before it.
    pub(super) lead: Range<usize>,
    /// True where the speaker is indoors.
    pub(super) inside: bool,
    /// True for what is as likely a thing: *decking*.
    pub(super) dual: bool,
    /// True for a cupboard.
    pub(super) storage: bool,
}

impl<'a> Mention<'a> {
    pub(super) fn new(
        lexicon: &'a Lexicon,
        reading: &'a Reading,
        sentence: &'a Sentence,
        clause: &'a Range<usize>,
        place: &Piece,
        inside: bool,
    ) -> Self {
        let next = place.tokens.end;
        let after = reading.tokens.get(next).map_or("", |t| t.norm.as_str());
        let sound = number_sound(lexicon, place, after, next + 1 == clause.end);
        let entry = place.term.map(|term| lexicon.place(term));
        Mention {
            lexicon,
            reading,
            sentence,
            clause,
            place: Piece {
                number: place.number.clone().or(sound.map(str::to_owned)),
                tokens: place.tokens.start..next + usize::from(sound.is_some()),
                ..place.clone()
            },
            kind: entry.map_or(PlaceKind::Room, |entry| entry.kind),
            lead: clause.start..place.tokens.start,
            inside,
            dual: entry.is_some_and(|entry| entry.weak),
            storage: CUPBOARDS.iter().any(|end| place.text.ends_with(end)),
        }
    }

    /// Returns a token's word; nothing where there is none.
    pub(super) fn word(&self, at: usize) -> &'a str {
        let token = self.reading.tokens.get(at);
        token.map_or("", |token| token.norm.as_str())
    }

    /// Returns the word right before it.
    pub(super) fn article(&self) -> &'a str {
        let before = self.place.tokens.start.checked_sub(1);
        before.map_or("", |at| self.word(at))
    }

    /// True for the first clause of its sentence.
    pub(super) fn opens(&self) -> bool {
        self.clause.start == self.sentence.tokens.start
    }

    /// True where something of these kinds is among some tokens.
    pub(super) fn has(&self, kinds: &[PieceKind], tokens: &Range<usize>) -> bool {
        let mut pieces = self.reading.within(tokens);
        pieces.any(|p| kinds.contains(&self.reading.pieces[p].kind))
    }

    /// True where no fault and no measure is told in the clause from a token on.
    pub(super) fn nothing_wrong(&self, from: usize) -> bool {
        let rest = from..self.clause.end;
        !self.has(&[PieceKind::Defect, PieceKind::Measure], &rest)
    }

    /// True for a token in the name of a place.
    pub(super) fn in_place(&self, at: usize) -> bool {
        piece_at(&self.reading.places, at).is_some()
    }

    /// True for a token of what has a kind.
    pub(super) fn is_a(&self, kind: PieceKind, at: usize) -> bool {
        let piece = self.reading.piece_at(at);
        piece.is_some_and(|piece| piece.kind == kind)
    }

    /// ***Room one, that's** the study*, *back outside by the slider, **that's** the back porch*.
    pub(super) fn glossed(&self) -> bool {
        let first = self.word(self.sentence.tokens.start);
        let is = matches!(self.word(self.clause.start + 1), "'s" | "is");
        (first == "room" || GOING.contains(&first) && is)
            && !self.opens()
            && self.word(self.clause.start) == "that"
    }

    /// *Right, **that** bathroom, properly this time*: nothing but the place is named.
    pub(super) fn that_one(&self, at: usize) -> bool {
        let kinds = [PieceKind::Defect, PieceKind::Element, PieceKind::Measure];
        self.word(at) == "that"
            && at + 1 == self.place.tokens.start
            && self.place.tokens.end == self.clause.end
            && !self.has(&kinds, &self.sentence.tokens)
    }

    /// True where a room and a thing in it are said in one breath after a pause: *Kitchen cabinet over the
    /// fridge*, *Primary carpet seam*. Recognisers write no stop between the two; who has been in the
    /// room for a while has no need to name it. A door alone may be seen from either side. From outside, a room
    /// named with a thing says where the thing is: *kitchen extract grille*.
    pub(super) fn runs_on(&self) -> bool {
        let next = self.place.tokens.end;
        let rest = next..self.sentence.tokens.end;
        let room = self.place.term.is_some() && !self.dual && self.kind.indoors();
        let mut rest = rest.filter(|&at| {
            class(self.word(at)) != Class::Open || self.reading.piece_at(at).is_some()
        });
        let thing = rest
            .next()
            .is_some_and(|at| self.is_a(PieceKind::Element, at));
        self.inside
            && self.lead.clone().all(|at| opener(self.word(at)))
            && room
            && self.sentence.breathed()
            && thing
            && !DOORS.contains(&self.word(next))
    }

    /// True where a chosen piece covers the place and more: *garage door*.
    pub(super) fn in_longer_piece(&self) -> bool {
        let Range { start, end } = self.place.tokens;
        let first = self.reading.piece_at(start);
        let last = self.reading.piece_at(end - 1);
        first.is_some_and(|p| {
            p.tokens.len() > end - start
                && p.kind != PieceKind::Place
                && p.kind != PieceKind::Phrase
        }) || last.is_some_and(|p| {
            p.tokens.end > end && matches!(p.kind, PieceKind::Element | PieceKind::Defect)
        })
    }
}
