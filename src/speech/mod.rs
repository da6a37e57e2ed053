//! Speech to words: the recogniser behind a small trait, and what it hears.

mod adapter;
mod again;
mod ears;
mod expected;
mod filters;
mod fit;
pub mod formats;
mod model;
mod model_file;
mod pace;
mod placing;
mod recogniser;
mod transcript;
mod weigh;
mod whisper;
mod words;

pub use adapter::AdapterError;
pub use again::recognise_all;
pub use ears::{Ear, Manner, OWN_VOICE, mean_logarithm, surest};
pub use expected::Expected;
pub use fit::{FitError, Fitted, LEAST_WINDOWS, Misfit, Spoken, fit};
pub use model::{Model, ModelError};
pub use model_file::{ModelFacts, ModelFileError, Storage};
pub use pace::{Pace, Paced};
pub use placing::{place, place_span};
pub use recogniser::{
    Doubt, DropReason, DroppedText, Heard, HeardWord, LONGEST_WINDOW_S, Likelihoods, NextBest,
    Recogniser, SAMPLE_RATE, SpeechError,
};
pub use transcript::{Recording, Transcript, Word};
pub use whisper::{Prompt, Settings, WhisperRecogniser, system_info};
