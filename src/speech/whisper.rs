//! The recogniser: whisper.cpp, through the crate whisper-rs.
//!
//! One call per window and a fresh state for each: whisper.cpp keeps a random generator and earlier
//! text in its state, so a kept one would make results depend on what was recognised before.

use super::expected::{Expected, Leaning, tokens_of};
use super::filters;
use super::model::Model;
use super::model_file::ModelFacts;
use super::recogniser::{
    Doubt, Heard, LONGEST_WINDOW_S, Likelihoods, NextBest, Recogniser, SAMPLE_RATE, SpeechError,
};
use super::weigh::{self, Weigher};
use super::words::{self, Piece};
use crate::time::Millis;
use std::thread;
use whisper_rs::{
    DtwMode, DtwModelPreset, DtwParameters, FullParams, SamplingStrategy, WhisperContext,
    WhisperContextParameters, WhisperState,
};

/// Shortest window in samples; a shorter one is filled up with silence, because whisper.cpp 1.8.3
/// reads outside its buffer on very short input (mended in later versions).
const SHORTEST_WINDOW: usize = SAMPLE_RATE as usize;

/// Most threads worth using: beyond eight, Whisper base gains nothing and efficiency cores make it
/// slower (reports collected on whisper.cpp).
const MOST_THREADS: usize = 8;

/// Shortest window, and lowest level (root mean square, full scale 1), that gets the prompt. With
/// little or nothing to hear Whisper gives its prompt back as if it had been said. Two seconds hold
/// a short remark; -50 dB is below even quiet speech on a telephone.
const PROMPT_FROM_SAMPLES: usize = 2 * SAMPLE_RATE as usize;
const PROMPT_FROM_LEVEL: f32 = 0.003;

/// Readings of a window that are followed at once. With five, fewer words are wrong on each of the
/// eight development walk-rounds than with the likeliest word alone (see `models/README.md`).
const BEAMS: i32 = 5;
/// whisper.cpp reads no patience but this; it stands for its default.
const WHISPER_CPP_DEFAULT: f32 = -1.0;

/// The power to which the probabilities of a model that is fitted to voices are as telling as those of one
/// that is not: on the four development recordings that both hear as well, the logarithms of the first are
/// 1.2 to 1.6 times those of the second.
const FITTED_POWER: f32 = 0.8;

/// What can be chosen about recognition.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Settings {
    /// Threads to compute with; `None` for as many as suit the machine. The result is the same
    /// with any number.
    pub threads: Option<usize>,
    /// Text that the recogniser is told came before each window, unless there is little to hear.
    pub prompt: Prompt,
    /// What the recogniser leans towards where it hesitates; empty for nothing.
    pub expected: Expected,
}

/// Text given to the recogniser as if it had been said just before.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub enum Prompt {
    /// No prompt.
    None,
    /// A sentence in British spelling with common words of the trade: it takes one word error in
    /// ten away from walk-rounds (measured; see `models/README.md`).
    #[default]
    Trade,
    /// Text of the user's; only its last 223 tokens count.
    Own(String),
}

impl Prompt {
    fn text(&self) -> &str {
        match self {
            Prompt::None => "",
            Prompt::Trade => TRADE_PROMPT,
            Prompt::Own(text) => text,
        }
    }
}

/// A plausible preceding remark: spelling and words of the trade, nothing that a later stage could
/// take for a defect of this house if it were given back.
const TRADE_PROMPT: &str = "Right, ground floor next. I'll check the architraves, skirting, mitres, \
    newel post, reveals, grilles and plinths, the colour of the grout, and measure in millimetres \
    and metres over the storey.";

/// whisper.cpp with one model loaded.
pub struct WhisperRecogniser {
    context: WhisperContext,
    threads: usize,
    prompt: Vec<i32>,
    prompt_text: String,
    leaning: Option<Leaning>,
    /// The power to which a probability is what the words are told to have.
    power: f32,
    /// The window recognised last, and the state that listened to it.
    listened: Option<(Vec<f32>, WhisperState)>,
}

impl WhisperRecogniser {
    /// Returns a recogniser with `model` loaded, which takes as much memory as the model once more.
    ///
    /// # Errors
    /// [`SpeechError::Model`] and [`SpeechError::Load`] when the model cannot be put together or whisper.cpp
    /// refuses it; [`SpeechError::Prompt`] when the prompt or an expected wording holds a zero character.
    pub fn new(model: &Model, settings: &Settings) -> Result<Self, SpeechError> {
        // Without this whisper.cpp writes pages of notes to standard error.
        whisper_rs::install_logging_hooks();
        let mut parameters = WhisperContextParameters::new();
        // Flash attention is slower on processors and rules out the alignment of words.
        parameters
            .use_gpu(false)
            .flash_attn(false)
            .dtw_parameters(DtwParameters {
                mode: alignment(model.facts()),
                ..DtwParameters::default()
            });
        let context = WhisperContext::new_from_buffer_with_params(&model.bytes()?, parameters)
            .map_err(SpeechError::Load)?;
        let expected = &settings.expected;
        let leaning = (!expected.wordings.is_empty())
            .then(|| Leaning::new(&context, expected))
            .transpose()
            .map_err(SpeechError::Prompt)?;
        let threads = settings
            .threads
            .unwrap_or_else(suitable_threads)
            .clamp(1, 64);
        let mut recogniser = WhisperRecogniser {
            context,
            threads,
            prompt: Vec::new(),
            prompt_text: String::new(),
            leaning,
            power: if model.is_fitted() { FITTED_POWER } else { 1.0 },
            listened: None,
        };
        recogniser.tell(&settings.prompt)?;
        Ok(recogniser)
    }

    /// Returns the tokens before a window's first word: with what it is told came before, and without.
    pub(super) fn openings(&self) -> [Vec<i32>; 2] {
        [&*self.prompt, &[]].map(|prompt| weigh::opening(&self.context, prompt))
    }

    /// Returns the tokens of a window's whole text, with the one that ends it.
    ///
    /// # Errors
    /// [`SpeechError::Prompt`] when it holds a zero character.
    pub(super) fn text(&self, text: &str) -> Result<Vec<i32>, SpeechError> {
        let mut tokens = tokens_of(&self.context, text).map_err(SpeechError::Prompt)?;
        tokens.push(self.context.token_eot());
        Ok(tokens)
    }

    /// Tells it what came before the windows from now on.
    ///
    /// # Errors
    /// [`SpeechError::Prompt`] when the prompt holds a zero character.
    pub fn tell(&mut self, prompt: &Prompt) -> Result<(), SpeechError> {
        let text = prompt.text();
        // A token has at least one byte; too small a limit would be undefined behaviour in the crate.
        let tokens = self.context.tokenize(text, text.len() + 16);
        self.prompt = tokens.map_err(SpeechError::Prompt)?;
        text.clone_into(&mut self.prompt_text);
        Ok(())
    }

    /// Returns the parameters for one window.
    ///
    /// Made anew each time: they hold raw pointers, so they could not move to another thread.
    fn parameters(&self, with_prompt: bool) -> FullParams<'_, '_> {
        // whisper.cpp 1.8.3 draws its beams at random, from a generator that a fresh state seeds
        // alike each time, so the result is the same each time.
        let mut parameters = FullParams::new(SamplingStrategy::BeamSearch {
            beam_size: BEAMS,
            patience: WHISPER_CPP_DEFAULT,
        });
        parameters.set_n_threads(self.threads as i32);
        // The language is left at whisper.cpp's default, "en": setting it leaks a string per call.
        // Text of earlier windows makes Whisper run in circles.
        parameters.set_no_context(true);
        // Time tokens cost time and gave no better words (see `models/README.md`, settings). They
        // also make whisper.cpp run again from the last one, on pieces too short for its alignment.
        parameters.set_no_timestamps(true);
        if with_prompt {
            parameters.set_tokens(&self.prompt);
        }
        if let Some(leaning) = &self.leaning {
            leaning.steer(&mut parameters);
        }
        parameters.set_print_progress(false);
        parameters.set_suppress_blank(true);
        parameters.set_suppress_nst(true);
        // A window whose text repeats itself or is improbable is tried again, at most twice.
        parameters.set_temperature(0.0);
        parameters.set_temperature_inc(0.4);
        parameters.set_entropy_thold(2.8);
        parameters.set_logprob_thold(-1.0);
        parameters.set_no_speech_thold(0.6);
        parameters
    }

    /// Returns what [`Self::pieces`] does, from a fresh state.
    fn run(&mut self, samples: &[f32]) -> Result<(Vec<Piece>, f32), whisper_rs::WhisperError> {
        // One state at a time: each takes some hundred megabytes.
        self.listened = None;
        let mut state = self.context.create_state()?;
        state.full(self.parameters(is_clear_speech(samples)), samples)?;
        let pieces = self.pieces(&state);
        self.listened = Some((samples.to_vec(), state));
        pieces
    }

    /// Returns a state that has listened to these samples: that of the last window where it is theirs.
    fn listen(&mut self, samples: &[f32]) -> Result<WhisperState, whisper_rs::WhisperError> {
        if let Some((_, state)) = self.listened.take().filter(|(last, _)| last == samples) {
            return Ok(state);
        }
        let mut state = self.context.create_state()?;
        state.pcm_to_mel(samples, self.threads)?;
        state.encode(0, self.threads)?;
        Ok(state)
    }

    /// Returns what the sound of a window says when held against words.
    fn asked<T>(
        &mut self,
        samples: &[f32],
        ask: impl FnOnce(&mut Weigher<'_>) -> Result<T, whisper_rs::WhisperError>,
    ) -> Result<T, SpeechError> {
        let seconds = samples.len() as f64 / f64::from(SAMPLE_RATE);
        let mut filled = samples.to_vec();
        filled.resize(samples.len().max(SHORTEST_WINDOW), 0.0);
        let failed = |source| SpeechError::Recognise { seconds, source };
        let state = self.listen(&filled).map_err(failed)?;
        let prompt: &[i32] = match is_clear_speech(&filled) {
            true => &self.prompt,
            false => &[],
        };
        let mut weigher = Weigher::new(&self.context, state, self.threads, prompt);
        let answer = ask(&mut weigher).map_err(failed)?;
        let state = weigher.into_state();
        self.listened = Some((filled, state));
        Ok(answer)
    }

    /// Returns the pieces of text in `state` and the probability that there was no speech.
    fn pieces(&self, state: &WhisperState) -> Result<(Vec<Piece>, f32), whisper_rs::WhisperError> {
        let end_of_text = self.context.token_eot();
        let mut pieces = Vec::new();
        let mut no_speech = 0.0_f32;
        for segment in state.as_iter() {
            no_speech = no_speech.max(segment.no_speech_probability());
            for index in 0..segment.n_tokens() {
                let Some(token) = segment.get_token(index) else {
                    continue;
                };
                // Everything from the end-of-text token on is a control token or a time.
                if token.token_id() >= end_of_text {
                    continue;
                }
                let data = token.token_data();
                // In centiseconds; negative where the alignment has nothing. whisper.cpp says "time"
                // of what is the end of the token: it skips the first row of the alignment, so each
                // token gets the moment at which OpenAI's `timing.py` starts the next one.
                let end = u64::try_from(data.t_dtw)
                    .ok()
                    .map(|centiseconds| Millis(centiseconds * 10));
                pieces.push(Piece {
                    bytes: token.to_bytes()?.to_vec(),
                    probability: data.p.powf(self.power),
                    end,
                });
            }
        }
        Ok((pieces, no_speech))
    }
}

impl Recogniser for WhisperRecogniser {
    fn recognise(&mut self, samples: &[f32]) -> Result<Heard, SpeechError> {
        let seconds = samples.len() as f64 / f64::from(SAMPLE_RATE);
        if seconds > LONGEST_WINDOW_S {
            return Err(SpeechError::TooLong { seconds });
        }
        if let Some(bad) = samples.iter().position(|sample| !sample.is_finite()) {
            return Err(SpeechError::NotANumber {
                second: bad as f64 / f64::from(SAMPLE_RATE),
            });
        }
        if samples.is_empty() {
            return Ok(Heard::default());
        }
        let mut filled = samples.to_vec();
        filled.resize(samples.len().max(SHORTEST_WINDOW), 0.0);
        let (pieces, no_speech) = self
            .run(&filled)
            .map_err(|source| SpeechError::Recognise { seconds, source })?;
        let words = words::join(&pieces, Millis::from_seconds(seconds));
        Ok(filters::sift(words, no_speech, &self.prompt_text))
    }

    fn weigh(
        &mut self,
        samples: &[f32],
        words: &[&str],
        doubts: &[Doubt],
    ) -> Result<Vec<Likelihoods>, SpeechError> {
        let answer = match doubts {
            [] => Ok(Vec::new()),
            _ => self.asked(samples, |weigher| weigher.weigh(words, doubts)),
        };
        // Nothing more is asked of a window as a rule, and a state takes some hundred megabytes.
        self.listened = None;
        answer
    }

    fn next_best(
        &mut self,
        samples: &[f32],
        words: &[&str],
        which: &[usize],
    ) -> Result<Vec<Vec<NextBest>>, SpeechError> {
        if which.is_empty() {
            return Ok(Vec::new());
        }
        let each = |weigher: &mut Weigher<'_>| {
            let each = which.iter().map(|&at| weigher.next_best(words, at));
            each.collect()
        };
        self.asked(samples, each)
    }
}

/// Returns true for a window with enough to hear that a prompt does no harm.
fn is_clear_speech(samples: &[f32]) -> bool {
    let power = samples.iter().map(|sample| sample * sample).sum::<f32>() / samples.len() as f32;
    samples.len() >= PROMPT_FROM_SAMPLES && power.sqrt() >= PROMPT_FROM_LEVEL
}

/// Returns the attention heads from which whisper.cpp aligns words with sound, for the models whose
/// heads are known; others get no alignment, as a wrong choice makes whisper.cpp abort.
fn alignment(facts: &ModelFacts) -> DtwMode<'static> {
    let english = facts.english_only();
    let model_preset = match (facts.size_name(), facts.mel_bands) {
        (Some("tiny"), _) if english => DtwModelPreset::TinyEn,
        (Some("tiny"), _) => DtwModelPreset::Tiny,
        (Some("base"), _) if english => DtwModelPreset::BaseEn,
        (Some("base"), _) => DtwModelPreset::Base,
        (Some("small"), _) if english => DtwModelPreset::SmallEn,
        (Some("small"), _) => DtwModelPreset::Small,
        (Some("medium"), _) if english => DtwModelPreset::MediumEn,
        (Some("medium"), _) => DtwModelPreset::Medium,
        (Some("large"), 128) => DtwModelPreset::LargeV3,
        (Some("large"), _) => DtwModelPreset::LargeV2,
        (Some("large turbo"), _) => DtwModelPreset::LargeV3Turbo,
        _ => return DtwMode::None,
    };
    DtwMode::ModelPreset { model_preset }
}

/// Returns how many threads suit this machine.
///
/// ggml's threads wait by spinning, so one too many costs more than one too few: two cores are left
/// to the system once there are more than four.
fn suitable_threads() -> usize {
    let cores = thread::available_parallelism().map_or(1, usize::from);
    if cores <= 4 {
        cores
    } else {
        (cores - 2).min(MOST_THREADS)
    }
}

/// Returns one line on whisper.cpp: its version and the processor features it was built for.
pub fn system_info() -> String {
    format!(
        "whisper.cpp {}: {}",
        whisper_rs::get_whisper_version(),
        whisper_rs::print_system_info().trim()
    )
}
