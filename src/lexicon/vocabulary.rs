//! The wordings of terms, with what finds them: by their forms, and by their sounds.
//!
//! A lexicon has one vocabulary, and one more for the terms in which it differs from the lexicon that it
//! was made beside ([`Lexicon::reloaded`]): the first is shared then, and its entries for those terms
//! count no more. Making one takes a quarter of a second, most of it for tables that some commands never
//! ask for; those are made when first needed.

use super::memory::Memory;
use super::near::PlaceNames;
use super::pronounce::Pronouncer;
use super::rivals::Tree;
use super::sounds::Sounds;
use super::spot::Spotter;
use super::term::TermId;
use super::wordings::Wording;
use super::{Lexicon, Term, spellings::Spellings, wordings};
use aho_corasick::BuildError;
use rustc_hash::{FxHashMap, FxHashSet};
use std::ops::Range;
use std::sync::OnceLock;

/// The wordings of some terms, ready to be found.
#[derive(Debug)]
pub(super) struct Vocabulary {
    pub(super) spotter: Spotter,
    terms: FxHashSet<TermId>,
    sounds: OnceLock<Sounds>,
    rivals: OnceLock<Tree>,
    places: OnceLock<PlaceNames>,
    words: OnceLock<Words>,
}

impl Vocabulary {
    /// Returns the wordings of these terms, given in the order of their ids; terms that are `gone` have none.
    ///
    /// # Errors
    /// Where the forms are too many to be found.
    pub(super) fn new<'a>(
        terms: impl Iterator<Item = (TermId, &'a Term)>,
        gone: Range<u32>,
        spellings: &Spellings,
    ) -> Result<Vocabulary, BuildError> {
        let (mut all, mut ids) = (Vec::new(), gone.map(TermId).collect::<FxHashSet<_>>());
        for (id, term) in terms {
            ids.insert(id);
            all.extend(wordings::wordings(id, term, spellings));
        }
        Ok(Vocabulary {
            spotter: Spotter::new(all)?,
            terms: ids,
            sounds: OnceLock::new(),
            rivals: OnceLock::new(),
            places: OnceLock::new(),
            words: OnceLock::new(),
        })
    }

    /// Leaves out all pronunciations.
    pub(super) fn be_without_sounds(&mut self, pronouncer: &Pronouncer) {
        self.sounds = OnceLock::from(Sounds::new(&[], pronouncer));
    }

    /// Returns the ids that it has, of all terms, from this many on.
    pub(super) fn beyond(&self, count: usize) -> Range<u32> {
        count as u32..self.terms.len().max(count) as u32
    }

    /// Returns true where it tells of this term.
    pub(super) fn has(&self, term: TermId) -> bool {
        self.terms.contains(&term)
    }
}

/// The terms that have each word.
pub(super) type Words = FxHashMap<String, FxHashSet<TermId>>;

/// A vocabulary as part of a lexicon.
#[derive(Debug, Clone, Copy)]
pub(super) struct Layer<'a> {
    vocabulary: &'a Vocabulary,
    /// What takes the place of some of its terms.
    changed: Option<&'a Vocabulary>,
    pronouncer: &'a Pronouncer,
    /// What was found near in sound, where that is kept.
    pub(super) memory: Option<&'a Memory>,
}

impl<'a> Layer<'a> {
    /// Returns false for a wording whose term another layer has.
    pub(super) fn counts(&self, wording: &Wording) -> bool {
        self.has(wording.term)
    }

    fn has(&self, term: TermId) -> bool {
        !self.changed.is_some_and(|other| other.has(term))
    }

    /// Returns true for a word of some term that counts.
    pub(super) fn is_in(&self, words: &Words, word: &str) -> bool {
        words
            .get(word)
            .is_some_and(|terms| terms.iter().any(|term| self.has(*term)))
    }

    pub(super) fn spotter(&self) -> &'a Spotter {
        &self.vocabulary.spotter
    }

    pub(super) fn wording(&self, at: usize) -> &'a Wording {
        &self.spotter().wordings()[at]
    }

    /// Returns the wordings that count.
    pub(super) fn wordings(self) -> impl Iterator<Item = &'a Wording> {
        let all = self.spotter().wordings().iter();
        all.filter(move |wording| self.counts(wording))
    }

    pub(super) fn sounds(&self) -> &'a Sounds {
        let vocabulary = self.vocabulary;
        let sounds = || Sounds::new(vocabulary.spotter.wordings(), self.pronouncer);
        vocabulary.sounds.get_or_init(sounds)
    }

    /// Returns all its pronunciations as a tree.
    pub(super) fn rivals(&self) -> &'a Tree {
        let tree = || Tree::new(self.sounds(), |_| true);
        self.vocabulary.rivals.get_or_init(tree)
    }

    pub(super) fn place_names(&self) -> &'a PlaceNames {
        let names = || PlaceNames::new(self.spotter().wordings(), self.sounds());
        self.vocabulary.places.get_or_init(names)
    }

    /// Returns every word of every form.
    pub(super) fn words(&self) -> &'a Words {
        self.vocabulary.words.get_or_init(|| {
            let mut words = Words::default();
            for wording in self.spotter().wordings() {
                for word in wording.forms.iter().flat_map(|form| &form.words) {
                    words.entry(word.clone()).or_default().insert(wording.term);
                }
            }
            words
        })
    }
}

impl Lexicon {
    /// Returns its vocabularies.
    pub(super) fn layers(&self) -> impl Iterator<Item = Layer<'_>> {
        let changed = self.changed.as_deref();
        let first = Layer {
            vocabulary: &self.vocabulary,
            changed,
            pronouncer: &self.pronouncer,
            memory: self.memory.as_deref(),
        };
        let second = changed.map(|vocabulary| Layer {
            vocabulary,
            changed: None,
            memory: None,
            ..first
        });
        std::iter::once(first).chain(second)
    }

    /// Returns every wording.
    pub(super) fn wordings(&self) -> impl Iterator<Item = &Wording> {
        self.layers().flat_map(Layer::wordings)
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Kind, Lexicon, SUPPORTED_SOUND_LIMIT};
    use std::path::PathBuf;

    /// An inspector's own overlay, and another beside it: a new thing, place and fault, other words for
    /// known ones, what no fault is, a remedy, words heard for something.
    const OWN: &str = r#"
        [[element]]
        name = "kicker board"
        group = "door"
        [[defect]]
        name = "shoogly"
        befalls = ["any"]
    "#;
    const BESIDE: &str = r#"
        [[place]]
        name = "boot store"
        kind = "room"
        [[element]]
        name = "ingo lining"
        group = "window"
        also = ["innings"]
        [[element]]
        name = "architrave"
        also = ["facing", "facings"]
        [[defect]]
        name = "scratched"
        also = ["scarted"]
        [[phrase]]
        kind = "positive"
        wordings = ["no bad at all"]
        [[heard]]
        heard = "ink go"
        kind = "element"
        term = "ingo lining"
    "#;

    #[test]
    fn what_is_made_beside_a_lexicon_finds_what_one_loaded_at_once_does() {
        let file = |name: &str, text: &str| (PathBuf::from(name), text.to_owned());
        let files = [file("own.toml", OWN), file("beside.toml", BESIDE)];
        let whole = Lexicon::load(&files).unwrap();
        let own = Lexicon::load(&files[..1]).unwrap();
        let beside = own.with_memory().reloaded(&files).unwrap();
        let again = beside.reloaded(&files).unwrap();
        let back = again.reloaded(&files[..1]).unwrap();
        let less = whole.reloaded(&files[..1]).unwrap();
        let other = whole.reloaded(&files[1..]).unwrap();
        let other_whole = Lexicon::load(&files[1..]).unwrap();
        let said = "boot store. the ink go is loose and the inning lining scarted, no bad at all. \
            fazings scratched in the bute store, kicker bored shoogly, architraves and facing \
            not been painted, mason tap drips";
        let tokens = whole.tokens_of(said);
        let kinds = [Kind::Place, Kind::Element, Kind::Defect, Kind::Phrase];
        for (one, other) in [
            (&whole, &beside),
            (&whole, &again),
            (&own, &back),
            (&own, &less),
            (&other_whole, &other),
        ] {
            assert_eq!(one.spot(&tokens), other.spot(&tokens));
            let (all, limit) = (0..tokens.len(), SUPPORTED_SOUND_LIMIT);
            assert_eq!(
                one.sounds_like(&tokens, all.clone(), &kinds, limit),
                other.sounds_like(&tokens, all, &kinds, limit)
            );
            for at in 0..tokens.len() - 1 {
                let stretch = &tokens[at..at + 2];
                assert_eq!(one.rivals(stretch, &kinds), other.rivals(stretch, &kinds));
                let near = |l: &Lexicon| l.places_near(&tokens, at..at + 2, 0.4);
                assert_eq!(near(one), near(other));
                let word = &tokens[at].norm;
                assert_eq!(one.has_word(word), other.has_word(word), "{word}");
                assert_eq!(one.in_place_name(word), other.in_place_name(word), "{word}");
            }
            assert_eq!(one.expected(true).wordings, other.expected(true).wordings);
        }
        assert!(beside.find(Kind::Element, "ingo lining").is_some());
        assert!(back.find(Kind::Element, "ingo lining").is_none());
        assert_ne!(whole.spot(&tokens), own.spot(&tokens));
    }
}
