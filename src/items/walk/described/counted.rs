//! Rooms that go by number or size: *Bedroom two. … **Three, at the back.***, *room four*, *the small one*.

use super::room_called;
use crate::items::walk::Walk;
use crate::lexicon::Kind;
use crate::statements::grammar::{Class, class, opener};
use crate::statements::piece::PieceKind;
use crate::statements::place::PlaceChange;
use crate::statements::sentence::Sentence;

/// The number of a room stands within so many tokens of the start: *right then, up to the next floor,
/// room four*.
const LONGEST_WAY_TO_A_ROOM: usize = 10;

/// Rooms of a kind are counted up to here; homes with more bedrooms are rare.
const NUMBERS: [&str; 8] = [
    "one", "two", "three", "four", "five", "six", "seven", "eight",
];

/// The rooms that go by number in most homes (common practice, no source).
const COUNTED_ROOMS: &str = "bedroom";

/// How the bedrooms of a house are told apart by their size.
#[rustfmt::skip]
const SIZES: &[&str] = &[
    "small", "smaller", "smallest", "little", "wee", "big", "bigger", "biggest", "large", "larger", "largest",
];

/// What goes on behind the number of a room: *four **is** the one with the slopes*, *five **would** do a nursery*.
const OF_A_ROOM: &[&str] = &[
    "is", "'s", "would", "itself", "now", "then", "next", "will", "over", "has",
];

impl Walk<'_> {
    /// *Bedrooms, then. **Number one.** … **Number two.*** *Bedroom three. … **Four, with the slopes.***: the next
    /// of its kind.
    pub(super) fn next_in_number(&self, sentence: &Sentence) -> Option<PlaceChange> {
        let word = |at: usize| match sentence.tokens.contains(&at) {
            true => self.word(at),
            false => "",
        };
        // "In number three there's one too", "across from it, number three, …".
        let lead = |at: usize| {
            opener(self.word(at))
                || matches!(self.word(at), "in" | "into" | "on" | "to" | "now" | "then")
        };
        // "Carry on through, and this is four."
        let this_is =
            |at: usize| matches!(word(at), "this" | "here") && matches!(word(at + 1), "is" | "'s");
        let starts = sentence.clauses.iter().take(2).filter_map(|clause| {
            let at = clause.tokens.clone().find(|&at| !lead(at))?;
            let (at, pointed) = if this_is(at) {
                (at + 2, true)
            } else {
                (at, false)
            };
            (clause.tokens.start == sentence.tokens.start || word(at) == "number" || pointed)
                .then_some(at)
        });
        let mut starts = starts.filter(|&at| word(at) == "number" || NUMBERS.contains(&word(at)));
        let at = starts.next()?;
        let counted = word(at) == "number";
        let at = at + usize::from(counted);
        let number = NUMBERS.iter().position(|n| *n == word(at))?;
        let ends = sentence
            .clauses
            .iter()
            .any(|clause| clause.tokens.end == at + 1);
        let named = |number: usize| format!("{} {}", COUNTED_ROOMS, NUMBERS[number]);
        let visited = |name: String| self.places.identities.contains(&name);
        let here = self.places.terms.get(self.place).copied().flatten();
        let bedroom = counted && word(at + 1) == "bedroom";
        let of_kind = here.filter(|term| counted && !bedroom && self.lexicon.place(*term).numbered);
        let (term, name) = match of_kind {
            Some(term) => (
                term,
                format!("{} {}", self.lexicon.name(term), NUMBERS[number]),
            ),
            None => {
                let room = self
                    .places
                    .visited
                    .get(self.place)
                    .is_some_and(|here| here.kind == "room");
                // "And now two", after bedroom three.
                let said = sentence.tokens.start..at;
                let now = said
                    .clone()
                    .any(|at| matches!(self.word(at), "now" | "then" | "this"));
                let any = (0..NUMBERS.len()).any(|number| visited(named(number)));
                let next = number > 0 && visited(named(number - 1)) && !visited(named(number))
                    || now && any && at + 1 == sentence.tokens.end;
                if !(room && next || bedroom) {
                    return None;
                }
                (
                    self.lexicon.find(Kind::Place, COUNTED_ROOMS)?,
                    named(number),
                )
            }
        };
        let goes_on = OF_A_ROOM.contains(&word(at + 1))
            || counted && matches!(word(at + 1), "there" | "bedroom");
        (ends || goes_on).then(|| PlaceChange {
            term: Some(term),
            tokens: sentence.tokens.start..at + 1,
            name: name.clone(),
            identity: name,
            kind: self.lexicon.place(term).kind.word().to_owned(),
            outright: true,
            going: true,
        })
    }

    /// *Back bedroom. … **Small one.** Gap at the skirting.*: a bedroom told by its size.
    pub(super) fn bedroom_by_size(&self, sentence: &Sentence) -> Option<PlaceChange> {
        let bedroom = self.lexicon.find(Kind::Place, "bedroom")?;
        let here = self.places.terms.get(self.place).copied().flatten()?;
        let of_kind = self.lexicon.place(here).sort == self.lexicon.place(bedroom).sort;
        let said = self.plain_words(&sentence.tokens);
        let size = match said[..] {
            [size, "one"] | [size, "one", "at", "front" | "back" | "rear"] => size,
            _ => return None,
        };
        let name = format!("{size} bedroom");
        (of_kind && SIZES.contains(&size))
            .then(|| room_called(name, Some(bedroom), sentence.tokens.clone()))
    }

    /// *Room four, the kitchen*, and later *back in room four*: returns the number, and where it ends.
    pub(in crate::items::walk) fn numbered_room(
        &self,
        sentence: &Sentence,
    ) -> Option<(String, usize)> {
        let at = sentence
            .tokens
            .clone()
            .take(LONGEST_WAY_TO_A_ROOM)
            .find(|&at| {
                let other = self.reading.piece_at(at);
                self.word(at) == "room" && other.is_none_or(|p| p.kind != PieceKind::Place)
            })?;
        let number = self.reading.tokens.get(at + 1)?.norm.as_str();
        let counts = class(number) == Class::Number || number == "one";
        (counts && sentence.tokens.contains(&(at + 1))).then(|| (number.to_owned(), at + 2))
    }
}
