//! The places of a walk-round, in the order in which they were first named.

use super::item::{Visit, VisitedPlace};
use crate::lexicon::{Lexicon, TermId};
use crate::statements::place::PlaceChange;
use crate::time::Span;

/// All places of a walk-round.
#[derive(Debug, Clone, Default)]
pub(crate) struct Places {
    /// As lists have them.
    pub(crate) visited: Vec<VisitedPlace>,
    /// [`PlaceChange::identity`] of each.
    pub(crate) identities: Vec<String>,
    /// The lexicon entry of each, where there is one.
    pub(crate) terms: Vec<Option<TermId>>,
}

impl Places {
    /// Returns the place of a change, added where it was not named before; nobody goes there.
    pub(crate) fn known_or_new(&mut self, change: &PlaceChange) -> usize {
        let known = self
            .identities
            .iter()
            .position(|known| *known == change.identity);
        known.unwrap_or_else(|| self.add(&change.name, &change.kind, &change.identity, change.term))
    }

    /// Adds a place, without going there, and returns it.
    pub(crate) fn add(
        &mut self,
        name: &str,
        kind: &str,
        identity: &str,
        term: Option<TermId>,
    ) -> usize {
        self.visited.push(VisitedPlace {
            name: name.to_owned(),
            kind: kind.to_owned(),
            visits: Vec::new(),
        });
        self.identities.push(identity.to_owned());
        self.terms.push(term);
        self.visited.len() - 1
    }

    /// Returns those that go by the name that they have in the lexicon.
    pub(crate) fn by_name(&self, lexicon: &Lexicon) -> impl Iterator<Item = TermId> {
        let places = self.identities.iter().zip(&self.terms);
        places.filter_map(|(identity, term)| term.filter(|&term| lexicon.name(term) == identity))
    }

    /// Keeps that one was there.
    pub(crate) fn visit(&mut self, place: usize, recording: u32, span: Option<Span>) {
        self.visited[place].visits.push(Visit { recording, span });
    }

    /// True where a place is within the building.
    pub(crate) fn inside(&self, place: usize) -> bool {
        let kind = self.visited.get(place).map(|place| place.kind.as_str());
        matches!(kind, Some("room" | "common" | "loft" | "garage"))
    }
}
