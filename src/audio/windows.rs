//! The whole way from a sound file to windows of speech, as a stream: memory stays the same for
//! a minute and for three hours.

use super::detect::{DetectSettings, Earshot, FRAME, Frame, Segmenter, VoiceDetector, samples};
use super::echo::Drier;
use super::error::{AudioError, AudioWarning};
use super::level::{Levelled, Leveller};
use super::pack::{PackSettings, Packer, Plan, SourceMap, Stretch};
use super::resample::RATE;
use super::store::Store;
use super::stream::SpeechStream;
use crate::time::{Millis, Span};
use std::ops::ControlFlow;
use std::path::Path;

/// How often the store is tidied, in samples: once a second.
const TIDY_EVERY: u64 = RATE as u64;

/// Settings of detection and packing.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct WindowSettings {
    /// How speech is found.
    pub detect: DetectSettings,
    /// How it is packed.
    pub pack: PackSettings,
    /// Whether the echo of the room is taken out first.
    pub without_echo: bool,
}

/// Speech for one call of the recogniser.
#[derive(Debug, Clone, PartialEq)]
pub struct Window {
    /// Its number in the recording, from 0.
    pub index: u32,
    /// At most 28 s of 16 kHz mono samples.
    pub samples: Vec<f32>,
    /// The way back to the recording's time.
    pub map: SourceMap,
    /// The stretches of speech in it, in the recording's time, margins included.
    pub speech: Vec<Span>,
}

impl Window {
    /// Returns the moments of the window at which speech begins again after a pause.
    pub fn pauses(&self) -> Vec<Millis> {
        let later = self.speech.iter().skip(1);
        later
            .filter_map(|speech| self.map.to_window(speech.start))
            .collect()
    }
}

/// How far a recording has been read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Progress {
    /// Read up to here.
    pub done: Millis,
    /// The length the file announces, where it states one.
    pub total: Option<Millis>,
}

/// What is known once a recording has been read.
#[derive(Debug, Clone, PartialEq)]
pub struct Summary {
    /// Length of what was read.
    pub duration: Millis,
    /// All stretches of speech, in order, margins included.
    pub speech: Vec<Span>,
    /// Number of windows given out.
    pub windows: u32,
    /// What the user should know.
    pub warnings: Vec<AudioWarning>,
    /// False where the caller stopped before the end.
    pub complete: bool,
}

impl Summary {
    /// Returns the total length of the speech in seconds.
    pub fn speech_seconds(&self) -> f64 {
        self.speech.iter().map(|s| s.length()).sum::<u64>() as f64 / 1000.0
    }

    /// Returns the stretches in which no speech was found, in order: what was not listened to.
    pub fn skipped(&self) -> Vec<Span> {
        let ends = self.speech.iter().map(|s| s.start).chain([self.duration]);
        let starts = [Millis(0)]
            .into_iter()
            .chain(self.speech.iter().map(|s| s.end));
        starts
            .zip(ends)
            .map(|(a, b)| Span::new(a, b))
            .filter(|s| s.length() > 0)
            .collect()
    }
}

/// Finds speech in a stream of 16 kHz mono samples and packs it into windows.
///
/// The windows depend on the samples alone, not on the pieces in which they are pushed.
pub struct Windower<D> {
    settings: WindowSettings,
    drier: Drier,
    detector: D,
    partial: Vec<f32>,
    leveller: Leveller,
    ready: Vec<Levelled>,
    segmenter: Segmenter,
    packer: Packer,
    store: Store,
    tidy_at: u64,
    speech: Vec<Span>,
    windows: u32,
}

impl<D: VoiceDetector> Windower<D> {
    /// Returns a windower at the start of a recording, with a fresh detector.
    pub fn new(detector: D, settings: WindowSettings) -> Self {
        Windower {
            settings,
            drier: Drier::default(),
            detector,
            partial: Vec::with_capacity(FRAME),
            leveller: Leveller::default(),
            ready: Vec::new(),
            segmenter: Segmenter::new(settings.detect),
            packer: Packer::new(settings.pack),
            store: Store::default(),
            tidy_at: TIDY_EVERY,
            speech: Vec::new(),
            windows: 0,
        }
    }

    /// Takes in the next samples and returns the windows that are full.
    pub fn push(&mut self, samples: &[f32]) -> Vec<Window> {
        match self.settings.without_echo {
            true => {
                let dried = self.drier.push(samples);
                self.take_in(&dried)
            }
            false => self.take_in(samples),
        }
    }

    fn take_in(&mut self, mut samples: &[f32]) -> Vec<Window> {
        let mut full = Vec::new();
        self.store.append(samples);
        while !samples.is_empty() {
            let room = (FRAME - self.partial.len()).min(samples.len());
            self.partial.extend_from_slice(&samples[..room]);
            samples = &samples[room..];
            if let Ok(frame) = Frame::try_from(self.partial.as_slice()) {
                self.partial.clear();
                self.leveller.push(frame, &mut self.ready);
                self.detect_ready(&mut full);
            }
        }
        self.tidy();
        full
    }

    /// Ends the stream and returns the last windows.
    pub fn finish(&mut self) -> Vec<Window> {
        let dried = self.drier.finish();
        let mut full = self.take_in(&dried);
        if !self.partial.is_empty() {
            let mut frame = [0.0; FRAME];
            frame[..self.partial.len()].copy_from_slice(&self.partial);
            self.partial.clear();
            self.leveller.push(frame, &mut self.ready);
        }
        std::mem::take(&mut self.leveller).finish(&mut self.ready);
        self.detect_ready(&mut full);
        let fresh = Segmenter::new(self.settings.detect);
        let segmenter = std::mem::replace(&mut self.segmenter, fresh);
        if let Some(stretch) = segmenter.finish(self.store.length()) {
            self.take_stretch(stretch, &mut full);
        }
        let last = self.packer.finish();
        full.extend(last.map(|plan| self.render(plan)));
        full
    }

    /// Returns the length of what was taken in.
    pub fn duration(&self) -> Millis {
        Millis(self.store.length() * 1000 / u64::from(RATE))
    }

    /// Returns the stretches of speech found so far, in order.
    pub fn speech(&self) -> &[Span] {
        &self.speech
    }

    fn detect_ready(&mut self, full: &mut Vec<Window>) {
        for frame in std::mem::take(&mut self.ready) {
            let score = self.detector.probability(&frame.samples);
            if let Some(stretch) = self.segmenter.push(score, frame.level) {
                self.take_stretch(stretch, full);
            }
        }
    }

    fn take_stretch(&mut self, stretch: Stretch, full: &mut Vec<Window>) {
        let stretch = Stretch {
            end: stretch.end.min(self.store.length()),
            ..stretch
        };
        if stretch.length() == 0 {
            return;
        }
        self.speech.push(stretch.span());
        for plan in self.packer.push(stretch) {
            full.push(self.render(plan));
        }
    }

    fn render(&mut self, plan: Plan) -> Window {
        let mut samples = Vec::with_capacity(plan.map.length() as usize);
        for piece in plan.map.pieces() {
            samples.resize(piece.at as usize, 0.0);
            self.store.read(piece.source, &mut samples);
        }
        let index = self.windows;
        self.windows += 1;
        let speech = plan.speech.iter().map(|s| s.span()).collect();
        Window {
            index,
            samples,
            map: plan.map,
            speech,
        }
    }

    fn tidy(&mut self) {
        if self.store.length() >= self.tidy_at {
            self.tidy_at = self.store.length() + TIDY_EVERY;
            // A short gap before the next stretch stays in the window as recorded.
            let gap = samples(self.settings.pack.keep_gap_ms);
            let from = self.segmenter.earliest().saturating_sub(gap);
            self.store.keep(&self.packer.needed(), from);
        }
    }
}

/// Reads a sound file and hands over its speech in windows while reading. `on_window` may stop
/// the reading; `on_progress` is called after every piece of the file.
///
/// The same file gives the same windows, bit for bit.
///
/// # Errors
/// As [`SpeechStream::open`] and [`SpeechStream::next_samples`]. A file that is damaged but gives
/// some sound is no error: see [`Summary::warnings`].
pub fn windows(
    path: &Path,
    settings: WindowSettings,
    mut on_window: impl FnMut(Window) -> ControlFlow<()>,
    mut on_progress: impl FnMut(Progress),
) -> Result<Summary, AudioError> {
    let mut stream = SpeechStream::open(path)?;
    let mut windower = Windower::new(Earshot::default(), settings);
    let mut given = 0;
    let mut complete = true;
    let total = stream.announced_length();
    let mut hand_over = |full: Vec<Window>| {
        full.into_iter().try_for_each(|window| {
            given += 1;
            on_window(window)
        })
    };
    loop {
        let piece = stream.next_samples()?;
        let full = match &piece {
            Some(samples) => windower.push(samples),
            None => windower.finish(),
        };
        on_progress(Progress {
            done: stream.position(),
            total,
        });
        if hand_over(full).is_break() {
            complete = piece.is_none();
            break;
        }
        if piece.is_none() {
            break;
        }
    }
    Ok(Summary {
        duration: windower.duration(),
        speech: windower.speech().to_vec(),
        windows: given,
        warnings: stream.warnings().to_vec(),
        complete,
    })
}

/// Returns all windows of a recording at once: an hour of speech takes 230 MB.
///
/// # Errors
/// As [`windows`] has it.
pub fn all_windows(path: &Path, settings: WindowSettings) -> Result<Vec<Window>, AudioError> {
    let mut all = Vec::new();
    let on_window = |window| {
        all.push(window);
        ControlFlow::Continue(())
    };
    windows(path, settings, on_window, |_| ())?;
    Ok(all)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Hears a voice wherever the sound is not silent.
    struct LoudIsVoice;

    impl VoiceDetector for LoudIsVoice {
        fn probability(&mut self, frame: &Frame) -> f32 {
            if frame.iter().any(|s| s.abs() > 0.01) {
                0.9
            } else {
                0.0
            }
        }
    }

    /// `(seconds, is speech)` one after the other; each speech sample tells its own place.
    fn recording(parts: &[(f64, bool)]) -> Vec<f32> {
        let mut all: Vec<f32> = Vec::new();
        for &(seconds, speech) in parts {
            for _ in 0..(seconds * f64::from(RATE)) as usize {
                let place = (all.len() % 10_007) as f32 / 20_000.0 + 0.2;
                all.push(if speech { place } else { 0.0 });
            }
        }
        all
    }

    fn all_windows(samples: &[f32], chunk: usize) -> (Vec<Window>, Vec<Span>, usize) {
        let mut windower = Windower::new(LoudIsVoice, WindowSettings::default());
        let mut out = Vec::new();
        let mut most_held = 0;
        for part in samples.chunks(chunk) {
            out.extend(windower.push(part));
            most_held = most_held.max(windower.store.held());
        }
        out.extend(windower.finish());
        (out, windower.speech().to_vec(), most_held)
    }

    #[test]
    fn windows_hold_the_recordings_own_samples_where_the_map_says() {
        let all = recording(&[
            (2.0, false),
            (5.0, true),
            (0.8, false),
            (9.0, true),
            (70.0, false),
            (12.0, true),
            (3.0, false),
            (40.0, true),
            (5.5, false),
        ]);
        let (windows, speech, _) = all_windows(&all, 5000);
        assert_eq!(
            windows.iter().map(|w| w.index).collect::<Vec<_>>(),
            (0..windows.len() as u32).collect::<Vec<_>>()
        );
        assert!(windows.len() >= 3);
        for window in &windows {
            assert!(window.samples.len() <= 28 * RATE as usize);
            assert_eq!(window.samples.len() as u64, window.map.length());
            for piece in window.map.pieces() {
                let (at, source) = (piece.at as usize, piece.source);
                let length = source.length() as usize;
                assert_eq!(
                    window.samples[at..at + length],
                    all[source.start as usize..source.end as usize]
                );
            }
        }
        let heard: usize = windows
            .iter()
            .map(|w| w.samples.iter().filter(|s| **s > 0.1).count())
            .sum();
        assert_eq!(
            heard,
            all.iter().filter(|s| **s > 0.1).count(),
            "every spoken sample once"
        );
        assert_eq!(
            speech.len(),
            windows.iter().map(|w| w.speech.len()).sum::<usize>()
        );
    }

    #[test]
    fn the_same_sound_in_other_pieces_gives_the_same_windows() {
        let all = recording(&[
            (1.0, false),
            (5.0, true),
            (2.0, false),
            (45.0, true),
            (1.3, false),
        ]);
        let whole = all_windows(&all, usize::MAX).0;
        for chunk in [1, 160, 256, 4096, 100_000] {
            assert_eq!(all_windows(&all, chunk).0, whole, "pieces of {chunk}");
        }
    }

    #[test]
    fn an_hour_of_silence_and_an_hour_of_noise_need_little_memory() {
        for speech in [false, true] {
            let minute = recording(&[(60.0, speech)]);
            let mut windower = Windower::new(LoudIsVoice, WindowSettings::default());
            let mut count = 0;
            for _ in 0..60 {
                for part in minute.chunks(16_000) {
                    count += windower.push(part).len();
                    assert!(windower.store.held() < 90 * RATE as usize);
                }
            }
            count += windower.finish().len();
            assert_eq!(count > 0, speech);
        }
    }

    #[test]
    fn digital_silence_has_no_speech_for_the_real_detector() {
        let mut windower = Windower::new(Earshot::default(), WindowSettings::default());
        let second = vec![0.0; 16_000];
        for _ in 0..600 {
            assert!(windower.push(&second).is_empty());
        }
        assert!(windower.finish().is_empty());
        assert!(windower.speech().is_empty());
        assert_eq!(windower.duration(), Millis(600_000));
    }

    #[test]
    fn what_was_not_listened_to_is_listed() {
        let span = |a, b| Span::new(Millis(a), Millis(b));
        let summary = Summary {
            duration: Millis(10_000),
            speech: vec![span(0, 2_000), span(2_000, 3_000), span(5_000, 9_000)],
            windows: 1,
            warnings: Vec::new(),
            complete: true,
        };
        assert_eq!(summary.skipped(), [span(3_000, 5_000), span(9_000, 10_000)]);
        assert_eq!(summary.speech_seconds(), 7.0);
    }
}
