//! What a place is called: in lists, in the lexicon, and with its number.

use super::super::grammar::{Class, class};
use super::super::piece::Piece;
use crate::lexicon::{Lexicon, PlaceKind};

/// Words that recognisers write for a number after a numbered place: *bedroom to*, *bedroom tube*.
const NUMBER_SOUNDS: &[(&str, &str)] = &[
    ("to", "two"),
    ("too", "two"),
    ("tube", "two"),
    ("tu", "two"),
    ("tour", "two"),
    ("true", "two"),
    ("won", "one"),
    ("for", "four"),
    ("fore", "four"),
    ("tree", "three"),
    ("free", "three"),
];

/// Returns the number that the word at `at` sounds like, where it ends its clause.
pub(super) fn number_sound(
    lexicon: &Lexicon,
    place: &Piece,
    word: &str,
    ends: bool,
) -> Option<&'static str> {
    let numbered = place.number.is_none() && place.term.is_some_and(|t| lexicon.place(t).numbered);
    NUMBER_SOUNDS
        .iter()
        .find(|(heard, _)| numbered && ends && *heard == word)
        .map(|(_, number)| *number)
}

/// Returns the lexicon's name with the number: the same for every wording of a place; a name of the
/// speaker's own as it is.
pub fn identity(lexicon: &Lexicon, piece: &Piece) -> String {
    let listed = piece.term.filter(|_| !piece.guessed);
    let name = listed.map_or(piece.text.as_str(), |t| lexicon.name(t));
    format!("{name} {}", piece.number.as_deref().unwrap_or_default())
        .trim_end()
        .to_owned()
}

/// Words for a part of a place, which name none without the whole: *second flight*.
const PARTS: &[&str] = &["flight", "slope", "pitch"];

/// Wordings by which no list calls a place: *up the wooden hill*, *through the hatch*.
const NICKNAMES: &[&str] = &[
    "wooden hill",
    "hatch",
    "loft hatch",
    "big room",
    "sofa end",
    "telly end",
    "cooking end",
];

/// Returns the place as lists show it: in the speaker's own words (*foyer*, *main bedroom two*), but
/// elevations, roofs, parts, and wordings that are no names (*up again*), by the lexicon's name.
pub fn place_name(lexicon: &Lexicon, piece: &Piece) -> String {
    let Some(term) = piece.term.filter(|_| !piece.guessed) else {
        return piece.text.clone();
    };
    let said: Vec<&str> = piece
        .text
        .split(' ')
        .skip_while(|w| matches!(class(w), Class::Preposition | Class::Determiner))
        .collect();
    // "Where the bins go", "room with the boiler".
    let described = piece.text.starts_with("where ") || piece.text.contains(" with ");
    // "Bed two": a bedroom.
    let shortened = lexicon.place(term).numbered_also.contains(&said.join(" "));
    // "Under the stairs": what the stairs are to it.
    let lies_by = piece.text.starts_with("under ");
    let names = !said.is_empty()
        && !lies_by
        && !shortened
        && !described
        && !NICKNAMES.contains(&said.join(" ").as_str())
        && said.iter().enumerate().all(|(at, w)| {
            // "The bedroom over the garage".
            let over = at > 0 && matches!(*w, "over" | "the") && said.contains(&"over");
            *w == "back"
                || over
                || matches!(class(w), Class::Open | Class::Position | Class::Number)
        })
        && !said[0].ends_with("ing")
        && !said.last().is_some_and(|last| PARTS.contains(last))
        && !matches!(
            lexicon.place(term).kind,
            PlaceKind::Elevation | PlaceKind::Roof
        );
    // "Around on the north side".
    let side = said.len() == 2
        && said[1] == "side"
        && matches!(said[0], "north" | "south" | "east" | "west");
    let name = if names || side {
        said.join(" ")
    } else {
        lexicon.name(term).to_owned()
    };
    match &piece.number {
        Some(number) => format!("{name} {number}"),
        None => name,
    }
}
