//! A side of one of several houses that go by number: *back of thirty-one*, *gable of number nine*.

use super::super::number_at;
use crate::lexicon::{How, Kind, Lexicon, Token};
use crate::statements::piece::{Piece, PieceKind, weight};
use crate::statements::sentence::Sentence;

/// What a side is called of a house that is told by its number, and its name in the lexicon.
const SIDES: [(&str, &str); 7] = [
    ("back", "rear elevation"),
    ("rear", "rear elevation"),
    ("front", "front elevation"),
    ("gable", "gable"),
    ("side", "side elevation"),
    ("roof", "roof"),
    ("garden", "rear garden"),
];

/// Returns the side of a house that a sentence opens with.
pub(in super::super) fn of_a_house(
    lexicon: &Lexicon,
    tokens: &[Token],
    sentence: &Sentence,
) -> Option<Piece> {
    let start = sentence.tokens.start;
    let word = |at: usize| tokens.get(at).map_or("", |t| t.norm.as_str());
    let (_, name) = SIDES.iter().find(|(said, _)| word(start) == *said)?;
    let named = matches!(word(start + 2), "number" | "plot" | "unit");
    let number =
        (word(start + 1) == "of").then(|| number_at(tokens, start + 2 + usize::from(named)))??;
    let end = number.tokens.end;
    let whole = sentence.clauses.first()?.tokens.end == end;
    let term = lexicon.find(Kind::Place, name)?;
    whole.then(|| Piece {
        term: Some(term),
        score: weight(PieceKind::Place, end - start, false, How::Exact),
        ..Piece::own_words(PieceKind::Place, start..end, (*name).to_owned())
    })
}
