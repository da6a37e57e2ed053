//! How a proposal compares with the list that was confirmed.

use super::lived::Lived;
use super::name::{Facts, Name};
use crate::items::{Item, Proposal};
use crate::lexicon::{Kind, Lexicon};
use std::collections::BTreeSet;
use std::ops::Range;

/// The place, element and defect of an item all agree.
pub(super) const ALL_FACTS: u32 = 3;

/// What a proposal is worth beside the confirmed list.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Marks {
    /// For each confirmed item: the proposed item that it is, by index, and how many of its three
    /// facts agree.
    pub(super) found: Vec<Option<(usize, u32)>>,
    /// For each confirmed item, how many of its trade, severity and remedy agree.
    pub(super) rest: Vec<u32>,
    /// How many of the places of confirmed items are visited in the proposal.
    pub(super) places: usize,
    /// Proposed items that belong to no item confirmed or still undecided, by index.
    pub(super) surplus: Vec<usize>,
}

impl Marks {
    /// Returns how many facts of a confirmed item are right.
    pub(super) fn facts(&self, item: usize) -> u32 {
        self.found[item].map_or(0, |(_, facts)| facts)
    }
}

/// Returns how a proposal compares with what was confirmed. An item is the proposed one that shares
/// words with it and agrees in most facts; one written by hand is known by its facts alone. Names are
/// the same where `lexicon` has them so, but not where `base` parts them: a wrong lesson must not hide
/// what it breaks.
pub(super) fn marks(base: &Lexicon, lexicon: &Lexicon, job: &Lived, proposal: &Proposal) -> Marks {
    let proposed = &proposal.items;
    let facts: Vec<Facts> = proposed.iter().map(|i| Facts::of(lexicon, i)).collect();
    let ranges: Vec<_> = proposed.iter().map(|i| job.words_of(i)).collect();
    let kept: Vec<&Item> = job.confirmed.iter().chain(&job.undecided).collect();
    let mut pairs = Vec::new();
    for (k, item) in kept.iter().enumerate() {
        let (wanted, range) = (Facts::of(lexicon, item), job.words_of(item));
        for (p, other) in facts.iter().enumerate() {
            let agreeing =
                wanted.agreeing(other) - parted(base, (&wanted, item), (other, &proposed[p]));
            let shared = match (&range, &ranges[p]) {
                (Some(a), Some(b)) => shared(a, b),
                _ => usize::from(agreeing == ALL_FACTS),
            };
            if shared > 0 {
                pairs.push((agreeing, shared, k, p));
            }
        }
    }
    pairs.sort_by_key(|&(agreeing, shared, k, p)| {
        (std::cmp::Reverse(agreeing), std::cmp::Reverse(shared), k, p)
    });
    let mut found = vec![None; kept.len()];
    let mut taken = vec![false; proposed.len()];
    for (agreeing, _, k, p) in pairs {
        if found[k].is_none() && !taken[p] {
            found[k] = Some((p, agreeing));
            taken[p] = true;
        }
    }
    found.truncate(job.confirmed.len());
    let place = |name: &str| Name::of(lexicon, Kind::Place, name);
    let visited: BTreeSet<Name> = proposal.places.iter().map(|p| place(&p.name)).collect();
    let wanted: BTreeSet<Name> = job.confirmed.iter().map(|i| place(&i.place)).collect();
    let rest = job.confirmed.iter().zip(&found);
    Marks {
        places: wanted.intersection(&visited).count(),
        rest: rest
            .map(|(item, found)| found.map_or(0, |(p, _)| agreeing_rest(item, &proposed[p])))
            .collect(),
        surplus: (0..proposed.len()).filter(|p| !taken[*p]).collect(),
        found,
    }
}

/// Returns how many of the facts that agree are known to `base` as different terms.
fn parted(base: &Lexicon, (a, of_a): (&Facts, &Item), (b, of_b): (&Facts, &Item)) -> u32 {
    let differ = |kind: Kind, a: &str, b: &str| {
        let (a, b) = (Name::of(base, kind, a), Name::of(base, kind, b));
        a != b && a.term().is_some() && b.term().is_some()
    };
    [
        (a.place == b.place, Kind::Place, &of_a.place, &of_b.place),
        (
            a.element == b.element,
            Kind::Element,
            &of_a.element,
            &of_b.element,
        ),
        (
            a.defect == b.defect,
            Kind::Defect,
            &of_a.defect,
            &of_b.defect,
        ),
    ]
    .into_iter()
    .filter(|(agree, kind, a, b)| *agree && a != b && differ(*kind, a, b))
    .count() as u32
}

fn agreeing_rest(a: &Item, b: &Item) -> u32 {
    u32::from(a.trade == b.trade)
        + u32::from(a.severity == b.severity)
        + u32::from(a.remedy == b.remedy)
}

fn shared(a: &Range<usize>, b: &Range<usize>) -> usize {
    a.end.min(b.end).saturating_sub(a.start.max(b.start))
}
