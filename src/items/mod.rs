//! From statements to the proposed list.

mod confidence;
mod describe;
mod draft;
mod finish;
mod item;
mod listed;
mod mentions;
mod pair;
mod position;
mod read_out;
mod scene;
mod talk;
mod totals;
mod trade;
mod usual;
mod visited;
mod walk;
mod whereabouts;

pub use confidence::{FEATURES, Features};
pub use describe::describe;
pub use item::{
    Evidence, Item, LimitCheck, Measurement, Over, Proposal, RemedySource, Seen, Severity,
    Standing, Status, TermEvidence, Unplaced, Visit, VisitedPlace, standing_words,
};
pub use mentions::Mention;
pub use pair::Pairing;
pub use totals::Total;
pub use usual::{Usual, named, usual};
pub use walk::{Joint, Spoken};

use crate::lexicon::{Lexicon, Part};
use crate::limits::Yardstick;
use crate::speech::Transcript;
use crate::statements::reading::{self, Reading};
use std::sync::LazyLock;
use walk::Walked;

/// Why a statement in the middle of other talk makes no item.
const OTHER_TALK: &str = "the talk around it is not about the home";

/// Returns the list that a transcript makes, held against the usual limits: items in spoken order,
/// places in walking order, and what was said that made no item.
pub fn propose(lexicon: &Lexicon, transcript: &Transcript) -> Proposal {
    static USUAL: LazyLock<Yardstick> = LazyLock::new(Yardstick::default);
    understand(lexicon, transcript, &USUAL).proposal
}

/// A proposal with what else the walk through the words showed.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Understood {
    /// The list.
    pub proposal: Proposal,
    /// The elements named at each of its places, by their names in the lexicon.
    pub mentioned: Vec<Vec<String>>,
    /// The totals counted aloud.
    pub totals: Vec<Total>,
    /// What is doubtful about each of its items, from which its confidence follows.
    pub features: Vec<Features>,
}

/// What a walk through the words decided by signs, for whoever fits their weights.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Weighed {
    /// Every fault with what it may be of.
    pub pairings: Vec<Pairing>,
    /// Every fault that may say more of an item that is there already.
    pub joints: Vec<Joint>,
    /// Every place that was named and not gone to by the walk.
    pub mentions: Vec<Mention>,
}

/// Returns what was decided by signs in a transcript.
pub fn weighed(lexicon: &Lexicon, transcript: &Transcript) -> Weighed {
    let reading = reading::read(lexicon, transcript);
    let yardstick = Yardstick::default();
    let mut walked = walk::walk(lexicon, &reading, transcript, &yardstick, true);
    leave_out_other_talk(lexicon, &reading, &mut walked);
    let mentions = mentions::settle(lexicon, &reading, transcript, &mut walked, true);
    Weighed {
        mentions,
        ..walked.weighed.unwrap_or_default()
    }
}

/// Returns the same, held against the limits of `yardstick`, with the elements that were named.
pub fn understand(lexicon: &Lexicon, transcript: &Transcript, yardstick: &Yardstick) -> Understood {
    let reading = reading::read(lexicon, transcript);
    let mut walked = walk::walk(lexicon, &reading, transcript, yardstick, false);
    leave_out_other_talk(lexicon, &reading, &mut walked);
    read_out::settle(lexicon, &reading, transcript, &mut walked);
    if !lexicon.lacks(Part::Mentions) {
        mentions::settle(lexicon, &reading, transcript, &mut walked, false);
    }
    if !lexicon.lacks(Part::Whereabouts) {
        whereabouts::settle(lexicon, &reading, transcript, &mut walked);
    }
    let finished = finish::items(lexicon, &reading, transcript, yardstick, &walked);
    let (items, features): (Vec<Item>, Vec<Features>) = finished.into_iter().unzip();
    let mut mentioned = vec![Vec::new(); walked.places.visited.len()];
    for (place, range) in &walked.stays {
        let Some(names): Option<&mut Vec<String>> = mentioned.get_mut(*place) else {
            continue;
        };
        let elements = reading.elements_within(range).iter();
        names.extend(
            elements
                .filter_map(|e| e.term)
                .map(|t| lexicon.name(t).to_owned()),
        );
    }
    for names in &mut mentioned {
        names.sort();
        names.dedup();
    }
    let totals = totals::totals(&reading, transcript, &walked);
    let withdrawn = walked
        .drafts
        .iter()
        .filter_map(|d| Some((d.tokens.clone(), d.withdrawn.as_deref()?)));
    let mut unplaced: Vec<(usize, Unplaced)> = walked
        .unused
        .iter()
        .map(|(range, why)| (range.clone(), why.as_ref()))
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
    let proposal = Proposal {
        places: walked.places.visited,
        items,
        unplaced: unplaced.into_iter().map(|(_, u)| u).collect(),
    };
    Understood {
        proposal,
        mentioned,
        totals,
        features,
    }
}

/// Takes out what was said in the middle of talk that is not about the home.
fn leave_out_other_talk(lexicon: &Lexicon, reading: &Reading, walked: &mut Walked) {
    let talk = talk::Talk::new(lexicon, reading);
    for draft in &mut walked.drafts {
        if draft.withdrawn.is_none() && !talk.about_a_home(&draft.tokens) {
            draft.withdrawn = Some(OTHER_TALK.into());
        }
    }
}
