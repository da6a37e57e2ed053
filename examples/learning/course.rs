//! A stream of walk-rounds, learnt from one after the other.

use super::ear::Ear;
use super::inspector::{PutRight, put_right};
use super::learnt::Learnt;
use super::{Result, Walk, f1_of, per_item, round};
use callover::items::propose;
use callover::learn::{Lived, read_aloud};
use callover::lexicon::Lexicon;
use std::path::PathBuf;

/// Walk-rounds at the beginning and at the end of a stream that are compared.
pub(super) const THREE: usize = 3;

/// How a stream is learnt from.
pub(super) struct Course {
    pub(super) base: Lexicon,
    /// Recordings are heard anew with what was learnt.
    pub(super) listens: bool,
    /// The recogniser is fitted to the voice of the walk-rounds.
    pub(super) grows: bool,
    /// Nothing is learnt from the walk-rounds.
    pub(super) alone: bool,
    /// A recording of the page read aloud before the first.
    pub(super) page: Option<PathBuf>,
    pub(super) insist: bool,
    pub(super) show: bool,
}

/// What came of a stream: for each walk-round what the inspector did with nothing learnt, and in its turn.
pub(super) struct Outcome {
    pub(super) rounds: Vec<(PutRight, PutRight)>,
    pub(super) learnt: Learnt,
}

impl Course {
    /// Takes the walk-rounds one after the other.
    pub(super) fn take(&self, stream: &[Walk]) -> Result<Outcome> {
        let mut learnt = Learnt::default();
        let mut ear = Ear::new()?;
        let mut jobs: Vec<Lived> = Vec::new();
        let mut rounds = Vec::new();
        if let Some(page) = &self.page {
            let heard = ear.read_aloud(&self.base, page)?;
            jobs.push(read_aloud(&self.base, "the page", heard)?);
            let accepted = learnt.learn(&jobs, self.show, self.insist)?;
            println!("the page: {accepted} lessons accepted");
        }
        for walk in stream {
            let before = round(&self.base, walk);
            let lexicon = learnt.lexicon()?;
            let heard = match self.listens && (ear.is_fitted() || !learnt.text.is_empty()) {
                true => ear.hear(&lexicon, &walk.recording)?,
                false => walk.heard.clone(),
            };
            let now = put_right(&walk.gold, &propose(&lexicon, &heard));
            println!(
                "{}: F1 {:.3} -> {:.3}; corrections an item {:.2} -> {:.2}",
                walk.name,
                before.f1(),
                now.f1(),
                per_item(&[&before]),
                per_item(&[&now]),
            );
            if self.grows {
                ear.grow(&walk.recording, &heard)?;
            }
            if !self.alone {
                jobs.push(Lived::new(&walk.name, heard, &now.items));
                let accepted = learnt.learn(&jobs, self.show, self.insist)?;
                println!("  {accepted} lessons accepted");
            }
            rounds.push((before, now));
        }
        Ok(Outcome { rounds, learnt })
    }

    /// Takes the stream several times, beginning with every so manieth of its walk-rounds; prints corrections
    /// an item and F1 of all first threes and all last threes.
    pub(super) fn take_in_turns(&self, mut stream: Vec<Walk>, every: usize) -> Result<()> {
        let (mut first, mut last) = (Vec::new(), Vec::new());
        for _ in (0..stream.len()).step_by(every) {
            println!("beginning with {}", stream[0].name);
            let mut rounds = self.take(&stream)?.rounds;
            summary(&rounds);
            last.extend(rounds.split_off(rounds.len() - THREE));
            first.extend(rounds.into_iter().take(THREE));
            stream.rotate_left(every);
        }
        println!("in turns:");
        for (what, rounds) in [("first threes", &first), ("last threes", &last)] {
            let (before, now) = both(rounds);
            println!(
                "all {what}: corrections an item {:.3} (with nothing learnt {:.3}), F1 {:.3} ({:.3})",
                per_item(&now),
                per_item(&before),
                f1_of(&now),
                f1_of(&before)
            );
        }
        Ok(())
    }
}

/// Returns what was done with nothing learnt, and in turn.
fn both(rounds: &[(PutRight, PutRight)]) -> (Vec<&PutRight>, Vec<&PutRight>) {
    rounds.iter().map(|(before, now)| (before, now)).unzip()
}

pub(super) fn summary(rounds: &[(PutRight, PutRight)]) {
    let (before, now) = both(rounds);
    let (first, last) = (&now[..THREE], &now[now.len() - THREE..]);
    let last_before = &before[before.len() - THREE..];
    println!(
        "corrections an item: first three {:.2}, last three {:.2} (with nothing learnt {:.2})",
        per_item(first),
        per_item(last),
        per_item(last_before)
    );
    let kinds = |rounds: &[&PutRight]| {
        let sum = |kind: usize| rounds.iter().map(|round| round.kinds[kind]).sum::<usize>();
        let [place, element, defect, missed, surplus] = std::array::from_fn(sum);
        format!(
            "{place} places, {element} elements and {defect} defects wrong, {missed} items missed, \
             {surplus} too many"
        )
    };
    println!("  first three: {}", kinds(first));
    println!("  last three: {}", kinds(last));
    println!("  with nothing learnt: {}", kinds(last_before));
    println!(
        "F1 before correction: first three {:.3}, last three {:.3} (with nothing learnt {:.3})",
        f1_of(first),
        f1_of(last),
        f1_of(last_before)
    );
    println!("F1 of all: {:.3} -> {:.3}", f1_of(&before), f1_of(&now));
    let fall = rounds.iter().map(|(before, now)| now.f1() - before.f1());
    println!(
        "least gain at a step: {:+.3}",
        fall.fold(f64::INFINITY, f64::min)
    );
}
