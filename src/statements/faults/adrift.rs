//! What has come off what holds it, told by the thing it came off: *off its flange*, *jumps its bottom
//! track*; and the verb before *off the wall*, which belongs to what is said.

use super::super::grammar::{Class, class};
use super::super::piece::{Piece, PieceKind};
use super::mishap::own;
use super::{said, word};
use crate::lexicon::{Hit, Kind, Token};
use std::ops::Range;

/// What holds or guides something. Common practice, no source.
#[rustfmt::skip]
const HOLDERS: &[&str] = &[
    "cord", "flange", "flanges", "track", "tracks", "runner", "runners", "rail", "rails", "guide",
    "guides", "hinge", "hinges", "hook", "hooks", "clip", "clips", "bracket", "brackets", "peg", "pegs",
    "spindle", "pedestal", "pedestals", "base", "mount", "mounts", "mounting", "seat", "bearing",
    "channel", "wheel", "wheels", "backplate", "plate", "latch", "pin", "pins", "pivot", "carrier",
    "ring", "stand", "perch", "spigot", "collar", "cradle", "stud", "studs", "fixing", "fixings",
    "batten", "nail", "nails", "pulley", "roller", "rollers", "chain", "cup", "cups", "socket", "sockets",
    "rebate", "groove", "anchor", "anchors", "grommet", "seating",
];

/// How it came there, or that it is there.
#[rustfmt::skip]
const CAME: &[&str] = &[
    "is", "are", "'s", "was", "were", "come", "comes", "came", "coming", "slipped", "slips", "fallen",
    "fell", "popped", "pops", "sprung", "springs", "jumped", "jumps", "jumping", "slid", "slides",
    "hanging", "gone", "worked", "been", "pulled", "pulls", "dropped", "drops", "ripped", "knocked",
];

/// *'s **off its flange***, *has come **off the bottom guide***, ***jumps its track***.
pub(super) fn off_its(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    hits: &[Hit],
) -> Option<Piece> {
    let jumps = matches!(word(tokens, at), "jumps" | "jumped" | "jumping");
    let off = word(tokens, at) == "off";
    let out = word(tokens, at) == "out" && word(tokens, at + 1) == "of";
    let its = at + 1 + usize::from(out);
    let which = its + 1;
    let holder = which + usize::from(matches!(class(word(tokens, which)), Class::Position));
    let before = at.checked_sub(1).filter(|b| clause.contains(b));
    let mut before = before?;
    while before > clause.start && class(word(tokens, before)) == Class::Adverb {
        before -= 1;
    }
    let own_one = matches!(word(tokens, its), "its" | "their");
    // "Mirrored slider off its bottom track".
    let thing = own_one
        && hits
            .iter()
            .any(|h| h.kind == Kind::Element && h.tokens.end == before + 1);
    let came = CAME.contains(&word(tokens, before)) || thing;
    let fits = jumps && (own_one || word(tokens, its) == "the")
        || (off || out) && came && (own_one || off && word(tokens, its) == "the");
    (fits && holder < clause.end && HOLDERS.contains(&word(tokens, holder)))
        .then(|| own(at..holder + 1, said(tokens, at..holder + 1)))
}

/// Verbs of coming off, which are part of the fault.
#[rustfmt::skip]
const MOVES: &[&str] = &[
    "pulls", "pulled", "pulling", "comes", "came", "come", "coming", "pops", "popped", "popping", "hangs",
    "hanging", "falls", "fell", "fallen", "falling", "sprung", "springs", "jumps", "jumped", "torn",
    "ripped", "worked", "working", "sticks", "sticking", "dropped", "drops", "slid", "slipped", "breaks",
];

/// Returns the fault with the verb before it: ***pulls** off the wall*, ***hanging** out of its cutout*.
pub(in super::super) fn with_verb(tokens: &[Token], piece: Piece) -> Piece {
    let at = piece.tokens.start;
    let away = matches!(word(tokens, at), "off" | "out" | "away") && piece.tokens.len() > 1;
    let verb = at
        .checked_sub(1)
        .filter(|&before| MOVES.contains(&word(tokens, before)));
    match verb {
        Some(before) if away && piece.kind == PieceKind::Defect => Piece {
            text: format!("{} {}", word(tokens, before), piece.text),
            tokens: before..piece.tokens.end,
            ..piece
        },
        _ => piece,
    }
}

#[cfg(test)]
mod tests {
    use super::super::tests::found;

    #[test]
    fn what_holds_it_tells_that_it_came_off() {
        let cases: [(&str, &[&str]); 5] = [
            ("the curtain rod 's off its flange", &["off its flange"]),
            (
                "the robe door is off the bottom guide",
                &["off the bottom guide"],
            ),
            (
                "sliding door jumps its bottom track",
                &["jumps its bottom track"],
            ),
            ("the radiator is off the wall", &[]),
            ("measured off the rail", &[]),
        ];
        for (text, expected) in cases {
            assert_eq!(found(text), expected, "{text}");
        }
    }
}
