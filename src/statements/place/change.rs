//! Whether a clause that names a place goes there: *Hallway.*, *through to the lounge now*, *the bathroom's at
//! the end*.

mod lead;
mod mention;
mod outright;

use super::way::{GOING, WHICH_WAY};
use super::{PlaceChange, landmark, to, which_of_several};
use crate::lexicon::{How, Lexicon, PlaceKind};
use crate::statements::grammar::{Class, class};
use crate::statements::piece::{Piece, PieceKind};
use crate::statements::reading::Reading;
use crate::statements::sentence::Sentence;
use lead::Lead;
pub(super) use lead::{PRAISED, SIZES};
use mention::{Mention, SITS};
use std::ops::Range;

/// The most tokens between a room and what it lies by: *the utility **next to the** kitchen*.
const LONGEST_MARK: usize = 3;

/// Returns the change to a place that a clause names, if one goes there.
pub(super) fn change(
    lexicon: &Lexicon,
    reading: &Reading,
    sentence: &Sentence,
    clause: &Range<usize>,
    place: &Piece,
    inside: bool,
) -> Option<PlaceChange> {
    let mention = Mention::new(lexicon, reading, sentence, clause, place, inside);
    let lead = mention.led()?;
    let named = Named {
        next: mention.end(),
        lead: &lead,
        mention: &mention,
    };
    if named.is_part_of_a_thing() || named.is_a_thing() {
        return None;
    }
    let situated = named.is_situated();
    let outright = named.outright(situated);
    (outright || named.is_subject()).then(|| PlaceChange {
        outright,
        going: lead.going || situated,
        ..to(lexicon, &mention.place, clause.start)
    })
}

impl Mention<'_> {
    /// Returns the token behind the place and what belongs to it: *roof terrace **itself***, *entrance steps **to
    /// begin with***, *the utility room **next to the kitchen***.
    fn end(&self) -> usize {
        let next = self.place.tokens.end;
        let next = match (self.word(next), self.word(next + 1), self.word(next + 2)) {
            ("itself", _, _) => next + 1,
            ("of", "the", "place" | "house" | "building" | "property") => next + 3,
            // "Shower room after that", "utility beyond it", "toilet up here".
            ("after" | "beyond" | "behind", "that" | "this" | "it", _)
            | ("up" | "down" | "out" | "in", "here", _) => next + 2,
            // "Outside again": back there.
            ("again", _, _) if next + 1 == self.clause.end => next + 1,
            ("to", "begin" | "start" | "finish", "with" | "off" | "indoors" | "outdoors") => {
                next + 3
            }
            ("to", "begin" | "start" | "finish", _) => next + 2,
            _ => next,
        };
        let told_by = self
            .reading
            .places_within(&(next..self.clause.end))
            .first()
            .filter(|by| {
                by.tokens.start - next <= LONGEST_MARK
                    && landmark(&self.reading.tokens, by)
                    && self.nothing_wrong(next)
            });
        told_by.map_or(next, |by| by.tokens.end)
    }
}

/// A place to which words lead, with what follows it.
struct Named<'a> {
    mention: &'a Mention<'a>,
    lead: &'a Lead,
    /// The token behind it.
    next: usize,
}

impl Named<'_> {
    /// True where the clause ends with it.
    fn ends(&self) -> bool {
        self.next >= self.mention.clause.end
    }

    fn after(&self) -> &str {
        self.mention.word(self.next)
    }

    /// *Bedroom one door handle's on upside down* after a walk: the number names the room.
    fn is_numbered(&self) -> bool {
        let m = self.mention;
        m.sentence.paused() && m.place.number.is_some() && self.lead.bare && m.opens()
    }

    /// *Looking up at the roof ridge tiles*: whatever is seen there, the roof is where one looks.
    fn is_overhead(&self) -> bool {
        let m = self.mention;
        let up = |at| matches!(m.word(at), "looking" | "stood" | "up");
        m.kind == PlaceKind::Roof && self.lead.going && m.lead.clone().any(up)
    }

    /// ***Garage** door*, *the **kitchen** one*.
    fn is_part_of_a_thing(&self) -> bool {
        let after = self.after();
        let next_kind = self.mention.reading.piece_at(self.next).map(|p| p.kind);
        let modifies = !self.ends()
            && (matches!(after, "one" | "ones")
                || next_kind == Some(PieceKind::Element)
                || class(after) == Class::Open
                    && !after.ends_with("ly")
                    && matches!(next_kind, None | Some(PieceKind::Defect))
                    && !GOING.contains(&after))
            && !SITS.contains(&after);
        modifies
            && !self.is_numbered()
            && !self.lead.run_on
            && !self.is_overhead()
            && !self.lead.come
    }

    /// True for what is a thing where one is, or a side of one, though it is called as a place is.
    fn is_a_thing(&self) -> bool {
        let (m, lead) = (self.mention, self.lead);
        let entry = m.place.term.map(|term| m.lexicon.place(term));
        let short = entry.is_some_and(|entry| entry.alone_also.contains(&m.place.text));
        if short && !(lead.going || (lead.bare || lead.gone) && self.ends() && m.opens()) {
            return true;
        }
        if self.is_cupboard_at_fault() && m.opens() {
            return true;
        }
        // "The cupboard over the hob won't shut."
        let has_article = class(m.article()) == Class::Determiner;
        let said = lead.bare && !lead.going && !self.ends();
        if m.storage && has_article && said && !m.nothing_wrong(self.next) {
            return true;
        }
        // "Sitting room. Lovely bay.": a part of the room.
        let bay = m.place.term.is_some_and(|t| m.lexicon.name(t) == "bay");
        if m.inside && !lead.going && bay {
            return true;
        }
        // "No, right hand side": within a room, a side without a word of going is a side of something in it.
        let side =
            || which_of_several(&m.reading.tokens, &m.place) || m.place.text.ends_with("side");
        self.is_elevation_from_inside() && m.kind == PlaceKind::Elevation && side()
    }

    fn is_elevation_from_inside(&self) -> bool {
        let m = self.mention;
        let outdoors = matches!(m.kind, PlaceKind::Elevation | PlaceKind::Outside);
        m.inside && outdoors && !self.lead.going
    }

    /// True where the rest of the sentence tells a fault and no thing that has it.
    fn has_the_fault(&self) -> bool {
        let m = self.mention;
        let rest = m.clause.end..m.sentence.tokens.end;
        self.fault_follows() && !m.has(&[PieceKind::Element], &rest)
    }

    /// True where the rest of the sentence tells a fault.
    fn fault_follows(&self) -> bool {
        let m = self.mention;
        let rest = m.clause.end..m.sentence.tokens.end;
        let mut pieces = m.reading.within(&rest).map(|p| &m.reading.pieces[p]);
        pieces.any(|p| p.kind == PieceKind::Defect && !p.negated || same_again(p))
    }

    /// True where the same again follows at once.
    fn is_as_before(&self) -> bool {
        let piece = self.mention.reading.piece_at(self.next);
        piece.is_some_and(same_again)
    }

    /// True where the sentence says nothing else: *Roof terrace, top of the house*.
    fn is_alone(&self) -> bool {
        let m = self.mention;
        let said = |p: usize| {
            let kind = m.reading.pieces[p].kind;
            !matches!(
                kind,
                PieceKind::Place | PieceKind::Phrase | PieceKind::Count
            )
        };
        let rest = m.clause.end..m.sentence.tokens.end;
        let ends = self.ends();
        let nothing_else =
            || ends && self.lead.bare && m.opens() && !m.reading.within(&rest).any(said);
        let alone = ends && rest.is_empty() || self.next >= m.sentence.tokens.end || nothing_else();
        alone && !self.is_as_before()
    }

    /// *Coat cupboard, the ball catch doesn't line up*, *airing cupboard, likewise*: a thing in the room, unless
    /// one goes there.
    fn is_cupboard_at_fault(&self) -> bool {
        let m = self.mention;
        m.storage
            && (self.ends() || self.is_as_before())
            && self.lead.bare
            && self.fault_follows()
            && !self.is_alone()
            && !self.lead.going
            && !m.sentence.paused()
    }

    /// *Potty wall, gap at the top*: what may be a thing; misheard, too, it is one as likely as a place.
    fn may_be_thing(&self) -> bool {
        let m = self.mention;
        let by_sound = !matches!(m.place.how, How::Exact);
        m.dual && (by_sound || m.is_a(PieceKind::Element, m.place.tokens.start))
    }
}

/// *Likewise*, *the same here*.
fn same_again(piece: &Piece) -> bool {
    piece.kind == PieceKind::Phrase && piece.text == "same-again"
}

/// ***Door on the right is** the study*, ***through the double doors and it's** the dining room*.
pub(super) fn points_to(reading: &Reading, clause: &Range<usize>, place: &Piece) -> bool {
    let word = |at: usize| reading.tokens[at].norm.as_str();
    let start = place.tokens.start;
    let the = start > 0 && class(word(start - 1)) == Class::Determiner;
    let verb = start.checked_sub(2).filter(|verb| *verb >= clause.start);
    place.tokens.end >= clause.end
        && the
        && verb.is_some_and(|verb| matches!(word(verb), "is" | "'s"))
        && (clause.start..start).any(|at| WHICH_WAY.contains(&word(at)))
}
