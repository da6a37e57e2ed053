//! What speaks for a thing that a fault may be of, and how much.

use crate::score::fitted;
use crate::statements::grammar::{Class, class};
use rustc_hash::FxHashMap;
use std::sync::LazyLock;

/// The weights and how they came about.
static FITTED: &str = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/models/pairing.toml"));

static WEIGHTS: LazyLock<FxHashMap<String, f32>> = LazyLock::new(|| fitted(FITTED));

/// The value of a word beside a thing. There are many, each is seldom seen, and a fit holds back the weights of
/// small values more.
const WORD: f32 = 0.5;

/// The signs of one thing.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Signs {
    sum: f32,
    kept: Option<Vec<(String, f32)>>,
}

impl Signs {
    /// Returns none yet; they are `kept` for whoever fits the weights.
    pub(super) fn new(kept: bool) -> Signs {
        Signs {
            sum: 0.0,
            kept: kept.then(Vec::new),
        }
    }

    /// Returns how much speaks for the thing, in all.
    pub(crate) fn sum(&self) -> f32 {
        self.sum
    }

    /// Returns the signs that were kept, with their values.
    pub(super) fn kept(&self) -> &[(String, f32)] {
        self.kept.as_deref().unwrap_or_default()
    }

    /// Adds a sign of some value.
    pub(super) fn of(&mut self, name: &str, value: f32) {
        self.sum += WEIGHTS.get(name).copied().unwrap_or_default() * value;
        if let Some(kept) = self.kept.as_mut().filter(|_| value != 0.0) {
            kept.push((name.to_owned(), value));
        }
    }

    pub(super) fn has(&mut self, name: &str) {
        self.of(name, 1.0);
    }

    pub(super) fn when(&mut self, applies: bool, name: &str) {
        if applies {
            self.has(name);
        }
    }

    /// Adds what word stands beside the thing: itself where it is of a closed class, else only its class.
    pub(super) fn word(&mut self, side: char, stands: &str, word: &str) {
        let word = match class(word) {
            _ if word.is_empty() => "-",
            Class::Open => "…",
            Class::Number => "#",
            _ => word,
        };
        self.of(&format!("{side} {stands} {word}"), WORD);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_weights_are_whole() {
        assert!(WEIGHTS.len() > 50);
        assert!(WEIGHTS.values().all(|weight| weight.is_finite()));
    }
}
