//! Totals that the speaker counts aloud (*that's forty-one so far*), beside what the list has up to there.

use super::finish;
use super::walk::{COUNTED, Walked};
use crate::speech::Transcript;
use crate::statements::number_at;
use crate::statements::reading::Reading;
use crate::time::Span;
use std::ops::Range;

/// Words of a total that is not one of the whole list: *that's ten in here*.
const OF_A_PART: &[&str] = &["here", "in", "room", "up", "down", "outside"];

/// A total below this share of the list counts something else: *that's three now* of slipped tiles.
const LEAST_SHARE: f64 = 0.5;

/// A total that was counted aloud.
#[derive(Debug, Clone, PartialEq)]
pub struct Total {
    /// The number said.
    pub said: u32,
    /// How many items the list has of what was said before it.
    pub listed: u32,
    /// The words.
    pub quote: String,
    /// When they were said, where that is known.
    pub span: Option<Span>,
}

/// Returns the totals counted aloud of the whole list, in order.
pub(super) fn totals(reading: &Reading, transcript: &Transcript, walked: &Walked) -> Vec<Total> {
    let counted = walked.unused.iter().filter(|(_, why)| why == COUNTED);
    let total = |range: &Range<usize>| {
        let words = || range.clone().map(|at| reading.tokens[at].norm.as_str());
        let names = !reading.elements_within(range).is_empty();
        let of_a_part = words().any(|word| OF_A_PART.contains(&word));
        let number = range
            .clone()
            .find_map(|at| number_at(&reading.tokens, at))
            .filter(|number| number.value >= 1.0 && number.value.fract() == 0.0)?;
        let before = |d: &&super::draft::Draft| {
            d.withdrawn.is_none() && reading.sentences[d.sentence].tokens.end <= range.start
        };
        let listed = walked.drafts.iter().filter(before).count() as u32;
        let of_the_list = number.value >= LEAST_SHARE * f64::from(listed);
        (of_the_list && !names && !of_a_part).then(|| Total {
            said: number.value as u32,
            listed,
            quote: finish::quote(reading, transcript, range),
            span: finish::span(reading, transcript, range),
        })
    };
    counted.filter_map(|(range, _)| total(range)).collect()
}
