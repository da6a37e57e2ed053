//! What was really said where some words were heard.

use callover::score::{Costs, Step, align};
use callover::speech::Word;
use std::ops::Range;

/// Small words that do not decide whether two wordings say the same.
const SMALL: &[&str] = &[
    "the", "a", "an", "is", "are", "and", "of", "its", "it", "has",
];

/// The spoken text, aligned letter by letter with the words heard.
pub(crate) struct Said {
    text: Vec<char>,
    /// For each heard word, its place in the text, as characters, where it has one.
    places: Vec<Option<Range<usize>>>,
}

impl Said {
    pub(crate) fn new(text: &str, words: &[Word]) -> Said {
        let text: Vec<char> = plain(text).chars().collect();
        let mut heard = Vec::new();
        let mut owner = Vec::new();
        for (at, word) in words.iter().enumerate() {
            for letter in plain(&word.text).chars().chain([' ']) {
                heard.push(letter);
                owner.push(at);
            }
        }
        let mut places: Vec<Option<Range<usize>>> = vec![None; words.len()];
        for step in align(&text, &heard, Costs::UNIT) {
            if let Step::Hit(said, at) | Step::Substitution(said, at) = step {
                let place = &mut places[owner[at]];
                if heard[at] != ' ' {
                    let start = place.as_ref().map_or(said, |p| p.start.min(said));
                    *place = Some(start..said + 1);
                }
            }
        }
        Said { text, places }
    }

    /// Returns the whole words that were said where these were heard.
    pub(crate) fn at(&self, words: &Range<usize>) -> String {
        let places = || self.places[words.clone()].iter().flatten();
        let (Some(start), Some(end)) = (
            places().map(|p| p.start).min(),
            places().map(|p| p.end).max(),
        ) else {
            return String::new();
        };
        let letter = |at: usize| self.text.get(at).is_some_and(|c| *c != ' ');
        let start = (0..=start)
            .rev()
            .find(|at| *at == 0 || !letter(at - 1))
            .unwrap_or(start);
        let end = (end..=self.text.len())
            .find(|at| !letter(*at))
            .unwrap_or(end);
        self.text[start..end].iter().collect()
    }

    /// Returns true where `rival` was said and the words were not heard right.
    pub(crate) fn rights(&self, words: &Range<usize>, heard: &str, rival: &str) -> bool {
        let said = self.at(words);
        let (all, open) = (singulars(&said), content(&said));
        let wanted = content(rival);
        let apart = wanted.iter().all(|w| open.contains(w));
        let says = !wanted.is_empty() && (apart || wanted.concat() == open.concat());
        says && !singulars(heard).iter().all(|w| all.contains(w))
    }
}

/// Lowercase letters, digits and single spaces; a possessive goes.
fn plain(text: &str) -> String {
    let text = text.to_lowercase().replace('’', "'").replace("'s", "");
    let kept = |c: char| if c.is_alphanumeric() { c } else { ' ' };
    let kept: String = text.chars().map(kept).collect();
    kept.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The words, in the singular.
fn singulars(text: &str) -> Vec<String> {
    let text = plain(text);
    let words = text.split(' ').filter(|w| !w.is_empty());
    words
        .map(|w| match (w.strip_suffix("ies"), w.strip_suffix('s')) {
            (Some(stem), _) => format!("{stem}y"),
            (None, Some(stem)) if stem.len() > 2 => stem.to_owned(),
            _ => w.to_owned(),
        })
        .collect()
}

/// Those that say something.
fn content(text: &str) -> Vec<String> {
    let mut words = singulars(text);
    words.retain(|word| !SMALL.contains(&word.as_str()));
    words
}
