//! Whether a place that sounds like what was said is meant: by what is spoken of from there on.

use super::Walk;
use crate::lexicon::TermId;
use crate::statements::announcement::misheard;
use crate::statements::piece::PieceKind;
use crate::statements::place::{self, PlaceChange};
use crate::statements::sentence::Sentence;

/// How many sentences are looked at for what is spoken of in a place: enough for two or three
/// elements, and soon enough that the inspector is mostly still there.
const LOOK_AHEAD: usize = 6;

impl Walk<'_> {
    /// Returns the change to a place whose announcement was misheard, if the sentence opens with one.
    pub(super) fn misheard_place(&self, index: usize, sentence: &Sentence) -> Option<PlaceChange> {
        let known = |term: TermId| {
            let name = self.lexicon.name(term);
            self.identities.iter().any(|i| i == name)
        };
        let here = self.terms.get(self.place).copied().flatten();
        misheard(self.lexicon, self.reading, sentence, &known)
            .into_iter()
            .filter(|suspect| Some(suspect.term) != here)
            .filter_map(|suspect| {
                let margin = suspect.passes(self.evidence(index, suspect.term, here))?;
                Some((margin, suspect.change))
            })
            .max_by(|a, b| a.0.total_cmp(&b.0))
            .map(|(_, change)| change)
    }

    /// Returns the logarithm of how much likelier the elements of this sentence and the next ones are
    /// in a place than here, up to the next place that is named.
    fn evidence(&self, index: usize, there: TermId, here: Option<TermId>) -> f32 {
        let Some(here) = here else { return 0.0 };
        let sentences = &self.reading.sentences[index..];
        let mut seen: Vec<TermId> = Vec::new();
        for (ahead, sentence) in sentences.iter().take(LOOK_AHEAD).enumerate() {
            if ahead > 0 && !place::changes(self.lexicon, self.reading, sentence, true).is_empty() {
                break;
            }
            for piece in self.kinds_in(&sentence.tokens, PieceKind::Element) {
                let term = self.reading.pieces[piece].term;
                seen.extend(term.filter(|t| !seen.contains(t)));
            }
        }
        seen.iter()
            .map(|&e| self.lexicon.likely_in(e, there).ln() - self.lexicon.likely_in(e, here).ln())
            .sum()
    }
}
