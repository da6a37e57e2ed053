//! Names of places near in sound to doubtful words, with how near they are.
//!
//! Where [`super::sounds`] decides by a limit, this only gathers and measures: whether a place is
//! meant is decided where the sentence and what follows it are known. The edits are weighted, since
//! whole announcements are compared (*right dapal*, *right gable*), whose every sound may be a
//! little off.

use super::Lexicon;
use super::memory::Near;
use super::phonemes::Phoneme::{self, *};
use super::rivals::{Terms, Tree};
use super::sounds::{Entry, FEWEST_PHONEMES, Sounds};
use super::term::{Hit, How, Kind, TermId, Token};
use super::vocabulary::Words;
use super::wordings::Wording;
use std::ops::Range;
use std::sync::{Arc, LazyLock};

/// How many terms are returned for a stretch: rivals beyond them are never the right one.
const KEPT: usize = 4;

/// Pairs of consonants that are easily taken for each other: alike but for the voice, or made at
/// neighbouring places of the mouth (phonetics, common knowledge; the choice of pairs is our own).
#[rustfmt::skip]
const ALIKE: &[(Phoneme, Phoneme)] = &[
    (P, B), (T, D), (K, G), (F, V), (S, Z), (SH, ZH), (CH, JH), (TH, DH), (M, N), (N, NG), (TH, F),
    (DH, V), (DH, D), (TH, T), (W, V), (L, R), (R, W), (S, SH), (Z, ZH), (CH, SH), (T, K), (P, K),
    (B, V), (T, CH), (D, JH), (B, D), (G, D), (M, B), (N, D), (S, TH), (Z, DH),
];

/// Cost of one vowel for another: accents differ in them most.
const VOWEL: f32 = 0.45;
/// Cost of an [`ALIKE`] pair.
const NEIGHBOUR: f32 = 0.55;
/// Cost of a sound that comes and goes: weak vowels, *h*, *y*, *r*.
const FAINT: f32 = 0.5;
/// Cost of a consonant that joined speech often swallows.
const SWALLOWED: f32 = 0.8;

impl Lexicon {
    /// Returns the places whose names are nearest in sound to the words of a stretch, nearest first,
    /// at most four. [`How::SoundsLike`] holds the weighted edits over the sounds of the longer side,
    /// from 0 to `most`.
    pub fn places_near(&self, tokens: &[Token], stretch: Range<usize>, most: f32) -> Vec<Hit> {
        let each = self.places_near_each(tokens, stretch.start, &[(stretch.end, most)], None);
        each.into_iter().next().unwrap_or_default()
    }

    /// Returns the same for several stretches that begin at `start`, each told by its end, shorter ones
    /// first, and by what is allowed of it; only of some places where they are given.
    pub fn places_near_each(
        &self,
        tokens: &[Token],
        start: usize,
        ends: &[(usize, f32)],
        among: Option<&[TermId]>,
    ) -> Vec<Vec<Hit>> {
        let Some((last, _)) = ends.last() else {
            return Vec::new();
        };
        let (mut heard, mut lengths) = (Vec::new(), vec![0]);
        for token in &tokens[start..*last] {
            heard.extend(self.pronounce([&*token.norm].into_iter()));
            lengths.push(heard.len());
        }
        let allowed: Vec<_> = ends
            .iter()
            .map(|&(_, most)| move |longer: usize| most * longer as f32)
            .collect();
        let asked: Vec<(usize, &dyn Fn(usize) -> f32)> = ends
            .iter()
            .zip(&allowed)
            .map(|((end, _), most)| (lengths[end - start], most as &dyn Fn(usize) -> f32))
            .collect();
        let terms: Option<Terms> = among.map(|among| among.iter().copied().collect());
        let found: Vec<Vec<Arc<Near>>> = self
            .layers()
            .map(|layer| {
                let tree = &layer.place_names().tree;
                match layer.memory {
                    None => tree
                        .near_each(&heard, &asked, terms)
                        .into_iter()
                        .map(Arc::new)
                        .collect(),
                    Some(memory) => {
                        let kept = asked
                            .iter()
                            .zip(ends)
                            .map(|(&(length, allowed), (_, most))| {
                                let heard = &heard[..length];
                                let near = || tree.near(heard, allowed);
                                memory.places.get((heard.to_vec(), most.to_bits()), near)
                            });
                        kept.collect()
                    }
                }
            })
            .collect();
        let hits = ends.iter().enumerate().map(|(at, (end, _))| {
            let mut layers = found.iter().map(|layer| layer[at].clone());
            let mut near = self.nearest(|_| layers.next().unwrap_or_default());
            near.retain(|(_, _, wording)| among.is_none_or(|among| among.contains(&wording.term)));
            self.nearest_places(near, start..*end)
        });
        hits.collect()
    }

    fn nearest_places(
        &self,
        near: Vec<(f32, &Entry, &Wording)>,
        stretch: Range<usize>,
    ) -> Vec<Hit> {
        let mut hits: Vec<Hit> = Vec::new();
        for (distance, _, wording) in near {
            if !hits.iter().any(|h| h.term == wording.term) {
                hits.push(Hit {
                    term: wording.term,
                    kind: Kind::Place,
                    tokens: stretch.clone(),
                    wording: wording.text.clone(),
                    how: How::SoundsLike { distance },
                    number: None,
                });
            }
            if hits.len() == KEPT {
                break;
            }
        }
        hits
    }

    /// Returns true for a word that the name of some place has.
    pub fn in_place_name(&self, word: &str) -> bool {
        self.layers()
            .any(|layer| layer.is_in(&layer.place_names().words, word))
    }
}

/// The names of all places.
#[derive(Debug)]
pub(super) struct PlaceNames {
    words: Words,
    /// By sound.
    tree: Tree,
}

impl PlaceNames {
    pub(super) fn new(wordings: &[Wording], sounds: &Sounds) -> PlaceNames {
        let places = wordings.iter();
        let places = places.filter(|wording| wording.kind == Kind::Place);
        let mut words = Words::default();
        for wording in places {
            for word in wording.text.split(' ') {
                words
                    .entry(word.to_owned())
                    .or_default()
                    .insert(wording.term);
            }
        }
        PlaceNames {
            words,
            tree: Tree::new(sounds, |entry| {
                entry.kind == Kind::Place && entry.phonemes.len() >= FEWEST_PHONEMES
            })
            .with_terms(sounds, |entry| wordings[entry.wording].term),
        }
    }
}

/// Cost of each sound for each other. This is read at every
/// step through a tree of pronunciations.
pub(super) static SUBSTITUTION: LazyLock<[[f32; SOUNDS]; SOUNDS]> = LazyLock::new(|| {
    let sounds = Phoneme::ALL.map(|(sound, _)| sound);
    let mut costs = [[1.0; SOUNDS]; SOUNDS];
    for (a, b) in sounds.iter().flat_map(|a| sounds.map(|b| (*a, b))) {
        if a == b {
            costs[a as usize][b as usize] = 0.0;
        } else if a.is_vowel() && b.is_vowel() {
            costs[a as usize][b as usize] = VOWEL;
        } else if ALIKE.contains(&(a, b)) || ALIKE.contains(&(b, a)) {
            costs[a as usize][b as usize] = NEIGHBOUR;
        }
    }
    costs
});

/// Number of sounds.
pub(super) const SOUNDS: usize = Phoneme::ALL.len();

/// The least that a sound costs that the other side has not.
pub(super) const CHEAPEST_GAP: f32 = FAINT;

/// What a sound costs that the other side has not.
pub(super) fn gap(sound: Phoneme) -> f32 {
    match sound {
        AH | IH | HH | Y | R => FAINT,
        T | D | L | S | Z => SWALLOWED,
        _ => 1.0,
    }
}

/// Returns the cost of the cheapest edits that turn one row of sounds into the other (Wagner and
/// Fischer 1974, with costs).
pub(super) fn weighted_edits(a: &[Phoneme], b: &[Phoneme]) -> f32 {
    let mut row = vec![0.0];
    for &right in b {
        row.push(row[row.len() - 1] + gap(right));
    }
    for &left in a {
        let mut diagonal = row[0];
        row[0] += gap(left);
        for (j, &right) in b.iter().enumerate() {
            let substituted = diagonal + SUBSTITUTION[left as usize][right as usize];
            diagonal = row[j + 1];
            row[j + 1] = substituted
                .min(row[j] + gap(right))
                .min(diagonal + gap(left));
        }
    }
    row[b.len()]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lexicon::distance::edits;
    use proptest::prelude::*;

    #[test]
    fn places_are_near_to_what_is_heard_for_them() {
        let lexicon = Lexicon::builtin().unwrap_or_else(|problems| panic!("{problems:?}"));
        // Each as the recogniser wrote it for a synthetic voice (development data) or made up likewise.
        let table = [
            ("right dapal", "right gable"),
            ("bar through them", "bathroom"),
            ("what room", "wet room"),
            ("back guard into", "back garden"),
            ("kitching", "kitchen"),
        ];
        for (heard, meant) in table {
            let tokens = lexicon.tokens_of(heard);
            let hits = lexicon.places_near(&tokens, 0..tokens.len(), 0.5);
            assert!(hits.iter().any(|h| h.wording == meant), "{heard}: {hits:?}");
        }
    }

    fn sounds() -> impl Strategy<Value = Vec<Phoneme>> {
        proptest::collection::vec(
            proptest::sample::select(&Phoneme::ALL[..]).prop_map(|p| p.0),
            0..12,
        )
    }

    proptest! {
        #[test]
        fn weights_only_make_edits_cheaper(a in sounds(), b in sounds()) {
            let cost = weighted_edits(&a, &b);
            prop_assert!(cost <= edits(&a, &b) as f32 + 1e-4);
            prop_assert!((cost - weighted_edits(&b, &a)).abs() < 1e-4);
            prop_assert_eq!(cost == 0.0, a == b);
        }
    }
}
