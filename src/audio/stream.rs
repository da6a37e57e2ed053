//! A sound file as a stream of 16 kHz mono samples.

use super::decode::MonoStream;
use super::error::{AudioError, AudioWarning};
use super::resample::{RATE, Resampler};
use crate::time::Millis;
use std::path::{Path, PathBuf};

/// A sound file as 16 kHz mono samples, read in pieces.
pub struct SpeechStream {
    path: PathBuf,
    source: MonoStream,
    resampler: Option<Resampler>,
    given: u64,
    ended: bool,
}

impl SpeechStream {
    /// Opens a sound file of any supported kind.
    ///
    /// # Errors
    /// As [`MonoStream::open`].
    pub fn open(path: &Path) -> Result<Self, AudioError> {
        let source = MonoStream::open(path)?;
        Ok(SpeechStream { path: path.to_owned(), source, resampler: None, given: 0, ended: false })
    }

    /// Returns the next samples, never an empty piece, or `None` at the end.
    ///
    /// # Errors
    /// As [`MonoStream::next_block`].
    pub fn next_samples(&mut self) -> Result<Option<Vec<f32>>, AudioError> {
        let mut out = Vec::new();
        while out.is_empty() && !self.ended {
            let Some(block) = self.source.next_block()? else {
                self.ended = true;
                self.finish_resampler(&mut out)?;
                break;
            };
            if self.resampler.as_ref().is_none_or(|r| r.from_rate() != block.rate) {
                self.finish_resampler(&mut out)?;
                let new = Resampler::new(block.rate);
                self.resampler = Some(new.map_err(|_| self.bad_rate(block.rate))?);
            }
            if let Some(resampler) = self.resampler.as_mut() {
                let pushed = resampler.push(&block.samples, &mut out);
                pushed.map_err(|_| self.bad_rate(block.rate))?;
            }
        }
        self.given += out.len() as u64;
        Ok(if out.is_empty() { None } else { Some(out) })
    }

    /// Returns the moment up to which samples were given.
    pub fn position(&self) -> Millis {
        Millis(self.given * 1000 / u64::from(RATE))
    }

    /// Returns the length the file announces; `None` where it states none.
    pub fn announced_length(&self) -> Option<Millis> {
        self.source.announced_length()
    }

    /// Returns what was worth telling so far; complete once the stream has ended.
    pub fn warnings(&self) -> &[AudioWarning] {
        self.source.warnings()
    }

    fn finish_resampler(&mut self, out: &mut Vec<f32>) -> Result<(), AudioError> {
        match self.resampler.take() {
            Some(resampler) => {
                let rate = resampler.from_rate();
                resampler.finish(out).map_err(|_| self.bad_rate(rate))
            }
            None => Ok(()),
        }
    }

    fn bad_rate(&self, rate: u32) -> AudioError {
        AudioError::UnsupportedRate { path: self.path.clone(), rate }
    }
}
