//! Wordings that misheard words may have been, with how near each is in sound.
//!
//! The pronunciations of all wordings stand in a tree, and the weighted edits of [`super::near`] are
//! carried down it row by row: what has grown too far apart is not followed (the search of a
//! dictionary held as a tree, e.g. Oflazer, *Error-tolerant finite-state recognition*, Computational
//! Linguistics 22(1), 1996).

use super::Lexicon;
use super::memory::Near;
use super::near::{CHEAPEST_GAP, SOUNDS, SUBSTITUTION, gap, weighted_edits};
use super::phonemes::Phoneme;
use super::sounds::{Entry, Sounds};
use super::term::{Kind, TermId, Token};
use super::vocabulary::Layer;
use super::wordings::Wording;
use rustc_hash::FxHashSet;
use std::sync::Arc;

/// A wording that misheard words may have been.
#[derive(Debug, Clone, PartialEq)]
pub struct Rival {
    /// The term.
    pub term: TermId,
    /// Its kind.
    pub kind: Kind,
    /// The wording, in the form that is nearest in sound.
    pub text: String,
    /// Weighted edits over the sounds of the longer side, from 0.
    pub distance: f32,
    /// How many sounds the longer side has.
    pub sounds: usize,
}

/// Pronunciations as a tree; node 0 is the start.
#[derive(Debug)]
pub(super) struct Tree {
    nodes: Vec<Node>,
    /// The terms at or below each node, where some of them are asked for; empty where all always are.
    terms: Vec<Terms>,
}

/// A set of terms that may hold a few others too: those whose ids are alike in the lowest eight bits.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Terms([u64; 4]);

impl Terms {
    fn insert(&mut self, TermId(id): TermId) {
        self.0[id as usize / 64 % 4] |= 1 << (id % 64);
    }

    fn join(&mut self, other: Terms) {
        self.0.iter_mut().zip(other.0).for_each(|(a, b)| *a |= b);
    }

    fn meet(&self, other: &Terms) -> bool {
        self.0.iter().zip(&other.0).any(|(a, b)| a & b != 0)
    }
}

impl FromIterator<TermId> for Terms {
    fn from_iter<T: IntoIterator<Item = TermId>>(ids: T) -> Terms {
        let mut terms = Terms::default();
        ids.into_iter().for_each(|id| terms.insert(id));
        terms
    }
}

#[derive(Debug, Default)]
struct Node {
    next: Vec<(Phoneme, u32)>,
    /// Pronunciations that end here, by their place in [`Sounds::every`].
    entries: Vec<u32>,
    /// Sounds of the shortest and of the longest entry that end here or below.
    shallowest: usize,
    deepest: usize,
}

impl Node {
    fn reaches(&mut self, length: usize) {
        self.deepest = self.deepest.max(length);
        self.shallowest = match self.shallowest {
            0 => length,
            shallowest => shallowest.min(length),
        };
    }
}

/// What the edits between two rows of sounds may cost, the longer one having this many: one sound and a
/// bit, and one in eight.
fn most(longer: usize) -> f32 {
    1.0 + 0.12 * longer as f32
}

/// The lesser of two costs; unlike [`f32::min`] it need not think of what is no number.
fn lesser(a: f32, b: f32) -> f32 {
    if a < b { a } else { b }
}

impl Tree {
    /// Returns the tree of those pronunciations that are asked for.
    pub(super) fn new(sounds: &Sounds, asked: impl Fn(&Entry) -> bool) -> Tree {
        let mut nodes = vec![Node::default()];
        for (index, entry) in sounds.every().enumerate().filter(|(_, entry)| asked(entry)) {
            let mut node = 0;
            let length = entry.phonemes.len();
            for &sound in &entry.phonemes {
                nodes[node].reaches(length);
                let known = nodes[node].next.iter().find(|(s, _)| *s == sound);
                node = match known {
                    Some((_, next)) => *next as usize,
                    None => {
                        let fresh = nodes.len();
                        nodes[node].next.push((sound, fresh as u32));
                        nodes.push(Node::default());
                        fresh
                    }
                };
            }
            nodes[node].entries.push(index as u32);
            nodes[node].reaches(length);
        }
        Tree {
            nodes,
            terms: Vec::new(),
        }
    }

    /// Returns the same tree, which can be asked for some terms only; `term` tells whose a pronunciation is.
    pub(super) fn with_terms(self, sounds: &Sounds, term: impl Fn(&Entry) -> TermId) -> Tree {
        let mut terms = vec![Terms::default(); self.nodes.len()];
        // What is below a node comes after it.
        for (at, node) in self.nodes.iter().enumerate().rev() {
            for &entry in &node.entries {
                terms[at].insert(term(sounds.entry(entry as usize)));
            }
            for &(_, next) in &node.next {
                let below = terms[next as usize];
                terms[at].join(below);
            }
        }
        Tree { terms, ..self }
    }

    /// Returns the pronunciations that are near to the heard sounds, nearest first, each as the
    /// weighted edits over the sounds of the longer side and its place in [`Sounds::every`]; `most`
    /// tells from the number of the longer side's sounds what the edits may cost.
    pub(super) fn near(&self, heard: &[Phoneme], most: &dyn Fn(usize) -> f32) -> Near {
        let each = self.near_each(heard, &[(heard.len(), most)], None);
        each.into_iter().next().unwrap_or_default()
    }

    /// Returns the same for several beginnings of the heard sounds, in one walk through the tree: each
    /// is told by its number of sounds and what the edits may cost. Where only some terms are asked for,
    /// not all others are found.
    pub(super) fn near_each(
        &self,
        heard: &[Phoneme],
        beginnings: &[(usize, Most<'_>)],
        asked: Option<Terms>,
    ) -> Vec<Near> {
        let beginnings: Vec<Beginning<'_>> = beginnings
            .iter()
            .map(|&(length, most)| {
                // A wording that is longer by more sounds than this costs too much whatever they are.
                let fits =
                    |longer: &usize| CHEAPEST_GAP * (longer - length) as f32 <= most(*longer);
                let deepest = self.nodes[0].deepest.max(length);
                let longest = (length..=deepest).rev().find(fits).unwrap_or(length);
                Beginning {
                    length,
                    longest,
                    most,
                    found: Near::new(),
                }
            })
            .collect();
        let mut walk = Walk {
            tree: self,
            asked,
            heard,
            longest: beginnings
                .iter()
                .map(|b| b.longest)
                .max()
                .unwrap_or_default(),
            beginnings,
            costs: &SUBSTITUTION,
            gaps: heard.iter().map(|&sound| gap(sound)).collect(),
            rows: vec![0.0],
        };
        for at in 0..heard.len() {
            walk.rows.push(walk.rows[at] + walk.gaps[at]);
        }
        walk.go(0, 0);
        let sorted = |mut found: Near| {
            found.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
            found
        };
        walk.beginnings
            .into_iter()
            .map(|b| sorted(b.found))
            .collect()
    }
}

/// What edits may cost, by the number of the longer side's sounds.
type Most<'a> = &'a dyn Fn(usize) -> f32;

/// A beginning of the heard sounds.
struct Beginning<'a> {
    /// How many sounds it has.
    length: usize,
    /// How many a wording has at most.
    longest: usize,
    most: Most<'a>,
    found: Near,
}

/// One walk through the tree.
struct Walk<'a> {
    tree: &'a Tree,
    asked: Option<Terms>,
    heard: &'a [Phoneme],
    costs: &'a [[f32; SOUNDS]; SOUNDS],
    /// What each of them costs where it stands for nothing.
    gaps: Vec<f32>,
    beginnings: Vec<Beginning<'a>>,
    /// How many sounds a wording has at most.
    longest: usize,
    /// The rows on the way to the node, one after the other: the cost of each prefix of the heard
    /// sounds against the sounds on the way.
    rows: Vec<f32>,
}

impl Walk<'_> {
    /// Goes on from a node at some depth.
    fn go(&mut self, node: usize, depth: usize) {
        let (length, node) = (self.heard.len(), &self.tree.nodes[node]);
        let (row, below) = (depth * (length + 1), (depth + 1) * (length + 1));
        for beginning in self
            .beginnings
            .iter_mut()
            .filter(|_| !node.entries.is_empty())
        {
            let (longer, cost) = (
                beginning.length.max(depth),
                self.rows[row + beginning.length],
            );
            if cost <= (beginning.most)(longer) {
                let here = node.entries.iter();
                let found = here.map(|&entry| (cost / longer as f32, entry as usize));
                beginning.found.extend(found);
            }
        }
        if depth == self.longest {
            return;
        }
        self.rows.resize(below + length + 1, 0.0);
        for &(sound, next) in &node.next {
            let (costs, gap_here) = (&self.costs[sound as usize], gap(sound));
            let under = &self.tree.nodes[next as usize];
            let asked = |asked: &Terms| self.tree.terms[next as usize].meet(asked);
            if under.shallowest > self.longest || !self.asked.as_ref().is_none_or(asked) {
                continue;
            }
            let (above, here) = self.rows[row..].split_at_mut(length + 1);
            here[0] = above[0] + gap_here;
            let mut before = here[0];
            let heard = self.heard.iter().zip(&self.gaps);
            let cells = here[1..].iter_mut().zip(above.windows(2)).zip(heard);
            for ((cell, above), (&heard, &gap)) in cells {
                before = lesser(
                    lesser(above[0] + costs[heard as usize], above[1] + gap_here),
                    before + gap,
                );
                *cell = before;
            }
            let here = &here[..=length];
            if self
                .beginnings
                .iter()
                .any(|beginning| beginning.goes_on(here, under, depth + 1))
            {
                self.go(next as usize, depth + 1);
                self.rows.truncate(below + length + 1);
            }
        }
    }
}

impl Beginning<'_> {
    /// True where a wording at or below a node may still be near enough, given the costs so far.
    fn goes_on(&self, costs: &[f32], under: &Node, depth: usize) -> bool {
        if under.shallowest > self.longest {
            return false;
        }
        let deepest = under.deepest.min(self.longest);
        // What is left to hear and what is left to say, where they differ, costs gaps.
        let (fewest, most) = (under.shallowest - depth, deepest.saturating_sub(depth));
        let allowed = (self.most)(self.length.max(deepest));
        let left = (0..=self.length).rev();
        costs[..=self.length].iter().zip(left).any(|(&cost, left)| {
            let apart = fewest.saturating_sub(left) + left.saturating_sub(most);
            cost <= allowed && cost + CHEAPEST_GAP * apart as f32 <= allowed
        })
    }
}

impl Lexicon {
    /// Returns the terms of these kinds that have a wording near in sound to the words of `tokens`,
    /// nearest first, each once.
    pub fn rivals(&self, tokens: &[Token], kinds: &[Kind]) -> Vec<Rival> {
        self.rivals_within(tokens, kinds, &most)
    }

    /// Returns the same that are at most so far.
    pub fn near_rivals(&self, tokens: &[Token], kinds: &[Kind], farthest: f32) -> Vec<Rival> {
        self.rivals_within(tokens, kinds, &|longer| farthest * longer as f32)
    }

    fn rivals_within(&self, tokens: &[Token], kinds: &[Kind], most: Most<'_>) -> Vec<Rival> {
        let heard = self.pronounce(tokens.iter().map(|token| &*token.norm));
        let near = self.nearest(|layer| Arc::new(layer.rivals().near(&heard, most)));
        let mut seen: FxHashSet<TermId> = FxHashSet::default();
        let mut rivals: Vec<Rival> = Vec::new();
        for (distance, entry, wording) in near {
            if kinds.contains(&entry.kind) && seen.insert(wording.term) {
                rivals.push(Rival {
                    term: wording.term,
                    kind: wording.kind,
                    text: entry.words.clone(),
                    distance,
                    sounds: heard.len().max(entry.phonemes.len()),
                });
            }
        }
        rivals
    }

    /// Returns how far in sound a wording is from the words of `tokens`: weighted edits over the sounds of the
    /// longer side, from 0.
    pub fn apart(&self, tokens: &[Token], wording: &str) -> f32 {
        let heard = self.pronounce(tokens.iter().map(|token| &*token.norm));
        let meant = self.pronounce(wording.split(' '));
        weighted_edits(&heard, &meant) / heard.len().max(meant.len()).max(1) as f32
    }

    /// Returns what `near` finds in each vocabulary, nearest first, as one of all terms would have it.
    pub(super) fn nearest<'a>(
        &'a self,
        mut near: impl FnMut(&Layer<'a>) -> Arc<Near>,
    ) -> Vec<(f32, &'a Entry, &'a Wording)> {
        let mut found = Vec::new();
        for layer in self.layers() {
            for &(distance, at) in near(&layer).iter() {
                let entry = layer.sounds().entry(at);
                let wording = layer.wording(entry.wording);
                if layer.counts(wording) {
                    found.push((distance, at, entry, wording));
                }
            }
        }
        found.sort_by(
            |(a, at, entry, wording), (b, other_at, other, other_wording)| {
                let key = (entry.phonemes.len(), wording.term, at);
                let other_key = (other.phonemes.len(), other_wording.term, other_at);
                a.total_cmp(b).then_with(|| key.cmp(&other_key))
            },
        );
        let named = found.into_iter();
        named
            .map(|(near, _, entry, wording)| (near, entry, wording))
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lexicon() -> &'static Lexicon {
        Lexicon::embedded().unwrap()
    }

    #[test]
    fn the_tree_finds_what_a_look_at_every_wording_finds() {
        for heard in [
            "mason tap",
            "skittings",
            "stripping",
            "creed",
            "hodes",
            "door chin",
        ] {
            let tokens = lexicon().tokens_of(heard);
            let phonemes = lexicon().pronounce(tokens.iter().map(|token| &*token.norm));
            let kinds = [Kind::Element, Kind::Defect];
            let mut expected: Vec<(TermId, f32)> = Vec::new();
            let layer = lexicon().layers().next().unwrap();
            for entry in layer.sounds().every().filter(|e| kinds.contains(&e.kind)) {
                let longer = phonemes.len().max(entry.phonemes.len());
                let cost = weighted_edits(&phonemes, &entry.phonemes);
                let term = layer.wording(entry.wording).term;
                if cost <= most(longer) {
                    let share = cost / longer as f32;
                    match expected.iter_mut().find(|(t, _)| *t == term) {
                        Some((_, least)) => *least = least.min(share),
                        None => expected.push((term, share)),
                    }
                }
            }
            let found = lexicon().rivals(&tokens, &kinds);
            assert_eq!(found.len(), expected.len(), "{heard}");
            for rival in found {
                let (_, share) = expected.iter().find(|(t, _)| *t == rival.term).unwrap();
                assert!(
                    (rival.distance - share).abs() < 1e-5,
                    "{heard}: {rival:?} {share}"
                );
            }
        }
    }
}
