//! Writes 16 kHz mono WAV files: excerpts to listen to, and sound for tests.

use super::error::AudioError;
use super::resample::RATE;
use hound::{SampleFormat, WavSpec, WavWriter};
use std::path::Path;

/// Writes samples (nominally −1 to 1, the rest is clipped) as a 16-bit mono WAV at 16 kHz.
///
/// # Errors
/// [`AudioError::Write`] where the file cannot be written.
pub fn write_wav_16k(path: &Path, samples: &[f32]) -> Result<(), AudioError> {
    let failed =
        |e: hound::Error| AudioError::Write { path: path.to_owned(), reason: e.to_string() };
    let spec = WavSpec {
        channels: 1,
        sample_rate: RATE,
        bits_per_sample: 16,
        sample_format: SampleFormat::Int,
    };
    let mut writer = WavWriter::create(path, spec).map_err(failed)?;
    for sample in samples {
        // `as` saturates and turns what is not a number into 0.
        writer.write_sample((sample * 32_767.0).round() as i16).map_err(failed)?;
    }
    writer.finalize().map_err(failed)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::audio::SpeechStream;

    #[test]
    fn what_is_written_is_read_back() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("excerpt.wav");
        write_wav_16k(&path, &[0.0, 0.5, -0.5, 2.0, -2.0]).unwrap();
        let mut stream = SpeechStream::open(&path).unwrap();
        let got = stream.next_samples().unwrap().unwrap();
        let want = [0.0, 0.5, -0.5, 1.0, -1.0];
        // One 16-bit step.
        assert!(got.iter().zip(want).all(|(a, b)| (a - b).abs() < 1.0 / 32_000.0), "{got:?}");
        assert_eq!(stream.next_samples().unwrap(), None);
    }
}
