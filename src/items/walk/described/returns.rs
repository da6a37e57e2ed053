//! Places that one comes back to without naming them: *Back out.*, *That's the pantry done.*, *back round to the front
//! and in*.

use crate::items::walk::Walk;
use crate::statements::piece::PieceKind;
use crate::statements::place::{self, PlaceChange};
use crate::statements::sentence::Sentence;
use std::ops::Range;

/// Sorts of places within or below others, and words in the names of such rooms.
const WITHIN: &[&str] = &["cupboard", "below"];
#[rustfmt::skip]
const WITHIN_ROOMS: &[&str] = &["en-suite", "ensuite", "wardrobe", "dressing", "pantry", "larder", "closet", "robe"];

/// Sorts of places from which rooms open.
const BETWEEN_ROOMS: &[&str] = &["hall", "landing", "common"];

impl Walk<'_> {
    /// *Crawl space. … **Back out.***: where it opens off; from a room that is the landing or the hall.
    pub(super) fn back_out(&self, sentence: &Sentence) -> Option<PlaceChange> {
        let words = self.plain_words(&sentence.tokens);
        let back = matches!(
            words[..],
            ["back", "out"]
                | ["back", "out", "again"]
                | ["out", "again"]
                | ["out" | "outside", "of", "there" | "here"]
                | ["back", "out", "of", "there" | "here"]
        );
        let within = self.is_within();
        let opens_off = |at: usize| within || BETWEEN_ROOMS.contains(&self.sort_of(at));
        let before = self.before_here(opens_off).filter(|_| back)?;
        Some(self.there_again(before, sentence.tokens.clone()))
    }

    /// *Kitchen. … Pantry. Shelf's loose. **That's the pantry done.** Hood rattles.*: back where it opens off.
    pub(super) fn done_within(&self, sentence: &Sentence) -> Option<PlaceChange> {
        let said = sentence.tokens.clone();
        let room = self.reading.places_within(&said).last()?;
        let lead = self.plain_words(&(said.start..room.tokens.start));
        let rest = self.plain_words(&(room.tokens.end..said.end));
        let done = matches!(lead[..], ["that", "is" | "'s"])
            && matches!(rest[..], [] | ["done" | "finished"] | ["all", "done"]);
        let here = self.places.identities.get(self.place)?;
        let told = self.drafts.last().map(|draft| draft.place);
        let leaves = done
            && *here == place::identity(self.lexicon, room)
            && told == Some(self.place)
            && self.is_within();
        let before = self.before_here(|_| true).filter(|_| leaves)?;
        Some(self.there_again(before, said))
    }

    /// *Rear garden. … **Back round to the front and in.***: behind the front door is the hall.
    pub(super) fn round_and_in(&self, index: usize, sentence: &Sentence) -> Option<PlaceChange> {
        let said = sentence.tokens.clone();
        let text = self.text(&said);
        let ends = [
            "and in",
            "then in",
            "and inside",
            "and in we go",
            "then in we go",
        ];
        let comes = text.contains("front") && ends.iter().any(|end| text.ends_with(end));
        let silent = self.kinds_in(&said, PieceKind::Defect).is_empty();
        let outside = !self.places.inside(self.place);
        (comes && silent && outside && !self.names_place(index + 1)).then(|| self.hall(said))?
    }

    fn sort_of(&self, place: usize) -> &str {
        let term = self.places.terms.get(place).copied().flatten();
        term.map_or("", |term| self.lexicon.place(term).sort.as_str())
    }

    /// True in a room that opens off another room.
    fn is_within(&self) -> bool {
        let named = |place: &str| WITHIN_ROOMS.iter().any(|part| place.contains(part));
        let here = self.places.visited.get(self.place);
        WITHIN.contains(&self.sort_of(self.place)) || here.is_some_and(|here| named(&here.name))
    }

    /// Returns the place where one was last before this one, of those asked for.
    fn before_here(&self, wanted: impl Fn(usize) -> bool) -> Option<usize> {
        let mut stays = self.stays.iter().rev().map(|(place, _)| *place);
        stays.find(|&place| {
            place != self.place && self.places.visited.get(place).is_some() && wanted(place)
        })
    }

    /// Returns the change back to a place that was visited.
    pub(super) fn there_again(&self, place: usize, tokens: Range<usize>) -> PlaceChange {
        let there = &self.places.visited[place];
        PlaceChange {
            name: there.name.clone(),
            identity: self.places.identities[place].clone(),
            kind: there.kind.clone(),
            term: self.places.terms[place],
            tokens,
            outright: true,
            going: true,
        }
    }
}
