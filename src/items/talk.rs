//! Whether the talk is about a home at all: an interview on the radio or a telephone call has faults
//! of its own (*the team is broken*), none of which belong on the list.
//!
//! Counted are words of the trade around a statement: those that belong to a place, an element, a fault,
//! a remedy or a trade that was heard exactly, unless all its words are everyday ones (*step*,
//! *broken*). Measured on 25 interviews of an hour and a half about business, which make some 27 items
//! an hour without this, and on all walk-rounds at hand, heard and typed: around their items, never
//! fewer than 42 of 1,000 words are of the trade; in the interviews around what looks like an item, one
//! time in a hundred 25 or more.

use crate::lexicon::{How, Lexicon};
use crate::statements::piece::PieceKind;
use crate::statements::reading::Reading;
use std::ops::Range;

/// How many tokens before and behind a statement are looked at: about two minutes of speech.
const AROUND: usize = 150;

/// The least share of them that is of the trade, where someone talks about a home.
const LEAST_SHARE: f32 = 0.025;

/// A recording with fewer tokens is too short to tell.
const FEWEST: usize = 80;

/// A defect told in the middle of other talk: tokens in one breath …
const BREATH: usize = 15;

/// … of which at least so many are of the trade: one thing in 150 that looks like an item in the
/// interviews has as many.
const LEAST_IN_A_BREATH: u32 = 3;

/// How many tokens up to each token are of the trade.
pub(super) struct Talk {
    up_to: Vec<u32>,
}

impl Talk {
    /// Returns the talk of a whole recording.
    pub(super) fn new(lexicon: &Lexicon, reading: &Reading) -> Talk {
        let everyday = |at: usize| lexicon.everyday(&reading.tokens[at].norm);
        let mut of_the_trade = vec![false; reading.tokens.len()];
        for piece in &reading.pieces {
            let names = !matches!(
                piece.kind,
                PieceKind::Phrase | PieceKind::Measure | PieceKind::Count
            );
            let listed = names && piece.term.is_some() && piece.how == How::Exact;
            if listed && !piece.tokens.clone().all(everyday) {
                of_the_trade[piece.tokens.clone()].fill(true);
            }
        }
        let mut up_to = vec![0];
        for of_the_trade in of_the_trade {
            up_to.push(up_to[up_to.len() - 1] + u32::from(of_the_trade));
        }
        Talk { up_to }
    }

    /// Returns true where the talk around a statement is about a home.
    pub(super) fn about_a_home(&self, statement: &Range<usize>) -> bool {
        let around = |reach: usize| {
            let last = self.up_to.len() - 1;
            let from = statement.start.saturating_sub(reach);
            let to = (statement.start + reach).min(last);
            (self.up_to[to] - self.up_to[from], to - from)
        };
        let (of_the_trade, all) = around(AROUND);
        all < FEWEST
            || of_the_trade as f32 >= LEAST_SHARE * all as f32
            || around(BREATH).0 >= LEAST_IN_A_BREATH
    }
}
