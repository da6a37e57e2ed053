//! From statements to the proposed list.

mod describe;
mod draft;
mod finish;
mod item;
mod pair;
mod position;
mod usual;
mod walk;

pub use describe::describe;
pub use item::{
    Evidence, Item, LimitCheck, Measurement, Over, Proposal, RemedySource, Seen, Severity,
    Standing, Status, TermEvidence, Unplaced, Visit, VisitedPlace, standing_words,
};
pub use usual::{Usual, named, usual};

use crate::lexicon::Lexicon;
use crate::speech::Transcript;
use crate::statements::reading;

/// Returns the list that a transcript makes: items in spoken order, places in walking order, and
/// what was said that made no item.
pub fn propose(lexicon: &Lexicon, transcript: &Transcript) -> Proposal {
    let reading = reading::read(lexicon, transcript);
    let walked = walk::walk(lexicon, &reading, transcript);
    let items = finish::items(lexicon, &reading, transcript, &walked);
    let withdrawn = walked
        .drafts
        .iter()
        .filter_map(|d| Some((d.tokens.clone(), d.withdrawn.as_deref()?)));
    let mut unplaced: Vec<(usize, Unplaced)> = walked
        .unused
        .iter()
        .map(|(range, why)| (range.clone(), *why))
        .chain(withdrawn)
        .filter(|(range, _)| !range.is_empty())
        .map(|(range, why)| {
            let first = &transcript.words[reading.tokens[range.start].word];
            let unplaced = Unplaced {
                recording: first.recording,
                span: finish::span(&reading, transcript, &range),
                quote: finish::quote(&reading, transcript, &range),
                why: why.to_owned(),
            };
            (range.start, unplaced)
        })
        .collect();
    unplaced.sort_by_key(|(at, _)| *at);
    Proposal {
        places: walked.places,
        items,
        unplaced: unplaced.into_iter().map(|(_, u)| u).collect(),
    }
}
