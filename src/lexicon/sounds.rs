//! Hits by sound: wordings whose phonemes are near those of the heard words.
//!
//! Distance is the number of phoneme edits over the length of the longer side. All edits cost the
//! same. Half costs for vowels among themselves and for pairs such as *p* and *b* were tried on the
//! words and sentences of the tests: for about as many false hits (5 against 7) they found one word
//! more of 69 (46 against 45), too little for guessed numbers and slower matching.

use super::dictionary;
use super::distance::Pattern;
use super::edges::Edges;
use super::everyday::Everyday;
use super::leads::Lead;
use super::memory::Near;
use super::phonemes::Phoneme;
use super::pronounce::Pronouncer;
use super::term::{Hit, How, Kind, TermId, Token};
use super::vocabulary::Layer;
use super::wordings::{Form, Wording};
use std::collections::{HashMap, HashSet};
use std::ops::Range;
use std::sync::Arc;

/// Wordings with fewer phonemes are never told by sound alone: one wrong sound would make another word
/// of them.
pub(super) const FEWEST_PHONEMES: usize = 4;

/// Wordings with fewer phonemes take no part at all.
const FEWEST_AT_ALL: usize = 3;

/// The most tokens that may together stand for a wording; longer wordings are rarely misheard
/// whole, and parts of them match by themselves.
const MOST_TOKENS: usize = 4;

/// The share of the limit that holds for a row of words of the dictionary (*see lent*), and for a row
/// that begins or ends with a small word (*in salation*): the recogniser does write such rows for
/// trade words, but most of them mean what they say. This and the next two shares are measured, see
/// the tests.
const DOUBTFUL_SHARE: f32 = 0.5;

/// The share for a single word of the dictionary, and for a row of them that begins or ends with a
/// small word.
const REAL_SHARE: f32 = 0.4;

/// The share for a row of everyday words. One everyday word alone never stands for another.
const EVERYDAY_SHARE: f32 = 0.3;

/// Small words, which usually belong to the sentence and not to a name.
const SMALL_WORDS: &[&str] = &[
    "'s", "a", "all", "am", "an", "and", "are", "as", "at", "be", "been", "but", "by", "can", "do",
    "does", "for", "from", "got", "had", "has", "have", "he", "her", "here", "his", "i", "if",
    "in", "is", "it", "its", "just", "me", "my", "no", "not", "of", "on", "or", "our", "she", "so",
    "some", "that", "the", "their", "them", "then", "there", "these", "they", "this", "those",
    "to", "up", "us", "was", "we", "were", "what", "when", "which", "who", "will", "with", "would",
    "you", "your",
];

/// Keeps a limit such as 1/3 from shutting out what is just that far.
pub(super) const ROUNDING: f32 = 1e-4;

/// Words that a wording may begin with and that add nothing to its sound.
const ARTICLES: &[&str] = &["a", "an", "the"];

/// How often each phoneme occurs.
type Bag = [u8; 48];

/// One pronunciation of one wording.
#[derive(Debug)]
pub(super) struct Entry {
    /// Index of the wording.
    pub(super) wording: usize,
    pub(super) kind: Kind,
    pub(super) phonemes: Vec<Phoneme>,
    /// Its form.
    pub(super) words: String,
    /// Letters of its form without spaces.
    letters: String,
    /// True where its form begins with a denial.
    denies: bool,
}

/// The pronunciations of all wordings.
#[derive(Debug)]
pub(super) struct Sounds {
    /// Ordered by length.
    entries: Vec<Entry>,
    /// The bag of each entry, apart from them so that the first filter reads little memory.
    bags: Vec<Bag>,
    /// `starts[n]`: the first entry with `n` phonemes or more.
    starts: Vec<usize>,
    edges: Edges,
}

/// What to look for and where.
#[derive(Clone)]
pub(super) struct Search<'a> {
    pub(super) tokens: &'a [Token],
    pub(super) within: Range<usize>,
    /// Exact hits in and around `within`.
    pub(super) exact: &'a [&'a Hit],
    pub(super) kinds: &'a [Kind],
    pub(super) limit: f32,
    /// The distance beyond which nothing counts for some tokens, however strange their words.
    pub(super) most: &'a dyn Fn(&Range<usize>) -> f32,
    pub(super) layers: Vec<Layer<'a>>,
    pub(super) pronouncer: &'a Pronouncer,
    pub(super) everyday: &'a Everyday,
}

impl Sounds {
    /// Returns the pronunciations of the forms that need no lead.
    pub(super) fn new(wordings: &[Wording], pronouncer: &Pronouncer) -> Sounds {
        let mut words: HashMap<&str, Vec<Phoneme>> = HashMap::new();
        let mut seen: HashSet<(TermId, Vec<Phoneme>)> = HashSet::new();
        let mut entries = Vec::new();
        for (index, wording) in wordings.iter().enumerate() {
            for form in wording
                .forms
                .iter()
                .filter(|form| takes_part(wording, form))
            {
                let mut phonemes = Vec::new();
                for word in &form.words {
                    let said = words
                        .entry(word)
                        .or_insert_with(|| pronouncer.pronounce(word));
                    phonemes.extend_from_slice(said);
                }
                let enough = phonemes.len() >= FEWEST_AT_ALL;
                if enough && seen.insert((wording.term, phonemes.clone())) {
                    let denies = form.words.first().is_some_and(|first| denies(first));
                    let (kind, letters) = (wording.kind, form.words.concat());
                    let words = form.words.join(" ");
                    entries.push(Entry {
                        wording: index,
                        kind,
                        phonemes,
                        words,
                        letters,
                        denies,
                    });
                }
            }
        }
        entries.sort_by_key(|entry| entry.phonemes.len());
        let bags = entries.iter().map(|entry| bag(&entry.phonemes)).collect();
        let longest = entries.last().map_or(0, |entry| entry.phonemes.len());
        let start = |n| entries.partition_point(|entry| entry.phonemes.len() < n);
        let starts = (0..=longest + 1).map(start).collect();
        let edges = Edges::new(&entries);
        Sounds {
            entries,
            bags,
            starts,
            edges,
        }
    }

    /// Returns one of them by its place in [`Self::every`].
    pub(super) fn entry(&self, index: usize) -> &Entry {
        &self.entries[index]
    }

    /// Returns the pronunciations of all wordings, shortest first.
    pub(super) fn every(&self) -> impl Iterator<Item = &Entry> {
        self.entries.iter()
    }

    /// Returns every entry of these kinds within the limit, by its place, with its distance.
    pub(super) fn nearest(&self, heard: &[Phoneme], limit: f32, kinds: &[Kind]) -> Near {
        let mut found = Near::new();
        let length = heard.len();
        if limit <= 0.0 {
            return found;
        }
        // Lengths apart by more than the limit allows cannot be near: the longer side counts.
        let fewest = (length as f32 * (1.0 - limit)).ceil() as usize;
        let most = (length as f32 / (1.0 - limit).max(0.1)).floor() as usize;
        let (fewest, most) = (fewest.max(FEWEST_PHONEMES), most.min(self.starts.len()));
        let allowed = |longer: usize| (longer as f32 * limit + ROUNDING).floor() as usize;
        let pattern = Pattern::new(heard);
        let mut judge = |at: usize| {
            let entry = &self.entries[at];
            let longer = length.max(entry.phonemes.len());
            if kinds.contains(&entry.kind) {
                let edits = pattern.edits(&entry.phonemes);
                if edits <= allowed(longer) {
                    found.push((edits as f32 / longer as f32, at));
                }
            }
        };
        // Everyday words are held to one edit or none, and they are most of what is said.
        match allowed(length.max(most)) {
            edits @ (0 | 1) => {
                let near = match edits {
                    0 => self.edges.like(heard),
                    _ => self.edges.around(heard),
                };
                let fits = |at: &usize| {
                    let length = self.entries[*at].phonemes.len();
                    (fewest..=most).contains(&length)
                };
                near.into_iter().filter(fits).for_each(&mut judge);
            }
            _ => {
                let bag = bag(heard);
                let start = |n: usize| self.starts.get(n).copied().unwrap_or(self.entries.len());
                for entry_length in fewest..=most {
                    let longer = length.max(entry_length);
                    // Each phoneme that one side has more of than the other costs at least one edit.
                    let least_common = longer.saturating_sub(allowed(longer));
                    let range = start(entry_length)..start(entry_length + 1);
                    let bags = range.clone().zip(&self.bags[range]);
                    bags.filter(|(_, entry_bag)| common(&bag, entry_bag) >= least_common)
                        .for_each(|(at, _)| judge(at));
                }
            }
        }
        found
    }
}

/// Returns the nearest hit of each term for each stretch of tokens, best first.
pub(super) fn sounds_like(search: &Search<'_>) -> Vec<Hit> {
    let tokens = &search.tokens[search.within.clone()];
    let said: Vec<_> = tokens
        .iter()
        .map(|token| search.pronouncer.pronounce(&token.norm))
        .collect();
    let start = search.within.start;
    let is_exact = |at: usize| {
        search
            .exact
            .iter()
            .any(|hit| hit.tokens.contains(&(start + at)))
    };
    let in_vocabulary: Vec<bool> = (0..tokens.len()).map(is_exact).collect();
    let mut found = Vec::new();
    for first in 0..tokens.len() {
        let mut heard: Vec<Phoneme> = Vec::new();
        for last in first..tokens.len().min(first + MOST_TOKENS) {
            heard.extend_from_slice(&said[last]);
            let stretch = Stretch {
                tokens: &tokens[first..=last],
                in_vocabulary: &in_vocabulary[first..=last],
                everyday: search.everyday,
            };
            // Signs and digits have no sound; a stretch begins and ends with one that has.
            if said[first].is_empty() || said[last].is_empty() {
                continue;
            }
            let Some(limit) = stretch.limit(search.limit) else {
                continue;
            };
            let range = start + first..start + last + 1;
            let limit = limit.min((search.most)(&range));
            for layer in &search.layers {
                let sounds = layer.sounds();
                let nearest = || sounds.nearest(&heard, limit, search.kinds);
                let near = match layer.memory {
                    Some(memory) => {
                        let asked = (heard.clone(), limit.to_bits(), search.kinds.to_vec());
                        memory.wordings.get(asked, nearest)
                    }
                    None => Arc::new(nearest()),
                };
                for &(distance, entry) in near.iter() {
                    let entry = sounds.entry(entry);
                    let wording = layer.wording(entry.wording);
                    if layer.counts(wording) && stretch.may_stand_for(entry) {
                        found.push((distance, range.clone(), wording, entry.wording));
                    }
                }
            }
        }
    }
    best_of_each(found, search)
}

fn takes_part(wording: &Wording, form: &Form) -> bool {
    let first = form.words.first().map_or("", String::as_str);
    !wording.number_needed && form.lead == Lead::None && !ARTICLES.contains(&first)
}

/// Returns true where a first word denies what follows: *not*, *unsealed*, but neither *under* nor
/// *unit*.
fn denies(first: &str) -> bool {
    let prefixed =
        first.starts_with("un") && !first.starts_with("und") && !first.starts_with("uni");
    prefixed || matches!(first, "no" | "not" | "never" | "without")
}

/// Some tokens in a row.
struct Stretch<'a> {
    tokens: &'a [Token],
    in_vocabulary: &'a [bool],
    everyday: &'a Everyday,
}

impl Stretch<'_> {
    fn words(&self) -> impl DoubleEndedIterator<Item = &str> {
        self.tokens.iter().map(|token| token.norm.as_str())
    }

    /// Returns the share of the limit that holds for this stretch, as a limit; `None` where it never
    /// stands for anything else.
    fn limit(&self, limit: f32) -> Option<f32> {
        let is_small = |word: &str| SMALL_WORDS.contains(&word);
        let is_everyday = |word: &str| self.everyday.has(word);
        let words = || self.words().zip(self.in_vocabulary.iter().copied());
        if words().all(|(word, known)| known || is_small(word)) {
            return None;
        }
        let alone = self.tokens.len() == 1;
        // Words of the vocabulary stay as they are, so only the others can be doubted.
        if words().all(|(word, known)| known || is_everyday(word)) {
            return (!alone).then_some(limit * EVERYDAY_SHARE);
        }
        let all_real =
            words().all(|(word, known)| known || is_everyday(word) || dictionary::has(word));
        let small_edge = [self.words().next(), self.words().next_back()]
            .into_iter()
            .flatten()
            .any(is_small);
        Some(match all_real {
            true if alone || small_edge => limit * REAL_SHARE,
            true => limit * DOUBTFUL_SHARE,
            false if small_edge => limit * DOUBTFUL_SHARE,
            false => limit,
        })
    }

    /// Returns true where the stretch may stand for an entry: words that are in the vocabulary
    /// themselves are never swapped for others, and nothing turns into its contrary.
    fn may_stand_for(&self, entry: &Entry) -> bool {
        let mut known = self
            .words()
            .zip(self.in_vocabulary)
            .filter(|(_, known)| **known);
        let denied = self.words().next().is_some_and(denies);
        known.all(|(word, _)| entry.letters.contains(word))
            && denied == entry.denies
            && self.words().collect::<String>() != entry.letters
    }
}

fn bag(phonemes: &[Phoneme]) -> Bag {
    let mut bag = [0u8; 48];
    for &phoneme in phonemes {
        let count = &mut bag[phoneme as usize];
        *count = count.saturating_add(1);
    }
    bag
}

/// Returns how many phonemes two bags have in common.
fn common(a: &Bag, b: &Bag) -> usize {
    // A wording has far fewer than 255 phonemes. Sums of bytes that cannot fail become a few vector
    // instructions, and this is the innermost loop.
    usize::from(
        a.iter()
            .zip(b)
            .fold(0u8, |sum, (a, b)| sum.wrapping_add(*a.min(b))),
    )
}

/// Keeps, of hits of one term that overlap, the nearest; of equally near ones the shortest, so that
/// neighbouring words are not drawn in. Terms that are there exactly are left out.
fn best_of_each(
    mut found: Vec<(f32, Range<usize>, &Wording, usize)>,
    search: &Search<'_>,
) -> Vec<Hit> {
    found.sort_by(
        |(a, range, wording, at), (b, other_range, other, other_at)| {
            a.total_cmp(b).then_with(|| {
                let key = (range.len(), range.start, wording.term, at);
                key.cmp(&(other_range.len(), other_range.start, other.term, other_at))
            })
        },
    );
    let mut kept: Vec<Hit> = Vec::new();
    for (distance, range, wording, _) in found {
        let overlaps = |hit: &Hit| {
            hit.term == wording.term && hit.tokens.start < range.end && range.start < hit.tokens.end
        };
        if !kept
            .iter()
            .chain(search.exact.iter().copied())
            .any(overlaps)
        {
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
