//! Words that say how sure a measurement is.

use super::quantity::unit_after;
use crate::statements::numbers;
use crate::statements::reader::Reader;

/// Reads the words of approximation before `start`, not before `limit`: where they start, and
/// whether any was found.
pub(super) fn words_before(r: Reader<'_>, start: usize, limit: usize) -> (usize, bool) {
    let (mut at, mut found) = (start, false);
    loop {
        let phrase = APPROXIMATE_BEFORE
            .iter()
            .chain(NEUTRAL_BEFORE)
            .find(|p| at >= limit + p.len() && r.ends_with(at, p));
        let Some(phrase) = phrase else { break };
        at -= phrase.len();
        found |= !NEUTRAL_BEFORE.contains(phrase);
    }
    (at, found)
}

/// Reads the words of approximation after `end`: where they end, and whether any was found.
pub(super) fn words_after(r: Reader<'_>, end: usize) -> (usize, bool) {
    if end == 0 || r.pause_after(end - 1).stops() {
        return (end, false);
    }
    let tolerance = [
        &["plus", "or", "minus"][..],
        &["plus", "minus"],
        &["give", "or", "take"],
    ];
    if let Some(words) = tolerance.iter().find(|words| r.is(end, words)) {
        let after = end + words.len();
        if let Some(second) = numbers::read(r, after) {
            return (
                unit_after(r, second.end).map_or(second.end, |u| u.end),
                true,
            );
        }
    }
    match APPROXIMATE_AFTER.iter().find(|words| r.is(end, words)) {
        Some(words) => (end + words.len(), true),
        None => (end, false),
    }
}

const APPROXIMATE_BEFORE: &[&[&str]] = &[
    &["about"],
    &["roughly"],
    &["around"],
    &["approximately"],
    &["approx"],
    &["circa"],
    &["nearly"],
    &["almost"],
    &["maybe"],
    &["perhaps"],
    &["probably"],
    &["say"],
    &["easily"],
    &["something", "like"],
    &["at", "least"],
    &["at", "most"],
    &["up", "to"],
    &["just", "over"],
    &["just", "under"],
    &["well", "over"],
    &["a", "good"],
    &["more", "than"],
    &["less", "than"],
    &["as", "much", "as"],
    &["best", "part", "of"],
    &["the", "best", "part", "of"],
    &["getting", "on", "for"],
    &["close", "to"],
    &["upwards", "of"],
    &["in", "excess", "of"],
];

/// Words that belong to the measurement without making it less sure.
const NEUTRAL_BEFORE: &[&[&str]] = &[&["plus", "or", "minus"], &["plus", "minus"], &["exactly"]];

const APPROXIMATE_AFTER: &[&[&str]] = &[
    &["or", "so"],
    &["ish"],
    &["give", "or", "take"],
    &["or", "thereabouts"],
    &["there", "or", "thereabouts"],
    &["roughly"],
    &["approximately"],
    &["at", "least"],
    &["at", "most"],
    &["or", "more"],
    &["or", "less"],
    &["plus"],
    &["i", "would", "say"],
    &["or", "something"],
];
