//! What speaks for one reading of the words, and how much: named signs with fitted weights.

use super::grammar::{Class, class};
use crate::score::fitted;
use rustc_hash::FxHashMap;
use std::sync::LazyLock;

/// Weights of signs by their names.
pub(crate) type Weights = FxHashMap<String, f32>;

/// Of which thing a fault is said, and how the weights came about.
static PAIRING: &str = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/models/pairing.toml"));

/// Whether a fault says more of an item that is there already, likewise.
static JOINING: &str = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/models/joining.toml"));

/// Which commas of a recogniser are stops, likewise.
static STOPS: &str = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/models/stops.toml"));

pub(crate) static OF_STOPS: LazyLock<Weights> = LazyLock::new(|| fitted(STOPS));

/// Where a text without stops has its sentences, likewise.
static GAPS: &str = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/models/gaps.toml"));

pub(crate) static OF_GAPS: LazyLock<Weights> = LazyLock::new(|| fitted(GAPS));

/// Whether one went to a place that was named in passing, likewise.
static MENTIONS: &str = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/models/mentions.toml"));

pub(crate) static OF_MENTIONS: LazyLock<Weights> = LazyLock::new(|| fitted(MENTIONS));

pub(crate) static OF_PAIRING: LazyLock<Weights> = LazyLock::new(|| fitted(PAIRING));

pub(crate) static OF_JOINING: LazyLock<Weights> = LazyLock::new(|| fitted(JOINING));

/// The value of a word beside a thing. There are many, each is seldom seen, and a fit holds back the weights of
/// small values more.
const WORD: f32 = 0.5;

/// The signs of one reading.
#[derive(Debug, Clone)]
pub(crate) struct Signs {
    weights: &'static Weights,
    sum: f32,
    kept: Option<Vec<(String, f32)>>,
}

impl Signs {
    /// Returns none yet; they are `kept` for whoever fits the weights.
    pub(crate) fn new(weights: &'static Weights, kept: bool) -> Signs {
        Signs {
            weights,
            sum: 0.0,
            kept: kept.then(Vec::new),
        }
    }

    /// Returns how much speaks for the reading, in all.
    pub(crate) fn sum(&self) -> f32 {
        self.sum
    }

    /// Returns the signs that were kept, with their values.
    pub(crate) fn kept(&self) -> &[(String, f32)] {
        self.kept.as_deref().unwrap_or_default()
    }

    /// Adds a sign of some value.
    pub(crate) fn of(&mut self, name: &str, value: f32) {
        self.sum += self.weights.get(name).copied().unwrap_or_default() * value;
        if let Some(kept) = self.kept.as_mut().filter(|_| value != 0.0) {
            kept.push((name.to_owned(), value));
        }
    }

    pub(crate) fn has(&mut self, name: &str) {
        self.of(name, 1.0);
    }

    pub(crate) fn when(&mut self, applies: bool, name: &str) {
        if applies {
            self.has(name);
        }
    }

    /// Adds what word stands in some way beside a thing: itself where it is of a closed class, else only its
    /// class.
    pub(crate) fn word(&mut self, stands: &str, word: &str) {
        let word = match class(word) {
            _ if word.is_empty() => "-",
            Class::Open => "…",
            Class::Number => "#",
            _ => word,
        };
        self.of(&format!("{stands} {word}"), WORD);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_weights_are_whole() {
        for weights in [&OF_PAIRING, &OF_JOINING, &OF_MENTIONS, &OF_STOPS, &OF_GAPS] {
            assert!(weights.len() > 50);
            assert!(weights.values().all(|weight| weight.is_finite()));
        }
    }
}
