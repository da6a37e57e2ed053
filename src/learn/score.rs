//! How right proposals are on confirmed jobs, with one lexicon and with another.

use super::entries::entries;
use super::lived::Lived;
use super::marks::{ALL_FACTS, marks};
use super::study::f1;
use crate::items::{Item, Proposal, propose};
use crate::lexicon::Lexicon;
use crate::score::{WordErrors, word_errors};

/// Element and defect are typed for an item that was not proposed.
const FACTS_OF_AN_ADDED_ITEM: usize = 2;

/// How a job's proposal compares with the list that was confirmed.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Reading {
    /// Confirmed items.
    pub confirmed: usize,
    /// Proposed items, without those that are still undecided.
    pub proposed: usize,
    /// Confirmed items that are proposed at all, rightly or not.
    pub found: usize,
    /// Confirmed items that are proposed with place, element and defect right.
    pub right: usize,
    /// Facts to change, two for each item to add, and items to reject.
    pub corrections: usize,
    /// Words of place, element and defect that differ from those confirmed, in the items that the
    /// lexicon as it comes proposes wrongly.
    pub words: WordErrors,
}

/// One job's figures, or several jobs' together.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Row {
    /// With the lexicon as it comes.
    pub base: Reading,
    /// With what was learnt from other jobs.
    pub own: Reading,
}

impl Reading {
    /// Harmonic mean of the shares found among confirmed and proposed items; 1 where there is nothing.
    pub fn found_f1(&self) -> f64 {
        f1(self.found, self.confirmed, self.proposed)
    }

    /// The same for items that are right.
    pub fn right_f1(&self) -> f64 {
        f1(self.right, self.confirmed, self.proposed)
    }

    /// Corrections for each confirmed item; 0 where there are none.
    pub fn corrections_per_item(&self) -> f64 {
        self.corrections as f64 / (self.confirmed as f64).max(1.0)
    }

    /// Returns the figures of both together.
    pub fn with(self, other: Reading) -> Reading {
        Reading {
            confirmed: self.confirmed + other.confirmed,
            proposed: self.proposed + other.proposed,
            found: self.found + other.found,
            right: self.right + other.right,
            corrections: self.corrections + other.corrections,
            words: self.words.with(other.words),
        }
    }
}

/// Returns how a confirmed job is read by the lexicon as it comes and by one with lessons.
pub fn read_again(base: &Lexicon, own: &Lexicon, job: &Lived) -> Row {
    let before = propose(base, &job.transcript);
    let after = propose(own, &job.transcript);
    let was = marks(base, base, job, &before);
    let corrected: Vec<usize> = (0..job.confirmed.len())
        .filter(|&i| was.facts(i) < ALL_FACTS)
        .collect();
    Row {
        base: reading((base, base), job, &before, &corrected),
        own: reading((base, own), job, &after, &corrected),
    }
}

fn reading(
    (base, lexicon): (&Lexicon, &Lexicon),
    job: &Lived,
    proposal: &Proposal,
    corrected: &[usize],
) -> Reading {
    let marks = marks(base, lexicon, job, proposal);
    let confirmed = job.confirmed.len();
    let found = marks.found.iter().flatten().count();
    let facts: usize = (0..confirmed).map(|i| marks.facts(i) as usize).sum();
    let words = |item: &Item| -> Vec<String> {
        let text = format!("{} {} {}", item.place, item.element, item.defect);
        let tokens = lexicon.tokens_of(&text);
        tokens.into_iter().map(|token| token.norm).collect()
    };
    let errors = corrected.iter().map(|&i| {
        let proposed = marks.found[i].map(|(p, _)| words(&proposal.items[p]));
        word_errors(&words(&job.confirmed[i]), &proposed.unwrap_or_default())
    });
    Reading {
        confirmed,
        proposed: found + marks.surplus.len(),
        found,
        right: (0..confirmed)
            .filter(|&i| marks.facts(i) == ALL_FACTS)
            .count(),
        corrections: found * ALL_FACTS as usize - facts
            + (confirmed - found) * FACTS_OF_AN_ADDED_ITEM
            + marks.surplus.len(),
        words: errors.fold(WordErrors::default(), WordErrors::with),
    }
}

/// Returns an overlay without the lessons whose evidence is of this job alone, and without what it says
/// of the voice, which rests on every job. What a person wrote without evidence stays.
pub fn without(text: &str, job: &str) -> String {
    let (head, entries) = entries(text);
    let of_job = format!("{job}, item ");
    let stays = |entry: &super::Entry| {
        !matches!(entry.teaching, Some(super::Teaching::Voice(_)))
            && (entry.evidence.is_empty()
                || entry.evidence.iter().any(|one| !one.starts_with(&of_job)))
    };
    let rest = entries.into_iter().filter(stays).map(|entry| entry.lines);
    head + &rest.collect::<String>()
}
