//! Any sample rate to the recogniser's 16 kHz, streamed, without shift and with exact length.

use rubato::audioadapter_buffers::direct::InterleavedSlice;
use rubato::{Fft, FixedSync, Indexing, Resampler as _, WindowFunction};

/// The recogniser's and the detector's sample rate in Hz.
pub const RATE: u32 = 16_000;

/// Frames that the resampler's filter spans, at the file's rate. At 48 kHz 43 ms: its stop band
/// starts where the pass band ends within 3 % of 8 kHz, while memory and delay stay trifling.
const BLOCK_FRAMES: usize = 2048;

/// Converts one stream of mono samples to [`RATE`].
pub struct Resampler {
    from: u32,
    inner: Option<Fft<f32>>,
    waiting: Vec<f32>,
    output: Vec<f32>,
    skip: usize,
    taken: u64,
    given: u64,
}

impl Resampler {
    /// Returns a converter from `from` Hz.
    ///
    /// # Errors
    /// The resampler's own message, where it cannot work at this rate (zero).
    pub fn new(from: u32) -> Result<Self, String> {
        let inner = if from == RATE {
            None
        } else {
            let fft = Fft::new_custom(
                from as usize,
                RATE as usize,
                even_block(from),
                1,
                1,
                WindowFunction::BlackmanHarris2,
                FixedSync::Both,
            )
            .map_err(|e| e.to_string())?;
            Some(fft)
        };
        let skip = inner.as_ref().map_or(0, |fft| fft.output_delay());
        let output = inner.as_ref().map_or_else(Vec::new, |fft| vec![0.0; fft.output_frames_max()]);
        Ok(Resampler { from, inner, waiting: Vec::new(), output, skip, taken: 0, given: 0 })
    }

    /// Returns the rate converted from, in Hz.
    pub fn from_rate(&self) -> u32 {
        self.from
    }

    /// Takes samples in and appends to `out` what is ready.
    ///
    /// # Errors
    /// The resampler's own message; does not happen with a converter that [`Self::new`] returned.
    pub fn push(&mut self, samples: &[f32], out: &mut Vec<f32>) -> Result<(), String> {
        self.taken += samples.len() as u64;
        let Some(needed) = self.inner.as_ref().map(|fft| fft.input_frames_next()) else {
            out.extend_from_slice(samples);
            self.given += samples.len() as u64;
            return Ok(());
        };
        self.waiting.extend_from_slice(samples);
        let mut used = 0;
        while self.waiting.len() - used >= needed {
            self.convert(used, needed, out)?;
            used += needed;
        }
        self.waiting.drain(..used);
        Ok(())
    }

    /// Ends the stream: appends the rest, so that all calls together gave `n * 16000 / rate`
    /// samples for `n` taken, rounded to the nearest whole.
    ///
    /// # Errors
    /// As [`Self::push`].
    pub fn finish(mut self, out: &mut Vec<f32>) -> Result<(), String> {
        let (taken, from) = (u128::from(self.taken), u128::from(self.from.max(1)));
        let want = ((taken * u128::from(RATE) * 2 + from) / (from * 2)) as u64;
        let Some(needed) = self.inner.as_ref().map(|fft| fft.input_frames_next()) else {
            return Ok(());
        };
        let before = out.len();
        let given_before = self.given;
        // What waits, then silence until the filter's delay has run out.
        let mut real = self.waiting.len();
        self.waiting.resize(real.max(needed), 0.0);
        while self.given < want {
            self.waiting[real.min(needed)..].fill(0.0);
            self.convert(0, needed, out)?;
            real = 0;
        }
        out.truncate(before + (want - given_before.min(want)) as usize);
        Ok(())
    }

    fn convert(&mut self, at: usize, frames: usize, out: &mut Vec<f32>) -> Result<(), String> {
        let Some(fft) = self.inner.as_mut() else { return Ok(()) };
        let capacity = self.output.len();
        let input = InterleavedSlice::new(&self.waiting[at..at + frames], 1, frames)
            .map_err(|e| e.to_string())?;
        let mut output = InterleavedSlice::new_mut(&mut self.output, 1, capacity)
            .map_err(|e| e.to_string())?;
        let (_, made) = fft
            .process_into_buffer(&input, &mut output, None::<&Indexing>)
            .map_err(|e| e.to_string())?;
        let skipped = self.skip.min(made);
        self.skip -= skipped;
        out.extend_from_slice(&self.output[skipped..made]);
        self.given += (made - skipped) as u64;
        Ok(())
    }
}

/// Returns the length nearest above [`BLOCK_FRAMES`] that is an even number of the shortest
/// stretch with whole frames on both sides. The filter's delay is half of it, so with an odd
/// number the output would lie half a frame off.
fn even_block(from: u32) -> usize {
    let (mut a, mut b) = (from.max(1), RATE);
    while b > 0 {
        (a, b) = (b, a % b);
    }
    let shortest = (from / a).max(1) as usize;
    BLOCK_FRAMES.div_ceil(shortest).next_multiple_of(2) * shortest
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::TAU;

    fn resample(rate: u32, input: &[f32], chunk: usize) -> Vec<f32> {
        let mut resampler = Resampler::new(rate).unwrap();
        let mut out = Vec::new();
        for part in input.chunks(chunk) {
            resampler.push(part, &mut out).unwrap();
        }
        resampler.finish(&mut out).unwrap();
        out
    }

    fn tone(rate: u32, hertz: f64, frames: usize) -> Vec<f32> {
        (0..frames).map(|n| (0.5 * (TAU * hertz * n as f64 / f64::from(rate)).sin()) as f32).collect()
    }

    #[test]
    fn length_is_exact_for_every_rate_and_length() {
        for rate in [8_000, 11_025, 12_000, 16_000, 22_050, 24_000, 32_000, 44_100, 48_000, 96_000, 192_000, 44_099] {
            for frames in [0_usize, 1, 7, 2048, 50_001] {
                let want = (frames as f64 * 16_000.0 / f64::from(rate)).round() as usize;
                let got = resample(rate, &vec![0.1; frames], 1000).len();
                assert_eq!(got, want, "{frames} frames at {rate} Hz");
            }
        }
    }

    /// A 1 kHz tone is the same tone at the same place afterwards. 0.001 of full scale is the
    /// ripple of the filter's pass band away from the ends, where silence before and after
    /// smears the first and last few milliseconds.
    #[test]
    fn a_tone_keeps_its_place_and_level() {
        for rate in [8_000, 11_025, 22_050, 44_100, 48_000, 96_000, 192_000] {
            let got = resample(rate, &tone(rate, 1000.0, rate as usize), 997);
            let want = tone(16_000, 1000.0, 16_000);
            let worst = (1600..14_400).map(|n| (got[n] - want[n]).abs()).fold(0.0, f32::max);
            assert!(worst < 0.001, "{rate} Hz: off by {worst}");
        }
    }

    /// A tone above 8 kHz must not fold back into the speech band: at least 80 dB below it.
    #[test]
    fn what_16_khz_cannot_carry_is_removed() {
        for (rate, hertz) in [(44_100, 9_000.0), (48_000, 12_000.0), (96_000, 20_000.0)] {
            let got = resample(rate, &tone(rate, hertz, rate as usize), 4096);
            let worst = got[1600..14_400].iter().fold(0.0_f32, |m, s| m.max(s.abs()));
            assert!(worst < 0.5e-4, "{hertz} Hz at {rate} Hz leaves {worst}");
        }
    }

    #[test]
    fn chunking_changes_nothing() {
        let input = tone(44_100, 440.0, 30_000);
        assert_eq!(resample(44_100, &input, 100), resample(44_100, &input, 30_000));
    }
}
