//! The outline of a recording: how loud it was, moment by moment, for the page to draw.

use std::collections::BTreeMap;
use std::sync::{Mutex, MutexGuard, PoisonError};

/// Values a second: finer than a syllable, and six hours take 432 kB.
pub(crate) const PER_SECOND: u32 = 20;

/// The outlines known so far, by number of the recording.
#[derive(Debug, Default)]
pub(crate) struct Outlines(Mutex<BTreeMap<u32, Outline>>);

/// One outline, or its beginning while the recording is still being read.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Outline {
    /// The loudest sample of each stretch, 0 to 255.
    pub(crate) values: Vec<u8>,
    /// False while the recording is being read.
    pub(crate) whole: bool,
}

impl Outlines {
    fn all(&self) -> MutexGuard<'_, BTreeMap<u32, Outline>> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Returns what is known of a recording's outline.
    pub(crate) fn get(&self, recording: u32) -> Outline {
        self.all().get(&recording).cloned().unwrap_or_default()
    }

    /// Adds values at the end.
    pub(crate) fn add(&self, recording: u32, values: &[u8]) {
        let mut all = self.all();
        all.entry(recording)
            .or_default()
            .values
            .extend_from_slice(values);
    }

    /// Marks it as whole; returns its values.
    pub(crate) fn end(&self, recording: u32) -> Vec<u8> {
        let mut all = self.all();
        let outline = all.entry(recording).or_default();
        outline.whole = true;
        outline.values.clone()
    }
}

/// Makes an outline of samples as they come.
#[derive(Debug, Default)]
pub(crate) struct Peaks {
    loudest: f32,
    taken: u32,
    /// A twentieth of a second is no whole number of samples at some rates; what was cut off is made
    /// up for, so that the outline stays true to time over hours.
    owed: u32,
}

impl Peaks {
    /// Takes samples at `rate` Hz and returns the values that are complete.
    pub(crate) fn push(&mut self, samples: &[f32], rate: u32) -> Vec<u8> {
        let mut values = Vec::new();
        for sample in samples {
            self.loudest = self.loudest.max(sample.abs());
            self.taken += 1;
            let whole = (rate + self.owed) / PER_SECOND;
            if self.taken >= whole {
                self.owed = (rate + self.owed) % PER_SECOND;
                values.push(value(self.loudest));
                (self.loudest, self.taken) = (0.0, 0);
            }
        }
        values
    }

    /// Returns the value of the rest, if there is one.
    pub(crate) fn finish(self) -> Option<u8> {
        (self.taken > 0).then(|| value(self.loudest))
    }
}

fn value(loudest: f32) -> u8 {
    (loudest.min(1.0) * 255.0).round() as u8
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn each_value_is_the_loudest_of_its_stretch() {
        let mut peaks = Peaks::default();
        let mut samples = vec![0.0; 1_000];
        samples[10] = -0.5;
        samples[450] = 2.0;
        assert_eq!(peaks.push(&samples, 8_000), [128, 255]);
        assert_eq!(peaks.finish(), Some(0));
    }

    #[test]
    fn the_outline_stays_true_to_time_at_odd_rates() {
        for rate in [8_000, 11_025, 22_050, 44_100, 48_000, 7_999] {
            let mut peaks = Peaks::default();
            let minute = vec![0.1; rate as usize * 60];
            let values = peaks.push(&minute, rate).len();
            assert_eq!(values, 60 * PER_SECOND as usize, "{rate} Hz");
        }
    }

    proptest! {
        #[test]
        fn the_pieces_in_which_samples_come_do_not_matter(
            samples in prop::collection::vec(-1.0f32..1.0, 0..3000), cut in 0usize..3000
        ) {
            let (mut whole, mut parts) = (Peaks::default(), Peaks::default());
            let (a, b) = samples.split_at(cut.min(samples.len()));
            let joined = [parts.push(a, 11_025), parts.push(b, 11_025)].concat();
            prop_assert_eq!(whole.push(&samples, 11_025), joined);
        }
    }
}
