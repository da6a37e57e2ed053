//! Wordings that misheard words may have been, with how near each is in sound.
//!
//! The pronunciations of all wordings stand in a tree, and the weighted edits of [`super::near`] are
//! carried down it row by row: what has grown too far apart is not followed (the search of a
//! dictionary held as a tree, e.g. Oflazer, *Error-tolerant finite-state recognition*, Computational
//! Linguistics 22(1), 1996).

use super::Lexicon;
use super::near::{SUBSTITUTION, gap};
use super::phonemes::Phoneme;
use super::sounds::Sounds;
use super::term::{Kind, TermId, Token};
use std::collections::HashSet;

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
}

#[derive(Debug, Default)]
struct Node {
    next: Vec<(Phoneme, u32)>,
    /// Entries of [`Sounds`] that end here.
    entries: Vec<u32>,
    /// Sounds of the longest entry that ends here or below.
    deepest: usize,
}

/// What the edits between two rows of sounds may cost, the longer one having this many: one sound and a
/// bit, and one in eight.
fn most(longer: usize) -> f32 {
    1.0 + 0.12 * longer as f32
}

impl Tree {
    pub(super) fn new(sounds: &Sounds) -> Tree {
        let mut nodes = vec![Node::default()];
        for (index, entry) in sounds.every().enumerate() {
            let mut node = 0;
            let length = entry.phonemes.len();
            for &sound in &entry.phonemes {
                nodes[node].deepest = nodes[node].deepest.max(length);
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
            nodes[node].deepest = nodes[node].deepest.max(length);
        }
        Tree { nodes }
    }
}

/// One walk through the tree.
struct Walk<'a> {
    tree: &'a Tree,
    heard: &'a [Phoneme],
    found: Vec<(f32, u32)>,
}

impl Walk<'_> {
    /// Goes on from a node at some depth, `row` holding the cost of each prefix of the heard sounds
    /// against the sounds on the way there.
    fn go(&mut self, node: usize, depth: usize, row: &[f32]) {
        let longer = self.heard.len().max(depth);
        let cost = row[self.heard.len()];
        if cost <= most(longer) {
            let here = self.tree.nodes[node].entries.iter();
            self.found
                .extend(here.map(|&entry| (cost / longer as f32, entry)));
        }
        let mut below = vec![0.0; row.len()];
        for &(sound, next) in &self.tree.nodes[node].next {
            let (costs, gap_here) = (&SUBSTITUTION[sound as usize], gap(sound));
            below[0] = row[0] + gap_here;
            let mut least = below[0];
            for (j, &heard) in self.heard.iter().enumerate() {
                below[j + 1] = (row[j] + costs[heard as usize])
                    .min(row[j + 1] + gap_here)
                    .min(below[j] + gap(heard));
                least = least.min(below[j + 1]);
            }
            if least <= most(self.heard.len().max(self.tree.nodes[next as usize].deepest)) {
                self.go(next as usize, depth + 1, &below);
            }
        }
    }
}

impl Lexicon {
    /// Returns the terms of these kinds that have a wording near in sound to the words of `tokens`,
    /// nearest first, each once.
    pub fn rivals(&self, tokens: &[Token], kinds: &[Kind]) -> Vec<Rival> {
        let heard = self.pronounce(tokens.iter().map(|token| &*token.norm));
        let wordings = self.spotter.wordings();
        let sounds = self.sounds();
        let tree = self.rival_tree.get_or_init(|| Tree::new(sounds));
        let mut row = vec![0.0];
        for &sound in &heard {
            row.push(row[row.len() - 1] + gap(sound));
        }
        let mut walk = Walk {
            tree,
            heard: &heard,
            found: Vec::new(),
        };
        walk.go(0, 0, &row);
        let mut found = walk.found;
        found.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        let mut seen: HashSet<TermId> = HashSet::new();
        let mut rivals: Vec<Rival> = Vec::new();
        for (distance, entry) in found {
            let entry = sounds.entry(entry as usize);
            let wording = &wordings[entry.wording];
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
}

#[cfg(test)]
mod tests {
    use super::super::near::weighted_edits;
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
            for entry in lexicon()
                .sounds()
                .every()
                .filter(|e| kinds.contains(&e.kind))
            {
                let longer = phonemes.len().max(entry.phonemes.len());
                let cost = weighted_edits(&phonemes, &entry.phonemes, f32::INFINITY).unwrap();
                let term = lexicon().spotter.wordings()[entry.wording].term;
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
