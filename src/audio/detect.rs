//! Where somebody speaks: a voice detector's score for each 16 ms becomes stretches of speech.
//!
//! Speech that is not found here is lost without a trace, while silence taken for speech costs a
//! little time. So every constant leans towards keeping.

use super::pack::{Stretch, quietest};
use super::resample::RATE;
use std::collections::VecDeque;

/// Samples in one frame of the detector: 16 ms at 16 kHz, fixed by the `earshot` crate.
pub const FRAME: usize = 256;

/// One frame of samples.
pub type Frame = [f32; FRAME];

/// Tells voice from other sound, frame by frame. The boundary behind which detectors can be
/// exchanged and compared.
pub trait VoiceDetector {
    /// Returns how likely the frame holds a voice, 0 to 1. Frames come in order; samples are
    /// within −1 to 1, at an even level.
    fn probability(&mut self, frame: &Frame) -> f32;
}

/// The detector of the `earshot` crate: a small recurrent network inside the crate, no file.
#[derive(Default)]
pub struct Earshot(Box<earshot::Detector>);

impl VoiceDetector for Earshot {
    fn probability(&mut self, frame: &Frame) -> f32 {
        self.0.predict_f32(frame)
    }
}

/// Score from which a frame is speech. Below the customary 0.5, because a missed word is worse
/// than a kept noise. Measured on eight walk-rounds (42 minutes) and 62 recordings of real people,
/// each also 20 to 50 dB quieter and with white noise at 10, 5 and 0 dB below the speech: with
/// [`SILENCE_BELOW`] no frame of clear speech was lost in any walk-round, and all that was lost
/// elsewhere is one recording of the 62 under noise or 50 dB down.
pub const SPEECH_FROM: f32 = 0.35;
/// Score below which a stretch may end; lower than [`SPEECH_FROM`], so that the weak consonants
/// inside and at the end of a sentence hold it together. The detector scores a room's own noise at
/// 0.2 to 0.25: with 0.2 the same walk-rounds kept 87 % of their length, with this 77 %, and no
/// clear speech was lost by it.
pub const SILENCE_BELOW: f32 = 0.28;
/// Silence that ends a stretch, in milliseconds: longer than the pauses inside a sentence.
pub const LEAST_SILENCE_MS: u32 = 600;
/// Margin kept before and after each stretch, in milliseconds: detectors start late on soft
/// onsets ("half", "flush"), and the recogniser needs to hear the word begin.
pub const MARGIN_MS: u32 = 300;
/// Speech shorter than this is a knock or click, in milliseconds; "yes" takes 200.
pub const LEAST_SPEECH_MS: u32 = 100;
/// Longest stretch, in milliseconds: the longest window of the recogniser that leaves room for
/// its own end-of-speech margin of 2 s.
pub const LONGEST_MS: u32 = 28_000;

/// How scores become stretches.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DetectSettings {
    /// See [`SPEECH_FROM`].
    pub speech_from: f32,
    /// See [`SILENCE_BELOW`].
    pub silence_below: f32,
    /// See [`LEAST_SILENCE_MS`].
    pub least_silence_ms: u32,
    /// See [`MARGIN_MS`].
    pub margin_ms: u32,
    /// See [`LEAST_SPEECH_MS`].
    pub least_speech_ms: u32,
    /// See [`LONGEST_MS`].
    pub longest_ms: u32,
}

impl Default for DetectSettings {
    fn default() -> Self {
        DetectSettings {
            speech_from: SPEECH_FROM,
            silence_below: SILENCE_BELOW,
            least_silence_ms: LEAST_SILENCE_MS,
            margin_ms: MARGIN_MS,
            least_speech_ms: LEAST_SPEECH_MS,
            longest_ms: LONGEST_MS,
        }
    }
}

/// Returns the samples in `ms` milliseconds at 16 kHz.
pub(crate) const fn samples(ms: u32) -> u64 {
    ms as u64 * (RATE as u64 / 1000)
}

/// A stretch that has begun.
#[derive(Debug, Clone, Copy)]
struct Open {
    /// First sample, margin included.
    start: u64,
    /// End of the last frame of speech.
    speech_end: u64,
    /// Samples in frames of speech.
    speech: u64,
}

/// Turns scores into stretches of speech, as they come.
pub(crate) struct Segmenter {
    settings: DetectSettings,
    /// Samples seen.
    at: u64,
    open: Option<Open>,
    /// End of the last stretch given out.
    last_end: u64,
    /// Levels of the latest frames, enough for the longest stretch.
    levels: VecDeque<f32>,
}

impl Segmenter {
    pub(crate) fn new(settings: DetectSettings) -> Self {
        Segmenter {
            settings,
            at: 0,
            open: None,
            last_end: 0,
            levels: VecDeque::new(),
        }
    }

    /// Takes in a frame's score and level (root mean square); returns the stretch that this frame
    /// ends, if any.
    pub(crate) fn push(&mut self, score: f32, level: f32) -> Option<Stretch> {
        let frame_start = self.at;
        self.at += FRAME as u64;
        self.levels.push_back(level);
        let keep = self.settings.longest_ms + 2 * self.settings.margin_ms;
        if self.levels.len() as u64 > samples(keep) / FRAME as u64 {
            self.levels.pop_front();
        }

        let from = if self.open.is_some() {
            self.settings.silence_below
        } else {
            self.settings.speech_from
        };
        if score >= from {
            let start = frame_start.saturating_sub(samples(self.settings.margin_ms));
            let start = start.max(self.last_end);
            let open = self.open.get_or_insert(Open {
                start,
                speech_end: 0,
                speech: 0,
            });
            open.speech_end = self.at;
            open.speech += FRAME as u64;
        }
        let open = self.open?;
        if self.at - open.speech_end >= samples(self.settings.least_silence_ms) {
            return self.close(open, u64::MAX);
        }
        if self.at + samples(self.settings.margin_ms) - open.start
            >= samples(self.settings.longest_ms)
        {
            return Some(self.cut(open));
        }
        None
    }

    /// Ends the stream of `total` samples; returns the stretch still open, if any.
    pub(crate) fn finish(mut self, total: u64) -> Option<Stretch> {
        let open = self.open?;
        self.close(open, total)
    }

    /// Returns the first sample that a stretch given out later can contain.
    pub(crate) fn earliest(&self) -> u64 {
        let next = self
            .at
            .saturating_sub(samples(self.settings.margin_ms))
            .max(self.last_end);
        self.open.map_or(next, |open| open.start.min(next))
    }

    fn close(&mut self, open: Open, total: u64) -> Option<Stretch> {
        self.open = None;
        if open.speech < samples(self.settings.least_speech_ms) {
            return None;
        }
        let end = (open.speech_end + samples(self.settings.margin_ms)).min(total);
        self.last_end = end;
        (end > open.start).then_some(Stretch {
            start: open.start,
            end,
        })
    }

    /// Cuts a stretch that has grown too long at the quietest point of its second half.
    fn cut(&mut self, open: Open) -> Stretch {
        let frame = FRAME as u64;
        let first = self.at - self.levels.len() as u64 * frame;
        let half = open.start + (self.at - open.start) / 2;
        let skip = (half.saturating_sub(first) / frame) as usize;
        let levels: Vec<f32> = self.levels.iter().skip(skip).copied().collect();
        let cut = first + (skip + quietest(&levels)) as u64 * frame + frame / 2;
        let cut = cut.clamp(open.start + 1, self.at);
        let speech = samples(self.settings.least_speech_ms);
        self.open = Some(Open {
            start: cut,
            speech_end: open.speech_end.max(cut),
            speech,
        });
        self.last_end = cut;
        Stretch {
            start: open.start,
            end: cut,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Runs scores written as runs `(frames, score)` and returns stretches in milliseconds.
    fn stretches(runs: &[(usize, f32)]) -> Vec<(u64, u64)> {
        let mut segmenter = Segmenter::new(DetectSettings::default());
        let mut out = Vec::new();
        let mut total = 0;
        for &(count, score) in runs {
            for _ in 0..count {
                out.extend(segmenter.push(score, score));
                total += FRAME as u64;
            }
        }
        out.extend(segmenter.finish(total));
        out.iter().map(|s| (s.start / 16, s.end / 16)).collect()
    }

    #[test]
    fn scores_become_stretches() {
        type Case = (&'static str, &'static [(usize, f32)], &'static [(u64, u64)]);
        let cases: [Case; 8] = [
            ("silence", &[(1000, 0.0)], &[]),
            (
                "a second of speech gets its margins",
                &[(100, 0.0), (63, 0.9), (100, 0.0)],
                &[(1300, 2908)],
            ),
            (
                "a click is left out",
                &[(100, 0.0), (5, 0.9), (100, 0.0)],
                &[],
            ),
            (
                "a pause inside a sentence stays inside",
                &[(50, 0.0), (20, 0.9), (30, 0.0), (20, 0.9), (50, 0.0)],
                &[(500, 2220)],
            ),
            (
                "a pause between sentences divides",
                &[(50, 0.0), (20, 0.9), (60, 0.0), (20, 0.9), (50, 0.0)],
                &[(500, 1420), (1780, 2700)],
            ),
            (
                "a weak end belongs to it",
                &[(50, 0.0), (20, 0.9), (20, 0.3), (50, 0.0)],
                &[(500, 1740)],
            ),
            (
                "weak sound alone does not start one",
                &[(50, 0.0), (50, 0.3), (50, 0.0)],
                &[],
            ),
            (
                "speech from the first to the last sample",
                &[(50, 0.9)],
                &[(0, 800)],
            ),
        ];
        for (why, runs, want) in cases {
            assert_eq!(stretches(runs), want, "{why}");
        }
    }

    #[test]
    fn an_endless_stretch_is_cut_where_it_is_quietest() {
        // 60 s of speech with a soft frame at 20 s: it is cut there, not at 28 s.
        let got = stretches(&[(1250, 0.9), (5, 0.5), (2500, 0.9)]);
        assert_eq!(got[0], (0, 20_040));
        assert!(
            got.windows(2).all(|w| w[0].1 == w[1].0),
            "nothing is lost at a cut: {got:?}"
        );
        assert!(
            got.iter().all(|(start, end)| end - start <= 28_000),
            "{got:?}"
        );
    }

    proptest! {
        #[test]
        fn every_spoken_frame_is_inside_one_stretch(
            runs in prop::collection::vec((1_usize..400, prop::bool::ANY), 0..40)
        ) {
            let runs: Vec<(usize, f32)> = runs.iter().map(|&(n, voice)| (n, if voice { 0.8 } else { 0.0 })).collect();
            let got = stretches(&runs);
            prop_assert!(got.windows(2).all(|w| w[0].1 <= w[1].0));
            prop_assert!(got.iter().all(|(start, end)| start < end && end - start <= 28_000));
            let mut at = 0;
            for (count, score) in runs {
                let (start, end) = (at * 16, (at + count as u64) * 16);
                at += count as u64;
                if score > 0.5 && count >= 7 {
                    let inside: u64 = got.iter().map(|(s, e)| end.min(*e).saturating_sub(start.max(*s))).sum();
                    prop_assert!(end - start - inside <= got.len() as u64, "{start}..{end} in {got:?}");
                }
            }
        }
    }
}
