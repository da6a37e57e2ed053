//! Fits the recogniser's ear to one voice, from a few minutes of it whose words are known.
//!
//! Whisper's encoder turns sound into what its decoder reads words from. An accent that it has hardly
//! met is misheard there, and each time in other words, so no vocabulary mends it. To each matrix of the
//! encoder's layers a product of two narrow ones is added ("low-rank adaptation", Hu and others,
//! arXiv 2106.09685), and only these are learnt, by going backwards through decoder and encoder from the
//! known words (gradient descent with AdamW, Loshchilov and Hutter, arXiv 1711.05101). Everything else
//! stays. Part of the windows is left out of the learning and judges it.
//!
//! The result is a file as `adapter.rs` reads it. It depends on sound, words and model; the number of
//! processors changes nothing.

mod adam;
mod attention;
mod block;
mod chance;
mod layers;
mod mel;
mod network;
#[cfg(test)]
mod tests;
mod weights;

use super::adapter;
use super::model::{Model, ModelError};
use super::model_file;
use super::recogniser::SpeechError;
use super::whisper::{Settings, WhisperRecogniser};
use crate::workers;
use adam::{Adam, Gradient, Narrow};
use chance::Chance;
use mel::Mel;
use ndarray::Array2;
use network::{Loss, Network, Text};
use std::ops::ControlFlow;
use thiserror::Error;
use weights::Weights;

pub use weights::Misfit;

/// Rows of numbers: one for a moment of sound, or for a token.
type Rows = Array2<f32>;

/// The matrices of a layer of the encoder that are learnt.
const LEARNT: [&str; 6] = [
    "attn.query",
    "attn.key",
    "attn.value",
    "attn.out",
    "mlp.0",
    "mlp.2",
];

/// Of the windows, every so manieth judges instead of being learnt from.
const JUDGES: usize = 5;

/// Fewer windows than this, of some 25 seconds, are too few to learn from and to judge by.
pub const LEAST_WINDOWS: usize = 5;

/// How often each window is learnt from: at most, at least, and so that all together do not come to more
/// than `PASSES`, each of which takes seconds. Of five minutes read aloud the loss on other texts of that
/// voice was 0.43 before, 0.32 after two rounds, 0.31 after four and 0.29 after six and eight.
const MOST_ROUNDS: usize = 7;
const LEAST_ROUNDS: usize = 2;
const PASSES: usize = 80;

/// Windows a step.
const BATCH: usize = 2;

/// One time in so many the recogniser's usual remark is not put before the text: the program leaves it
/// out too where there is little to hear.
const WITHOUT_PROMPT: usize = 4;

/// Of the spectrogram, stretches of up to so many bands and hundredths of a second are blanked by chance,
/// twice each, so that no single sound is learnt by heart (Park and others, arXiv 1904.08779).
const BLANK_BANDS: usize = 12;
const BLANK_FRAMES: usize = 60;
const BLANKS: usize = 2;

/// Sound of the voice, and what was said in it.
#[derive(Debug, Clone)]
pub struct Spoken {
    /// At most thirty seconds, 16 kHz mono.
    pub samples: Vec<f32>,
    /// The words, with their punctuation.
    pub text: String,
}

/// What was learnt of a voice.
#[derive(Debug, Clone)]
pub struct Fitted {
    /// The changes to the model, as a safetensors file.
    pub changes: Vec<u8>,
    /// Windows learnt from.
    pub learnt: usize,
    /// Windows that judged.
    pub judged: usize,
    /// What the judges' words lacked in probability, as the mean loss of a token: before, as the best of
    /// the models given has it, and after.
    pub loss: [f32; 2],
}

/// Ways in which fitting fails.
#[derive(Debug, Error)]
pub enum FitError {
    /// Too little was given.
    #[error(
        "there are {0} stretches of speech whose words are known, and {LEAST_WINDOWS} are needed"
    )]
    TooLittle(usize),
    /// The model cannot be learnt from.
    #[error(transparent)]
    Model(#[from] Misfit),
    /// Its file cannot be read.
    #[error(transparent)]
    File(#[from] model_file::ModelFileError),
    /// What was learnt does not go with the model.
    #[error(transparent)]
    Changes(#[from] ModelError),
    /// The recogniser refuses the model or a text.
    #[error(transparent)]
    Speech(#[from] SpeechError),
    /// The changes cannot be written down.
    #[error("what was learnt cannot be kept")]
    Keep(#[from] safetensors::SafeTensorError),
}

/// A window, ready to be learnt from.
struct Window {
    mel: Rows,
    /// With the usual remark before the text, and without.
    texts: [Text; 2],
}

/// Fits the model to the voice, from what it has learnt of other voices on where one of `fitted` hears this
/// one better. `on_step` is told the steps done and their number, and may stop it. Returns `None` where it
/// was stopped.
///
/// # Errors
/// [`FitError`] where too little was given, or a model cannot be used for it.
pub fn fit(
    model: &Model,
    fitted: &[Model],
    spoken: &[Spoken],
    on_step: impl FnMut(usize, usize) -> ControlFlow<()>,
) -> Result<Option<Fitted>, FitError> {
    fit_for(model, fitted, spoken, MOST_ROUNDS, on_step)
}

/// Does the same in at most so many rounds.
fn fit_for(
    model: &Model,
    fitted: &[Model],
    spoken: &[Spoken],
    most_rounds: usize,
    mut on_step: impl FnMut(usize, usize) -> ControlFlow<()>,
) -> Result<Option<Fitted>, FitError> {
    if spoken.len() < LEAST_WINDOWS {
        return Err(FitError::TooLittle(spoken.len()));
    }
    let windows = windows(model, spoken)?;
    let judge = |at: &usize| at % JUDGES == JUDGES / 2;
    let (judges, learnt): (Vec<usize>, Vec<usize>) = (0..windows.len()).partition(judge);
    let judges: Vec<&Window> = judges.into_iter().map(|at| &windows[at]).collect();

    let mut best = model;
    let mut network = network_of(model)?;
    let mut before = looked_at(&network, &judges);
    for other in fitted {
        let others = network_of(other)?;
        let loss = looked_at(&others, &judges);
        if loss < before {
            (best, network, before) = (other, others, loss);
        }
    }
    let mut chance = Chance::new();
    let originals: Vec<(String, Rows)> = network
        .parts()
        .into_iter()
        .map(|(name, part)| (name, part.weight.clone()))
        .collect();
    let narrow = originals.iter();
    let mut narrow: Vec<Narrow> = narrow
        .map(|(_, weight)| Narrow::new(weight.dim(), &mut chance))
        .collect();
    let rounds = (PASSES / learnt.len()).clamp(LEAST_ROUNDS, most_rounds);
    let steps = rounds * learnt.len().div_ceil(BATCH);
    let mut adam = Adam::new(&narrow, steps);
    for _ in 0..rounds {
        let mut order = learnt.clone();
        chance.shuffle(&mut order);
        for batch in order.chunks(BATCH) {
            let batch: Vec<(Rows, &Text)> = batch
                .iter()
                .map(|&at| {
                    let bare = usize::from(chance.below(WITHOUT_PROMPT) == 0);
                    let blanked = blanked(&windows[at].mel, &mut chance);
                    (blanked, &windows[at].texts[bare])
                })
                .collect();
            let gradients = workers::each(&batch, |(mel, text)| {
                gradients(&network, &narrow, mel, text)
            });
            adam.step(&mut narrow, gradients);
            let parts = network.parts().into_iter().zip(&originals);
            for (((_, part), (_, original)), narrow) in parts.zip(&narrow) {
                part.weight = original + &narrow.product();
            }
            if on_step(adam.done(), steps).is_break() {
                return Ok(None);
            }
        }
    }
    let names = originals.iter().map(|(name, _)| name.as_str());
    let mut changes = adam::file(names.zip(&narrow))?;
    if let Some(before) = best.changes() {
        changes = adapter::joined(before, &changes).map_err(ModelError::from)?;
    }
    // The network learns with exact numbers; what is kept of them is rounded with the model.
    let network = network_of(&model.clone().fitted_to(&changes)?)?;
    Ok(Some(Fitted {
        changes,
        learnt: learnt.len(),
        judged: judges.len(),
        loss: [before, looked_at(&network, &judges)],
    }))
}

fn network_of(model: &Model) -> Result<Network, FitError> {
    let bytes = model.bytes().map_err(ModelError::from)?;
    let (facts, tensors) = model_file::inspect(&bytes)?;
    let weights = Weights {
        bytes: &bytes,
        tensors: &tensors,
    };
    let layers = [facts.audio_layers as usize, facts.text_layers as usize];
    Ok(Network::new(&weights, layers)?)
}

fn windows(model: &Model, spoken: &[Spoken]) -> Result<Vec<Window>, FitError> {
    let bytes = model.bytes().map_err(ModelError::from)?;
    let mel = Mel::new(model_file::mel_filters(&bytes)?);
    let recogniser = WhisperRecogniser::new(model, &Settings::default())?;
    let [prompted, bare] = recogniser.openings();
    let window = |spoken: &Spoken| {
        let tokens = recogniser.text(&spoken.text)?;
        let text = |opening: &[i32]| Text {
            opening: opening.to_vec(),
            tokens: tokens.clone(),
        };
        Ok(Window {
            mel: mel.spectrogram(&spoken.samples),
            texts: [text(&prompted), text(&bare)],
        })
    };
    spoken.iter().map(window).collect()
}

/// Returns the mean loss of a token of these windows.
fn looked_at(network: &Network, windows: &[&Window]) -> f32 {
    let losses = workers::each(windows, |window| {
        let (heard, _) = network.listen(&window.mel);
        network.read(&window.texts[0], &heard, false).0
    });
    let sum: f32 = losses.iter().map(|loss| loss.sum).sum();
    sum / losses.iter().map(|loss| loss.tokens).sum::<usize>() as f32
}

/// Returns the loss of a window, and the gradient of each narrow pair.
fn gradients(
    network: &Network,
    narrow: &[Narrow],
    mel: &Rows,
    text: &Text,
) -> (Loss, Vec<Gradient>) {
    let mut gradients: Vec<Gradient> = narrow.iter().map(Narrow::no_gradient).collect();
    let (heard, listened) = network.listen(mel);
    let (loss, gradient) = network.read(text, &heard, true);
    if let Some(gradient) = gradient {
        network.listen_back(&listened, &gradient, &mut |part, input, output| {
            gradients[part] = narrow[part].gradient(input, output);
        });
    }
    (loss, gradients)
}

/// Returns the spectrogram with stretches blanked by chance.
fn blanked(mel: &Rows, chance: &mut Chance) -> Rows {
    let mut blanked = mel.clone();
    let silence = mel.iter().copied().fold(f32::MAX, f32::min);
    let (frames, bands) = mel.dim();
    for _ in 0..BLANKS {
        let (from, length) = (chance.below(bands), chance.below(BLANK_BANDS));
        let to = (from + length).min(bands);
        blanked.slice_mut(ndarray::s![.., from..to]).fill(silence);
        let (from, length) = (chance.below(frames), chance.below(BLANK_FRAMES));
        let to = (from + length).min(frames);
        blanked.slice_mut(ndarray::s![from..to, ..]).fill(silence);
    }
    blanked
}
