//! A copy of the sound at an even level, for the voice detector only.
//!
//! A detector misses a voice recorded far below the level it was trained on: a phone in a pocket,
//! a microphone turned down. Raising the level for the detector alone brings such speech back,
//! while the recogniser, which has its own normalisation, hears the sound as recorded.

use super::detect::{FRAME, Frame};
use std::collections::VecDeque;

/// Frames in one block with one gain: 1.02 s, longer than a syllable, shorter than a sentence.
const BLOCK_FRAMES: usize = 64;
/// Blocks before and after the present one whose level counts: 6 s back, 3 s ahead. Enough to
/// contain speech wherever there is some, short enough to follow a walk from room to garden.
const BLOCKS_BEFORE: usize = 6;
const BLOCKS_AHEAD: usize = 3;
/// Level, as a share of all frames, that is taken for that of the speech: the 95th percentile is
/// speech as soon as half a second of the nine is, and a slammed door (a few frames) is not.
const LEVEL_PERCENTILE: f64 = 0.95;
/// Root mean square that this percentile is brought to, of full scale: -20 dB, the louder frames
/// of speech at a nominal -26 dB (ITU-T P.56 active level as used in codec tests; from memory).
const TARGET_LEVEL: f32 = 0.1;
/// Most gain, 30 dB: recovers a voice at -50 dB; more would turn a room's noise into the level of speech.
const MOST_GAIN: f32 = 31.6;

/// A frame at an even level, with the level it had.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Levelled {
    /// Samples with the gain applied, held within −1 to 1.
    pub(crate) samples: Frame,
    /// Root mean square before the gain.
    pub(crate) level: f32,
}

struct Block {
    frames: Vec<Frame>,
    levels: Vec<f32>,
}

/// Brings a stream to an even level; gives frames out [`BLOCKS_AHEAD`] blocks late.
#[derive(Default)]
pub(crate) struct Leveller {
    filling: Vec<Frame>,
    ahead: VecDeque<Block>,
    before: VecDeque<Vec<f32>>,
    last_gain: Option<f32>,
}

impl Leveller {
    /// Takes in a frame and appends the frames that are ready to `out`.
    pub(crate) fn push(&mut self, frame: Frame, out: &mut Vec<Levelled>) {
        self.filling.push(frame);
        if self.filling.len() == BLOCK_FRAMES {
            self.close_block();
            if self.ahead.len() > BLOCKS_AHEAD {
                self.give_block(out);
            }
        }
    }

    /// Appends all frames still held to `out`.
    pub(crate) fn finish(mut self, out: &mut Vec<Levelled>) {
        if !self.filling.is_empty() {
            self.close_block();
        }
        while !self.ahead.is_empty() {
            self.give_block(out);
        }
    }

    fn close_block(&mut self) {
        let frames = std::mem::take(&mut self.filling);
        let levels = frames.iter().map(root_mean_square).collect();
        self.ahead.push_back(Block { frames, levels });
    }

    fn give_block(&mut self, out: &mut Vec<Levelled>) {
        let gain = self.gain();
        let Some(block) = self.ahead.pop_front() else { return };
        // From the last gain to this one in a straight line: a step would sound like an onset.
        let from = self.last_gain.unwrap_or(gain);
        let count = block.frames.len() as f32;
        for (n, (frame, &level)) in block.frames.iter().zip(&block.levels).enumerate() {
            let now = from + (gain - from) * (n as f32 + 1.0) / count;
            let samples = frame.map(|s| (s * now).clamp(-1.0, 1.0));
            out.push(Levelled { samples, level });
        }
        self.last_gain = Some(gain);
        self.before.push_back(block.levels);
        if self.before.len() > BLOCKS_BEFORE {
            self.before.pop_front();
        }
    }

    fn gain(&self) -> f32 {
        let ahead = self.ahead.iter().map(|block| &block.levels);
        let mut levels: Vec<f32> = self.before.iter().chain(ahead).flatten().copied().collect();
        if levels.is_empty() {
            return 1.0;
        }
        let at = ((levels.len() - 1) as f64 * LEVEL_PERCENTILE) as usize;
        let (_, level, _) = levels.select_nth_unstable_by(at, f32::total_cmp);
        if *level <= TARGET_LEVEL / MOST_GAIN {
            MOST_GAIN
        } else {
            (TARGET_LEVEL / *level).max(1.0)
        }
    }
}

fn root_mean_square(frame: &Frame) -> f32 {
    let sum: f64 = frame.iter().map(|s| f64::from(*s).powi(2)).sum();
    (sum / FRAME as f64).sqrt() as f32
}

#[cfg(test)]
mod tests {
    use super::*;

    fn run(frames: &[Frame]) -> Vec<Levelled> {
        let (mut leveller, mut out) = (Leveller::default(), Vec::new());
        for frame in frames {
            leveller.push(*frame, &mut out);
        }
        leveller.finish(&mut out);
        out
    }

    #[test]
    fn quiet_sound_is_raised_by_30_db_at_most_and_loud_sound_is_left() {
        for (level, want) in [(0.0001, 0.00316), (0.001, 0.0316), (0.01, 0.1), (0.1, 0.1), (0.5, 0.5)] {
            let out = run(&[[level; FRAME]; 700]);
            assert_eq!(out.len(), 700);
            let got = out[400].samples[0];
            assert!((got - want).abs() < 0.01 * want, "{level} became {got}, not {want}");
        }
    }

    #[test]
    fn one_slammed_door_does_not_hush_the_quiet_voice_around_it() {
        let mut frames = vec![[0.005; FRAME]; 700];
        for frame in &mut frames[300..310] {
            *frame = [0.9; FRAME];
        }
        let out = run(&frames);
        assert!((out[330].samples[0] - 0.1).abs() < 0.01);
        assert!(out.iter().all(|f| f.samples.iter().all(|s| s.abs() <= 1.0)));
    }

    #[test]
    fn frames_come_out_in_order_and_complete_for_any_length() {
        for count in [0, 1, 63, 64, 65, 500] {
            let frames: Vec<Frame> = (0..count).map(|n| [n as f32; FRAME]).collect();
            let levels: Vec<f32> = run(&frames).iter().map(|f| f.level).collect();
            assert_eq!(levels, (0..count).map(|n| n as f32).collect::<Vec<_>>());
        }
    }
}
