//! An en-suite told with its bedroom: *bedroom two en-suite*, *the en-suite off the back bedroom*.

use crate::lexicon::{How, Kind, Lexicon, Token};
use crate::statements::grammar::{Class, class};
use crate::statements::piece::{Piece, PieceKind, weight};

/// The lexicon's name for a washroom of one bedroom's own.
const ENSUITE: &str = "en-suite";

/// The sort of the rooms that have one.
const SLEEPING: &str = "bedroom";

/// Words between an en-suite and its bedroom: *the en-suite **off** bedroom two*.
const BELONGS_TO: &[&str] = &["to", "off", "of", "for", "in", "serving", "with", "from"];

/// Returns the places that two of the candidates name together.
pub(in super::super) fn attached(
    lexicon: &Lexicon,
    tokens: &[Token],
    candidates: &[Piece],
) -> Vec<Piece> {
    let places = || candidates.iter().filter(|p| p.kind == PieceKind::Place);
    let is_ensuite = |p: &&Piece| {
        let named = p.term.is_some_and(|term| lexicon.name(term) == ENSUITE);
        named && p.number.is_none() && p.how == How::Exact
    };
    let sleeps = |p: &&Piece| {
        let entry = p.term.map(|term| lexicon.place(term));
        entry.is_some_and(|entry| entry.sort == SLEEPING) && !p.text.contains("suite")
    };
    let mut out = Vec::new();
    for ensuite in places().filter(is_ensuite) {
        let joined = |bedroom: &&Piece| {
            let (own, of) = (&ensuite.tokens, &bedroom.tokens);
            let behind = of.end <= own.start;
            let between = if behind {
                of.end..own.start
            } else {
                own.end..of.start
            };
            let words: Vec<&str> = between.map(|at| &*tokens[at].norm).collect();
            match words[..] {
                [] | ["'s"] => behind,
                [link, ref rest @ ..] => {
                    let article = |word: &&str| class(word) == Class::Determiner;
                    !behind && BELONGS_TO.contains(&link) && rest.iter().all(article)
                }
            }
        };
        out.extend(places().filter(sleeps).filter(joined).map(|bedroom| {
            let start = bedroom.tokens.start.min(ensuite.tokens.start);
            let tokens = start..bedroom.tokens.end.max(ensuite.tokens.end);
            let score = weight(PieceKind::Place, tokens.len(), false, How::Exact);
            named(
                lexicon,
                bedroom,
                Piece {
                    tokens,
                    score,
                    ..ensuite.clone()
                },
            )
        }));
    }
    out
}

/// Returns the en-suite with the name that it has from its bedroom.
fn named(lexicon: &Lexicon, bedroom: &Piece, ensuite: Piece) -> Piece {
    if bedroom.number.is_some() {
        return Piece {
            text: ENSUITE.to_owned(),
            number: bedroom.number.clone(),
            ..ensuite
        };
    }
    // "Master en-suite", "guest en-suite".
    let first = bedroom
        .term
        .and_then(|term| lexicon.name(term).split(' ').next());
    let listed = first.and_then(|first| lexicon.find(Kind::Place, &format!("{first} {ENSUITE}")));
    Piece {
        text: format!("{} {ENSUITE}", bedroom.text),
        guessed: listed.is_none(),
        term: listed.or(ensuite.term),
        ..ensuite
    }
}
