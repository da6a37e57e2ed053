//! Two sentences that follow each other said in one breath: *Basin's chipped. Toilet seat's loose.* becomes
//! *Basin's chipped, toilet seat's loose.* Terse speakers talk so, and recognisers write commas for their full
//! stops; the two stay two items.

use callover::items::Item;
use callover::speech::{Transcript, Word};
use std::ops::Range;

/// The most words of one of the two.
const LONGEST: usize = 12;

/// Every so many sentences are told apart by *and*, the others by a comma.
const BY_AND: usize = 3;

/// Words with which a sentence goes on from the one before.
#[rustfmt::skip]
const GOES_ON: &[&str] = &[
    "it", "its", "it's", "that", "that's", "this", "they", "they're", "them", "which", "and", "but", "so", "same", "also",
    "another", "one", "no", "not", "again", "ditto", "there", "needs", "wants", "or", "with", "because", "both", "two",
    "three", "still", "looks", "call", "i", "we", "you", "by", "on", "in", "photo", "right", "left", "the",
];

/// Two sentences with what they say.
pub(crate) struct Pair {
    pub(crate) transcript: Transcript,
    /// The first word of the second.
    pub(crate) second: usize,
}

/// Returns the pairs of sentences that follow each other in the same place and made one item each, of those items
/// that `right` holds of.
pub(crate) fn pairs(
    transcript: &Transcript,
    items: &[Item],
    right: impl Fn(usize) -> bool,
) -> Vec<Pair> {
    let said = sentences(&transcript.words);
    let alone = |sentence: &Range<usize>| {
        let mut within = items.iter().enumerate().filter(|(_, item)| {
            let (from, to) = item.evidence.words.unwrap_or_default();
            from < sentence.end && sentence.start < to
        });
        let (at, item) = within.next()?;
        let (from, to) = item.evidence.words.unwrap_or_default();
        let whole = sentence.start <= from && to <= sentence.end;
        (within.next().is_none() && whole && right(at)).then_some(item)
    };
    let mut out = Vec::new();
    for (number, two) in said.windows(2).enumerate() {
        let [first, second] = two else { continue };
        let (Some(a), Some(b)) = (alone(first), alone(second)) else {
            continue;
        };
        let opens = transcript.words[second.start].text.to_lowercase();
        let opens = opens.trim_matches(|c: char| !c.is_alphanumeric() && c != '\'');
        let long = first.len() > LONGEST || second.len() > LONGEST;
        if long || a.place != b.place || a.element == b.element || GOES_ON.contains(&opens) {
            continue;
        }
        let by_and = number % BY_AND == 0;
        let mut words = transcript.words[first.clone()].to_vec();
        if let Some(last) = words.last_mut() {
            let bare = last.text.trim_end_matches(['.', '!']);
            last.text = format!("{bare}{}", if by_and { "" } else { "," });
            last.line_end = false;
        }
        if by_and {
            let mut and = transcript.words[second.start].clone();
            and.text = "and".into();
            words.push(and);
        }
        let mut rest = transcript.words[second.clone()].to_vec();
        if rest[0].text != "I" {
            rest[0].text = rest[0].text.to_lowercase();
        }
        words.extend(rest);
        let place = format!("{}.", a.place);
        let mut announced: Vec<Word> = place
            .split(' ')
            .map(|text| Word {
                text: text.to_owned(),
                ..transcript.words[first.start].clone()
            })
            .collect();
        let second = announced.len() + words.len() - second.len();
        announced.extend(words);
        out.push(Pair {
            second,
            transcript: Transcript {
                recordings: transcript.recordings.clone(),
                words: announced,
            },
        });
    }
    out
}

/// Returns the words of each sentence that ends with a full stop.
fn sentences(words: &[Word]) -> Vec<Range<usize>> {
    let mut out = Vec::new();
    let mut start = 0;
    for (at, word) in words.iter().enumerate() {
        if word.text.ends_with(['.', '!', '?']) {
            out.push(start..at + 1);
            start = at + 1;
        }
    }
    out
}
