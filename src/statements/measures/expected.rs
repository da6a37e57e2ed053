//! What a size should be, said beside what it is: *it's only ninety, and **it needs a hundred and
//! fifty***. The one is left out where the other is told, and a number that is held against another is
//! a size also without a unit. The wordings are common practice, no source.

use super::quantity::Quantity;
use crate::statements::asked::{BEFORE_IT, BEHIND_IT};
use crate::statements::numbers;
use crate::statements::reader::Reader;

/// How many tokens after a size what it should be may begin.
const REACH: usize = 12;

/// Smaller numbers count things: *there's two, and there should be four*.
const SMALLEST: f64 = 10.0;

/// How many times as much as it is a size may be asked for, and as little.
const MOST_APART: f64 = 5.0;

/// Leaves out what a size should be, where the sentence also tells what it is.
pub(super) fn left_out(r: Reader<'_>, found: Vec<Quantity>) -> Vec<Quantity> {
    let should = |q: &Quantity| said_before(r, q.tokens.start) || said_after(r, q.tokens.end);
    let should: Vec<bool> = found.iter().map(should).collect();
    let told = |i: usize| {
        (0..found.len()).any(|j| {
            let (first, second) = (&found[i.min(j)].tokens, &found[i.max(j)].tokens);
            !should[j] && !r.sentence_ends_within(first.end - 1, second.start)
        })
    };
    let keep: Vec<bool> = (0..found.len()).map(|i| !should[i] || !told(i)).collect();
    let kept = found.into_iter().zip(keep).filter(|(_, keep)| *keep);
    kept.map(|(quantity, _)| quantity).collect()
}

/// True where the words before `at` say that what stands there is what should be.
pub(super) fn said_before(r: Reader<'_>, at: usize) -> bool {
    let asked = BEFORE_IT.iter().map(|(_, words)| words);
    asked.chain(BEFORE).any(|words| r.ends_with(at, words))
}

/// The same of the words from `end`: *a hundred and fifty **required***.
pub(super) fn said_after(r: Reader<'_>, end: usize) -> bool {
    let asked = BEHIND_IT.iter().map(|(_, words)| words);
    asked.chain(AFTER).any(|words| r.is(end, words))
}

/// True where soon after the number `value`, which ends at `end`, stands another that it should be:
/// *nine hundred, and six hundred's the limit*.
pub(super) fn told_after(r: Reader<'_>, value: f64, end: usize) -> bool {
    let comparable = |other: f64| {
        let apart = other.max(value) / other.min(value);
        other >= SMALLEST && other != value && apart <= MOST_APART
    };
    let mut at = end;
    while value >= SMALLEST && at < (end + REACH).min(r.len()) {
        let Some(number) = numbers::read(r, at) else {
            at += 1;
            continue;
        };
        // "A hundred and fifty": the article is read with the number.
        let behind = said_after(r, number.end);
        if behind || said_before(r, at) {
            return comparable(number.value) && (behind || r.stands_alone(number.end));
        }
        at = number.end.max(at + 1);
    }
    false
}

/// Words that only hold one figure against another, besides those of [`crate::statements::asked`].
const BEFORE: &[&[&str]] = &[
    &["instead", "of"],
    &["rather", "than"],
    &["against"],
    &["be", "at", "least"],
    &["others", "are", "at"],
    &["others", "at"],
    &["rest", "are"],
    &["rest", "at"],
];

const AFTER: &[&[&str]] = &[
    &["needed"],
    &["wanted"],
    &["allowed"],
    &["specified"],
    &["minimum"],
    &["maximum"],
    &["should", "be"],
];
