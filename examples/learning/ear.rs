//! The recogniser as it is fitted to the voice of the stream, walk-round by walk-round.

use super::{Result, listen};
use callover::audio::{WindowSettings, all_windows};
use callover::learn::{heard_in, read_in};
use callover::lexicon::Lexicon;
use callover::speech::{
    Model, OWN_VOICE, Settings, Spoken, Transcript, WhisperRecogniser, fit, surest,
};
use std::ops::ControlFlow;
use std::path::Path;
use std::time::Instant;

/// The recogniser is fitted anew after so many walk-rounds.
const EVERY: usize = 3;

/// The recogniser, and what it was fitted to.
pub(super) struct Ear {
    /// As it is built in.
    models: [Model; 2],
    own: Option<Model>,
    spoken: Vec<Spoken>,
    walks: usize,
}

impl Ear {
    pub(super) fn new() -> Result<Ear> {
        Ok(Ear {
            models: Model::built_in()?,
            own: None,
            spoken: Vec::new(),
            walks: 0,
        })
    }

    pub(super) fn is_fitted(&self) -> bool {
        self.own.is_some()
    }

    /// Returns what is heard in a recording with a vocabulary, by the model that is surest of it.
    pub(super) fn hear(&self, lexicon: &Lexicon, recording: &Path) -> Result<Transcript> {
        let settings = Settings {
            expected: lexicon.expected(false),
            ..Settings::default()
        };
        let models: Vec<&Model> = self.own.iter().chain(&self.models).collect();
        let ear = |model: usize| WhisperRecogniser::new(models[model], &settings);
        let favour = self.own.as_ref().map_or(0.0, |_| OWN_VOICE);
        let best = surest(models.len(), favour, |how, windows| {
            listen::sureness(
                lexicon,
                &mut ear(how.model)?,
                how.manner,
                windows,
                recording,
            )
        })?;
        listen::hear(
            lexicon,
            &mut ear(best.model)?,
            best.manner,
            &|_| None,
            usize::MAX,
            None,
            recording,
        )
    }

    /// Takes in a recording of the page, and fits the recogniser to it; returns it as it was heard.
    pub(super) fn read_aloud(&mut self, lexicon: &Lexicon, recording: &Path) -> Result<Transcript> {
        let heard = self.hear(lexicon, recording)?;
        let windows = all_windows(recording, WindowSettings::default())?;
        self.spoken.extend(read_in(lexicon, &heard.words, windows));
        self.fit()?;
        Ok(heard)
    }

    /// Takes in a walk-round as it was heard; fits the recogniser where it is time.
    pub(super) fn grow(&mut self, recording: &Path, heard: &Transcript) -> Result<()> {
        let windows = all_windows(recording, WindowSettings::default())?;
        self.spoken.extend(heard_in(&heard.words, windows));
        self.walks += 1;
        match self.walks % EVERY {
            0 => self.fit(),
            _ => Ok(()),
        }
    }

    /// Fits the recogniser, as it comes, to all that was taken in.
    fn fit(&mut self) -> Result<()> {
        let from = Instant::now();
        let [model, other] = &self.models;
        let others = std::slice::from_ref(other);
        let on_step = |_, _| ControlFlow::Continue(());
        let Some(fitted) = fit(model, others, &self.spoken, on_step)? else {
            return Ok(());
        };
        println!(
            "  fitted to {} windows in {:.0} s: loss {:.3} -> {:.3} on {} others",
            fitted.learnt,
            from.elapsed().as_secs_f64(),
            fitted.loss[0],
            fitted.loss[1],
            fitted.judged
        );
        self.own = Some(model.clone().fitted_to(&fitted.changes)?);
        Ok(())
    }
}
