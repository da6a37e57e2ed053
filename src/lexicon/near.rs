//! Wordings near in sound to doubtful words, with how near they are.
//!
//! Where [`super::sounds`] decides by a limit, this only gathers and measures: whether a wording is
//! meant is decided where the sentence and what follows it are known. The edits are weighted, since
//! whole announcements are compared (*right dapal*, *right gable*), whose every sound may be a
//! little off.

use super::Lexicon;
use super::fit::SOUNDS;
use super::phonemes::Phoneme::{self, *};
use super::sounds::{Entry, Sounds};
use super::term::{Hit, How, Kind, Token};
use std::ops::Range;
use std::sync::LazyLock;

/// Share of the longer side's sounds that the weighted edits may come to. Beyond it chance decides:
/// of any two short words, every second sound is a vowel for a vowel.
const MOST_COST: f32 = 0.5;

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
    /// Returns the terms of a kind whose wordings are nearest in sound to the words of a stretch,
    /// nearest first, at most four. [`How::SoundsLike`] holds the weighted edits over the sounds of
    /// the longer side, 0 to 0.5.
    pub fn near(&self, tokens: &[Token], stretch: Range<usize>, kind: Kind) -> Vec<Hit> {
        let said = tokens[stretch.clone()].iter().map(|token| &*token.norm);
        let heard = self.pronounce(said);
        let wordings = self.spotter.wordings();
        let mut hits: Vec<Hit> = Vec::new();
        for (distance, entry) in nearest(self.sounds(), &heard, kind) {
            let wording = &wordings[entry.wording];
            if !hits.iter().any(|h| h.term == wording.term) {
                hits.push(Hit {
                    term: wording.term,
                    kind,
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
}

fn nearest<'a>(sounds: &'a Sounds, heard: &[Phoneme], kind: Kind) -> Vec<(f32, &'a Entry)> {
    // Each sound of a wording costs at least this, whichever sound that was heard it is held against.
    let mut least = [0.0; SOUNDS];
    for (sound, _) in Phoneme::ALL {
        let costs = &SUBSTITUTION[sound as usize];
        let against = heard.iter().map(|&heard| costs[heard as usize]);
        least[sound as usize] = against.fold(gap(sound), f32::min);
    }
    let mut found: Vec<(f32, &Entry)> = sounds
        .of_kind(kind)
        .filter_map(|entry| {
            let longer = heard.len().max(entry.phonemes.len()) as f32;
            // A little more than the bound, so that rounding cannot decide before the division does.
            let most = MOST_COST * longer + 0.01;
            let sounds = entry.phonemes.iter();
            if sounds.map(|&sound| least[sound as usize]).sum::<f32>() > most {
                return None;
            }
            let cost = weighted_edits(heard, &entry.phonemes, most)? / longer;
            (cost <= MOST_COST).then_some((cost, entry))
        })
        .collect();
    found.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.wording.cmp(&b.1.wording)));
    found
}

/// Cost of each sound for each other. Every sentence is held against all wordings of places, so this
/// is read some million times a minute of speech.
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

pub(super) fn gap(sound: Phoneme) -> f32 {
    match sound {
        AH | IH | HH | Y | R => FAINT,
        T | D | L | S | Z => SWALLOWED,
        _ => 1.0,
    }
}

/// Returns the cost of the cheapest edits that turn one row of sounds into the other (Wagner and
/// Fischer 1974, with costs), or `None` where it is more than `most`: no later row can then be
/// cheaper than the cheapest of one.
pub(super) fn weighted_edits(a: &[Phoneme], b: &[Phoneme], most: f32) -> Option<f32> {
    let costs = &*SUBSTITUTION;
    let mut row: Vec<f32> = std::iter::once(0.0)
        .chain(b.iter().scan(0.0, |sum, &sound| {
            *sum += gap(sound);
            Some(*sum)
        }))
        .collect();
    for &left in a {
        let (costs, gap_left) = (&costs[left as usize], gap(left));
        let mut diagonal = row[0];
        row[0] += gap_left;
        let mut cheapest = row[0];
        for (j, &right) in b.iter().enumerate() {
            let substituted = diagonal + costs[right as usize];
            diagonal = row[j + 1];
            let cost = substituted
                .min(row[j] + gap(right))
                .min(diagonal + gap_left);
            row[j + 1] = cost;
            cheapest = cheapest.min(cost);
        }
        if cheapest > most {
            return None;
        }
    }
    Some(row[b.len()]).filter(|cost| *cost <= most)
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
            let hits = lexicon.near(&tokens, 0..tokens.len(), Kind::Place);
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
            let cost = weighted_edits(&a, &b, f32::INFINITY).unwrap();
            prop_assert!(cost <= edits(&a, &b) as f32 + 1e-4);
            prop_assert!((cost - weighted_edits(&b, &a, f32::INFINITY).unwrap()).abs() < 1e-4);
            prop_assert_eq!(cost == 0.0, a == b);
            prop_assert_eq!(weighted_edits(&a, &b, cost), Some(cost));
            prop_assert!(cost == 0.0 || weighted_edits(&a, &b, cost * 0.99).is_none());
        }
    }
}
