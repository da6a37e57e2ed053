//! What the walk-round did not reach: places never visited, places with nothing said, usual things
//! not mentioned, totals counted aloud that the list does not bear out, speech that made nothing, and the
//! least certain items.
//!
//! A gentle note for the inspector while they can still go back; it is no part of the list.

mod report;
mod usual;

pub use report::text;
pub use usual::{Room, Usual};

use crate::items::{Proposal, Total, Understood, VisitedPlace};
use crate::limits::{fold, has};
use crate::speech::Transcript;
use crate::time::Millis;

/// Items below this are named as the least certain.
const UNCERTAIN: f64 = 0.6;
/// How many of them are named.
const MOST_UNCERTAIN: usize = 5;

/// What was not reached.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Coverage {
    /// The expected places come from the inspector's plan, not from a usual home.
    pub planned: bool,
    /// Expected places that were never visited.
    pub never_visited: Vec<String>,
    /// Visited places of which nothing was said.
    pub nothing_said: Vec<String>,
    /// Visited places with usual things that were not mentioned there.
    pub not_mentioned: Vec<(String, Vec<String>)>,
    /// Totals counted aloud that the list does not bear out: what it has up to there is another number.
    pub miscounted: Vec<Total>,
    /// Words that made no item.
    pub unused_words: usize,
    /// The seconds in which they were said; `None` for transcripts without times.
    pub unused_s: Option<f64>,
    /// All words said.
    pub said_words: usize,
    /// Numbers of the least certain items, the least first.
    pub uncertain: Vec<u32>,
}

/// Returns what the walk-round did not reach. `plan` are the places to be visited, or `None` for those of a
/// usual home.
pub fn coverage(
    understood: &Understood,
    transcript: &Transcript,
    plan: Option<&[String]>,
    usual: &Usual,
) -> Coverage {
    let Understood {
        proposal,
        mentioned,
        ..
    } = understood;
    let visited = |words: &[String]| {
        proposal.places.iter().any(|place| {
            let name = fold(&place.name);
            words.iter().any(|w| has(&name, w))
        })
    };
    let never_visited = match plan {
        Some(plan) => plan
            .iter()
            .filter(|name| !visited(std::slice::from_ref(*name)))
            .cloned()
            .collect(),
        // Where no place was named at all, nobody walked through a home.
        None if proposal.places.is_empty() => Vec::new(),
        None => usual
            .home
            .iter()
            .filter(|home| !visited(&home.words))
            .map(|home| home.name.clone())
            .collect(),
    };
    let has_item = |place: &VisitedPlace| proposal.items.iter().any(|i| i.place == place.name);
    let empty = |at: usize| mentioned.get(at).is_none_or(Vec::is_empty);
    let nothing_said = proposal
        .places
        .iter()
        .enumerate()
        .filter(|(at, place)| empty(*at) && !has_item(place))
        .map(|(_, place)| place.name.clone())
        .collect();
    let not_mentioned = proposal
        .places
        .iter()
        .enumerate()
        .filter(|(at, place)| !empty(*at) || has_item(place))
        .filter_map(|(at, place)| {
            let missed = missed(proposal, place, mentioned.get(at)?, usual);
            (!missed.is_empty()).then(|| (place.name.clone(), missed))
        })
        .collect();
    let unplaced = || proposal.unplaced.iter();
    let mut doubtful: Vec<_> = proposal
        .items
        .iter()
        .filter(|i| i.confidence < UNCERTAIN)
        .collect();
    doubtful.sort_by(|a, b| {
        a.confidence
            .total_cmp(&b.confidence)
            .then(a.number.cmp(&b.number))
    });
    Coverage {
        planned: plan.is_some(),
        never_visited,
        nothing_said,
        not_mentioned,
        miscounted: understood
            .totals
            .iter()
            .filter(|total| total.said != total.listed)
            .cloned()
            .collect(),
        unused_words: unplaced().map(|u| u.quote.split_whitespace().count()).sum(),
        unused_s: unplaced()
            .filter_map(|u| u.span)
            .map(|span| Millis(span.length()).seconds())
            .reduce(|a, b| a + b),
        said_words: transcript.words.len(),
        uncertain: doubtful
            .iter()
            .take(MOST_UNCERTAIN)
            .map(|i| i.number)
            .collect(),
    }
}

/// Returns the usual elements of the place that neither a mention nor an item there names.
fn missed(
    proposal: &Proposal,
    place: &VisitedPlace,
    mentioned: &[String],
    usual: &Usual,
) -> Vec<String> {
    let name = fold(&place.name);
    let items = proposal.items.iter().filter(|i| i.place == place.name);
    let named: Vec<Vec<String>> = items
        .map(|i| &i.element)
        .chain(mentioned)
        .map(|element| fold(element))
        .collect();
    let room = usual
        .rooms
        .iter()
        .find(|r| r.words.iter().any(|w| has(&name, w)));
    room.map_or(&[][..], |room| &room.elements)
        .iter()
        .filter(|element| !named.iter().any(|n| has(n, element)))
        .cloned()
        .collect()
}

#[cfg(test)]
mod tests;
