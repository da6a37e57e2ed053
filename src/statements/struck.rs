//! What did the damage is not what is damaged: *there's a dent by the switch **where a ladder's gone in***,
//! *a mark in the wall **where the handle's caught it***.

use super::piece::{Piece, PieceKind};
use super::sentence::Sentence;
use crate::lexicon::Token;
use std::ops::Range;

/// Words for a blow. Everyday English, no source.
#[rustfmt::skip]
const BLOWS: &[&str] = &[
    "caught", "catches", "hit", "hits", "clouted", "clouts", "knocked", "banged", "bangs", "bumped", "struck",
    "clipped", "whacked", "dropped", "fell", "slipped", "dragged", "scraped", "rubbed", "leant", "leaned", "backed",
    "kicked", "rested",
];

/// Verbs that tell of a blow with a way behind them: *gone in*, *went through*.
const WENT: &[&str] = &["gone", "went", "goes", "come", "came", "been"];
const WAYS: &[&str] = &[
    "in", "into", "through", "over", "across", "past", "against", "down", "along",
];

/// How many tokens after *where* the blow may stand.
const BLOW_WITHIN: usize = 7;

/// Takes out the elements and faults that are only part of what dealt a blow, where a fault is told before.
pub(super) fn leave_out_blows(tokens: &[Token], sentence: &Sentence, chosen: &mut Vec<Piece>) {
    let Some(fault) = chosen.iter().find(|p| p.kind == PieceKind::Defect) else {
        return;
    };
    if let Some(blow) = blow(tokens, fault.tokens.end..sentence.tokens.end) {
        chosen.retain(|p| {
            !blow.contains(&p.tokens.start)
                || !matches!(p.kind, PieceKind::Element | PieceKind::Defect)
        });
    }
}

/// Returns the tokens after *where*, up to the end of the blow.
fn blow(tokens: &[Token], range: Range<usize>) -> Option<Range<usize>> {
    let word = |at: usize| tokens.get(at).map_or("", |t| t.norm.as_str());
    let after = range.clone().find(|&at| word(at) == "where")? + 1;
    let verb = (after + 1..range.end.min(after + BLOW_WITHIN)).find(|&at| {
        BLOWS.contains(&word(at)) || WENT.contains(&word(at)) && WAYS.contains(&word(at + 1))
    })?;
    Some(after..verb + 1)
}

#[cfg(test)]
mod tests {
    use super::super::sample::tokens;
    use super::*;

    #[test]
    fn a_blow_is_told_after_where() {
        for (text, expected) in [
            (
                "dent in the wall where the handle's caught it",
                "the handle 's caught",
            ),
            (
                "dent by the switch where a ladder's gone in",
                "a ladder 's gone",
            ),
            (
                "hole in the render where the pole went through",
                "the pole went",
            ),
            ("crack where the ceiling meets the coving", ""),
            ("where the handle is you can see it", ""),
        ] {
            let tokens = tokens(text);
            let said = blow(&tokens, 0..tokens.len()).unwrap_or_default();
            let said: Vec<&str> = tokens[said].iter().map(|t| t.norm.as_str()).collect();
            assert_eq!(said.join(" "), expected, "{text}");
        }
    }
}
