//! Pronunciations by their first and by their last sounds.
//!
//! Two rows of sounds that differ in one sound at most begin alike up to any place of the one, or end
//! alike from there on (the pigeonhole of e.g. Navarro, *A guided tour to approximate string matching*,
//! ACM Computing Surveys 33(1), 2001, section 8): whoever cuts what was heard in the middle need not
//! look at all the pronunciations for those that are so near.

use super::phonemes::Phoneme;
use super::sounds::Entry;

/// How many sounds a key holds: what is longer is told apart afterwards.
const HELD: usize = 8;

/// The places of pronunciations, ordered by their keys.
type Ordered = Vec<(u64, u32)>;

/// Pronunciations, each by its place among all, ordered by how they begin and by how they end.
#[derive(Debug)]
pub(super) struct Edges {
    beginnings: Ordered,
    endings: Ordered,
}

impl Edges {
    pub(super) fn new(entries: &[Entry]) -> Edges {
        let ordered = |key: &dyn Fn(&Entry) -> u64| {
            let keys = entries.iter().map(key).zip(0..);
            let mut keys: Ordered = keys.collect();
            keys.sort_unstable();
            keys
        };
        Edges {
            beginnings: ordered(&|entry| key(entry.phonemes.iter()).0),
            endings: ordered(&|entry| key(entry.phonemes.iter().rev()).0),
        }
    }

    /// Returns the places of all pronunciations that may be at most one sound off, in order, among
    /// others that are further off.
    pub(super) fn around(&self, heard: &[Phoneme]) -> Vec<usize> {
        let (before, after) = heard.split_at(heard.len() / 2);
        let mut found: Vec<usize> = with(&self.beginnings, key(before.iter()))
            .chain(with(&self.endings, key(after.iter().rev())))
            .collect();
        found.sort_unstable();
        found.dedup();
        found
    }

    /// Returns the places of all pronunciations that may be the heard one, among others that only begin
    /// like it, in order.
    pub(super) fn like(&self, heard: &[Phoneme]) -> Vec<usize> {
        let mut found: Vec<usize> = with(&self.beginnings, key(heard.iter())).collect();
        found.sort_unstable();
        found
    }
}

/// Returns the key of some sounds, a byte for each, and the greatest that goes on from there.
fn key<'a>(sounds: impl Iterator<Item = &'a Phoneme>) -> (u64, u64) {
    let (mut key, mut free) = (0, u64::BITS);
    for &sound in sounds.take(HELD) {
        free -= u8::BITS;
        key |= (sound as u64 + 1) << free;
    }
    (
        key,
        key | u64::MAX.checked_shr(u64::BITS - free).unwrap_or(0),
    )
}

/// Returns the places of what has these sounds at its edge.
fn with(ordered: &Ordered, (least, most): (u64, u64)) -> impl Iterator<Item = usize> {
    let from = ordered.partition_point(|(key, _)| *key < least);
    ordered[from..]
        .iter()
        .take_while(move |(key, _)| *key <= most)
        .map(|(_, at)| *at as usize)
}

#[cfg(test)]
mod tests {
    use super::super::distance::edits;
    use super::super::memory::Near;
    use super::super::sounds::{FEWEST_PHONEMES, ROUNDING};
    use super::super::{Kind, Lexicon};

    #[test]
    fn what_is_near_is_what_a_look_at_every_pronunciation_finds() {
        let lexicon = Lexicon::embedded().unwrap();
        let kinds = [Kind::Place, Kind::Element, Kind::Defect, Kind::Remedy];
        let sounds = lexicon.layers().next().unwrap().sounds();
        for words in [
            "door",
            "see",
            "scirting",
            "skirting",
            "down pup",
            "see lent",
            "bedroom",
            "art itrot",
            "extracter fan",
            "plaster bored",
            "the new will post",
            "a consumer unit",
        ] {
            let heard = lexicon.pronounce(words.split(' '));
            for limit in [0.09, 0.12, 0.17, 0.3] {
                let near = sounds.every().enumerate().filter_map(|(at, entry)| {
                    let longer = heard.len().max(entry.phonemes.len());
                    let edits = edits(&heard, &entry.phonemes);
                    let counts = edits as f32 <= longer as f32 * limit + ROUNDING
                        && entry.phonemes.len() >= FEWEST_PHONEMES
                        && kinds.contains(&entry.kind);
                    counts.then_some((edits as f32 / longer as f32, at))
                });
                let expected: Near = near.collect();
                assert_eq!(
                    sounds.nearest(&heard, limit, &kinds),
                    expected,
                    "{words} {limit}"
                );
            }
        }
    }
}
