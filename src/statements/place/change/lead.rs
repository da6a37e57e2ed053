//! What leads up to a place that a clause names: *then **through to the** lounge*, *quick look in the loft*.

use super::mention::{Mention, SITS};
use crate::lexicon::PlaceKind;
use crate::statements::grammar::{Class, class, opener};
use crate::statements::piece::PieceKind;
use crate::statements::place::arrival::{arrives, thinks_back};
use crate::statements::place::way::{GOING, RECALLED, TO_A_PLACE, leads_there};
use crate::statements::place::{as_in, goes_along, points_to};

/// The longest lead-in, in tokens, before a place that is gone to.
const LONGEST_LEAD: usize = 9;

/// Words for a short visit: *quick look in the loft*.
const GLANCES: &[&str] = &[
    "quick", "look", "peek", "glance", "peep", "gander", "brief", "proper",
];

/// Words behind *left* where one turns there.
const TURNS: &[&str] = &["into", "through", "onto", "to"];

/// Words for the size of a room that are part of no name.
pub(in crate::statements::place) const SIZES: &[&str] = &[
    "little", "wee", "small", "tiny", "guest", "smallest", "biggest", "larger", "smaller",
];

/// Words for what a room is like that are part of no name behind an article.
#[rustfmt::skip]
pub(in crate::statements::place) const PRAISED: &[&str] = &[
    "big", "large", "huge", "long", "lovely", "nice", "fancy", "posh", "grand", "famous", "great", "own",
];

/// How the words before a place lead there.
pub(super) struct Lead {
    /// A thing is said in one breath with the room.
    pub(super) run_on: bool,
    /// *One I walked past in the kitchen*: back there in thought.
    pub(super) recalled: bool,
    /// *Door on the right is the study.*
    pub(super) introduced: bool,
    /// One comes there, or thinks back to what is there.
    pub(super) come: bool,
    /// *Room one, that's the study.*
    pub(super) glossed: bool,
    /// Nothing but small words and such as describe it stands before it.
    pub(super) bare: bool,
    /// *The side path here*, *we'll do the kitchen next*.
    pub(super) then: bool,
    /// *There's a loo up here too.*
    pub(super) there: bool,
    /// Words of going lead there.
    pub(super) going: bool,
    /// So do words that lead to a place without going.
    pub(super) gone: bool,
}

impl Mention<'_> {
    /// Returns how the words before the place lead there; `None` where they do not, where it is part of
    /// something longer, or the whole home.
    pub(super) fn led(&self) -> Option<Lead> {
        let run_on = self.runs_on();
        let recalled = self.recalled();
        let introduced = self.kind.indoors() && points_to(self.reading, self.clause, &self.place);
        let way = leads_there(self.reading, self.clause, &self.place);
        let come = self.comes();
        let led = self.lightly() || recalled || introduced || way || come;
        let start = self.place.tokens.start;
        // "In by the other door to the kitchen": the door is passed.
        let longer = self.in_longer_piece() && !run_on && !way;
        let whole = self.kind == PlaceKind::Whole && !self.is_a_flat();
        if !led
            || goes_along(self.reading, self.sentence, &self.place)
            || as_in(&self.reading.tokens, start)
            || whole
            || longer
        {
            return None;
        }
        let glossed = self.glossed();
        let bare = self.lead.clone().all(|at| self.describes(at));
        let then = self.then(bare);
        let there = self.is_there();
        let mut lead = self.lead.clone();
        let going = self.name_goes()
            || then
            || there
            || glossed
            || self.arrived()
            || come
            || way
            || lead.any(|at| GOING.contains(&self.word(at)));
        let mut lead = self.lead.clone();
        let leads = |at| self.cue(at) || TO_A_PLACE.contains(&self.word(at));
        Some(Lead {
            run_on,
            recalled,
            introduced,
            come,
            glossed,
            bare,
            then,
            there,
            going,
            gone: going || lead.any(leads),
        })
    }

    /// *Third floor corridor. … **Flat twelve.***: one of several homes, by its number alone.
    fn is_a_flat(&self) -> bool {
        let name = self.place.term.map(|term| self.lexicon.name(term));
        let home = matches!(name, Some("flat" | "apartment"));
        home && self.place.number.is_some()
            && self.place.tokens == self.sentence.tokens
            && self.sentence.tokens.start > 0
    }

    /// True for a token of words that change the place.
    fn cue(&self, at: usize) -> bool {
        let piece = self.reading.piece_at(at);
        piece.is_some_and(|p| p.kind == PieceKind::Phrase && p.text == "place-change")
    }

    /// True where nothing before it says anything else.
    fn lightly(&self) -> bool {
        let light = |at| !self.blocks(at) && (self.leads(at) || !self.says_more(at));
        self.lead.len() <= LONGEST_LEAD && self.lead.clone().all(light)
    }

    /// True for a word that leads to a place.
    fn leads(&self, at: usize) -> bool {
        let word = self.word(at);
        self.cue(at) || self.in_place(at) || GOING.contains(&word) || opener(word)
    }

    /// True for a token of a fault, a remedy, a measure or a thing: it is not about where one is.
    fn blocks(&self, at: usize) -> bool {
        let word = self.word(at);
        let going = GOING.contains(&word);
        let Some(piece) = self.reading.piece_at(at) else {
            return false;
        };
        match piece.kind {
            PieceKind::Defect | PieceKind::Remedy | PieceKind::Measure => !going,
            PieceKind::Phrase => piece.text == "same-again" && !going,
            PieceKind::Element => {
                let goes = at == self.clause.start || class(self.word(at - 1)) == Class::Position;
                let passed = matches!(word, "ladder" | "ladders") || going && goes;
                !self.in_place(at) && !passed
            }
            _ => false,
        }
    }

    /// True for a word that says more than which room it is.
    fn says_more(&self, at: usize) -> bool {
        let (word, next) = (self.word(at), self.word(at + 1));
        // "So it's garden first".
        let first_of_all = matches!(self.word(self.place.tokens.end), "first" | "next");
        // "Now the big kitchen at the back".
        let behind = at > self.lead.start && class(self.word(at - 1)) == Class::Determiner
            || at == self.lead.start
                && (!self.opens() || self.place.tokens.end + 1 >= self.clause.end);
        let praised = PRAISED.contains(&word) && behind;
        let described = praised || SIZES.contains(&word) || GLANCES.contains(&word);
        let full = matches!(class(word), Class::Open | Class::Negation | Class::Number);
        !described && full && !(word == "stood" && next == "back")
            || word == "that" && !self.glossed() && !first_of_all && !self.that_one(at)
            || word == "it" && !first_of_all
            || word == "as" && matches!(next, "you" | "we" | "i")
            || matches!(word, "they" | "said" | "mentioned" | "same" | "ditto" | "had")
            // "Left into bedroom one", but not "left in the lounge".
            || word == "left" && !TURNS.contains(&next)
    }

    /// *One I walked past in the kitchen*: back there in thought.
    fn recalled(&self) -> bool {
        let start = self.place.tokens.start;
        let in_it = |back: usize| {
            let before = start.checked_sub(back).map_or("", |at| self.word(at));
            matches!(before, "in" | "at" | "on")
        };
        let mut lead = self.lead.clone();
        self.place.tokens.end >= self.clause.end
            && (in_it(1) || in_it(2) && self.article() == "the")
            && lead.any(|at| RECALLED.contains(&self.word(at)))
    }

    /// True where one comes to it, or thinks back to what is there.
    fn comes(&self) -> bool {
        let (reading, sentence, place) = (self.reading, self.sentence, &self.place);
        // "Landing, there's an airing cupboard": a thing in the room.
        let has_one = matches!(self.article(), "a" | "an") && (self.dual || self.storage);
        // "Kitchen, that's the recess on the far side".
        let somebody = |at| matches!(self.word(at), "me" | "us" | "i" | "we");
        let aside =
            self.inside && self.kind == PlaceKind::Elevation && !self.lead.clone().any(somebody);
        arrives(reading, sentence, self.clause, place) && !has_one && !aside
            || thinks_back(reading, sentence, self.clause, place)
    }

    /// True for a word before it that is part of no name and says nothing of its own.
    fn describes(&self, at: usize) -> bool {
        let word = self.word(at);
        opener(word)
            || class(word) == Class::Determiner
            || SIZES.contains(&word)
            || PRAISED.contains(&word)
            || self.that_one(at)
            // "Mezzanine study."
            || self.in_place(at) && class(word) == Class::Open
    }

    /// ***Back up**stairs*, but not *back of the house*, which is a name.
    fn name_goes(&self) -> bool {
        let start = self.place.tokens.start;
        self.place.tokens.len() > 1
            && GOING.contains(&self.word(start))
            && self.word(start + 1) != "of"
    }

    /// *Front first*, *the side path here*, *we'll do the kitchen next*, *under the deck now*.
    fn then(&self, bare: bool) -> bool {
        let mut lead = self.lead.clone();
        let done = lead.any(|at| matches!(self.word(at), "do" | "doing"));
        let to = matches!(
            self.leading()[..],
            ["on" | "in" | "under" | "onto" | "at", "the"]
        );
        let after = self.word(self.place.tokens.end);
        (bare || done || to) && matches!(after, "first" | "next" | "now" | "then" | "here")
    }

    /// Returns the words before it without those that merely open a remark.
    pub(super) fn leading(&self) -> Vec<&str> {
        let words = self.lead.clone().map(|at| self.word(at));
        words.filter(|word| !opener(word)).collect()
    }

    /// *Down the stairs, and **we're in** the kitchen*.
    fn arrived(&self) -> bool {
        let we_are_in = |at: usize| {
            let is = matches!(self.word(at + 1), "are" | "'re");
            self.word(at) == "we" && is && self.word(at + 2) == "in"
        };
        self.place.tokens.end >= self.clause.end && self.lead.clone().any(we_are_in)
    }

    /// *There's a loo up here too*, *there's a small WC tucked in behind*.
    fn is_there(&self) -> bool {
        let mut start = self.place.tokens.start;
        let described = |word: &str| SIZES.contains(&word) || PRAISED.contains(&word);
        while start > self.clause.start && described(self.word(start - 1)) {
            start -= 1;
        }
        let back = |count| start.checked_sub(count).map_or("", |at| self.word(at));
        let next = self.place.tokens.end;
        let (after, second) = (self.word(next), self.word(next + 1));
        // "There's a summerhouse at the end."
        let placed = class(after) == Class::Preposition
            && self.clause.end == self.sentence.tokens.end
            && self.place.term.is_some()
            && !self.dual
            && self.nothing_wrong(next);
        let here = matches!(
            after,
            "in" | "up" | "off" | "out" | "down" | "through" | "along"
        ) && matches!(second, "here" | "there");
        back(3) == "there"
            && matches!(back(2), "is" | "'s")
            && (self.kind.indoors() || self.kind == PlaceKind::Outside)
            && !self.storage
            && (SITS.contains(&after) || placed || here)
    }
}
