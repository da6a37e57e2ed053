//! A job as learning sees it: what was heard, and what the inspector made of it.

use super::lesson::Teaching;
use crate::items::{Item, Status};
use crate::speech::{Transcript, Word};
use std::ops::Range;

/// What was heard on a walk-round and the list that was confirmed of it.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Lived {
    /// What the job is called where lessons tell their evidence.
    pub name: String,
    /// What was heard.
    pub transcript: Transcript,
    /// Items that the inspector confirmed, in spoken order.
    pub confirmed: Vec<Item>,
    /// Items that the inspector has not decided about: no evidence for anything.
    pub undecided: Vec<Item>,
    /// Lessons that the inspector asked for, each with the id of the item that was corrected.
    pub asked: Vec<(Teaching, String)>,
}

impl Lived {
    /// Returns the job of this name with the items of its list as they stand; rejected ones teach by
    /// being absent.
    pub fn new(name: &str, transcript: Transcript, items: &[Item]) -> Lived {
        let of = |status: Status| -> Vec<Item> {
            let mut items: Vec<Item> = items
                .iter()
                .filter(|i| i.status == status)
                .cloned()
                .collect();
            items.sort_by_key(|item| (start(item), item.number));
            items
        };
        Lived {
            name: name.to_owned(),
            confirmed: of(Status::Confirmed),
            undecided: of(Status::Proposed),
            asked: Vec::new(),
            transcript,
        }
    }

    /// Returns the words, by index, that an item rests on: those its evidence names, or else those
    /// said in its time. `None` for items written by hand.
    pub fn words_of(&self, item: &Item) -> Option<Range<usize>> {
        let evidence = &item.evidence;
        if let Some((from, to)) = evidence.words {
            let to = to.min(self.transcript.words.len());
            return (from < to).then_some(from..to);
        }
        let span = evidence.span?;
        let said = |word: &Word| {
            word.recording == evidence.recording
                && word
                    .span
                    .is_some_and(|s| s.start < span.end && span.start < s.end)
        };
        let words = &self.transcript.words;
        let from = words.iter().position(said)?;
        let to = words.iter().rposition(said)? + 1;
        Some(from..to)
    }
}

/// Where an item was said; those written by hand come last.
fn start(item: &Item) -> (u32, u64, usize) {
    let evidence = &item.evidence;
    let word = evidence.words.map_or(usize::MAX, |(from, _)| from);
    let time = evidence.span.map_or(u64::MAX, |span| span.start.0);
    (evidence.recording, time, word)
}
