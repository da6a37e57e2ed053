//! Sound to words, window by window; each finished window is kept in the job before the next.

use super::notes::{drop_words, interrupted, note, say_outcome, warning_note};
use super::progress::Bar;
use super::sources::Source;
use crate::audio::{Summary, Window, WindowSettings, windows};
use crate::commands::error::{CliError, with_causes};
use crate::commands::interrupt::Interrupt;
use crate::commands::shared;
use crate::hexadecimal::hexadecimal;
use crate::items::Unplaced;
use crate::job::{Job, WindowKey};
use crate::lexicon::Lexicon;
use crate::speech::{
    Ear, Manner, Model, OWN_VOICE, Pace, Paced, Recording, Settings, SpeechError, Transcript,
    WhisperRecogniser, Word, recognise_all, surest,
};
use crate::statements::second_look;
use crate::time::Span;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::ops::ControlFlow;

/// What one file gave: its recordings with their words, and what is worth keeping beside them.
#[derive(Debug)]
pub(super) struct Heard {
    /// Recordings and words; numbers count within the file.
    pub(super) transcript: Transcript,
    /// What was heard or lost but is no word of the transcript.
    pub(super) notes: Vec<Unplaced>,
    /// What the words were made with; `None` where a later run may make more of the file.
    pub(super) made_with: Option<String>,
}

impl Heard {
    /// Returns what a transcript file gave.
    pub(super) fn read(transcript: &Transcript) -> Self {
        Heard {
            transcript: transcript.clone(),
            notes: Vec::new(),
            made_with: None,
        }
    }
}

/// What is kept of a window: everything in the recording's own time.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
struct KeptWindow {
    words: Vec<Word>,
    dropped: Vec<Unplaced>,
}

/// Number that words and notes carry until their recording has its own.
pub(super) const ONLY_RECORDING: u32 = 1;

/// The recogniser, made when the first window needs it.
pub(super) struct Listener {
    /// Those among which each recording has its own.
    models: Vec<Model>,
    windows: WindowSettings,
    settings: Settings,
    /// The recogniser with the place of its model.
    recogniser: Option<(usize, WhisperRecogniser)>,
    lexicon: Option<Lexicon>,
    interrupt: Interrupt,
}

/// What was heard of a recording, as far as was listened to.
struct Pass {
    summary: Summary,
    results: Vec<KeptWindow>,
    lost: Vec<Unplaced>,
}

impl Listener {
    /// Returns a listener that has not loaded a model yet.
    pub(super) fn new(models: Vec<Model>, interrupt: Interrupt) -> Self {
        Listener {
            models,
            windows: WindowSettings::default(),
            settings: Settings::default(),
            recogniser: None,
            lexicon: None,
            interrupt,
        }
    }

    /// Has it lean towards a vocabulary from the first window on, and look again at words that may have
    /// been misheard for one of its terms.
    pub(super) fn expect(&mut self, lexicon: &Lexicon, american: bool) {
        self.settings.expected = lexicon.expected(american);
        self.lexicon = Some(lexicon.clone());
    }

    /// Returns everything but sound, model and expected wordings that decides on the words, as one line.
    fn settings_line(&self) -> String {
        let Listener {
            windows, settings, ..
        } = self;
        let prompt = &settings.prompt;
        let version = env!("CARGO_PKG_VERSION");
        // As jobs keep it from before echo could be taken out; whether it is, the line of a window tells.
        let WindowSettings { detect, pack, .. } = windows;
        let windows = format!("WindowSettings {{ detect: {detect:?}, pack: {pack:?} }}");
        format!(
            "callover {version}; prompt {prompt:?}; wordless read again; second look; {windows}"
        )
    }

    /// Returns what the words of a window are made with but for sound and model, as one line.
    fn window_settings(&self, manner: Manner) -> String {
        let mut digest = Sha256::new();
        for wording in self.settings.expected.wordings.keys() {
            digest.update(wording.as_bytes());
            digest.update([0]);
        }
        let expected = hexadecimal(&digest.finalize());
        let mut line = format!("{}; expected {expected}", self.settings_line());
        if manner.pace != Pace::OWN {
            line += &format!("; played at {} %", manner.pace.percent());
        }
        if manner.without_echo {
            line += "; echo taken out";
        }
        line
    }

    /// Returns what words are made with, as one line. Vocabulary and voice are left out: a recording that
    /// was heard to its end is not heard anew because something was learnt since.
    pub(super) fn key(&self) -> String {
        let model = self.models.first().map_or("", Model::unfitted_sha256);
        format!("model {model}; {}", self.settings_line())
    }

    /// Returns the words of a recording, taking windows that the job has from there. It is heard with the model,
    /// and played to it in the manner, that is surest of its beginning.
    ///
    /// # Errors
    /// Where the file gives no sound or no window can be recognised; with the exit of an interruption
    /// where the user stopped it, after the window in hand was kept.
    pub(super) fn hear(&mut self, job: &mut Job, source: &Source) -> Result<Heard, CliError> {
        let mut bar = Bar::new(&source.name);
        let best = self.surest(job, source, &mut bar)?;
        let Pass {
            summary,
            results,
            lost,
        } = self.pass(job, source, best, usize::MAX, &mut bar)?;
        bar.close();
        if !results.is_empty() && lost.len() == results.len() {
            let why = lost.first().map_or("", |note| note.why.as_str());
            return Err(CliError::input(format_args!("{}: {why}", source.shown())));
        }
        let dropped = results.iter().flat_map(|window| &window.dropped);
        let wordless = dropped.filter(|note| note.quote.is_empty());
        say_outcome(source, &summary, lost.iter().chain(wordless));
        if let Some(how) = self.otherwise(best) {
            shared::say(format_args!("{}: {how}", source.shown()));
        }
        Ok(self.gather(source, &summary, results, lost))
    }

    /// Returns how a recording is heard where that is not the usual way.
    fn otherwise(&self, best: Ear) -> Option<String> {
        let model = self.models.get(best.model).filter(|_| best.model > 0);
        let ear = model.map(|model| format!("heard with {}, which is surer of it", model.ear()));
        let Manner { pace, without_echo } = best.manner;
        let slower = (pace != Pace::OWN).then(|| {
            let percent = pace.percent();
            format!("played at {percent} % of its pace, at which it is heard more surely")
        });
        let dry = without_echo.then(|| "heard more surely without the echo of the room".to_owned());
        let said: Vec<String> = ear.into_iter().chain(slower).chain(dry).collect();
        (!said.is_empty()).then(|| said.join("; "))
    }

    /// Returns how a recording's beginning is heard most surely; by the user's own voice's model unless another is clearly
    /// surer.
    ///
    /// # Errors
    /// As [`Listener::hear`] has it.
    fn surest(&mut self, job: &mut Job, source: &Source, bar: &mut Bar) -> Result<Ear, CliError> {
        let own_voice = self.models.len() > Model::BUILT_IN;
        let favour = if own_voice { OWN_VOICE } else { 0.0 };
        surest(self.models.len(), favour, |ear, windows| {
            let pass = self.pass(job, source, ear, windows, bar)?;
            let words = pass.results.iter().flat_map(|window| &window.words);
            let words = words.map(|word| word.probability).collect();
            Ok((!pass.results.is_empty()).then_some(words))
        })
    }

    /// Hears a recording's first windows, `most` at most, with one of the models in some manner.
    ///
    /// # Errors
    /// As [`Listener::hear`] has it.
    fn pass(
        &mut self,
        job: &mut Job,
        source: &Source,
        ear: Ear,
        most: usize,
        bar: &mut Bar,
    ) -> Result<Pass, CliError> {
        let Ear { model, manner } = ear;
        let settings = self.window_settings(manner);
        let kept: BTreeMap<u32, KeptWindow> =
            job.windows(&source.sha256, self.models[model].sha256(), &settings)?;
        let mut results = Vec::new();
        let mut lost = Vec::new();
        let mut stop = None;
        let (window_settings, interrupt) = (manner.windows(self.windows), self.interrupt.clone());
        let on_window = |window: Window| {
            let step = match kept.get(&window.index) {
                Some(kept) => Ok(kept.clone()),
                None => {
                    let before = recent(&results);
                    let key = WindowKey {
                        recording_sha256: source.sha256.clone(),
                        window: window.index,
                        model_sha256: self.models[model].sha256().to_owned(),
                        settings: settings.clone(),
                    };
                    self.recognise(job, ear, &key, &window, before, &mut lost)
                }
            };
            match step {
                Ok(result) => results.push(result),
                Err(error) => stop = Some(error),
            }
            if stop.is_none() && interrupt.is_set() {
                stop = Some(interrupted(source, window.map.span().end));
            }
            match stop.is_some() || results.len() >= most {
                true => ControlFlow::Break(()),
                false => ControlFlow::Continue(()),
            }
        };
        let summary = windows(&source.path, window_settings, on_window, |p| bar.show(p));
        match stop {
            Some(stop) => {
                bar.close();
                Err(stop)
            }
            None => Ok(Pass {
                summary: summary?,
                results,
                lost,
            }),
        }
    }

    /// Recognises one window and keeps the result. A window that fails is noted, not kept: the
    /// next run tries it again.
    fn recognise(
        &mut self,
        job: &mut Job,
        Ear { model, manner }: Ear,
        key: &WindowKey,
        window: &Window,
        before: Vec<Word>,
        lost: &mut Vec<Unplaced>,
    ) -> Result<KeptWindow, CliError> {
        let (_, recogniser) = match &mut self.recogniser {
            Some(loaded) if loaded.0 == model => loaded,
            other => {
                // The one before goes first: each takes some hundred megabytes.
                *other = None;
                other.insert((
                    model,
                    WhisperRecogniser::new(&self.models[model], &self.settings)?,
                ))
            }
        };
        let recogniser = &mut Paced::new(recogniser, manner.pace);
        let heard = match recognise_all(recogniser, &window.samples, &window.pauses()) {
            Ok(heard) => heard,
            Err(
                error @ (SpeechError::Model(_) | SpeechError::Load(_) | SpeechError::Prompt(_)),
            ) => {
                return Err(error.into());
            }
            Err(error) => {
                let why = format!("not recognised: {}", with_causes(&error));
                lost.push(note(window.map.span(), "", &why));
                return Ok(KeptWindow::default());
            }
        };
        let source_span = |span: Span| {
            let (start, end) = (
                window.map.to_source(span.start),
                window.map.to_source(span.end),
            );
            Span::new(start, end)
        };
        let words = heard.words.into_iter().map(|word| Word {
            text: word.text,
            recording: ONLY_RECORDING,
            span: Some(source_span(word.span)),
            probability: word.probability,
            line_end: false,
            meant: None,
        });
        let mut words: Vec<Word> = words.collect();
        if let Some(lexicon) = &self.lexicon
            && let Err(error) =
                second_look::look_again(lexicon, recogniser, &window.samples, before, &mut words)
        {
            let why = format!("not looked at again: {}", with_causes(&error));
            lost.push(note(window.map.span(), "", &why));
        }
        let dropped = heard.dropped.into_iter().map(|dropped| {
            note(
                source_span(dropped.span),
                &dropped.text,
                drop_words(dropped.reason),
            )
        });
        let result = KeptWindow {
            words,
            dropped: dropped.collect(),
        };
        job.keep_window(key, &result)?;
        Ok(result)
    }

    fn gather(
        &self,
        source: &Source,
        summary: &Summary,
        results: Vec<KeptWindow>,
        lost: Vec<Unplaced>,
    ) -> Heard {
        let made_with = lost.is_empty().then(|| self.key());
        let mut notes = lost;
        notes.extend(summary.warnings.iter().map(warning_note));
        let mut words = Vec::new();
        for window in results {
            words.extend(window.words);
            notes.extend(window.dropped);
        }
        let recording = Recording {
            id: ONLY_RECORDING,
            file: source.name.clone(),
            sha256: source.sha256.clone(),
            duration_s: summary.duration.seconds(),
            speech_s: summary.speech_seconds(),
        };
        Heard {
            transcript: Transcript {
                recordings: vec![recording],
                words,
            },
            notes,
            made_with,
        }
    }
}

/// How many words before a window tell where the speaker is: about three minutes of speech.
const WORDS_BEFORE: usize = 300;

/// Returns the last words of some windows.
fn recent(windows: &[KeptWindow]) -> Vec<Word> {
    let words = windows
        .iter()
        .rev()
        .flat_map(|window| window.words.iter().rev());
    let mut words: Vec<Word> = words.take(WORDS_BEFORE).cloned().collect();
    words.reverse();
    words
}
