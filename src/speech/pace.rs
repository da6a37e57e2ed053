//! Sound played slower than it was said, for voices that are high, shouted or hurried.
//!
//! Whisper has learnt from speech at its usual pitch and pace. Played slower, as a tape is, a voice becomes
//! deeper and its words come later, both by the same part; what was hardly heard then is heard better
//! (`models/README.md` has the figures), and what was heard well hardly changes.

use super::recogniser::{
    Doubt, DroppedText, Heard, HeardWord, Likelihoods, NextBest, Recogniser, SpeechError,
};
use crate::audio::{RATE, Resampler, WindowSettings};
use crate::time::{Millis, Span};
use std::borrow::Cow;

/// How fast sound is played to a recogniser, in hundredths of the pace at which it was said.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Pace(u32);

impl Pace {
    /// As it was said.
    pub const OWN: Pace = Pace(100);

    /// Those worth trying where a voice is hardly heard at its own: lower by two and by five semitones. A
    /// synthetic voice shouting has its words heard with a third fewer errors at either, one that speaks at twice
    /// the usual pace at the second.
    pub const SLOWER: [Pace; 2] = [Pace(87), Pace(75)];

    /// Returns it in hundredths.
    pub fn percent(self) -> u32 {
        self.0
    }

    /// Returns how sound is to be cut into windows, so that they are no longer than usual when they are played.
    pub fn windows(self, usual: WindowSettings) -> WindowSettings {
        let mut settings = usual;
        settings.detect.longest_ms = usual.detect.longest_ms * self.0 / 100;
        settings.pack.longest_ms = usual.pack.longest_ms * self.0 / 100;
        settings
    }

    /// Returns samples as they are played.
    fn play(self, samples: &[f32]) -> Result<Cow<'_, [f32]>, SpeechError> {
        if self == Pace::OWN {
            return Ok(Cow::Borrowed(samples));
        }
        let mut played = Vec::new();
        // Samples taken for those of a lower rate last longer.
        let mut resampler = Resampler::new(RATE * self.0 / 100).map_err(SpeechError::Pace)?;
        resampler
            .push(samples, &mut played)
            .map_err(SpeechError::Pace)?;
        resampler.finish(&mut played).map_err(SpeechError::Pace)?;
        Ok(Cow::Owned(played))
    }

    /// Returns when something was said that was heard at `span` of what was played.
    fn said(self, span: Span) -> Span {
        let said = |at: Millis| Millis(at.0 * u64::from(self.0) / 100);
        Span::new(said(span.start), said(span.end))
    }
}

/// A recogniser to which sound is played at another pace; times are those of the sound as it was said.
pub struct Paced<'a> {
    recogniser: &'a mut dyn Recogniser,
    pace: Pace,
}

impl<'a> Paced<'a> {
    /// Returns the recogniser with sound played to it at this pace.
    pub fn new(recogniser: &'a mut dyn Recogniser, pace: Pace) -> Self {
        Paced { recogniser, pace }
    }
}

impl Recogniser for Paced<'_> {
    fn recognise(&mut self, samples: &[f32]) -> Result<Heard, SpeechError> {
        let heard = self.recogniser.recognise(&self.pace.play(samples)?)?;
        let word = |word: HeardWord| HeardWord {
            span: self.pace.said(word.span),
            ..word
        };
        let dropped = |dropped: DroppedText| DroppedText {
            span: self.pace.said(dropped.span),
            ..dropped
        };
        Ok(Heard {
            words: heard.words.into_iter().map(word).collect(),
            dropped: heard.dropped.into_iter().map(dropped).collect(),
        })
    }

    fn weigh(
        &mut self,
        samples: &[f32],
        words: &[&str],
        doubts: &[Doubt],
    ) -> Result<Vec<Likelihoods>, SpeechError> {
        let played = self.pace.play(samples)?;
        self.recogniser.weigh(&played, words, doubts)
    }

    fn next_best(
        &mut self,
        samples: &[f32],
        words: &[&str],
        which: &[usize],
    ) -> Result<Vec<Vec<NextBest>>, SpeechError> {
        let played = self.pace.play(samples)?;
        self.recogniser.next_best(&played, words, which)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::speech::{DropReason, SAMPLE_RATE};

    /// Hears one word from a tenth to the end of whatever is played, and keeps its length in samples.
    #[derive(Default)]
    struct Clock {
        played: Vec<usize>,
    }

    impl Recogniser for Clock {
        fn recognise(&mut self, samples: &[f32]) -> Result<Heard, SpeechError> {
            self.played.push(samples.len());
            let length = samples.len() as u64 * 1000 / u64::from(SAMPLE_RATE);
            let span = Span::new(Millis(length / 10), Millis(length));
            let text = "tick".to_owned();
            let word = HeardWord {
                text: text.clone(),
                span,
                probability: 0.5,
            };
            let reason = DropReason::NoWords;
            Ok(Heard {
                words: vec![word],
                dropped: vec![DroppedText { text, span, reason }],
            })
        }

        fn weigh(
            &mut self,
            samples: &[f32],
            _: &[&str],
            _: &[Doubt],
        ) -> Result<Vec<Likelihoods>, SpeechError> {
            self.played.push(samples.len());
            Ok(Vec::new())
        }

        fn next_best(
            &mut self,
            samples: &[f32],
            _: &[&str],
            _: &[usize],
        ) -> Result<Vec<Vec<NextBest>>, SpeechError> {
            self.played.push(samples.len());
            Ok(Vec::new())
        }
    }

    #[test]
    fn times_stay_those_of_what_was_said() {
        let samples = vec![0.25; 3 * SAMPLE_RATE as usize];
        for (pace, played) in [
            (Pace::OWN, 48_000),
            (Pace::SLOWER[0], 55_172),
            (Pace::SLOWER[1], 64_000),
        ] {
            let mut clock = Clock::default();
            let mut paced = Paced::new(&mut clock, pace);
            let heard = paced.recognise(&samples).unwrap();
            paced.weigh(&samples, &[], &[]).unwrap();
            paced.next_best(&samples, &[], &[]).unwrap();
            assert_eq!(clock.played, [played; 3], "{pace:?}");
            for span in [heard.words[0].span, heard.dropped[0].span] {
                let off = [span.start.0.abs_diff(300), span.end.0.abs_diff(3000)];
                assert!(off.iter().all(|&ms| ms <= 2), "{pace:?}: {span:?}");
            }
        }
    }

    /// A tone of 400 Hz swings 400 times a second; played slower fewer times.
    #[test]
    fn a_voice_becomes_deeper() {
        let tone =
            |at: usize| (at as f32 / SAMPLE_RATE as f32 * 400.0 * std::f32::consts::TAU).sin();
        let samples: Vec<f32> = (0..SAMPLE_RATE as usize).map(tone).collect();
        for (pace, hertz) in [
            (Pace::OWN, 400),
            (Pace::SLOWER[0], 348),
            (Pace::SLOWER[1], 300),
        ] {
            let played = pace.play(&samples).unwrap();
            let second = &played[1600..1600 + 8000];
            let swings = second.windows(2).filter(|w| w[0] < 0.0 && w[1] >= 0.0);
            assert!(swings.count().abs_diff(hertz / 2) <= 1, "{pace:?}");
        }
    }

    #[test]
    fn windows_are_no_longer_than_usual_when_played() {
        let usual = WindowSettings::default();
        assert_eq!(Pace::OWN.windows(usual), usual);
        let slower = Pace::SLOWER[1].windows(usual);
        assert_eq!(slower.pack.longest_ms, 21_000);
        assert_eq!(slower.detect.longest_ms, 21_000);
    }
}
