//! Sound to what Whisper's encoder gets: a log-mel spectrogram of thirty seconds.
//!
//! As `log_mel_spectrogram` of OpenAI's `whisper/audio.py` (MIT): Hann window of 400 samples every 160,
//! power, mel filters, logarithm, cut 8 below its highest value, and shifted to about -1 to 1.

use super::Rows;
use crate::audio::hann;
use ndarray::Array2;
use realfft::{RealFftPlanner, RealToComplex};
use std::sync::Arc;

/// Samples of one spectrum, and from one to the next, at 16 kHz.
const WIDTH: usize = 400;
const STEP: usize = 160;
/// Frequencies of a spectrum.
pub(super) const BINS: usize = WIDTH / 2 + 1;
/// Spectra of a window: thirty seconds.
pub(super) const FRAMES: usize = 3000;
/// Power below this counts as this, so that its logarithm is finite.
const LEAST_POWER: f32 = 1e-10;

/// Makes spectrograms with the filters of a model.
pub(super) struct Mel {
    filters: Rows,
    hann: Vec<f32>,
    fourier: Arc<dyn RealToComplex<f32>>,
}

impl Mel {
    /// Returns one with these filters, a row of [`BINS`] for each band.
    pub(super) fn new(filters: Rows) -> Mel {
        Mel {
            filters,
            hann: hann(WIDTH),
            fourier: RealFftPlanner::new().plan_fft_forward(WIDTH),
        }
    }

    /// Returns the spectrogram of samples at 16 kHz, [`FRAMES`] rows of as many bands as there are
    /// filters. What is longer than thirty seconds is cut, what is shorter filled up with silence.
    pub(super) fn spectrogram(&self, samples: &[f32]) -> Rows {
        let length = FRAMES * STEP;
        let sample = |at: usize| samples.get(at).copied().unwrap_or(0.0);
        let mut power = Array2::zeros((FRAMES, BINS));
        let mut piece = self.fourier.make_input_vec();
        let mut spectrum = self.fourier.make_output_vec();
        for (frame, mut row) in power.outer_iter_mut().enumerate() {
            for (at, (value, hann)) in piece.iter_mut().zip(&self.hann).enumerate() {
                // Each spectrum is of what lies around its moment; the ends are mirrored.
                let moment = (frame * STEP + at).abs_diff(WIDTH / 2);
                let moment = moment.min(2 * (length - 1) - moment);
                *value = sample(moment) * hann;
            }
            // It fails for buffers of a wrong length only, and these are its own.
            if self.fourier.process(&mut piece, &mut spectrum).is_err() {
                continue;
            }
            for (value, number) in row.iter_mut().zip(&spectrum) {
                *value = number.norm_sqr();
            }
        }
        let mut mel = power.dot(&self.filters.t());
        mel.mapv_inplace(|value| value.max(LEAST_POWER).log10());
        let highest = mel.iter().copied().fold(f32::MIN, f32::max);
        mel.mapv_inplace(|value| (value.max(highest - 8.0) + 4.0) / 4.0);
        mel
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::speech::model::EMBEDDED;
    use crate::speech::model_file;

    /// `whisper.log_mel_spectrogram(whisper.pad_or_trim(x))` of openai-whisper 20250625 for a second each
    /// of 440 Hz at 0.5 and of 3 kHz at 0.1, at some frames and bands.
    #[test]
    fn a_spectrogram_is_that_of_whispers_own_program() {
        let mel = Mel::new(model_file::mel_filters(EMBEDDED).unwrap());
        let tone = |at: usize, hertz: f32, loud: f32| {
            (std::f32::consts::TAU * hertz * at as f32 / 16_000.0).sin() * loud
        };
        let samples: Vec<f32> = (0..32_000)
            .map(|at| match at < 16_000 {
                true => tone(at, 440.0, 0.5),
                false => tone(at, 3000.0, 0.1),
            })
            .collect();
        let made = mel.spectrogram(&samples);
        assert_eq!(made.dim(), (FRAMES, 80));
        for (frame, band, expected) in EXPECTED {
            let value = made[(frame, band)];
            assert!((value - expected).abs() < 2e-3, "{frame} {band}: {value}");
        }
    }

    const EXPECTED: [(usize, usize, f32); 12] = [
        (0, 10, 1.3362),
        (0, 11, 1.1116),
        (50, 5, -0.5618),
        (50, 11, 1.4382),
        (99, 11, 1.437),
        (100, 40, 0.3633),
        (100, 55, 0.8522),
        (150, 55, 0.941),
        (200, 20, 0.0531),
        (201, 55, -0.0032),
        (1500, 3, -0.5618),
        (2999, 79, -0.5618),
    ];
}
