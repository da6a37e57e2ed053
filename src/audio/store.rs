//! Samples of the recording that are still needed, in blocks, so that silence between two
//! stretches of speech does not have to be held.

use super::pack::Stretch;
use std::collections::BTreeMap;

/// Samples in a block: one second, fine enough to free memory soon, coarse enough to be cheap.
const BLOCK: u64 = 16_000;

/// The latest samples and those that were asked to be kept.
#[derive(Debug, Default)]
pub(crate) struct Store {
    blocks: BTreeMap<u64, Vec<f32>>,
    length: u64,
}

impl Store {
    /// Appends samples at the end of the recording.
    pub(crate) fn append(&mut self, mut samples: &[f32]) {
        while !samples.is_empty() {
            let room = (BLOCK - self.length % BLOCK) as usize;
            let (now, later) = samples.split_at(room.min(samples.len()));
            self.blocks.entry(self.length / BLOCK).or_default().extend_from_slice(now);
            self.length += now.len() as u64;
            samples = later;
        }
    }

    /// Returns the number of samples appended so far.
    pub(crate) fn length(&self) -> u64 {
        self.length
    }

    /// Appends the samples of `stretch` to `out`; what is not held any more is silence.
    pub(crate) fn read(&self, stretch: Stretch, out: &mut Vec<f32>) {
        let mut at = stretch.start;
        while at < stretch.end {
            let block_start = at / BLOCK * BLOCK;
            let end = stretch.end.min(block_start + BLOCK);
            let (from, to) = ((at - block_start) as usize, (end - block_start) as usize);
            let held = self.blocks.get(&(at / BLOCK)).map_or(&[][..], Vec::as_slice);
            let part = held.get(from..to.min(held.len())).unwrap_or(&[]);
            out.extend_from_slice(part);
            out.extend(std::iter::repeat_n(0.0, to - from - part.len()));
            at = end;
        }
    }

    /// Forgets all but `needed` and everything from `from` on.
    pub(crate) fn keep(&mut self, needed: &[Stretch], from: u64) {
        self.blocks.retain(|&number, _| {
            let (start, end) = (number * BLOCK, (number + 1) * BLOCK);
            end > from || needed.iter().any(|s| s.start < end && start < s.end)
        });
    }

    /// Returns how many samples are held.
    #[cfg(test)]
    pub(crate) fn held(&self) -> usize {
        self.blocks.values().map(Vec::len).sum()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_needed_stays_and_the_rest_goes() {
        let mut store = Store::default();
        let all: Vec<f32> = (0..160_000).map(|n| n as f32).collect();
        for part in all.chunks(1234) {
            store.append(part);
        }
        let needed = Stretch { start: 30_000, end: 50_000 };
        store.keep(&[needed], 150_000);
        assert_eq!(store.held(), 3 * 16_000 + 16_000);
        let mut out = Vec::new();
        store.read(needed, &mut out);
        assert_eq!(out, all[30_000..50_000]);
        out.clear();
        store.read(Stretch { start: 100_000, end: 100_003 }, &mut out);
        assert_eq!(out, [0.0; 3]);
    }
}
