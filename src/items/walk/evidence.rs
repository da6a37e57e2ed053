//! Whether a place that sounds like what was said is meant: by what is spoken of from there on.

use super::Walk;
use crate::lexicon::TermId;
use crate::statements::announcement::misheard;
use crate::statements::piece::PieceKind;
use crate::statements::place::{self, PlaceChange};
use crate::statements::sentence::Sentence;
use std::cell::LazyCell;

/// How many sentences are looked at for what is spoken of in a place: enough for two or three
/// elements, and soon enough that the inspector is mostly still there.
const LOOK_AHEAD: usize = 6;

impl Walk<'_> {
    /// Returns the change to a place whose announcement was misheard, if the sentence opens with one.
    pub(super) fn misheard_place(&self, index: usize, sentence: &Sentence) -> Option<PlaceChange> {
        let here = self.places.terms.get(self.place).copied().flatten();
        // The elements, each with how likely it is here.
        let spoken_of = LazyCell::new(|| match here {
            Some(here) => {
                let elements = self.spoken_of(index).into_iter();
                let likely = |element| self.lexicon.likely_in(element, here).ln();
                elements.map(|element| (element, likely(element))).collect()
            }
            None => Vec::new(),
        });
        // How much likelier they are in some place than here, and at most in any place.
        let likelier = |there: TermId| -> f32 {
            let one = |(element, here): &(TermId, f32)| {
                self.lexicon.likely_in(*element, there).ln() - here
            };
            spoken_of.iter().map(one).sum()
        };
        let mut among = self.usual_places.clone();
        among.extend(self.places.by_name(self.lexicon));
        let most = LazyCell::new(|| {
            let there = among.iter().copied().filter(|&there| Some(there) != here);
            let most = there.map(likelier).max_by(f32::total_cmp);
            most.unwrap_or_default()
        });
        misheard(self.lexicon, self.reading, sentence, &among, &|| *most)
            .into_iter()
            .filter(|suspect| Some(suspect.term) != here)
            .filter_map(|suspect| {
                let margin = suspect.passes(likelier(suspect.term))?;
                Some((margin, suspect.change))
            })
            .max_by(|a, b| a.0.total_cmp(&b.0))
            .map(|(_, change)| change)
    }

    /// Returns the elements of this sentence and the next ones, up to the next place that is named.
    fn spoken_of(&self, index: usize) -> Vec<TermId> {
        let sentences = &self.reading.sentences[index..];
        let mut elements: Vec<TermId> = Vec::new();
        for (ahead, sentence) in sentences.iter().take(LOOK_AHEAD).enumerate() {
            if ahead > 0 && !place::changes(self.lexicon, self.reading, sentence, true).is_empty() {
                break;
            }
            for piece in self.kinds_in(&sentence.tokens, PieceKind::Element) {
                let term = self.reading.pieces[piece].term;
                elements.extend(term.filter(|t| !elements.contains(t)));
            }
        }
        elements
    }
}
