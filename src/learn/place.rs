//! Lessons about changes of place that were missed.

use super::corner::Corner;
use super::draw::Drawn;
use super::lesson::Teaching;
use super::name::Name;
use super::stretch::{in_tokens, limit, spot, within, words_of};
use crate::items::Item;
use crate::lexicon::Kind;
use std::collections::BTreeSet;
use std::ops::Range;

/// The same for places, which have no defect beside them to bear them out.
const PLACE_LIMIT: f32 = 0.45;

/// The same for places whose words are everyday ones (*from television*, front elevation).
const EVERYDAY_PLACE_LIMIT: f32 = 0.4;

impl<'a> Corner<'a> {
    /// Returns true where the item before, as it was confirmed, is at another place: only there a
    /// change of place may have been missed.
    pub(super) fn opens_place(&self) -> bool {
        self.before().is_none_or(|before| {
            Name::of(self.lexicon(), Kind::Place, &before.place) != self.chosen.place
        })
    }

    /// Returns the confirmed item said before this one.
    fn before(&self) -> Option<&'a Item> {
        let start = self.said.as_ref()?.start;
        let lived = &self.study.jobs[self.job];
        let begins = |item: &&Item| {
            let words = lived.words_of(item);
            words.map(|words| in_tokens(self.tokens(), &words).start)
        };
        lived
            .confirmed
            .iter()
            .filter(|item| begins(item).is_some_and(|at| at < start))
            .max_by_key(begins)
    }

    /// Lessons about a change of place that was missed.
    pub(super) fn place(&self, said: &Range<usize>, drawn: &mut Drawn) {
        let Name::Term(term, None) = self.chosen.place else {
            return;
        };
        let lived = &self.study.jobs[self.job];
        let from = self.before().and_then(|before| lived.words_of(before));
        let from = from.map_or(0, |words| in_tokens(self.tokens(), &words).end);
        let window = from.min(said.start)..said.end;
        let tokens = self.tokens();
        let hits = spot(self.lexicon(), tokens, &window);
        if hits
            .iter()
            .any(|hit| hit.term == term && within(&hit.tokens, &window))
        {
            return;
        }
        let found = self.lexicon().closest(tokens, window, term, |_| true);
        let Some(found) = found.filter(|found| {
            let limit = match self.all_everyday(&found.tokens) {
                true if self.announced(&found.tokens) => EVERYDAY_PLACE_LIMIT,
                true => return false,
                false => PLACE_LIMIT.min(limit(self.lexicon(), tokens, found)),
            };
            found.distance <= limit
        }) else {
            return;
        };
        let teaching = Teaching::HeardAs {
            heard: words_of(tokens, &found.tokens),
            term: self.called(Kind::Place, term),
            near: BTreeSet::new(),
        };
        drawn.add(teaching, found.distance, self.sighting());
    }

    /// Returns true where several words stand alone between full stops or commas, as a place that is
    /// announced: the context without which everyday words are nothing else.
    fn announced(&self, stretch: &Range<usize>) -> bool {
        let words = &self.study.jobs[self.job].transcript.words;
        let tokens = self.tokens();
        let ends = |at: usize| words[tokens[at].word].text.ends_with(['.', ',', '!', '?']);
        stretch.len() > 1
            && (stretch.start == 0 || ends(stretch.start - 1))
            && ends(stretch.end - 1)
    }
}
