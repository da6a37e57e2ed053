//! Hits by sound: wordings whose phonemes are near those of the heard words.
//!
//! Distance is the number of phoneme edits over the length of the longer side. All edits cost the
//! same: guessed costs for pairs that sound close did not find more (see the tests).

use super::distance;
use super::everyday::Everyday;
use super::leads::Lead;
use super::phonemes::Phoneme;
use super::term::{Hit, How, Kind, Token};
use super::wordings::Wording;
use super::{dictionary, letters};
use std::collections::{BTreeMap, HashMap, HashSet};
use std::ops::Range;

/// Wordings with fewer phonemes take no part: one wrong sound would make another word of them.
const FEWEST_PHONEMES: usize = 4;

/// The most tokens that may together stand for a wording; longer wordings are rarely misheard
/// whole, and parts of them match by themselves.
const MOST_TOKENS: usize = 4;

/// The share of the limit that holds for several everyday words in a row (*see lent*): the
/// recogniser does write such rows for trade words, but most of them mean what they say. One
/// everyday word alone never stands for another. Measured, see the tests.
const EVERYDAY_SHARE: f32 = 0.5;

/// How each word is pronounced, for lexicon and heard words alike.
#[derive(Debug)]
pub(super) struct Pronouncer {
    /// From `sounds.toml`.
    known: BTreeMap<String, Vec<Phoneme>>,
}

impl Pronouncer {
    pub(super) fn new(known: BTreeMap<String, Vec<Phoneme>>) -> Pronouncer {
        Pronouncer { known }
    }

    /// Returns the phonemes of a normal word: from the trade words, else the dictionary, else its
    /// letters. Forms of trade words in *-s*, *-ed* and *-ing* follow their base.
    pub(super) fn pronounce(&self, word: &str) -> Vec<Phoneme> {
        if word == "'s" {
            return vec![Phoneme::Z];
        }
        self.known
            .get(word)
            .cloned()
            .or_else(|| self.inflected(word))
            .or_else(|| dictionary::pronounce(word))
            .unwrap_or_else(|| letters::pronounce(word))
    }

    fn inflected(&self, word: &str) -> Option<Vec<Phoneme>> {
        use Phoneme::*;
        let base = |ending: &str, back: &str| {
            word.strip_suffix(ending).and_then(|stem| self.known.get(&format!("{stem}{back}"))).cloned()
        };
        if let Some(mut said) = base("s", "") {
            match said.last() {
                Some(S | Z | SH | ZH | CH | JH) => said.extend([IH, Z]),
                Some(P | T | K | F | TH) => said.push(S),
                _ => said.push(Z),
            }
            return Some(said);
        }
        if let Some(mut said) = base("es", "").filter(|said| matches!(said.last(), Some(S | Z | SH | CH | JH))) {
            said.extend([IH, Z]);
            return Some(said);
        }
        if let Some(mut said) = base("ies", "y") {
            said.push(Z);
            return Some(said);
        }
        if let Some(mut said) = base("ing", "").or_else(|| base("ing", "e")) {
            said.extend([IH, NG]);
            return Some(said);
        }
        if let Some(mut said) = base("ed", "").or_else(|| base("ed", "e")) {
            match said.last() {
                Some(T | D) => said.extend([IH, D]),
                Some(P | K | F | S | SH | CH | TH) => said.push(T),
                _ => said.push(D),
            }
            return Some(said);
        }
        None
    }
}

/// One pronunciation of one wording.
#[derive(Debug)]
struct Entry {
    wording: usize,
    kind: Kind,
    phonemes: Vec<Phoneme>,
    /// One bit per phoneme that occurs.
    mask: u64,
    /// Letters of its form without spaces.
    letters: String,
}

/// The pronunciations of all wordings.
#[derive(Debug)]
pub(super) struct Sounds {
    /// Ordered by length.
    entries: Vec<Entry>,
    /// `starts[n]`: the first entry with `n` phonemes or more.
    starts: Vec<usize>,
}

impl Sounds {
    /// Returns the pronunciations of the forms that need no lead.
    pub(super) fn new(wordings: &[Wording], pronouncer: &Pronouncer) -> Sounds {
        let mut words: HashMap<&str, Vec<Phoneme>> = HashMap::new();
        let mut entries = Vec::new();
        for (index, wording) in wordings.iter().enumerate().filter(|(_, w)| !w.number_needed) {
            let mut seen: HashSet<Vec<Phoneme>> = HashSet::new();
            for form in wording.forms.iter().filter(|form| form.lead == Lead::None) {
                let mut phonemes = Vec::new();
                for word in &form.words {
                    phonemes.extend(words.entry(word).or_insert_with(|| pronouncer.pronounce(word)).iter());
                }
                if phonemes.len() >= FEWEST_PHONEMES && seen.insert(phonemes.clone()) {
                    let (mask, letters) = (mask(&phonemes), form.words.concat());
                    entries.push(Entry { wording: index, kind: wording.kind, phonemes, mask, letters });
                }
            }
        }
        entries.sort_by_key(|entry| entry.phonemes.len());
        let longest = entries.last().map_or(0, |entry| entry.phonemes.len());
        let starts =
            (0..=longest + 1).map(|n| entries.partition_point(|entry| entry.phonemes.len() < n)).collect();
        Sounds { entries, starts }
    }

    /// Returns the entries with lengths from `fewest` to `most`.
    fn of_lengths(&self, fewest: usize, most: usize) -> &[Entry] {
        let start = |n: usize| self.starts.get(n).copied().unwrap_or(self.entries.len());
        self.entries.get(start(fewest)..start(most + 1)).unwrap_or(&[])
    }

    /// Returns the nearest hit of each term for each stretch of tokens, best first.
    pub(super) fn sounds_like(&self, search: &Search<'_>) -> Vec<Hit> {
        let Search { tokens, wordings, kinds, .. } = *search;
        let said: Vec<Vec<Phoneme>> = search
            .within
            .clone()
            .map(|at| tokens.get(at).map_or(Vec::new(), |token| search.pronouncer.pronounce(&token.norm)))
            .collect();
        let mut found = Vec::new();
        for first in 0..said.len() {
            let mut heard: Vec<Phoneme> = Vec::new();
            let mut letters = String::new();
            let mut all_everyday = true;
            for last in first..said.len().min(first + MOST_TOKENS) {
                let Some(token) = tokens.get(search.within.start + last) else { break };
                heard.extend(&said[last]);
                letters.push_str(&token.norm);
                all_everyday &= search.everyday.has(&token.norm);
                let limit = match (all_everyday, last == first) {
                    (false, _) => search.limit,
                    (true, false) => search.limit * EVERYDAY_SHARE,
                    (true, true) => continue,
                };
                // Signs and digits have no sound; a stretch begins and ends with one that has.
                if said[first].is_empty() || said[last].is_empty() {
                    continue;
                }
                let range = search.within.start + first..search.within.start + last + 1;
                self.nearest(&heard, limit, |entry, distance| {
                    if kinds.contains(&entry.kind) && entry.letters != letters {
                        found.push((distance, range.clone(), entry.wording));
                    }
                });
            }
        }
        best_of_each(found, wordings)
    }

    /// Calls `each` with every entry within the limit, and with its distance.
    fn nearest(&self, heard: &[Phoneme], limit: f32, mut each: impl FnMut(&Entry, f32)) {
        let length = heard.len();
        let heard_mask = mask(heard);
        // Lengths apart by more than the limit allows cannot be near: the longer side counts.
        let fewest = (length as f32 * (1.0 - limit)).ceil() as usize;
        let most = (length as f32 / (1.0 - limit).max(0.1)).floor() as usize;
        for entry in self.of_lengths(fewest.max(1), most) {
            let longer = length.max(entry.phonemes.len());
            let allowed = (longer as f32 * limit + 1e-4).floor() as usize;
            // Each phoneme that one side lacks altogether costs at least one edit.
            let missing = (heard_mask & !entry.mask).count_ones().max((entry.mask & !heard_mask).count_ones());
            if missing as usize > allowed {
                continue;
            }
            if let Some(edits) = distance::edits_within(heard, &entry.phonemes, allowed) {
                each(entry, edits as f32 / longer as f32);
            }
        }
    }
}

/// What to look for and where.
#[derive(Debug, Clone)]
pub(super) struct Search<'a> {
    pub(super) tokens: &'a [Token],
    pub(super) within: Range<usize>,
    pub(super) kinds: &'a [Kind],
    pub(super) limit: f32,
    pub(super) wordings: &'a [Wording],
    pub(super) pronouncer: &'a Pronouncer,
    pub(super) everyday: &'a Everyday,
}

fn mask(phonemes: &[Phoneme]) -> u64 {
    phonemes.iter().fold(0, |mask, phoneme| mask | 1 << (*phoneme as u32))
}

/// Keeps, of hits of one term that overlap, the nearest; of equally near ones the shortest, so that
/// neighbouring words are not drawn in.
fn best_of_each(mut found: Vec<(f32, Range<usize>, usize)>, wordings: &[Wording]) -> Vec<Hit> {
    found.sort_by(|a, b| {
        let rest = (a.1.len(), a.1.start, a.2).cmp(&(b.1.len(), b.1.start, b.2));
        a.0.total_cmp(&b.0).then(rest)
    });
    let mut kept: Vec<Hit> = Vec::new();
    for (distance, range, wording) in found {
        let wording = &wordings[wording];
        let overlaps = |hit: &Hit| {
            hit.term == wording.term && hit.tokens.start < range.end && range.start < hit.tokens.end
        };
        if !kept.iter().any(overlaps) {
            kept.push(Hit {
                term: wording.term,
                kind: wording.kind,
                tokens: range,
                wording: wording.text.clone(),
                how: How::SoundsLike { distance },
                number: None,
            });
        }
    }
    kept
}
