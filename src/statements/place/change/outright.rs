//! Whether the words say that one is at a place now, or are about it.

use super::Named;
use super::lead::SIZES;
use super::mention::SITS;
use crate::lexicon::PlaceKind;
use crate::statements::grammar::{Class, class};
use crate::statements::piece::PieceKind;
use crate::statements::place::way::{GOING, POINTED};

/// How a room lies, as the subject of its sentence: *the sitting room **lies** over the garage*.
const LIES: &[&str] = &[
    "lies",
    "sits",
    "overlooks",
    "faces",
    "spans",
    "occupies",
    "stretches",
];

impl Named<'_> {
    /// True where the words say that one is there now.
    pub(super) fn outright(&self, situated: bool) -> bool {
        let (m, lead) = (self.mention, self.lead);
        let named = m.kind == PlaceKind::Outside && m.place.tokens.len() > 1 || self.is_sized();
        let seen = self.is_elevation_from_inside() && !named && !m.sentence.paused();
        let located = self.is_located();
        self.is_told(named, located) && (!seen || self.is_alone())
            || self.is_numbered()
            || lead.run_on
            || lead.recalled
            || lead.introduced
            || lead.come
            || lead.glossed && self.ends()
            || located
            || situated
            || self.is_pointed_out()
            || self.is_overhead()
            || lead.there
    }

    /// True where the form of the clause tells it; `named` where its name is one of a place only.
    fn is_told(&self, named: bool, located: bool) -> bool {
        let (m, lead, after) = (self.mention, self.lead, self.after());
        let thing = self.may_be_thing();
        match (self.ends(), lead.bare) {
            // "Decking, there's a board up", "party wall, gap at the top" name a thing; "Driveway." names a
            // place.
            (true, true) => {
                let paused = m.sentence.paused() && !self.has_the_fault();
                self.is_alone() || !thing || named || paused
            }
            (true, false) => lead.gone,
            // "The bin cupboard next to it".
            (false, true) if after == "next" && m.word(self.next + 1) == "to" => false,
            // "Drive first.".
            (false, true) if GOING.contains(&after) => {
                !thing || lead.then && self.next + 1 == m.sentence.tokens.end
            }
            (false, true) => {
                // "Little loo by the stairs."
                let sized = self.is_sized()
                    && m.clause.end == m.sentence.tokens.end
                    && m.nothing_wrong(self.next);
                let light = matches!(
                    class(after),
                    Class::Preposition
                        | Class::Conjunction
                        | Class::Filler
                        | Class::Adverb
                        | Class::Position
                );
                (!thing || sized) && light && after != "of"
            }
            (false, false) => after != "of" && (lead.gone && !thing || lead.going || located),
        }
    }

    /// *The **little** loo, in we squeeze*: a room told by its size.
    fn is_sized(&self) -> bool {
        let m = self.mention;
        m.lead.clone().any(|at| SIZES.contains(&m.word(at)))
    }

    /// ***On the drive** a couple of the blocks have sunk.*
    fn is_located(&self) -> bool {
        let (m, after) = (self.mention, self.after());
        let plain = matches!(class(after), Class::Determiner | Class::Number);
        m.opens()
            && (plain || matches!(after, "there" | "i" | "we" | "you"))
            && matches!(m.leading()[..], ["on" | "in", "the"] | ["on" | "in"])
    }

    /// *Roof terrace is next door*, *plant cupboard next to it*.
    fn is_next_door(&self) -> bool {
        let (m, next) = (self.mention, self.next);
        let door = m.word(next + 1) == "door" && next + 2 == m.clause.end;
        let to_it = m.word(next + 1) == "to" && next + 3 == m.sentence.tokens.end && m.opens();
        self.lead.bare && self.after() == "next" && (door || to_it)
    }

    /// True where the sentence says where the room is, and no more of it than *the shelf **in there** is not
    /// level*.
    fn tells_only_where(&self) -> bool {
        let m = self.mention;
        let in_there =
            |at| matches!(m.word(at), "in" | "inside") && matches!(m.word(at + 1), "there" | "it");
        m.clause.end == m.sentence.tokens.end
            || self.is_next_door()
            || (m.clause.end..m.sentence.tokens.end).any(in_there)
    }

    /// *Bathroom's at the end of the passage*, *living room's the next opening over*.
    pub(super) fn is_situated(&self) -> bool {
        let (m, after) = (self.mention, self.after());
        let (first, second) = (m.word(self.next + 1), m.word(self.next + 2));
        let one = matches!(
            second,
            "next" | "last" | "first" | "one" | "other" | "me" | "you" | "that" | ""
        );
        self.lead.bare
            && self.tells_only_where()
            && m.kind.indoors()
            && !m.storage
            && !m.dual
            && matches!(after, "'s" | "is")
            && (class(first) == Class::Preposition
                || SITS.contains(&first)
                || matches!(first, "the" | "facing" | "opposite" | "beyond") && one)
            && m.nothing_wrong(self.next)
    }

    /// *Roof terrace is out this way*, *utility room leads off it*, *balcony out there*, *plant cupboard next to
    /// it*.
    fn is_pointed_out(&self) -> bool {
        let (m, next, after) = (self.mention, self.next, self.after());
        let mut rest = next + 1..m.clause.end;
        let pointed = |at| POINTED.contains(&m.word(at));
        let off = |at| pointed(at) || matches!(m.word(at), "under" | "stairs" | "from");
        let off_it = self.lead.bare
            && !self.ends()
            && self.tells_only_where()
            && (SITS.contains(&after) || matches!(after, "off" | "out" | "through"))
            && rest.clone().all(off);
        let is = self.lead.bare && matches!(after, "is" | "'s") && !rest.is_empty();
        self.is_next_door() || off_it || is && rest.all(pointed)
    }

    /// True where the sentence is about the place: ***Landing**'s good*, ***driveway**'s tarmac*.
    pub(super) fn is_subject(&self) -> bool {
        let (m, next, after) = (self.mention, self.next, self.after());
        let also_thing = m.is_a(PieceKind::Element, m.place.tokens.start);
        let stuff = m.reading.piece_at(next + 1);
        let made_of = m.kind == PlaceKind::Outside
            && matches!(after, "'s" | "is")
            && (next + 2 == m.sentence.tokens.end
                || next + 3 == m.clause.end && m.clause.end < m.sentence.tokens.end)
            && class(m.word(next + 1)) == Class::Open
            && stuff.is_none_or(|p| p.kind == PieceKind::Element);
        let told = class(after) == Class::Verb || LIES.contains(&after);
        let room = !also_thing && m.kind.indoors() && told;
        !self.ends() && self.lead.bare && !m.storage && (made_of || room)
    }
}
