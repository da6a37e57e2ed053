//! Which sentences of a walk-round tell a fault, by its list.

use crate::agreement::{Gold, pair, words};
use callover::items::Item;
use callover::statements::piece::PieceKind;
use callover::statements::reading::Reading;
use std::collections::BTreeSet;
use std::ops::Range;

/// What is known of a sentence.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Label {
    /// It tells a fault of the expected list.
    pub(crate) tells: bool,
    /// The rules made an item of it, an expected one or not.
    pub(crate) listed: bool,
}

/// Returns the label of each sentence. A sentence of an expected item that is on the list tells a fault;
/// for one that is missing, that sentence does which shares most words with the accepted wordings,
/// between the neighbours on the list.
pub(crate) fn labels(reading: &Reading, gold: &[Gold], items: &[Item]) -> Vec<Label> {
    let mut labels = vec![
        Label {
            tells: false,
            listed: false
        };
        reading.sentences.len()
    ];
    let pairs = pair(gold, items);
    for (at, item) in items.iter().enumerate() {
        for sentence in told_in(reading, item) {
            labels[sentence].listed = true;
            labels[sentence].tells |= pairs.contains(&Some(at));
        }
    }
    let place =
        |at: usize| pairs[at].and_then(|item| told_in(reading, &items[item]).into_iter().next());
    for (at, missing) in gold
        .iter()
        .enumerate()
        .filter(|(at, _)| pairs[*at].is_none())
    {
        let from = (0..at).rev().find_map(place).unwrap_or(0);
        let to = (at + 1..gold.len()).find_map(place);
        let to = to.map_or(labels.len(), |to| (to + 1).max(from));
        let accepted: BTreeSet<String> = missing
            .element
            .iter()
            .chain(&missing.defect)
            .flat_map(|text| words(text))
            .collect();
        let shared = |sentence: usize| {
            let said = &reading.tokens[reading.sentences[sentence].tokens.clone()];
            let said: BTreeSet<String> = said.iter().flat_map(|token| words(&token.norm)).collect();
            said.intersection(&accepted).count()
        };
        let best = (from..to).rev().max_by_key(|&sentence| shared(sentence));
        if let Some(sentence) = best.filter(|&sentence| shared(sentence) > 0) {
            labels[sentence].tells = true;
        }
    }
    labels
}

/// Returns the sentences that tell the fault of an item: the first of its words, and where else a fault
/// is named.
fn told_in(reading: &Reading, item: &Item) -> Vec<usize> {
    let Some((from, to)) = item.evidence.words else {
        return Vec::new();
    };
    let first = reading.tokens.partition_point(|token| token.word < from);
    let last = reading.tokens.partition_point(|token| token.word < to);
    let within = reading
        .sentences
        .iter()
        .enumerate()
        .filter(|(_, sentence)| {
            let tokens: &Range<usize> = &sentence.tokens;
            let names = || {
                reading.pieces[reading.within(tokens)]
                    .iter()
                    .any(|piece| piece.kind == PieceKind::Defect && !piece.negated)
            };
            tokens.start < last && first < tokens.end && (tokens.contains(&first) || names())
        });
    within.map(|(at, _)| at).collect()
}
