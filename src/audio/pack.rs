//! Packs stretches of speech into windows for the recogniser, and maps window time back to the
//! recording. Pure: works on sample numbers only.
//!
//! The recogniser computes 30 s whatever it is given, so a window holds as much speech as fits:
//! short gaps stay as they are, long ones shrink, and the split falls into the longest silence.

use super::detect::{LONGEST_MS, samples};
use super::resample::RATE;
use crate::time::{Millis, Span};

/// Samples in a millisecond.
const PER_MS: u64 = RATE as u64 / 1000;

/// Gaps shorter than this stay as recorded, in milliseconds: a pause the length of a breath tells
/// the recogniser where a sentence ends.
pub const KEEP_GAP_MS: u32 = 1000;
/// Silence that stands for a longer gap, in milliseconds: enough to part two sentences.
pub const SHORT_GAP_MS: u32 = 300;
/// A window is split at its longest gap only if it then holds at least this much, in
/// milliseconds; windows less than two thirds full would cost more time than a better split is
/// worth.
pub const LEAST_FILL_MS: u32 = 18_000;
/// Frames over which levels are averaged to find a quiet point: 80 ms, about a syllable, so that
/// one zero crossing in a loud word does not count as quiet.
const QUIET_FRAMES: usize = 5;

/// Samples `[start, end)` of the recording at 16 kHz.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Stretch {
    /// First sample inside.
    pub start: u64,
    /// First sample after it.
    pub end: u64,
}

impl Stretch {
    /// Returns the number of samples.
    pub fn length(self) -> u64 {
        self.end.saturating_sub(self.start)
    }

    /// Returns the stretch in milliseconds, start rounded down and end up.
    pub fn span(self) -> Span {
        Span::new(Millis(self.start / PER_MS), Millis(self.end.div_ceil(PER_MS)))
    }
}

/// A piece of the recording within a window.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Piece {
    /// Where it starts in the window, in samples.
    pub at: u64,
    /// What it is of the recording.
    pub source: Stretch,
}

/// The way from a window's time back to the recording's.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct SourceMap {
    pieces: Vec<Piece>,
}

impl SourceMap {
    /// Returns the pieces in order; between two of them the window has silence.
    pub fn pieces(&self) -> &[Piece] {
        &self.pieces
    }

    /// Returns the moment of the recording heard at `moment` of the window. Never goes backwards.
    /// Inside a shortened gap it is the nearer of the two sounds beside it; after the end of the
    /// window it is the end of its last piece.
    pub fn to_source(&self, moment: Millis) -> Millis {
        let at = moment.0.saturating_mul(PER_MS);
        let next = self.pieces.partition_point(|piece| piece.at <= at);
        let Some(piece) = next.checked_sub(1).and_then(|n| self.pieces.get(n)) else {
            return self.pieces.first().map_or(moment, |p| Millis(p.source.start / PER_MS));
        };
        let inside = at - piece.at;
        let length = piece.source.length();
        let source = match self.pieces.get(next) {
            _ if inside <= length => piece.source.start + inside,
            Some(after) if after.at - at < inside - length => after.source.start,
            _ => piece.source.end,
        };
        Millis(source / PER_MS)
    }

    /// Returns the moment of the window at which `moment` of the recording is heard; `None` where
    /// the window does not contain it.
    pub fn to_window(&self, moment: Millis) -> Option<Millis> {
        let at = moment.0.checked_mul(PER_MS)?;
        let next = self.pieces.partition_point(|piece| piece.source.start <= at);
        let piece = self.pieces.get(next.checked_sub(1)?)?;
        (at < piece.source.end).then(|| Millis((piece.at + at - piece.source.start) / PER_MS))
    }

    /// Returns the part of the recording from the first to the last sound in the window.
    pub fn span(&self) -> Span {
        match (self.pieces.first(), self.pieces.last()) {
            (Some(a), Some(b)) => Stretch { start: a.source.start, end: b.source.end }.span(),
            _ => Span::default(),
        }
    }

    /// Returns the length of the window in samples.
    pub fn length(&self) -> u64 {
        self.pieces.last().map_or(0, |p| p.at + p.source.length())
    }
}

/// How windows are packed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PackSettings {
    /// Longest window in milliseconds; see [`LONGEST_MS`].
    pub longest_ms: u32,
    /// See [`KEEP_GAP_MS`].
    pub keep_gap_ms: u32,
    /// See [`SHORT_GAP_MS`].
    pub short_gap_ms: u32,
    /// See [`LEAST_FILL_MS`].
    pub least_fill_ms: u32,
}

impl Default for PackSettings {
    fn default() -> Self {
        PackSettings {
            longest_ms: LONGEST_MS,
            keep_gap_ms: KEEP_GAP_MS,
            short_gap_ms: SHORT_GAP_MS,
            least_fill_ms: LEAST_FILL_MS,
        }
    }
}

/// What one window will contain.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Plan {
    /// Where its sound comes from.
    pub map: SourceMap,
    /// The stretches of speech in it, in order.
    pub speech: Vec<Stretch>,
}

/// Packs stretches as they come.
#[derive(Debug, Default)]
pub struct Packer {
    settings: PackSettings,
    pending: Vec<Stretch>,
}

impl Packer {
    /// Returns a packer with nothing in it.
    pub fn new(settings: PackSettings) -> Self {
        Packer { settings, pending: Vec::new() }
    }

    /// Takes in the next stretch and returns the windows that are full. What overlaps the stretch
    /// before is left out of this one; a stretch longer than a window is divided evenly (the
    /// detector has cut it at a quiet point before).
    pub fn push(&mut self, stretch: Stretch) -> Vec<Plan> {
        let mut start = stretch.start.max(self.pending.last().map_or(0, |s| s.end));
        let longest = samples(self.settings.longest_ms).max(1);
        let mut full = Vec::new();
        while start < stretch.end {
            let left = stretch.end - start;
            let end = start + left.div_ceil(left.div_ceil(longest));
            self.pending.push(Stretch { start, end });
            while self.packed_length(&self.pending) > longest {
                full.push(self.split());
            }
            start = end;
        }
        full
    }

    /// Returns the last window, if anything is left.
    pub fn finish(&mut self) -> Option<Plan> {
        let speech = std::mem::take(&mut self.pending);
        (!speech.is_empty()).then(|| self.plan(speech))
    }

    /// Returns the parts of the recording that windows given out later need, in order.
    pub fn needed(&self) -> Vec<Stretch> {
        self.pieces(&self.pending).iter().map(|piece| piece.source).collect()
    }

    /// Splits off a window at the longest silence that leaves it full enough, else as late as
    /// possible.
    fn split(&mut self) -> Plan {
        let longest = samples(self.settings.longest_ms);
        let fill = samples(self.settings.least_fill_ms);
        let mut best: Option<(u64, usize)> = None;
        let mut last = 1;
        for at in 1..self.pending.len() {
            let length = self.packed_length(&self.pending[..at]);
            if length > longest {
                break;
            }
            last = at;
            let gap = self.pending[at].start - self.pending[at - 1].end;
            // Of equal gaps the later one: it fills the window better.
            if length >= fill && best.is_none_or(|(widest, _)| gap >= widest) {
                best = Some((gap, at));
            }
        }
        let at = best.map_or(last, |(_, at)| at);
        let rest = self.pending.split_off(at.min(self.pending.len()));
        let speech = std::mem::replace(&mut self.pending, rest);
        self.plan(speech)
    }

    fn plan(&self, speech: Vec<Stretch>) -> Plan {
        Plan { map: SourceMap { pieces: self.pieces(&speech) }, speech }
    }

    fn packed_length(&self, speech: &[Stretch]) -> u64 {
        self.pieces(speech).last().map_or(0, |p| p.at + p.source.length())
    }

    fn pieces(&self, speech: &[Stretch]) -> Vec<Piece> {
        let mut pieces: Vec<Piece> = Vec::new();
        for &source in speech {
            match pieces.last_mut() {
                Some(last) if source.start - last.source.end < samples(self.settings.keep_gap_ms) => {
                    last.source.end = source.end;
                }
                Some(last) => {
                    let at = last.at + last.source.length() + samples(self.settings.short_gap_ms);
                    pieces.push(Piece { at, source });
                }
                None => pieces.push(Piece { at: 0, source }),
            }
        }
        pieces
    }
}

/// Returns the index of the quietest of `levels`, averaged over [`QUIET_FRAMES`]; of equals the
/// last; 0 where there are none.
pub(crate) fn quietest(levels: &[f32]) -> usize {
    let width = QUIET_FRAMES.min(levels.len().max(1));
    let mut best = (f32::INFINITY, 0);
    for (n, window) in levels.windows(width).enumerate() {
        let sum: f32 = window.iter().sum();
        if sum <= best.0 {
            best = (sum, n + width / 2);
        }
    }
    best.1
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn stretch(start_ms: u64, end_ms: u64) -> Stretch {
        Stretch { start: start_ms * PER_MS, end: end_ms * PER_MS }
    }

    fn pack(stretches: &[Stretch]) -> Vec<Plan> {
        let mut packer = Packer::new(PackSettings::default());
        let mut plans: Vec<Plan> = stretches.iter().flat_map(|s| packer.push(*s)).collect();
        plans.extend(packer.finish());
        plans
    }

    /// Shows each window as `window seconds = source seconds` for its pieces.
    fn show(plans: &[Plan]) -> String {
        let seconds = |n: u64| n as f64 / f64::from(RATE);
        let mut lines = Vec::new();
        for plan in plans {
            let pieces: Vec<String> = plan
                .map
                .pieces()
                .iter()
                .map(|p| format!("{:.1} = {:.1}..{:.1}", seconds(p.at), seconds(p.source.start), seconds(p.source.end)))
                .collect();
            lines.push(format!("{:.1} s: {}", seconds(plan.map.length()), pieces.join("; ")));
        }
        lines.join("\n")
    }

    #[test]
    fn short_gaps_stay_and_long_gaps_shrink() {
        let plans = pack(&[stretch(1_000, 3_000), stretch(3_900, 5_000), stretch(65_000, 70_000)]);
        insta::assert_snapshot!(show(&plans), @"9.3 s: 0.0 = 1.0..5.0; 4.3 = 65.0..70.0");
    }

    #[test]
    fn a_full_window_is_split_at_its_longest_silence() {
        let plans = pack(&[
            stretch(0, 10_000),
            stretch(10_700, 20_000),
            stretch(23_000, 26_000), // after the longest pause that leaves the window full enough
            stretch(26_700, 32_000),
            stretch(32_800, 38_000),
        ]);
        insta::assert_snapshot!(show(&plans), @r"
        20.0 s: 0.0 = 0.0..20.0
        15.0 s: 0.0 = 23.0..38.0
        ");
    }

    #[test]
    fn window_time_maps_back_to_the_recording() {
        let plans = pack(&[stretch(1_000, 3_000), stretch(65_000, 70_000)]);
        let map = &plans[0].map;
        let cases = [
            (0, 1_000, "start"),
            (1_999, 2_999, "first piece"),
            (2_000, 3_000, "its end"),
            (2_100, 3_000, "in the shortened gap, nearer to the first"),
            (2_200, 65_000, "in the shortened gap, nearer to the second"),
            (2_300, 65_000, "second piece"),
            (7_300, 70_000, "end"),
            (99_000, 70_000, "after the end"),
        ];
        for (window, source, why) in cases {
            assert_eq!(map.to_source(Millis(window)), Millis(source), "{why}");
        }
        assert_eq!(map.to_window(Millis(65_500)), Some(Millis(2_800)));
        assert_eq!(map.to_window(Millis(30_000)), None);
        assert_eq!(map.to_window(Millis(500)), None);
    }

    #[test]
    fn the_quietest_point_is_a_quiet_syllable_not_a_quiet_sample() {
        let mut levels = vec![1.0; 40];
        levels[5] = 0.0;
        levels[20..27].fill(0.2);
        assert_eq!(quietest(&levels), 24);
        assert_eq!(quietest(&[]), 0);
    }

    fn any_stretches() -> impl Strategy<Value = Vec<Stretch>> {
        let gap_and_length = (0_u64..80_000, 1_u64..448_000);
        prop::collection::vec(gap_and_length, 0..60).prop_map(|parts| {
            let mut at = 0;
            parts
                .into_iter()
                .map(|(gap, length)| {
                    let start = at + gap;
                    at = start + length;
                    Stretch { start, end: at }
                })
                .collect()
        })
    }

    proptest! {
        #[test]
        fn every_speech_sample_is_in_exactly_one_window(stretches in any_stretches()) {
            let plans = pack(&stretches);
            let speech: Vec<Stretch> = plans.iter().flat_map(|p| p.speech.clone()).collect();
            prop_assert_eq!(&speech, &stretches);
            // Pieces never overlap, so no sample is heard twice, and each stretch is inside one.
            let pieces: Vec<Stretch> = plans.iter().flat_map(|p| p.map.pieces()).map(|p| p.source).collect();
            prop_assert!(pieces.windows(2).all(|w| w[0].end <= w[1].start));
            for s in &stretches {
                prop_assert_eq!(pieces.iter().filter(|p| p.start <= s.start && s.end <= p.end).count(), 1);
            }
        }

        #[test]
        fn no_window_is_longer_than_28_seconds(stretches in any_stretches()) {
            for plan in pack(&stretches) {
                prop_assert!(plan.map.length() <= 28 * u64::from(RATE));
            }
        }

        #[test]
        fn the_map_never_goes_back_and_inverts(stretches in any_stretches(), step in 1_u64..50) {
            for plan in pack(&stretches) {
                let mut last = Millis(0);
                for ms in (0..29_000).step_by(step as usize * 10) {
                    let source = plan.map.to_source(Millis(ms));
                    prop_assert!(source >= last);
                    last = source;
                    // Inside a piece the way back leads to the same millisecond (pieces may start
                    // between milliseconds, hence one either way).
                    if let Some(back) = plan.map.to_window(source)
                        && plan.map.pieces().iter().any(|p| p.at <= ms * PER_MS && ms * PER_MS < p.at + p.source.length())
                    {
                        prop_assert!(back.0.abs_diff(ms) <= 1, "{} came back as {}", ms, back.0);
                    }
                }
            }
        }

        #[test]
        fn a_stretch_longer_than_a_window_is_divided_without_loss(length in 1_u64..2_000_000) {
            let plans = pack(&[Stretch { start: 7, end: 7 + length }]);
            let speech: Vec<Stretch> = plans.iter().flat_map(|p| p.speech.clone()).collect();
            prop_assert_eq!(speech.iter().map(|s| s.length()).sum::<u64>(), length);
            prop_assert!(speech.windows(2).all(|w| w[0].end == w[1].start));
            prop_assert!(plans.iter().all(|p| p.map.length() <= 28 * u64::from(RATE)));
        }
    }
}
